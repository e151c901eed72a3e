"""The columns of a logger: which channel each is, and in which unit; a doubtful unit is asked."""

from __future__ import annotations

import re
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from typing import Literal

from retrue.base.formatter import number
from retrue.base.refusals import Problem, Unusable
from retrue.base.say import say
from retrue.base.unit_table import find
from retrue.science.watch_limits import CHANNELS

Time = Literal["", "moment", "seconds", "minutes"]

TIMES: Mapping[str, Time] = {
    "time": "moment",
    "timestamp": "moment",
    "date_time": "moment",
    "datetime": "moment",
    "seconds": "seconds",
    "time_s": "seconds",
    "elapsed_s": "seconds",
    "minutes": "minutes",
    "time_min": "minutes",
}
OTHER_NAMES: Mapping[str, str] = {
    "current": "amps",
    "current_a": "amps",
    "amps_a": "amps",
    "sound": "sound_db",
    "level_db": "sound_db",
    "level_a_db": "sound_db",
    "pressure": "pressure_bar",
    "vibration": "vibration_mm_s",
    "velocity_rms_mm_s": "vibration_mm_s",
    "load": "load_percent",
    "spindle_nose": "nose",
    "bearing": "housing",
    "motor": "motor_case",
}
_UNIT = re.compile(r"[\[(]\s*(?P<unit>[^\])]*?)\s*[\])]\s*$")
LOOKS_LIKE = tuple(
    (re.compile(mark, re.IGNORECASE), what)
    for mark, what in (
        (r"current|amp|strom|courant|\(m?A\)|\[m?A\]|_a$", ("a current", "amps")),
        (r"temp|°|deg|_[cf]$|\([CFK]\)|\[[CFK]\]|nose|spindle",
         ("a temperature", "nose_c, housing_c, winding_c, motor_case_c, room_c")),
        (r"vib|mm/s|rms", ("a vibration", "vibration_mm_s")),
        (r"sound|noise|\bdB", ("a sound level", "sound_db")),
        (r"press|\bbar\b|psi|MPa", ("a pressure", "pressure_bar")),
        (r"load|power|kW", ("a load", "load_percent")),
    )
)  # fmt: skip
HOTTEST_ROOM_C = 45.0
NEAR_ROOM_K, FAR_K = 6.0, 25.0  # read as °F it would be the room, as °C it is far from it
COLD_START_F = (50.0, 95.0)
ROOM_USUAL_C = (5.0, 35.0)


@dataclass(frozen=True, slots=True, kw_only=True)
class Column:
    """One column: a time, a channel with its unit brought to ours, or unknown."""

    heading: str
    time: Time = ""
    channel: str = ""
    factor: float = 1.0
    zero: float = 0.0  # added before the factor
    unit_said: bool = False

    @property
    def may_be_fahrenheit(self) -> bool:
        """Whether it is a temperature that is taken as °C, said or not."""
        name = self.channel.partition(":")[0]
        return bool(name) and CHANNELS[name].sort == "temperature" and self.factor == 1.0


def columns_of(headings: Sequence[str], name: str, counts: bool) -> tuple[Column, ...]:
    """The columns of a logger by its heading.

    Parameters
    ----------
    headings : sequence of str
        As written: ``time``, ``nose_c``, ``Nose (°F)``, ``amps``.
    name : str
        Of the file.
    counts : bool
        Whether it is known where seconds or minutes count from.

    Returns
    -------
    tuple of Column

    Raises
    ------
    Unusable
        No time, no channel, or a channel twice.

    Examples
    --------
    >>> [one.channel or one.time for one in columns_of(["Time", "Nose (°F)", "Humidity"], "", True)]
    ['moment', 'nose', '']
    """
    found = tuple(_column(one) for one in headings)
    problems = []
    times = [one for one in found if one.time]
    if not times:
        problems.append(Problem(name, say("no column of the time"),
                                say("Name it time, with moments; or seconds.")))  # fmt: skip
    elif times[0].time != "moment" and not counts:
        problems.append(Problem(name, say("it is not known where {column} counts from",
                                          column=times[0].heading),
                                say("Let the logger write moments.")))  # fmt: skip
    channels = [one.channel for one in found if one.channel]
    if not channels:
        problems.append(Problem(name, say("no column of a channel that is watched"),
                                say("Name them: {named}.", named=_wanted())))  # fmt: skip
    for twice in sorted({one for one in channels if channels.count(one) > 1}):
        problems.append(Problem(name, say("{column} stands twice", column=twice),
                                say("Give each column one name.")))  # fmt: skip
    if problems:
        raise Unusable(
            say("{name} cannot be followed", name=name),
            remedy=say("Its first line names the columns: time, then {named}.",
                       named=_wanted()),
            problems=tuple(problems),
        )  # fmt: skip
    return found


