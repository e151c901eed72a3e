"""The circular test from file or form to remedy."""

from __future__ import annotations

import numpy as np
import pytest
from tests.cases.prove.kinematics import Bar, Machine, circle, circle_rows
from tests.cases.prove.spindle import example, filled, proof_of, value

from retrue.base.refusals import TooHard, Unusable
from retrue.cases.prove.deed import deed, options_of, table_from
from retrue.cases.prove.proof import Conditions, Proof, flat, held_back

CLOSED = Machine(scale_x=20, scale_y=-30, squareness=40, lost_x=6, lost_y=4, lag_x=0.5)
FEW = Bar(points=120)


def rows(machine: Machine, *bars: Bar) -> str:
    return circle_rows(machine, bars or (FEW,)).decode()


def cause(proof: Proof, id: str) -> dict[str, object]:
    return next(c for c in proof.more["causes"] if c["id"] == id)


def texts(proof: Proof) -> str:
    return "\n".join(move.text for move in proof.remedy)


def test_the_example_gives_the_numbers_of_the_closed_form():
    """A path known in closed form: G(b) 17.909, G ccw 12.479, H 10.468, D -0.750, causes as put in.

    Circular deviation G, hysteresis H, mean radial deviation D: ISO 230-4 (from memory).
    """
    made = flat(example("circle"))
    assert made["bidirectional_circular_deviation_um"] == pytest.approx(17.909, abs=1e-3)
    assert made["bidirectional_circular_deviation_least_squares_um"] == pytest.approx(
        17.909, abs=1e-3
    )
    assert made["circular_deviation_cw_um"] == pytest.approx(17.909, abs=1e-3)
    assert made["circular_deviation_ccw_least_squares_um"] == pytest.approx(12.479, abs=1e-3)
    assert made["hysteresis_um"] == pytest.approx(10.468, abs=1e-3)
    assert made["mean_radial_deviation_um"] == pytest.approx(-0.750, abs=1e-3)
    assert made["radial_deviation_max_ccw_um"] == pytest.approx(6.003, abs=1e-3)
    assert made["radial_deviation_min_ccw_um"] == pytest.approx(-6.476, abs=1.5e-3)
    assert made["radial_deviation_max_um"] >= made["radial_deviation_max_ccw_um"]
    assert made["condition"] < 10
    found = {one["id"]: one for one in made["causes"]}
    wanted = {
        "centre_x": 10, "centre_y": -5, "radius": -0.75, "scale_mismatch": 50, "squareness": 40,
        "reversal_x": 6, "reversal_y": 4, "lag_mismatch": 0.5,
    }  # fmt: skip
    for id, true in wanted.items():
        assert found[id]["value"] == pytest.approx(true, abs=0.01), id
    assert {one["unit"] for one in made["causes"]} == {"um", "um_per_m", "ms"}
    assert all(one["separable"] for one in made["causes"])
    assert made["standard"] == "ISO 230-4"


def test_two_coordinates_say_the_same_as_angle_and_deviation():
    lines = ["direction;x_mm;y_mm"]
    for word, way in (("ccw", 1), ("cw", -1)):
        angle, read = circle(CLOSED, FEW, way)
        away = 150 + read / 1000
        for x, y in zip(away * np.cos(angle), away * np.sin(angle), strict=True):
            lines.append(f"{word};{x:.7f};{y:.7f}".replace(".", ","))
    typed = {"radius_mm": "150", "feed_mm_min": "1000"}
    made = proof_of("circle", "\n".join(lines), typed)
    same = proof_of("circle", rows(CLOSED))
    for one, other in zip(made.quantities, same.quantities, strict=True):
        assert one.key == other.key
        assert one.value == pytest.approx(other.value, abs=2e-3)
    moved = [lines[0]] + [
        f"{w};{float(x.replace(',', '.')) + 400.123};{y}"
        for w, x, y in (line.split(";") for line in lines[1:])
    ]
    away_off = proof_of("circle", "\n".join(moved), typed)
    assert any("400.123" in told for told in away_off.assumed)
    assert value(away_off, "hysteresis_um") == pytest.approx(value(same, "hysteresis_um"), abs=0.01)


def test_one_direction_is_judged_alone_and_tells_squareness_and_lag_as_one():
    text = "\n".join(line for line in rows(CLOSED).splitlines() if not line.startswith("cw,"))
    made = proof_of("circle", text, limit=20.0)
    assert made.quantities[0].key == "circular_deviation_ccw_um"
    assert value(made, "bidirectional_circular_deviation_um") is None
    assert value(made, "hysteresis_um") is None
    assert "one direction" in flat(made)["why"]["hysteresis_um"]
    assert [c["id"] for c in made.more["causes"] if not c["separable"]] == [
        "squareness_or_lag_mismatch"
    ]
    assert any("same shape" in told for told in made.cannot_tell)
    assert "90°" not in texts(made)  # no remedy for what is not told apart
    assert made.verdict is not None


