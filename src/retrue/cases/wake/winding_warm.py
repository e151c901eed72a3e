"""How warm a winding got: by its resistance warm and cold, or by readings while it cooled."""

from __future__ import annotations

from retrue.base.formatter import number
from retrue.base.refusals import Unusable
from retrue.base.say import later, say
from retrue.cases.reckon.building import Draft
from retrue.cases.reckon.method import Field
from retrue.cases.wake.degrees import unit_asked
from retrue.cases.wake.pairs import pairs
from retrue.science.winding import (
    ALUMINIUM_C,
    COPPER_C,
    COPPER_IEC_C,
    at_switching_off,
    at_temperature_ohm,
    rise_limit_kelvin,
    temperature_c,
)

LINES, HEAT = "between its lines", "how warm it got"
RESISTANCE = later("IEC 60034-1, method of resistance (from memory, unverified)")
AT_ONCE_S = 30.0  # IEC 60034-1, to 50 kW: a reading within it needs no way back (from memory)
METALS = {"copper": COPPER_C, "copper_iec": COPPER_IEC_C, "aluminium": ALUMINIUM_C}

METAL = Field(
    id="metal", name="its metal", sort="choice", default="copper",
    mark="k = 234.5; IEC standards take 235",
    choices=(("copper", "copper, k = 234.5"), ("copper_iec", "copper, k = 235"),
             ("aluminium", "aluminium, k = 225")),
    help="Copper unless the rotor is cast or the plate says Al.", group=LINES,
)  # fmt: skip
WARM_FIELDS = (
    Field(id="cold_ohm", name="cold, between two lines", unit="ohm",
          help="After a night in one room, dead and locked off.", group=HEAT),
    Field(id="cold_c", name="temperature when cold", unit="°C", signed=True,
          help="On the frame.", group=HEAT),
    Field(id="warm_ohm", name="warm, between the same two", unit="ohm",
          help="Switched off, locked, proved dead first.", group=HEAT),
    Field(id="warm_after_s", name="time after switching off", unit="s",
          help="Seconds, by a watch.", group=HEAT),
    Field(id="cooling", name="or: while it cooled", sort="text",
          help="Seconds after switching off and ohm: 30, 98.1; 60, 96.4; 90, 94.8.", group=HEAT),
    Field(id="air_c", name="air that cools it", unit="°C", signed=True,
          help="Near the motor, at the end of the run.", group=HEAT),
    Field(id="insulation_class", name="insulation class", sort="choice",
          choices=tuple((letter, letter) for letter in ("A", "E", "B", "F", "H")),
          help="A letter on the motor's plate.", group=HEAT),
)  # fmt: skip


def metal_c(draft: Draft) -> float:
    """The constant of the winding's metal.

    Parameters
    ----------
    draft : Draft

    Returns
    -------
    float
        Degrees C.

    Examples
    --------
    >>> from retrue.cases.wake.winding import FIELDS
    >>> metal_c(Draft("winding", "Winding", FIELDS, {"metal": "aluminium"}))
    225.0
    """
    return METALS[draft.get("metal")]


def warm(draft: Draft) -> str:
    """Reckon how warm it got, against the rise that its class allows.

    Parameters
    ----------
    draft : Draft

    Returns
    -------
    str
        The answer in one sentence; empty where something is lacking.

    Examples
    --------
    >>> from retrue.cases.wake.winding import FIELDS
    >>> warm(Draft("winding", "Winding", FIELDS, {"cold_ohm": 80.0, "cold_c": 20.0,
    ...     "warm_ohm": 100.0, "warm_after_s": 20.0, "air_c": 20.0, "insulation_class": "F"}))
    'It got 64 K warmer than its air; 105 K are the limit.'
    """
    cold, cold_c, air = (draft.wanted(one) for one in ("cold_ohm", "cold_c", "air_c"))
    if None in (cold, cold_c, air) or unit_asked(draft, "cold_c", "air_c"):
        return ""
    try:
        found = _reached(draft, cold, cold_c, air)
    except Unusable as refusal:
        draft.refused(refusal, "cooling" if draft.said("cooling") else "warm_ohm")
        return ""
    winding_c, doubt = found
    draft.figure("winding_c", say("mean temperature of the winding"), winding_c, "°C", 1,
                 RESISTANCE)  # fmt: skip
    if doubt is not None:
        draft.figure("winding_give_or_take_kelvin", say("give or take"), doubt, "K", 1,
                     "JCGM 100:2008, G.3, 95 %")  # fmt: skip
    if not _is_warm(draft, cold, winding_c, air):
        return ""
    rise = winding_c - air
    draft.figure("rise_kelvin", say("warmer than its air"), rise, "K", 1, RESISTANCE)
    return _against(draft, rise, doubt or 0.0, air)


