"""The bench, the instruments, whole tables, the acceptance sheet."""

from __future__ import annotations

import time
from decimal import Decimal

import pytest
from tests.library import load
from tests.phases.prove.conftest import LEVEL, WHOLE

from retrue.base.refusals import Unknown, Unreadable, Unusable
from retrue.cases.prove.proof import not_level
from retrue.phases import prove, worth
from retrue.records.chain import verify_chain
from retrue.records.facts import Machine
from retrue.records.measuring import Instrument, ReadingSet, Result

WEAR = load()["vertical_machining_centre"].limits["wear_centre"].name
TABLE = b"place,run,lost_um\nleft,1,6\nmiddle,1,20\nright,1,8\n"


def table(shop, kinds, content=TABLE, **told):
    return prove.keep_table(
        shop, "school", "mill", "backlash", content, "lost.csv", {}, kinds, by="owner", **told
    )


def test_level_comes_first_then_what_is_not_done(bench, kinds, measure):
    seen = prove.bench(bench, "school", "mill", kinds)
    assert [line.deed.id for line in seen.lines] == ["level", "backlash"]
    assert seen.next.deed.id == "level"
    assert seen.level == "The level of this machine has not been measured yet."
    assert [line.provisional for line in seen.lines] == ["", not_level()]
    early = measure("backlash", WHOLE, "dial")
    prove.judge(bench, early, kinds, by="owner")
    level = measure("level", LEVEL, "frame level")
    waiting = prove.bench(bench, "school", "mill", kinds)
    assert waiting.lines[0].open_set.id == level
    prove.judge(bench, level, kinds, by="owner")
    seen = prove.bench(bench, "school", "mill", kinds)
    assert (seen.level, seen.next.deed.id) == ("", "backlash")  # only provisional so far
    assert seen.lines[0].open_set is None
    prove.judge(bench, early, kinds, by="owner")
    done = prove.bench(bench, "school", "mill", kinds)
    assert done.next.deed.id == "backlash"  # proved bad: put right and measured again
    assert done.lines[1].last.fact.ruling == "proved_bad"
    assert (done.machine_name, done.lines[1].provisional) == ("mill", "")


def test_instruments_are_told_owned_first_each_with_what_it_serves(bench):
    hire = Instrument(
        name="circle bar", sort="ball_bar", way="hire", hire_a_day=Decimal("45.00"), unit="µm",
        uncertainty=1.5,
    )  # fmt: skip
    lent = Instrument(name="step gauge", sort="step_gauge", way="borrow", due_on="2027-01-31")
    for fact in (hire, lent):
        prove.keep_instrument(bench, fact, by="owner")
    lines = prove.instruments(bench)
    assert [one.record.fact.name for one in lines] == [
        "dial", "frame level", "step gauge", "circle bar",
    ]  # fmt: skip
    assert [[test.id for test in one.serves] for one in lines] == [["backlash"], ["level"], [], []]
    assert lines[-1].record.fact.hire_a_day == Decimal("45.00")


def test_an_instrument_corrected_stays_the_one_that_sets_name(bench, kinds, level_machine):
    begun = prove.begin(
        bench, "school", "mill", "backlash", {}, kinds, instrument="dial", by="owner"
    )
    old = next(one for one in prove.instruments(bench) if one.record.fact.name == "dial")
    fact = Instrument(name="dial", sort="indicator", unit="µm", uncertainty=2.0)
    kept = prove.keep_instrument(bench, fact, by="owner")
    assert prove.keep_instrument(bench, fact, by="owner") == kept
    assert kept.replaces == old.record.id
    assert begun.fact.instrument == old.id
    view = prove.open_set(bench, begun.id, kinds)
    assert (view.conditions.reading_uncertainty, view.checked) == (2.0, False)


