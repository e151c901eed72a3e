"""Extras: what each adds from what was read, whether it pays, who may do it."""

from __future__ import annotations

from dataclasses import replace
from decimal import Decimal
from functools import cache
from typing import Any

import numpy as np
import pytest
from tests.library import load

from retrue.base.refusals import Unknown
from retrue.cases.alternatives import resale_share
from retrue.cases.case import Kept, LotCase
from retrue.cases.find.costs import mean
from retrue.cases.fix.choice_lines import UpgradeRow, Upgrades
from retrue.cases.fix.kept import FixKept, fix_of_case
from retrue.cases.fix.upgrade_readings import Readings, readings_of_case
from retrue.cases.fix.upgrades import upgrades
from retrue.records.facts import CostLine, Finding, Lot, Machine, Shop, Terms
from retrue.records.fixing import Chosen

PUBLISHED = b"""
[[upgrade]]
id = "panel_damping"
adds.damping_factor = 10
adds.panel_share_db = 3
"""


@cache
def kinds(own: bytes = b""):
    return load((("own.toml", own),)) if own else load()


def kept(own: bytes = b"", machine: dict[str, Any] | None = None, **case: Any) -> FixKept:
    said = {"kind": "turning_centre", "age_years": 20.0, "new_price": Decimal(90_000)}
    lathe = Machine(lot="school", name="lathe", **(said | (machine or {})))
    whole = LotCase(shop=Shop(hour_alternative=Decimal(15)), lot=Lot(name="school"),
                    terms=Terms(lot="school"), machines=(lathe,), **case)  # fmt: skip
    return fix_of_case(whole, kinds(own))


def told(read: Readings | None = None, own: bytes = b"", **case: Any) -> Upgrades:
    return upgrades(kept(own, **case), "lathe", kinds(own), read or Readings())


def row(found: Upgrades, id: str) -> UpgradeRow:
    return next(one for one in found.rows if one.id == id)


def adds(found: Upgrades, id: str) -> dict[str, str]:
    return {name: what.replace("\u202f", " ") for name, what in row(found, id).adds}


def test_damping_takes_off_what_the_panels_give_and_no_more():
    """82 dB of which panels 79, loss factor times ten: 79.4; 94 goes to 91.4.

    Sum of squared pressures; Cremer, Heckl, Petersson, Structure-Borne Sound (from memory). NIOSH
    98-126, table 1-1: one hour at 94 dBA; by its formula 8 / 2 ** ((91.41 - 85) / 3) = 1.8 h.
    """
    said = adds(told(Readings(level_a_db=94.0), PUBLISHED), "panel_damping")["exposure"]
    assert said.startswith("from 94.0 to about 91.4 dB(A)")
    assert said.endswith("from 1.0 h to 1.8 h")
    low = adds(told(Readings(level_a_db=82.0), PUBLISHED), "panel_damping")["exposure"]
    assert "from 82.0 to about 79.4 dB(A)" in low
    assert low.endswith("from 16.0 h to all day")


def test_a_level_that_nobody_read_is_not_made_up():
    found = told(own=PUBLISHED)
    assert "about 2.6 dB less" in adds(found, "panel_damping")["exposure"]
    assert "read the level first" in adds(found, "panel_damping")["exposure"]
    assert found.values == {}
    assert any("Nobody read the level" in line for line in found.assumed)
    assert any("Nobody read the light" in line for line in found.assumed)


def test_a_lamp_adds_its_light_by_the_lumen_method():
    """2000 lm, 0.4 reaches the work, 0.8 is left, over 1 m²: 640 lux (lumen method, handbooks)."""
    found = told(Readings(lux=220.0))
    assert adds(found, "work_light")["light"].startswith("from 220 to about 860 lux")
    assert "500 are wanted" in adds(found, "work_light")["light"]
    assert adds(told(), "work_light")["light"].startswith("about 640 lux more")
    assert found.values == {"lux": 220.0}


