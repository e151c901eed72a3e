"""The visit: the looks that decide the price, on paper, and typing them in afterwards."""

from __future__ import annotations

import hashlib
import json
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from typing import Unpack

from retrue.base.refusals import NotYet, Problem, Unknown, Unusable
from retrue.base.say import say
from retrue.cases.said import cautions_of
from retrue.cases.sheet import PriceSheet
from retrue.kinds.library import Check, Kind, Measure
from retrue.phases.worth.judge import Judged, keep_findings
from retrue.phases.worth.lots import LotView, view_lot
from retrue.phases.worth.pricing import SEED, WORLDS, price
from retrue.records.facts import Channel, File, Finding, Grade
from retrue.records.hand import Hand
from retrue.records.shop import Record, RecordShop

MOST_LINES = 24  # what two pages hold with boxes large enough for a pencil
SIGNS = "346789ACDEFHJKMNPRTVWXY"  # in pencil none reads as another
LENGTH = 8
VISIT_STAGES = ("visit_dead", "visit_live")
NEVER_PACKED = frozenset({"hands", "glove off the nose"})  # what a look needs and nobody carries


@dataclass(frozen=True, slots=True)
class VisitLine:
    """One look of the pack, in walking order; ``number`` is its box on the paper."""

    number: int
    machine: str
    check: Check
    measures: tuple[Measure, ...]
    place: str
    cautions: tuple[str, ...]  # in full; they stand before the look


