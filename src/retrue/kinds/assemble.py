"""From clean entries to one kind of machine: what it does not have falls away."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Mapping
from dataclasses import fields
from typing import Any, TypeVar

from retrue.kinds import readers
from retrue.kinds.fixing import CardRule, Renewal, Upgrade, WayEffect
from retrue.kinds.guarding import Guard
from retrue.kinds.library import (
    Cause,
    Caution,
    Check,
    Cost,
    Estimate,
    Fault,
    Fix,
    Group,
    History,
    Job,
    Kind,
    Level,
    Limit,
    Measure,
    Option,
    Place,
    PlateEntry,
    Question,
    Severe,
    Shot,
    StopCover,
    Swappable,
    Symptom,
)
from retrue.kinds.retune import Changed, retuned
from retrue.kinds.shelves import Row, Rows
from retrue.kinds.stripping import AsFoundEntry, Muck, Tick
from retrue.kinds.waking import RunInStep, Stage, StageBand

T = TypeVar("T")


def assemble(kind: Mapping[str, Any], rows: Rows) -> Kind:
    """Put one kind together.

    Parameters
    ----------
    kind : mapping
        Its own row: id, letter, name, version.
    rows : mapping of section to rows
        The clean entries that name this kind.

    Returns
    -------
    Kind
        Without hash and base odds.
    """
    here = {section: {row["id"] for _, row in rows[section]} for section in ("fault", "check")}
    faults, checks = here["fault"], here["check"]
    measures = _table(rows["measure"], lambda row: _measure(row, faults))
    kept = _table(rows["check"], lambda row: _check(row, faults, measures))
    return Kind(
        id=kind["id"],
        letter=kind["letter"],
        name=kind["name"],
        histories=_table(rows["history"], lambda row: _of(History, row, prior=row["share"])),
        faults=_table(
            rows["fault"], lambda row: _of(Fault, row, place=_at(row["place"], kind["id"]))
        ),
        fixes=_fixes(rows["fix"], kind["id"], faults),
        jobs=_table(rows["job"], lambda row: _job(row, faults, checks)),
        places=_table(rows["place"], lambda row: _of(Place, row)),
        levels=_table(rows["level"], lambda row: _of(Level, row)),
        costs=_table(rows["cost"], lambda row: _of(Cost, row, cures=_only(row["cures"], faults))),
        checks=kept,
        measures=retuned(measures, kept, _changed(rows["check"]), _changed(rows["measure"])),
        shots=_shots(rows["shot"], checks),
        questions=_table(rows["question"], lambda row: _question(row, checks)),
        plate=_table(rows["plate"], lambda row: _of(PlateEntry, row)),
        stop_cover={row["fault"]: _of(StopCover, row) for _, row in rows["stop_cover"]},
        cautions=_table(rows["caution"], lambda row: _of(Caution, row)),
        version=kind["version"],
        mass_kg=kind["mass_kg"],
        causes=_causes(rows["cause"], faults),
        limits=_table(rows["limit"], _limit),
        symptoms=_table(rows["symptom"], lambda row: _symptom(row, faults, checks)),
        groups=_table(rows["group"], lambda row: _of(Group, row)),
        swappable=_table(rows["swappable"], lambda row: _of(Swappable, row)),
        severe={row["fault"]: _of(Severe, row) for _, row in rows["severe"]},
        estimates=_table(rows["estimate"], _estimate),
        as_found=_table(
            rows["as_found"], lambda row: _of(AsFoundEntry, row, place=row["place"] or "")
        ),
        ticks=_table(rows["tick"], lambda row: _of(Tick, row)),
        mucks=_table(
            rows["muck"],
            lambda row: _of(Muck, row, quantities=tuple(row["quantities"].values())),
        ),
        stages=_table(rows["stage"], lambda row: _of(Stage, row)),
        stage_readings=_bands(rows["stage_reading"]),
        run_in=tuple(_of(RunInStep, row, mark=_mark(row)) for _, row in rows["run_in"]),
        **_work(rows, kind["id"], faults),
        hash="",
        as_found_share=next((row["resale_share"] for _, row in rows["state"]), {}),
        marks=_marks(kind, rows),
    )


def _of(sort: Callable[..., T], row: Mapping[str, Any], **other: Any) -> T:
    """Make one frozen value from the keys of the row that it has fields for."""
    names = {spec.name for spec in fields(sort)}  # type: ignore[arg-type]  # always a dataclass
    return sort(**{key: value for key, value in {**row, **other}.items() if key in names})


def _table(rows: Iterable[Row], make: Callable[[Mapping[str, Any]], T]) -> dict[str, T]:
    return {row["id"]: make(row) for _, row in rows}


def _only(found: Mapping[str, float], known: set[str]) -> dict[str, float]:
    return {name: value for name, value in found.items() if name in known}


def _at(place: str | Mapping[str, str] | None, kind: str) -> str:
    if isinstance(place, Mapping):
        return place.get(kind, "")
    return place or ""


def _fixes(rows: Iterable[Row], kind: str, faults: set[str]) -> dict[str, tuple[Fix, ...]]:
    ways: dict[str, list[Fix]] = {}
    for _, row in rows:
        fix = _of(
            Fix,
            row,
            opens=_at(row["opens"], kind) or None,
            also_cures=_only(row["also_cures"], faults),
        )
        ways.setdefault(row["fault"], []).append(fix)
    return {fault: tuple(group) for fault, group in ways.items()}


def _mark(row: Mapping[str, Any]) -> str:
    """The mark of a row, or that of a number of one's own in it."""
    return str(next(iter(row["marks"].values()), row["mark"]))


