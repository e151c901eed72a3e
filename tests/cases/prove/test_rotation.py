"""The test of rotation, from file or form to result."""

from __future__ import annotations

from pathlib import Path

import numpy as np
import pytest

from retrue.base.refusals import Refusal, Unusable
from retrue.cases.prove.deed import Cell, options_of, table_from
from retrue.cases.prove.proof import Conditions, Limit, Proof, flat
from retrue.cases.prove.rotation import DEED, recentred
from retrue.cases.prove.table import read_table
from retrue.science.rotation import error_motion

EXAMPLE = Path(__file__).resolve().parents[3] / "examples" / "prove" / DEED.example
PLACES = np.arange(0, 360, 30.0)


def prove(content: str, conditions: Conditions | None = None, **typed: str) -> Proof:
    table = read_table(content.encode(), "readings.csv")
    return DEED.prove(table, options_of(DEED, typed), conditions or Conditions())


def turns(count: int, places: int = 12, *, ball: float = 3.0) -> str:
    """Closed form: ball cos t + 0.9 cos 2t + 0.5 cos 2.5t, turn after turn."""
    lines = ["turn,angle_deg,reading_um"]
    for turn in range(count):
        for angle in 360 * np.arange(places) / places:
            t = np.radians(angle + 360 * turn)
            value = ball * np.cos(t) + 0.9 * np.cos(2 * t) + 0.5 * np.cos(2.5 * t)
            lines.append(f"{turn + 1},{angle},{value:.9f}")
    return "\n".join(lines)


def value(proof: Proof, key: str) -> float:
    return next(q.value for q in proof.quantities if q.key == key)


def test_the_example_gives_the_published_separation():
    """Donaldson, CIRP Annals 21 (1972) 125: ball 1.2 to -1.6 µm, spindle 1.233 to -1.233 µm."""
    made = prove(EXAMPLE.read_text(encoding="utf-8"))
    assert value(made, "part_um") == pytest.approx(2.8, abs=1e-3)
    assert value(made, "spindle_um") == pytest.approx(2.466, abs=1e-3)
    assert value(made, "synchronous_um") == value(made, "spindle_um")
    part = [row[3] for row in made.tables[0].rows]
    assert part == pytest.approx(
        [1.2, 1, -0.6, -1.6, -0.6, 1, 1.2, 0.2, -0.6, -0.8, -0.6, 0.2], abs=6e-4
    )
    assert flat(made)["why"]["asynchronous_um"]


def test_sixteen_turns_give_the_closed_form():
    """Terms of ISO 230-7: eccentricity 3.000, synchronous 1.8000, asynchronous 1.0000 µm."""
    made = prove(turns(16, 256))
    assert value(made, "eccentricity_um") == pytest.approx(3.0, abs=1e-6)
    assert value(made, "synchronous_um") == pytest.approx(1.8, abs=1e-6)
    assert value(made, "asynchronous_um") == pytest.approx(1.0, abs=1e-6)
    assert made.quantities[0].key == DEED.judged[0] == "synchronous_um"


def test_a_ball_moved_to_four_positions_is_parted_as_well():
    lines = ["setup,angle_deg,reading_um"]
    for turned in (0, 90, 180, 270):
        for angle in PLACES:
            ball = 1.2 * np.cos(np.radians(2 * (angle - turned)))
            lines.append(f"{turned},{angle},{ball + 0.8 * np.cos(np.radians(3 * angle)):.9f}")
    made = prove("\n".join(lines))
    assert value(made, "part_um") == pytest.approx(2.4, abs=1e-6)
    assert value(made, "spindle_um") == pytest.approx(1.6, abs=1e-6)
    assert any("steps" in text for text in made.cannot_tell)


def test_the_verdict_counts_the_doubt_and_blames_only_what_is_proved():
    good = prove(turns(4), Conditions(limit=Limit(value=5.0), reading_uncertainty=0.2))
    bad = prove(turns(4), Conditions(limit=Limit(value=0.5), reading_uncertainty=0.2))
    close = prove(turns(4), Conditions(limit=Limit(value=1.8), reading_uncertainty=0.2))
    assert good.verdict.ruling == "proved_good"
    assert (good.blames, close.blames) == ((), ())
    assert close.verdict.ruling == "not_proved"
    assert bad.verdict.ruling == "proved_bad"
    assert "seat" in bad.blames[0]


