"""The gate: by no way does something told, or seen on a photograph, become a fact."""

from __future__ import annotations

from dataclasses import fields, replace
from datetime import date
from decimal import Decimal

import msgspec
import pytest
from tests.fakes.shop import FakeShop
from tests.library import load
from tests.recorded import SELLER, bare, ready, say

from retrue.base.refusals import Unreadable
from retrue.cases.settle.condition import condition
from retrue.cases.settle.condition_file import (
    content_of,
    record_of,
)
from retrue.cases.settle.condition_kept import record_kept
from retrue.cases.settle.record_lines import (
    Claim,
    ConditionRecord,
    GuardLine,
    Part,
    Proved,
    Stated,
    part,
    told,
)
from retrue.cases.spot import find
from retrue.records.facts import Finding, Lot, Plate
from retrue.records.fixing import CardMarked
from retrue.records.moving import Arrived, DataCopy
from retrue.records.seeking import Act, Trouble
from retrue.records.settling import Included, Posting
from retrue.records.stripping import AsFound

KINDS = load()
ON = date(2026, 11, 26)
LOOK = "C12"


def made(shop: FakeShop, at: tuple[str, str], **more) -> ConditionRecord:
    spot = find(shop, *at, KINDS)
    return condition(record_kept(shop, spot, spot.kind), on=ON, sold_as="parts", **more)


def parts(record: ConditionRecord) -> list[Part]:
    every = [getattr(record, one.name) for one in fields(record)]
    return [one for one in every if isinstance(one, Part)]


def stated(record: ConditionRecord) -> str:
    return " | ".join(one.what for each in parts(record) for one in each.stated)


def reported(record: ConditionRecord) -> str:
    return " | ".join(f"{one.what} {one.how}" for each in parts(record) for one in each.reported)


@pytest.mark.parametrize("grade", [-1, 0, 1, 2, 6])
def test_nothing_but_grades_3_to_5_can_be_made_into_a_fact(grade):
    with pytest.raises(ValueError, match="no fact"):
        Stated(what="x", how="", grade=grade, on="")
    with pytest.raises(ValueError, match="closes no guard"):
        GuardLine(id="x", name="x", state="proved", words="", grade=grade, open=False)


@pytest.mark.parametrize("grade", [0, 1, 2, 3])
def test_a_result_is_measured_or_it_is_none(grade):
    whole = dict.fromkeys(("title", "unit", "source", "words", "apart", "on", "by"), "")
    with pytest.raises(ValueError, match="no measurement"):
        Proved(**whole, value=1.0, uncertainty=None, limit=None, ruling="", instrument="",
               certificate="", grade=grade)  # fmt: skip


def test_the_words_of_a_fact_say_how_and_those_of_a_report_never_do():
    for grade in range(6):
        one = told(Claim(what="x", grade=grade, by="An", on="2026-11-25"))
        fact = one.how.startswith(("Seen by", "Measured"))
        assert fact == (grade >= 3) == isinstance(one, Stated)
    for deed in ("", "done", "signed"):
        one = told(Claim(what="x", grade=2, by="An", on="2026-11-25", deed=deed))
        assert one.how == "seen on a film, 2026-11-25"


@pytest.mark.parametrize(
    ("grade", "channel", "informant"),
    [
        (0, "call", SELLER),
        (1, "photo", None),
        (2, "photo", None),  # a film
        (3, "photo", None),  # typed too high: a picture stays a picture
        (5, "photo", None),
        (4, "call", None),  # nobody measures by telephone
        (4, "visit_live", SELLER),  # the seller's word, whatever he says he did
        (1, "visit_dead", "a friend"),
    ],
)
def test_a_finding_below_grade_3_is_only_reported(grade, channel, informant):
    shop = FakeShop()
    at = bare(shop)
    say(shop, at, check=LOOK, answer="seen", grade=grade, channel=channel, informant=informant)
    record = made(shop, at)
    assert not stated(record)
    assert KINDS["vertical_machining_centre"].checks[LOOK].text in reported(record)
    assert "Seen by" not in reported(record)