def test_a_whole_table_is_kept_first_and_judged_after(bench, kinds, level_machine):
    kept = table(bench, kinds, id="t-1", place="X")
    assert table(bench, kinds, id="t-1", place="X") == kept
    assert bench.file(kept.fact.file) == TABLE
    judged = prove.judge(bench, kept.id, kinds, by="owner")
    assert judged.proof.quantities[0].value == 20.0
    view = prove.open_set(bench, kept.id, kinds)
    assert (view.cells, view.next, view.done) == ((), None, 0)
    with pytest.raises(Unknown, match="no field left_1"):
        prove.keep_reading(bench, kept.id, "left_1", "6", kinds, by="owner")


@pytest.mark.parametrize(
    ("content", "refusal", "where"),
    [
        (b"\x89PNG\x00\x00", Unreadable, None),
        (b"", Unreadable, None),
        (TABLE.replace(b"20", b"twenty"), Unusable, "row 3, column lost_um"),
        (TABLE.replace(b"lost_um", b"lost_in"), Unusable, "lost.csv"),
    ],
)
def test_a_file_that_cannot_be_used_is_kept_all_the_same(bench, kinds, content, refusal, where):
    kept = table(bench, kinds, content)
    with pytest.raises(refusal) as told:
        prove.work_out(bench, kept.id, kinds)
    assert told.value.remedy.endswith("The file is kept as it came.")
    assert where in [problem.where for problem in told.value.problems] or where is None
    assert bench.file(kept.fact.file) == content
    assert bench.current(Result) == []
    assert prove.bench(bench, "school", "mill", kinds).lines[1].open_set == kept


def test_readings_without_the_limited_quantity_are_told_and_not_judged(bench, kinds, level_machine):
    one_way = b"place,run,lost_um,one_way\nleft,1,6,x\nmiddle,1,20,x\nright,1,8,x\n"
    judged = prove.judge(bench, table(bench, kinds, one_way).id, kinds, by="owner")
    assert (judged.proof.verdict, judged.record.fact.ruling) == (None, "")
    assert judged.proof.warnings[-1].startswith("Not judged")
    row = prove.acceptance(bench, "school", "mill", kinds).rows[1]
    assert (row.value, row.ruling, row.why) == (13.0, "", "no limit is given")


def test_a_wrong_option_loses_no_file(bench, kinds):
    with pytest.raises(Unusable):
        prove.keep_table(
            bench, "school", "mill", "backlash", TABLE, "lost.csv", {"entered_um": "?"}, kinds,
            by="owner",
        )  # fmt: skip
    assert bench.current(ReadingSet) == []
    again = table(bench, kinds)
    assert bench.file(again.fact.file) == TABLE


@pytest.mark.parametrize("shop", ["on disk"], indirect=True)
def test_a_hundred_thousand_rows_are_kept_and_judged(bench, kinds, level_machine):
    thirds = "left,1,6\nmiddle,1,20\nright,1,8\n" * 33_334
    content = f"place,run,lost_um\n{thirds}".encode()
    begun = time.process_time()
    kept = table(bench, kinds, content)
    judged = prove.judge(bench, kept.id, kinds, by="owner")
    assert judged.proof.quantities[0].value == pytest.approx(20.0)
    assert len(judged.record.fact.answer) < 5000
    assert time.process_time() - begun < 4


