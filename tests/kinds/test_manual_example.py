"""The example file of the manual can be used."""

from __future__ import annotations

import re
from pathlib import Path

from tests.library import load as once

from retrue.kinds.compare import differences
from retrue.kinds.load import load
from retrue.kinds.shape import SECTIONS

PAGE = (Path(__file__).resolve().parents[2] / "docs" / "kinds.md").read_text(encoding="utf-8")


def test_the_example_of_the_manual_changes_what_it_says():
    [example] = re.findall(r"```toml\n(.*?)```", PAGE, re.DOTALL)
    changes = differences(once(), load((("example.toml", example.encode()),)))
    numbers = {change.number: change.after for change in changes}
    assert numbers["fixes.F15.local.money.likely"] == 600
    assert numbers["faults.F01.prior"] == 0.15
    assert numbers["checks.C31.links.F14"] == 0.9
    assert numbers["renewals.drive_fans.life_years"] == 9
    assert numbers["costs.E10.amount.likely"] == 0.18


def test_the_manual_names_every_section_and_every_kind():
    for name in [*once(), *(section for section in SECTIONS if section != "kind")]:
        assert f"`{name}`" in PAGE, name