def test_a_report_repeated_by_others_is_no_fact():
    shop = FakeShop()
    at = bare(shop)
    for who in (None, SELLER, "a friend", "another friend"):
        say(shop, at, check=LOOK, answer="seen", grade=1, channel="photo", informant=who)
    assert not stated(made(shop, at))


def test_a_fact_that_was_replaced_by_a_report_is_gone_and_the_other_way_round():
    shop = FakeShop()
    at = bare(shop)
    seen = Finding(lot=at[0], machine=at[1], check=LOOK, answer="seen", grade=3, channel="apart")
    first = shop.add(seen, by="An")
    photo = Finding(lot=at[0], machine=at[1], check=LOOK, answer="seen", grade=1)
    second = shop.add(photo, by="An", replaces=first.id)
    assert not stated(made(shop, at))
    shop.add(seen, by="An", replaces=second.id)
    assert stated(made(shop, at))
    assert not reported(made(shop, at))


def test_the_newest_of_the_highest_grade_stands_and_what_says_otherwise_is_reported():
    shop = FakeShop()
    at = bare(shop)
    say(shop, at, check=LOOK, answer="not_seen", grade=4)
    say(shop, at, check=LOOK, answer="seen", grade=4)
    say(shop, at, check=LOOK, answer="not_seen", grade=1, channel="photo")
    say(shop, at, check=LOOK, answer="severe", grade=0, channel="call", informant=SELLER)
    record = made(shop, at)
    [fact] = record.as_found.stated
    assert fact.what.endswith(": seen")
    others = sorted(one.how.partition(",")[0] for one in record.as_found.reported)
    assert others == ["measured by An on 2026-11-25", "reported by whoever sold it before",
                      "seen on a photograph"]  # fmt: skip


def test_free_words_never_carry_a_report_into_the_facts():
    """Of a finding the words are the library's; what somebody wrote beside it is left out."""
    shop = FakeShop()
    at = bare(shop)
    say(shop, at, check=LOOK, answer="seen", text="the photograph shows a cracked casting")
    shop.add(Trouble(lot=at[0], machine=at[1], symptom="Y01", words="it growls"), by="An")
    shop.add(Arrived(lot=at[0], machine=at[1], delivered_on="2026-11-20"), by="An")
    record = made(shop, at)
    assert "cracked casting" not in stated(record)
    assert "growls" not in stated(record)
    assert "growls" in reported(record)
    assert "Came on" not in stated(record)  # nobody looked for damage


def test_what_goes_with_it_has_the_grade_it_was_given():
    shop = FakeShop()
    at = bare(shop)
    for grade in range(6):
        fact = Included(lot=at[0], machine=at[1], what=f"thing {grade}", grade=grade)
        shop.add(fact, by="An")
    record = made(shop, at)
    assert {one.what[:7] for one in record.included.stated} == {"thing 3", "thing 4", "thing 5"}
    assert {one.what[:7] for one in record.included.reported} == {"thing 0", "thing 1", "thing 2"}


def test_nothing_is_measured_with_a_checked_instrument_that_nobody_names():
    bare_claim = told(Claim(what="x", grade=5, by="An", on="2026-11-25"))
    assert isinstance(bare_claim, Stated)
    assert (bare_claim.grade, bare_claim.how) == (4, "Measured by An on 2026-11-25")
    with_ = told(Claim(what="x", grade=5, by="An", on="2026-11-25", instrument="indicator 2"))
    assert with_.how == "Measured with indicator 2, checked, by An on 2026-11-25"
    shop = FakeShop()
    at = bare(shop)
    say(shop, at, check=LOOK, answer="seen", grade=5)
    goes = Included(lot=at[0], machine=at[1], what="Run-out 1 micron, as new", grade=5)
    shop.add(goes, by="An")
    guarded = Included(lot=at[0], machine=at[1], what="Door interlock", sort="guard",
                       state="proved", grade=5)  # fmt: skip
    shop.add(guarded, by="An")
    record = made(shop, at)
    hows = [one.how for each in parts(record) for one in each.stated]
    assert len(hows) == 3  # the finding stands as found and as known
    assert not any("checked" in how for how in hows)
    [included] = record.included.stated
    assert (included.grade, included.how) == (3, "Seen by An on 2026-11-25")
    [door] = [one for one in record.guards if one.id == "door_interlock"]
    assert (door.grade, door.words) == (4, "Proved. Measured by An on 2026-11-25.")


