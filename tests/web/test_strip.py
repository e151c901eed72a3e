from __future__ import annotations

import re

import httpx
import pytest
from tests.paper.reading import text_of as paper_text
from tests.web.conftest import jpeg
from tests.web.measuring import CODE, first
from tests.web.visitor import Visitor, text_of, values

from retrue.web.app import ROUTES

READY = "enclosure"  # a place whose list has two shots and a wipe before it is cleaned


@pytest.fixture
def here(machine: str) -> str:
    return machine + "/strip"


def photograph(grey: int = 90) -> list[tuple[str, tuple[str, bytes, str]]]:
    return [("picture", ("p.jpg", jpeg(grey), "image/jpeg"))]


def shoot(owner: Visitor, here: str, place: str, grey: int = 90, **more: str) -> httpx.Response:
    return owner.post(here + "/shots", {"place": place} | more, photograph(grey))


def completed(owner: Visitor, here: str, place: str = READY) -> None:
    """Everything of a place is photographed."""
    page = owner.get(f"{here}/places/{place}")
    for number, entry in enumerate(dict.fromkeys(values(page, "entry"))):
        shoot(owner, here, place, 40 + number, entry=entry)


def off(owner: Visitor, here: str, sort: str = "wire", **more: str) -> str:
    """Something is taken off; its code."""
    form = {"sort": sort, "place": "lighting", "from_end": "-X1:14", "to_end": "B3"} | more
    answer = owner.post(here + "/apart", form, follow=False)
    assert answer.status_code == 303, text_of(answer)
    return first(r"kept=([\w-]+)", answer.headers["location"])


def part_of(page: httpx.Response, id: str) -> str:
    return page.text[page.text.index(f'id="{id}"') :].partition("</section>")[0]


