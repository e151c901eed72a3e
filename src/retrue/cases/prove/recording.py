"""A recording as numbers: what a file of sound or of a sensor holds, whatever its form was."""

from __future__ import annotations

from dataclasses import dataclass, field

import numpy as np
from numpy.typing import NDArray

from retrue.base.refusals import Unusable
from retrue.base.say import say

Samples = NDArray[np.float32]


@dataclass(frozen=True, slots=True, eq=False, kw_only=True)
class Recording:
    """Samples of one or more channels; full scale is one.

    ``clipped_share`` has the share of samples of each channel that stand at full scale: what was
    louder than the recorder can hold is cut off there.
    """

    name: str
    samples: Samples  # shape (frames, channels)
    rate_hz: float
    clipped_share: tuple[float, ...] = ()
    form: str = "WAV"
    lossy: bool = False  # packed in a way that leaves out what an ear does not miss
    seconds: float = field(init=False)

    def __post_init__(self) -> None:
        """Refuse a shape that is none."""
        if self.samples.ndim != 2 or not self.samples.size or not self.rate_hz > 0:
            raise Unusable(
                say("{name} has no samples", name=self.name),
                remedy=say("Record it again."),
            )
        object.__setattr__(self, "seconds", len(self.samples) / self.rate_hz)

    @property
    def channels(self) -> int:
        """How many channels there are."""
        return int(self.samples.shape[1])

    def channel(self, number: int) -> Samples:
        """The samples of one channel, counted from 1; shape (frames,)."""
        if not 1 <= number <= self.channels:
            raise Unusable(
                say("{name} has no channel {number}", name=self.name, number=number),
                remedy=say("Choose 1 to {count}.", count=self.channels),
            )
        return self.samples[:, number - 1]

    def clipped(self, number: int) -> float:
        """The share of one channel, counted from 1, that is cut off."""
        return self.clipped_share[number - 1] if self.clipped_share else 0.0


def channel_name(number: int, channels: int) -> str:
    """What a channel is called.

    Parameters
    ----------
    number : int
        Counted from 1.
    channels : int
        How many there are.

    Returns
    -------
    str

    References
    ----------
    Two channels are left and right (common practice, no source).

    Examples
    --------
    >>> channel_name(1, 2), channel_name(3, 4), channel_name(1, 1)
    ('left', 'channel 3', 'its only channel')
    """
    if channels == 1:
        return say("its only channel")
    if channels == 2:
        return say("left") if number == 1 else say("right", sense="side")
    return say("channel {number}", number=number)
