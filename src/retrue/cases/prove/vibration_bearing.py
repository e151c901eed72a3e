"""Which bearing, as far as it is known; what turns beside it; and what its envelope says."""

from __future__ import annotations

import math
import re
from dataclasses import dataclass

from retrue.base.formatter import number, short
from retrue.base.refusals import Problem, Unusable
from retrue.base.say import say
from retrue.cases.prove.deed import Options
from retrue.cases.prove.vibration_read import Signal
from retrue.science.bearing import Bearing, from_count, from_outside
from retrue.science.belt import belt_hz, mesh_hz, toothed_belt_hz
from retrue.science.envelope import FEWEST_TURNS, Diagnosis, diagnose
from retrue.science.envelope_lines import bands

WIDER = 0.06  # geometry that is guessed from the rings is searched that wide
CUT = 0.01  # more readings cut off than that share: impacts are no longer what they were


@dataclass(frozen=True, slots=True, kw_only=True)
class Known:
    """A bearing as far as it is known; ``why`` says what is lacking."""

    bearing: Bearing | None = None
    slip: float = 0.03
    assumed: tuple[str, ...] = ()
    between: tuple[tuple[str, float, float], ...] = ()  # part, from, to: what the count tells
    why: str = ""


def known_of(options: Options, shaft_hz: float | None) -> Known:
    """The bearing that was said.

    Parameters
    ----------
    options : mapping
        ``balls``, ``ball_mm``, ``pitch_mm``, ``angle_deg``, ``bore_mm``, ``outside_mm``,
        ``slip_share``.
    shaft_hz : float or None
        Turns a second, where the speed is known.

    Returns
    -------
    Known

    Raises
    ------
    Unusable
        It cannot be a bearing.

    Examples
    --------
    >>> keys = ("balls", "ball_mm", "pitch_mm", "bore_mm", "outside_mm")
    >>> bare = {key: None for key in keys} | {"angle_deg": 0.0, "slip_share": 0.03}
    >>> known_of(bare, 10.0).bearing is None, known_of({**bare, "balls": 9}, 10.0).between[0][0]
    (True, 'outer_race')
    """
    balls, ball, pitch = options["balls"], options["ball_mm"], options["pitch_mm"]
    bore, outside, slip = options["bore_mm"], options["outside_mm"], options["slip_share"]
    if not 0 < slip < 0.2:
        raise Unusable(
            say("a slip of {slip} is none", slip=short(slip)),
            remedy=say("Write three per cent as 0.03."),
            problems=(Problem("slip_share", say("not over 0 and under 0.2")),),
        )
    if balls is None:
        lacking = say("Which bearing it is, nobody said: number and size of its balls are needed.")
        return Known(slip=slip, why=lacking)
    if ball is not None and pitch is not None:
        return Known(bearing=Bearing(balls, ball, pitch, options["angle_deg"]), slip=slip)
    if bore is not None and outside is not None:
        return Known(
            bearing=from_outside(bore, outside, balls, options["angle_deg"]),
            slip=max(slip, WIDER),
            assumed=(
                say("Ball and circle are guessed from the rings: common practice, no source."),
            ),
        )
    between = from_count(balls, shaft_hz) if shaft_hz else {}
    return Known(
        slip=slip,
        between=tuple((part, low, high) for part, (low, high) in between.items()),
        why=say("The count of its balls alone does not tell where its lines are."),
    )


