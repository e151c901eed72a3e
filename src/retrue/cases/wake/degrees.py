"""Degrees without their unit: asked where a machine at rest is not that warm."""

from __future__ import annotations

from retrue.base.say import say
from retrue.cases.reckon.building import Draft
from retrue.cases.reckon.method import Written

AT_REST_C = 45.0  # judgement: 68 is a room in °F, and no machine at rest in °C
FAR_KELVIN = 20.0  # from the air around it (judgement)


def unit_asked(draft: Draft, *ids: str, beside: str = "") -> bool:
    """Ask whether bare numbers are °C or °F, where °C is unlikely.

    Parameters
    ----------
    draft : Draft
        Gets a line of what to get first for each that is asked.
    *ids : str
        Fields in °C. One behind which its unit was written is answered.
    beside : str
        Field of the air around it: what is far from it is asked as well.

    Returns
    -------
    bool
        One is asked: nothing is judged by it yet.

    Examples
    --------
    >>> from retrue.cases.wake.insulation import FIELDS
    >>> draft = Draft("insulation", "Insulation", FIELDS, {"winding_c": 68.0})
    >>> unit_asked(draft, "winding_c"), draft.missing[0].reason
    (True, '68 of what, °C or °F')
    >>> unit_asked(Draft("insulation", "", FIELDS, {"winding_c": Written(68.0)}), "winding_c")
    False
    """
    air = draft.said(beside) if beside else None
    found = False
    for id in ids:
        value = draft.said(id)
        if value is None or isinstance(value, Written):
            continue
        far = air is not None and abs(value - air) > FAR_KELVIN
        if value > AT_REST_C or far:
            ask_unit(draft, value, id)
            found = True
    return found


def ask_unit(draft: Draft, value: float, id: str) -> None:
    """Ask for the unit of one bare number.

    Parameters
    ----------
    draft : Draft
        Gets a line of what to get first.
    value : float
        As it was typed.
    id : str
        Its field.

    Examples
    --------
    >>> draft = Draft("warmup", "Warm-up", (), {})
    >>> ask_unit(draft, 77.0, "first_c")
    >>> draft.missing[0].remedy
    'Write its unit behind it: 77 °C or 77 °F.'
    """
    told = f"{value:g}"
    draft.lack(
        say("{value} of what, °C or °F", value=told),
        say("Write its unit behind it: {value} °C or {value} °F.", value=told),
        id,
    )