def asked_fahrenheit(
    first: Mapping[str, float], columns: Sequence[Column], room_c: float | None
) -> dict[str, str]:
    """Ask whether temperatures were °F, where they would then be a room's and else are not.

    Parameters
    ----------
    first : mapping of str to float
        The first value of each channel, as taken for °C: later ones may be truly warm.
    columns : sequence of Column
    room_c : float or None
        As read by hand.

    Returns
    -------
    dict of str to str
        A question by channel; nothing where there is no doubt.

    Examples
    --------
    >>> nose = (Column(heading="nose", channel="nose"),)
    >>> list(asked_fahrenheit({"nose": 70.3}, nose, 21.0))
    ['nose']
    >>> asked_fahrenheit({"nose": 23.0}, nose, 21.0)
    {}
    """
    unsure = {one.channel for one in columns if one.may_be_fahrenheit}
    asked = {}
    for name in sorted(unsure):
        value = first.get(name)
        if value is not None and like_fahrenheit(name, value, room_c):
            asked[name] = say(
                "{name} begins at {value}. Was that °F ({celsius} °C), or is it °C? Say which: "
                "until then it is not taken.",
                name=name, value=number(value, 1), celsius=number((value - 32.0) / 1.8, 1),
            )  # fmt: skip
    return asked


def asked_columns(columns: Sequence[Column]) -> tuple[Problem, ...]:
    """Ask about columns that nobody understands and that look like something that is watched.

    Parameters
    ----------
    columns : sequence of Column

    Returns
    -------
    tuple of Problem
        By the heading: what it may be, and how it has to be named.

    Examples
    --------
    >>> [str(one.where) for one in asked_columns(columns_of(["time", "nose_c", "I_motor (A)"], "",
    ...                                                     True))]
    ['I_motor (A)']
    """
    found = []
    for one in columns:
        if one.channel or one.time or not one.heading:
            continue
        like = next((what for mark, what in LOOKS_LIKE if mark.search(one.heading)), None)
        if like is not None:
            words, names = like
            found.append(Problem(
                one.heading, say("is not understood and not read: is it {what}?", what=say(words)),
                say("Then name the column {names}.", names=names),
            ))  # fmt: skip
    return tuple(found)


def unknown_columns(columns: Sequence[Column], name: str) -> tuple[str, ...]:
    """Name every column that nobody understands.

    Parameters
    ----------
    columns : sequence of Column
    name : str
        Of the file.

    Returns
    -------
    tuple of str
        One sentence, or none.

    Examples
    --------
    >>> unknown_columns(columns_of(["time", "nose_c", "Humidity"], "", True), "log.csv")
    ('log.csv: columns that no watch knows are left out: Humidity.',)
    """
    unknown = [one.heading for one in columns if not one.channel and not one.time and one.heading]
    if not unknown:
        return ()
    return (say("{name}: columns that no watch knows are left out: {named}.", name=name,
                named=", ".join(unknown)),)  # fmt: skip


def like_fahrenheit(name: str, first: float, room_c: float | None) -> bool:
    """Tell whether the first reading of a temperature looks like °F.

    Parameters
    ----------
    name : str
        Its channel.
    first : float
        As taken for °C.
    room_c : float or None
        As read by hand.

    Returns
    -------
    bool
        Read as °F it would be about the room, as °C it is far from it.

    Examples
    --------
    >>> like_fahrenheit("nose", 70.0, 21.0), like_fahrenheit("nose", 70.0, 60.0)
    (True, False)
    """
    read_as = (first - 32.0) / 1.8
    if name == "room":
        return first > HOTTEST_ROOM_C
    if room_c is not None:
        return abs(read_as - room_c) <= NEAR_ROOM_K and first - room_c > FAR_K
    low, high = COLD_START_F
    return low <= first <= high and ROOM_USUAL_C[0] <= read_as <= ROOM_USUAL_C[1]


def _column(heading: str) -> Column:
    told = heading.strip().strip('"').lstrip("\ufeff")
    unit = _UNIT.search(told)
    bare = "_".join(_UNIT.sub("", told).strip().casefold().split())
    if bare in TIMES:
        return Column(heading=told, time=TIMES[bare])
    stem, _, ending = bare.rpartition("_")
    symbol = unit["unit"] if unit else ""
    if not symbol and ending in ("c", "f"):
        bare, symbol = stem, {"c": "°C", "f": "°F"}[ending]
    channel = OTHER_NAMES.get(bare, bare)
    channel = OTHER_NAMES.get(f"{bare}_{symbol.casefold()}", channel)
    if channel not in CHANNELS:
        channel = next((one for one in CHANNELS if one.rpartition("_")[0] == bare), "")
    if not channel:
        return Column(heading=told)
    return _with_unit(told, channel, symbol)


def _with_unit(told: str, channel: str, symbol: str) -> Column:
    """A unit that is written is converted exactly; one of another sort makes it unknown."""
    if not symbol:
        return Column(heading=told, channel=channel)
    ours = CHANNELS[channel].unit
    if symbol in (ours, ours.replace("/", "_")):
        return Column(heading=told, channel=channel, unit_said=True)
    given, wanted = find(symbol), find(ours)
    if given is None or wanted is None or given.measures != wanted.measures:
        return Column(heading=told)
    factor = given.factor / wanted.factor
    # value in ours = (value + zero_given) * factor - zero_ours
    zero = given.zero - wanted.zero / factor
    return Column(heading=told, channel=channel, factor=float(factor), zero=float(zero),
                  unit_said=True)  # fmt: skip


def _wanted() -> str:
    return ", ".join(f"{one.name}_c" if one.unit == "°C" else one.name for one in CHANNELS.values())
