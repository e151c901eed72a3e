"""Tables of levels: sums, change, hours, which source first; every bad cell is named."""

from __future__ import annotations

import pytest
from tests.cases.prove.sounds import BANDS, notes, table, told

from retrue.base.refusals import Unusable
from retrue.cases.prove.sound import Asked, sound
from retrue.science.sound_level import total_db


@pytest.mark.parametrize(
    ("level", "background", "machine", "ruling", "says"),
    [
        (80, 60, 80.0, "nothing", "nothing is taken off"),
        (70, 63, 69.03, "taken", "1.0 dB taken off"),
        (70, 66, 68.74, "upper_bound", "or less"),
        (70, 72, 68.74, "upper_bound", "or less"),
    ],
)
def test_the_rule_of_the_background_in_words(
    level: float, background: float, machine: float, ruling: str, says: str
):
    made = told(
        table(f"level_a_db\n{level}\n"),
        background=table(f"level_a_db\n{background}\n"),
        checked=True,
    )
    assert made["machine_a_db"] == pytest.approx(machine, abs=0.005)
    assert made["background_ruling"] == ruling
    assert says in notes(made)


def test_covers_that_were_damped():
    """93 dB before, 83 after (common practice, no source): nine tenths, and hours by each rule."""
    made = told(table("level_a_db\n83\n"), before=table("level_a_db\n93\n"), checked=True, hours=8)
    assert made["change_a_db"] == pytest.approx(-10)
    assert made["uncertainty"]["change_a_db"] == pytest.approx(1.0)
    assert "at least 90 % of the sound power" in notes(made)
    assert "it is at least 87 %" in notes(made), "9 dB: with the doubt on the other side"
    hours = {key: made[key] for key in made if key.endswith("_hours")}
    assert hours == pytest.approx(
        {"osha_hours": 21.112, "niosh_hours": 12.699, "eu_lower_hours": 4.0095,
         "eu_upper_hours": 12.679, "eu_limit_hours": 20.095}, rel=1e-4,
    )  # fmt: skip


def test_a_change_within_the_doubt_is_none():
    made = told(table("level_a_db\n80.4\n"), before=table("level_a_db\n81\n"), checked=True)
    assert made["change"] == "same"
    assert "No change that these readings can tell" in made["headline"]
    assert "sound power" not in notes(made)
    louder = told(table("level_a_db\n84\n"), before=table("level_a_db\n81\n"), checked=True)
    assert louder["headline"].startswith("Louder by 3.0")


def test_hours_are_judged_with_their_doubt():
    """93 dBA for 2 h is 37.9 % of a US dose (29 CFR 1910.95); 2 dB more would be 50."""
    made = told(table("level_a_db\n93\n"), checked=True, hours=2)
    assert made["osha_dose_percent"] == pytest.approx(37.89, abs=0.01)
    assert made["lex_8h_db"] == pytest.approx(93 - 6.02, abs=0.005)
    assert "US action level, half a dose: 37.9\u202f%, too close to 50" in notes(made)
    assert "EU upper action value: 87.0\u202fdB(A), too close" in notes(made)
    assert "EU lower action value: 87.0\u202fdB(A), over 80" in notes(made)
    assert "US limit, a whole dose: 37.9\u202f%, under 100" in notes(made)
    assert "osha_dose_percent" not in told(table("level_a_db\n93\n"), checked=True)
    loud = told(table("level_a_db\n116\n"), checked=True, hours=0.1)
    assert "Over 115 dBA nobody stays" in notes(loud)
    with pytest.raises(Unusable, match="cannot be answered"):
        told(table("level_a_db\n93\n"), hours=25)


def test_a_table_of_bands_is_summed_and_compared():
    """63 Hz to 8 kHz: 85.49 dB(A) by the table of weightings, 89.56 dB."""
    made = told(table(BANDS), checked=True)
    assert made["level_a_db"] == pytest.approx(85.49, abs=0.02)
    assert made["level_z_db"] == pytest.approx(89.56, abs=0.005)
    assert made["bands_per_octave"] == 1
    assert made["bands"][-1]["machine_db"] == pytest.approx(68 - 0.75, abs=0.005)
    assert made["bands"][0]["change_db"] == pytest.approx(-10, abs=0.01)
    assert made["peak_c_db"] is None


@pytest.mark.parametrize(
    ("text", "says"),
    [
        ("frequency_hz,level_db\n63,80\n63,81\n", "stands twice"),
        ("frequency_hz,level_db\n37,80\n63,81\n", "37 is no band"),
        ("frequency_hz,level_db\n0,80\n63,81\n", "0 is no band"),
        ("frequency_hz,level_db\n63,8000\n125,81\n", "8000 dB"),
        ("frequency_hz,level_db\n63,loud\n125,81\n", "not a number"),
        ("frequency_hz\n63\n125\n", "level_db is missing"),
        ("volume\n63\n125\n", "level_a_db is missing"),
        ("time,level_a_db\nnoon,80\n1,81\n", "times of"),
        ("time,level_a_db\n1e308,80\n1,81\n", "times of"),
        ("switched_off,level_a_db\nnone,80\n", "lacks the reading"),
        ("switched_off,level_a_db\nfan,80\npump,80\n", "lacks the reading"),
        ("switched_off,level_a_db\nnone,84\nfan,80\nfan,81\n", "stands twice"),
        ("switched_off,level_a_db\nnone,84\nfan,90\n", "louder"),
    ],
)
def test_a_table_that_cannot_be_used_is_refused_by_name(text: str, says: str):
    with pytest.raises(Unusable) as refused:
        told(table(text))
    all_of_it = " ".join((refused.value.reason, *(str(one) for one in refused.value.problems)))
    assert says in all_of_it


