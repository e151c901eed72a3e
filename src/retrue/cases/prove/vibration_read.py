"""A file of vibration becomes numbers of one unit; what it does not say is asked, never guessed."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any, Literal, NoReturn

import numpy as np
from numpy.typing import NDArray

from retrue.base.formatter import number
from retrue.base.refusals import Problem, Unusable
from retrue.base.say import say
from retrue.cases.prove.deed import Options
from retrue.cases.prove.recording import Recording, channel_name
from retrue.cases.prove.table import Table
from retrue.cases.prove.vibration_cut import cut_off, told_offset
from retrue.science.sampling import clipped_share, evenly, longest_even, sampling
from retrue.science.vibration import STANDARD_G_M_S2

Floats = NDArray[np.float64]
UNITS = ("m/s2", "g", "mm/s")
ENDINGS = {"_m_s2": "m/s2", "_g": "g", "_mm_s": "mm/s"}
PLAIN = ("acceleration", "velocity")
SLOWEST_HZ = 50.0  # fewer readings a second are no recording of vibration
FEWEST = 256
SAME_RATE = 0.01
STANDING = 0.05  # times of which more than that share stand still were rounded


@dataclass(frozen=True, slots=True, eq=False, kw_only=True)
class Signal:
    """One recording, ready to be worked on."""

    name: str
    values: Floats  # shape (frames,): m/s², mm/s, or full scale where nobody said
    rate_hz: float
    quantity: Literal["acceleration", "velocity"]
    calibrated: bool = True
    clipped_share: float = 0.0
    resampled: bool = False  # brought to an even beat: what is fast is weakened
    warnings: tuple[str, ...] = ()
    assumed: tuple[str, ...] = ()

    @property
    def seconds(self) -> float:
        """How long it is."""
        return len(self.values) / self.rate_hz


def from_table(table: Table, options: Options) -> Signal:
    """A table of readings as a signal.

    Parameters
    ----------
    table : Table
        ``acceleration_m_s2``, ``acceleration_g`` or ``velocity_mm_s``, or another column whose
        unit is said; ``time_s`` beside it, or a rate.
    options : mapping
        ``unit``, ``rate_hz``, ``column``.

    Returns
    -------
    Signal

    Raises
    ------
    Unusable
        Unit or rate are not said, or contradict the file; too few readings; a clock that says
        nothing.

    Examples
    --------
    >>> from retrue.cases.prove.table import read_table
    >>> rows = "".join(f"{np.sin(n / 3):.4f}\\n" for n in range(400))
    >>> table = read_table(f"acceleration\\n{rows}".encode(), "a.csv")
    >>> made = from_table(table, {"unit": "g", "rate_hz": 1000.0, "column": None})
    >>> made.quantity, made.rate_hz, round(float(made.values.max()), 1)
    ('acceleration', 1000.0, 9.8)
    """
    column = _column(table, options)
    unit = _unit(table.name, column, options)
    values = table.numbers(column)
    if len(values) < FEWEST:
        raise Unusable(
            say("{name} has {count} readings: too few", name=table.name, count=len(values)),
            remedy=say("Record some seconds, a thousand readings a second or more."),
            problems=(Problem(table.name, say("fewer than {most} rows", most=FEWEST)),),
        )
    if table.has("time_s"):
        values, rate, resampled, told = _timed(table, values, options)
    else:
        values, rate, resampled, told = values, _typed_rate(table.name, options), False, ()
    _refuse_slow(table.name, rate)
    return _scaled(
        name=table.name, values=values, rate_hz=rate, unit=unit, clipped=clipped_share(values),
        resampled=resampled, warnings=told,
    )  # fmt: skip


def from_recording(recording: Recording, options: Options) -> Signal:
    """A file of sound from a vibration sensor as a signal.

    Parameters
    ----------
    recording : Recording
        Full scale is one.
    options : mapping
        ``unit`` and ``full_scale``: what full scale is; ``channel``, counted from 1.

    Returns
    -------
    Signal
        Not calibrated where nobody said what full scale is; lines can still be told.

    Raises
    ------
    Unusable
        No such channel, too few readings, or a full scale without its unit.

    Examples
    --------
    >>> made = from_recording(
    ...     Recording(name="a.wav", samples=np.zeros((4800, 1), dtype=np.float32), rate_hz=4800.0),
    ...     {"unit": None, "full_scale": None, "channel": None})
    >>> made.calibrated, made.rate_hz
    (False, 4800.0)
    """
    number_ = options["channel"] or 1
    values = np.asarray(recording.channel(number_), dtype=np.float64)
    _refuse_slow(recording.name, recording.rate_hz)
    if len(values) < FEWEST:
        raise Unusable(
            say("{name} is too short", name=recording.name), remedy=say("Record some seconds.")
        )
    warnings = []
    if recording.channels > 1 and options["channel"] is None:
        taken = channel_name(number_, recording.channels)
        warnings.append(
            say("It has {count} channels: {taken} was taken.", count=recording.channels,
                taken=taken)
        )  # fmt: skip
    if recording.lossy:
        warnings.append(say("Its form leaves out what an ear does not miss: record as WAV."))
    scale = options["full_scale"]
    if scale is not None and options["unit"] is None:
        _ask_unit(recording.name)
    clipped = cut_off(recording, number_, values)
    if scale is None:
        told = say("Taken as a sensor of acceleration; what full scale is nobody said.")
        return Signal(
            name=recording.name, values=values, rate_hz=recording.rate_hz,
            quantity="acceleration", calibrated=False, clipped_share=clipped,
            warnings=(*warnings, *told_offset(values, say("of full scale"))), assumed=(told,),
        )  # fmt: skip
    return _scaled(
        name=recording.name, values=values * scale, rate_hz=recording.rate_hz,
        unit=options["unit"], clipped=clipped, resampled=False, warnings=tuple(warnings),
    )  # fmt: skip


def _scaled(
    *, name: str, values: Floats, rate_hz: float, unit: str, clipped: float, resampled: bool,
    warnings: tuple[str, ...],
) -> Signal:  # fmt: skip
    asked = _asked_gravity(values, unit) or told_offset(values, unit)
    return Signal(
        name=name,
        values=values * STANDARD_G_M_S2 if unit == "g" else values,
        rate_hz=rate_hz,
        quantity="velocity" if unit == "mm/s" else "acceleration",
        clipped_share=clipped,
        resampled=resampled,
        warnings=(*warnings, *asked),
    )


def _asked_gravity(values: Floats, unit: str) -> tuple[str, ...]:
    """A sensor that feels the earth tells its own unit by its mean."""
    mean = abs(float(values.mean()))
    if unit == "m/s2" and 0.9 <= mean <= 1.1:
        return (say("Its mean is near one: was it in g, with the earth's pull in it?"),)
    if unit == "g" and 9.3 <= mean <= 10.3:
        return (say("Its mean is near 9.8: was it in m/s², with the earth's pull in it?"),)
    return ()


def _column(table: Table, options: Options) -> str:
    typed = options.get("column")
    if typed:
        name = "_".join(str(typed).casefold().split())  # as a heading is read
        table.need(name)
        return name
    found = [
        name for name in table.columns
        if name in PLAIN or any(f"{plain}{end}" == name for plain in PLAIN for end in ENDINGS)
    ]  # fmt: skip
    if len(found) == 1:
        return found[0]
    remedy = say("Say which column, or name it acceleration_m_s2, acceleration_g, velocity_mm_s.")
    raise Unusable(
        say("{name} has several columns of vibration", name=table.name) if found
        else say("{name} has no column of vibration", name=table.name),
        remedy=remedy,
        problems=(Problem("column", say("there are: {named}", named=", ".join(table.columns))),),
    )  # fmt: skip


def _unit(name: str, column: str, options: Options) -> str:
    endings = [unit for end, unit in ENDINGS.items() if column.endswith(end)]
    typed = options["unit"]
    if endings and typed and typed != endings[0]:
        raise Unusable(
            say("the column {column} says another unit than you", column=column),
            remedy=say("Leave the unit away, or name the column for what stands in it."),
            problems=(Problem("unit", say("{unit} is said", unit=typed)),),
        )
    if endings:
        return endings[0]
    if typed is None:
        _ask_unit(name)
    return str(typed)


def _ask_unit(name: str) -> NoReturn:
    raise Unusable(
        say("{name} does not say whether it is in m/s², g or mm/s", name=name),
        remedy=say("Say the unit; it is printed on the sensor or set in its recorder."),
        problems=(Problem("unit", say("is empty"), say("m/s2, g or mm/s")),),
    )


def _typed_rate(name: str, options: Options) -> float:
    rate = options["rate_hz"]
    if not rate:
        raise Unusable(
            say("{name} does not say how many readings a second it has", name=name),
            remedy=say("Add a column time_s, or say the rate."),
            problems=(Problem("rate_hz", say("is empty")),),
        )
    return float(rate)


def _timed(
    table: Table, values: Floats, options: Options
) -> tuple[Floats, float, bool, tuple[str, ...]]:
    """Values on an even beat, its rate, whether they had to be brought to it, what to mind."""
    at = table.numbers("time_s")
    standing = float((np.diff(at) == 0).mean())
    if standing > STANDING:
        raise Unusable(
            say("many times in {name} stand still: they were rounded", name=table.name),
            remedy=say("Leave the column time_s out and say the rate."),
            problems=(Problem("time_s", say("the same time in many rows")),),
        )
    try:
        found = sampling(at)
        first, last = longest_even(at)
    except ValueError:
        raise Unusable(
            say("the times in {name} do not go on", name=table.name),
            remedy=say("Times rise from row to row, in seconds; or say the rate."),
            problems=(Problem("time_s", say("no rising times")),),
        ) from None
    told = _told_gaps(table, found.gaps, found.backwards, at, first, last)
    at, values = at[first:last], values[first:last]
    if len(values) < FEWEST:
        raise Unusable(
            say("{name} has no stretch without a gap that is long enough", name=table.name),
            remedy=say("Record again; a recorder that loses readings cannot tell a vibration."),
            problems=(Problem("time_s", told[0] if told else say("too short")),),
        )
    found = sampling(at)
    _refuse_two_rates(table.name, found.rate_hz, options)
    if found.even:
        return values, found.rate_hz, False, told
    beat = say("Its beat is uneven: only what is slow can be told from it.")
    return evenly(at, values, found.rate_hz), found.rate_hz, True, (*told, beat)


def _told_gaps(
    table: Table, gaps: tuple[int, ...], back: tuple[int, ...], at: Floats, first: int, last: int
) -> tuple[str, ...]:
    kept = number(float(at[last - 1] - at[first]), 1)
    told = []
    if gaps:
        told.append(
            say("Readings are missing before row {row}; the longest whole stretch of {kept} s is "
                "taken.", row=table.rows[gaps[0]], kept=kept)
        )  # fmt: skip
    if back:
        told.append(
            say("The clock jumps back at row {row}; the longest whole stretch of {kept} s is "
                "taken.", row=table.rows[back[0]], kept=kept)
        )  # fmt: skip
    return tuple(told)


def _refuse_two_rates(name: str, rate_hz: float, options: Options) -> None:
    typed = options["rate_hz"]
    if typed and abs(typed / rate_hz - 1) > SAME_RATE:
        raise Unusable(
            say("the times in {name} say another rate than you", name=name),
            remedy=say("Leave the rate away, or the column time_s."),
            problems=(Problem("rate_hz", say("the file says {rate}", rate=number(rate_hz, 1))),),
        )


def _refuse_slow(name: str, rate_hz: float) -> None:
    if rate_hz < SLOWEST_HZ:
        raise Unusable(
            say("{name} has {rate} readings a second: no vibration can be told from that",
                name=name, rate=number(rate_hz, 1)),
            remedy=say("Were the times in milliseconds? Else record faster, 2560 or more."),
            problems=(Problem("rate_hz", say("under {least}", least=number(SLOWEST_HZ))),),
        )  # fmt: skip


def as_signal(content: Any, options: Options) -> Signal:
    """A table or a recording as a signal.

    Parameters
    ----------
    content : Table or Recording
    options : mapping
        As for :func:`from_table` and :func:`from_recording`.

    Returns
    -------
    Signal

    Raises
    ------
    Unusable
        As for both.

    Examples
    --------
    >>> made = as_signal(
    ...     Recording(name="a.wav", samples=np.eye(4800, 2, dtype=np.float32), rate_hz=4800.0),
    ...     {"unit": "g", "full_scale": 50.0, "channel": 2})
    >>> made.calibrated, made.quantity
    (True, 'acceleration')
    """
    made = (from_table if isinstance(content, Table) else from_recording)(content, options)
    if np.ptp(made.values) == 0:
        raise Unusable(
            say("{name} reads the same all along: nothing was recorded", name=made.name),
            remedy=say("Look at cable, range and supply of the sensor, then record again."),
        )
    return made
