"""What a plate says fills the fields of first power."""

from __future__ import annotations

import pytest

from retrue.cases.reckon.method import method
from retrue.cases.reckon.prefill import prefilled
from retrue.records.facts import Machine, Plate, Shop

MILL = Machine(lot="14", name="mill", kind="vertical_machining_centre")


@pytest.mark.parametrize(
    ("calculator", "entry", "stamped", "field", "value"),
    [
        ("insulation", "N19", "class F", "insulation_class", "F"),
        ("insulation", "N17", "200", "rated_volts", "200 V"),
        ("earth", "N13", "110", "secondary_plate_volts", "110 V"),
        ("earth", "N14", "24 V DC", "control_plate_volts", "24 V DC"),
        ("bus", "N27", "283", "bus_plate_volts", "283 V"),
        ("brake", "N40", "62", "balance_bar", "62 bar"),
    ],
)
def test_a_stamped_value_fills_its_field(calculator, entry, stamped, field, value):
    plate = Plate(machine="mill", entry=entry, value=stamped)
    known = prefilled(method(calculator), MILL, [plate], Shop(), [])
    assert (known[field].value, known[field].where) == (value, "its plate")


def test_supply_volts_of_the_plate_are_not_the_volts_at_the_drive():
    plate = Plate(machine="mill", entry="N04", value="400")
    assert "line_volts" not in prefilled(method("bus"), MILL, [plate], Shop(), [])