def test_without_any_doubt_stated_one_turn_proves_nothing():
    made = prove(EXAMPLE.read_text(encoding="utf-8"), Conditions(limit=Limit(value=5.0)))
    assert made.verdict.ruling == "not_proved"
    assert made.quantities[0].uncertainty is None
    assert {q.uncertainty for q in made.quantities} == {None}


def test_a_ball_far_off_centre_is_centred_and_then_read_again():
    made = prove(turns(4, ball=60.0))
    assert "push the ball 60.0 µm away" in made.remedy[0].text
    assert "to 0°" in made.remedy[0].text
    assert made.then_read[0].value == pytest.approx(0, abs=1e-6)
    assert prove(turns(4)).remedy == ()


def test_pushing_the_ball_the_other_way_makes_it_worse():
    read = error_motion(PLACES, [60 * np.cos(np.radians(PLACES - 40))])
    assert recentred(PLACES, read, 60.0) == pytest.approx(0, abs=1e-9)
    assert recentred(PLACES, read, -60.0) == pytest.approx(120)


def filled(cells: tuple[Cell, ...], number: int | None = None) -> dict[str, str]:
    some = cells if number is None else cells[:number]
    return {cell.id: f"{np.cos(np.radians(2 * float(cell.row['angle_deg']))):.6f}" for cell in some}


@pytest.mark.parametrize("method", ["error_motion", "reversal", "positions"])
def test_a_form_gives_what_a_file_gives_and_half_a_form_says_what_is_missing(method: str):
    options = options_of(DEED, {"method": method})
    cells = DEED.cells(options)
    assert len({cell.id for cell in cells}) == len(cells)
    made = DEED.prove(table_from(DEED, cells, filled(cells)), options, Conditions())
    assert made.quantities[0].value is not None
    # Of one turn ten places are enough, with a warning: the gap is no more than a quarter turn.
    enough = {10, 11, 12} if method == "error_motion" else set()
    for number in enough:
        made = DEED.prove(table_from(DEED, cells, filled(cells, number)), options, Conditions())
        assert (number < 12) == any("unevenly" in text for text in made.warnings)
    for number in set(range(1, len(cells))) - enough:
        with pytest.raises(Unusable) as refused:
            DEED.prove(table_from(DEED, cells, filled(cells, number)), options, Conditions())
        assert refused.value.problems, number


def test_a_missing_place_is_named_with_its_turn():
    lines = turns(2).splitlines()
    with pytest.raises(Unusable) as refused:
        prove("\n".join(lines[:-1]))
    [problem] = refused.value.problems
    assert "turn 2" in problem.where
    assert "330°" in problem.what


def test_a_place_read_twice_in_one_turn_is_named():
    lines = turns(1).splitlines()
    with pytest.raises(Unusable) as refused:
        prove("\n".join([*lines, lines[1]]))
    assert refused.value.problems[0].where == "row 14, column angle_deg"


@pytest.mark.parametrize(
    "content",
    [
        "angle_deg,reading_um\n0,1\n90,1\n180,1\n270,1\n",
        "angle_deg,reading_um\n" + "\n".join(f"{n},1" for n in range(0, 180, 20)),
        "setup,angle_deg,reading_um\n" + "\n".join(f"reversed,{n},1" for n in range(0, 360, 30)),
        "setup,angle_deg,reading_um\n"
        + "\n".join(f"{s},{n},1" for s in ("a", "b") for n in range(0, 360, 30)),
        "angle_deg,reading_um\n0,nan\n",
        "angle_deg,height_um\n0,1\n",
    ],
)
def test_what_cannot_be_used_is_refused_with_a_way_out(content: str):
    typed = {"method": "reversal"} if "reversed" in content else {}
    with pytest.raises(Refusal) as refused:
        prove(content, **typed)
    assert refused.value.remedy


@pytest.mark.parametrize("typed", [{"turns": "0"}, {"turns": "999"}, {"places": "5"}])
def test_a_form_of_no_use_is_not_begun(typed: dict[str, str]):
    with pytest.raises(Unusable, match="no form"):
        DEED.cells(options_of(DEED, typed))


def test_uneven_places_and_few_turns_are_warned_of():
    lines = ["angle_deg,reading_um", *(f"{n},{n % 3}" for n in (0, 20, 80, 120, 200, 280))]
    assert "unevenly" in prove("\n".join(lines)).warnings[0]
    assert "4 turns" in prove(turns(4)).warnings[0]
