"""What each cause of a circle that is not round is called, and what is done about it."""

from __future__ import annotations

from dataclasses import dataclass

from retrue.base.formatter import number
from retrue.base.say import say
from retrue.cases.prove.proof import Remedy, Setting
from retrue.science.circle_causes import Cause
from retrue.science.signatures import PAIR

PLANES = {"XY": ("X", "Y"), "ZX": ("Z", "X"), "YZ": ("Y", "Z")}
UNITS = {"um": "µm", "um_per_m": "µm/m", "ms": "ms"}
DIGITS = {"um": 1, "um_per_m": 1, "ms": 2}
# Loose things first, then gains, then what a parameter may cover, then what needs another proof.
ORDER = (
    "lateral_play_x", "lateral_play_y", "lag_mismatch", "reversal_x", "reversal_y", "squareness",
    "scale_mismatch", "spike_0", "spike_90", "spike_180", "spike_270", "cyclic_x", "cyclic_y",
    "straightness_x", "straightness_y",
)  # fmt: skip


@dataclass(frozen=True, slots=True)
class Axes:
    """The two axes of the plane, as people call them."""

    first: str
    second: str

    def of(self, id: str) -> str:
        """The axis that a cause belongs to; the one that turns round, for a spike."""
        stem = id.rstrip("0123456789").rstrip("_") if id.startswith("centre") else id
        if stem.startswith("spike_"):
            return self.first if stem.endswith(("_0", "_180")) else self.second
        return self.first if stem.endswith("_x") else self.second

    def other(self, id: str) -> str:
        """The axis across it."""
        return self.second if self.of(id) == self.first else self.first

    def told(self, id: str) -> str:
        """The id as it is given out: with the letters of this plane's axes."""
        stem, mark, last = id.partition("_x") if "_x" in id else id.partition("_y")
        if not mark or stem == "scale_mismatch":
            return id
        letter = self.first if mark == "_x" else self.second
        return f"{stem}_{letter.lower()}{last}"


def size(cause: Cause, *, signed: bool = True) -> str:
    """A cause's value with its unit.

    Parameters
    ----------
    cause : Cause
        As fitted.
    signed : bool
        False: only how large.

    Returns
    -------
    str

    Examples
    --------
    >>> size(Cause("reversal_x", 6.0, "um", 0.1, True))
    '+6.0 µm'
    """
    value = cause.value if signed else abs(cause.value)
    return f"{number(value, DIGITS[cause.unit], signed=signed)} {UNITS[cause.unit]}"


def name_of(id: str, axes: Axes) -> str:
    """A cause in the words of the trade.

    Parameters
    ----------
    id : str
        ``reversal_x`` and the like, x for the plane's first axis.
    axes : Axes
        The plane.

    Returns
    -------
    str

    Examples
    --------
    >>> name_of("reversal_x", Axes("Z", "X"))
    'lost motion of Z'
    """
    axis = axes.of(id)
    first, second = axes.first, axes.second
    if id.startswith("centre"):
        return say("set-up: centre along {axis}", axis=axis)
    if id.startswith("spike"):
        at = id.rsplit("_", 1)[1]
        return say("spike after {at}°, {axis} turns round", at=at, axis=axis)
    names = {
        "radius": say("radius, bar length, mean scale"),
        "scale_mean": say("mean scale of both axes"),
        "radius_at_feed": say("radius lost by the feed"),
        "scale_mismatch": say("scale of {first} over {second}", first=first, second=second),
        "squareness": say("squareness of {first} and {second}", first=first, second=second),
        PAIR: say("squareness or lag, not told apart"),
        "lag_mismatch": say("lag of {first} over {second}", first=first, second=second),
    }
    if id in names:
        return names[id]
    return {
        "reversal": say("lost motion of {axis}", axis=axis),
        "lateral_play": say("sideways play of {axis}", axis=axis),
        "cyclic": say("once a turn of the screw of {axis}", axis=axis),
        "straightness": say("bow of {axis}", axis=axis),
    }[id[:-2]]


def blame(cause: Cause, axes: Axes) -> str:
    """The part that a cause points at.

    Parameters
    ----------
    cause : Cause
        A cause that was found.
    axes : Axes
        The plane.

    Returns
    -------
    str
        A sentence, or nothing where it points at none.

    Notes
    -----
    Common practice, no source.

    Examples
    --------
    >>> blame(Cause("reversal_x", 6.0, "um", 0.1, True), Axes("X", "Y"))
    'X loses 6.0 µm when it turns round: nut, coupling or thrust bearing is loose or worn.'
    """
    axis, much = axes.of(cause.id), size(cause, signed=False)
    if cause.id.startswith("reversal") and cause.value > 0:
        return say(
            "{axis} loses {much} when it turns round: nut, coupling or thrust bearing is loose or "
            "worn.",
            axis=axis,
            much=much,
        )
    if cause.id.startswith("lateral_play"):
        return say(
            "The slide of {axis} steps {much} sideways when it turns round: gib, guide carriage or "
            "ballscrew alignment.",
            axis=axis,
            much=much,
        )
    if cause.id.startswith("cyclic"):
        return say(
            "{axis} swings {much} either way once a turn of its screw: coupling, thrust bearing or "
            "encoder runs out.",
            axis=axis,
            much=much,
        )
    if cause.id.startswith("spike"):
        return say("{axis} sticks before it turns round: guide, wiper or lubrication.", axis=axis)
    return ""


