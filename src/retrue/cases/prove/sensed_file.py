"""What a kept file of sound, vibration or light says, with the options it was kept with."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from typing import Any

from retrue.base.refusals import Problem, Unusable
from retrue.base.say import say
from retrue.base.units import number
from retrue.cases.known import nearest
from retrue.cases.prove.deed import Deed, Option, options_of
from retrue.cases.prove.proof import Conditions, Proof, flat
from retrue.cases.prove.recording import Recording
from retrue.cases.prove.sensed import LUX, Sense
from retrue.cases.prove.sensed_finding import BEARING
from retrue.cases.prove.table import Table, table_of

# What sums up sound and vibration is loaded where a file needs it; a list shall not wait for it.

KNOWN = "calibration_file"  # option that is a file of its own: a recording of a known level
EVERY = ("instrument",)
OF_SOUND = ("calibrated", "without", "calibration_db", "offset_db", "channel", KNOWN)
SOUND_NUMBERS = ("calibration_db", "offset_db", "channel")
ELSEWHERE = ("speed_rpm", "baseline_mm_s")  # said, or kept, in another place
MEASURES = "measures"  # key of an answer: what of it the belief may learn


def options_known(one: Sense) -> tuple[str, ...]:
    """The options that a sort is kept with.

    Parameters
    ----------
    one : Sense
        Of what.

    Returns
    -------
    tuple of str

    Examples
    --------
    >>> from retrue.cases.prove.sensed import sense
    >>> "balls" in options_known(sense("vibration")), "balls" in options_known(sense("light"))
    (True, False)
    """
    if one.sort == "sound":
        return (*EVERY, *OF_SOUND)
    own = (BEARING,) if one.sort == "vibration" else ()
    return (*EVERY, *own, *(each.id for each in asked_options(one)))


def asked_options(one: Sense) -> tuple[Option, ...]:
    """What may be said beside a file or a number, as its command asks it.

    Parameters
    ----------
    one : Sense
        Of what; sound has its own few.

    Returns
    -------
    tuple of Option
        Without what is said, or kept, elsewhere.

    Examples
    --------
    >>> from retrue.cases.prove.sensed import sense
    >>> "speed_rpm" in {each.id for each in asked_options(sense("vibration"))}
    False
    """
    test = deed_of(one)
    return tuple(each for each in test.options if each.id not in ELSEWHERE) if test else ()


def deed_of(one: Sense) -> Deed | None:
    """The steps, the cautions and the options of a sort; sound has none of that form.

    Parameters
    ----------
    one : Sense
        Of what.

    Returns
    -------
    Deed or None

    Examples
    --------
    >>> from retrue.cases.prove.sensed import sense
    >>> deed_of(sense("light")).id, deed_of(sense("sound"))
    ('light', None)
    """
    if one.sort == "vibration":
        from retrue.cases.prove import vibration

        return vibration.DEED
    if one.sort == "light":
        from retrue.cases.prove import light

        return light.DEED
    return None


def option_problems(one: Sense, options: Mapping[str, str]) -> Iterator[Problem]:
    """Options that this sort does not have, or that are no numbers where they must be.

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
    >>> [p.where for p in option_problems(sense("sound"), {"offset_db": "loud", "balls": "9"})]
    ['balls', 'offset_db']
    """
    known = options_known(one)
    for name in options:
        if name not in known:
            yield Problem(name, say("is no option of {what}", what=one.title.lower()),
                          nearest(name, known))  # fmt: skip
    if one.sort == "sound":
        yield from _no_numbers(options)
    test = deed_of(one)
    if test is not None:
        try:
            options_of(test, _typed(one, options, None))
        except Unusable as wrong:
            yield from wrong.problems or (Problem("options", wrong.reason, wrong.remedy),)


def _no_numbers(options: Mapping[str, str]) -> Iterator[Problem]:
    for name in SOUND_NUMBERS:
        if name in options:
            try:
                number(options[name], field=name)
            except Unusable as wrong:
                yield Problem(name, wrong.problems[0].what if wrong.problems else wrong.reason,
                              wrong.remedy)  # fmt: skip


def _typed(one: Sense, options: Mapping[str, str], speed_rpm: float | None) -> dict[str, Any]:
    known = {each.id for each in asked_options(one)}
    typed: dict[str, Any] = {name: text for name, text in options.items() if name in known}
    return typed | ({} if speed_rpm is None else {"speed_rpm": f"{speed_rpm:g}"})


def answer_of(one: Sense, proof: Proof) -> dict[str, Any]:
    """What a file says, flat, as it is kept.

    Parameters
    ----------
    one : Sense
        Of what.
    proof : Proof
        Of :func:`file_proof`.

    Returns
    -------
    dict
        With ``schema`` and ``why``; of vibration also which measures may be learned from it.

    Examples
    --------
    >>> from retrue.cases.prove.sensed import sense
    >>> light = sense("light")
    >>> answer_of(light, file_proof(light, lux_table([("lux", 600.0)]), {}))["mean_lux"]
    600.0
    """
    if one.sort != "vibration":
        return flat(proof)
    from retrue.cases.prove import vibration

    return vibration.flat(proof) | {MEASURES: [each.measure for each in proof.measures]}


def file_proof(
    one: Sense,
    read: Recording | Table,
    options: Mapping[str, str],
    *,
    known: Recording | None = None,
    checked: bool = False,
    speed_rpm: float | None = None,
    baseline_mm_s: float | None = None,
) -> Proof:
    """What a file says: its numbers, its picture, its tables, what it means.

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
    baseline_mm_s : float or None
        The first vibration that was kept at the same place, state and speed.

    Returns
    -------
    Proof

    Raises
    ------
    Unusable
        It cannot be worked out; what is wrong is named.

    Examples
    --------
    >>> from retrue.cases.prove.sensed import sense
    >>> from retrue.cases.prove.table import read_table
    >>> table = read_table(b"level_a_db\\n80\\n82\\n", "ear.csv")
    >>> made = flat(file_proof(sense("sound"), table, {}, checked=True))
    >>> round(made["level_a_db"], 2), made["calibrated"], made["uncertainty"]["level_a_db"]
    (81.11, True, 2.0)
    """
    if one.sort == "sound":
        return _sound(read, options, known, checked)
    typed = _typed(one, options, speed_rpm if one.sort == "vibration" else None)
    if one.sort == "vibration":
        from retrue.cases.prove import vibration

        if baseline_mm_s:
            typed["baseline_mm_s"] = f"{baseline_mm_s:g}"
        return vibration.prove(read, typed, Conditions())
    from retrue.cases.prove import light

    return light.prove(_table(read), typed, Conditions())


def lux_table(read: Sequence[tuple[str, float]]) -> Table:
    """Typed readings of light as a table, one point a row.

    Parameters
    ----------
    read : sequence of (str, float)
        Key and number.

    Returns
    -------
    Table

    Examples
    --------
    >>> lux_table([("lux", 600.0), ("lux", 400.0)]).numbers("lux").tolist()
    [600.0, 400.0]
    """
    rows = [[LUX], *([repr(value)] for key, value in read if key == LUX)]
    return table_of(rows, range(1, len(rows) + 1), say("what was typed"))


def _table(read: Recording | Table) -> Table:
    if isinstance(read, Table):
        return read
    raise Unusable(
        say("{name} is a recording, and light is read in lux", name=read.name),
        remedy=say("Give a table of lux, or type what the meter shows."),
    )


def _sound(
    read: Recording | Table,
    options: Mapping[str, str],
    known: Recording | None,
    checked: bool,
) -> Proof:
    from retrue.cases.prove.sound import Asked, sound

    channel = _real(options, "channel")
    return sound(
        Asked(
            sound=read,
            known=known,
            known_db=_real(options, "calibration_db"),
            offset_db=_real(options, "offset_db"),
            channel=None if channel is None else int(channel),
            checked=checked and not isinstance(read, Recording),
        )
    )


def _real(options: Mapping[str, str], name: str) -> float | None:
    return float(number(options[name], field=name)) if name in options else None


def recording_of(read: Recording | Table, name: str) -> Recording:
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
