"""Whether a stage may begin: everything that is wanting is named at once, none of it is forced."""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass

from retrue.base.formatter import short
from retrue.base.refusals import NotYet, Problem, Unusable
from retrue.base.say import say
from retrue.cases.known import nearest
from retrue.cases.wake.bands import CHUCK_SPEED, SPEED, bands_of, run_in_of, steps_of
from retrue.cases.wake.closed import closed_lines
from retrue.cases.wake.kept import PowerKept
from retrue.cases.wake.lines import BandLine, Expected
from retrue.cases.wake.people import licence_problems, name_problems, same_person
from retrue.cases.wake.progress import Progress
from retrue.cases.wake.stands import wanting_of
from retrue.cases.wake.watch_notes import running
from retrue.cases.wake.written import limits_words, ruling, written
from retrue.kinds.waking import Stage
from retrue.records.waking import StageBegun

PRESSURE = "hydraulic_bar"
CLAMPED = "clamped"


@dataclass(frozen=True, slots=True, kw_only=True)
class Start:
    """What somebody says who wants to begin a stage.

    Attributes
    ----------
    fact : StageBegun
        Without its bands.
    choice : str
        Of the stage's choices: jaws_off, clamped.
    pressure_bar : float or None
        Proved at the cylinder and held with the pump off, where it is clamped.
    expected : tuple of Expected
        Bands that are typed, each with its reason.
    """

    fact: StageBegun
    choice: str = ""
    pressure_bar: float | None = None
    expected: tuple[Expected, ...] = ()


def bands_at(kept: PowerKept, stage: Stage, start: Start) -> tuple[BandLine, ...]:
    """The bands a stage begins with.

    Parameters
    ----------
    kept : PowerKept
    stage : Stage
    start : Start

    Returns
    -------
    tuple of BandLine
    """
    return bands_of(kept.kind, stage, kept.known, choice=start.choice, typed=start.expected)


def written_at(kept: PowerKept, stage: Stage, start: Start) -> str:
    """What is kept of it before the start: bands, choice, the whole table of the run-in.

    Parameters
    ----------
    kept : PowerKept
    stage : Stage
    start : Start

    Returns
    -------
    str
    """
    steps = run_in_of(kept.kind, stage)
    bands = bands_at(kept, stage, start)
    return written(bands, choice=start.choice, steps=steps, known=kept.known)


def step_at(kept: PowerKept, stage: Stage, step: int | None) -> int | None:
    """The step of the run-in that is begun: as said, else the next.

    Parameters
    ----------
    kept : PowerKept
    stage : Stage
    step : int or None

    Returns
    -------
    int or None
    """
    if not steps_of(kept.kind, stage):
        return None
    return step if step is not None else kept.progress[stage.id].step


def refuse_start(kept: PowerKept, stage: Stage, start: Start) -> None:
    """Refuse a start while anything is wanting.

    Parameters
    ----------
    kept : PowerKept
    stage : Stage
        Of the machine's kind.
    start : Start

    Raises
    ------
    Unusable
        What is typed as a band cannot be one.
    NotYet
        With one problem for each thing that is wanting.
    """
    typed = tuple(_typed(kept, stage, start))
    if typed:
        raise Unusable(
            say("what was typed cannot be the band"),
            remedy=say("Mend what is named."),
            problems=typed,
        )
    problems = tuple(_problems(kept, stage, start))
    if problems:
        raise NotYet(
            say("{stage} stays closed; still wanting: {count}", stage=stage.stage,
                count=len(problems)),
            remedy=say("Close what is named, one by one. Alone, only this: {alone}.",
                       alone=stage.alone_instead or stage.title),
            problems=problems,
        )  # fmt: skip


def _problems(kept: PowerKept, stage: Stage, start: Start) -> Iterator[Problem]:
    progress = kept.progress[stage.id]
    if progress.signed:
        yield Problem("stage", say("is signed already"))
        return
    if progress.begun is not None:
        yield Problem("stage", say("is going on already"), say("Sign it, leave it or abort it."))
        return
    yield from wanting_of(kept, stage, closed_lines(kept, stage), start.fact.at_switch)
    yield from _people(stage, start.fact)
    yield from _watched(stage, start.fact)
    if running(kept.watches, stage.id):
        yield Problem("watch", say("a watch of an earlier start still runs"),
                      say("End that one by name first."))  # fmt: skip
    yield from _cautions(kept, stage, start.fact)
    yield from _choice(kept, stage, start)
    yield from _run_in(kept, stage, start.fact)
    for band in bands_at(kept, stage, start):
        if band.lacks:
            yield _lacking(band)


