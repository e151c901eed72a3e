"""The bands of a stage: worked out from the plate before the start, written down, read against."""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass, field, replace
from typing import Any

from retrue.base.refusals import Unusable
from retrue.base.say import later
from retrue.base.units import convert, read
from retrue.cases.wake.lines import BandLine, Expected
from retrue.cases.wake.run_in_bands import axis_line, hours_line, minutes_line, rise_line
from retrue.kinds.library import Kind
from retrue.kinds.waking import Bound, RunInStep, Stage, StageBand

SPEED = "N21"  # highest spindle speed: what a step of the run-in is a share of ...
CHUCK_SPEED = "N42"  # ... and that of its chuck, where that is lower
EACH_MOTOR = "N46"  # one value, or one for each motor: "coolant 3.2 A; conveyor 0.8 A"
PHASES = "N05"
ENDS = ("expected_low", "expected_high", "abort_low", "abort_high")
SAME = ("name", "words", "unit", "taken_by", "note", "mark", "hold", "hard", "least")
_NAMED = re.compile(r"(?P<name>[^;:=]*?[^\W\d_])\s*[:=]?\s*(?P<amount>\d+(?:[.,]\d+)?\s*m?A?)\s*$")


@dataclass(frozen=True, slots=True, kw_only=True)
class Known:
    """What is known of a machine before a stage.

    Attributes
    ----------
    plate : mapping of str to str
        Stamped values by their ids, as typed.
    read : mapping of str to float
        Readings of earlier stages by name; of several points their mean.
    not_fitted : frozenset of str
        Faults that cannot be, for the part is not fitted.
    speed_rpm : float or None
        Highest spindle speed, where the machine's own page says it and the plate does not.
    """

    plate: Mapping[str, str] = field(default_factory=dict)
    read: Mapping[str, float] = field(default_factory=dict)
    not_fitted: frozenset[str] = frozenset()
    speed_rpm: float | None = None

    def number(self, entry: str, unit: str = "") -> float | None:
        """A value of the plate as a number in the unit of its table; None where there is none.

        Examples
        --------
        >>> Known(plate={"N04": "400 V"}).number("N04", "V"), Known().number("N04", "V")
        (400.0, None)
        """
        return stamped_number(self.plate.get(entry, ""), unit)

    def top_speed_rpm(self) -> float | None:
        """The highest speed that may turn: of the spindle, or of its chuck where that is lower."""
        spindle = self.number(SPEED, "1/min") or self.speed_rpm
        chuck = self.number(CHUCK_SPEED, "1/min")
        return spindle if spindle is None or chuck is None else min(spindle, chuck)


def stamped_number(text: str, unit: str) -> float | None:
    """A stamped value as a number.

    Parameters
    ----------
    text : str
        As typed: 400, 400 V, 0.4 kV.
    unit : str
        Of the plate's table.

    Returns
    -------
    float or None
        None where it is no positive number, or in a unit of another sort.

    Examples
    --------
    >>> stamped_number("0,4 kV", "V"), stamped_number("8000 1/min", "1/min")
    (400.0, 8000.0)
    >>> stamped_number("three", "V") is None
    True
    """
    bare = text.strip().removesuffix(unit) if unit[:1].isdigit() else text  # 1/min
    try:
        found = read(bare, field="plate")
        amount = found.value
        if found.unit and unit and found.unit != unit:
            amount = convert(found.value, found.unit, unit, field="plate")
    except Unusable:
        return None
    return float(amount) if amount > 0 else None


def motors_of(text: str) -> dict[str, float]:
    """The small motors of the plate with their currents, by name.

    Parameters
    ----------
    text : str
        "coolant 3.2 A; conveyor 0.8 A"; or one number for all.

    Returns
    -------
    dict of str to float
        Ampere; one number alone stands under the empty name; nothing where none can be read.

    Examples
    --------
    >>> motors_of("coolant pump 3,2 A; conveyor: 0.8"), motors_of("2.5 A"), motors_of("see list")
    ({'coolant pump': 3.2, 'conveyor': 0.8}, {'': 2.5}, {})
    """
    alone = stamped_number(text, "A")
    if alone is not None:
        return {"": alone}
    found = {}
    for part in re.split(r"[;\n]", text):
        named = _NAMED.fullmatch(part.strip())
        amount = stamped_number(named["amount"], "A") if named else None
        if named is None or amount is None:
            return {}
        found[named["name"].strip()] = amount
    return found


