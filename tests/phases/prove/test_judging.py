"""What a set says is kept once, in the order of work, and moves price and diagnosis."""

from __future__ import annotations

import json
from dataclasses import replace

import pytest
from tests.phases.prove.conftest import LEVEL, WHOLE

from retrue.base.refusals import Unknown
from retrue.belief.posterior import update
from retrue.cases.evidence import evidence
from retrue.cases.network import build
from retrue.cases.prove.proof import Conditions, Limit, not_level
from retrue.phases import prove, worth
from retrue.records.facts import Finding, Moved, Note
from retrue.records.measuring import Instrument, Result


def believed(shop, kinds, machine, fault):
    """The chance of one fault, after all that is kept."""
    case = worth.case_of(shop, "school")
    built = build(case, kinds)
    known = update(built.network, evidence(case, built)[0])
    return float(known.marginal[built.faults[machine, fault]])


def test_before_the_level_a_reading_is_shown_and_kept_and_blames_nothing(bench, kinds, measure):
    id = measure("backlash", WHOLE, "dial")
    judged = prove.judge(bench, id, kinds, by="owner")
    proof = judged.proof
    assert proof.quantities[0].value == 21.0
    assert proof.provisional == judged.record.fact.provisional == not_level()
    assert "The level of this machine has not been measured yet." in proof.warnings
    assert (proof.verdict, proof.remedy, proof.then_read, proof.blames) == (None, (), (), ())
    assert judged.findings == ()
    assert judged.record.fact.ruling == ""
    with pytest.raises(Unknown) as refusal:
        prove.entered(bench, id, 1, kinds, by="owner")
    assert refusal.value.remedy == not_level()


def test_once_the_level_is_proved_the_same_readings_tell_all(bench, kinds, measure):
    id = measure("backlash", WHOLE, "dial")
    early = prove.judge(bench, id, kinds, by="owner").record
    level = measure("level", LEVEL, "frame level")
    prove.judge(bench, level, kinds, by="owner")
    judged = prove.judge(bench, id, kinds, by="owner")
    assert judged.record.replaces == early.id
    assert judged.record.fact.readings != early.fact.readings
    assert (judged.proof.provisional, judged.record.fact.ruling) == ("", "proved_bad")
    assert len(judged.proof.remedy) == 2
    assert judged.proof.blames
    assert [one.measure for one in judged.findings] == ["M13"]


@pytest.mark.parametrize(
    ("worst", "instrument", "provisional", "warned"),
    [
        ("60", "frame level", True, False),  # 60 less 10 is over 40: proved bad
        ("35", "frame level", False, True),  # too near to 40 to tell, inside
        ("45", "frame level", True, False),  # too near to 40 to tell, outside
        ("35", "", False, True),  # nobody has said how far the level may be off
        ("-60", "frame level", True, False),  # the other way is as bad
    ],
)
def test_level_is_what_lies_within_its_limit(
    bench, kinds, measure, worst, instrument, provisional, warned
):
    level = measure("level", LEVEL, instrument)
    prove.keep_reading(bench, level, "along_1", worst, kinds, sure=True, by="owner")
    prove.judge(bench, level, kinds, by="owner")
    proof = prove.work_out(bench, measure("backlash", WHOLE, "dial"), kinds)
    assert bool(proof.provisional) is provisional
    assert any("taken as level" in one for one in proof.warnings) is warned
    assert bool(prove.bench(bench, "school", "mill", kinds).level) is provisional


def test_a_level_of_one_machine_says_nothing_of_the_other(bench, kinds, level_machine):
    begun = prove.begin(bench, "school", "lathe", "backlash", {}, kinds, by="owner")
    prove.keep_readings(bench, begun.id, WHOLE, kinds, by="owner")
    assert prove.work_out(bench, begun.id, kinds).provisional == not_level()


def test_the_same_readings_again_are_the_kept_result(bench, kinds, measure, level_machine):
    id = measure("backlash", WHOLE, "dial")
    first = prove.judge(bench, id, kinds, by="owner", id="j-1")
    rows = len(list(bench.rows()))
    for hand in ({"by": "owner", "id": "j-1"}, {"by": "helper"}):
        assert prove.judge(bench, id, kinds, **hand).record == first.record
    assert len(list(bench.rows())) == rows
    assert json.loads(first.record.fact.answer)["reversal_um"] == 21.0
    prove.keep_reading(bench, id, "middle_2", "20", kinds, by="owner")
    second = prove.judge(bench, id, kinds, by="owner").record
    assert second.replaces == first.record.id
    assert prove.results(bench, "school", "mill")[-1] == second
    prove.keep_reading(bench, id, "middle_2", "22", kinds, by="owner")
    third = prove.judge(bench, id, kinds, by="owner").record
    assert (third.replaces, third.fact.readings) == (second.id, first.record.fact.readings)


