from __future__ import annotations

import json
from pathlib import Path

import numpy as np
import pytest

from retrue.base.refusals import Unusable
from retrue.cases.prove.deed import deed, options_of, table_from
from retrue.cases.prove.proof import Conditions, Limit, flat
from retrue.cases.prove.table import read_table

EXAMPLES = Path(__file__).resolve().parents[3] / "examples" / "prove"
DEED = deed("positioning")
FORWARD = (0, 2, 5, 9, 10, 14)
BACKWARD = (6, 8.5, 10.5, 15.5, 16, 19.5)
HEAD = "target_mm,approach,run,deviation_um"


def written(forward=FORWARD, backward=BACKWARD, runs=5, head=HEAD, climb=0.0):
    rows = [head]
    for run in range(1, runs + 1):
        for way, means in (("forward", forward), ("backward", backward)):
            for index, mean in enumerate(means):
                off = 0.2 * (-1) ** (run + index) + climb * run if runs > 1 else 0.0
                rows.append(f"{index * 100},{way},{run},{mean + off:.3f}")
    return "\n".join(rows)


def proved(text, conditions=None, **options):
    content = text if isinstance(text, bytes) else text.encode()
    table = read_table(content, "readings.csv")
    return DEED.prove(table, options_of(DEED, options), conditions or Conditions())


def test_the_example_file_gives_the_published_numbers():
    """Published 50 readings (ecmccfg fat_sat report); R and E as ISO 230-2 defines them."""
    told = flat(proved((EXAMPLES / "positioning.csv").read_bytes()))
    published = {
        "accuracy_um": 88.807, "accuracy_forward_um": 64.282, "accuracy_backward_um": 88.807,
        "repeatability_um": 68.815, "repeatability_forward_um": 50.327,
        "repeatability_backward_um": 62.903, "systematic_um": 36.8, "systematic_forward_um": 24.6,
        "systematic_backward_um": 33.0, "reversal_um": 12.2, "mean_reversal_um": 5.4,
        "mean_deviation_range_um": 27.7,
    }  # fmt: skip
    assert {key: told[key] * 1000 for key in published} == pytest.approx(published, abs=0.0006)
    assert json.loads(json.dumps(told, allow_nan=False))["runs"] == 5
    (asked,) = told["warnings"]  # a stage of 20 mm: shorter than machines are
    assert "inches" in asked


def test_readings_that_climb_are_said_first_and_the_table_waits():
    """Second published set (ecmc motion test, 2022): run 1 lowest, run 5 highest."""
    made = proved((EXAMPLES / "positioning-second.csv").read_bytes())
    assert "climb by 21.2 µm a run" in made.warnings[0]
    assert "inflates repeatability" in made.warnings[0]
    assert "measure again" in made.remedy[0].text
    assert made.remedy[0].setting is None
    assert made.blames == ()  # what scatter explains is no wear


def test_accuracy_is_judged_first_and_each_key_may_be():
    keys = [one.key for one in proved(written()).quantities]
    assert keys[0] == "accuracy_um"
    assert tuple(keys) == DEED.judged
    one = proved(written(), Conditions(limit=Limit(value=3), judged="reversal_um")).verdict
    assert (one.key, one.ruling) == ("reversal_um", "proved_bad")
    assert proved(written(), Conditions(limit=Limit(value=60))).verdict.ruling == "proved_good"


def test_the_remedy_is_a_setting_and_reads_as_promised():
    """Closed form by hand: table 0 -2 -5 -9 -10 -14, reversal 6, range 19.5 before, 1.0 after."""
    made = proved(written())
    assert made.quantities[6].value == pytest.approx(19.5, abs=0.1)
    assert flat(made)["compensation"]["entries_um"] == [0, -2, -5, -9, -10, -14]
    assert made.then_read[0].value == pytest.approx(1.0, abs=0.1)
    assert made.then_read[1].value < made.quantities[0].value / 4
    first, second = (one.setting for one in made.remedy)
    assert (first.old, first.new) == ("0.0 µm", "6.0 µm")
    assert second.name == "pitch table of the axis"
    assert made.files["compensation-reversal.csv"].splitlines()[1] == "reversal,backward,6"
    assert made.files["compensation-pitch.csv"].splitlines()[2] == "2,100,-2"
    where = {one.where: one.value for one in made.then_read}
    assert where["500 mm, backward"] == pytest.approx(-0.5, abs=0.05)