def test_the_acceptance_sheet_tells_the_newest_word_of_each_test(bench, kinds, measure):
    first = prove.acceptance(bench, "school", "mill", kinds)
    assert [(row.test, row.why, row.value) for row in first.rows] == [
        ("level", "not tested", None), ("backlash", "not tested", None),
    ]  # fmt: skip
    early = measure("backlash", WHOLE, "dial", place="X")
    prove.judge(bench, early, kinds, by="owner")
    second = prove.acceptance(bench, "school", "mill", kinds)
    assert second.provisional == ("Backlash, X: provisional, machine not level",)
    assert [row.test for row in second.rows] == ["level"]
    level = measure("level", LEVEL, "frame level")
    prove.judge(bench, level, kinds, by="owner")
    stale = prove.acceptance(bench, "school", "mill", kinds)
    assert [row.test for row in stale.rows] == ["level"]
    prove.judge(bench, early, kinds, by="owner")
    other = measure("backlash", dict.fromkeys(WHOLE, "4"), "dial", by="helper", place="Y")
    prove.judge(bench, other, kinds, by="owner")
    sheet = prove.acceptance(bench, "school", "mill", kinds)
    assert (sheet.lot, sheet.machine, sheet.provisional) == ("school", "mill", ())
    assert sheet.cautions == ("Nobody under a raised machine.", "Keep hands out of the travel.")
    told = [(row.title, row.value, row.unit, row.ruling, row.by) for row in sheet.rows]
    assert told == [
        ("Level", 4.0, "µm/m", "proved_good", "owner"),
        ("Backlash, X", 21.0, "µm", "proved_bad", "owner"),
        (f"Backlash, X: {WEAR}", 14.0, "µm", "not_proved", "owner"),
        ("Backlash, Y", 4.0, "µm", "proved_good", "helper"),
        (f"Backlash, Y: {WEAR}", 0.0, "µm", "not_proved", "helper"),
    ]
    assert "nobody has said how far" in sheet.rows[2].why
    row = sheet.rows[0]
    assert (row.uncertainty, row.limit, row.mark) == (10.0, 40.0, "from memory, unverified")
    assert (row.instrument, row.standard, row.edition) == ("frame level", "ISO 230-1", "2012")
    assert row.when == prove.open_set(bench, level, kinds).record.observed_at


def test_what_changed_since_it_was_judged_is_not_accepted(bench, kinds, measure, level_machine):
    id = measure("backlash", WHOLE, "dial")
    prove.judge(bench, id, kinds, by="owner")
    prove.keep_reading(bench, id, "middle_1", "9", kinds, by="owner")
    (apart,) = prove.acceptance(bench, "school", "mill", kinds).provisional
    assert apart == "Backlash: readings, limit or instrument changed since: judge it again"
    prove.keep_reading(bench, level_machine, "along_1", "90", kinds, sure=True, by="owner")
    prove.judge(bench, level_machine, kinds, by="owner")
    sheet = prove.acceptance(bench, "school", "mill", kinds)
    assert sheet.provisional == ("Backlash: provisional, machine not level",)
    assert [row.ruling for row in sheet.rows] == ["proved_bad"]


def test_another_limit_of_the_table_may_be_chosen(bench, kinds, level_machine):
    begun = prove.begin(
        bench, "school", "mill", "backlash", {"limit": "wear_centre"}, kinds, by="owner"
    )
    prove.keep_readings(bench, begun.id, WHOLE, kinds, by="owner")
    assert prove.open_set(bench, begun.id, kinds).limit_id == "wear_centre"
    judged = prove.judge(bench, begun.id, kinds, by="owner")
    assert (judged.proof.verdict.key, judged.proof.verdict.value) == ("wear_centre_um", 14.0)
    titles = [row.title for row in prove.acceptance(bench, "school", "mill", kinds).rows[1:]]
    reversal = kinds["vertical_machining_centre"].limits["backlash"].name
    assert titles == ["Backlash", f"Backlash: {reversal}"]
    with pytest.raises(Unknown, match="no limit level"):
        prove.begin(bench, "school", "mill", "backlash", {"limit": "level"}, kinds, by="owner")


def test_a_machine_renamed_keeps_its_readings(bench, kinds, measure, level_machine):
    id = measure("backlash", WHOLE, "dial")
    prove.judge(bench, id, kinds, by="owner")
    mill = worth.machine_of(bench, "school", "mill")
    worth.correct(bench, Machine, mill.id, name="mill by the door", by="owner")
    assert len(prove.results(bench, "school", "mill by the door")) == 2
    assert prove.bench(bench, "school", mill.id, kinds).machine_name == "mill by the door"
    assert verify_chain(bench) == []
