"""Brake: does it hold the head, did it drop, does the balance carry its weight."""

from __future__ import annotations

from retrue.base.formatter import number
from retrue.base.refusals import Unusable
from retrue.base.say import later, say
from retrue.cases.reckon.building import Draft
from retrue.cases.reckon.method import Field, Method, Values
from retrue.cases.reckon.reckoning import Reckoning
from retrue.science.brake import (
    DROP_MM,
    LEAST_SHARE,
    MOST_SHARE,
    PROOF_TIMES,
    UP_DOWN_PERCENT,
    UP_DOWN_STOP_PERCENT,
    balance_bar,
    balance_newton,
    drop,
    fall_mm,
    holding_nm,
    up_down_percent,
)
from retrue.science.rolling import GRAVITY

HEAD, BRAKE, BALANCE = "the head", "the brake", "the balance"
TESTED = "what the test showed, prop 5 mm below"
WORK = later("work of one turn (by definition), friction counted as nothing")

FIELDS = (
    Field(id="head_kg", name="mass of the head", unit="kg",
          help="In the manual, or a scale under the prop.", group=HEAD),
    Field(id="prop", name="a rated prop stands under the head", sort="flag",
          help="Before anyone touches motor, belt, brake, screw or balance.", group=HEAD),
    Field(id="pitch_mm", name="pitch of its screw", unit="mm", help="Way of one turn.",
          group=HEAD),
    Field(id="brake_nm", name="torque that the brake holds", unit="Nm",
          help="On its plate or in the motor's document.", group=BRAKE),
    Field(id="turns_of_brake", name="turns of the brake for one of the screw", default=1.0,
          mark="coupled straight", help="Count the teeth of the belt.", group=BRAKE),
    Field(id="proof_times", name="times the head's torque that it shall hold",
          default=PROOF_TIMES, mark="from memory, unverified",
          help="The maker's manual goes first.", group=BRAKE),
    Field(id="delay_s", name="time until it holds", unit="s", zero=True,
          help="In its document, or of an old one in oil: longer.", group=BRAKE),
    Field(id="balance", name="how the head is balanced", sort="choice",
          choices=(("none", "not at all"), ("cylinder", "gas or oil in a cylinder"),
                   ("weight", "a weight on a chain")), help="Look behind the column.",
          group=BALANCE),
    Field(id="balance_bar", name="pressure at rest", unit="bar", zero=True,
          help="On its gauge.", group=BALANCE),
    Field(id="bore_mm", name="bore of the cylinder", unit="mm", help="In the manual.",
          group=BALANCE),
    Field(id="rod_mm", name="its rod, where the pressure is on the rod's side", unit="mm",
          zero=True, default=0.0, help="0 on the full bore.", group=BALANCE),
    Field(id="cylinders", name="cylinders", sort="whole", default=1, help="Count them.",
          group=BALANCE),
    Field(id="balance_turns", name="way of the head over way of the rod", sort="whole", default=1,
          help="2 where a chain goes once around a wheel.", group=BALANCE),
    Field(id="weight_kg", name="the weight on the chain", unit="kg", help="In the manual.",
          group=BALANCE),
    Field(id="dropped_mm", name="drop when the servo went off", unit="mm", zero=True,
          help="An indicator under the head, hands out.", group=TESTED),
    Field(id="crept_mm", name="creep in two minutes after it", unit="mm", zero=True,
          help="0 where it stood still.", group=TESTED),
    Field(id="most_drop_mm", name="most that it may drop", unit="mm", default=DROP_MM,
          mark="judgement, no source", help="In the maker's manual.", group=TESTED),
    Field(id="up_ampere", name="current going up, slow", unit="A", help="On the load page.",
          group=TESTED),
    Field(id="down_ampere", name="current going down, same speed", unit="A", zero=True,
          help="As an amount.", group=TESTED),
)  # fmt: skip


