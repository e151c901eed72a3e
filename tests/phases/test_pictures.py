"""Photographs: kept once, sorted, judged one at a time with one tap an answer."""

from __future__ import annotations

from dataclasses import dataclass

import pytest

from retrue.base.refusals import NotYet, Unknown, Unreadable
from retrue.phases import worth
from retrue.phases.worth import CANT_TELL, NOTHING_BAD
from retrue.records.facts import File, Finding, Moved, Note

SHOPS = ("on disk",)  # that the other shop keeps alike is proved in tests/store
SUM = {"seed": 7, "worlds": 200}  # how good a price is, is tested with the prices


@dataclass(frozen=True)
class Proved:
    media_type: str
    taken: str | None = None


def prove(content: bytes, name: str) -> Proved:
    if content.startswith(b"bad"):
        raise Unreadable("not a photograph", remedy="Take it again.")
    return Proved("video/mp4" if name.endswith(".mp4") else "image/jpeg")


def keep(shop, name: str = "a.jpg", **more) -> str:
    record = worth.keep_picture(shop, "school", name.encode(), name, prove, by="owner", **more)
    return record.id


def said(shop) -> set[tuple[str | None, str]]:
    return {(r.fact.check or r.fact.history, r.fact.answer) for r in shop.current(Finding)}


def test_many_are_kept_and_a_bad_one_is_named_without_losing_the_others(shop, lot):
    contents = [("a.jpg", b"one"), ("b.jpg", b"bad"), ("c.jpg", b"three")]
    kept, refused = worth.keep_pictures(shop, "school", contents, prove, by="owner", id="x")
    assert [record.fact.name for record in kept] == ["a.jpg", "c.jpg"]
    assert [(problem.where, problem.remedy) for problem in refused] == [("b.jpg", "Take it again.")]
    assert shop.file(kept[1].fact.sha256) == b"three"
    again, _ = worth.keep_pictures(shop, "school", contents, prove, by="owner", id="x")
    assert [record.id for record in again] == [record.id for record in kept]


def test_an_unsorted_picture_offers_views_and_waits_to_be_sorted(shop, lot, kinds):
    id = keep(shop)
    look = worth.next_picture(shop, "school", kinds)
    assert (look.id, look.shot, look.answers, look.left) == (id, None, (), 1)
    assert look.views[0].view
    with pytest.raises(NotYet):
        worth.tap(shop, "school", id, NOTHING_BAD, kinds, by="owner", **SUM)
    look = worth.sort_picture(
        shop, "school", id, kinds, shot="W_inside", machine="lathe", by="owner"
    )
    assert (look.shot.id, look.machine) == ("W_inside", "lathe")
    assert 4 <= len(look.answers) - 2 <= 6
    assert [answer.key for answer in look.answers[-2:]] == [NOTHING_BAD, CANT_TELL]
    with pytest.raises(Unknown):
        worth.sort_picture(shop, "school", id, kinds, shot="W_nothing", by="owner")


def test_every_view_that_is_offered_has_four_to_six_chips(kinds, shop, lot):
    id = keep(shop)
    for machine in ("mill", "lathe"):
        worth.sort_picture(shop, "school", id, kinds, machine=machine, by="owner")
        views = worth.picture(shop, "school", id, kinds).views
        assert len(views) > 20
        for shot in views:
            assert 4 <= len({chip.words for chip in shot.chips}) <= 6, (machine, shot.id)
    assert "W_chuck_turret" in {shot.id for shot in views}


def test_a_chip_keeps_all_that_it_says_and_the_price_answers(shop, lot, kinds):
    id = keep(shop, shot="S03", machine="mill")
    judged = worth.tap(shop, "school", id, "black dust", kinds, by="owner", **SUM)
    assert said(shop) == {("C12", "seen"), ("CD", "maybe")}
    first = judged.kept[0].fact
    assert (first.grade, first.channel, first.picture) == (1, "photo", id)
    assert judged.amounts[1] <= judged.amounts[0]
    assert len(shop.current(Moved)) == 1
    look = worth.picture(shop, "school", id, kinds)
    assert look.judged
    (tapped,) = [answer for answer in look.answers if answer.tapped]
    assert (tapped.words, len(tapped.kept)) == ("black dust", 2)
    assert worth.next_picture(shop, "school", kinds) is None


def test_nothing_bad_fills_only_what_was_not_answered_here(shop, lot, kinds):
    id = keep(shop, shot="S03", machine="mill")
    worth.tap(shop, "school", id, "black dust", kinds, by="owner", **SUM)
    worth.tap(shop, "school", id, NOTHING_BAD, kinds, by="owner", **SUM)
    assert said(shop) == {
        ("C12", "seen"),
        ("CD", "maybe"),
        ("C08", "not_seen"),
        ("C46", "not_seen"),
    }