class TestTheFirstNight:
    def test_it_is_one_page_in_the_order_of_the_evening(self, owner: Visitor, here: str) -> None:
        page = owner.get(here + "/night")
        places = [page.text.index(f'id="{id}"') for id in
                  ("safe", "dies", "camera", "wipe", "tomorrow")]  # fmt: skip
        assert places == sorted(places)
        assert part_of(page, "safe").count('class="tick"') == 6

    def test_a_caution_stands_before_the_tick_it_belongs_to(
        self, owner: Visitor, here: str
    ) -> None:
        lock = first(r'(<li id="T01">.*?</li>)', owner.get(here + "/night").text.replace("\n", ""))
        assert lock.index('class="caution"') < lock.index('class="tick"')
        assert "local code" in lock

    def test_a_tick_is_kept_and_pressed_again_it_is_taken_back(
        self, owner: Visitor, here: str
    ) -> None:
        tick = {"back": "night", "list": "first_night", "item": "T01"}
        page = owner.post(here + "/ticks", tick)
        assert page.url.path.endswith("/night")
        assert page.text.count('aria-pressed="true"') == 1
        record = next(value for value in values(page, "record") if value)
        page = owner.post(here + "/ticks", tick | {"record": record})
        assert 'aria-pressed="true"' not in page.text

    def test_no_list_and_no_page_of_ours_is_said_so(self, owner: Visitor, here: str) -> None:
        assert owner.post(here + "/ticks", {"list": "no", "item": "T01"}).status_code == 404
        tick = {"back": "//elsewhere", "list": "first_night", "item": "T01"}
        answer = owner.post(here + "/ticks", tick, follow=False)
        assert answer.headers["location"] == f"{here}#T01"

    def test_the_volts_of_the_cell_are_read_on_it(self, owner: Visitor, here: str) -> None:
        form = {"entry": "A17", "back": "night", "reading": "3,6", "unit": "V"}
        page = owner.post(here + "/places/cabinet", form)
        assert 'value="3.6"' in part_of(page, "dies")

    def test_a_place_is_counted_and_names_what_comes_next(self, owner: Visitor, here: str) -> None:
        before = owner.get(here + "/night?place=cabinet")
        assert "Whole plate from 1 m" in first(r'id="takes".*?<b>(.*?)</b>', before.text)
        page = shoot(owner, here, "cabinet", back="night")
        assert "Each plug with its number" in first(r'id="takes".*?<b>(.*?)</b>', page.text)
        assert '<span data-count="shot:cabinet">1</span>' in page.text

    def test_what_may_be_cleaned_tomorrow_follows(self, owner: Visitor, here: str) -> None:
        assert "Enclosure, doors" not in part_of(owner.get(here + "/night"), "tomorrow")
        completed(owner, here)
        assert "Enclosure, doors" in part_of(owner.get(here + "/night"), "tomorrow")

    def test_the_outbox_hears_the_id_alone_and_sending_twice_keeps_once(
        self, owner: Visitor, here: str
    ) -> None:
        form = {"id": "8d1c2ab6-0000-4000-8000-000000000001", "place": "cabinet"}
        json = {"headers": {"accept": "application/json"}}
        for _ in range(2):
            answer = owner.post(here + "/shots", form, photograph(), **json)
            assert answer.json() == {"id": form["id"], "schema": "kept/1"}
        assert '<span data-count="shot:cabinet">1</span>' in owner.get(here + "/night").text
        tick = {"id": form["id"][:-1] + "2", "list": "first_night", "item": "T02"}
        assert owner.post(here + "/ticks", tick, **json).json()["id"] == tick["id"]
        refused = owner.post(here + "/shots", {"place": "nowhere"}, photograph(), **json)
        assert refused.status_code == 404
        assert refused.json()["reason"]

    def test_no_photograph_and_no_picture_are_refused(self, owner: Visitor, here: str) -> None:
        assert owner.post(here + "/shots", {"place": "cabinet"}).status_code == 422
        bad = ("pictures", ("p.jpg", b"no picture", "image/jpeg"))
        good = ("pictures", ("q.jpg", jpeg(), "image/jpeg"))
        page = owner.post(here + "/shots", {"place": "cabinet"}, [bad, good])
        assert page.status_code == 422
        assert "p.jpg" in text_of(page) or "1 were not kept" in text_of(page)
        assert '<span data-count="shot:cabinet">1</span>' in owner.get(here + "/night").text

    def test_five_ticks_leave_it_every_evening(self, owner: Visitor, here: str) -> None:
        page = owner.get(here + "/evening")
        items = values(page, "item")
        assert len(items) == 5
        for item in items:
            assert "It may be left" not in text_of(page)
            tick = {"back": "evening", "list": "evening", "item": item,
                    "observed_at": "2026-11-25T20:30"}  # fmt: skip
            page = owner.post(here + "/ticks", tick)
        assert "It may be left" in text_of(page)