def reckon(values: Values) -> Reckoning:
    """What holds the head.

    Parameters
    ----------
    values : mapping
        By field id, None where nobody has said.

    Returns
    -------
    Reckoning
        Never a leave to go under the head.

    Examples
    --------
    >>> from retrue.cases.reckon.method import values_of
    >>> made = reckon(values_of(METHOD, {"head_kg": "500", "pitch_mm": "10", "brake_nm": "12",
    ...     "prop": "yes", "balance": "none", "dropped_mm": "0.02", "crept_mm": "0"}))
    >>> made.answer, [round(f.value, 3) for f in made.figures if f.key == "holding_nm"]
    ('go', [7.807])
    """
    draft = Draft("brake", say("Brake and balance"), FIELDS, values)
    if draft.wanted("prop") is False:
        draft.stop(say("no prop stands under the head"),
                   say("A rated prop or block first; then hands."), "prop")  # fmt: skip
    head = draft.wanted("head_kg")
    carried = None if head is None else _balance(draft, head)
    _dropped(draft)
    _up_down(draft)
    if head is None:
        return draft.done("")
    hangs = _holds(draft, head, carried)
    if hangs is None:
        return draft.done("")
    if not carried:
        return draft.done(say("{nm} Nm hang on the brake.", nm=number(hangs[1], 1)))
    return draft.done(say("{nm} Nm hang on the brake, {alone} Nm with the balance lost.",
                          nm=number(hangs[0], 1), alone=number(hangs[1], 1)))  # fmt: skip


def _balance(draft: Draft, head: float) -> float | None:
    """Newton that the balance carries; None where nobody knows."""
    how = draft.wanted("balance")
    carried: float | None = 0.0 if how == "none" else None
    if how == "weight":
        weight = draft.wanted("weight_kg")
        carried = None if weight is None else weight * GRAVITY
    if how == "cylinder":
        carried = _cylinder(draft, head)
    if carried is None or how in (None, "none"):
        return carried
    share = carried / (head * GRAVITY)
    draft.figure("carried_newton", say("what the balance carries"), carried, "N", 0,
                 "pressure times area, weight (by definition)")  # fmt: skip
    draft.figure("carried_percent", say("of the head's weight"), 100.0 * share, "%", 0,
                 "90 to 110 % is judgement, no source")  # fmt: skip
    if not LEAST_SHARE <= share <= MOST_SHARE:
        draft.lack(
            say("the balance carries {percent} % of the head", percent=number(100.0 * share)),
            say("Compare mass, bore and gauge with the manual; charging it is for a trained"
                " person, with nitrogen only."),
            "balance_bar" if how == "cylinder" else "weight_kg",
        )  # fmt: skip
    return carried


def _cylinder(draft: Draft, head: float) -> float | None:
    pressure, bore = draft.wanted("balance_bar"), draft.wanted("bore_mm")
    if pressure is None or bore is None:
        return None
    rod, count, turns = (draft.get(one) for one in ("rod_mm", "cylinders", "balance_turns"))
    try:
        carried = balance_newton(pressure, bore, rod_mm=rod, cylinders=count, turns=turns)
        full = balance_bar(head, bore, rod_mm=rod, cylinders=count, turns=turns)
    except Unusable as refusal:
        draft.refused(refusal, "bore_mm")
        return None
    draft.figure("full_bar", say("pressure that carries all of it"), full, "bar", 1,
                 "pressure times area (by definition)")  # fmt: skip
    return carried