def after(forward, backward, file, sign, incremental, reversal, side):
    """A control of our own, fed with the finished file."""
    entries = [float(line.split(",")[2]) for line in file.splitlines()[1:]]
    steps = np.cumsum(entries) if incremental else np.array(entries)
    ahead, back = np.array(forward) + sign * steps, np.array(backward) + sign * steps
    return (ahead, back - reversal) if side == "backward" else (ahead + reversal, back)


@pytest.mark.parametrize("table", ["absolute", "incremental"])
@pytest.mark.parametrize("sign", ["+1", "-1"])
@pytest.mark.parametrize("side", ["backward", "forward"])
@pytest.mark.parametrize("reference", ["0", "300"])
def test_whatever_the_control_expects_the_file_cures_it_and_the_other_sign_does_not(
    table, sign, side, reference
):
    made = proved(written(), table=table, sign=sign, reversal_side=side, reference_mm=reference)
    file = made.files["compensation-pitch.csv"]
    told = (file, int(sign), table == "incremental", 6.0, side)
    assert (
        np.ptp(after(FORWARD, BACKWARD, *told)) <= 2.5
    )  # differing reversals and one and a half steps
    wrong = (file, -int(sign), table == "incremental", 6.0, side)
    assert np.ptp(after(FORWARD, BACKWARD, *wrong)) > 25
    assert f",{table}_um" in file


def test_what_stands_in_the_control_is_added_to_and_never_falls_below_zero():
    assert proved(written(), reversal_now_um="4").remedy[0].setting.new == "10.0 µm"
    turned = proved(written(BACKWARD, FORWARD), reversal_now_um="4")
    assert turned.remedy[0].setting.new == "0.0 µm"
    assert "reverse of lost motion" in " ".join(turned.finds)


def test_an_uneven_reversal_is_blamed_and_only_its_even_part_entered():
    made = proved(written(backward=(6, 8, 25, 15, 16, 20)))
    assert "200 mm" in made.blames[0]
    assert "worn" in made.blames[0]
    assert flat(made)["compensation"]["reversal_um"] == 6


def test_one_direction_answers_what_it_can():
    text = "\n".join(line for line in written().splitlines() if "backward" not in line)
    told = flat(proved(text))
    assert told["accuracy_um"] is None
    assert told["why"]["accuracy_um"] == "only one direction was measured"
    assert told["why"]["repeatability_backward_um"] == "only one direction was measured"
    assert told["systematic_forward_um"] == pytest.approx(14.0, abs=0.1)
    assert told["compensation"]["reversal_um"] == 0
    json.dumps(told, allow_nan=False)


def test_a_long_axis_is_measured_once_and_scatter_is_not_defined():
    """GOST ISO 230-2-2016, 6.2 (secondary source): not evaluated with one run."""
    told = flat(proved(written(runs=1), variant="long"))
    for key in ("accuracy_um", "repeatability_um", "accuracy_forward_um"):
        assert told[key] is None
        assert "one run" in told["why"][key]
    assert told["reversal_um"] == 6.5
    assert told["mean_reversal_um"] == pytest.approx(-6.0)
    json.dumps(told, allow_nan=False)


def test_a_rotary_axis_takes_degrees_and_arc_seconds():
    text = written(head="target_deg,approach,run,deviation_arcsec")
    made = proved(text, variant="rotary", radius_mm="206.264806")
    assert made.quantities[9].value == pytest.approx(6.5, abs=0.01)  # one arc second is 1 µm
    assert made.files["compensation-pitch.csv"].startswith("point,target_deg,absolute_arcsec")
    assert made.measures == ()
    with pytest.raises(Unusable, match="radius"):
        proved(text, variant="rotary")