class TestAPlace:
    def test_the_list_of_places_leads_to_each(
        self, owner: Visitor, here: str, machine: str
    ) -> None:
        assert f'href="{here}"' in owner.get(machine).text
        page = owner.get(here)
        for path in set(re.findall(rf'href="({re.escape(here)}/places/[^"#]+)"', page.text)):
            assert owner.get(path).status_code == 200, path
        for path in ("/night", "/apart", "/remaining", "/cleaning", "/files", "/evening"):
            assert f'href="{here}{path}"' in page.text

    def test_cautions_stand_before_everything_else(self, owner: Visitor, here: str) -> None:
        page = owner.get(here + "/places/cabinet")
        assert page.text.index('class="caution"', page.text.index("<h1>")) < page.text.index(
            'id="next"'
        )

    def test_cleaning_is_refused_with_the_list_and_nothing_typed_is_lost(
        self, owner: Visitor, here: str
    ) -> None:
        form = {"muck": "oil", "hours": "1.5", "waste_kg": "3", "text": "thick"}
        page = owner.post(f"{here}/places/{READY}/cleaned", form)
        assert page.status_code == 409
        refused = page.text[page.text.index('id="refused"') :].partition("</div>")[0]
        assert refused.count("<li>") == 3
        assert "Inside from the door" in refused
        for kept in ('value="1.5"', 'value="3"', 'value="thick"', 'value="oil" checked'):
            assert kept in page.text
        completed(owner, here)
        page = owner.post(f"{here}/places/{READY}/cleaned", form)
        assert page.status_code == 200, text_of(page)
        assert "Cleaned already" in text_of(page)
        assert owner.post(f"{here}/places/{READY}/cleaned", {}).status_code == 422

    def test_a_line_is_done_later_or_not_possible_because(self, owner: Visitor, here: str) -> None:
        path = here + "/places/cabinet"
        said = owner.post(path, {"entry": "A15", "back": "places/cabinet", "why": "no instrument"})
        assert "because: no instrument" in text_of(said)
        later = owner.post(path, {"entry": "A16", "back": "places/cabinet", "state": "later"})
        assert re.search(r'class="sheet entry later" id="A16"', later.text)
        words = {"entry": "A16", "back": "places/cabinet", "state": "not_possible",
                 "because": "plate painted over"}  # fmt: skip
        assert "plate painted over" in text_of(owner.post(path, words))
        read = {"entry": "A15", "back": "places/cabinet", "state": "done", "reading": "12",
                "unit": "MΩ", "text": "motor X"}  # fmt: skip
        page = owner.post(path, read)
        assert "12" in first(r'(id="A15".*?</article>)', page.text.replace("\n", " "))
        assert "motor X" in text_of(page)

    def test_enter_in_a_reason_says_not_possible_and_nothing_else(
        self, owner: Visitor, here: str
    ) -> None:
        """WHATWG HTML, 4.10.21.2: Enter presses the first submit button of the field's form."""
        page = owner.get(here + "/places/cabinet")
        forms = re.findall(r"<form.*?</form>", page.text, re.DOTALL)
        reasons = [one for one in forms if 'name="because"' in one]
        assert len(reasons) > 3
        for form in reasons:
            assert form.count("<button") == 1
            assert 'name="state" value="not_possible"' in form
            assert "Keep: not possible" in form
        ids = [first(r'name="id" value="([^"]+)"', form) for form in forms if 'name="id"' in form]
        assert len(ids) == len(set(ids))

    def test_a_wrong_number_comes_back_beside_what_was_typed(
        self, owner: Visitor, here: str
    ) -> None:
        form = {"entry": "A15", "state": "done", "reading": "much", "text": "motor X"}
        page = owner.post(here + "/places/cabinet", form)
        assert page.status_code == 422
        assert 'value="much"' in page.text
        assert 'value="motor X"' in page.text

    def test_what_is_always_allowed_is_never_refused(self, owner: Visitor, here: str) -> None:
        page = owner.get(here + "/places/axis_x")
        items = values(page, "item")
        assert len(items) == 10
        for item in items:
            tick = {"back": "places/axis_x", "list": "allowed", "item": item}
            assert owner.post(here + "/ticks", tick).status_code == 200

    def test_its_photographs_stand_small_beside_their_line(self, owner: Visitor, here: str) -> None:
        page = shoot(owner, here, "cabinet", entry="A12", back="places/cabinet")
        line = first(r'(id="A12".*?</article>)', page.text.replace("\n", " "))
        assert owner.get(first(r'src="([^"]+)"', line)).status_code == 200