@dataclass(frozen=True, slots=True)
class VisitPack:
    """What to look at, what to bring. ``code`` is eight characters that can be typed."""

    name: str
    code: str
    lot: str
    lines: tuple[VisitLine, ...]
    tools: tuple[str, ...]
    minutes: float
    cautions: tuple[str, ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class VisitAnswer:
    """A box typed in: not_seen, seen, slight, severe, cant_tell, or a reading."""

    number: int
    answer: str = ""
    measure: str | None = None
    reading: float | None = None
    uncertainty: float | None = None
    checked_instrument: bool = False
    temperature_c: float | None = None
    units: int = 1
    text: str = ""


def visit_pack(
    shop: RecordShop,
    lot: str,
    kinds: Mapping[str, Kind],
    *,
    seed: int = SEED,
    worlds: int = WORLDS,
    **hand: Unpack[Hand],
) -> VisitPack:
    """Choose the looks that decide the price, keep the list, and give it a code.

    Parameters
    ----------
    shop : RecordShop
        Where the lot is kept.
    lot : str
        Name or id.
    kinds : mapping of str to Kind
        The library.
    seed, worlds : int
        Of the price that chooses.
    **hand : Hand
        Who will go.

    Returns
    -------
    VisitPack
        At most two pages; the same looks give the same code.

    Raises
    ------
    NotYet
        Nothing is left that a visit could show.
    """
    view = view_lot(shop, lot)
    sheet = price(shop, view.id, kinds, seed=seed, worlds=worlds)
    chosen = walking_order(_looks(sheet), view, kinds)[:MOST_LINES]
    if not chosen:
        raise NotYet(
            say("nothing is left that a visit could show"),
            remedy=say("Say what the photographs show first, or freeze the price."),
        )
    told = json.dumps({"lot": view.id, "looks": chosen}, sort_keys=True).encode()
    code = _code(told)
    if not shop.current(File, lot=view.id, name=_file_name(code)):
        fact = File(
            sha256=shop.keep_file(told),
            name=_file_name(code),
            media_type="application/json",
            size_bytes=len(told),
            lot=view.id,
            caption=say("looks for a visit"),
        )
        shop.add(fact, **hand)
    return _pack(view, code, chosen, kinds)


def open_visit(shop: RecordShop, code: str, kinds: Mapping[str, Kind]) -> VisitPack:
    """The pack with that code; capitals, spaces and a dash do not matter.

    Raises
    ------
    Unknown
        There is none.
    """
    bare = "".join(sign for sign in code.upper() if sign.isalnum())
    found = shop.current(File, name=_file_name(bare))
    if not found:
        raise Unknown(
            say("there is no visit with the code {code}", code=code),
            remedy=say("Type the eight characters below the square on the paper."),
        )
    told = json.loads(shop.file(found[-1].fact.sha256))
    looks = [(str(machine), str(check)) for machine, check in told["looks"]]
    return _pack(view_lot(shop, told["lot"]), bare, looks, kinds)


def keep_visit(
    shop: RecordShop,
    code: str,
    answers: Sequence[VisitAnswer],
    kinds: Mapping[str, Kind],
    *,
    seed: int = SEED,
    worlds: int = WORLDS,
    **hand: Unpack[Hand],
) -> Judged:
    """Type the pack in: boxes left empty were not looked at and say nothing.

    Parameters
    ----------
    shop : RecordShop
        Where the lot is kept.
    code : str
        Of the pack.
    answers : sequence of VisitAnswer
        The boxes filled.
    kinds : mapping of str to Kind
        The library.
    seed, worlds : int
        Of the price.
    **hand : Hand
        Who was there.

    Returns
    -------
    Judged
        Saw it, measured, or measured with a checked instrument; typed again, the newer counts.
    """
    pack = open_visit(shop, code, kinds)
    view = view_lot(shop, pack.lot)
    lines = {line.number: line for line in pack.lines}
    _refuse_strangers(answers, lines)
    findings = [_seen(view, lines[answer.number], answer) for answer in answers]
    stood = _stood(shop, view)
    old = [stood.get((f.machine, f.check, f.measure)) for f in findings]
    return keep_findings(
        shop, view.id, findings, kinds, seed=seed, worlds=worlds, instead_of=old, **hand
    )


def walking_order(
    looks: Iterable[tuple[str, str]], view: LotView, kinds: Mapping[str, Kind]
) -> list[tuple[str, str]]:
    """Order looks as one walks: machine by machine, dead before live, place by place.

    Only looks that a visit can answer stay.
    """
    names = [record.fact.name for _, record in view.machines]
    of = {record.fact.name: kinds.get(record.fact.kind) for _, record in view.machines}

    def key(look: tuple[str, str]) -> tuple[int, int, str, str]:
        kind = of[look[0]]
        assert kind is not None
        check = kind.checks[look[1]]
        live = _stage(check) == "visit_live"
        return names.index(look[0]), live, place_of(kind, check), look[1]

    known = [
        (machine, check)
        for machine, check in dict.fromkeys(looks)
        if (kind := of.get(machine)) and check in kind.checks and _stage(kind.checks[check])
    ]
    return sorted(known[:MOST_LINES], key=key)


def _looks(sheet: PriceSheet) -> list[tuple[str, str]]:
    """The looks of the best visit, then single ones by what their answer is worth."""
    best = list(sheet.visit.checks) if sheet.visit else []
    return best + [(row.machine, row.check) for row in sheet.questions]


def _stage(check: Check) -> Channel | None:
    for stage in VISIT_STAGES:
        if stage in check.stages:
            return "visit_dead" if stage == "visit_dead" else "visit_live"
    return None


def _code(told: bytes) -> str:
    number = int.from_bytes(hashlib.sha256(told).digest())
    return "".join(SIGNS[number // len(SIGNS) ** place % len(SIGNS)] for place in range(LENGTH))


def _file_name(code: str) -> str:
    return f"visit-{code}.json"


def _pack(
    view: LotView, code: str, looks: Sequence[tuple[str, str]], kinds: Mapping[str, Kind]
) -> VisitPack:
    of = {record.fact.name: kinds[record.fact.kind] for _, record in view.machines}
    lines = tuple(
        _line(number, machine, of[machine], check)
        for number, (machine, check) in enumerate(looks, start=1)
        if machine in of and check in of[machine].checks
    )
    needed = (tool for line in lines for tool in line.check.tools)
    tools = dict.fromkeys(one for one in needed if one not in NEVER_PACKED)
    cautions = dict.fromkeys(caution for line in lines for caution in line.cautions)
    return VisitPack(
        name=view.name,
        code=code,
        lot=view.id,
        lines=lines,
        tools=tuple(tools),
        minutes=sum(line.check.minutes for line in lines),
        cautions=tuple(cautions),
    )


def _line(number: int, machine: str, kind: Kind, check: str) -> VisitLine:
    look = kind.checks[check]
    measures = tuple(kind.measures[name] for name in look.measures if name in kind.measures)
    place = kind.places.get(place_of(kind, look))
    words = place.name if place else ""
    return VisitLine(number, machine, look, measures, words, cautions_of(kind, check))


def place_of(kind: Kind, check: Check) -> str:
    """Where a look is made: the place of the fault that shows best in it."""
    likeliest = max(check.links, key=lambda fault: check.links[fault], default="")
    return kind.faults[likeliest].place if likeliest in kind.faults else ""


def _refuse_strangers(answers: Sequence[VisitAnswer], lines: Mapping[int, VisitLine]) -> None:
    strange = [answer.number for answer in answers if answer.number not in lines]
    if strange:
        raise Unusable(
            say("the paper has no such box"),
            remedy=say("Its boxes are numbered 1 to {last}.", last=max(lines, default=0)),
            problems=tuple(
                Problem(say("box {number}", number=n), say("is not on this paper")) for n in strange
            ),
        )


def _seen(view: LotView, line: VisitLine, answer: VisitAnswer) -> Finding:
    measure = answer.measure
    if answer.reading is not None and measure is None and len(line.measures) == 1:
        measure = line.measures[0].id
    measured: Grade = 5 if answer.checked_instrument else 4
    return Finding(
        lot=view.id,
        machine=view.machine_id(line.machine),
        check=line.check.id,
        answer=answer.answer,
        measure=measure if answer.reading is not None else None,
        reading=answer.reading,
        uncertainty=answer.uncertainty,
        grade=3 if answer.reading is None else measured,
        channel=_stage(line.check) or "visit_dead",
        units=answer.units,
        temperature_c=answer.temperature_c,
        text=answer.text,
    )


def _stood(
    shop: RecordShop, view: LotView
) -> dict[tuple[str | None, str | None, str | None], Record[Finding]]:
    return {
        (record.fact.machine, record.fact.check, record.fact.measure): record
        for record in shop.current(Finding, lot=view.id)
        if record.fact.channel in VISIT_STAGES
    }
