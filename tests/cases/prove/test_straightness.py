from __future__ import annotations

import json
from pathlib import Path

import pytest

from retrue.base.refusals import Unusable
from retrue.cases.prove.deed import options_of, table_from
from retrue.cases.prove.proof import Conditions, Limit, flat
from retrue.cases.prove.straightness import DEED, cells, prove
from retrue.cases.prove.table import Table, read_table

EXAMPLE = Path(__file__).resolve().parents[3] / "examples" / "prove" / "straightness.csv"


def proved(text: str = "", conditions: Conditions | None = None, **typed: object):
    table = read_table(text.encode() if text else EXAMPLE.read_bytes(), "straightness.csv")
    return prove(table, options_of(DEED, typed), conditions or Conditions())


def test_the_example_gives_three_reference_lines():
    """Closed form (derived here): 4.5 end-point, 4.5 least-squares, 4.25 minimum-zone."""
    told = flat(proved())
    assert told["straightness_um"] == pytest.approx(4.25)
    assert told["straightness_end_point_um"] == pytest.approx(4.5)
    assert told["straightness_least_squares_um"] == pytest.approx(4.5)
    assert told["slope_um_per_m"] == pytest.approx(1.5)
    ends = flat(proved(reference="end-point"))
    assert ends["straightness_um"] == pytest.approx(4.5)
    assert ends["slope_um_per_m"] == pytest.approx(2.0)


def test_heights_and_steps_tell_the_same_line():
    heights = "position_mm,height_um\n" + "\n".join(
        f"{250 * place},{height}" for place, height in enumerate([0, 2, 5, 4, 1.5, 3, 6.5, 6, 4])
    )
    assert flat(proved(heights))["straightness_um"] == pytest.approx(4.25)


def test_the_sign_of_the_level_tells_hollow_from_crowned():
    hollow = "position_mm,tilt_um_per_m\n0,-8\n250,-4\n500,4\n750,8\n"
    crowned = (
        hollow.replace("-8", "+8").replace("-4", "+4").replace(",8", ",-8").replace(",4", ",-4")
    )
    assert any("Hollow" in text for text in proved(hollow).finds)
    assert any("Crowned" in text for text in proved(crowned).finds)
    assert proved(hollow).blames
    assert not proved(crowned).blames


def test_a_local_stretch_gets_a_line_of_its_own():
    told = flat(proved(local_mm=500))
    assert told["local_um"] == pytest.approx(2.0)
    assert flat(proved())["local_um"] is None
    assert "length" in flat(proved())["why"]["local_um"]


def test_known_readings_bound_it_and_decide():
    good = proved(conditions=Conditions(reading_uncertainty=1.0, limit=Limit(value=8.0)))
    assert good.verdict.ruling == "proved_good"
    assert good.remedy == ()
    upper = flat(good)["straightness_upper_um"]
    assert 4.25 <= upper < 5
    bad = proved(conditions=Conditions(reading_uncertainty=1.0, limit=Limit(value=2.0)))
    assert bad.verdict.ruling == "proved_bad"
    assert bad.then_read[0].value < 4.25
    assert flat(proved())["straightness_upper_um"] is None


@pytest.mark.parametrize(
    ("text", "where"),
    [
        ("position_mm,tilt_um_per_m\n0,8\n250,12\n750,3\n1000,3\n", "row 4"),
        ("position_mm,height_um\n0,8\n250,12\n250,3\n", "row 4"),
        ("position_mm,height_um\n0,8\n250,12\n", "straightness.csv"),
        ("position_mm,height_um\n0,8\n250,abc\n500,1\n", "row 3"),
        ("position_mm,height_um\n0,8\n250,nan\n500,1\n", "row 3"),
        ("position_mm,height_in\n0,8\n250,1\n500,1\n", "straightness.csv"),
    ],
)
def test_readings_that_cannot_be_used_are_named(text, where):
    with pytest.raises(Unusable) as refusal:
        proved(text)
    assert where in refusal.value.problems[0].where


@pytest.mark.parametrize("by", ["level", "indicator"])
def test_a_form_half_filled_never_breaks(by):
    options = options_of(DEED, {"by": by, "steps": "6", "length_mm": "600"})
    asked = cells(options)
    assert len(asked) == (6 if by == "level" else 7)
    values: dict[str, str] = {}
    for cell in asked:
        values[cell.id] = "3" if len(values) % 2 else "-2"
        table = table_from(DEED, asked, values)
        if len(values) < (2 if by == "level" else 3):
            with pytest.raises(Unusable):
                prove(table, options, Conditions())
        else:
            made = flat(prove(table, options, Conditions(reading_uncertainty=1.0)))
            assert json.dumps(made, allow_nan=False)


def test_a_million_points_are_refused_with_what_to_do():
    many = [str(place) for place in range(1_000_000)]
    table = Table("long.csv", {"position_mm": many, "height_um": many}, range(2, 1_000_002))
    with pytest.raises(Unusable, match="1000000 points") as refusal:
        prove(table, options_of(DEED, {}), Conditions())
    assert "tenth" in refusal.value.remedy


def test_decimal_commas_and_semicolons_are_read():
    told = flat(proved("position_mm;height_um\n0;0,5\n100;3,5\n200;0,5\n"))
    assert told["straightness_um"] == pytest.approx(3.0)


def test_many_points_are_weighed_but_not_with_a_line_in_every_stretch():
    rows = "\n".join(f"{place},{(place % 7) / 7}" for place in range(6_000))
    proof = proved(
        f"position_mm,height_um\n{rows}\n",
        Conditions(reading_uncertainty=0.1, limit=Limit(value=0.5)),
    )
    assert 0.8 < proof.quantities[0].value < 1
    with pytest.raises(Unusable, match="5000"):
        proved(f"position_mm,height_um\n{rows}\n", local_mm=100)