def test_a_result_moves_price_and_belief_and_is_learned_once(bench, kinds, measure, level_machine):
    first, other = (believed(bench, kinds, name, "F37") for name in ("mill", "lathe"))
    id = measure("backlash", dict.fromkeys(WHOLE, "120"), "dial", place="X")
    judged = prove.judge(bench, id, kinds, by="owner")
    (finding,) = judged.findings
    assert (finding.check, finding.measure, finding.channel) == ("C53", "M13", "running")
    assert (finding.reading, finding.uncertainty, finding.grade) == (0.12, 0.003, 5)
    assert finding.text == "Backlash, X"
    told = worth.keep_findings(bench, "school", judged.findings, kinds, worlds=2000, by="owner")
    assert told.after.walk_away.amount < told.before.walk_away.amount
    assert believed(bench, kinds, "mill", "F37") > 1.5 * first  # a worn screw
    assert believed(bench, kinds, "lathe", "F37") == pytest.approx(other, rel=0.2)
    assert len(bench.current(Moved)) == 1
    assert prove.judge(bench, id, kinds, by="owner").findings == ()
    worth.withdraw(bench, told.kept[0].id, kinds, worlds=2000, by="owner")
    assert prove.judge(bench, id, kinds, by="owner").findings == ()
    assert bench.current(Finding) == []


def test_a_corrected_set_is_learned_anew_and_the_new_word_counts(
    bench, kinds, measure, level_machine
):
    id = measure("backlash", dict.fromkeys(WHOLE, "120"), "dial")
    for middle in ("120", "4"):
        sheet = {"middle_1": middle, "middle_2": middle}
        prove.keep_readings(bench, id, sheet, kinds, sure=True, by="owner")
        findings = prove.judge(bench, id, kinds, by="owner").findings
        assert [one.reading for one in findings] == [float(middle) / 1000]
        worth.keep_findings(bench, "school", findings, kinds, quietly=True, by="owner")
    assert believed(bench, kinds, "mill", "F37") < 0.35


def test_what_a_door_lost_between_judging_and_learning_is_offered_again(
    bench, kinds, measure, level_machine
):
    id = measure("backlash", WHOLE, "dial")
    lost = prove.judge(bench, id, kinds, by="owner").findings
    assert prove.judge(bench, id, kinds, by="owner").findings == lost != ()


def test_an_instrument_past_its_day_warns_and_counts_as_unchecked(bench, kinds, level_machine):
    prove.keep_instrument(
        bench,
        Instrument(
            name="old dial", sort="indicator", unit="µm", uncertainty=3.0, certificate="12",
            due_on="2026-11-24",
        ),
        by="owner",
    )  # fmt: skip
    for name, grade, warned in (("old dial", 4, True), ("dial", 5, False), ("", 4, False)):
        begun = prove.begin(
            bench, "school", "mill", "backlash", {}, kinds, instrument=name or None, by="owner"
        )
        prove.keep_readings(bench, begun.id, WHOLE, kinds, by="owner")
        judged = prove.judge(bench, begun.id, kinds, by="owner")
        assert judged.findings[0].grade == grade
        told = "old dial was due to be checked on 2026-11-24." in judged.proof.warnings
        assert told is warned


def test_a_doubt_in_another_unit_is_not_counted_and_that_is_said(bench, kinds, level_machine):
    fact = Instrument(name="inch dial", sort="indicator", unit="thou", uncertainty=0.1)
    prove.keep_instrument(bench, fact, by="owner")
    begun = prove.begin(
        bench, "school", "mill", "backlash", {}, kinds, instrument="inch dial", by="owner"
    )
    view = prove.open_set(bench, begun.id, kinds)
    assert view.conditions.reading_uncertainty is None
    assert "thou" in view.warnings[-1]


