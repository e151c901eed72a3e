"""A practice machine to find faults on: it hides what is wrong, answers, can be repaired."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass, field, replace

import numpy as np
from numpy.typing import NDArray

from retrue.base.chance import stream
from retrue.base.refusals import Unknown
from retrue.base.say import say
from retrue.belief.network import Network
from retrue.belief.worlds import draw
from retrue.cases.assume import settle
from retrue.cases.case import Happened, Kept, LotCase
from retrue.cases.find.advice import Goal
from retrue.cases.find.bill import Bill, BillLine, Luck, knowing_everything
from retrue.cases.find.candidates import targets
from retrue.cases.find.costs import Purse, mask, purse
from retrue.cases.find.standing import standing
from retrue.cases.known import nearest
from retrue.cases.network import CaseNetwork, build
from retrue.cases.practice import answer
from retrue.kinds.library import Fix, Kind
from retrue.records.facts import Finding, Lot, Machine, Shop, Terms
from retrue.records.seeking import Act, ActSort, Signed, Trial, Trouble

MACHINE, LOT, TROUBLE = "practice", "practice", "T1"
BATCH = 64  # truths drawn at a time until one shows the trouble
WRONG_BY = float(np.e)  # factor on the odds of each fault, up or down, where priors are wrong
SORTS: dict[str, ActSort] = {
    "clean": "clean",
    "adjust": "adjust",
    "repair": "repair",
    "replace": "replace",
    "second_hand": "replace",
    "outside": "send_out",
    "local": "send_out",
}
KNOWN = 10  # looks answered before the search begins


@dataclass
class Rehearsal:
    """One practice machine in the hands of one who looks, tries and pays.

    Attributes
    ----------
    case : LotCase
        As its owner knows it: what was asked, tried and done.
    present : set of str
        Faults that are there now. Hidden.
    active : set of str
        Those behind the trouble; empty text: a cause on no list. Hidden.
    bill : Bill
    """

    kind: Kind
    goal: Goal
    seed: int
    case: LotCase
    built: CaseNetwork
    purse: Purse
    luck: Luck
    present: set[str]
    active: set[str]
    truth: frozenset[str]
    behind: frozenset[str]
    bill: Bill = field(default_factory=Bill)
    asked: int = 0

    @property
    def met(self) -> bool:
        """Whether the goal is met, in truth."""
        return not self.active if self.goal == "clear" else not self.present & self.wanted

    @property
    def wanted(self) -> frozenset[str]:
        """Faults that the level does not let one live with."""
        state = standing(self.case, MACHINE, self.kind)
        level = "just_running" if self.goal == "clear" else self.goal
        fitted = [fault for machine, fault in self.built.faults if machine == MACHINE]
        return targets(state, level, fitted)

    def look(self, check: str, *, free: bool = False) -> Finding:
        """Ask the machine one look; the answer is kept and paid."""
        if check not in self.kind.checks:
            raise Unknown(
                say("this machine has no look {check}", check=check),
                remedy=nearest(check, self.kind.checks),
            )
        one = self.kind.checks[check]
        self.asked += 1
        chance = stream(self.seed, "practice", "answers", check, str(self.asked))
        found = answer(self.built, self._states(), MACHINE, check, "running", chance)
        if not free:
            place = self._place_of(check)
            spent = self.purse.of_look(one, "running")
            self._pay(check, spent.money + spent.hire, spent.hours, 0.0, mask(self.kind, place))
        kept = Kept(id=f"{len(self.case.findings) + 1}", finding=replace(found, lot=LOT))
        self.case = replace(self.case, findings=(*self.case.findings, kept))
        return kept.finding

    def treat(self, fault: str, way: str) -> None:
        """Treat one fault one way, or with a base job (its id as the way); it is paid."""
        if way in self.kind.jobs:
            self._job(way)
            return
        fix = self._fix(fault, way)
        key = f"{fault}:{way}"
        cured = self.luck.share(f"cures {key}") < fix.cures
        paid = self.luck.way(fix, self.purse, cured=cured)
        opens = mask(self.kind, (fix.opens,)) if fix.opens else 0
        self._pay(key, paid.money, paid.hours, paid.days, opens)
        if cured:
            self._gone(fault)
            for other, share in fix.also_cures.items():
                if self.luck.share(f"heals {key} {other}") < share * fix.cures:
                    self._gone(other)
        act = Act(
            lot=LOT, machine=MACHINE, trouble=self._trouble, sort=SORTS[way], fault=fault, way=way
        )
        self._happened(act)

    def try_again(self) -> bool:
        """Try whether the trouble still shows, as often as it takes; True: it is gone."""
        symptom = self.kind.symptoms[self._symptom()]
        self._pay("again", 0.0, symptom.minutes / 60.0 / max(symptom.shows, 0.1), 0.0)
        passes = not self.active
        self._happened(Trial(lot=LOT, machine=MACHINE, trouble=TROUBLE, passes=passes))
        return passes

    def group(self, id: str, *, free: bool = False) -> bool:
        """Prove one group at the level; True: it is right."""
        group = self.kind.groups[id]
        if not free:
            self._pay(f"group:{id}", 0.0, group.minutes / 60.0, 0.0)
        mine = {f for f in self.wanted if self.kind.faults[f].subsystem in group.subsystems}
        passes = not self.present & mine
        level = "right" if self.goal == "clear" else self.goal
        self._happened(Trial(lot=LOT, machine=MACHINE, group=id, level=level, passes=passes))
        return passes

    def call(self, group: str = "", asks: Mapping[str, float] | None = None) -> None:
        """Call somebody who clears the trouble, or one group; he asks for what is there.

        What he asks for each fault may be given, as whoever called him was told; a cause on no
        list has no name.
        """
        if self.goal == "clear":
            gone = set(self.active)
        else:
            subsystems = self.kind.groups[group].subsystems
            gone = {f for f in self.present & self.wanted
                    if self.kind.faults[f].subsystem in subsystems}  # fmt: skip
        money = sum(self._asks(f) if asks is None else asks.get(f, 0.0) for f in gone)
        spent = self.purse.help(money)
        self._pay("help", spent.money, spent.hours, spent.days)
        for fault in gone:
            self._gone(fault)
        self.active.discard("")
        self._happened(Act(lot=LOT, machine=MACHINE, trouble=self._trouble, sort="call_for_help"))

    def least(self) -> float:
        """What who knew everything would have paid for the same goal."""
        wanted = self.behind - {""} if self.goal == "clear" else self.truth & self.wanted
        ways = {f: tuple(w for w in self.kind.fixes.get(f, ()) if w.way != "live_with")
                for f in wanted}  # fmt: skip
        total = knowing_everything(sorted(wanted), ways, self.luck, self.purse)
        return total + (self.purse.help(0.0).cost if "" in self.behind else 0.0)

    @property
    def _trouble(self) -> str | None:
        return TROUBLE if self.goal == "clear" else None

    def _symptom(self) -> str:
        events = (one.event for one in self.case.happened)
        return next(event.symptom for event in events if isinstance(event, Trouble))

    def _fix(self, fault: str, way: str) -> Fix:
        ways = {fix.way: fix for fix in self.kind.fixes.get(fault, ())}
        if way not in ways or way not in SORTS:
            raise Unknown(
                say("{fault} has no way {way}", fault=fault, way=way),
                remedy=nearest(way, ways) or say("Name a fault and one of its ways."),
            )
        return ways[way]

    def _job(self, id: str) -> None:
        job = self.kind.jobs[id]
        paid = self.luck.job(job, self.purse)
        self._pay(id, paid.money, paid.hours, 0.0, mask(self.kind, job.places))
        for fault, share in job.cures.items():
            if self.luck.share(f"cures {id} {fault}") < share:
                self._gone(fault)
        act = Act(lot=LOT, machine=MACHINE, trouble=self._trouble, sort="clean", job=id)
        self._happened(act)

    def _asks(self, fault: str) -> float:
        ways = [w for w in self.kind.fixes.get(fault, ()) if w.way != "live_with"]
        hour = self.purse.estimate("call_out_hour_money")
        asked = [
            self.luck.amount(f"money {fault}:{w.way}", w.money)
            + hour * self.luck.amount(f"hours {fault}:{w.way}", w.hours)
            for w in ways
        ]
        return min(asked, default=0.0)

    def _gone(self, fault: str) -> None:
        self.present.discard(fault)
        self.active.discard(fault)

    def _place_of(self, check: str) -> tuple[str, ...]:
        one = self.kind.checks[check]
        if "apart" not in one.stages or "visit_dead" in one.stages:
            return ()
        faults = [fault for fault in one.links if fault in self.kind.faults]
        best = max(faults, key=lambda fault: one.links[fault], default="")
        place = self.kind.faults[best].place if best else ""
        return (place,) if place else ()

    def _states(self) -> NDArray[np.bool_]:
        states = self._lives.copy()
        for (machine, fault), row in self.built.faults.items():
            if machine == MACHINE:
                states[row] = fault in self.present
        return states

    @property
    def _lives(self) -> NDArray[np.bool_]:
        return np.zeros(len(self.built.network.names), dtype=np.bool_)

    def _pay(self, text: str, money: float, hours: float, days: float, opens: int = 0) -> None:
        state = standing(self.case, MACHINE, self.kind)
        open_now = mask(self.kind, tuple(sorted(state.open_places)))
        opening = self.purse.open_cost(opens, open_now)
        cost = self.purse.spent(money, hours, days=days).cost + opening
        self.bill = self.bill.with_line(BillLine(text, money, hours, days, cost))

    def _happened(self, event: Act | Trial) -> None:
        one = Happened(
            id=f"e{len(self.case.happened)}", event=event, place=len(self.case.findings), on="1"
        )
        self.case = replace(self.case, happened=(*self.case.happened, one))


def begin(
    kinds: Mapping[str, Kind],
    kind: str,
    *,
    seed: int,
    goal: Goal = "clear",
    symptom: str = "",
    wrong_priors: bool = False,
) -> Rehearsal:
    """Hide a machine.

    Parameters
    ----------
    kinds : mapping of kind id to Kind
    kind : str
        Id.
    seed : int
        The same seed hides the same machine, with the same luck.
    goal : {"clear", "just_running", "right", "like_new"}
    symptom : str
        What it does; drawn from the kind's list if empty.
    wrong_priors : bool
        The truth is drawn from odds that are wrong by a factor e, up or down, fault by fault.

    Returns
    -------
    Rehearsal

    Raises
    ------
    Unknown
        No such kind or symptom.

    Notes
    -----
    For a trouble, truths are drawn until one shows it: each fault that is there is behind it with
    its link, and a cause on no list with the chance of a false complaint. Some looks of the
    visit are answered beforehand.

    Examples
    --------
    >>> from retrue.kinds.load import load
    >>> one = begin(load(), "vertical_machining_centre", seed=3, symptom="Y01")
    >>> one.met, one.bill.cost, len(one.case.findings)
    (False, 0, 10)
    """
    if kind not in kinds:
        raise Unknown(
            say("no kind of machine is called {kind}", kind=kind), remedy=nearest(kind, kinds)
        )
    mine = kinds[kind]
    chance = stream(seed, "practice", "hidden")
    if symptom and symptom not in mine.symptoms:
        raise Unknown(
            say("this kind has no symptom {symptom}", symptom=symptom),
            remedy=nearest(symptom, mine.symptoms),
        )
    if goal == "clear" and not symptom:
        symptom = sorted(mine.symptoms)[int(chance.integers(len(mine.symptoms)))]
    bare = _bare(mine)
    built = build(bare, kinds)
    network = _wrong(built, chance) if wrong_priors else built.network
    present, active = _hidden(built, network, mine, symptom, chance)
    settled = settle(bare, built.kinds)
    one = Rehearsal(
        kind=mine, goal=goal, seed=seed, case=bare, built=built,
        purse=purse(bare, MACHINE, mine, settled), luck=Luck(seed), present=set(present),
        active=set(active), truth=present, behind=active,
    )  # fmt: skip
    own = mine.symptoms[symptom].check if symptom else ""
    early = [c.id for c in mine.checks.values() if "visit_dead" in c.stages and c.id != own]
    for check in chance.permutation(sorted(early))[:KNOWN]:
        one.look(str(check), free=True)
    if symptom:
        told = Trouble(lot=LOT, machine=MACHINE, symptom=symptom)
        place = len(one.case.findings)
        happened = Happened(id=TROUBLE, event=told, place=place, on="1")
        one.case = replace(one.case, happened=(*one.case.happened, happened))
    return one


def _bare(kind: Kind) -> LotCase:
    machine = Machine(lot=LOT, name=MACHINE, kind=kind.id)
    signed = Signed(lot=LOT, machine=MACHINE, stage="running", name="practice")
    return LotCase(
        shop=Shop(),
        lot=Lot(name=LOT),
        terms=Terms(lot=LOT),
        machines=(machine,),
        happened=(Happened(id="s", event=signed, place=0),),
    )


def _wrong(built: CaseNetwork, chance: np.random.Generator) -> Network:
    """The network with the odds of every fault wrong by a factor e, up or down."""
    tables = []
    for table in built.network.tables:
        factor = WRONG_BY if chance.random() < 0.5 else 1.0 / WRONG_BY
        odds = table / (1.0 - table) * factor
        tables.append(np.asarray(odds / (1.0 + odds)))
    return replace(built.network, tables=tuple(tables))


def _hidden(
    built: CaseNetwork, network: Network, kind: Kind, symptom: str, chance: np.random.Generator
) -> tuple[frozenset[str], frozenset[str]]:
    """Faults that are there, and those behind the trouble."""
    rows = {fault: row for (machine, fault), row in built.faults.items() if machine == MACHINE}
    while True:
        uniforms = chance.random((len(network.names), BATCH), dtype=np.float32)
        for states in draw(network, (), uniforms).states.T:
            present = frozenset(fault for fault, row in rows.items() if states[row])
            if not symptom:
                return present, frozenset()
            said = kind.symptoms[symptom]
            links = sorted(present & said.links.keys())
            active = {fault for fault in links if chance.random() < said.links[fault]}
            if chance.random() < said.leak:
                active.add("")
            if active:
                return present, frozenset(active)