def test_heat_is_taken_out_before_anything_is_judged():
    """By definition: 500 mm of 12e-6 screw 8 K warmer carries 48 µm too far."""
    warm = tuple(0.096 * place for place in range(0, 600, 100))
    hot = proved(written(warm, warm), scale_c="28", gauge_c="20", scale_expansion="12")
    assert hot.quantities[6].value < 0.1
    same = proved(written(), scale_c="26", gauge_c="26")
    assert same.quantities[6].value == pytest.approx(19.5, abs=0.1)
    with pytest.raises(Unusable, match="temperatures"):
        proved(written(), scale_c="28")


def test_doubt_of_the_standard_counts_for_lengths_and_not_for_reversal():
    plain, told = proved(written()), proved(written(), device_um="3")
    by = [{one.key: one.uncertainty for one in made.quantities} for made in (plain, told)]
    assert by[1]["systematic_um"] >= 3 > by[0]["systematic_um"]
    assert by[1]["reversal_um"] == by[0]["reversal_um"]


def test_the_belief_learns_the_middle_reversal_and_the_accuracy_in_millimetres():
    told = {one.measure: one.value for one in proved(written()).measures}
    assert told["M13"] == pytest.approx(0.0055, abs=1e-4)
    assert told["M44"] == pytest.approx(proved(written()).quantities[0].value / 1000)


@pytest.mark.parametrize(
    ("change", "said"),
    [
        (lambda t: t.replace("300,forward,2,8.800", "300,forward,2,"), "row 17"),
        (lambda t: t.replace("300,forward,2,8.800", "300,forward,2,nan"), "row 17"),
        (lambda t: t.replace("300,forward,2,8.800", "300,forward,2,about 9"), "about 9"),
        (lambda t: t.replace("300,forward,2,8.800\n", ""), "target 300 mm, forward, run 2"),
        (lambda t: t + "\n300,forward,2,9", "same target, approach and run as row 17"),
        (lambda t: t.replace("forward,2", "sideways,2"), "sideways"),
        (lambda t: t.replace("deviation_um", "deviation_in"), "deviation_in"),
        (lambda t: "\n".join(x for x in t.splitlines() if x.startswith(("t", "0"))), "1 target"),
    ],
)
def test_bad_cells_are_named(change, said):
    text = written()
    assert "\n300,forward,2,8.800\n" in text
    with pytest.raises(Unusable) as refused:
        proved(change(text))
    assert said in " ".join(map(str, refused.value.problems))


def test_decimal_commas_and_semicolons_are_read():
    text = written().replace(",", ";").replace(".", ",")
    assert flat(proved(text)) == flat(proved(written()))


def test_a_form_is_the_same_fifty_readings_and_a_part_of_it_says_what_is_missing():
    options = options_of(DEED, {})
    cells = DEED.cells(options)
    assert len(cells) == 50
    assert len({cell.id for cell in cells}) == 50
    places = sorted({float(cell.row["target_mm"]) for cell in cells})
    assert 0 <= places[0] < places[-1] <= 400
    assert len({round(place % 10, 1) for place in places}) == len(places)
    values = {cell.id: "1.5" for cell in cells}
    full = table_from(DEED, cells, values)
    assert DEED.prove(full, options, Conditions()).quantities[0].value == 0
    begun = table_from(DEED, cells, dict(list(values.items())[:3]))
    assert DEED.prove(begun, options, Conditions()).quantities[0].why
    for count in (1, 7, 49):
        part = dict(list(values.items())[:count])
        if count == 7:  # one run forward is whole, backward is not
            assert "backward" in cells[count - 1].row["approach"]
        with pytest.raises(Unusable) as refused:
            DEED.prove(table_from(DEED, cells, part), options, Conditions())
        assert refused.value.problems


def test_a_million_rows_are_sorted_in_a_moment():
    rows = ["target_mm,approach,run,deviation_um"]
    rows += [
        f"{place},{way},{run},1" for run in range(200) for way in ("forward", "backward")
        for place in range(250)
    ]  # fmt: skip
    assert proved("\n".join(rows)).quantities[0].value == 0