def _people(stage: Stage, fact: StageBegun) -> Iterator[Problem]:
    if fact.by_name.strip():  # an empty one is refused before
        yield from name_problems("by_name", fact.by_name)
    if not stage.alone and same_person(fact.by_name, fact.at_switch):
        told = say("is the one who works: two people, one of them at the main switch")
        yield Problem("at_switch", told, say("Write who else stands there."))
    if stage.licensed:
        yield from licence_problems(fact.licence, stage.who)


def _watched(stage: Stage, fact: StageBegun) -> Iterator[Problem]:
    if not stage.watch:
        return
    if fact.laptop is None:
        yield Problem("laptop", say("is not said: does it stand beside the machine?"),
                      say("Yes, or no: then paper and a kitchen timer."))  # fmt: skip
    elif fact.laptop and not fact.heard:
        yield Problem("heard", say("is not said: the alarm is heard once, at the machine, first"),
                      say("Sound it and hear it, or begin with paper."))  # fmt: skip


def _cautions(kept: PowerKept, stage: Stage, fact: StageBegun) -> Iterator[Problem]:
    for id in stage.cautions:
        if id in kept.kind.cautions and id not in fact.cautions and not stage.alone:
            yield Problem(id, say("not ticked: {text}", text=kept.kind.cautions[id].text))


def _choice(kept: PowerKept, stage: Stage, start: Start) -> Iterator[Problem]:
    if not stage.choices:
        if start.choice:
            yield Problem("choice", say("is not asked at this stage"))
        return
    if start.choice not in stage.choices:
        can_be = "; ".join(f"{id}: {words}" for id, words in stage.choices.items())
        yield Problem("choice", say("is not said"), say("It can be {can_be}.", can_be=can_be))
    if start.choice == CLAMPED:
        yield from _pressure(kept, stage, start)


def _pressure(kept: PowerKept, stage: Stage, start: Start) -> Iterator[Problem]:
    band = next((one for one in bands_at(kept, stage, start) if one.name == PRESSURE), None)
    if start.pressure_bar is None:
        told = say("is not said: proved at the cylinder, and held with the pump off")
        yield Problem("pressure_bar", told, say("Read the gauge at the cylinder, or jaws off."))
    elif band is not None and ruling(band, start.pressure_bar) in ("out", "abort"):
        told = say("is {pressure} bar; wanted is {limits}", pressure=short(start.pressure_bar),
                   limits=limits_words(band))  # fmt: skip
        yield Problem("pressure_bar", told)


def _run_in(kept: PowerKept, stage: Stage, fact: StageBegun) -> Iterator[Problem]:
    steps = steps_of(kept.kind, stage)
    if not steps:
        return
    due = kept.progress[stage.id].step or 1
    if fact.step is not None and fact.step not in [one.step for one in steps]:
        yield Problem("step", say("there is no step {step}", step=fact.step))
    elif fact.step is not None and fact.step > due:
        told = say("is {step}; the next one is {due}", step=fact.step, due=due)
        yield Problem("step", told, say("No step is left out."))
    missing = [SPEED] if kept.known.top_speed_rpm() is None else []
    if CHUCK_SPEED in kept.kind.plate and kept.known.number(CHUCK_SPEED, "1/min") is None:
        missing.append(CHUCK_SPEED)
    for entry in missing:
        plate = kept.kind.plate[entry]
        told = say("{label} ({where}): not typed, and a step is a share of it", label=plate.label,
                   where=plate.where)  # fmt: skip
        yield Problem(entry, told, say("Type it from the plate."))


def _lacking(band: BandLine) -> Problem:
    told = say("{words}: its band cannot be told, for this is missing: {label}", words=band.words,
               label=band.lacks_words)  # fmt: skip
    if band.hard:
        return Problem(band.lacks, told, say("Type it from the plate; without it, no start."))
    remedy = say("Type it from the plate, or type the band itself with the reason.")
    return Problem(band.lacks, told, remedy)


