"""Whether a stage may be signed, and whether a cause that was found lets it be tried again."""

from __future__ import annotations

from collections.abc import Iterator

from retrue.base.formatter import short
from retrue.base.refusals import NotYet, Problem, Unusable
from retrue.base.say import say
from retrue.cases.wake.lines import StageStands
from retrue.cases.wake.stands import newest_readings
from retrue.cases.wake.written import limits_words
from retrue.kinds.waking import Stage
from retrue.records.waking import CauseFound

ROOM_C = (-10.0, 40.0)  # in which anybody works at a machine (judgement)
WARMS = "P8"  # the stage after whose abort a spindle has to cool


def refuse_signing(stands: StageStands, text: str) -> None:
    """Refuse a signature while something keeps the stage from it.

    Parameters
    ----------
    stands : StageStands
        A stage that was begun.
    text : str
        The word that whoever signs leaves on it.

    Raises
    ------
    NotYet
        One problem for each thing. A reading outside of what was expected, inside the abort
        limits, is signed only with a word on it.
    """
    problems = [*stands.unsigned, *([] if text.strip() else _outside(stands))]
    if problems:
        raise NotYet(
            say("{stage} is not signed: {count} things are open", stage=stands.stage.stage,
                count=len(problems)),
            remedy=say("Read what is missing; on a reading outside its band leave a word."),
            problems=tuple(problems),
        )  # fmt: skip


def refuse_cause(stage: Stage, fact: CauseFound, room_before_c: float | None = None) -> None:
    """Refuse a second try of a spindle before it has cooled.

    Parameters
    ----------
    stage : Stage
    fact : CauseFound
    room_before_c : float or None
        The room as it was when the stage was watched, where that is known.

    Raises
    ------
    Unusable
        Its temperature or that of the room was not measured, or no room has such a temperature,
        or one that is far from what it was.
    NotYet
        It is more than 5 K over the room.

    Examples
    --------
    >>> from retrue.kinds.load import load
    >>> fact = CauseFound(lot="l", machine="m", stage="P3-L", ended="e", name="An", cause="fuse")
    >>> refuse_cause(load()["turning_centre"].stages["P3-L"], fact)  # no spindle has to cool
    """
    if stage.stage != WARMS:
        return
    # Only after an abort; what signs a stage shall not wait for the sciences.
    from retrue.science.run_in import COOLED_K, cooled

    nose_c, room_c = fact.nose_c, fact.room_c
    if nose_c is None or room_c is None:
        missing = [name for name in ("nose_c", "room_c") if getattr(fact, name) is None]
        raise Unusable(
            say("a spindle goes on only once it has cooled"),
            remedy=say("Measure nose and room."),
            problems=tuple(Problem(name, say("is not measured")) for name in missing),
        )
    _refuse_room(nose_c, room_c, room_before_c, COOLED_K)
    if not cooled(nose_c, room_c):
        raise NotYet(
            say("the nose is {rise} K over the room", rise=short(nose_c - room_c)),
            remedy=say("Let it cool to within {kelvin} K, and measure again.",
                       kelvin=short(COOLED_K)),
            problems=(Problem("nose_c", say("has not cooled yet")),),
        )  # fmt: skip


def _refuse_room(nose_c: float, room_c: float, before_c: float | None, kelvin: float) -> None:
    """A room beside the hot spindle is no room: it is asked about, and what it was counts."""
    low, high = ROOM_C
    if not low <= room_c <= high:
        told = say("no room is at {room} °C", room=short(room_c))
    elif before_c is not None and abs(room_c - before_c) > kelvin:
        told = say("is {room} °C, and was {before} °C at the start", room=short(room_c),
                   before=short(before_c))  # fmt: skip
    elif before_c is not None and nose_c - before_c > kelvin:
        raise NotYet(
            say("the nose is {rise} K over the room as it was", rise=short(nose_c - before_c)),
            remedy=say("Let it cool to within {kelvin} K, measured.", kelvin=short(kelvin)),
            problems=(Problem("nose_c", say("has not cooled yet")),),
        )
    else:
        return
    raise Unusable(
        say("is that the room?"),
        remedy=say("Measure it in the shade, away from the machine."),
        problems=(Problem("room_c", told),),
    )


def _outside(stands: StageStands) -> Iterator[Problem]:
    step = stands.step.step if stands.step else None
    for band in stands.bands:
        if band.step not in (None, step) or band.hold:
            continue
        for one in newest_readings(band).values():
            if one.ruling == "out":
                what = "{words}: {reading} {unit} is outside of what was expected, {limits}"
                told = say(what, words=band.words, reading=short(one.reading), unit=one.unit,
                           limits=limits_words(band))  # fmt: skip
                yield Problem(band.name, told, say("Leave a word on why it may stand."))
