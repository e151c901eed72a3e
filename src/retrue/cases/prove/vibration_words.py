"""What a recording of vibration means, in sentences."""

from __future__ import annotations

from collections.abc import Sequence

from retrue.base.formatter import short
from retrue.base.say import later, say
from retrue.cases.prove.proof import Remedy
from retrue.cases.prove.said import amount
from retrue.science.spectrum_lines import SpectrumLine
from retrue.science.vibration_zones import GENERAL, change_db, zone

PARTS = {
    "outer_race": later("outer race"),
    "inner_race": later("inner race"),
    "rolling_element": later("rolling element"),
    "cage": later("cage"),
    "shaft": later("shaft, once a turn"),
    "shaft_twice": later("shaft, twice a turn"),
    "belt": later("belt"),
    "belt_twice": later("belt, twice a round"),
    "teeth": later("teeth meeting"),
    "mains": later("mains, twice their frequency"),
    "mains_60": later("mains of 60 Hz, twice their frequency"),
    **{f"other_{at}": later("what else turns, number {at}", at=f"{at}") for at in range(1, 10)},
}
CONCLUSIONS = {
    "outer_race": later("lines of the outer race stand out"),
    "inner_race": later("lines of the inner race stand out"),
    "rolling_element": later("lines of a rolling element stand out"),
    "cage": later("lines of the cage stand out"),
    "nothing_found": later("no line of a defect stands out"),
    "not_conclusive": later("not conclusive"),
}
NAMED = ("outer_race", "inner_race", "rolling_element", "cage")
MOSTLY = 0.5  # of the power: that much of it once a turn is unbalance or something bent
DOUBLED_DB = 6.0
SMALL_KW, MIDDLE_KW = 15.0, 75.0


def headline(
    velocity: float | None,
    band: tuple[float, float] | None,
    conclusion: str,
    others_said: bool = True,
) -> str:
    """The answer in one sentence.

    Parameters
    ----------
    velocity : float or None
        Millimetres a second.
    band : tuple of float or None
        Which it was measured in.
    conclusion : str
        Of the envelope; empty where there is none.
    others_said : bool
        Somebody said what else turns.

    Returns
    -------
    str

    Examples
    --------
    >>> headline(None, None, "not_conclusive")
    'Of the bearing: not conclusive.'
    """
    told = []
    if velocity is not None and band is not None:
        told.append(
            say("{velocity} from {low} to {high} Hz.", velocity=amount(velocity, "mm/s", 2),
                low=short(band[0], ".4g"), high=short(band[1], ".4g"))
        )  # fmt: skip
    if conclusion:
        told.append(say("Of the bearing: {told}.", told=concluded(conclusion, others_said)))
    return " ".join(map(str, told)) or say(
        "No velocity and no line can be told from this recording."
    )


def concluded(conclusion: str, others_said: bool) -> str:
    """A conclusion in words; a part that is named holds with an if where nobody said what turns.

    Parameters
    ----------
    conclusion : str
        Of the envelope.
    others_said : bool
        Somebody said what else turns.

    Returns
    -------
    str

    Examples
    --------
    >>> concluded("cage", True)
    'lines of the cage stand out'
    >>> concluded("outer_race", False)
    'lines of the outer race stand out, if nothing else turns near this frequency'
    """
    told = CONCLUSIONS[conclusion]
    if conclusion in NAMED and not others_said:
        return say("{told}, if nothing else turns near this frequency", told=told)
    return told


def finds(
    velocity: float | None,
    baseline: float | None,
    motor_kw: float | None,
    lines: Sequence[SpectrumLine],
    whole: bool,
) -> tuple[str, ...]:
    """What the numbers mean: own baseline first, the class of general machines second.

    Parameters
    ----------
    velocity, baseline : float or None
        Millimetres a second, now and when it was well.
    motor_kw : float or None
        Of the machine.
    lines : sequence of SpectrumLine
        Of velocity.
    whole : bool
        Measured over the whole band of the class table.

    Returns
    -------
    tuple of str

    Examples
    --------
    >>> finds(2.0, 1.0, None, (), True)[0]
    'Against its own baseline: twice as strong or more. Look for what changed.'
    """
    told = []
    if velocity and baseline:
        told.append(_against_baseline(change_db(velocity, baseline)))
    if velocity is not None and motor_kw and whole:
        name = "I" if motor_kw <= SMALL_KW else "II" if motor_kw <= MIDDLE_KW else "III"
        told.append(
            say("Among general machines, class {name}, it lies in zone {zone} ({standard}, "
                "{mark}). General machines, not spindles: ISO/TR 17243 speaks of those.",
                name=name, zone=zone(velocity, GENERAL[name]), standard=GENERAL[name].standard,
                mark=GENERAL[name].mark)
        )  # fmt: skip
    told += _of_lines(velocity, lines)
    return tuple(told)


