"""One reading of a stage: in the unit of its band, at a point of it, and what it is evidence of."""

from __future__ import annotations

from collections.abc import Iterable, Sequence
from dataclasses import replace

from retrue.base.formatter import short
from retrue.base.refusals import Problem, Unknown, Unusable
from retrue.base.say import english, say
from retrue.base.units import convert, convert_difference
from retrue.cases.known import nearest
from retrue.cases.passing import passes
from retrue.cases.wake.bands import Known
from retrue.cases.wake.lines import BandLine
from retrue.cases.wake.run_in_bands import ATTENDED, STEP_MINUTES, STEP_RISE
from retrue.cases.wake.written import limits_words, ruling
from retrue.kinds.library import Kind
from retrue.kinds.waking import Stage, StageBand
from retrue.records.facts import Channel, Finding
from retrue.records.waking import StageReading

OTHER = "other"  # a reading that no band was written for; its words stand in its point
RISE = "nose_rise"
MINUTES = "step_minutes"
OF_STEP = {RISE: STEP_RISE, MINUTES: STEP_MINUTES}  # said without the number of the step
LONGEST_PIECE_HOURS = 12.0  # nobody attends for longer: no unattended soak (judgement)
DIFFERENCES = ("K",)
SIGNED_UNITS = ("°C", "K", "K/min")  # of what may be below zero


def band_for(bands: Sequence[BandLine], name: str, point: str, step: int | None) -> BandLine | None:
    """The band a reading is held against.

    Parameters
    ----------
    bands : sequence of BandLine
        As they were written.
    name : str
        Of a band; nose_rise and step_minutes: of the step that is going on; other has none.
    point : str
        Where it was read.
    step : int or None
        Of the run-in.

    Returns
    -------
    BandLine or None
        None: it is kept without a band.

    Raises
    ------
    Unknown
        There is no such band at this stage, or at this step.
    Unusable
        It is read at named points, and this is none of them.
    """
    if name == OTHER:
        if not point.strip():
            raise _refused("point", say("is empty"), say("Say what was read."))
        return None
    wanted = f"{OF_STEP[name]}{step}" if name in OF_STEP and step is not None else name
    found = [one for one in bands if one.name == wanted and one.step in (None, step)]
    if not found:
        known = dict.fromkeys(one.name for one in bands if one.step in (None, step))
        raise Unknown(
            say("{name} is no reading of this stage", name=name),
            remedy=nearest(name, known) or say("It can be {named}.", named=", ".join(known)),
        )
    return _at_point(found, point)


def in_unit_of(band: BandLine, reading: float, unit: str) -> float:
    """A reading in the unit of its band.

    Parameters
    ----------
    band : BandLine
    reading : float
    unit : str
        As typed; empty: that of the band.

    Returns
    -------
    float

    Raises
    ------
    Unusable
        It is a unit of another sort.

    Examples
    --------
    >>> nose = BandLine(name="nose", words="", unit="°C")
    >>> in_unit_of(nose, 104.0, "°F"), in_unit_of(nose, 40.0, "")
    (40.0, 40.0)
    """
    if not unit or unit == band.unit:
        return reading
    text = f"{reading:.15g}"
    if band.unit in DIFFERENCES:
        return float(convert_difference(text, unit, band.unit, field="unit"))
    return float(convert(text, unit, band.unit, field="unit"))


def point_of(band: BandLine | None, point: str) -> str:
    """A point in the words of its band.

    Parameters
    ----------
    band : BandLine or None
    point : str
        As typed.

    Returns
    -------
    str

    Examples
    --------
    >>> point_of(BandLine(name="v", words="", unit="V", points=("L1 to L2",)), " l1 TO l2 ")
    'L1 to L2'
    """
    bare = _bare(point)
    points = band.points if band else ()
    return next((english(one) for one in points if bare in _both(one)), point.strip())


def refuse_impossible(fact: StageReading) -> None:
    """Refuse what no instrument shows, and attended hours that nobody attended.

    Parameters
    ----------
    fact : StageReading

    Raises
    ------
    Unusable
        Less than nothing of what has no sign; nobody is named, or one piece is longer than
        anybody attends.

    Examples
    --------
    >>> fact = StageReading(lot="l", machine="m", stage="P6-L", begun="b", name="x", reading=-1,
    ...                     unit="K")
    >>> refuse_impossible(fact)
    """
    if fact.reading < 0 and fact.name != OTHER and fact.unit not in SIGNED_UNITS:
        told = say("is {reading} {unit}: less than nothing", reading=short(fact.reading),
                   unit=fact.unit)  # fmt: skip
        raise _refused("reading", told, say("Write it without its sign, as the instrument shows."))
    if fact.name != ATTENDED:
        return
    if not fact.taken_by.strip():
        raise _refused("taken_by", say("is empty"), say("Write who was there all the time."))
    if not 0.0 < fact.reading <= LONGEST_PIECE_HOURS:
        told = say("is {hours} h in one piece; nobody attends for more than {most}",
                   hours=short(fact.reading), most=short(LONGEST_PIECE_HOURS))  # fmt: skip
        raise _refused("reading", told, say("Write each piece with who was there."))


