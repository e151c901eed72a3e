"""A lot as a file that a person can read and write, and back again, exactly."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass, field
from typing import Any, TypeVar

from retrue.base.refusals import Problem, Unreadable, Unusable
from retrue.base.say import say
from retrue.cases import known
from retrue.cases.case import Happened, Kept, LotCase
from retrue.cases.known_choices import choice_doubts
from retrue.cases.lot_events import EVENTS, Told, look_up_events, read_events
from retrue.cases.lot_fields import Report, make
from retrue.cases.lot_text import block, write_lot
from retrue.cases.move.needed import plan_doubts
from retrue.cases.toml_text import toml_of, toml_text
from retrue.kinds.library import Kind
from retrue.kinds.lines import Path, line_map
from retrue.records.facts import (
    Alternative,
    Asked,
    CostLine,
    Fact,
    Finding,
    Lot,
    Machine,
    Need,
    Plate,
    Shop,
    Terms,
)
from retrue.records.fixing import Chosen
from retrue.records.moving import Planned

__all__ = ["block", "finding_ids", "read_lot", "write_lot"]

F = TypeVar("F", bound=Fact)

BIGGEST_BYTES = 1_000_000
ONE: dict[str, type[Fact]] = {"shop": Shop, "lot": Lot, "terms": Terms}
MANY: dict[str, type[Fact]] = {
    "need": Need,
    "alternative": Alternative,
    "machine": Machine,
    "plate": Plate,
    "planned": Planned,
    "finding": Finding,
    "asked": Asked,
    "cost_line": CostLine,
    "chosen": Chosen,
}
SECTIONS = (*ONE, *MANY, *EVENTS, "as_of")


def read_lot(content: bytes, name: str, kinds: Mapping[str, Kind]) -> LotCase:
    """Read a lot file.

    Parameters
    ----------
    content : bytes
        The file, TOML in UTF-8.
    name : str
        As the refusals shall call it.
    kinds : mapping of str to Kind
        The library that names are looked up in.

    Returns
    -------
    LotCase
        What it says; what it does not say is None and will be assumed, wide.

    Raises
    ------
    Unreadable
        Empty, huge, not UTF-8, not TOML; with byte and line.
    Unusable
        Every unknown key, kind, check and every impossible value, each with its line.
    """
    text = _text(content, name)
    reading = _Reading(name, kinds, _parsed(text, name), line_map(text))
    case = reading.case()
    if reading.problems or case is None:
        count = len(reading.problems)
        raise Unusable(
            say("{name}: {count} to put right", name=name, count=count),
            remedy=say("Mend the lines named; a field nobody knows may simply be left out."),
            problems=tuple(reading.problems),
        )
    return case


def finding_ids(findings: Iterable[Finding], given: Iterable[str | None]) -> list[str]:
    """Ids for findings that have none: what they answer, counted where asked twice.

    Parameters
    ----------
    findings : iterable of Finding
        In the order of the file.
    given : iterable of (str or None)
        The id each has, if any.

    Returns
    -------
    list of str
        All different.

    Examples
    --------
    >>> one = Finding(lot="lot", machine="A", check="C12", answer="seen")
    >>> finding_ids([one, one], [None, None])
    ['A.C12', 'A.C12.2']
    """
    pairs = list(zip(findings, given, strict=True))
    taken = {id for _, id in pairs if id}
    ids = []
    for finding, id in pairs:
        if not id:
            what = finding.check or finding.history or finding.fault or "?"
            stem = f"{finding.machine or 'lot'}.{what}"
            id, count = stem, 1
            while id in taken:
                count += 1
                id = f"{stem}.{count}"
            taken.add(id)
        ids.append(id)
    return ids


def _text(content: bytes, name: str) -> str:
    if not content.strip():
        raise Unreadable(
            say("{name} is empty", name=name),
            remedy=say("retrue lot new writes one to begin with."),
        )
    if len(content) > BIGGEST_BYTES:
        raise Unreadable(
            say("{name} has {count} bytes, too many", name=name, count=len(content)),
            remedy=say("A lot file is text of a few pages; pictures are kept beside it."),
        )
    return toml_text(content, name)


def _parsed(text: str, name: str) -> dict[str, Any]:
    remedy = say("Words stand in quotation marks, numbers do not; see docs/lot-file.md.")
    return toml_of(text, name, remedy)


@dataclass(slots=True)
class _Reading:
    """One reading of one file: what was said, where, and what is wrong with it."""

    name: str
    kinds: Mapping[str, Kind]
    told: dict[str, Any]
    lines: Mapping[Path, int]
    problems: list[Problem] = field(default_factory=list)

    def line(self, path: Path) -> int:
        """The line of a key, else of its table, else of its section, else the first."""
        at = path
        while at and at not in self.lines:
            at = at[:-1]
        return self.lines.get(at, 1)

    def wrong(self, path: Path, what: str, remedy: str) -> None:
        """Note a problem at the line of its key, else of its table."""
        words = ".".join(str(part + 1) if isinstance(part, int) else part for part in path)
        where = f"{self.name}, line {self.line(path)}, {words}"
        self.problems.append(Problem(where, what, remedy))

    def case(self) -> LotCase | None:
        """Read all sections, then look names up; None where a part is missing."""
        for section in self.told:
            if section not in SECTIONS:
                what = say("there is no section {section}", section=section)
                self.wrong((section,), what, known.nearest(section, SECTIONS))
        lot = self.one(Lot, "lot", {})
        name = lot.name if lot else "lot"
        shop, terms = self.one(Shop, "shop", {}), self.one(Terms, "terms", {"lot": name})
        machines = self.many(Machine, "machine", {"lot": name})
        facts: dict[str, dict[int, Any]] = {
            "need": self.many(Need, "need", {}),
            "alternative": self.many(Alternative, "alternative", {}),
            "machine": machines,
        }
        plates = self.many(Plate, "plate", {})
        findings, ids = self.findings(name)
        asked = self.many(Asked, "asked", {"lot": name})
        cost_lines = self.many(CostLine, "cost_line", {"lot": name})
        planned = self.many(Planned, "planned", {"lot": name})
        chosen = self.many(Chosen, "chosen", {"lot": name})
        happened = self.happened(name, findings, ids)
        self.look_up(facts)
        self.look_up_happened(machines, happened)
        self.look_up_said(machines, plates, findings, asked, cost_lines, planned, chosen)
        if not (lot and shop and terms) or self.problems:
            return None
        return LotCase(
            shop=shop,
            lot=lot,
            terms=terms,
            machines=tuple(machines.values()),
            needs=tuple(facts["need"].values()),
            alternatives=tuple(facts["alternative"].values()),
            plates=tuple(plates.values()),
            findings=tuple(
                Kept(id=id, finding=finding)
                for id, finding in zip(ids, findings.values(), strict=True)
            ),
            asked=tuple(asked.values()),
            cost_lines=tuple(cost_lines.values()),
            happened=tuple(one for _, one in happened),
            planned=tuple(planned.values()),
            chosen=tuple(chosen.values()),
            as_of=self.as_of(),
        )

    def as_of(self) -> str | None:
        """The day the file speaks of, if it says one."""
        raw = self.told.get("as_of")
        return None if raw is None else str(raw)

    def one(self, kind: type[F], section: str, given: Mapping[str, Any]) -> F | None:
        """Read a section that stands once; a missing one says nothing."""
        table = self.told.get(section, {})
        if not isinstance(table, dict):
            what = say("must be one section, [{section}]", section=section)
            self.wrong((section,), what, say("Write it once, in single brackets."))
            return None
        return make(kind, table, self.reporter((section,)), given)

    def many(self, kind: type[F], section: str, given: Mapping[str, Any]) -> dict[int, F]:
        """Read a section that may stand several times; by its place in the file."""
        made: dict[int, F] = {}
        for place, table in enumerate(self.tables(section)):
            fact = make(kind, table, self.reporter((section, place)), given)
            if fact is not None:
                made[place] = fact
        return made

    def tables(self, section: str) -> list[dict[str, Any]]:
        """All tables of a section; wrong brackets are a problem."""
        rows = self.told.get(section, [])
        if isinstance(rows, list) and all(isinstance(row, dict) for row in rows):
            return rows
        what = say("must be sections of their own, [[{section}]]", section=section)
        self.wrong((section,), what, say("Write it in double brackets."))
        return []

    def findings(self, lot: str) -> tuple[dict[int, Finding], list[str]]:
        """Read the findings and their ids; two of one id are a problem."""
        given: list[str | None] = []
        made: dict[int, Finding] = {}
        for place, table in enumerate(self.tables("finding")):
            rest = {key: value for key, value in table.items() if key != "id"}
            fact = make(Finding, rest, self.reporter(("finding", place)), {"lot": lot})
            id = table.get("id")
            if id is not None and (not isinstance(id, str) or not id or id in given):
                what = say("the id {id} is empty or stands twice", id=repr(id))
                self.wrong(("finding", place, "id"), what, say("Leave it out, or make it new."))
            if fact is not None:
                made[place] = fact
                given.append(id if isinstance(id, str) else None)
        return made, finding_ids(made.values(), given)

    def happened(
        self, lot: str, findings: Mapping[int, Finding], ids: list[str]
    ) -> list[tuple[Told, Happened]]:
        """Read what happened between the findings, in the order of the lines."""
        told = [
            Told(section, place, self.line((section, place)), table)
            for section in EVENTS
            for place, table in enumerate(self.tables(section))
        ]
        lines = [self.line(("finding", place)) for place in findings]
        return read_events(
            told, lot, lines, ids, lambda one: self.reporter((one.section, one.place))
        )

    def look_up_happened(
        self, machines: Mapping[int, Machine], happened: list[tuple[Told, Happened]]
    ) -> None:
        """Look up what fault-finding names: machines, troubles, symptoms, faults, ways, groups."""
        of = {machine.name: self.kinds.get(machine.kind) for machine in machines.values()}
        for told, doubt in look_up_events(happened, of):
            self.doubts((told.section, told.place), iter([doubt]))

    def reporter(self, at: Path) -> Report:
        """Return what notes the problems of one table."""

        def report(key: str | None, what: str, remedy: str) -> None:
            self.wrong(at if key is None else (*at, key), what, remedy)

        return report

    def look_up(self, facts: Mapping[str, Mapping[int, Any]]) -> None:
        """Refuse names that stand twice, kinds nobody knows, and a lot without machines."""
        if not self.tables("machine"):
            what = say("a lot needs at least one machine")
            self.wrong(("machine",), what, say("Add a [[machine]] with name and kind."))
        for section, rows in facts.items():
            names: set[str] = set()
            for place, fact in rows.items():
                if fact.name in names:
                    what = say("two are named {name}", name=fact.name)
                    self.wrong((section, place, "name"), what, say("Give each its own name."))
                names.add(fact.name)
                if section == "machine":
                    self.doubts((section, place), known.machine_doubts(fact, self.kinds))
                elif fact.kind not in self.kinds:
                    doubt = known.kind_doubt("kind", fact.kind, self.kinds)
                    self.doubts((section, place), iter([doubt]))

    def doubts(self, at: Path, doubts: Iterator[known.Doubt]) -> None:
        """Note what the kind says of a fact."""
        for doubt in doubts:
            self.wrong((*at, doubt.field), doubt.what, doubt.remedy)

    def look_up_said(self, machines: Mapping[int, Machine], *said: Mapping[int, Any]) -> None:
        """Look up what names a machine, a check, a plate entry, a cost line."""
        of = {m.name: self.kinds[m.kind] for m in machines.values() if m.kind in self.kinds}
        names = [m.name for m in machines.values()]
        sections = ("plate", "finding", "asked", "cost_line", "planned", "chosen")
        for section, rows in zip(sections, said, strict=True):
            for place, fact in rows.items():
                if fact.machine is not None and fact.machine not in names:
                    what = say("the lot has no machine {name}", name=fact.machine)
                    remedy = known.nearest(fact.machine, names)
                    self.wrong((section, place, "machine"), what, remedy)
                    continue
                mine = list(of.values()) if fact.machine is None else [of.get(fact.machine)]
                kinds = [kind for kind in mine if kind is not None]
                if kinds:
                    self.doubts((section, place), _doubts(fact, kinds))


def _doubts(fact: Any, kinds: list[Kind]) -> Iterator[known.Doubt]:
    match fact:
        case Finding():
            return known.finding_doubts(fact, kinds)
        case Plate():
            return known.plate_doubts(fact, kinds[0])
        case Asked():
            return known.asked_doubts(fact, kinds)
        case Planned():
            return plan_doubts(fact)
        case Chosen():
            return choice_doubts(fact, kinds[0])
        case _:
            return known.line_doubts(fact, kinds)
