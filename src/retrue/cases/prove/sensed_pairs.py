"""What was measured, held side by side: before and after, own baseline, which source first."""

from __future__ import annotations

from collections.abc import Hashable, Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, fields
from typing import Any, Literal

from retrue.base.say import say
from retrue.cases.prove.sense_drawing import BandLevels, BandsDrawing, BeforeAfter
from retrue.cases.prove.sensed import OFF, SensedLine, plain
from retrue.records.waking import Sensed
from retrue.science.sound_level import Source, background_correction, sources

AGAIN_DB = 1.0  # one level against another minutes later, same meter and place, k = 2 (judgement)
AGAIN_INDICATIVE_DB = 2.0  # the same with a telephone (judgement)


@dataclass(frozen=True, slots=True, kw_only=True)
class Pair:
    """The same place in the same state, before something was done and after it."""

    before: SensedLine
    after: SensedLine
    change: BeforeAfter
    bands: BandsDrawing | None = None  # None: one of them has no bands
    mind: tuple[str, ...] = ()  # what stands against comparing them

    @property
    def says(self) -> str:
        """The change in words."""
        return change_words(self.change)


@dataclass(frozen=True, slots=True, kw_only=True)
class Baseline:
    """Vibration at one place and speed: the first that was kept, and the newest."""

    first: SensedLine
    newest: SensedLine
    change: BeforeAfter

    @property
    def alone(self) -> bool:
        """There is only the first one."""
        return self.first.id == self.newest.id


@dataclass(frozen=True, slots=True, kw_only=True)
class SourceOrder:
    """Which sound first: all of it, and with one source switched off at a time."""

    all_of_it: SensedLine
    sources: tuple[Source, ...]
    give_or_take_db: float  # of one reading against another


def same_place(line: SensedLine) -> tuple[Hashable, ...]:
    """What must be the same for two readings to stand side by side.

    Parameters
    ----------
    line : SensedLine
        As measured.

    Returns
    -------
    tuple
        Sort, place, state, speed, and the source that was off, last.

    Notes
    -----
    A speed that nobody said is a speed of its own.
    """
    said = line.said
    speed = None if said.speed_rpm is None else round(said.speed_rpm)
    return said.sort, plain(said.point), plain(said.state), speed, plain(line.without)


@dataclass(frozen=True, slots=True, kw_only=True)
class Alone:
    """A level without what is heard at the same place with the machine off."""

    line: SensedLine
    background: SensedLine
    level_db: float
    ruling: Literal["nothing", "taken", "upper_bound"]


def background_of(lines: Sequence[SensedLine], said: Sensed) -> SensedLine | None:
    """What was read last at the same place with the machine off.

    Parameters
    ----------
    lines : sequence of SensedLine
        Of one machine, oldest first.
    said : Sensed
        A level.

    Returns
    -------
    SensedLine or None
        None where nobody has read it, or where this is it.

    Examples
    --------
    >>> background_of([], Sensed(lot="a", machine="b", sort="sound")) is None
    True
    """
    if said.sort != "sound" or plain(said.state) == OFF:
        return None
    for line in reversed(lines):
        here = line.sense.sort == "sound" and plain(line.said.point) == plain(said.point)
        if here and plain(line.said.state) == OFF and line.value is not None:
            return line
    return None


def alone(lines: Sequence[SensedLine]) -> Alone | None:
    """The newest whole sound of the machine, the background taken off.

    Parameters
    ----------
    lines : sequence of SensedLine
        Of one machine, oldest first.

    Returns
    -------
    Alone or None
        None where there is no background at the place of the newest level.

    Notes
    -----
    Over 15 dB nothing is taken off; under 6 dB the level is an upper bound (ISO 3744:2010, 8.2.3).

    Examples
    --------
    >>> alone([]) is None
    True
    """
    heard = [
        one
        for one in lines
        if one.sense.sort == "sound"
        and one.value is not None
        and not one.without
        and plain(one.said.state) != OFF
    ]
    found = background_of(lines, heard[-1].said) if heard else None
    if found is None:
        return None
    level = float(heard[-1].value or 0.0)
    off = background_correction(level - float(found.value or 0.0))
    return Alone(line=heard[-1], background=found, level_db=level - off.k1_db, ruling=off.ruling)


def change_words(change: BeforeAfter) -> str:
    """Whether a change is more than its doubt, in words.

    Parameters
    ----------
    change : BeforeAfter
        Of one number.

    Returns
    -------
    str

    Examples
    --------
    >>> change_words(BeforeAfter(name="level", unit="dB(A)", before=93.0, after=83.0,
    ...                          before_give_or_take=2.0, after_give_or_take=2.0))
    'better, by more than the doubt'
    """
    return {
        "better": say("better, by more than the doubt"),
        "worse": say("worse, by more than the doubt"),
        "cannot_tell": say("no change that the instrument can see"),
        "unknown": say("not known: one of them has no number"),
    }[change.told]


def pairs(lines: Iterable[SensedLine]) -> tuple[Pair, ...]:
    """Each place and state with its newest reading after, and the newest one before that.

    Parameters
    ----------
    lines : iterable of SensedLine
        Of one machine, oldest first.

    Returns
    -------
    tuple of Pair
        In the order of what was measured after.

    Examples
    --------
    >>> pairs([])
    ()
    """
    found: dict[Hashable, Pair] = {}
    earlier: dict[Hashable, SensedLine] = {}
    for line in lines:
        key = same_place(line)
        if line.said.when == "before" and line.value is not None:
            earlier[key] = line
        if line.said.when == "after" and line.value is not None and key in earlier:
            found.pop(key, None)
            found[key] = pair(earlier[key], line)
    return tuple(found.values())


