"""What a kept file of sound, vibration or light says, with the options it was kept with."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from typing import Any

from retrue.base.refusals import Problem, Unusable
from retrue.base.say import say
from retrue.base.units import number
from retrue.cases.prove.proof import flat
from retrue.cases.prove.recording import Recording
from retrue.cases.prove.sensed import Sense
from retrue.cases.prove.sound import Asked, Sound, sound

KNOWN = "calibration_file"  # option that is a file of its own: a recording of a known level
NUMBERS: Mapping[str, tuple[str, ...]] = {
    "sound": ("calibration_db", "offset_db", "channel"),
    "vibration": (),
    "light": (),
}


def option_problems(one: Sense, options: Mapping[str, str]) -> Iterator[Problem]:
    """Options that are no numbers where they must be.

    Parameters
    ----------
    one : Sense
        Of what.
    options : mapping of str to str
        As typed.

    Yields
    ------
    Problem

    Examples
    --------
    >>> from retrue.cases.prove.sensed import sense
    >>> [p.where for p in option_problems(sense("sound"), {"offset_db": "loud"})]
    ['offset_db']
    """
    for name in NUMBERS[one.sort]:
        if name in options:
            try:
                number(options[name], field=name)
            except Unusable as wrong:
                yield Problem(name, wrong.problems[0].what if wrong.problems else wrong.reason,
                              wrong.remedy)  # fmt: skip


def file_answer(
    one: Sense,
    read: Sound,
    options: Mapping[str, str],
    *,
    known: Recording | None = None,
    checked: bool = False,
    speed_rpm: float | None = None,
) -> dict[str, Any]:
    """What a file says.

    Parameters
    ----------
    one : Sense
        Of what.
    read : Recording or Table
        As it was read.
    options : mapping of str to str
        As typed.
    known : Recording or None
        Of a known level.
    checked : bool
        The meter of a table is checked.
    speed_rpm : float or None
        Of the spindle.

    Returns
    -------
    dict
        Flat, with ``schema`` and ``why``.

    Raises
    ------
    Unusable
        It cannot be worked out; what is wrong is named.

    Examples
    --------
    >>> from retrue.cases.prove.sensed import sense
    >>> from retrue.cases.prove.table import read_table
    >>> table = read_table(b"level_a_db\\n80\\n82\\n", "ear.csv")
    >>> made = file_answer(sense("sound"), table, {}, checked=True)
    >>> round(made["level_a_db"], 2), made["calibrated"], made["uncertainty"]["level_a_db"]
    (81.11, True, 2.0)
    """
    return _sound(read, options, known, checked)


def _sound(
    read: Sound, options: Mapping[str, str], known: Recording | None, checked: bool
) -> dict[str, Any]:
    channel = _real(options, "channel")
    return flat(
        sound(
            Asked(
                sound=read,
                known=known,
                known_db=_real(options, "calibration_db"),
                offset_db=_real(options, "offset_db"),
                channel=None if channel is None else int(channel),
                checked=checked and not isinstance(read, Recording),
            )
        )
    )


def _real(options: Mapping[str, str], name: str) -> float | None:
    return float(number(options[name], field=name)) if name in options else None


def recording_of(read: Sound, name: str) -> Recording:
    """The recording of a known level; a table is none.

    Parameters
    ----------
    read : Recording or Table
        As it was read.
    name : str
        For the refusal.

    Returns
    -------
    Recording

    Raises
    ------
    Unusable
        It is a table.
    """
    if isinstance(read, Recording):
        return read
    raise Unusable(
        say("{name} is no recording of a known level", name=name),
        remedy=say("Record the calibrator with the same recorder, the gain left alone."),
        problems=(Problem(KNOWN, say("is a table")),),
    )