def remedy(cause: Cause, axes: Axes) -> Remedy:
    """What to do about a cause.

    Parameters
    ----------
    cause : Cause
        A cause that was found.
    axes : Axes
        The plane.

    Returns
    -------
    Remedy

    Notes
    -----
    Common practice, no source.

    Examples
    --------
    >>> remedy(Cause("lag_mismatch", 0.5, "ms", 0.01, True), Axes("X", "Y")).text[:27]
    'X lags 0.50 ms more than Y:'
    """
    axis, other, much = axes.of(cause.id), axes.other(cause.id), size(cause, signed=False)
    told = {"axis": axis, "other": other, "much": much}
    stem = cause.id.rsplit("_", 1)[0]
    if stem == "lag":
        return _lag(cause, axes)
    if stem == "reversal":
        return _reversal(cause, axis)
    if stem == "scale":
        longer, shorter = _ordered(cause, axes)
        return Remedy(
            text=say(
                "{longer} travels {much} further than {shorter}: prove positioning of both axes "
                "before a scale or pitch table is changed.",
                longer=longer,
                shorter=shorter,
                much=much,
            )
        )
    texts = {
        "lateral_play": say(
            "Find the sideways play of {axis}, {much}, before any parameter: set gib or guide, "
            "then run the circle again.",
            **told,
        ),
        "spike": say(
            "Free the slide of {axis} first: wipers, lubrication, gib. Only then look at the "
            "control's friction compensation, {much} at this feed.",
            **told,
        ),
        "cyclic": say(
            "Indicate the run-out of coupling, screw end and encoder of {axis}, {much} either way.",
            **told,
        ),
        "straightness": say(
            "Prove the straightness of {axis} with a straightedge: the circle shows a bow of "
            "{much}, which positioning of {other} can show as well.",
            **told,
        ),
    }
    return Remedy(text=texts[stem]) if stem in texts else _squareness(cause, axes)


def _ordered(cause: Cause, axes: Axes) -> tuple[str, str]:
    both = (axes.first, axes.second)
    return both if cause.value > 0 else (both[1], both[0])


def _lag(cause: Cause, axes: Axes) -> Remedy:
    slow, quick = _ordered(cause, axes)
    much = size(cause, signed=False)
    return Remedy(
        text=say(
            "{slow} lags {much} more than {quick}: bring the position gains of both axes together; "
            "lower that of {quick} if {slow} hums when it is raised.",
            slow=slow,
            quick=quick,
            much=much,
        ),
        setting=Setting(
            name=say("position gain of {slow}", slow=slow),
            old=say("{much} behind {quick}", much=much, quick=quick),
            new=say("as far behind as {quick}", quick=quick),
            why=say("both axes must lag alike on a circle"),
        ),
    )


def _reversal(cause: Cause, axis: str) -> Remedy:
    much = size(cause, signed=False)
    if cause.value < 0:
        text = say(
            "{axis} is given {much} too much at its reversal: lower its reversal compensation by "
            "that.",
            axis=axis,
            much=much,
        )
    else:
        text = say(
            "{axis}: what is still lost after nut, coupling and thrust bearing are set, and is the "
            "same at three places, may be entered: {much} more reversal compensation.",
            axis=axis,
            much=much,
        )
    return Remedy(
        text=text,
        setting=Setting(
            name=say("reversal compensation of {axis}", axis=axis),
            old=say("as it stands"),
            new=say("{change} on what stands", change=size(cause)),
            why=say("circular test"),
        ),
    )


def _squareness(cause: Cause, axes: Axes) -> Remedy:
    much = size(cause, signed=False)
    over = say("over") if cause.value > 0 else say("under")
    pair = {"first": axes.first, "second": axes.second}
    text = say(
        "The angle from +{first} to +{second} is {much} {over} 90°: move the column or saddle if "
        "it can be moved; what is left goes into the control's squareness table, sign turned.",
        much=much,
        over=over,
        **pair,
    )
    entry = number(-cause.value, 1, signed=True)
    return Remedy(
        text=text,
        setting=Setting(
            name=say("squareness of {first} and {second} in the control's table", **pair),
            old=say("as it stands"),
            new=say("{entry} µm/m on what stands", entry=entry),
            why=say("circular test; only what cannot be moved"),
        ),
    )


def look_first(cause: Cause, axes: Axes) -> Remedy:
    """Where lost motion comes from is looked for before a parameter hides it.

    Parameters
    ----------
    cause : Cause
        Lost motion that was found.
    axes : Axes
        The plane.

    Returns
    -------
    Remedy

    Notes
    -----
    Common practice, no source.

    Examples
    --------
    >>> look_first(Cause("reversal_y", 4.0, "um", 0.1, True), Axes("X", "Y")).text[:30]
    'Measure the backlash of Y with'
    """
    return Remedy(
        text=say(
            "Measure the backlash of {axis} with an indicator at both ends and the middle, and "
            "find where it is lost: nut, coupling, thrust bearing.",
            axis=axes.of(cause.id),
        )
    )
