"""Measuring at the keyboard: a file in; lines, one JSON object, a PDF or a refusal out."""

from __future__ import annotations

from typing import Any

import pytest
from tests.cli.measuring import EXAMPLES, HOME, LEVEL, example, options, prove, refused, told
from tests.house.paste import EXAMPLE_OPTIONS, meaning
from tests.paper.reading import text_of

from retrue.cases.prove.deed import MODULES
from retrue.cases.prove.proof import Conditions
from retrue.cli.prove import TESTS
from retrue.cli.prove_tests import command_of
from retrue.phases.prove import prove_file


def test_the_commands_are_the_tests():
    assert list(TESTS) == list(MODULES)
    assert all(words.endswith(".") for words in TESTS.values())


def test_an_unknown_test_is_answered_with_those_there_are(call):
    door = call("prove", "squareness", "readings.csv")
    assert door.code == 2
    assert "straightness, flatness, square" in door.err


@pytest.mark.parametrize("test", MODULES)
def test_each_test_answers_on_its_example_file(call, test):
    answer = told(prove(call, test, "--json"))
    assert answer["schema"] == f"prove.{test}.1"
    assert "verdict" not in answer
    assert answer["headline"]
    door = prove(call, test)
    assert door.code == 0
    assert answer["headline"].split()[0] in door.out
    for caution in answer["cautions"]:
        first = caution[:40]
        assert door.out.index(first) < door.out.index(answer["headline"][:30])


@pytest.mark.parametrize("test", MODULES)
def test_each_key_of_a_result_is_in_the_manual(call, test):
    manual = (HOME / "docs" / "json.md").read_text(encoding="utf-8")
    common, *parts = manual.split("## Results of measuring")[1].split("\n### ")
    mine = next(part for part in parts if part.startswith(f"prove.{test}.1"))
    for key in told(prove(call, test, "--json", "--limit", "1000")):
        assert f"`{key}`" in common + mine, key


@pytest.mark.parametrize("test", MODULES)
def test_each_further_key_of_a_result_has_its_words(test):
    content = example(test).read_bytes()
    proof = prove_file(content, "x", test, EXAMPLE_OPTIONS.get(test, {}), Conditions())
    assert [key for key in proof.more if not meaning(key)] == []


@pytest.mark.parametrize("test", MODULES)
def test_each_test_prints_a_blank_sheet_with_its_code(call, test, tmp_path):
    target = tmp_path / "sheet.pdf"
    answer = told(call("prove", "sheet", test, *options(test), "--out", target, "--json"))
    text = text_of(target.read_bytes())
    assert answer["code"] in text
    assert answer["numbers"] > 0
    assert answer["set"] is None


# Published and closed-form values; the sources stand beside each example file and in the tests of
# the formulas themselves. Here: that a command says them under the promised keys.
PUBLISHED: list[tuple[str, str, float, float]] = [
    ("level", "feet.0.raise_um", 200, 0.5),
    ("level", "feet.1.raise_um", 80, 0.5),
    ("level", "feet.2.raise_um", 0, 0.5),
    ("level", "feet.3.raise_um", 160, 0.5),
    ("level", "feet.0.degrees", 36, 0.05),
    ("level", "feet.1.degrees", 14.4, 0.05),
    ("level", "feet.3.degrees", 28.8, 0.05),
    ("taper", "spindle_run_out_nose_um", 4.472, 0.001),
    ("taper", "mean_of_run_outs_um", 7.547, 0.001),
    ("rotation", "spindle_um", 2.466, 0.001),
    ("circle", "hysteresis_um", 10.468, 0.001),
    ("circle", "circular_deviation_ccw_least_squares_um", 12.479, 0.001),
    ("circle", "circular_deviation_cw_least_squares_um", 17.909, 0.001),
    ("circle", "bidirectional_circular_deviation_least_squares_um", 17.909, 0.001),
    ("circle", "mean_radial_deviation_um", -0.750, 0.001),
    ("circle", "causes.0.value", 10.0, 0.001),
    ("circle", "causes.1.value", -5.0, 0.001),
    ("circle", "causes.3.value", 50.0, 0.01),
    ("circle", "causes.4.value", 40.0, 0.01),
    ("circle", "causes.5.value", 6.0, 0.001),
    ("circle", "causes.6.value", 4.0, 0.001),
    ("circle", "causes.7.value", 0.5, 0.001),
    # The report prints R 0.0629 and E 0.0246, the larger of the two directions; the standard takes
    # both together.
    ("positioning", "repeatability_um", 0.068815, 1e-6),
    ("positioning", "repeatability_forward_um", 0.050327, 1e-6),
    ("positioning", "repeatability_backward_um", 0.062903, 1e-6),
    ("positioning", "systematic_um", 0.0368, 1e-6),
    ("positioning", "systematic_forward_um", 0.0246, 1e-6),
    ("positioning", "systematic_backward_um", 0.0330, 1e-6),
    ("positioning", "reversal_um", 0.0122, 1e-6),
    ("positioning", "mean_reversal_um", 0.0054, 1e-6),
    ("positioning", "mean_deviation_range_um", 0.0277, 1e-6),
    ("positioning", "accuracy_um", 0.088807, 1e-6),
    ("positioning", "accuracy_forward_um", 0.064282, 1e-6),
    ("positioning", "accuracy_backward_um", 0.088807, 1e-6),
    ("straightness", "straightness_um", 4.25, 0.001),
    ("flatness", "flatness_um.moody", 11.631, 0.001),
    ("flatness", "flatness_um.least_squares", 12.030, 0.001),
    ("flatness", "flatness_um.minimum_zone", 11.104, 0.001),
]


