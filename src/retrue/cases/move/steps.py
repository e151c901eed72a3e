"""The steps of a move in their order, what a step waits for, and what is saved before the plug."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from retrue.base.refusals import Problem
from retrue.base.say import later, say
from retrue.cases.reckon.reckoning import Reckoning
from retrue.records.moving import DataCopy, MoveStep

MARK = "common practice, no source"


@dataclass(frozen=True, slots=True, kw_only=True)
class Step:
    """One step of the move."""

    id: str
    text: str
    asks_name: str = ""  # whose name is written: rigger, electrician
    cautions: tuple[str, ...] = ()  # ids
    where: str = ""  # seller, road, home


STEPS = (
    Step(id="carrier_asked", text="Rigger and carrier asked, their own insurance seen",
         asks_name="who", where="before"),
    Step(id="insured", text="Insurance of the move asked in writing: for which value, from floor "
         "to floor, against what", asks_name="who said so", where="before"),
    Step(id="cell_held", text="Memory cell measured in its place. It is changed with the control "
         "powered, unless its manual says otherwise", cautions=("X13",), where="seller"),
    Step(id="plugs_marked", text="Every plug numbered and photographed, both ends",
         where="seller"),
    Step(id="drained", text="Coolant and loose oil drained, tanks empty, nothing drips",
         cautions=("X45",), where="seller"),
    Step(id="axes_held", text="Axes where the lifting drawing wants them, transport brackets in, "
         "head propped", cautions=("X06",), where="seller"),
    Step(id="unplugged", text="Line taken off, by a licensed electrician where it is not a plug",
         asks_name="who", cautions=("X13", "X05"), where="seller"),
    Step(id="loaded", text="Loaded", asks_name="who lifted", cautions=("X20",), where="seller"),
    Step(id="tied", text="Tied down by the carrier, seen and photographed", asks_name="who",
         cautions=("X49",), where="road"),
    Step(id="unloaded", text="Unloaded and on its feet", asks_name="who lifted",
         cautions=("X20",), where="home"),
    Step(id="brackets_noted", text="Transport brackets tagged: they come out before first motion",
         where="home"),
)  # fmt: skip
DATA = {
    "parameters": "parameters",
    "programs": "programs",
    "pitch_tables": "pitch and compensation tables",
    "ladder": "machine logic (ladder)",
    "macros": "macros and tool-change cycles",
    "drive_settings": "settings of the drives",
    "screens": "every settings screen, photographed",
    "drawings": "drawings",
    "manual": "manuals",
    "other": "other",
}
MUST_BE_SAVED = ("parameters", "pitch_tables", "ladder")
LIFTING = ("lift", "forklift")
LIFTED = ("loaded", "unloaded")  # steps that a rigger may do by their own numbers
WAY_IN = ("skates", "ramp", "door")
SIDES = {
    "front": "front, straight on",
    "right": "right side",
    "back": "back",
    "left": "left side",
    "feet": "its feet and what it stands on",
}
ROUND = {
    "looked": later("cover, drips, vermin, doors"),
    "damp_read": later("temperature and damp of the room read"),
    "iron_read": later("temperature of bare iron read"),
    "desiccant": later("desiccant or its indicator looked at"),
    "cell_read": later("memory cell measured in its place"),
    "spindle": later("spindle turned by hand, one turn and a quarter, another rest point"),
    "axes": later("axes moved by hand a little, where they can be"),
    "oiled": later("bare iron looked at and oiled again"),
}


def saved(copies: Sequence[DataCopy]) -> Mapping[str, bool]:
    """For each sort of data that must be saved, whether it was, and read back.

    Parameters
    ----------
    copies : sequence of DataCopy
        Of one machine, those that count.

    Returns
    -------
    mapping of str to bool
        True where a copy was read back, or where it is said why there can be none.

    Examples
    --------
    >>> saved([DataCopy(lot="a", machine="b", sort="parameters", how="card", read_back=True)])
    {'parameters': True, 'pitch_tables': False, 'ladder': False}
    """
    done = {one.sort for one in copies if one.read_back or one.none.strip()}
    return {sort: sort in done for sort in MUST_BE_SAVED}


def waits_for(
    step: str,
    done: Mapping[str, MoveStep],
    copies: Sequence[DataCopy],
    reckoned: Mapping[str, Reckoning],
    rigger: str = "",
) -> tuple[Problem, ...]:
    """What a step waits for.

    Parameters
    ----------
    step : str
    done : mapping of str to MoveStep
        Steps that were done.
    copies : sequence of DataCopy
    reckoned : mapping of str to Reckoning
        The calculators as they stand.
    rigger : str
        Who lifts and brings it in by their own numbers; our own then hold nothing back.

    Returns
    -------
    tuple of Problem
        Empty where it may be done.

    Examples
    --------
    >>> [one.where for one in waits_for("unplugged", {}, [], {})]
    ['parameters', 'pitch_tables', 'ladder', 'cell_held', 'plugs_marked']
    """
    if step == "unplugged":
        return (*_unsaved(copies), *_undone(("cell_held", "plugs_marked"), done))
    if step == "loaded":
        before = _undone(("drained", "axes_held", "unplugged"), done)
        return (*before, *_lifted(reckoned, rigger))
    if step == "unloaded":
        return (*_lifted(reckoned, rigger), *_stopped(reckoned, rigger))
    return ()


def _unsaved(copies: Sequence[DataCopy]) -> tuple[Problem, ...]:
    return tuple(
        Problem(
            sort,
            say("{what}: no copy that was read back", what=say(DATA[sort])),
            say("Save it, read it back, compare; or write why there can be no copy."),
        )
        for sort, is_saved in saved(copies).items()
        if not is_saved
    )


def _undone(ids: tuple[str, ...], done: Mapping[str, MoveStep]) -> tuple[Problem, ...]:
    texts = {step.id: step.text for step in STEPS}
    return tuple(
        Problem(id, say("{text}: not done yet", text=say(texts[id])), say("Do it, and tick it."))
        for id in ids
        if id not in done
    )


def _stopped(reckoned: Mapping[str, Reckoning], rigger: str) -> tuple[Problem, ...]:
    """A way in that is a no-go, unless a rigger brings it in by their own numbers."""
    if rigger.strip():
        return ()
    return tuple(
        Problem(id, say("{title}: {why}", title=reckoned[id].title, why=one.reason), one.remedy)
        for id in WAY_IN
        if id in reckoned
        for one in reckoned[id].against
    )


def _lifted(reckoned: Mapping[str, Reckoning], rigger: str) -> tuple[Problem, ...]:
    """Numbers before every lift, or a rigger who has their own."""
    if rigger.strip() or any(reckoned[id].answer == "go" for id in LIFTING if id in reckoned):
        return ()
    return (
        Problem(
            "lift",
            say("no lift of this machine is a go in numbers"),
            say("Fill in lift or fork-lift, or name the rigger who lifts it by their own numbers."),
        ),
    )