def _reached(
    draft: Draft, cold_ohm: float, cold_c: float, air_c: float
) -> tuple[float, float | None]:
    """Temperature when it was switched off, and its give or take where that is known."""
    metal = metal_c(draft)
    if not draft.said("cooling"):
        _late(draft)
        return temperature_c(draft.said("warm_ohm"), cold_ohm, cold_c, metal_c=metal), None
    rows = pairs(draft.said("cooling"), field="cooling", what=say("seconds and ohm"))
    settled = at_temperature_ohm(cold_ohm, cold_c, air_c, metal_c=metal)
    back = at_switching_off([s for s, _ in rows], [ohm for _, ohm in rows], settled)
    draft.figure(
        "switched_off_ohm", say("when it was switched off"), back.ohm, "ohm", 4, RESISTANCE
    )
    draft.figure("switched_off_give_or_take_ohm", say("give or take of that"),
                 back.give_or_take_ohm, "ohm", 4)  # fmt: skip
    winding_c = temperature_c(back.ohm, cold_ohm, cold_c, metal_c=metal)
    doubt = (metal + cold_c) * back.give_or_take_ohm / cold_ohm
    return winding_c, doubt


def _late(draft: Draft) -> None:
    """A reading by itself stands for the moment of switching off within half a minute only."""
    after = draft.said("warm_after_s")
    if after is not None and after <= AT_ONCE_S:
        return
    draft.lack(
        say("when the warm reading was taken is not known") if after is None
        else say("it was read {s} s after switching off: until then it cooled", s=number(after)),
        say("Nobody hurries to a motor that is not proved dead: give readings while it cools,"
            " half a minute apart, and the way back is reckoned."),
        "warm_after_s" if after is None else "cooling",
    )  # fmt: skip


def _is_warm(draft: Draft, cold_ohm: float, winding_c: float, air_c: float) -> bool:
    """A winding that ran is warmer than it was cold, and than its air."""
    warm_ohm = None if draft.said("cooling") else draft.said("warm_ohm")
    if winding_c >= air_c and (warm_ohm is None or warm_ohm > cold_ohm):
        return True
    draft.lack(
        say("warm it has no more than cold, or is colder than its air"),
        say("Measure again between the same two lines: cold and warm may be swapped."),
        "cooling" if warm_ohm is None else "warm_ohm",
    )
    return False


def _against(draft: Draft, rise: float, doubt: float, air_c: float) -> str:
    letter = draft.wanted("insulation_class")
    if letter is None:
        return ""
    try:
        limit = rise_limit_kelvin(letter, air_c=air_c)
    except Unusable as refusal:
        draft.refused(refusal, "air_c")
        return ""
    draft.figure("limit_kelvin", say("limit of its class"), limit, "K", 0,
                 "IEC 60034-1, rise by resistance (from memory, unverified)")  # fmt: skip
    if rise > limit:
        draft.stop(
            say("it got {rise} K warmer than its air where {limit} are the limit",
                rise=number(rise), limit=number(limit)),
            say("Less load or less duty, clean air and fan, and the current against the plate."),
            "warm_ohm",
        )  # fmt: skip
    elif rise + doubt > limit:
        draft.lack(
            say("give or take {doubt} K it may be over its limit", doubt=number(doubt, 1)),
            say("Take more readings, closer to the moment of switching off."),
            "cooling",
        )
    return say("It got {rise} K warmer than its air; {limit} K are the limit.",
               rise=number(rise), limit=number(limit))  # fmt: skip