def _bands(rows: Iterable[Row]) -> dict[str, tuple[StageBand, ...]]:
    bands: dict[str, list[StageBand]] = {}
    for _, row in rows:
        bands.setdefault(row["stage"], []).append(_of(StageBand, row, mark=_mark(row)))
    return {stage: tuple(group) for stage, group in bands.items()}


def _causes(rows: Iterable[Row], faults: set[str]) -> tuple[Cause, ...]:
    found = (
        _of(Cause, row, leads_to=tuple(fault for fault in row["leads_to"] if fault in faults))
        for _, row in rows
    )
    return tuple(cause for cause in found if cause.fault in faults and cause.leads_to)


def _work(rows: Rows, kind: str, faults: set[str]) -> dict[str, Any]:
    """What is said of the work itself."""
    return {
        "card_rules": tuple(_of(CardRule, row, mark=_mark(row)) for _, row in rows["card_rule"]),
        "renewals": _table(rows["renewal"], lambda row: _renewal(row, kind)),
        "upgrades": _table(rows["upgrade"], lambda row: _upgrade(row, kind, faults)),
        "way_effects": {
            row["of"]: _of(WayEffect, row, mark=_mark(row)) for _, row in rows["way_effect"]
        },
        "guards": _table(rows["guard"], lambda row: _guard(row, kind)),
    }


def _guard(row: Mapping[str, Any], kind: str) -> Guard:
    return _of(Guard, row, place=_at(row["place"], kind), mark=_mark(row))


def _renewal(row: Mapping[str, Any], kind: str) -> Renewal:
    return _of(Renewal, row, place=_at(row["place"], kind), mark=_mark(row))


def _upgrade(row: Mapping[str, Any], kind: str, faults: set[str]) -> Upgrade:
    return _of(
        Upgrade,
        row,
        place=_at(row["place"], kind),
        cures=_only(row["cures"], faults),
        mark=_mark(row),
    )


def _job(row: Mapping[str, Any], faults: set[str], checks: set[str]) -> Job:
    return _of(
        Job,
        row,
        cures=_only(row["cures"], faults),
        reveals=tuple(check for check in row["reveals"] if check in checks),
    )


def _check(row: Mapping[str, Any], faults: set[str], measures: Mapping[str, Measure]) -> Check:
    kept = tuple(measure for measure in row["measures"] if measure in measures)
    bare = row["answers"] == "measure" and not kept
    return _of(
        Check,
        row,
        links=_only(row["links"], faults),
        measures=kept,
        answers="yes_no" if bare else row["answers"],
    )


def _measure(row: Mapping[str, Any], faults: set[str]) -> Measure:
    own = {fault: pair for fault, pair in row["parts"].items() if fault in faults}
    return _of(
        Measure,
        row,
        healthy=readers.parts({"": row["healthy"]}, row["mark"])[""],
        parts=readers.parts(own, row["mark"]),
        limits={name: (op, value) for name, (op, value, _) in row["limits"].items()},
        limit_marks={name: mark for name, (_, _, mark) in row["limits"].items()},
    )


def _limit(row: Mapping[str, Any]) -> Limit:
    """A number of one's own brings its own mark: it is not the remembered one any more."""
    return _of(Limit, row, mark=row["marks"].get("value", row["mark"]))


def _estimate(row: Mapping[str, Any]) -> Estimate:
    return _of(Estimate, row, mark=row["marks"].get("value", row["mark"]))


def _symptom(row: Mapping[str, Any], faults: set[str], checks: set[str]) -> Symptom:
    return _of(
        Symptom,
        row,
        links=_only(row["links"], faults),
        also={check: answer for check, answer in row["also"].items() if check in checks},
    )


def _shots(rows: Iterable[Row], checks: set[str]) -> dict[str, Shot]:
    shots = {}
    for _, row in rows:
        shot = _of(
            Shot,
            row,
            checks=tuple(check for check in row["checks"] if check in checks),
            chips=tuple(chip for chip in row["chips"] if _speaks(chip, checks)),
        )
        if shot.checks:
            shots[shot.id] = shot
    return shots


def _question(row: Mapping[str, Any], checks: set[str]) -> Question:
    options = tuple(
        Option(words=words, says=tuple(chip for chip in says if _speaks(chip, checks)))
        for words, says in row["options"]
    )
    return _of(Question, row, options=options)


def _speaks(chip: Any, checks: set[str]) -> bool:
    return chip.target != "check" or chip.id in checks


def _changed(rows: Iterable[Row]) -> Changed:
    return {
        (entry.name(), *(str(part) for part in path)): before
        for entry, _ in rows
        for path, before in entry.before.items()
    }


def _marks(kind: Mapping[str, Any], rows: Rows) -> dict[str, str]:
    own = {f"kind.{kind['id']}.{number}": mark for number, mark in kind["marks"].items()}
    return own | {
        f"{section}.{entry.name()}.{number}": mark
        for section, group in rows.items()
        for entry, row in group
        for number, mark in row["marks"].items()
    }