def test_octaves_and_thirds_do_not_stand_side_by_side():
    thirds = table("frequency_hz,level_db\n63,80\n80,80\n100,80\n")
    with pytest.raises(Unusable, match="third octaves"):
        told(table(BANDS), before=thirds)


def test_bands_that_are_missing_are_named():
    made = told(table("frequency_hz,level_db\n250,80\n1000,80\n"))
    assert "Bands are missing: 500 Hz" in notes(made)
    assert "reach from 250 to 1000 Hz only" in notes(made)


@pytest.mark.parametrize(
    ("rows", "level", "says"),
    [
        (["0,80", "1,90"], 87.40, ""),
        (["0,80", "2,90", "1,90"], 88.45, "out of order"),
        (["20:00:00,80", "20:00:01,80", "20:00:02,90"], 86.02, ""),
        (["2026-11-25T20:00,80", "2026-11-25T20:01,90"], 87.40, ""),
        (["0,80", "1,80", "2,80", "100,80", "101,80"], 80.0, "For 98 s nothing was read"),
    ],
)
def test_levels_over_time_are_weighed_by_their_time(rows: list[str], level: float, says: str):
    """Equal steps count the same; a gap counts for nothing (energy means by hand)."""
    made = told(table("time,level_a_db\n" + "\n".join(rows) + "\n"))
    assert made["level_a_db"] == pytest.approx(level, abs=0.01)
    assert says in notes(made)
    assert made["level_c_db"] is None
    assert made["why"]["level_c_db"]
    assert made["bands"] == []


def test_a_level_without_its_weighting_is_taken_and_told():
    made = told(table("level_db\n80\n80\n"))
    assert made["level_a_db"] == 80
    assert "how the level was weighted" in notes(made)
    only_c = told(table("level_c_db\n84\n84\n"))
    assert only_c["level_a_db"] is None
    assert only_c["headline"].startswith("84.0 dB(C)")


def test_which_source_first():
    """Sums by hand: pump 82, belt 79, fan 70, room 60; each off alone, the doubt one decibel."""
    parts = {"pump": 82.0, "belt": 79.0, "fan": 70.0}
    off = {"none": total_db([*parts.values(), 60]), "all": 60.0}
    for name in parts:
        off[name] = total_db([60, *(level for other, level in parts.items() if other != name)])
    rows = "".join(f"{name},{level:.3f}\n" for name, level in off.items())
    made = told(table("switched_off,level_a_db\n" + rows), checked=True)
    first, second, third = made["sources"]
    assert (first["name"], second["name"], third["name"]) == ("pump", "belt", "fan")
    assert first["level_db"] == pytest.approx(82, abs=0.01)
    assert second["level_db"] == pytest.approx(79, abs=0.01)
    assert third["level_db"] is None, "0.3 dB is less than the doubt"
    assert made["headline"].startswith("First: pump")
    share = 100 * 10 ** ((total_db([82, 79]) - off["none"]) / 10)
    assert f"pump, belt give about {share:.0f} % of all sound power" in notes(made)
    assert made["background_a_db"] == 60


def test_the_picture_has_before_and_after_band_by_band():
    drawn = sound(Asked(sound=table(BANDS))).drawing
    assert [one.name for one in drawn.series] == ["before", "after"]
    assert drawn.nominal_hz[0] == 63
    assert not drawn.thirds
    assert sound(Asked(sound=table("level_a_db\n80\n"))).drawing is None


def test_sources_that_give_more_than_everything_are_not_of_one_state():
    rows = "none,84\npump,80\nbelt,80\nfan,80\n"
    made = told(table("switched_off,level_a_db\n" + rows), checked=True)
    assert "more than everything" in notes(made)


def test_hours_belong_to_everything_on_and_other_files_do_not():
    one = table("switched_off,level_a_db\nnone,93\npump,90\n")
    assert told(one, checked=True, hours=8)["lex_8h_db"] == pytest.approx(93)
    assert "US limit, a whole dose" in notes(told(one, checked=True, hours=8))
    with pytest.raises(Unusable) as refused:
        told(one, before=one, offset_db=3.0)
    assert {problem.where for problem in refused.value.problems} == {"before", "offset_db"}


def test_a_background_that_is_near_now_hides_some_of_the_change():
    loud, quiet = table("level_a_db\n90\n"), table("level_a_db\n80\n")
    made = told(quiet, before=loud, background=table("level_a_db\n77\n"), checked=True)
    assert made["change_a_db"] == pytest.approx(80 - 1.2563 - (90 - 0.2233), abs=0.001)
    assert "quieter by more than is said" in notes(made)
