"""What a drift means, in sentences: for the next workpiece, and for the morning."""

from __future__ import annotations

from collections.abc import Sequence

from retrue.base.formatter import number
from retrue.base.say import say
from retrue.cases.prove.deed import Options
from retrue.cases.prove.proof import Remedy, ThenRead
from retrue.cases.prove.said import amount
from retrue.science.drift import Settling, within_a_part


def headline(
    first_hour: float, total: float, curve: Settling | None, sensors: int, name: str
) -> str:
    """The answer in one sentence.

    Parameters
    ----------
    first_hour, total : float
        Ranges in um, of the worst sensor.
    curve : Settling or None
        Fitted, if it comes to rest.
    sensors : int
        How many there are.
    name : str
        Of the worst one.

    Returns
    -------
    str

    Examples
    --------
    >>> headline(12.0, 14.0, None, 1, "1").replace("\\u202f", " ")
    'It drifts 12.0 µm in the first hour, 14.0 µm in the whole test.'
    """
    words = {"first": amount(first_hour, "µm"), "total": amount(total, "µm")}
    if sensors > 1:
        return say(
            "Sensor {name} drifts most: {first} in the first hour, {total} in the whole test.",
            name=name,
            **words,
        )
    return say("It drifts {first} in the first hour, {total} in the whole test.", **words)


def finds(curve: Settling | None, options: Options, by_warmth: float | None) -> tuple[str, ...]:
    """What it does to a workpiece.

    Parameters
    ----------
    curve : Settling or None
        In minutes and um.
    options : mapping
        Of the test.
    by_warmth : float or None
        Drift for each degree, um.

    Returns
    -------
    tuple of str

    Examples
    --------
    >>> finds(None, {}, None)
    ()
    """
    told = []
    if curve is not None:
        part = float(options["part_minutes"])
        told.append(
            say(
                "A workpiece of {part} minutes begun cold is off by {cold} from its first to its "
                "last cut.",
                part=number(part),
                cold=amount(within_a_part(curve, 0.0, part), "µm"),
            )
        )
        told.append(
            say(
                "Two thirds of the drift are over after {minutes} minutes.",
                minutes=number(curve.time_constant),
            )
        )
    if by_warmth is not None:
        told.append(
            say(
                "{each} for each degree, in this test.",
                each=amount(by_warmth, "µm", 2, signed=True),
            )
        )
    return tuple(told)


def remedy(curve: Settling | None, rest: float | None, options: Options) -> tuple[Remedy, ...]:
    """How long to let it run before the work begins.

    Parameters
    ----------
    curve : Settling or None
        In minutes and um.
    rest : float or None
        Minutes until it is as good as at rest.
    options : mapping
        Of the test.

    Returns
    -------
    tuple of Remedy

    Examples
    --------
    >>> remedy(None, None, {})
    ()
    """
    if curve is None or not rest:
        return ()
    return (
        Remedy(
            text=say(
                "Run it warm and read on until the indicator stays within {rest} over one "
                "workpiece, by this curve after about {minutes} minutes; set the zero then.",
                rest=amount(options["rest_um"], "µm"),
                minutes=number(rest),
            )
        ),
    )


def then_read(
    curve: Settling | None, rest: float | None, options: Options, doubt: float | None
) -> tuple[ThenRead, ...]:
    """What the same indicator shows over one workpiece that is begun warm.

    Parameters
    ----------
    curve : Settling or None
        In minutes and um.
    rest : float or None
        Minutes until it is as good as at rest.
    options : mapping
        Of the test.
    doubt : float or None
        Expanded, of a difference of two readings.

    Returns
    -------
    tuple of ThenRead

    Examples
    --------
    >>> then_read(None, None, {}, None)
    ()
    """
    if curve is None or not rest:
        return ()
    part = float(options["part_minutes"])
    ends = curve.at([rest, rest + part])
    return (
        ThenRead(
            where=say("over one workpiece of {part} minutes, begun warm", part=number(part)),
            value=float(ends[1] - ends[0]),
            unit="µm",
            give_or_take=doubt,
        ),
    )


def cannot_tell(curve: Settling | None, by_warmth: float | None) -> tuple[str, ...]:
    """What these readings leave open.

    Parameters
    ----------
    curve : Settling or None
        In minutes and um.
    by_warmth : float or None
        Drift for each degree.

    Returns
    -------
    tuple of str

    Examples
    --------
    >>> len(cannot_tell(None, None))
    3
    """
    told = [say("Drift of the spindle from drift of the room: log the air beside it.")]
    if curve is None:
        told.append(say("Where it ends: go on reading until three readings in a row agree."))
    if by_warmth is None:
        told.append(say("How much each degree brings: write the temperature beside each reading."))
    return tuple(told)


def warnings(minutes: Sequence[float], curve: Settling | None) -> tuple[str, ...]:
    """What to mind before the numbers are used.

    Parameters
    ----------
    minutes : sequence of float
        Of the readings.
    curve : Settling or None
        Fitted, whether it comes to rest or not.

    Returns
    -------
    tuple of str

    Examples
    --------
    >>> len(warnings([0.0, 30.0], None))
    1
    """
    told = []
    if max(minutes) < 60:
        told.append(say("The test was shorter than an hour: the first hour is not all in it."))
    if curve is not None and not curve.settled:
        told.append(say("It was still moving when the test ended."))
    return tuple(told)