def _typed(kept: PowerKept, stage: Stage, start: Start) -> Iterator[Problem]:
    every = bands_of(kept.kind, stage, kept.known, choice=start.choice)
    rows = {row.name for row in kept.kind.stage_readings.get(stage.id, ())}
    for one in start.expected:
        where = f"expected.{one.name}"
        mine = [band for band in every if band.name == one.name]
        if not mine:
            near = nearest(one.name, [band.name for band in every])
            yield Problem(where, say("is no band of this stage"), near)
        elif mine[0].hard:
            what = say("is a limit that only its plate value tells")
            yield Problem(where, what, say("Type the plate value."))
        elif mine[0].hold or one.name not in rows:
            yield Problem(where, say("holds its stage, or a step of it: it is never typed"))
        elif one.low is None and one.high is None:
            yield Problem(where, say("has no end"), say("Give the lowest, the highest, or both."))
        elif one.low is not None and one.high is not None and one.low > one.high:
            yield Problem(where, say("has its lowest above its highest"))
        elif not one.why.strip():
            yield Problem(where, say("has no reason"), say("Say where it is from."))
        else:
            yield from _wider(kept, stage, one, mine)


def _wider(
    kept: PowerKept, stage: Stage, one: Expected, mine: Sequence[BandLine]
) -> Iterator[Problem]:
    """A typed band is tighter than the table's; where that is not known, it has the same ends."""
    where = f"expected.{one.name}"
    if mine[0].lacks:
        rows = [row for row in kept.kind.stage_readings[stage.id] if row.name == one.name]
        for end, typed in (("low", one.low), ("high", one.high)):
            ends = [getattr(row, f"{way}_{end}") for row in rows for way in ("expected", "abort")]
            if typed is None and any(ends):
                missing = say("has no lowest") if end == "low" else say("has no highest")
                yield Problem(where, missing, say("Give each end that its table has."))
        return
    lows = [band.expected_low for band in mine if band.expected_low is not None]
    highs = [band.expected_high for band in mine if band.expected_high is not None]
    wider = [one.low < min(lows)] if one.low is not None and lows else []
    wider += [one.high > max(highs)] if one.high is not None and highs else []
    wider += [one.low > min(highs)] if one.low is not None and highs else []
    wider += [one.high < max(lows)] if one.high is not None and lows else []
    if any(wider):
        told = say("is not inside its table, {limits}", limits=limits_words(mine[0]))
        yield Problem(where, told, say("A band that the table tells may only be typed tighter."))


def refuse_tried(stage: Stage, progress: Progress) -> None:
    """Refuse "not fitted" for a stage that was begun once: what was woken is there.

    Parameters
    ----------
    stage : Stage
    progress : Progress

    Raises
    ------
    NotYet

    Examples
    --------
    >>> from retrue.kinds.load import load
    >>> stage = load()["turning_centre"].stages["P7-L"]
    >>> refuse_tried(stage, Progress(stage=stage))
    """
    if progress.begun is not None:
        raise NotYet(say("{stage} is going on", stage=stage.stage), remedy=say("Leave it first."))
    if progress.tried:
        raise NotYet(
            say("{stage} was begun before, so the machine has it", stage=stage.stage),
            remedy=say("Find the cause and go on; a start made by mistake is taken back."),
        )


def refuse_optional(stage: Stage, others: Sequence[str]) -> None:
    """Refuse "not fitted" for a stage that every machine of the kind has.

    Parameters
    ----------
    stage : Stage
    others : sequence of str
        Stages of the kind that may not be fitted.

    Raises
    ------
    Unusable

    Examples
    --------
    >>> from retrue.kinds.load import load
    >>> refuse_optional(load()["turning_centre"].stages["P7-L"], ("P7-L",))
    """
    if stage.optional:
        return
    known = ", ".join(map(str, others)) or say("none")
    raise Unusable(
        say("{stage} is a stage of every such machine", stage=stage.stage),
        remedy=say("These may be missing: {known}.", known=known),
        problems=(Problem("stage", say("cannot be left out")),),
    )