@pytest.mark.parametrize(
    ("machine", "words"),
    [
        (Machine(squareness=40), "40.0 µm/m over 90°"),
        (Machine(squareness=-40), "40.0 µm/m under 90°"),
        (Machine(lag_x=0.5), "X lags 0.50 ms more than Y"),
        (Machine(lag_y=0.5), "Y lags 0.50 ms more than X"),
        (Machine(scale_x=30), "X travels 30.0 µm/m further than Y"),
        (Machine(scale_y=30), "Y travels 30.0 µm/m further than X"),
        (Machine(lost_x=5), "5.0 µm more reversal compensation"),
        (Machine(lost_x=-5), "X is given 5.0 µm too much"),
        (Machine(side_y=4), "sideways play of Y, 4.0 µm"),
    ],
)
def test_the_hand_is_sent_in_the_right_direction(machine, words):
    """The opposite sign of the error gives the opposite move."""
    made = proof_of("circle", rows(machine))
    assert words in texts(made)
    assert made.then_read[-1].value == pytest.approx(0, abs=0.1)


def test_what_is_entered_takes_away_what_was_found():
    """Signs of the entries: lost motion is added, squareness is turned round."""
    made = proof_of("circle", rows(Machine(lost_x=5, squareness=40)))
    entries = {move.setting.name: move.setting.new for move in made.remedy if move.setting}
    assert entries["reversal compensation of X"] == "+5.0 µm on what stands"
    (angle,) = (new for name, new in entries.items() if name.startswith("squareness"))
    assert angle == "−40.0 µm/m on what stands"
    assert any("bar itself" in told for told in made.assumed)


def test_loose_things_come_before_gains_and_gains_before_tables():
    machine = Machine(side_x=3, lost_y=4, lag_x=0.6, squareness=30, scale_x=30)
    told = texts(proof_of("circle", rows(machine)))
    order = [
        "sideways play of X",
        "backlash of Y",
        "X lags",
        "more reversal",
        "over 90°",
        "further",
    ]
    assert [told.index(words) for words in order] == sorted(told.index(words) for words in order)


def test_the_worst_of_several_circles_is_judged_and_all_are_told():
    slow, quick = FEW, Bar(points=120, feed_mm_min=4000.0)
    made = proof_of("circle", rows(CLOSED, slow, quick))
    assert [one["feed_mm_min"] for one in made.more["circles"]] == [1000.0, 4000.0]
    worst = max(one["circular_deviation_um"] for one in made.more["circles"])
    assert value(made, "bidirectional_circular_deviation_um") == worst
    assert not any("second feed" in told for told in made.cannot_tell)
    assert cause(made, "lag_mismatch")["value"] == pytest.approx(0.5, abs=0.01)
    single = proof_of("circle", rows(CLOSED))
    assert any("second feed" in told for told in single.cannot_tell)


def test_without_a_feed_the_lag_is_a_length_and_that_is_said():
    lines = [line.rsplit(",", 1)[0] for line in rows(Machine(lag_x=0.5)).splitlines()]
    made = proof_of("circle", "\n".join(lines))
    assert cause(made, "lag_mismatch")["unit"] == "um"
    assert cause(made, "lag_mismatch")["value"] == pytest.approx(4.1667, abs=0.01)
    assert any("feed" in told for told in made.warnings)


def test_the_axes_of_another_plane_have_their_own_names():
    made = proof_of("circle", rows(Machine(lost_x=5, lost_y=2)), {"plane": "ZX"})
    assert cause(made, "reversal_z")["value"] == pytest.approx(5, abs=0.05)
    assert cause(made, "reversal_x")["value"] == pytest.approx(2, abs=0.05)
    assert "lost motion of Z" in made.headline


def test_the_set_up_counts_only_where_it_is_asked_for():
    off = rows(Machine(), Bar(points=120, centre_x=10))
    assert value(proof_of("circle", off), "radial_deviation_max_um") == pytest.approx(0, abs=0.01)
    as_set = proof_of("circle", off, {"centre": "as-set"})
    assert value(as_set, "radial_deviation_max_um") == pytest.approx(10, abs=0.01)
    assert as_set.remedy == ()


def test_the_readings_doubt_is_carried_into_the_result():
    plain, doubted = example("circle"), example("circle", reading_uncertainty=1.0)
    assert plain.quantities[0].uncertainty == pytest.approx(0, abs=0.01)
    assert doubted.quantities[0].uncertainty == pytest.approx(2**0.5, abs=0.01)
    assert doubted.more["bidirectional_circular_deviation_upper_um"] > 17.9


