"""The condition record on its page: closed with links, guards by one tap, given, checked."""

from __future__ import annotations

import re
from collections.abc import Mapping

import pytest
from httpx import Response
from tests.recorded import bare, cleared, guard, ready, say
from tests.web.visitor import Visitor, text_of

from retrue.kinds.library import Kind
from retrue.records.settling import Included, RecordGiven
from retrue.records.shop import RecordShop

Kinds = Mapping[str, Kind]
MILL = "vertical_machining_centre"


@pytest.fixture
def shop(owner: Visitor) -> RecordShop:
    kept: RecordShop = owner.app.state.shop
    return kept


def page(at: tuple[str, str]) -> str:
    return f"/lots/{at[0]}/machines/{at[1]}/settle/record"


def test_closed_it_says_what_is_open_with_where_it_is_cleared(owner, shop, kinds: Kinds):
    at = bare(shop)
    answer = owner.get(page(at) + "?as=as_found")
    assert answer.status_code == 200
    text = text_of(answer)
    stops = sum(one.urgency == "STOP" for one in kinds[MILL].faults.values())
    assert f"{stops + 9} things are open" in text
    assert f"Stop items that nobody cleared: {stops}" in text
    assert f'href="/lots/{at[0]}/machines/{at[1]}/find"' in answer.text
    assert 'href="#guard-door_interlock"' in answer.text
    assert "/record/give" not in answer.text
    assert text.index("A bridged door switch") < text.index("things are open")


def test_sold_as_parts_it_can_be_given_and_says_so(owner, shop):
    at = bare(shop)
    answer = owner.get(page(at) + "?as=parts")
    assert "Sold as parts. Not to be put in use as a machine." in text_of(answer)
    assert "/record/give" in answer.text


def test_guards_are_said_by_one_tap_each_and_the_record_opens(owner, shop, kinds: Kinds):
    at = bare(shop)
    cleared(shop, at, kinds[MILL])
    for one in kinds[MILL].guards.values():
        state = "not_fitted" if one.optional else "proved"
        form = {"what": one.name, "state": state, "grade": "3", "sold_as": "as_found"}
        answer = owner.post(page(at) + "/include", form)
        assert answer.status_code == 200, text_of(answer)
    assert "It can be given away." in text_of(answer)


def test_a_proof_from_a_picture_is_refused_on_the_page(owner, shop):
    at = bare(shop)
    form = {"what": "Door interlock", "state": "proved", "grade": "1"}
    answer = owner.post(page(at) + "/include", form)
    assert answer.status_code == 422
    assert "nothing is proved by a picture or a word" in text_of(answer)
    assert not shop.current(Included)
    answer = owner.post(page(at) + "/include", {"what": "manual", "grade": "9"})
    assert answer.status_code == 422
    assert "Pick one" in text_of(answer)


@pytest.mark.parametrize("state", ["proved", "not_fitted"])
def test_a_proof_without_a_grade_is_refused_on_the_page(owner, shop, state):
    at = bare(shop)
    form = {"what": "Changer door", "state": state, "grade": ""}
    answer = owner.post(page(at) + "/include", form)
    assert answer.status_code == 422
    assert not shop.current(Included)
    owner.post(page(at) + "/include", {"what": "manual", "goes": "goes_with"})
    [kept] = shop.current(Included)
    assert kept.fact.grade == 0  # how he knows was not said: told


def test_what_was_kept_is_said_with_a_way_back(owner, shop, kinds: Kinds):
    at = ready(shop, kinds)
    form = {"what": "Door interlock", "state": "defeated", "grade": "3", "sold_as": "running"}
    answer = owner.post(page(at) + "/include", form)
    assert "Kept: Door interlock: defeated." in text_of(answer)
    newest = shop.current(Included)[-1]
    back = {"record": newest.id, "back": page(at) + "?as=running"}
    answer = owner.post("/settle/take-back", back)
    assert answer.status_code == 200
    assert shop.current(Included)[-1].fact.state != "defeated"
    answer = owner.post(page(at) + "/give", {"sold_as": "running", "id": "g1"})
    assert "Kept: the record of 2026-11-25, given away." in text_of(answer)
    assert owner.get(page(at) + "?kept=nothing").status_code == 200


