"""Every test of measuring goes through the shop: its example file, its form half filled."""

from __future__ import annotations

import json
from collections.abc import Iterator, Mapping
from pathlib import Path
from typing import Any

import pytest

from retrue.base.refusals import Refusal
from retrue.cases.prove.deed import MODULES, Deed, deed, options_of, table_from
from retrue.cases.prove.proof import Conditions, Limit, flat, not_level
from retrue.phases import prove, worth
from retrue.records.facts import Lot, Machine, Terms
from retrue.records.measuring import Instrument

EXAMPLES = Path(__file__).resolve().parents[3] / "examples" / "prove"


def needed(one: Deed) -> dict[str, Any]:
    """An answer to each option that has no usual value."""
    return {
        option.id: option.choices[0] if option.choices else "100"
        for option in one.options
        if option.needed and option.default is None
    }


def filled(one: Deed, options: Mapping[str, Any]) -> Iterator[dict[str, str]]:
    """The form of a test, left at several places, with nothing, one thing and anything in it."""
    cells = one.cells(options)
    places = sorted({1, 3, len(cells) // 2, len(cells) - 1, len(cells)})
    for end in places:
        for kind in ("0", "1", "any"):
            yield {
                cell.id: kind if kind != "any" else str(place * 37 % 11 - 4 * cell.signed)
                for place, cell in enumerate(cells[:end])
            }


@pytest.mark.parametrize("test", MODULES)
def test_a_form_left_anywhere_is_told_what_is_missing_and_never_breaks(test: str):
    one = deed(test)
    options = options_of(one, needed(one))
    cells = one.cells(options)
    assert len({cell.id for cell in cells}) == len(cells) > 0
    told, helps = 0, []
    for values in filled(one, options):
        if not values:
            continue
        for doubt, limit in ((None, None), (1.0, Limit(value=10.0))):
            conditions = Conditions(reading_uncertainty=doubt, limit=limit)
            try:
                proof = one.prove(table_from(one, cells, values), options, conditions)
            except Refusal as refusal:
                helps.append(refusal.remedy)
                continue
            told += 1
            assert proof.quantities[0].key in one.judged
            json.dumps(flat(proof), allow_nan=False)
    assert all(helps)
    assert told, "no filled form says anything"


@pytest.mark.parametrize("test", MODULES)
@pytest.mark.parametrize("shop", ["in memory"], indirect=True)
def test_the_example_of_a_test_waits_for_the_level_and_is_learned_from(shop, kinds, test):
    one = deed(test)
    machine = "lathe" if test == "alignment" else "mill"
    kind = kinds["turning_centre" if test == "alignment" else "vertical_machining_centre"]
    alone = Machine(lot="", name=machine, kind=kind.id, age_years=24)
    worth.new_lot(shop, Lot(name="school"), Terms(lot=""), [alone], by="owner")
    sort = one.instrument_sorts[0]
    fact = Instrument(name="tool", sort=sort, unit=one.reading_unit, uncertainty=2.0)
    prove.keep_instrument(shop, fact, by="owner")
    kept = prove.keep_table(
        shop, "school", machine, test, (EXAMPLES / one.example).read_bytes(), one.example,
        needed(one), kinds, instrument="tool", by="owner",
    )  # fmt: skip
    early = prove.judge(shop, kept.id, kinds, by="owner")
    assert early.record.fact.provisional == (not_level() if one.needs_level else "")
    assert early.findings == () or not one.needs_level
    assert json.loads(early.record.fact.answer)["schema"] == f"prove.{test}.1"
    level(shop, kinds, machine)
    full = prove.judge(shop, kept.id, kinds, by="owner")
    assert (full.record == early.record) is not one.needs_level
    assert full.proof.provisional == ""
    learned = {one.measure for one in full.proof.measures} & set(kind.measures)
    assert {one.measure for one in full.findings} == learned
    if full.findings:
        told = worth.keep_findings(shop, "school", full.findings, kinds, worlds=100, by="owner")
        assert told.after is not None
    assert prove.judge(shop, kept.id, kinds, by="owner").findings == ()
    rows = prove.acceptance(shop, "school", machine, kinds).rows
    assert test in {row.test for row in rows if row.by}


def level(shop, kinds, machine):
    """Prove a machine level: every reading nought, with a fine level."""
    fact = Instrument(name="fine level", sort="level", unit="µm/m", uncertainty=2.0)
    prove.keep_instrument(shop, fact, by="owner")
    begun = prove.begin(
        shop, "school", machine, "level", {}, kinds, instrument="fine level", by="owner"
    )
    values = {cell.id: "0" for cell in prove.open_set(shop, begun.id, kinds).cells}
    prove.keep_readings(shop, begun.id, values, kinds, by="owner")
    assert prove.judge(shop, begun.id, kinds, by="owner").record.fact.ruling == "proved_good"


@pytest.mark.parametrize(
    ("test", "told", "unit"),
    [
        ("level", {}, "µm/m"),
        ("straightness", {"by": "level"}, "µm/m"),
        ("straightness", {"by": "indicator"}, "µm"),
        ("straightness", b"position_mm;height_um\n0;1\n100;2\n", "µm"),
        ("straightness", b"# bed, left way\nposition_mm,tilt_um_per_m\n0,1\n100,2\n", "µm/m"),
        ("flatness", b"line,step,tilt_um_per_m\nAC,1,3\n", "µm/m"),
        ("flatness", b"x_mm,y_mm,height_um\n0,0,3\n", "µm"),
        ("circle", b"direction,x_mm,y_mm\ncw,100,0\n", "µm"),
    ],
)
@pytest.mark.parametrize("shop", ["in memory"], indirect=True)
def test_the_doubt_of_an_instrument_counts_in_the_unit_of_these_readings(
    shop, lot, kinds, test, told, unit
):
    doubts = {}
    for name, mine in (("frame level", "µm/m"), ("dial", "µm")):
        fact = Instrument(name=name, sort="level", unit=mine, uncertainty=3.0)
        prove.keep_instrument(shop, fact, by="owner")
        where = shop, "school", "mill", test
        asked = {"instrument": name, "by": "owner"}
        if isinstance(told, bytes):
            options = needed(deed(test))
            kept = prove.keep_table(*where, told, "a.csv", options, kinds, **asked)
        else:
            kept = prove.begin(*where, needed(deed(test)) | told, kinds, **asked)
        view = prove.open_set(shop, kept.id, kinds)
        doubts[mine] = view.conditions.reading_uncertainty
        assert any("not counted" in one for one in view.warnings) is (mine != unit)
    assert doubts == {mine: 3.0 if mine == unit else None for mine in ("µm/m", "µm")}