def test_what_the_belief_learns_is_the_deviation_in_millimetres():
    (made,) = example("circle").measures
    assert made.measure == "M43"
    assert made.value == pytest.approx(0.01791, abs=1e-5)
    assert proof_of("circle", rows(CLOSED, Bar(radius_mm=300.0, points=120))).measures == ()


def test_a_shaken_bar_is_said():
    angle, read = circle(CLOSED, FEW, 1)
    lines = ["direction,angle_deg,deviation_um,radius_mm,feed_mm_min"]
    for word, way in (("ccw", 1), ("cw", -1)):
        angle, read = circle(CLOSED, FEW, way)
        for a, r in zip(angle, read + 2 * np.sin(11 * angle), strict=True):
            lines.append(f"{word},{np.degrees(a):.3f},{r:.4f},150,1000")
    assert any("shakes" in told for told in proof_of("circle", "\n".join(lines)).warnings)


def test_less_than_half_a_circle_is_refused():
    kept = [line for line in rows(CLOSED).splitlines()[1:] if float(line.split(",")[1]) < 170]
    head = rows(CLOSED).splitlines()[0]
    with pytest.raises(TooHard, match="degrees of arc"):
        proof_of("circle", "\n".join([head, *kept]))


@pytest.mark.parametrize(
    ("content", "typed", "words"),
    [
        ("direction,angle_deg,deviation_um\nccw,0,1\nup,90,2\n", {}, "row 3, column direction"),
        ("direction,angle_deg,deviation_um\nccw,0,1\nccw,90,nan\n", {}, "row 3, column deviation"),
        ("direction,angle_deg,deviation_um\nccw,0,1\nccw,90,0.1 in\n", {}, "inches"),
        ("direction,angle_deg\nccw,0\n", {}, "deviation_um is missing"),
        ("direction,x_mm,y_mm\nccw,1,0\n", {}, "radius_mm"),
        ("direction,x_mm,y_mm\n" + "ccw,100,0\nccw,0,100\nccw,-100,0\nccw,0,-100\n" * 3,
         {"radius_mm": "4"}, "do not fit"),
        ("direction,angle_deg,deviation_um\n" + "ccw,10,1\nccw,100,2\n", {}, "too few"),
        ("direction,angle_deg,deviation_um,radius_mm\nccw,10,1,0\n", {}, "row 2, column radius"),
        ("direction,angle_deg,deviation_um\nccw,10,1\n", {"radius_mm": "0"}, "radius_mm"),
    ],
)  # fmt: skip
def test_bad_readings_are_named(content, typed, words):
    with pytest.raises(Unusable) as refused:
        proof_of("circle", content, typed)
    told = " ".join([str(refused.value), *map(str, refused.value.problems)])
    assert words in told
    assert refused.value.remedy


def form_values(machine: Machine, points: int) -> dict[str, str]:
    """What a person would type into the form of such a machine."""
    made: dict[str, str] = {}
    for word, way in (("ccw", 1), ("cw", -1)):
        _, read = circle(machine, Bar(points=points), way)
        order = read if way > 0 else read[::-1]
        made |= {f"{word}-{k}": f"{r:.3f}" for k, r in enumerate(order, 1)}
    return made


def test_a_filled_form_says_what_a_file_would():
    values = form_values(CLOSED, 16)
    typed = {"radius_mm": "150", "feed_mm_min": "1000", "points": "16"}
    made = filled("circle", typed, values)
    assert cause(made, "reversal_x")["value"] == pytest.approx(6, abs=0.05)
    assert cause(made, "squareness")["value"] == pytest.approx(40, abs=0.5)
    assert any("Spikes" in told for told in made.cannot_tell)


@pytest.mark.parametrize("count", range(1, 33))
def test_a_form_filled_in_part_is_answered_or_refused(count):
    values = dict(list(form_values(CLOSED, 16).items())[:count])
    test = deed("circle")
    options = options_of(test, {"points": "16"})
    table = table_from(test, test.cells(options), values)
    if 9 <= count <= 16 or count >= 24:  # half a circle one way, then half a circle both ways
        assert test.prove(table, options, Conditions()).quantities[0].value is not None
        return
    with pytest.raises(Unusable) as refused:
        test.prove(table, options, Conditions())
    assert refused.value.remedy


def test_out_of_order_nothing_is_turned_or_blamed():
    made = held_back(example("circle"), "provisional")
    assert (made.remedy, made.blames, made.measures) == ((), (), ())
    assert deed("circle").needs_level


def test_repeated_runs_of_one_direction_count_together():
    text = rows(CLOSED)
    twice = text + "\n".join(text.splitlines()[1:])
    once, made = proof_of("circle", text), proof_of("circle", twice)
    assert made.quantities[0].value == pytest.approx(once.quantities[0].value)
    assert value(made, "hysteresis_um") == pytest.approx(value(once, "hysteresis_um"))