def test_a_confirmed_limit_says_so_and_judges_anew(bench, kinds, measure, level_machine):
    id = measure("backlash", WHOLE, "dial")
    kind = kinds["vertical_machining_centre"]
    first = prove.judge(bench, id, kinds, by="owner").proof.verdict
    assert (first.ruling, first.limit_mark) == ("proved_bad", "from memory, unverified")
    prove.keep_limit(bench, kind, "backlash", 30.0, reason="roughing only", by="owner")
    typed = prove.judge(bench, id, kinds, by="owner").proof.verdict
    assert (typed.ruling, typed.limit, typed.limit_mark) == (
        "proved_good", 30.0, "typed by the owner",
    )  # fmt: skip
    prove.keep_limit(
        bench, kind, "backlash", 21.0, standard="ISO 230-2", edition="2014", confirmed=True,
        by="owner",
    )  # fmt: skip
    sure = prove.judge(bench, id, kinds, by="owner")
    assert sure.proof.verdict.ruling == "not_proved"
    mark = "confirmed in the owner's copy of ISO 230-2 2014"
    assert sure.proof.verdict.limit_mark == mark
    assert json.loads(sure.record.fact.answer)["verdict"]["limit_mark"] == mark
    line = next(one for one in prove.limits(bench, kind) if one.limit.id == "backlash")
    assert (line.value, line.mark, line.limit.value) == (21.0, mark, kind.limits["backlash"].value)
    assert len(bench.history(line.own.id)) == 2
    with pytest.raises(Unknown):
        prove.keep_limit(bench, kind, "baklash", 1.0, by="owner")


def test_a_setting_that_was_entered_is_a_changed_setting(bench, kinds, measure, level_machine):
    id = measure("backlash", WHOLE, "dial")
    kept = prove.entered(bench, id, 1, kinds, by="owner", id="n-1")
    fact = kept.fact
    assert (fact.setting, fact.old, fact.new) == ("backlash X", "0", "6")
    assert fact.why == "Backlash: uniform part"
    said = prove.open_set(bench, id, kinds).record.fact
    assert (fact.lot, fact.machine) == (said.lot, said.machine)
    prove.keep_reading(bench, id, "middle_2", "20", kinds, by="owner")
    assert prove.entered(bench, id, 1, kinds, by="owner", id="n-1") == kept
    done = prove.entered(bench, id, 2, kinds, by="owner")
    assert (done.fact.setting, done.fact.text) == ("", "Move the machine over its travel.")
    assert len(bench.current(Note)) == 2
    for number in (0, 3, -1):
        with pytest.raises(Unknown):
            prove.entered(bench, id, number, kinds, by="owner")


def test_a_set_is_compared_with_the_one_before_it_at_the_same_place(
    bench, kinds, measure, level_machine
):
    first = measure("backlash", WHOLE, "dial", place="X")
    measure("backlash", dict.fromkeys(WHOLE, "90"), "dial", place="Y")
    begun = prove.begin(bench, "school", "mill", "backlash", {}, kinds, place="X", by="owner")
    assert begun.id  # begun and left: an older whole one is taken
    after = {**WHOLE, "middle_1": "8", "middle_2": "8"}
    second = measure("backlash", after, "dial", place="X")
    assert prove.compare(bench, first, kinds) is None
    grid = prove.compare(bench, second, kinds)
    lost, wear = grid.rows
    assert lost[:7] == ("lost motion", "µm", 21.0, 3.0, 8.0, 3.0, -13.0)
    assert lost[7] == pytest.approx(18**0.5)
    assert lost[8] == "changed more than the doubt"
    assert wear[8] == "nobody has said how far a reading may be off"
    third = measure("backlash", {**after, "middle_1": "9"}, "dial", place="X")
    assert prove.compare(bench, third, kinds).rows[0][8] == (
        "no change that the instrument can see"
    )
    named = prove.begin(
        bench, "school", "mill", "backlash", {}, kinds, place="X", before=first, by="owner"
    )
    prove.keep_readings(bench, named.id, after, kinds, by="owner")
    assert prove.compare(bench, named.id, kinds).rows[0][2] == 21.0


def test_results_that_a_broken_writer_left_do_not_pass_for_levels(bench, kinds, level_machine):
    kept = bench.get(Result, prove.results(bench, "school", "mill")[-1].id)
    unjudged = replace(kept.fact, ruling="", readings="0" * 64)
    bench.add(unjudged, by="owner", replaces=kept.id)
    assert "nobody has said" in prove.bench(bench, "school", "mill", kinds).level


def test_a_plain_file_needs_no_shop(tests_of_measuring):
    table = b"place;run;lost_um\nleft;1;6,0\nmiddle;1;20,5\nright;1;8\n"
    conditions = Conditions(limit=Limit(value=15.0), reading_uncertainty=3.0)
    proof = prove.prove_file(table, "a.csv", "backlash", {"entered_um": "4"}, conditions)
    assert proof.quantities[0].value == 20.5
    assert proof.verdict.ruling == "proved_bad"
    assert proof.remedy[0].setting.new == "10"
    early = prove.prove_file(table, "a.csv", "backlash", {}, conditions, not_level=True)
    assert (early.provisional, early.remedy) == (not_level(), ())
    deed, options, cells = prove.blank("backlash", {"runs": "3"})
    assert (deed.id, options["runs"], len(cells)) == ("backlash", 3, 9)