def pair(before: SensedLine, after: SensedLine) -> Pair:
    """Two readings side by side.

    Parameters
    ----------
    before, after : SensedLine
        Of one sort, place and state.

    Returns
    -------
    Pair

    Notes
    -----
    ``pairs`` chooses which two stand side by side.
    """
    return Pair(
        before=before,
        after=after,
        change=_change(before, after),
        bands=_bands(before, after),
        mind=tuple(_mind(before, after)),
    )


def baselines(lines: Iterable[SensedLine]) -> tuple[Baseline, ...]:
    """Vibration against itself: the first that was kept at the same place, state and speed.

    Parameters
    ----------
    lines : iterable of SensedLine
        Of one machine, oldest first.

    Returns
    -------
    tuple of Baseline
        One for each place, state and speed.

    Examples
    --------
    >>> baselines([])
    ()
    """
    groups: dict[Hashable, list[SensedLine]] = {}
    for line in lines:
        if line.sense.sort == "vibration" and line.value is not None:
            groups.setdefault(same_place(line), []).append(line)
    return tuple(
        Baseline(first=group[0], newest=group[-1], change=_change(group[0], group[-1]))
        for group in groups.values()
    )


def source_order(lines: Iterable[SensedLine]) -> SourceOrder | None:
    """Which source first, by switching one off at a time at the same place.

    Parameters
    ----------
    lines : iterable of SensedLine
        Of one machine, oldest first.

    Returns
    -------
    SourceOrder or None
        The whole sound is the newest one before the source was switched off.
        Of the place, state and speed where a source was switched off last, or of a table of what
        was off; None where none was.

    Raises
    ------
    Unusable
        With a source off it was much louder: not the same state twice.

    Examples
    --------
    >>> source_order([]) is None
    True
    """
    heard = [one for one in lines if one.sense.sort == "sound" and one.value is not None]
    for last in reversed([one for one in heard if one.without or one.answer.get("sources")]):
        if last.answer.get("sources"):
            return _of_file(last)
        here = [one for one in heard if same_place(one)[:-1] == same_place(last)[:-1]]
        whole = [one for one in here if not one.without]
        if not whole:
            continue
        earlier = [one for one in whole if one.record.seq < last.record.seq]
        loud = earlier[-1] if earlier else whole[0]
        off = {
            plain(one.without): one
            for one in here
            if one.without and (one.record.seq > loud.record.seq or not earlier)
        }
        told = {one.without: float(one.value or 0.0) for one in off.values()}
        sure = all(one.answer.get("calibrated") for one in (loud, *off.values()))
        doubt = AGAIN_DB if sure else AGAIN_INDICATIVE_DB
        made = sources(float(loud.value or 0.0), told, doubt)
        return SourceOrder(all_of_it=loud, sources=made, give_or_take_db=doubt)
    return None


def _of_file(line: SensedLine) -> SourceOrder:
    """The order that a table of what was off has told already."""
    names = [one.name for one in fields(Source)]
    told = tuple(Source(**{name: row[name] for name in names}) for row in line.answer["sources"])
    sure = line.answer.get("calibrated")
    doubt = AGAIN_DB if sure else AGAIN_INDICATIVE_DB
    return SourceOrder(all_of_it=line, sources=told, give_or_take_db=doubt)


def _change(before: SensedLine, after: SensedLine) -> BeforeAfter:
    one = before.sense
    return BeforeAfter(
        name=one.name,
        unit=one.unit,
        before=before.value,
        after=after.value,
        before_give_or_take=before.give_or_take,
        after_give_or_take=after.give_or_take,
        digits=one.digits,
        better=one.better,
        again=_again(before, after),
    )


def _again(before: SensedLine, after: SensedLine) -> float | None:
    """How surely a change of level is told where one and the same instrument read both.

    What the instrument itself is off falls out of a difference; what is left is reading it again.
    """
    if before.sense.sort != "sound" or not before.instrument:
        return None
    if before.instrument != after.instrument:
        return None
    sure = before.answer.get("calibrated") and after.answer.get("calibrated")
    return AGAIN_DB if sure else AGAIN_INDICATIVE_DB


def _mind(before: SensedLine, after: SensedLine) -> Iterator[str]:
    sure = [bool(one.answer.get("calibrated")) for one in (before, after)]
    if before.sense.sort == "sound" and sure[0] != sure[1]:
        yield say("One of the two was heard beside a known level, the other was not.")
    if before.instrument != after.instrument:
        yield say("They were not read with the same instrument.")
    elif not before.instrument and before.sense.sort == "sound":
        yield say("With the instrument named both times, a smaller change would show.")
    elif before.sense.sort == "sound":
        yield say("One instrument read both: what it is off by falls out of the change.")
    if before.sense.sort != "light" and before.said.speed_rpm is None:
        yield say("Nobody said at which speed; at another speed it is another sound.")


def _bands(before: SensedLine, after: SensedLine) -> BandsDrawing | None:
    first, second = _levels(before.answer), _levels(after.answer)
    if not first or not second:
        return None
    named = tuple(sorted(first.keys() | second.keys()))
    return BandsDrawing(
        nominal_hz=named,
        series=(
            _series(say("before"), named, first, before),
            _series(say("after"), named, second, after),
        ),
        calibrated=bool(before.answer.get("calibrated") and after.answer.get("calibrated")),
        point=after.said.point,
        state=after.said.state,
    )


def _series(
    name: str, named: Sequence[float], levels: Mapping[float, float | None], line: SensedLine
) -> BandLevels:
    return BandLevels(
        name=name, level_db=tuple(levels.get(hz) for hz in named), level_a_db=line.value
    )


def _levels(answer: Mapping[str, Any]) -> dict[float, float | None]:
    return {float(one["frequency_hz"]): one["level_db"] for one in answer.get("bands") or ()}