@pytest.mark.parametrize("informant", ["neighbour", "dealer", "Caretaker", "caretaker ", "seller"])
def test_the_word_of_anybody_else_is_told_whatever_grade_he_gave_it(informant):
    shop = FakeShop()
    at = bare(shop)
    say(shop, at, check=LOOK, answer="seen", grade=4, channel="visit_live", informant=informant)
    record = made(shop, at)
    assert not stated(record)
    seller = informant.strip().casefold() in (SELLER, "seller")
    who = "whoever sold it before" if seller else informant
    assert f"reported by {who}" in reported(record)


def test_a_seller_by_another_name_does_not_make_facts_of_what_he_said():
    shop = FakeShop()
    at = bare(shop)
    say(shop, at, check=LOOK, answer="seen", grade=4, channel="visit_live", informant=SELLER)
    lot = shop.current(Lot)[0]
    shop.add(replace(lot.fact, seller="school board"), by="An", replaces=lot.id)
    record = made(shop, at)
    assert not stated(record)
    assert "reported by whoever sold it before" in reported(record)


def test_a_card_that_says_the_guards_were_proved_proves_nothing():
    shop = FakeShop()
    at = bare(shop)
    here = {"lot": at[0], "machine": at[1]}
    card = KINDS["vertical_machining_centre"].jobs["J21"].name
    shop.add(CardMarked(**here, card="J21", how="done", marked_on="2026-11-25"), by="An")
    assert card not in stated(made(shop, at))
    assert f"{card}: done a mark that it was done; how each guard stands" in reported(
        made(shop, at)
    )
    shop.add(Act(**here, sort="adjust", job="J21"), by="An")
    assert card not in stated(made(shop, at))
    shop.add(CardMarked(**here, card="J22", how="done", marked_on="2026-11-25"), by="An")
    assert "Drawbar pull" in stated(made(shop, at))  # any other card is written down as ever


@pytest.mark.parametrize(
    ("make", "words"),
    [
        (lambda here: Act(**here, sort="call_for_help", seen="he says 2 micron"), "2 micron"),
        (lambda here: Act(**here, sort="observe", seen="he says 2 micron"), "2 micron"),
        (lambda here: Act(**here, sort="repair", fault="F01", seen="he says 2 micron"), "2 micron"),
        (lambda here: Posting(sort="moved", posted_on="2026-11-25", amount=Decimal(0), **here,
                              what="spindle, 0 hours, as new", from_stock="shelf"), "0 hours"),
        (lambda here: DataCopy(**here, sort="parameters", how="memory card"), "memory card"),
        (lambda here: Arrived(**here, delivered_on="2026-11-25", damage="none",
                              text="the driver says the ways are new"), "ways are new"),
        (lambda here: AsFound(**here, entry="A17", reading=2.0, unit="um",
                              text="told by seller"), "told by seller"),
        (lambda here: CardMarked(**here, card="J22", how="done", marked_on="2030-01-01"),
         "Drawbar pull"),
    ],
    ids=["called", "watched", "worked", "posting", "data", "arrived", "as found", "2030"],
)  # fmt: skip
def test_free_words_and_days_to_come_are_reported_and_never_stated(make, words):
    shop = FakeShop()
    at = bare(shop)
    shop.add(make({"lot": at[0], "machine": at[1]}), by="An")
    record = made(shop, at)
    assert words not in stated(record)
    assert words in reported(record)