@pytest.mark.parametrize(("test", "key", "value", "near"), PUBLISHED)
def test_published_numbers_stand_under_their_keys(call, test, key, value, near):
    found: Any = told(prove(call, test, "--json"))
    for part in key.split("."):
        found = found[int(part)] if part.isdigit() else found[part]
    assert found == pytest.approx(value, abs=near)


@pytest.mark.parametrize(
    ("reference", "height"), [("end-point", 4.5), ("least-squares", 4.5), ("minimum-zone", 4.25)]
)
def test_each_reference_of_straightness_gives_its_own_number(call, reference, height):
    answer = told(prove(call, "straightness", "--json", "--reference", reference))
    assert answer["straightness_um"] == pytest.approx(height, abs=0.001)


def test_twice_the_same_bytes(call):
    assert prove(call, "level", "--json").out == prove(call, "level", "--json").out


# --- limits and the gate -----------------------------------------------------------------------


def test_a_verdict_stands_only_where_a_limit_is_given_and_says_where_it_comes_from(call):
    more = ("--limit", "100", "--uncertainty", "10", "--standard", "ISO 230-1", "--edition", "2012")
    verdict = told(prove(call, "level", "--json", *more))["verdict"]
    assert verdict["ruling"] == "proved_good"
    assert (verdict["standard"], verdict["edition"]) == ("ISO 230-1", "2012")
    assert verdict["limit_mark"] == "typed"
    assert verdict["rule"] == "guarded"
    assert "Proved good. Inside the limit" in prove(call, "level", *more).out


@pytest.mark.parametrize(
    ("more", "code"),
    [
        (("--limit", "100", "--uncertainty", "10"), 0),
        (("--limit", "80", "--uncertainty", "10"), 1),
        (("--limit", "80", "--uncertainty", "10", "--rule", "simple"), 0),
        (("--limit", "50", "--uncertainty", "10"), 1),
        ((), 1),
        (("--limit", "100", "--uncertainty", "10", "--judge", "tilt_x_um_per_m"), 0),
    ],
)
def test_the_gate_ends_with_one_unless_it_is_proved_good(call, more, code):
    assert prove(call, "level", "--gate", *more).code == code


def test_a_comma_is_a_decimal_mark_in_an_option_too(call):
    verdict = told(prove(call, "level", "--json", "--limit", "80,5"))["verdict"]
    assert verdict["limit"] == 80.5


def test_a_number_that_this_test_does_not_give_cannot_be_judged(call):
    answer = refused(prove(call, "level", "--json", "--limit", "80", "--judge", "shoe_size"))
    assert "worst_tilt_um_per_m" in answer["remedy"]


def test_out_of_order_it_is_provisional_without_remedy_or_verdict(call):
    answer = told(prove(call, "sweep", "--json", "--not-level", "--limit", "1000"))
    assert answer["provisional"] == "provisional, machine not level"
    assert answer["remedy"] == []
    assert "verdict" not in answer
    assert prove(call, "sweep", "--not-level", "--limit", "1000", "--gate").code == 1
    assert "nothing is judged" in prove(call, "sweep", "--not-level").out


# --- what is written ---------------------------------------------------------------------------


def test_pdf_and_picture_are_written_where_they_are_asked_for(call, tmp_path):
    pdf, picture = tmp_path / "level.pdf", tmp_path / "level.svg"
    door = prove(call, "level", "--pdf", pdf, "--picture", picture)
    assert door.code == 0
    assert door.out.splitlines()[-2:] == [str(pdf), str(picture)]
    assert "You should then read" in text_of(pdf.read_bytes())
    assert picture.read_text().startswith("<svg")


def test_the_table_to_be_entered_is_written_beside_the_result(call, tmp_path):
    target = tmp_path / "entries.csv"
    door = prove(call, "positioning", "--csv", target, file=EXAMPLES / "positioning-second.csv")
    assert door.code == 0, door.err
    assert str(target) in door.out
    assert len(target.read_text(encoding="utf-8").splitlines()) > 5


@pytest.mark.parametrize("test", MODULES)
def test_no_option_of_a_test_hides_one_that_all_share(test):
    names = [name for one in command_of(test).params for name in one.opts]
    assert len(names) == len(set(names))