def test_cannot_tell_is_judged_and_says_nothing(shop, lot, kinds):
    before = worth.price(shop, "school", kinds, **SUM).walk_away
    id = keep(shop, shot="S03", machine="mill")
    worth.tap(shop, "school", id, CANT_TELL, kinds, by="owner", **SUM)
    assert {answer for _, answer in said(shop)} == {"cant_tell"}
    assert worth.next_picture(shop, "school", kinds) is None
    assert worth.price(shop, "school", kinds, **SUM).walk_away == before


def test_of_two_things_seen_the_worse_counts_and_of_seen_and_not_seen_the_later(shop, lot, kinds):
    id = keep(shop, shot="S08", machine="mill")
    for words, answer in (
        ("dark band", "slight"),
        ("rust", "severe"),
        ("rings", "severe"),
    ):
        worth.tap(shop, "school", id, words, kinds, by="owner", **SUM)
        assert ("C138", answer) in said(shop)
    look = worth.picture(shop, "school", id, kinds)
    tapped = {answer.words for answer in look.answers if answer.tapped}
    assert {"dark band", "rust", "rings"} <= tapped
    (finding,) = shop.current(Finding, check="C138")
    assert finding.fact.text == "dark band / rust / rings"
    worth.withdraw(shop, finding.id, kinds, by="owner", **SUM)
    look = worth.picture(shop, "school", id, kinds)
    tapped = {answer.words for answer in look.answers if answer.tapped}
    assert tapped == {"rust"}  # it also hinted at old coolant, which still stands


def test_opposite_chips_take_each_others_place(shop, lot, kinds):
    id = keep(shop, shot="S11", machine="lathe")
    worth.tap(shop, "school", id, "milky", kinds, by="owner", **SUM)
    worth.tap(shop, "school", id, "clear oil", kinds, by="owner", **SUM)
    assert ("C13", "not_seen") in said(shop)
    assert len(shop.current(Finding, check="C13")) == 1


def test_the_same_tap_again_changes_nothing(shop, lot, kinds):
    id = keep(shop, shot="S11", machine="lathe")
    for _ in range(2):
        worth.tap(shop, "school", id, "milky", kinds, by="owner", id="tap", **SUM)
    assert len(shop.current(Finding)) == 2
    assert len(shop.current(Moved)) == 1


def test_too_heavy_is_a_note_about_the_need_and_no_finding_on_the_machine(shop, lot, kinds):
    id = keep(shop, shot="S01", machine="mill")
    worth.tap(shop, "school", id, "too heavy for me", kinds, by="owner", **SUM)
    worth.tap(shop, "school", id, "too heavy for me", kinds, by="owner", **SUM)
    assert shop.current(Finding) == []
    (note,) = shop.current(Note)
    assert (note.fact.text, note.fact.file) == ("too heavy for me", id)
    assert worth.picture(shop, "school", id, kinds).judged


def test_a_film_is_better_evidence_than_a_photograph(shop, lot, kinds):
    id = keep(shop, "b.mp4", shot="S19", machine="mill")
    judged = worth.tap(shop, "school", id, "growl", kinds, by="owner", **SUM)
    assert {record.fact.grade for record in judged.kept} == {2}


def test_a_sorted_picture_keeps_its_place_and_its_judgement(shop, lot, kinds):
    first, second = keep(shop, "a.jpg", shot="S11", machine="mill"), keep(shop, "b.jpg")
    worth.tap(shop, "school", first, "milky", kinds, by="owner", **SUM)
    worth.sort_picture(shop, "school", first, kinds, machine="lathe", by="owner")
    looks = worth.pictures(shop, "school", kinds)
    assert [look.id for look in looks] == [first, second]
    assert (looks[0].judged, looks[0].machine) == (True, "lathe")
    assert worth.next_picture(shop, "school", kinds).id == second


def test_other_files_are_no_photographs(shop, lot, kinds):
    fact = File(sha256="0" * 64, name="x.pdf", media_type="application/pdf", size_bytes=1,
                lot=lot.id)  # fmt: skip
    shop.add(fact, by="owner")
    assert worth.pictures(shop, "school", kinds) == []


def test_an_answer_or_a_picture_nobody_knows_is_refused(shop, lot, kinds):
    id = keep(shop, shot="S11", machine="lathe")
    with pytest.raises(Unknown) as told:
        worth.tap(shop, "school", id, "blue", kinds, by="owner", **SUM)
    assert "milky" in told.value.remedy
    with pytest.raises(Unknown):
        worth.picture(shop, "school", "nothing", kinds)
