"""What a plate says fills the fields of first power."""

from __future__ import annotations

import pytest

from retrue.cases.reckon.method import method, values_of
from retrue.cases.reckon.prefill import prefilled
from retrue.records.facts import Machine, Plate, Shop

MILL = Machine(lot="14", name="mill", kind="vertical_machining_centre")


@pytest.mark.parametrize(
    ("calculator", "entry", "stamped", "field", "value"),
    [
        ("earth", "N13", "110", "secondary_plate_volts", "110 V"),
        ("earth", "N14", "24 V DC", "control_plate_volts", "24 V"),
        ("earth", "N14", "24VDC", "control_plate_volts", "24 V"),
        ("supply", "N04", "400", "plate_volts", "400 V"),
        ("bus", "N27", "283", "bus_plate_volts", "283 V"),
        ("brake", "N40", "62", "balance_bar", "62 bar"),
    ],
)
def test_a_stamped_value_fills_its_field(calculator, entry, stamped, field, value):
    plate = Plate(machine="mill", entry=entry, value=stamped)
    known = prefilled(method(calculator), MILL, [plate], Shop(), [])
    assert (known[field].value, known[field].where) == (value, "its plate")


@pytest.mark.parametrize("calculator", ["insulation", "winding"])
def test_volts_and_class_of_the_spindle_motor_are_not_those_of_every_winding(calculator):
    plates = [Plate(machine="mill", entry=entry, value=value)
              for entry, value in (("N17", "200"), ("N19", "F"), ("N19", "F (155)"))]  # fmt: skip
    known = prefilled(method(calculator), MILL, plates, Shop(), [])
    assert not known.keys() & {"rated_volts", "insulation_class"}


@pytest.mark.parametrize(
    ("calculator", "entry", "stamped", "field"),
    [("supply", "N04", "400/230", "plate_volts"), ("bus", "N27", "see drive", "bus_plate_volts")],
)
def test_what_a_plate_says_and_nobody_can_read_is_told_and_refuses_no_form(
    calculator, entry, stamped, field
):
    plate = Plate(machine="mill", entry=entry, value=stamped)
    known = prefilled(method(calculator), MILL, [plate], Shop(), [])
    assert known[field].value == ""
    assert stamped in known[field].where
    made = values_of(method(calculator), {id: filled.value for id, filled in known.items()})
    assert made[field] is None


def test_supply_volts_of_the_plate_are_not_the_volts_at_the_drive():
    plate = Plate(machine="mill", entry="N04", value="400")
    assert "line_volts" not in prefilled(method("bus"), MILL, [plate], Shop(), [])