class TestApart:
    def test_what_is_kept_shows_its_code_and_offers_the_same_again(
        self, owner: Visitor, here: str
    ) -> None:
        code = off(owner, here, what="lamp wire")
        page = owner.get(f"{here}/apart?kept={code}")
        assert first(r'class="label num">([^<]+)<', page.text) == code
        assert CODE.search(code)
        again = owner.get(f"{here}/apart?same={code}")
        assert 'value="-X1:14"' in again.text
        assert 'value="lamp wire"' in again.text
        assert 'value="wire" checked' in again.text

    def test_nothing_comes_apart_before_it_is_read(self, owner: Visitor, here: str) -> None:
        form = {"sort": "part", "place": "axis_x", "what": "cover", "torque_nm": "12"}
        page = owner.post(here + "/apart", form)
        assert page.status_code == 409
        assert 'value="cover"' in page.text
        assert "Backlash" in page.text[page.text.index('id="refused"') :].partition("</div>")[0]

    def test_empty_picks_and_wrong_numbers_are_named(self, owner: Visitor, here: str) -> None:
        assert owner.post(here + "/apart", {"place": "lighting"}).status_code == 422
        assert owner.post(here + "/apart", {"sort": "bag"}).status_code == 422
        form = {"sort": "bag", "place": "lighting", "count": "some", "what": "screws"}
        page = owner.post(here + "/apart", form)
        assert page.status_code == 422
        assert 'value="screws"' in page.text

    def test_a_photograph_belongs_to_the_label(self, owner: Visitor, here: str) -> None:
        form = {"id": "8d1c2ab6-0000-4000-8000-000000000003", "sort": "hose", "place": "lighting"}
        assert "where one of its ends" in text_of(owner.post(here + "/apart", form))
        form["from_end"] = "lamp"
        page = owner.post(here + "/apart", form, photograph(70))
        code = first(r'class="label num">([^<]+)<', page.text)
        label = owner.get(f"{here}/apart/{code}")
        assert label.text.count("/shown/small") == 1
        taken = values(label, "taken")[0]
        more = {"place": "lighting", "taken": taken, "back": f"apart/{code}"}
        page = owner.post(here + "/shots", more, photograph(80))
        assert page.url.path.endswith(code)
        assert page.text.count("/shown/small") == 2

    def test_a_typed_code_leads_to_its_line_from_anywhere(self, owner: Visitor, here: str) -> None:
        code = off(owner, here)
        page = owner.get(f"/labels?code={code.replace('-', '').lower()}")
        assert page.url.path == f"{here}/apart/{code}"
        assert "-X1:14" in text_of(page)
        assert owner.get("/labels?code=0000").status_code == 422

    def test_what_is_not_yet_back_stands_last_first_and_empty_says_so(
        self, owner: Visitor, here: str
    ) -> None:
        codes = [off(owner, here, what=f"wire {n}") for n in range(3)]
        page = owner.get(here + "/remaining")
        assert re.findall(r'class="code num" href="[^"]+/([\w-]+)"', page.text) == codes[::-1]
        page = owner.post(f"{here}/apart/{codes[1]}", {"back": "remaining"})
        assert page.url.path.endswith("/remaining")
        assert codes[1] not in page.text
        owner.post(f"{here}/apart/{codes[0]}", {"torque_nm": "9.5"})
        page = owner.post(f"{here}/apart/{codes[2]}", {"back": "remaining"})
        assert "Everything that was taken off is back" in text_of(page)
        assert "put back" in text_of(owner.get(f"{here}/apart/{codes[0]}"))

    def test_a_wrong_torque_keeps_the_label_off(self, owner: Visitor, here: str) -> None:
        code = off(owner, here)
        page = owner.post(f"{here}/apart/{code}", {"torque_nm": "hand", "text": "tight"})
        assert page.status_code == 422
        assert 'value="tight"' in page.text
        assert code in owner.get(here + "/remaining").text
        assert owner.get(here + "/apart/3333-3333").status_code == 404

    def test_labels_and_bag_tags_print(self, owner: Visitor, here: str) -> None:
        assert owner.get(here + "/labels.pdf").status_code == 422
        wire = off(owner, here, what="lamp wire")
        bag = off(owner, here, "bag", what="screws", count="8", torque_nm="9.5", shim_mm="0.2")
        labels, bags = owner.get(here + "/labels.pdf"), owner.get(here + "/bags.pdf?paper=letter")
        assert labels.headers["content-type"] == bags.headers["content-type"] == "application/pdf"
        on_labels, on_bags = (paper_text(one.content).replace("- ", "-") for one in (labels, bags))
        assert wire in on_labels
        assert bag not in on_labels
        assert bag in on_bags
        assert "9.5 Nm" in on_bags

    def test_the_log_and_the_first_night_print_what_is_kept(
        self, owner: Visitor, here: str
    ) -> None:
        code = off(owner, here, what="lamp wire")
        log = paper_text(owner.get(here + "/log.pdf").content).replace("- ", "-")
        assert code in log
        assert "Not yet back" in log
        night = paper_text(owner.get(here + "/night.pdf").content)
        assert night.index("Main switch off") < night.index("It may be left")
        assert code not in night.replace("- ", "-")