def others_of(options: Options) -> dict[str, float] | None:
    """What else turns, in hertz.

    Parameters
    ----------
    options : mapping
        ``belt_pulley_mm``, ``belt_length_mm``, ``pulley_rpm``, ``belt_slip_share``; ``teeth``,
        ``belt_teeth``; ``others_rpm``; ``nothing_else``; ``speed_rpm``.

    Returns
    -------
    dict of str to float or None
        None where nobody has said what else turns.

    Raises
    ------
    Unusable
        A size, or a speed, that is none.

    Examples
    --------
    >>> keys = ("belt_pulley_mm", "belt_length_mm", "teeth", "belt_teeth", "pulley_rpm",
    ...     "others_rpm")
    >>> bare = {key: None for key in keys} | {"nothing_else": False, "speed_rpm": 1800.0,
    ...     "belt_slip_share": 0.0}
    >>> others_of(bare), others_of({**bare, "teeth": 24, "belt_teeth": 120})
    (None, {'belt': 6.0, 'teeth': 720.0})
    """
    speed = options["pulley_rpm"] or options["speed_rpm"]
    made: dict[str, float] = {}
    if speed and options["belt_pulley_mm"] and options["belt_length_mm"]:
        made["belt"] = belt_hz(
            options["belt_pulley_mm"], speed, options["belt_length_mm"],
            slip_share=options["belt_slip_share"],
        )  # fmt: skip
    if speed and options["teeth"]:
        if options["belt_teeth"]:
            made["belt"] = toothed_belt_hz(options["teeth"], speed, options["belt_teeth"])
        made["teeth"] = mesh_hz(options["teeth"], speed)
    for at, rpm in enumerate(_speeds(options["others_rpm"]), start=1):
        made[f"other_{at}"] = rpm / 60
    if made:
        return made
    return {} if options["nothing_else"] else None


def _speeds(typed: str | None) -> tuple[float, ...]:
    """Speeds of what else turns, as typed one beside the other."""
    try:
        told = tuple(
            float(one.replace(",", ".")) for one in re.split(r"[;\s]+", typed or "") if one
        )
    except ValueError:
        told = (0.0,)
    if any(not 0 < one < math.inf for one in told):
        raise Unusable(
            say("the speeds of what else turns are none: {typed}", typed=typed or ""),
            remedy=say("Write them in rpm with a blank between: 1450 2900."),
            problems=(Problem("others_rpm", say("not numbers over zero")),),
        )
    return told


def diagnosed(signal: Signal, options: Options, known: Known) -> tuple[Diagnosis | None, str]:
    """What the envelope says of the bearing, or why it says nothing.

    Parameters
    ----------
    signal : Signal
    options : mapping
        ``speed_rpm``, ``envelope_low_hz``, ``envelope_high_hz``, ``mains_hz`` and what turns.
    known : Known

    Returns
    -------
    tuple
        Diagnosis or None, and the reason where it is None.

    Raises
    ------
    Unusable
        A band that is none.

    Examples
    --------
    >>> import numpy as np
    >>> one = Signal(name="a", values=np.zeros(900), rate_hz=900.0, quantity="velocity")
    >>> diagnosed(one, {}, Known())[0] is None
    True
    """
    why = _hindered(signal, options, known)
    if why or known.bearing is None:
        return None, why or known.why
    shaft = options["speed_rpm"] / 60
    band = _band(signal, options)
    fastest = known.bearing.balls * shaft * (1 + known.bearing.ratio) / 2
    if band is None and not bands(signal.rate_hz, fastest):
        return None, say("Too few readings a second to hear its impacts ring: record faster.")
    if signal.seconds * shaft < FEWEST_TURNS:
        needed = number(FEWEST_TURNS / shaft, 1)
        return None, say("Too short: record {needed} s or more at that speed.", needed=needed)
    found = diagnose(
        signal.values, signal.rate_hz, shaft, known.bearing, known.slip, band_hz=band,
        others_hz=others_of(options), mains_hz=options["mains_hz"],
    )  # fmt: skip
    return found, ""


def _hindered(signal: Signal, options: Options, known: Known) -> str:
    if signal.quantity != "acceleration":
        return say("A bearing's impacts are heard in acceleration, not in velocity.")
    if known.bearing is None:
        return known.why
    if not options["speed_rpm"]:
        return say("The speed it turned at is needed.")
    if signal.resampled:
        return say("Its beat is uneven: impacts cannot be told from that.")
    if signal.clipped_share > CUT:
        return say("Too much of it is cut off at the end of the sensor's range.")
    return ""


def _band(signal: Signal, options: Options) -> tuple[float, float] | None:
    low, high = options["envelope_low_hz"], options["envelope_high_hz"]
    if low is None and high is None:
        return None
    if low is None or high is None or not 0 < low < high < signal.rate_hz / 2:
        raise Unusable(
            say("the band of the envelope is none"),
            remedy=say("Give both ends, under half of {rate} Hz; or leave both away.",
                       rate=number(signal.rate_hz)),
            problems=(Problem("envelope_low_hz", say("not between zero and the upper end")),),
        )  # fmt: skip
    return float(low), float(high)