def _holds(draft: Draft, head: float, carried: float | None) -> tuple[float, float] | None:
    """Torque at the brake with the balance and without it."""
    pitch, brake = draft.wanted("pitch_mm"), draft.wanted("brake_nm")
    if pitch is None:
        return None
    turns, times = draft.get("turns_of_brake"), draft.get("proof_times")
    alone = holding_nm(head, pitch, turns_of_brake=turns)
    draft.figure("holding_nm", say("whole head at the brake, balance lost"), alone, "Nm", 3, WORK)
    with_balance = alone
    if carried:
        with_balance = holding_nm(head, pitch, balanced_newton=carried, turns_of_brake=turns)
        draft.figure("balanced_nm", say("with the balance"), with_balance, "Nm", 3, WORK)
    proof = times * max(alone, abs(with_balance))  # a balance may be lost: it counts as nothing
    draft.figure("proof_nm", say("a proof wants, balance lost"), proof, "Nm", 2,
                 "1.3 times: a trade body's sheet on upright axes (from memory)")  # fmt: skip
    _late(draft, head, carried)
    if brake is None:
        return with_balance, alone
    if brake < proof:
        draft.stop(say("the brake holds {brake} Nm where {proof} are wanted",
                       brake=number(brake, 1), proof=number(proof, 1)),
                   say("The head stays on its prop: another brake. A balance may be lost and"
                       " counts as nothing."),
                   "brake_nm")  # fmt: skip
    return with_balance, alone


def _late(draft: Draft, head: float, carried: float | None) -> None:
    delay = draft.said("delay_s")
    if delay is None:
        return
    share = min(1.0, (carried or 0.0) / (head * GRAVITY))
    try:
        falls = fall_mm(delay, balanced_share=share)
    except Unusable as refusal:
        draft.refused(refusal, "delay_s")
        return
    draft.figure("falls_mm", say("falls until the brake holds, at most"), falls, "mm", 1,
                 "free fall (by definition)")  # fmt: skip


def _dropped(draft: Draft) -> None:
    dropped, crept = draft.said("dropped_mm"), draft.said("crept_mm")
    if dropped is None or crept is None:  # what is printed on a brake proves nothing of it
        for id in ("dropped_mm", "crept_mm"):
            draft.wanted(id)
        return
    most = draft.get("most_drop_mm")
    found = drop(dropped, crept, most_mm=most)
    draft.figure("dropped_mm", say("dropped"), dropped, "mm", 3, "0.05 mm is judgement, no source")
    if found.why == "creep":
        draft.stop(say("it creeps: {mm} mm in two minutes", mm=number(crept, 3)),
                   say("The head goes on its prop: the brake is worn, oily or late."),
                   "crept_mm")  # fmt: skip
    elif not found.holds:
        draft.stop(say("it dropped {mm} mm where {most} are the most", mm=number(dropped, 3),
                       most=number(most, 2)),
                   say("The head goes on its prop: the brake is worn, oily or late."),
                   "dropped_mm")  # fmt: skip


def _up_down(draft: Draft) -> None:
    up, down = draft.said("up_ampere"), draft.said("down_ampere")
    if up is None and down is None:
        return
    if up is None or down is None:
        draft.wanted("up_ampere" if up is None else "down_ampere")
        return
    try:
        found = up_down_percent(up, down)
    except Unusable as refusal:
        draft.refused(refusal, "up_ampere")
        return
    draft.figure("up_down_percent", say("current up over down, of their mean"), found, "%", 0,
                 "20 and 35 % are judgement, no source")  # fmt: skip
    told = say("going up and down differ by {percent} %", percent=number(found, 0, signed=True))
    if abs(found) > UP_DOWN_STOP_PERCENT:
        draft.stop(told, say("Look at the balance before the axis moves again."), "up_ampere")
    elif abs(found) > UP_DOWN_PERCENT:
        draft.lack(told, say("Compare pressure and mass of the balance."), "up_ampere")


METHOD = Method(
    id="brake",
    title=later("Brake and balance"),
    what=later("Whether brake and balance hold an upright axis; never a leave to go under it."),
    fields=FIELDS,
    cautions=("X06", "X07", "X02"),
    reckon=reckon,
    standard="statics; ISO 16090-1 and ISO 23125 families",
    example=("--head-kg", "500", "--pitch-mm", "10", "--brake-nm", "12", "--prop", "--balance",
             "none", "--dropped-mm", "0.02", "--crept-mm", "0"),
)  # fmt: skip