def bands_of(
    kind: Kind,
    stage: Stage,
    known: Known,
    *,
    choice: str = "",
    typed: Iterable[Expected] = (),
) -> tuple[BandLine, ...]:
    """The bands of a stage as they stand now.

    Parameters
    ----------
    kind : Kind
    stage : Stage
        Of that kind.
    known : Known
        The plate, earlier readings, what is not fitted.
    choice : str
        Of the stage's choices; empty: not chosen yet, and the bands of all are told.
    typed : iterable of Expected
        Bands typed for this start.

    Returns
    -------
    tuple of BandLine
        Those of parts that are not fitted fall away. One whose plate value is missing says which
        (``lacks``), unless it was typed.

    References
    ----------
    Supply within 10 per cent of rated, IEC 60204-1:2016, 4.3.2 (from memory). Mean and peak of a
    rectified three-phase supply, 1.35 and 1.41 of the line volts: 3 sqrt(2) / pi and sqrt(2). The
    other shares are common practice, no source.

    Examples
    --------
    >>> from retrue.kinds.load import load
    >>> mill = load()["vertical_machining_centre"]
    >>> volts = bands_of(mill, mill.stages["P1-V"], Known(plate={"N04": "400 V"}))[0]
    >>> volts.name, volts.expected_low, volts.abort_high
    ('line_volts', 380.0, 440.0)
    """
    told = {one.name: one for one in typed}
    lines = [
        _typed(line, told.get(band.name))
        for band in kind.stage_readings.get(stage.id, ())
        if _there(band, known, choice)
        for line in _lines(kind, band, known)
    ]
    lines += [rise_line(step) for step in steps_of(kind, stage, "spindle")]
    lines += [minutes_line(step) for step in steps_of(kind, stage, "spindle")]
    lines += [axis_line(step) for step in steps_of(kind, stage, "axis")]
    if stage.pieces_hours:
        lines.append(hours_line(stage))
    return tuple(lines)


def steps_of(kind: Kind, stage: Stage, ladder: str = "spindle") -> tuple[RunInStep, ...]:
    """The steps of the run-in that belong to a stage, in their order.

    Parameters
    ----------
    kind : Kind
    stage : Stage
    ladder : str
        spindle or axis.

    Returns
    -------
    tuple of RunInStep
    """
    mine = [one for one in kind.run_in if one.stage == stage.stage and one.ladder == ladder]
    return tuple(sorted(mine, key=lambda one: one.step))


def run_in_of(kind: Kind, stage: Stage) -> tuple[RunInStep, ...]:
    """All steps of the run-in that belong to a stage: of its spindle, or of its axes.

    Parameters
    ----------
    kind : Kind
    stage : Stage

    Returns
    -------
    tuple of RunInStep

    Examples
    --------
    >>> from retrue.kinds.load import load
    >>> mill = load()["vertical_machining_centre"]
    >>> [len(run_in_of(mill, mill.stages[id])) for id in ("P7-V", "P8-V", "P10-V")]
    [0, 9, 3]
    """
    return (*steps_of(kind, stage, "spindle"), *steps_of(kind, stage, "axis"))


def step_rpm(step: RunInStep | None, known: Known) -> float | None:
    """The speed of a step of the spindle.

    Parameters
    ----------
    step : RunInStep or None
    known : Known

    Returns
    -------
    float or None
        None where the highest speed is not known, or it is no step of a spindle.

    Examples
    --------
    >>> from retrue.kinds.load import load
    >>> mill = load()["vertical_machining_centre"]
    >>> step_rpm(steps_of(mill, mill.stages["P8-V"])[1], Known(speed_rpm=8000.0))
    800.0
    """
    top = known.top_speed_rpm()
    if step is None or step.ladder != "spindle" or top is None:
        return None
    return top * step.percent / 100.0


