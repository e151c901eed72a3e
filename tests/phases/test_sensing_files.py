"""Recordings and tables of sound, vibration, light: worked out, told, or kept with the reason."""

from __future__ import annotations

import json
from collections.abc import Mapping

import pytest
from tests.fakes.shop import FakeShop
from tests.phases.sensing import BEARING, EAR, NOSE, SCALE, chance, keep, noise, shaken, tone

from retrue.base.refusals import Unusable
from retrue.cases.prove.recording import Recording
from retrue.cases.prove.table import Table, read_table
from retrue.kinds.library import Kind
from retrue.phases import prove
from retrue.phases.worth import LotView
from retrue.records.shop import RecordShop
from retrue.records.waking import Sensed


@pytest.fixture
def shop() -> RecordShop:
    """In memory; both shops keep by the same rules, which tests of their own try."""
    return FakeShop()


@pytest.fixture
def floor(shop: RecordShop, lot: LotView) -> RecordShop:
    """A shop with both machines of the school on its floor."""
    return shop


class TestFiles:
    @pytest.mark.parametrize(
        ("whose", "told"), [("spindle", ["C93", "C48"]), ("motor", ["C93", "C123"]), ("", ["C93"])]
    )
    def test_a_named_bearing_defect_answers_the_look_that_listens_for_it(
        self, floor: RecordShop, kinds: Mapping[str, Kind], whose: str, told: list[str]
    ) -> None:
        fault = {"spindle": "F01", "motor": "F16", "": "F01"}[whose]
        nothing = chance(floor, kinds, fault)
        made = keep(
            floor, kinds, "vibration", content=b"w", name="nose.wav",
            hear=lambda *_: shaken(defect=True), options=BEARING | SCALE | {"bearing": whose},
            **NOSE,
        )  # fmt: skip
        assert made.result is not None
        assert json.loads(made.result.fact.answer)["conclusion"] == "outer_race"
        assert [one.fact.check for one in made.findings] == told
        if whose:
            assert made.findings[1].fact.answer == "seen"
            assert chance(floor, kinds, fault) > 1.15 * nothing

    def test_nothing_found_tells_only_the_velocity(
        self, floor: RecordShop, kinds: Mapping[str, Kind]
    ) -> None:
        made = keep(
            floor, kinds, "vibration", content=b"w", name="nose.wav",
            hear=lambda *_: shaken(defect=False), options=BEARING | SCALE | {"bearing": "spindle"},
            **NOSE,
        )  # fmt: skip
        assert made.result is not None
        answer = json.loads(made.result.fact.answer)
        assert answer["conclusion"] in ("nothing_found", "not_conclusive")
        assert [one.fact.measure for one in made.findings] == ["M27"]
        # kinematics: 1 m/s² peak at 50 Hz is 1000 / (2 pi 50) / sqrt 2 mm/s
        assert answer["velocity_rms_mm_s"] == pytest.approx(2.2508, rel=0.02)

    def test_a_second_recording_is_held_against_the_first_at_that_speed(
        self, floor: RecordShop, kinds: Mapping[str, Kind]
    ) -> None:
        def kept(loud: float) -> str:
            made = keep(floor, kinds, "vibration", content=repr(loud).encode(), name="nose.wav",
                        hear=hear, options=SCALE, **NOSE)  # fmt: skip
            return made.record.id

        def hear(content: bytes, _: str) -> Recording:
            return shaken(defect=False, loud=float(content))

        ids = [kept(1.0), kept(2.0)]
        proofs = [prove.sensed_proof(floor, id, hear).proof for id in ids]
        told = [
            {each.key: each.value for each in proof.quantities} if proof else {} for proof in proofs
        ]
        assert "baseline_change_db" not in told[0]
        assert told[1]["baseline_change_db"] == pytest.approx(6.02, abs=0.1)  # twice as strong

    def test_a_recording_with_a_known_level_beside_it_is_calibrated_by_it(
        self, floor: RecordShop, kinds: Mapping[str, Kind]
    ) -> None:
        """A tone of 0.1 is 23.01 dB under a mean square of one; as 94 dB it sets the scale."""
        heard = {b"ear": noise(-43.01), b"known": tone()}
        made = keep(floor, kinds, "sound", content=b"ear", known=b"known", name="ear.wav",
                    hear=lambda content, _: heard[content], **EAR)  # fmt: skip
        (finding,) = made.findings
        assert made.result is not None
        answer = json.loads(made.result.fact.answer)
        assert answer["level_z_db"] == pytest.approx(94 - 20, abs=0.2)
        assert (answer["calibrated"], finding.fact.reading) == (True, answer["level_a_db"])
        assert finding.fact.uncertainty == pytest.approx(2.0, abs=0.05)
        assert len(answer["bands"]) > 25
        bare = keep(floor, kinds, "sound", content=b"ear", name="ear.wav",
                    hear=lambda content, _: heard[content], **EAR)  # fmt: skip
        assert bare.findings[0].fact.uncertainty == pytest.approx(5.0, abs=0.05)

    def test_what_is_cut_off_at_full_scale_teaches_nothing(
        self, floor: RecordShop, kinds: Mapping[str, Kind]
    ) -> None:
        made = keep(floor, kinds, "sound", content=b"w", name="ear.wav",
                    hear=lambda *_: noise(-20, clipped=0.02), **EAR)  # fmt: skip
        assert made.findings == ()
        assert "cut off" in made.why

    def test_a_file_that_cannot_be_read_is_kept_and_says_why(
        self, floor: RecordShop, kinds: Mapping[str, Kind]
    ) -> None:
        def hear(_: bytes, name: str) -> Table:
            return read_table(b"loudness\n3\n", name)

        made = keep(floor, kinds, "sound", content=b"odd", name="a.csv", hear=hear, **EAR)
        assert made.refused is not None
        assert "kept as it came" in made.refused.remedy
        assert made.findings == ()
        (line,) = prove.sensed(floor, "school", "mill")
        assert line.value is None
        assert "level_a_db" in line.why or "lacks a column" in line.why
        assert line.said.file is not None
        assert floor.file(line.said.file) == b"odd"
        shown = prove.sensed_proof(floor, line.id, hear)
        assert shown.proof is None
        assert shown.refused is not None

    def test_bands_stand_side_by_side(self, floor: RecordShop, kinds: Mapping[str, Kind]) -> None:
        for when, level_ in (("before", -30.0), ("after", -41.0)):
            keep(floor, kinds, "sound", content=when.encode(), name="ear.wav", when=when,
                 hear=lambda content, _, level_=level_: noise(level_), **EAR)  # fmt: skip
        (pair,) = prove.quiet(floor, "school", "mill", kinds).pairs
        assert pair.bands is not None
        before, after = pair.bands.series
        for was, now in zip(before.level_db, after.level_db, strict=True):
            assert was is not None
            assert now is not None
            assert now - was == pytest.approx(-11.0, abs=0.01)

    @pytest.mark.parametrize(
        ("sort", "options", "where"),
        [
            ("sound", {"offset_db": "loud", "balls": "9"}, {"offset_db", "balls"}),
            ("vibration", {"balls": "nine", "ball_mm": "x"}, {"balls", "ball_mm"}),
            ("light", {"task": "knitting"}, {"task"}),
        ],
    )
    def test_options_that_cannot_be_are_named_before_anything_is_kept(
        self,
        floor: RecordShop,
        kinds: Mapping[str, Kind],
        sort: str,
        options: dict[str, str],
        where: set[str],
    ) -> None:
        with pytest.raises(Unusable) as refused:
            keep(floor, kinds, sort, content=b"w", name="a.wav", options=options)
        assert {one.where for one in refused.value.problems} == where
        assert floor.current(Sensed) == []

    def test_a_table_of_what_was_off_tells_which_source_first(
        self, floor: RecordShop, kinds: Mapping[str, Kind]
    ) -> None:
        table = b"switched_off,level_a_db\nnone,84\nfan,83.9\npump,80\n"
        keep(floor, kinds, "sound", content=table, name="off.csv", hear=read_table,
             options={"calibrated": "yes"}, **EAR)  # fmt: skip
        order = prove.quiet(floor, "school", "mill", kinds).sources
        assert order is not None
        assert [one.name for one in order.sources] == ["pump", "fan"]
        assert order.sources[0].gain_db == pytest.approx(4.0)