def _against_baseline(change: float) -> str:
    if change >= DOUBLED_DB:
        return say("Against its own baseline: twice as strong or more. Look for what changed.")
    if change <= -DOUBLED_DB:
        return say("Against its own baseline: half as strong or less.")
    return say("Against its own baseline: less than twice as strong.")


def _of_lines(velocity: float | None, lines: Sequence[SpectrumLine]) -> list[str]:
    by_name = {one.name: one for one in lines if one.rms is not None}
    told = []
    once = by_name.get("shaft")
    if velocity and once is not None and (once.rms or 0.0) ** 2 > MOSTLY * velocity**2:
        told.append(
            say("Most of it comes once a turn: unbalance of spindle, holder or pulley, or "
                "something bent. Balance before you blame a bearing.")
        )  # fmt: skip
    twice = by_name.get("belt_twice")
    single = by_name.get("belt")
    if twice is not None and (single is None or (twice.rms or 0.0) > (single.rms or 0.0)):
        told.append(
            say("The belt's line stands twice a round: a worn, stiff or badly aligned belt.")
        )
    return told


def blames(conclusion: str, why: str, others_said: bool = True) -> tuple[str, ...]:
    """What the envelope blames.

    Parameters
    ----------
    conclusion, why : str
        Of the diagnosis.
    others_said : bool
        Somebody said what else turns; else it is blamed with an if.

    Returns
    -------
    tuple of str

    Examples
    --------
    >>> blames("nothing_found", "Nothing.")
    ()
    """
    if conclusion in NAMED:
        part = PARTS[conclusion]
        if others_said:
            return (say("The bearing’s {part} is struck. {why}", part=part, why=why),)
        told = say(
            "The bearing’s {part} is struck, if nothing else turns near this frequency: nobody "
            "said what else turns.", part=part,
        )  # fmt: skip
        return (told,)
    return ()


def remedy(conclusion: str, missing: str, others_said: bool = True) -> tuple[Remedy, ...]:
    """What to do next.

    Parameters
    ----------
    conclusion : str
        Empty where there is none.
    missing : str
        Why there is none.
    others_said : bool
        Somebody said what else turns.

    Returns
    -------
    tuple of Remedy

    Examples
    --------
    >>> remedy("nothing_found", "")
    ()
    """
    if conclusion in NAMED:
        text = say(
            "Record again at another speed: its line must go along with the speed. Then plan the "
            "bearing, and look for what killed it before you fit a new one."
        )
        if others_said:
            return (Remedy(text=text),)
        first = say(
            "Say what else turns (belt, pump, fan, other shafts), or that nothing does: without "
            "that it is not counted among what is wrong."
        )
        return (Remedy(text=first), Remedy(text=text))
    if conclusion == "not_conclusive":
        text = say(
            "Record longer, at a steady speed, the sensor on bare metal close to the bearing; "
            "then with the belt off. Say all that turns."
        )
        return (Remedy(text=text),)
    return (Remedy(text=missing),) if missing else ()


def cannot_tell(conclusion: str) -> tuple[str, ...]:
    """What such a recording does not determine.

    Parameters
    ----------
    conclusion : str
        Empty where there is none.

    Returns
    -------
    tuple of str

    Examples
    --------
    >>> len(cannot_tell("")), len(cannot_tell("nothing_found"))
    (1, 2)
    """
    told = [say("How much life is left: only the same reading, again and again, tells that.")]
    if conclusion in ("nothing_found", "not_conclusive"):
        told.append(
            say("Whether a ball is damaged: it often draws no line of its own. Temperature, "
                "run-out and play say more.")
        )  # fmt: skip
    return tuple(told)