def abort_words(band: BandLine | None, fact: StageReading) -> str:
    """Why a reading ends its stage; empty where it does not.

    Parameters
    ----------
    band : BandLine or None
    fact : StageReading
        In the unit of its band.

    Returns
    -------
    str

    Examples
    --------
    >>> volts = BandLine(name="v", words="Line volts", unit="V", abort_high=440.0)
    >>> fact = StageReading(lot="l", machine="m", stage="P1-V", begun="b", name="v", reading=441.0)
    >>> abort_words(volts, fact)
    'Line volts: 441 V, and no band; it ends over 440 V'
    """
    if band is None or ruling(band, fact.reading) != "abort":
        return ""
    where = f" ({fact.point})" if fact.point else ""
    return say("{words}{where}: {reading} {unit}, and {limits}", words=band.words, where=where,
               reading=short(fact.reading), unit=band.unit, limits=limits_words(band))  # fmt: skip


def finding_of(
    kind: Kind, stage: Stage, fact: StageReading, known: Known, machine: str
) -> Finding | None:
    """What a reading is evidence of as well, so that nothing is typed twice.

    Parameters
    ----------
    kind : Kind
    stage : Stage
    fact : StageReading
        In the unit of its band.
    known : Known
        For what is told as a distance from a plate value.
    machine : str
        Its id.

    Returns
    -------
    Finding or None
        None where it is no measure of the kind.
    """
    band = _row(kind, stage, fact.name)
    if band is None or band.measure not in kind.measures:
        return None
    reading = fact.reading
    if band.away_from:
        entry = kind.plate[band.away_from]
        stamped = known.number(entry.id, entry.unit)
        if stamped is None:
            return None
        reading = abs(reading - stamped) / stamped * 100.0
    measure = kind.measures[band.measure]
    return Finding(
        lot=fact.lot, machine=machine, check=measure.check, measure=measure.id, reading=reading,
        grade=4 if fact.instrument else 3, channel=channel_of(stage), text=fact.point,
    )  # fmt: skip


def worst_finding(
    kind: Kind,
    stage: Stage,
    name: str,
    mine: Iterable[StageReading],
    known: Known,
    machine: str,
) -> Finding | None:
    """What the readings of one band are evidence of together: the worst of its points.

    Parameters
    ----------
    kind : Kind
    stage : Stage
    name : str
        Of the band.
    mine : iterable of StageReading
        Of the start that is going on, oldest first; at each point the newest counts.
    known : Known
    machine : str
        Its id.

    Returns
    -------
    Finding or None
        One good motor does not speak for a bad one. Where all are good its text names every point,
        the worst first. None where it is no measure of the kind.
    """
    newest = {one.point.casefold(): one for one in mine if one.name == name}
    told = (finding_of(kind, stage, one, known, machine) for one in newest.values())
    found = [one for one in told if one is not None]
    if not found:
        return None
    high = kind.measures[found[0].measure or ""].bad_side == "high"
    worst = (max if high else min)(found, key=lambda one: one.reading or 0.0)
    others = [one.text for one in found if one is not worst and one.text]
    if not worst.text or passes(worst, kind) is False:
        return worst
    return replace(worst, text="; ".join([worst.text, *others]))


def channel_of(stage: Stage) -> Channel:
    """Where in the job a stage's readings are taken: apart, first power, running.

    Parameters
    ----------
    stage : Stage

    Returns
    -------
    str

    Examples
    --------
    >>> from retrue.kinds.load import load
    >>> stages = load()["turning_centre"].stages
    >>> [channel_of(stages[id]) for id in ("P0-L", "P3-L", "P8-L")]
    ['apart', 'power_up', 'running']
    """
    number = int(stage.stage[1:])
    return "apart" if number == 0 else "power_up" if number < 8 else "running"


def _row(kind: Kind, stage: Stage, name: str) -> StageBand | None:
    rows = kind.stage_readings.get(stage.id, ())
    found = next((one for one in rows if one.name == name), None)
    steps = [one.step for one in kind.run_in if one.stage == stage.stage]
    if found is None and steps and name == f"{STEP_RISE}{max(steps)}":
        # The nose at the end of the whole ladder is the measure of the dry run as well.
        every = [one for bands in kind.stage_readings.values() for one in bands]
        return next((one for one in every if one.name == RISE), None)
    return found


def _at_point(found: Sequence[BandLine], point: str) -> BandLine:
    points = [one for band in found for one in band.points]
    if not points:
        if found[0].least and (not any(map(str.isalnum, point)) or ";" in point):
            where = say("Say where, one place at a time: the motor, the metal part.")
            raise _refused("point", say("names no one place"), where)
        return found[0]
    for band in found:
        if any(_bare(point) in _both(one) for one in band.points):
            return band
    told = say("is {point}", point=repr(point)) if point.strip() else say("is empty")
    raise _refused("point", told, say("It can be {named}.", named=", ".join(map(str, points))))


def _bare(point: str) -> str:
    return " ".join(point.casefold().split())


def _both(point: str) -> tuple[str, str]:
    """A point of a band as records keep it, and as its reader sees it."""
    return _bare(english(point)), _bare(str(point))


def _refused(field: str, what: str, remedy: str) -> Unusable:
    return Unusable(
        say("this cannot be kept as a reading"),
        remedy=say("Mend what is named."),
        problems=(Problem(field, what, remedy),),
    )
