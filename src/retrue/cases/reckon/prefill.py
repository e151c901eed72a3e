"""What is known already of a machine and a shop, for the fields of every calculator."""

from __future__ import annotations

import re
from collections.abc import Iterable, Mapping
from dataclasses import dataclass

from retrue.base.refusals import Unusable
from retrue.base.say import say
from retrue.cases.reckon.method import Method, values_of
from retrue.cases.reckon.prefill_match import PART, Said, said_of
from retrue.records.facts import Machine, Plate, Shop
from retrue.records.moving import Planned

# plate entry -> fields that it fills, whatever the calculator; the spindle motor's own volts and
# class fill none, for a winding may be that of any motor
STAMPED = {
    "N03": ("mass_kg",),
    "N04": ("plate_volts",),
    "N05": ("plate_phases",),
    "N06": ("plate_hz",),
    "N07": ("plate_kva",),
    "N08": ("plate_ampere",),
    "N10": ("panel_rated_ka",),
    "N12": ("tap_volts",),
    "N13": ("secondary_plate_volts",),
    "N14": ("control_plate_volts",),
    "N15": ("largest_motor_kw",),
    "N27": ("bus_plate_volts",),
    "N31": ("motor_brake_volts",),
    "N39": ("wanted_bar",),
    "N40": ("balance_bar",),
}
UNITS = {
    "N03": "kg", "N04": "V", "N06": "Hz", "N07": "kVA", "N08": "A", "N10": "kA", "N12": "V",
    "N13": "V", "N14": "V", "N15": "kW", "N16": "A", "N17": "V", "N18": "rpm", "N21": "rpm",
    "N27": "V", "N31": "V", "N33": "V", "N36": "bar", "N37": "bar", "N39": "bar", "N40": "bar",
    "N46": "A",
}  # fmt: skip
_CURRENT = re.compile(r"(?<=[0-9])\s*V?\s*(?:DC|AC)$", re.IGNORECASE)  # "24 V DC", "24VDC"
OF_SHOP = {
    "supply_volts": "supply_volts",
    "supply_phases": "supply_phases",
    "supply_kva": "supply_kva",
    "door_width_mm": "door_width_mm",
    "door_height_mm": "door_height_mm",
}
OF_MACHINE = {"width_mm": "width_mm", "height_mm": "height_mm"}


@dataclass(frozen=True, slots=True)
class Filled:
    """A field that is known: as text, and where it comes from.

    The text is empty where a plate says something that cannot be read; ``where`` says what.
    """

    value: str
    where: str


def prefilled(
    one: Method, machine: Machine, plates: Iterable[Plate], shop: Shop, planned: Iterable[Planned]
) -> dict[str, Filled]:
    """Every field of a calculator that is known without asking again.

    Parameters
    ----------
    one : Method
    machine : Machine
    plates : iterable of Plate
        Of this machine, oldest first.
    shop : Shop
    planned : iterable of Planned
        Of this machine: what was typed for one calculator fills the like field of another.

    Returns
    -------
    dict of str to Filled
        By field id; what was typed for this calculator goes first, then what was typed for
        another, the plate, the machine's own page, the shop.

    Examples
    --------
    >>> from retrue.cases.reckon.method import method
    >>> mill = Machine(lot="14", name="mill", kind="vertical_machining_centre", mass_kg=4200.0)
    >>> known = prefilled(method("lift"), mill, [], Shop(), [])
    >>> known["mass_kg"].value, known["mass_from"].value
    ('4200 kg', 'listing')
    """
    fields, told = {field.id for field in one.fields}, tuple(planned)
    its = said_of(one.id, _part(one, told))
    known = _shop(shop) | _machine(machine) | _stamped(one, plates, its)
    mine: dict[str, Filled] = {}
    for plan in told:
        where = say("typed") if plan.method == one.id else say("typed for another calculator")
        said = {id: Filled(value, where) for id, value in plan.values if value}
        if plan.method == one.id:
            mine = said
        else:
            known |= {id: said[id] for id in said if id in SHARED}
            like = its.typed.get(plan.method, {})
            known |= {like[id]: filled for id, filled in said.items() if id in like}
    return {id: value for id, value in (known | mine).items() if id in fields}


SHARED = frozenset(
    {"mass_kg", "mass_from", "extras_kg", "centre_height_mm", "rolling_share"}
    | {"line_ampere", "supply_volts", "earth", "wanted_bar"}
)


def _machine(machine: Machine) -> dict[str, Filled]:
    where = say("the machine's page")
    known = {"name": Filled(machine.name, where)}
    if machine.mass_kg is not None:
        known["mass_kg"] = Filled(f"{machine.mass_kg:g} kg", where)
        known["mass_from"] = Filled("listing", where)
    for field, name in OF_MACHINE.items():
        value = getattr(machine, name)
        if value is not None:
            known[field] = Filled(f"{value:g} mm", where)
    return known


def _part(one: Method, planned: Iterable[Planned]) -> str:
    """Which of several parts a calculator is about: as typed, else as it is taken."""
    asked = next((field for field in one.fields if field.id == PART), None)
    said = [dict(plan.values).get(PART) for plan in planned if plan.method == one.id]
    return next((part for part in reversed(said) if part), str(asked.default) if asked else "")


def _stamped(one: Method, plates: Iterable[Plate], its: Said) -> dict[str, Filled]:
    known = {}
    for plate in plates:
        for field in (*STAMPED.get(plate.entry, ()), *its.stamped.get(plate.entry, ())):
            known[field] = _read(one, field, plate)
        if plate.entry in its.fixed:
            field, follows = its.fixed[plate.entry]
            known[field] = Filled(follows, say("its plate"))
        if plate.entry == "N03":
            known["mass_from"] = Filled("plate", say("its plate"))
    return known


def _read(one: Method, field: str, plate: Plate) -> Filled:
    """What is stamped as a field, with its unit; words that are no number are told, not filled."""
    text, unit = plate.value.strip(), UNITS.get(plate.entry, "")
    if unit == "V":
        text = _CURRENT.sub(" V", text)
    if text.replace(",", ".").replace(".", "", 1).isdigit():
        text = f"{text} {unit}".strip()
    asked = next((asked for asked in one.fields if asked.id == field), None)
    if asked is not None:
        first = text.partition(" ")[0]
        text = first if first in dict(asked.choices) else text
        try:
            values_of(one, {field: text})
        except Unusable:
            return Filled("", say("its plate says “{text}”: not filled in", text=text))
    return Filled(text, say("its plate"))


def _shop(shop: Shop) -> dict[str, Filled]:
    known: Mapping[str, float | int | None] = {
        field: getattr(shop, name) for field, name in OF_SHOP.items()
    }
    made = {
        field: Filled(f"{value:g}", say("your shop"))
        for field, value in known.items()
        if value is not None
    }
    if shop.lift_kg is not None and shop.uses_rigger is False:  # a rigger brings his own
        made["hook_rated_kg"] = Filled(f"{shop.lift_kg:g} kg", say("your shop"))
    return made
