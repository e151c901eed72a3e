"""What the library says of first power: nobody alone, no live steps, every band with its ends."""

from __future__ import annotations

import pytest
from tests.library import load

from retrue.base.refusals import Unusable
from retrue.kinds.library import Kind
from retrue.kinds.waking import Bound

KINDS = load()
MILL = KINDS["vertical_machining_centre"]
every_kind = pytest.mark.parametrize("kind", KINDS.values(), ids=KINDS)
# Trade practice, no source: bearing handbooks give such ladders for grease after a rest.
SPINDLE = {1: (5, 10, 5), 2: (10, 20, 8), 3: (20, 30, 12), 4: (30, 30, 15), 5: (45, 30, 18),
           6: (60, 30, 20), 7: (75, 40, 22), 8: (90, 40, 25), 9: (100, 60, 25)}  # fmt: skip


def own(text: str) -> Kind:
    return load((("own.toml", text.encode()),), only=("vertical_machining_centre",))[
        "vertical_machining_centre"
    ]


@every_kind
def test_only_the_dead_stage_may_be_done_with_nobody_at_the_switch(kind):
    stages = list(kind.stages.values())
    assert [one.stage for one in stages] == sorted(
        (one.stage for one in stages), key=lambda stage: int(stage[1:])
    )
    assert [one.id for one in stages if one.alone] == [stages[0].id]
    assert stages[0].stage == "P0"
    assert all(one.alone_instead for one in stages[1:])


@every_kind
def test_of_live_work_there_is_why_who_and_numbers_and_never_how(kind):
    live = [one for one in kind.stages.values() if one.live]
    assert {one.stage for one in live} == {"P1", "P2", "P5"} & {
        s.stage for s in kind.stages.values()
    }
    for one in live:
        assert one.why
        assert one.licensed
        assert "electrician" in one.who
        assert not one.needs
        assert one.hands_back
        assert one.abort_limits
        assert "X05" in one.cautions or "X28" in one.cautions


@every_kind
def test_time_alone_never_proves_anything_dead(kind):
    words = " ".join(
        [w for s in kind.stages.values() for w in (*s.needs, *s.on_abort, *s.leave_it, s.why)]
        + [b.note for bands in kind.stage_readings.values() for b in bands]
    ).lower()
    assert " wait" not in words
    assert "measured dead" in words
    assert "tool" not in kind.stages[next(iter(kind.stages))].alone_instead


@every_kind
def test_every_stage_says_what_ends_it_what_then_and_how_it_is_left(kind):
    for one in kind.stages.values():
        assert one.abort_limits, one.id
        assert any("cause is found" in word for word in one.on_abort), one.id
        assert any("strip" in word for word in one.on_abort), one.id
        assert one.leave_it, one.id
        assert one.mark.startswith("common practice"), one.id
        assert one.alone or "X32" in one.cautions, one.id  # who stands at the switch


@every_kind
def test_every_band_has_an_end_and_its_abort_lies_outside(kind):
    for bands in kind.stage_readings.values():
        for band in bands:
            assert band.expected_low or band.expected_high, (band.stage, band.name)
            assert band.mark, band.name
            for inner, outer, sign in (
                (band.expected_low, band.abort_low, 1),
                (band.expected_high, band.abort_high, -1),
            ):
                if inner is not None and outer is not None:
                    assert inner.of == outer.of
                    assert sign * (inner.at(100.0) - outer.at(100.0)) >= 0, band.name


@every_kind
def test_what_a_band_is_a_share_of_is_on_the_plate_or_read_before(kind):
    read: set[str] = set()
    for stage in kind.stages:
        for band in kind.stage_readings.get(stage, ()):
            for end in (band.expected_low, band.expected_high, band.abort_low, band.abort_high):
                assert end is None or not end.of or end.of in kind.plate or end.of in read
        read |= {band.name for band in kind.stage_readings.get(stage, ())}


