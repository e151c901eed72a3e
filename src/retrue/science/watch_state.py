"""What a run-in watch says of one channel: where it stands, and each reason for a call."""

from __future__ import annotations

import math
from dataclasses import dataclass
from typing import Literal

from retrue.science.run_in import Held
from retrue.science.warm_up import WarmUp
from retrue.science.watch_series import UNKNOWN_RATE, Rate

Call = Literal["go", "hold", "step", "stop", "no_reading"]


@dataclass(frozen=True, slots=True)
class Reason:
    """Why a watch calls what it calls.

    Attributes
    ----------
    code : str
        ``over_cap``, ``too_fast``, ``current_up`` ...
    call : str
        ``stop``, ``no_reading``, ``hold``; ``go`` for good news.
    channel : str
    value, limit : float
        What was read or worked out, and what it is held against; NaN where there is none.
    """

    code: str
    call: Call
    channel: str
    value: float = math.nan
    limit: float = math.nan


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class ChannelState:
    """Where one channel stands.

    Attributes
    ----------
    name, unit : str
    level : float
        In its unit; NaN where it was never read.
    read_s : float
        When it was last read; minus infinity where never.
    rate : Rate
        A minute, over the last five.
    rise_kelvin : float
        Over the room; NaN where that is unknown.
    baseline, drift : float
        Its own level of the beginning, and how far it has gone from it.
    points : float
        Of a current: over its own lowest level, in hundredths of the rated one.
    rated_percent : float
        Of a current: in hundredths of the rated one.
    warm : WarmUp or None
        Fitted from the beginning of the step, minutes counted from then.
    held : Held or None
        Whether it has levelled.
    cap : float
        The lowest temperature or value at which it is stopped; NaN where there is none.
    cap_minutes, cap_earliest_minutes : float
        From now until the cap is passed, best and earliest; infinite where it will not be.
    peak, fallen : float
        The warmest it has been in this step, and how far it has fallen since.
    newest : float
        As it was read last, believed or not.
    step_rise : float
        Over its level at the start of the step.
    dropped : tuple of (float, float)
        Bad readings left out, seconds and value.
    doubtful : tuple of (float, float) or None
        The newest reading, to be read again.
    """

    name: str
    unit: str
    level: float
    read_s: float
    rate: Rate = UNKNOWN_RATE
    rise_kelvin: float = math.nan
    baseline: float = math.nan
    drift: float = math.nan
    points: float = math.nan
    rated_percent: float = math.nan
    warm: WarmUp | None = None
    held: Held | None = None
    cap: float = math.nan
    cap_minutes: float = math.inf
    cap_earliest_minutes: float = math.inf
    peak: float = math.nan
    fallen: float = math.nan
    newest: float = math.nan
    step_rise: float = math.nan
    dropped: tuple[tuple[float, float], ...] = ()
    doubtful: tuple[float, float] | None = None

    @property
    def warms(self) -> bool:
        """Whether it is a temperature."""
        return self.unit == "°C"
