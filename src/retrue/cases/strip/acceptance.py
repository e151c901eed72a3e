"""Whether cleaning is proved: read before, after, and again after running, at the same point."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass
from fractions import Fraction

from retrue.base import formatter
from retrue.base.refusals import Problem, Unusable
from retrue.base.say import later, say
from retrue.base.units import convert
from retrue.cases.strip.lines import ReadingLine, Ruling
from retrue.records.stripping import CleanReading
from retrue.science.insulation import at_40_c

CIRCUIT_MEGOHM = 1.0  # power circuit to earth at 500 V DC: IEC 60204-1, 18.3 (from memory)
MOTOR_MEGOHM = 5.0  # random-wound under 1 kV, at 40 degrees C: IEEE 43-2013 (from memory)
GAIN = 10.0  # our own rule: ten times the reading before ...
ENOUGH_MEGOHM = 100.0  # ... or this much
OPEN_MEGOHM = 20.0  # our own rule: a tape strip is open where a hand meter ends
LIKE_K, LIKE_PERCENT = 5.0, 10.0  # our own rule: two days are alike
RULED = ("insulation", "winding", "tape", "wipe")
MEGOHMS = ("insulation", "winding", "tape")
HOUSE_RULE = later("our own rule, no source")
_WORST: Mapping[Ruling, int] = {"proved_good": 0, "not_proved": 1, "proved_bad": 2}

Found = tuple[Ruling, str]


@dataclass(frozen=True, slots=True)
class PointRead:
    """The newest readings of one point; None where nothing was read."""

    place: str
    point: str
    sort: str
    before: CleanReading | None = None
    after: CleanReading | None = None
    after_running: CleanReading | None = None


def points_of(readings: Iterable[CleanReading]) -> tuple[PointRead, ...]:
    """Readings that belong together: one place, one point in the same words, one sort.

    Parameters
    ----------
    readings : iterable of CleanReading
        Oldest first; a later one takes the place of an earlier one.

    Returns
    -------
    tuple of PointRead
        In the order in which they were first read.

    Examples
    --------
    >>> points_of(())
    ()
    """
    found: dict[tuple[str, str, str], dict[str, CleanReading]] = {}
    for one in readings:
        key = (one.place, " ".join(one.point.casefold().split()), one.sort)
        found.setdefault(key, {})[one.when] = one
    made = []
    for (place, _, sort), group in found.items():
        words = next(iter(group.values())).point.strip()
        made.append(PointRead(place=place, point=words, sort=sort, **group))
    return tuple(made)


def reading_line(read: PointRead, place_name: str) -> ReadingLine:
    """One point with its ruling.

    Parameters
    ----------
    read : PointRead
    place_name : str
        As a page says it.

    Returns
    -------
    ReadingLine
        Insulation is given in megohm, whatever unit it was written in; anything else in the unit
        it was first written in, and not at all where a later unit measures something else.
    """
    ruling, why = judge(read)
    unit = _unit(read)
    times = (read.before, read.after, read.after_running)
    numbers = [_number(one, read.sort, unit) for one in times]
    if any(one and one.reading is not None and n is None
           for one, n in zip(times, numbers, strict=True)):  # fmt: skip
        units = ", ".join(map(str, dict.fromkeys(one.unit or say("none") for one in times if one)))
        why = say("{why}; its units cannot be compared: {units}", why=why, units=units)
    seen = [one.seen if one else "" for one in times]
    point = ": ".join(str(word) for word in (place_name, read.point) if word)
    return ReadingLine(
        point=point, sort=read.sort, unit=unit, ruling=ruling, why=why,
        before=numbers[0], after=numbers[1], after_running=numbers[2],
        before_seen=seen[0], after_seen=seen[1], after_running_seen=seen[2],
    )  # fmt: skip


def judge(read: PointRead) -> tuple[Ruling | None, str]:
    """What the readings of one point say of the cleaning.

    Parameters
    ----------
    read : PointRead

    Returns
    -------
    ruling : str or None
        proved_good, not_proved or proved_bad; None for sorts without a rule.
    why : str

    Notes
    -----
    A power circuit reads at least 1 megohm to earth at 500 V DC, a motor at least 5 megohm brought
    to 40 degrees C (halving for every 10 K, the careful one of the two ways). Besides, the reading
    after is ten times the one before, at the same point on a day alike, or at least 100 megohm:
    our own rule, no source. Below the floor, or worse than before, is proved bad, however high;
    less than before on another sort of day, or a floor that is kept without that gain, proves
    nothing. After running the same is asked again.

    References
    ----------
    IEC 60204-1:2016, 18.3 (from memory). IEEE Std 43-2013, clause 12 (from memory).
    """
    if read.sort not in RULED:
        return None, say("no rule is known for it")
    if read.after is None and read.after_running is None:
        return "not_proved", say("not read after cleaning yet")
    found = [_one(read, late) for late in (read.after, read.after_running) if late]
    ruling, why = max(found, key=lambda one: _WORST[one[0]])
    if ruling == "proved_good" and read.after_running is None:
        why = say("{why}; read it again after running", why=why)
    return ruling, why


def accepted(lines: Sequence[ReadingLine]) -> tuple[bool | None, str]:
    """Whether all readings together prove that it is clean.

    Parameters
    ----------
    lines : sequence of ReadingLine

    Returns
    -------
    accepted : bool or None
        True: every point that has a rule is proved good, also after running, a power circuit and
        a motor among them. False: one is proved bad. None: not proved.
    why : str

    Examples
    --------
    >>> accepted(())
    (None, 'nothing was read yet')
    """
    ruled = [line for line in lines if line.ruling is not None]
    if not ruled:
        return None, say("nothing was read yet")
    bad = [line.point for line in ruled if line.ruling == "proved_bad"]
    if bad:
        return False, say("proved bad: {points}", points="; ".join(map(str, bad)))
    still = [line.point for line in ruled if line.ruling == "not_proved"]
    if still:
        return None, say("not proved: {points}", points="; ".join(map(str, still)))
    for sort, what in (
        ("insulation", say("no power circuit was read to earth")),
        ("winding", say("no motor was read")),
    ):
        if not any(line.sort == sort for line in ruled):
            return None, what
    later = [line.point for line in ruled if not _again(line)]
    if later:
        return None, say("again after running: {points}", points="; ".join(map(str, later)))
    unread = [line.point for line in ruled if line.sort in MEGOHMS and line.before is None]
    if unread:
        return True, say(
            "every point is proved good, after and again after running; before, nobody read: "
            "{points}",
            points="; ".join(map(str, unread)),
        )
    return True, say("every point is proved good, before, after, and again after running")


def megohm_of(reading: CleanReading) -> float | None:
    """A reading of insulation in megohm.

    Parameters
    ----------
    reading : CleanReading

    Returns
    -------
    float or None
        None where nothing was read.

    Raises
    ------
    Unusable
        No unit was written, or one that measures something else.

    Examples
    --------
    >>> megohm_of(CleanReading(lot="l", machine="m", place="cabinet", when="after",
    ...                        sort="insulation", reading=0.5, unit="GΩ"))
    500.0
    """
    if reading.reading is None:
        return None
    if not reading.unit.strip():
        what, remedy = say("has no unit"), say("Write it as read: 20 MΩ.")
        raise Unusable(
            say("a reading of insulation is nothing without its unit"),
            remedy=remedy,
            problems=(Problem("unit", what, remedy),),
        )
    return float(convert(Fraction(reading.reading), reading.unit, "megohm", field="unit"))


def _again(line: ReadingLine) -> bool:
    return line.after_running is not None or bool(line.after_running_seen)


def _unit(read: PointRead) -> str:
    if read.sort in MEGOHMS:
        return "MΩ"
    times = (read.before, read.after, read.after_running)
    return next((one.unit for one in times if one and one.unit), "")


def _number(one: CleanReading | None, sort: str, unit: str) -> float | None:
    if one is None or one.reading is None:
        return None
    if sort in MEGOHMS:
        return megohm_of(one)
    if one.unit == unit:
        return one.reading
    try:
        return float(convert(Fraction(one.reading), one.unit, unit, field="unit"))
    except Unusable:
        return None


def _one(read: PointRead, late: CleanReading) -> Found:
    if read.sort == "wipe":
        return _wiped(late)
    if read.sort == "tape":
        return _taped(late)
    floor = _floor(read.sort, late)
    return floor if floor[0] != "proved_good" else _gained(read.before, late)


def _wiped(late: CleanReading) -> Found:
    match late.seen:
        case "clean":
            return "proved_good", say("the towel is clean")
        case "dirty":
            return "proved_bad", say("the towel is dirty")
        case "grey":
            return "not_proved", say("the towel is grey: wipe once more")
    return "not_proved", say("nobody said what the towel shows")


def _taped(late: CleanReading) -> Found:
    value = megohm_of(late)
    if value is not None and value < OPEN_MEGOHM:
        limit = formatter.number(OPEN_MEGOHM, 0)
        return "proved_bad", say(
            "the tape still conducts: under {limit} MΩ ({rule})", limit=limit, rule=HOUSE_RULE
        )
    if late.seen == "dirty":
        return "proved_bad", say("the tape is dirty")
    if late.seen == "grey":
        return "not_proved", say("the tape is grey: clean once more")
    if value is None and not late.seen:
        return "not_proved", say("nobody said what the tape shows")
    return "proved_good", say("the tape is clean")


def _floor(sort: str, late: CleanReading) -> Found:
    """Whether the reading stands above what the standard asks."""
    value = megohm_of(late)
    if value is None:
        return "not_proved", say("no number was read")
    if value < CIRCUIT_MEGOHM:
        return "proved_bad", say("under 1 MΩ to earth (IEC 60204-1, 18.3, from memory)")
    if sort == "insulation":
        return "proved_good", ""
    if late.air_c is None:
        return "not_proved", say("a motor's reading needs the temperature of its winding")
    try:
        warm = at_40_c(value, late.air_c)
    except Unusable as slip:  # a record that was kept before stays readable, and proves nothing
        return "not_proved", slip.reason
    if warm < MOTOR_MEGOHM:
        return "proved_bad", say(
            "a motor: {value} MΩ at 40 °C, under 5 MΩ (IEEE 43-2013, from memory)",
            value=formatter.number(warm, 1),
        )
    return "proved_good", ""


def _gained(before: CleanReading | None, late: CleanReading) -> Found:
    """Ten times the reading before on a day alike, or enough by itself: our own rule."""
    value = megohm_of(late)
    assert value is not None  # the floor was passed
    first = megohm_of(before) if before else None
    unlike = _unlike(before, late) if before and first is not None else ""
    if first is not None and value < first:
        if unlike:
            return "not_proved", say("less than before cleaning; {why}", why=unlike)
        return "proved_bad", say("worse than before cleaning")
    if value >= ENOUGH_MEGOHM:
        return "proved_good", say("at least 100 MΩ ({rule})", rule=HOUSE_RULE)
    if first is None:
        return "not_proved", say("under 100 MΩ, and there is no reading from before")
    if unlike:
        return "not_proved", unlike
    if value >= GAIN * first:
        return "proved_good", say("at least ten times the reading before ({rule})", rule=HOUSE_RULE)
    return "not_proved", say(
        "under 100 MΩ and under ten times the reading before ({rule}): dry it, clean it again",
        rule=HOUSE_RULE,
    )


def _unlike(before: CleanReading, late: CleanReading) -> str:
    """Why two readings cannot be compared; empty where they can."""
    cold, warm = before.air_c, late.air_c
    dry, damp = before.humidity_percent, late.humidity_percent
    if cold is None or warm is None or dry is None or damp is None:
        return say("temperature and humidity of both days are needed to compare them")
    if abs(warm - cold) > LIKE_K or abs(damp - dry) > LIKE_PERCENT:
        return say(
            "not on a day alike: more than 5 K or 10 % of humidity apart ({rule})", rule=HOUSE_RULE
        )
    return ""