def test_readings_are_the_newest_of_this_machine():
    def read(machine: str, measure: str, value: float) -> Finding:
        check = {"M28": "C94", "M29": "C95"}[measure]
        return Finding(lot="s", machine=machine, check=check, measure=measure, reading=value)

    said = [read("lathe", "M28", 84.0), read("mill", "M28", 70.0), read("lathe", "M28", 79.0),
            read("lathe", "M29", 310.0)]  # fmt: skip
    home = kept(findings=tuple(Kept(id=str(n), finding=one) for n, one in enumerate(said)))
    found = readings_of_case(home.case, "lathe")
    assert (found.level_a_db, found.lux, found.state) == (79.0, 310.0, "idling")
    assert readings_of_case(kept().case, "lathe") == Readings()


def test_resale_is_a_share_of_what_it_brings_when_it_is_sold():
    aim = Chosen(lot="school", machine="lathe", sort="aim", way="sell_proven", level="right")
    home = kept()
    sold = upgrades(_aimed(home, aim), "lathe", kinds(), Readings())
    share = kinds()["turning_centre"].levels["right"].resale_share
    now = 90_000 * float(resale_share(dict(share), np.array([20.0]))[0])
    part = kinds()["turning_centre"].upgrades["paint"].adds["resale_share"]
    assert row(sold, "paint").resale == pytest.approx(part * now)
    later = row(upgrades(home, "lathe", kinds(), Readings()), "paint").resale
    assert 0 < later < row(sold, "paint").resale  # kept, it is sold years from now


def _aimed(home: FixKept, aim: Chosen) -> FixKept:
    [lathe] = home.machines
    return replace(home, machines=(replace(lathe, aim=aim.way, level=aim.level),))


def test_what_the_resale_alone_pays_for_is_said_and_nothing_else_is():
    def paid(amount: int) -> UpgradeRow:
        line = CostLine(lot="school", machine="lathe", line="upgrade:labels",
                        amount=Decimal(amount), hours=0.0, reason="own printer")  # fmt: skip
        return row(told(cost_lines=(line,)), "labels")

    cheap, dear = paid(1), paid(500)
    assert (cheap.pays, dear.pays) == (True, False)
    assert cheap.money.likely == 1
    assert "alone pays" in cheap.words
    assert "the rest is for you" in dear.words
    for one in told().rows:
        spent = mean(one.money) + 15 * mean(one.hours)
        assert one.pays == (one.resale >= spent > 0)


def test_only_what_was_chosen_counts():
    def chose(what: str, yes: bool) -> Chosen:
        return Chosen(lot="school", machine="lathe", sort="upgrade", what=what, yes=yes)

    none = told()
    assert not any(one.chosen for one in none.rows)
    assert (none.chosen_money, none.chosen_hours) == (0, 0)
    found = told(chosen=(chose("paint", True), chose("labels", True), chose("blacking", False)))
    assert {one.id for one in found.rows if one.chosen} == {"paint", "labels"}
    rows = [row(found, id) for id in ("paint", "labels")]
    assert found.chosen_money == pytest.approx(sum(mean(one.money) for one in rows))
    assert found.chosen_hours == pytest.approx(sum(mean(one.hours) for one in rows))


def test_what_touches_the_mains_says_who_may_do_it():
    found = told()
    for one in found.rows:
        electrical = one.id in ("work_light", "new_display")
        assert electrical == any("licensed electrician, by local" in c for c in one.cautions)
    assert any("lead" in caution for caution in row(found, "paint").cautions)
    assert found.cautions


def test_a_fault_that_it_takes_along_is_named_and_whether_it_is_there():
    there = Finding(lot="school", machine="lathe", fault="F95", answer="present", grade=5)
    found = told(findings=(Kept(id="1", finding=there),))
    assert adds(found, "new_display")["takes along"].endswith("(it is there)")
    assert "there)" not in adds(found, "work_light")["takes along"]


def test_finish_says_looks_and_how_long_it_dries():
    paint = adds(told(), "paint")
    assert "looks" in paint
    assert paint["dries"].startswith("3 days")
    assert "comfort" in adds(told(), "sealed_connectors")


def test_another_machine_is_refused():
    with pytest.raises(Unknown):
        upgrades(kept(), "mill", kinds(), Readings())
