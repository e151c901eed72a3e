"""A hidden twin: one true machine behind a listing, which answers looks and is worth what it is."""

from __future__ import annotations

import math
from collections.abc import Iterable, Sequence
from dataclasses import dataclass, replace
from decimal import Decimal

import numpy as np
from numpy.typing import NDArray

from retrue.base.chance import stream, uniforms
from retrue.belief.network import Network
from retrue.belief.worlds import draw
from retrue.cases.alternatives import resale_share
from retrue.cases.answers import OpenQuestion, likelihoods
from retrue.cases.assume import settle
from retrue.cases.case import Kept, LotCase
from retrue.cases.drawing import Drawer
from retrue.cases.evidence import SAID, evidence
from retrue.cases.network import CaseNetwork, build
from retrue.cases.practice import answer
from retrue.cases.prepare import chooser, stage
from retrue.cases.view import View
from retrue.choose.normal import inverse_normal
from retrue.kinds.library import Kind
from retrue.records.facts import Alternative, Asked, Finding, Lot, Machine, Need, Shop, Terms

Floats = NDArray[np.float64]
Bools = NDArray[np.bool_]

MILL, LATHE = "vertical_machining_centre", "turning_centre"
NEW_PRICE = {MILL: 95_000, LATHE: 85_000}  # invented
ASKED_OVER_BROUGHT = 1.25  # asking prices exceed realised ones by 15 to 35 %; common practice
PRICE_LOG_SD = 0.45  # realised prices around the table's, one standard deviation
DEALER_SHARE = 0.75  # of what it brings, a dealer pays; common practice
HOURS, HOURS_LOG_SD = 300.0, 0.4  # of work a year there is for the machine; invented
OTHER_PRICE = (12_000.0, 28_000.0)  # of a proven one instead; invented, wide on purpose
SELLER = "seller"
GUESSING = 600  # worlds of the belief that stand behind every choice made on the way
LUCK = 40  # ways the same truth can turn out: prices, pace, cures, resale
BAD = ("seen", "slight", "severe")


@dataclass(frozen=True, eq=False)
class Twin:
    """A lot as listed and the truth behind it. ``state`` is one world of ``built.network``."""

    name: str
    case: LotCase
    built: CaseNetwork
    state: Bools
    seed: int

    def answers(self, questions: Sequence[OpenQuestion]) -> list[Finding]:
        """What really comes back when these are asked; each look has one answer, whoever asks."""
        found: list[Finding] = []
        for question in questions:
            luck = stream(self.seed, self.name, question.machine, question.check, question.channel)
            if question.check not in self.built.kinds[question.machine].checks:
                found.extend(self._told(question, luck))
                continue
            said = answer(
                self.built,
                self.state,
                question.machine,
                question.check,
                question.channel,
                luck,
                informant=question.informant,
            )
            found.append(replace(said, lot=self.name))
        return found

    def _told(self, question: OpenQuestion, luck: np.random.Generator) -> Iterable[Finding]:
        """What the seller says of past lives on the telephone."""
        (chance,) = likelihoods([question], self.built, self.state[:, None])
        place = int(np.searchsorted(np.cumsum(chance[:, 0]), luck.random(), side="right"))
        words = question.outcomes[min(place, len(question.outcomes) - 1)].split(" / ")
        asked = self.built.kinds[question.machine].questions[question.check]
        option = next(option for option in asked.options if option.words in words)
        for chip in option.says:
            if chip.target == "history" and chip.answer in SAID:
                yield Finding(
                    lot=self.name,
                    machine=question.machine,
                    history=chip.id,
                    answer=chip.answer,
                    grade=0,
                    channel="call",
                    informant=question.informant,
                )

    def gains(self, case: LotCase, kinds: dict[str, Kind], option: str) -> Floats:
        """What an option really brings at price 0, shape (LUCK,), chosen on what ``case`` knows.

        The first worlds hold the truth, the rest what is believed: whatever is decided on the way
        is decided by means over nearly all of them, so the truth tells nobody anything.
        """
        built = build(case, kinds)
        found, _ = evidence(case, built)
        settled = settle(case, built.kinds)
        seed = self.seed + 1
        chances = uniforms(
            seed, self.name, "guess", worlds=GUESSING, columns=len(built.network.names)
        )
        believed = draw(built.network, found, chances).states
        truth = dict(zip(self.built.network.names, self.state, strict=True))
        real = np.array([truth[name] for name in built.network.names])
        states = np.concatenate((np.repeat(real[:, None], LUCK, axis=1), believed), axis=1)
        choices = chooser(
            stage(case, built, states, settled, Drawer(seed, case.lot.name, states.shape[1]))
        )
        row = next(each for each in choices.options() if each.id == option)
        return np.asarray(row.gain[:LUCK] / settled.exchange)


def twin(name: str, kinds: dict[str, Kind], *, seed: int, wrong_by: float) -> Twin:
    """Invent a listing and draw the truth behind it.

    ``wrong_by`` is how far, in natural logarithms of the odds and either way by the toss of a
    coin, the true chance of each fault lies from what the tables say.
    """
    case = listing(name, seed)
    asks = Asked(lot=name, machine=case.machines[0].name, what="Q01", informant=SELLER, came=False)
    built = build(replace(case, asked=(asks,)), kinds)
    network = _mistaken(built.network, name, seed, wrong_by)
    chances = uniforms(seed, name, "truth", worlds=1, columns=len(network.names))
    return Twin(name, case, built, draw(network, (), chances).states[:, 0], seed)


