"""Start and stop: how far the voltage dips, and whether the source takes a stop back."""

from __future__ import annotations

from retrue.base.formatter import number
from retrue.base.refusals import Unusable
from retrue.base.say import say
from retrue.cases.reckon.building import Draft
from retrue.science.converter import judge_source
from retrue.science.transformer import dip_percent

MOST_DIP_PERCENT = 10.0  # of a start; contactors let go not far below (common practice)
MOTOR_SHARE = 0.8  # efficiency times power factor of a motor, to come from kW to kVA
SOURCES = {"rotary": "rotary", "solid_state": "solid_state"}


def dip(draft: Draft) -> None:
    """How far the voltage dips while the largest motor is switched on.

    Parameters
    ----------
    draft : Draft

    Examples
    --------
    >>> from retrue.cases.move.supply import METHOD
    >>> from retrue.cases.reckon.method import values_of
    >>> typed = {"short_circuit_kva": "2500", "largest_motor_kw": "11"}
    >>> draft = Draft("supply", "", METHOD.fields, values_of(METHOD, typed))
    >>> dip(draft), round(draft.figures[1].value, 1)
    (None, 3.7)
    """
    behind, motor = draft.said("short_circuit_kva"), draft.said("largest_motor_kw")
    if behind is None or motor is None:
        return
    start = draft.get("start_times") * motor / MOTOR_SHARE
    try:
        percent = dip_percent(start, behind)
    except Unusable as refusal:
        draft.refused(refusal, "short_circuit_kva")
        return
    draft.figure("start_kva", say("the largest motor takes when it is switched on"), start, "kVA",
                 0, say("times its own power (from memory)"))  # fmt: skip
    draft.figure("dip_percent", say("the voltage dips by"), percent, "%", 1,
                 say("voltage divider (by definition)"))  # fmt: skip
    if percent > MOST_DIP_PERCENT:
        draft.stop(
            say("the voltage dips by {percent} % at a start", percent=number(percent, 1)),
            say("A drive or a soft start for that motor, or a stronger line."),
            "short_circuit_kva",
        )


def start_and_stop(draft: Draft, sort: str) -> None:
    """Whether a converter of a known rating starts the machine and takes its stop.

    Parameters
    ----------
    draft : Draft
    sort : str
        rotary or solid_state.
    """
    rated, motor = draft.said("converter_kw"), draft.said("largest_motor_kw")
    if rated is None or motor is None:
        return
    back = draft.said("stop_kw") or motor
    takes = back if draft.said("brake") == "resistor" else 0.0
    found = judge_source(
        SOURCES[sort], rated_watt=1000.0 * rated, start_watt=1000.0 * motor,
        stop_peak_watt=1000.0 * back, resistor_watt=1000.0 * takes,
        returns=bool(draft.said("converter_returns")),
    )  # fmt: skip
    draft.figure("back_kw", say("a stopping spindle pushes back, at most"), back, "kW", 1,
                 say("its own power, where nobody has said (from memory)"))  # fmt: skip
    if not found.starts:
        draft.stop(
            say("a converter of {rated} kW does not start it", rated=number(rated, 1)),
            say("Two to three times the spindle's power for a rotary one."),
            "converter_kw",
        )
    if not found.stops:
        draft.stop(
            say("a converter of {rated} kW does not take what a stop pushes back",
                rated=number(rated, 1)),
            say("A larger one, one that feeds back, a brake resistor, or a longer stop by the "
                "drive's own manual."),
            "converter_kw",
        )  # fmt: skip