def test_a_look_that_found_nothing_says_that_it_was_looked_for():
    shop = FakeShop()
    at = bare(shop)
    say(shop, at, check=LOOK, answer="not_seen")
    [one] = made(shop, at).as_found.stated
    assert one.what.endswith(": looked for, none found")


@pytest.mark.parametrize(
    "came",
    [
        lambda here: Act(**here, sort="call_for_help", seen="rang him up"),
        lambda here: AsFound(**here, entry="A17", state="later"),
    ],
)
def test_a_telephone_call_or_a_line_put_off_is_no_standing_at_the_machine(came):
    shop = FakeShop()
    at = bare(shop)
    shop.add(came({"lot": at[0], "machine": at[1]}), by="An")
    shop.add(Plate(machine=at[1], entry="N04", value="400"), by="An")
    assert not made(shop, at).title.stated


def test_a_value_typed_from_a_picture_stays_one_when_it_is_typed_again_without_it():
    shop = FakeShop()
    at = bare(shop)
    say(shop, at, check=LOOK, answer="seen")
    first = shop.add(Plate(machine=at[1], entry="N04", value="400", picture="p"), by="An")
    shop.add(Plate(machine=at[1], entry="N04", value="400"), by="An", replaces=first.id)
    assert not made(shop, at).title.stated
    shop.add(Plate(machine=at[1], entry="N04", value="415"), by="An")  # read anew, and other
    assert [one.what[-5:] for one in made(shop, at).title.stated] == ["415 V"]


def test_a_stamped_value_is_a_fact_only_once_somebody_stood_at_the_machine():
    shop = FakeShop()
    at = bare(shop)
    shop.add(Plate(machine=at[1], entry="N04", value="400"), by="An")
    assert not made(shop, at).title.stated
    say(shop, at, check=LOOK, answer="seen")
    assert not made(shop, at).title.stated  # it was typed before that
    shop.add(Plate(machine=at[1], entry="N04", value="400"), by="An")
    shop.add(Plate(machine=at[1], entry="N06", value="50", picture="p"), by="An")
    assert [one.what[-5:] for one in made(shop, at).title.stated] == ["400 V"]
    assert "seen on a photograph" in reported(made(shop, at))


def test_a_fault_that_was_cured_and_is_reported_again_is_only_reported():
    """What was seen before the work does not make a fact of what was said after it."""
    shop = FakeShop()
    at = bare(shop)
    say(shop, at, fault="F01", answer="present")
    assert made(shop, at).known.stated
    shop.add(Act(lot=at[0], machine=at[1], sort="replace", fault="F01", way="replace"), by="An")
    assert not made(shop, at).known.stated
    say(shop, at, fault="F01", answer="present", grade=1, channel="photo")
    assert not made(shop, at).known.stated
    assert made(shop, at).known.reported


def test_what_is_only_likely_is_never_a_fact():
    shop = FakeShop()
    at = bare(shop)
    record = made(shop, at, shares={"F01": 0.99})
    assert not record.known.stated
    assert "nobody saw it" in record.known.reported[0].how


def test_own_work_is_written_down_and_the_fault_it_was_for_is_not_thereby_seen():
    shop = FakeShop()
    at = bare(shop)
    shop.add(Act(lot=at[0], machine=at[1], sort="replace", fault="F01", way="replace"), by="An")
    record = made(shop, at)
    assert [one.how for one in record.done.stated] == ["Written down by An on 2026-11-25"]
    assert not record.known.stated


def test_a_file_that_states_a_photograph_is_no_record():
    """Also where somebody writes the file by hand, with checksums that fit."""
    shop = FakeShop()
    content = content_of(made(shop, ready(shop, KINDS)))
    content["looked"]["stated"] = [{"what": "x", "how": "Seen by An", "grade": 1, "on": ""}]
    with pytest.raises(Unreadable):
        record_of(content)
    with pytest.raises((msgspec.ValidationError, ValueError)):
        msgspec.convert(content, ConditionRecord)


def test_every_part_that_there_is_goes_through_the_gate():
    assert part([Claim(what="a", grade=1)], [Claim(what="b", grade=5)]).stated == ()