def _there(band: StageBand, known: Known, choice: str) -> bool:
    """Whether a machine has what a band reads, and the band is the one meant."""
    if band.without and all(fault in known.not_fitted for fault in band.without):
        return False
    if choice and band.for_choice and band.for_choice != choice:
        return False
    if band.if_stamped and known.number(band.if_stamped) is None:
        return False
    return not (band.unless_stamped and known.number(band.unless_stamped) is not None)


def _lines(kind: Kind, band: StageBand, known: Known) -> Iterator[BandLine]:
    """One line; of small motors that are named on the plate one for each."""
    motors = motors_of(known.plate.get(EACH_MOTOR, "")) if _shares(band, EACH_MOTOR) else {}
    if motors:
        for name, amps in motors.items():
            points = (name,) if name else ()
            yield replace(_line(kind, band, replace_base(known, EACH_MOTOR, amps)), points=points)
        return
    yield _line(kind, band, known)


def replace_base(known: Known, entry: str, value: float) -> Known:
    """What is known, with one value of the plate as a bare number.

    Parameters
    ----------
    known : Known
    entry : str
        Of the plate's table.
    value : float
        In the unit of that table.

    Returns
    -------
    Known

    Examples
    --------
    >>> replace_base(Known(), "N46", 3.2).number("N46", "A")
    3.2
    """
    return replace(known, plate={**known.plate, entry: f"{value:.12g}"})


def _shares(band: StageBand, of: str) -> bool:
    return any(end is not None and end.of == of for end in _bounds(band).values())


def _bounds(band: StageBand) -> dict[str, Bound | None]:
    return {end: getattr(band, end) for end in ENDS}


def _line(kind: Kind, band: StageBand, known: Known) -> BandLine:
    found: dict[str, Any] = {}
    lacks = ""
    for end, bound in _bounds(band).items():
        base = _base(kind, bound.of, known) if bound and bound.of else None
        found[end] = _rounded(bound.at(base)) if bound else None
        if bound and found[end] is None:
            lacks = bound.of
    if lacks:  # what it would be is not known; what ends it stays where it can be told
        found |= {"expected_low": None, "expected_high": None}
    points = band.points
    if points and known.number(PHASES) == 1:
        points = points[:1]
    same: dict[str, Any] = {name: getattr(band, name) for name in SAME}
    return BandLine(lacks=lacks, lacks_words=_words_of(kind, lacks), points=points, **found, **same)


def _words_of(kind: Kind, lacks: str) -> str:
    """A value of the plate, or an earlier reading, as a person reads it."""
    if lacks in kind.plate:
        entry = kind.plate[lacks]
        return later("{label} ({where})", label=entry.label, where=entry.where)
    rows = (one for bands in kind.stage_readings.values() for one in bands)
    return next((one.words for one in rows if one.name == lacks), lacks)


def _rounded(value: float | None) -> float | None:
    """Nine digits: 1.1 times 400 is 440."""
    return None if value is None else float(f"{value:.9g}")


def _base(kind: Kind, of: str, known: Known) -> float | None:
    if of in kind.plate:
        return known.number(of, kind.plate[of].unit)
    return known.read.get(of)


def _typed(line: BandLine, told: Expected | None) -> BandLine:
    """A band that was typed: tighter than the table's, or in its place where that is not known.

    A hard one, or one that holds its stage, keeps the table's; the table's ends always stay.
    """
    if told is None or line.hard or line.hold:
        return line
    ends: dict[str, float | None] = {}
    for end, typed, tighter in (("low", told.low, max), ("high", told.high, min)):
        table, abort = getattr(line, f"expected_{end}"), getattr(line, f"abort_{end}")
        known = [one for one in (typed, table) if one is not None]
        if known and abort is not None:
            known.append(abort)
        ends[f"expected_{end}"] = tighter(known) if known else None
        # Without an end of its own, outside of what was typed is outside of everything.
        ends[f"abort_{end}"] = typed if line.lacks and abort is None else abort
    mark = later("typed: {why}", why=told.why)
    return replace(line, lacks="", lacks_words="", typed=told.why, mark=mark, **ends)  # type: ignore[arg-type]  # ends by name