def test_a_table_that_there_is_not_is_refused(call, tmp_path):
    answer = refused(prove(call, "level", "--json", "--csv", tmp_path / "table.csv"))
    assert "no table" in answer["reason"]


# --- the shop ----------------------------------------------------------------------------------


@pytest.fixture
def hall(call, lot_file) -> str:
    assert call("lot", "new", "hall", "--from", lot_file, "--worlds", "200").code == 0
    return "hall"


def keep(call, test: str, *more: str):
    pairs = [part for id, value in EXAMPLE_OPTIONS.get(test, {}).items()
             for part in ("--set", f"{id}={value}")]  # fmt: skip
    return call("prove", "keep", "hall", "mill", test, example(test), *pairs, "--worlds", "200",
                *more)  # fmt: skip


def test_a_result_is_kept_and_the_price_answers(call, hall):
    answer = told(keep(call, "level", "--json"))
    assert answer["set"]
    assert answer["verdict"]["limit_mark"] == "from memory, unverified"
    assert {"before", "after"} <= set(answer)
    rows = {row["id"]: row for row in told(call("prove", "list", hall, "mill", "--json"))["tests"]}
    assert rows["level"]["ruling"] == answer["verdict"]["ruling"]
    assert rows["circle"]["ruling"] is None
    assert "Kept." in keep(call, "level").out


def test_before_the_machine_is_level_a_sweep_is_only_provisional(call, hall):
    answer = told(keep(call, "sweep", "--json"))
    assert answer["provisional"] == "provisional, machine not level"
    assert answer["after"] is None
    assert "provisional" in call("prove", "list", hall, "mill").out


def test_a_bad_file_stays_kept(call, hall, shop, tmp_path):
    path = tmp_path / "bad.csv"
    path.write_text(LEVEL.replace(",50", ",fifty"))
    door = call("prove", "keep", hall, "mill", "level", path)
    assert door.code == 2
    assert "row 3, column tilt_um_per_m" in door.err
    assert "kept as it came" in door.err
    assert "a set is begun" in call("prove", "list", hall, "mill").out


def test_an_option_that_no_test_has_is_refused(call, hall):
    door = call("prove", "keep", hall, "mill", "level", example("level"), "--set", "shoe=44")
    assert door.code == 2
    assert "feet" in door.err


def test_the_code_of_a_sheet_for_a_machine_opens_its_set(call, hall, shop, tmp_path):
    from retrue.phases.prove import set_by_code

    target = tmp_path / "sheet.pdf"
    more = ("--lot", hall, "--machine", "mill", "--out", target, "--json")
    first = told(call("prove", "sheet", "level", *more))
    second = told(call("prove", "sheet", "level", *more))
    assert set_by_code(shop, first["code"].lower()) == first["set"]
    assert first["code"] != second["code"]
    assert call("prove", "sheet", "level", "--lot", hall, "--out", target).code == 2


def test_the_acceptance_sheet_says_what_is_proved_and_what_nobody_tested(call, hall, tmp_path):
    keep(call, "level")
    target = tmp_path / "mill.pdf"
    door = call("prove", "acceptance", hall, "mill", "--out", target)
    assert door.code == 0
    text = text_of(target.read_bytes())
    assert "from memory, unverified" in text
    assert "not tested" in text
    answer = told(call("prove", "acceptance", hall, "mill", "--out", target, "--json"))
    assert {row["test"] for row in answer["rows"]} == set(MODULES)


def test_a_limit_is_unverified_until_its_owner_confirms_it(call):
    kind = ("prove", "limits", "vertical_machining_centre")
    rows = {row["id"]: row for row in told(call(*kind, "--json"))["limits"]}
    assert rows["level"]["mark"] == "from memory, unverified"
    own = ("--own", "level=30,5", "--standard", "ISO 230-1", "--edition", "2012", "--confirmed")
    rows = {row["id"]: row for row in told(call(*kind, *own, "--json"))["limits"]}
    assert rows["level"]["value"] == 30.5
    assert "confirmed in the owner's copy" in rows["level"]["mark"]
    assert "30.5" in call(*kind).out.replace("30.500", "30.5")
    assert call("prove", "limits", "tractor").code == 2
    assert call(*kind, "--own", "level").code == 2


def test_an_instrument_is_kept_with_its_doubt_and_what_it_serves(call, hall):
    new = ("prove", "instrument", "keep", "level 0.02", "--sort", "level", "--unit", "µm/m")
    assert call(*new, "--uncertainty", "10", "--certificate", "118").code == 0
    (row,) = told(call("prove", "instrument", "list", "--json"))["instruments"]
    assert "level" in row["serves"]
    assert row["uncertainty"] == 10
    answer = told(keep(call, "level", "--json", "--instrument", "level 0.02"))
    assert answer["verdict"]["uncertainty"] is not None
    assert "level 0.02" in call("prove", "instrument", "list").out