def test_a_record_that_does_not_stand_any_more_is_served_only_by_its_id(owner, shop, kinds: Kinds):
    at = ready(shop, kinds)
    owner.post(page(at) + "/give", {"sold_as": "running", "id": "g1"})
    [kept] = shop.current(RecordGiven)
    assert owner.get(page(at) + ".json").status_code == 200
    guard(shop, at, "Door interlock", "defeated", 3)
    for ending in (".json", ".pdf"):
        answer = owner.get(page(at) + ending)
        assert answer.status_code == 409
        assert "superseded: today it could not be given, 1 things are open" in text_of(answer)
    assert owner.get(page(at) + f".json?given={kept.id}").status_code == 200
    assert "today it could not be given" in text_of(owner.get(page(at)))
    guard(shop, at, "Door interlock")
    owner.post(page(at) + "/give", {"sold_as": "as_found", "id": "g2"})
    assert "uperseded by the one of 2026-11-25" in text_of(owner.get(page(at)))


def test_what_it_would_say_otherwise_is_said_in_words(owner, shop, kinds: Kinds):
    at = ready(shop, kinds)
    owner.post(page(at) + "/give", {"sold_as": "running", "id": "g1"})
    say(shop, at, check="C10", answer="severe")
    answer = owner.get(page(at) + "?as=running")
    told = answer.text[answer.text.index('id="given"') :]
    assert "things otherwise" in told
    assert kinds[MILL].checks["C10"].text in told
    for raw in ("stated", "reported.", "{&#34;", "&#34;how&#34;"):
        assert raw not in told, raw


def test_every_part_after_the_known_faults_is_folded(owner, shop, kinds: Kinds):
    at = ready(shop, kinds)
    answer = owner.get(page(at) + "?as=running").text
    for part in ("as_found", "stages", "untested", "include"):
        assert f'<details id="{part}">' in answer, part
    assert answer.count('class="caution shortcaution"') >= 2  # of the sale and of the guards
    assert "A list of looks, not of faults" in answer


def test_a_state_is_said_once_and_what_opened_a_guard_again_is_said_whole(
    owner, shop, kinds: Kinds
):
    at = bare(shop)
    assert "Not tested." not in close_up(owner.get(page(at)))
    guard(shop, at, "Door interlock")
    assert "Door interlock: proved. Seen by An on 2026-11-25." in close_up(owner.get(page(at)))
    say(shop, at, check="C121", answer="seen")
    text = close_up(owner.get(page(at)))
    assert "Door interlock: not tested. Proved on 2026-11-25, and not again since: Door" in text


def close_up(answer: Response) -> str:
    """The text without the blanks that tags leave before a point."""
    return re.sub(r" ([:.,])", r"\1", text_of(answer))


def test_where_nothing_is_listed_it_is_shown_as_found(owner, shop, kinds: Kinds):
    at = ready(shop, kinds)
    assert "Sold as found" in text_of(owner.get(page(at)))


def test_it_is_given_and_taken_away_as_pdf_and_file_and_checked(owner, shop, kinds: Kinds):
    at = ready(shop, kinds)
    assert owner.get(page(at) + ".pdf").status_code == 409
    answer = owner.post(page(at) + "/give", {"sold_as": "running", "whom": "Bea", "id": "g1"})
    assert answer.status_code == 200
    [kept] = shop.current(RecordGiven)
    assert "Bea" in text_of(answer)
    groups = re.findall("....", kept.fact.content_sha256)
    assert " ".join(groups) in text_of(answer)
    pdf = owner.get(page(at) + f".pdf?given={kept.id}")
    file = owner.get(page(at) + ".json")
    assert pdf.content.startswith(b"%PDF")
    for one, name in ((pdf, "a.pdf"), (file, "a.json")):
        checked = owner.post("/settle/check", {}, [("file", (name, one.content, "x/y"))])
        text = text_of(checked)
        assert "Unchanged" in text, text
        assert "gave to Bea" in text
        assert "Whether what it says is true" in text
    other = file.content.replace(b"Seen by An", b"Seen by Bo", 1)
    text = text_of(owner.post("/settle/check", {}, [("file", ("a.json", other, "x/y"))]))
    assert "It is not as it was made" in text
    assert "Seen by Bo" in text


def test_what_is_closed_is_not_given_and_says_what_is_open(owner, shop, kinds: Kinds):
    at = ready(shop, kinds)
    guard(shop, at, "Door interlock", "defeated", 4)
    answer = owner.post(page(at) + "/give", {"sold_as": "running"})
    assert answer.status_code == 409
    assert "Door interlock: defeated" in text_of(answer)
    assert not shop.current(RecordGiven)


def test_what_is_no_record_is_refused_on_the_page_of_the_check(owner):
    assert owner.get("/settle/check").status_code == 200
    assert owner.post("/settle/check", {}).status_code == 422
    answer = owner.post("/settle/check", {}, [("file", ("a.json", b"{}", "x/y"))])
    assert answer.status_code == 422
    assert "this is no condition record" in text_of(answer)