class TestCleaning:
    def test_the_readings_stand_after_their_caution(self, owner: Visitor, here: str) -> None:
        reading = {"place": "cabinet", "point": "motor X", "sort": "insulation", "unit": "MΩ",
                   "when": "before", "reading": "2"}  # fmt: skip
        part = part_of(owner.post(here + "/cleaning", reading), "readings")
        assert part.index("Insulation is read locked off") < part.index("<table")

    def test_cautions_and_never_stand_before_how_and_how_much(
        self, owner: Visitor, here: str
    ) -> None:
        page = owner.get(here + "/cleaning?muck=conductive")
        muck = first(r'(<details[^>]*id="conductive".*?</details>)', page.text.replace("\n", " "))
        order = [muck.index(words) for words in ("caution", "Never:", "How</b>", "<table", "bin:")]
        assert order == sorted(order)
        assert " open>" in muck[:80]
        assert page.text.count("<details") == 7

    def test_a_reading_before_and_after_is_told_by_shape_and_word(
        self, owner: Visitor, here: str
    ) -> None:
        reading = {"place": "cabinet", "point": "motor X", "sort": "insulation", "unit": "MΩ",
                   "air_c": "20", "humidity_percent": "50"}  # fmt: skip
        page = owner.post(here + "/cleaning", reading | {"when": "before", "reading": "2"})
        assert "too close to call" in text_of(page)
        page = owner.post(here + "/cleaning", reading | {"when": "after", "reading": "300"})
        assert re.search(r'class="shape good">\s*in\s*<', page.text), text_of(page)

    def test_what_is_missing_is_asked_for_and_the_rest_stays(
        self, owner: Visitor, here: str
    ) -> None:
        page = owner.post(here + "/cleaning", {"place": "cabinet", "point": "ledge"})
        assert page.status_code == 422
        assert 'value="ledge"' in page.text


class TestFiles:
    def test_a_file_is_kept_with_its_checksum_and_read_back(
        self, owner: Visitor, here: str
    ) -> None:
        assert owner.post(here + "/files", {"sort": "parameters"}).status_code == 422
        sent = [("file", ("all.txt", b"N1 P2\n", "text/plain"))]
        page = owner.post(here + "/files", {"sort": "parameters"}, sent)
        # by sha256sum of GNU coreutils
        assert "f4f420193458a96aa1bf5457d1f288bf2adb7822490e924cd1f10bc5375c5dc5" in page.text
        assert "Not read back yet" in text_of(page)
        file = first(rf'action="({re.escape(here)}/files/[^"]+)"', page.text)
        page = owner.post(file, {}, [("copy", ("b.txt", b"N1 P3\n", "text/plain"))])
        assert "not the same" in text_of(page)
        page = owner.post(file, {}, [("copy", ("b.txt", b"N1 P2\n", "text/plain"))])
        assert "the same, to the last sign" in text_of(page)
        assert owner.post(file, {}).status_code == 422


def test_every_form_and_page_of_taking_apart_was_tried_here() -> None:
    strip = "/lots/{lot}/machines/{machine}/strip"
    pages = {"", "/night", "/evening", "/ticks", "/back", "/shots", "/places/{place}",
             "/places/{place}/cleaned", "/apart", "/apart/{code}", "/remaining", "/labels.pdf",
             "/bags.pdf", "/log.pdf", "/night.pdf", "/cleaning", "/files",
             "/files/{file}"}  # fmt: skip
    tried = {"/labels"} | {strip + path for path in pages}
    paths = {getattr(route, "path", "") for route in ROUTES}
    assert {path for path in paths if re.search("/strip(/|$)|^/labels", path)} == tried
