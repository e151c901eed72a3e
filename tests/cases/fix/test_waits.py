"""What a card comes after, where the list is shorter than what a machine needs."""

from __future__ import annotations

from dataclasses import replace

import pytest
from tests.cases.fix.bare import bare, cards, need_of

from retrue.cases.fix.layout import layout_of
from retrue.cases.fix.waits import wait_for_all
from retrue.records.fixing import Chosen


@pytest.mark.parametrize("way", ["part_out", "sell_as_is"])
def test_a_machine_that_is_not_worked_on_has_no_cards_to_wait_for(way):
    """Sent out after first power, and then nothing is put right at all: no list, no fall."""
    case = bare("mill F45", machines=("mill",))
    chosen = (
        Chosen(lot=case.lot.name, machine="mill", sort="way", what="F45", way="local"),
        Chosen(lot=case.lot.name, machine="mill", sort="aim", way=way),
    )
    worked = replace(case, chosen=chosen[:1])
    need = need_of(worked, "mill")[1]
    layout = layout_of(need)
    assert any(one.sent for group in layout.after.values() for one in group)
    assert any(one.key == "send:F45:local" for one in cards(worked, "mill").cards)
    assert wait_for_all((), need, layout) == ()
    assert cards(replace(case, chosen=chosen), "mill").cards == ()