def listing(name: str, seed: int) -> LotCase:
    """An invented lot: one machine or two, an age, work for it, what else would do."""
    luck = stream(seed, name, "listing")
    kinds = [(MILL,), (LATHE,), (MILL, LATHE)][int(np.searchsorted([0.4, 0.8], luck.random()))]
    age = float(luck.integers(12, 31))
    machines = tuple(
        Machine(
            lot=name,
            name={MILL: "mill", LATHE: "lathe"}[kind],
            kind=kind,
            age_years=age,
            new_price=Decimal(NEW_PRICE[kind]),
            tooling="some",
        )
        for kind in kinds
    )
    return LotCase(
        shop=Shop(hours_a_week=16.0, uses_rigger=True, supply_outlet=True, supply_phases=3),
        lot=Lot(name=name, seller=SELLER),
        terms=Terms(
            lot=name,
            premium=0.16,
            tax_reclaimable=True,
            distance_km=float(luck.integers(30, 250)),
            removal_days=21.0,
        ),
        machines=machines,
        needs=tuple(
            Need(
                name=f"work for the {machine.name}",
                kind=machine.kind,
                hours_a_year=round(
                    HOURS * math.exp(HOURS_LOG_SD * float(inverse_normal(luck.random())))
                ),
                cost_now_per_hour=Decimal(45),
            )
            for machine in machines
        ),
        alternatives=tuple(_other_way(machine, luck) for machine in machines),
    )


def _other_way(machine: Machine, luck: np.random.Generator) -> Alternative:
    """A proven one of the same sort that could be had instead, dear or cheap as luck has it."""
    likely = float(luck.uniform(*OTHER_PRICE))
    return Alternative(
        name=f"a proven {machine.name}",
        kind=machine.kind,
        way="used",
        price=tuple(Decimal(round(likely * share)) for share in (0.75, 1.0, 1.4)),  # type: ignore[arg-type]  # three
        own_hours=40.0,
        days=40.0,
        resale_share=0.45,
    )


def dealer_price(case: LotCase, view: View) -> float:
    """What a dealer pays on the same photographs: resale by the table of levels, less his margin.

    A machine brings the running price where nothing in it stops it, the as-found price otherwise;
    he believes of it what the photographs let anybody believe.
    """
    pays = 0.0
    for machine in case.machines:
        kind = view.stage.built.kinds[machine.name]
        stops = [
            view.states[view.stage.built.faults[machine.name, fault.id]]
            for fault in kind.faults.values()
            if fault.urgency == "STOP" and (machine.name, fault.id) in view.stage.built.faults
        ]
        runs = float((~np.any(stops, axis=0)).mean())
        age, new = np.array([machine.age_years]), float(machine.new_price or 0)
        running = float(resale_share(dict(kind.levels["just_running"].resale_share), age)[0])
        found = float(resale_share(dict(kind.as_found_share), age)[0])
        pays += DEALER_SHARE * new * (runs * running + (1 - runs) * found)
    return pays


def asking_price(case: LotCase, kinds: dict[str, Kind], seed: int) -> float:
    """What the seller asks: what such machines bring running, scattered, and a quarter more."""
    brings = 0.0
    for machine in case.machines:
        shares = dict(kinds[machine.kind].levels["just_running"].resale_share)
        share = float(resale_share(shares, np.array([machine.age_years]))[0])
        brings += share * float(machine.new_price or 0)
    z = float(inverse_normal(stream(seed, case.lot.name, "asking").random()))
    return 50.0 * round(brings * ASKED_OVER_BROUGHT * math.exp(PRICE_LOG_SD * z) / 50.0)


def knowing(case: LotCase, findings: Sequence[Finding]) -> LotCase:
    """The same lot with more findings kept, in the order they came."""
    start = len(case.findings)
    more = tuple(
        Kept(id=f"f{start + i:04d}", finding=finding) for i, finding in enumerate(findings)
    )
    return replace(case, findings=(*case.findings, *more))


def bad_signs(case: LotCase, kinds: dict[str, Kind], start: int = 0) -> int:
    """How many of the findings, from the given one on, show something bad."""
    signs = 0
    names = {machine.name: machine.kind for machine in case.machines}
    for kept in case.findings[start:]:
        finding = kept.finding
        if finding.reading is not None and finding.measure is not None and finding.machine:
            sheet = kinds[names[finding.machine]].measures[finding.measure]
            high = sheet.bad_side == "high"
            signs += (finding.reading > sheet.check_limit) == high
        else:
            signs += finding.answer in BAD
    return signs


def _mistaken(network: Network, name: str, seed: int, wrong_by: float) -> Network:
    if not wrong_by:
        return network
    sides = stream(seed, name, "mistaken").random(len(network.tables)) < 0.5
    tables = []
    for table, side in zip(network.tables, sides, strict=True):
        odds = table / (1 - table) * np.exp(wrong_by if side else -wrong_by)
        tables.append(odds / (1 + odds))
    return replace(network, tables=tuple(tables))
