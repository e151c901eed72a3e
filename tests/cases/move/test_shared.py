"""What is typed for one calculator fills another only where both mean the same."""

from __future__ import annotations

from retrue.cases.reckon.method import method
from retrue.cases.reckon.prefill import prefilled
from retrue.records.facts import Machine, Shop
from retrue.records.moving import Planned


def test_a_half_width_stays_with_its_calculator_and_a_height_goes_along() -> None:
    mill = Machine(lot="S", name="mill", kind="milling_machine")
    typed = (("half_width_mm", "610"), ("centre_height_mm", "1240"))
    plan = Planned(lot="S", machine="mill", method="lift", values=typed)
    for other in ("skates", "ramp", "tie"):
        known = prefilled(method(other), mill, [], Shop(), [plan])
        assert "half_width_mm" not in known
        assert known["centre_height_mm"].value == "1240"
    assert prefilled(method("lift"), mill, [], Shop(), [plan])["half_width_mm"].value == "610"