@every_kind
def test_no_text_of_first_power_speaks_in_codes(kind):
    codes = set(kind.checks) | set(kind.faults) | set(kind.jobs) | set(kind.plate)
    for one in kind.stages.values():
        texts = (one.title, one.energises, one.who, one.alone_instead, one.why, *one.needs,
                 *one.abort_limits, *one.on_abort, *one.hands_back)  # fmt: skip
        for text in texts:
            assert not codes & set(text.replace(",", " ").replace(")", " ").split()), text


def test_the_run_in_is_the_ladder_of_the_trade():
    for kind in (MILL, KINDS["turning_centre"]):
        told = {
            one.step: (one.percent, one.minutes, one.rise_k)
            for one in kind.run_in
            if one.ladder == "spindle"
        }
        assert told == SPINDLE
        axes = [(one.percent, one.minutes) for one in kind.run_in if one.ladder == "axis"]
        assert axes == [(10, 120), (30, 120), (60, 120)]
        assert all("unverified" in one.mark for one in kind.run_in)


def test_the_bus_is_the_mean_and_the_peak_of_a_rectified_supply():
    """Mean of a three-phase bridge 3 sqrt(2) / pi, peak sqrt(2): any text on power electronics."""
    low, high = (
        next(b for b in MILL.stage_readings["P5-V"] if b.name == "bus_volts").expected_low,
        next(b for b in MILL.stage_readings["P5-V"] if b.name == "bus_volts").expected_high,
    )
    assert low.at(400.0) == pytest.approx(0.95 * 3 * 2**0.5 / 3.14159265 * 400, rel=1e-3)
    assert high.at(400.0) == pytest.approx(1.05 * 2**0.5 * 400, rel=4e-3)


def test_a_step_and_a_band_may_be_ones_own_and_say_so():
    kind = own(
        '[[run_in]]\nid = "spindle_3"\nminutes = 45\nmark = "the bearing maker"\n'
        '[[stage_reading]]\nstage = "P1-V"\nname = "line_volts"\nexpected_high = { times = 1.03 }\n'
    )
    step = next(one for one in kind.run_in if one.id == "spindle_3")
    assert (step.minutes, step.mark) == (45, "the bearing maker")
    band = next(one for one in kind.stage_readings["P1-V"] if one.name == "line_volts")
    assert band.expected_high == Bound("N04", 1.03)
    assert kind.marks["run_in.spindle_3.minutes"] == "the bearing maker"


@pytest.mark.parametrize(
    ("text", "word"),
    [
        ('[[run_in]]\nid = "spindle_3"\nminutes = 0\n', "minutes"),
        ('[[run_in]]\nid = "spindle_30"\nminutes = 4\n', "spindle_30"),
        ('[[stage_reading]]\nstage = "P1-V"\nname = "line_volts"\nexpected_low = "x"\n', "number"),
        (
            '[[stage_reading]]\nstage = "P1-V"\nname = "line_volts"\nexpected_low = { tims = 1 }\n',
            "unknown key",
        ),
        ('[[stage_reading]]\nstage = "P1-V"\nname = "line_volts"\nunit = "kV"\n', "not a number"),
    ],
)
def test_what_cannot_be_a_number_of_ones_own_is_named(text: str, word: str):
    with pytest.raises(Unusable) as refused:
        own(text)
    assert any(word in str(problem) for problem in refused.value.problems)


@pytest.mark.parametrize("id", ["vertical_machining_centre", "turning_centre", "milling_machine",
                                "surface_grinder"])  # fmt: skip
def test_what_keeps_people_alive_is_on_every_machine_and_each_named_place_can_be_read(id: str):
    kind = load()[id]
    always = {"F14", "F15", "F80", "F83", "F85", "F86", "F88", "F97", "F101", "F102", "F107",
              "F108", "F31", "F03", "F04", "G6", "G7"}  # fmt: skip
    assert not [one.id for one in kind.faults.values() if one.optional and one.id in always]
    assert not [one.id for one in kind.faults.values() if one.optional and one.scope != "machine"]
    bands = {one.name: one for one in kind.stage_readings[f"P0-{kind.letter}"]}
    assert bands["earth"].least >= 3
    assert bands["insulation_40C"].least == max(1, len(bands["insulation_40C"].each))
