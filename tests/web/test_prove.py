from __future__ import annotations

import re

import pytest
from starlette.routing import Route
from tests.web.measuring import (
    CODE,
    alike,
    begun,
    cells,
    fill,
    first,
    keep,
    levelled,
)
from tests.web.visitor import Visitor, text_of, values

from retrue.cases.prove.deed import MODULES
from retrue.cases.prove.deed import deed as the_deed
from retrue.web.app import ROUTES


class TestTheBench:
    def test_the_daily_five_stand_first_and_level_is_next(
        self, owner: Visitor, machine: str
    ) -> None:
        page = owner.get(machine + "/measure")
        listed = re.findall(r'id="test-([a-z]+)"', page.text)
        assert listed[:5] == ["level", "sweep", "taper", "backlash", "float"]
        assert sorted(listed) == sorted(MODULES)
        assert page.text.index("locked off") < page.text.index('id="next"')
        following = page.text[page.text.index('id="next"') :]
        assert following.index("/measure/level/new") < following.index("Provisional")
        assert text_of(page).count("not measured") >= len(MODULES)

    def test_an_unfinished_set_is_gone_on_with(self, owner: Visitor, machine: str) -> None:
        set = begun(owner, machine, "level")
        assert f'href="{set}"' in owner.get(machine + "/measure").text

    def test_a_proved_level_frees_the_others(
        self, owner: Visitor, machine: str, instruments: None
    ) -> None:
        assert "not level" in text_of(owner.get(machine + "/measure"))
        levelled(owner, machine)
        page = owner.get(machine + "/measure")
        assert "not level" not in text_of(page)
        assert '<span class="shape good">in</span>' in page.text
        assert "/measure/sweep/new" in page.text[page.text.index('id="next"') :][:600]

    def test_the_lot_and_the_machine_lead_to_it(
        self, owner: Visitor, lot: str, machine: str
    ) -> None:
        for page in (lot, machine):
            assert f'href="{machine}/measure"' in owner.get(page).text


class TestSettingUp:
    @pytest.mark.parametrize("test", MODULES)
    def test_cautions_stand_before_what_to_do_and_all_fields_are_filled(
        self, owner: Visitor, machine: str, test: str
    ) -> None:
        page, one = owner.get(f"{machine}/measure/{test}/new"), the_deed(test)
        assert page.status_code == 200
        told = text_of(page)
        for text in (*one.cautions, *one.steps):
            assert " ".join(text.split()) in told
        if one.cautions:
            assert told.index(" ".join(one.cautions[0].split())) < told.index("What to do")
        for option in one.options:
            if option.form and option.sort in {"number", "whole"} and option.default is not None:
                assert float(values(page, f"option-{option.id}")[0]) == option.default

    def test_sent_twice_it_begins_once(self, owner: Visitor, machine: str) -> None:
        id = values(owner.get(f"{machine}/measure/float/new"), "id")[0]
        assert begun(owner, machine, "float", id=id) == begun(owner, machine, "float", id=id)

    def test_a_wrong_option_is_named_and_the_others_stay(
        self, owner: Visitor, machine: str
    ) -> None:
        answer = owner.post(
            f"{machine}/measure/sweep/new", {"option-radius_mm": "wide", "place": "at X 200"}
        )
        assert answer.status_code == 422
        assert 'id="option-radius_mm-wrong"' in answer.text
        assert values(answer, "option-radius_mm") == ["wide"]
        assert values(answer, "place") == ["at X 200"]

    def test_an_unknown_test_is_no_page(self, owner: Visitor, machine: str) -> None:
        assert owner.get(f"{machine}/measure/ironing/new").status_code == 404


class TestNumberAfterNumber:
    def test_one_number_is_asked_and_then_the_next(self, owner: Visitor, machine: str) -> None:
        set = begun(owner, machine, "level")
        asked = cells("level")
        for number, cell in enumerate(asked[:2], 1):
            page = owner.get(set)
            assert values(page, "cell") == [cell.id]
            assert f"{number} of {len(asked)}" in text_of(page)
            assert len(re.findall(r'name="reading"[^>]*autofocus', page.text)) == 1
            answer = keep(owner, set, cell.id, "10", sign="plus")
            assert answer.headers["location"].startswith(set)
        assert "Readings kept" in text_of(owner.get(set))

    def test_a_sign_is_asked_for_where_one_is_needed(self, owner: Visitor, machine: str) -> None:
        set = begun(owner, machine, "level")
        cell = cells("level")[0]
        assert cell.signed
        answer = keep(owner, set, cell.id, "10")
        assert answer.status_code == 422
        assert "its sign is missing" in text_of(answer)
        assert values(answer, "reading") == ["10"]
        for typed, more in (("10", {"sign": "minus"}), ("-10", {}), ("\u221210", {"sign": "plus"})):
            assert keep(owner, set, cell.id, typed, **more).status_code == 303
            page = owner.get(f"{set}?cell={cell.id}")
            assert values(page, "reading") == ["10"]
            assert re.search(r'value="minus" checked', page.text)

    def test_an_odd_number_is_asked_about_before_it_is_kept(
        self, owner: Visitor, machine: str
    ) -> None:
        set = begun(owner, machine, "level")
        asked = alike("level")
        for cell, size in zip(asked[:3], ("10", "12", "11"), strict=True):
            keep(owner, set, cell.id, size, sign="plus")
        answer = keep(owner, set, asked[3].id, "9000", sign="minus")
        assert answer.status_code == 422
        assert "far from the others" in text_of(answer)
        assert values(answer, "cell") == [asked[3].id]
        assert values(answer, "reading") == ["9000"]
        assert "9000" not in text_of(owner.get(f"{set}/readings.csv"))
        again = keep(owner, set, asked[3].id, "9000", sign="minus", sure="yes")
        assert again.status_code == 303
        assert "9000" in text_of(owner.get(f"{set}/readings.csv"))

    def test_a_device_that_sends_later_is_told_in_one_sentence(
        self, owner: Visitor, machine: str
    ) -> None:
        set = begun(owner, machine, "level")
        asked = alike("level")
        for cell in asked[:3]:
            keep(owner, set, cell.id, "10", sign="plus")
        form = {"cell": asked[3].id, "reading": "9000", "sign": "plus"}
        answer = owner.post(set, form, headers={"accept": "application/json"})
        assert answer.status_code == 422
        assert "far from the others" in answer.json()["reason"]

    def test_sent_twice_under_one_id_it_is_kept_once(self, owner: Visitor, machine: str) -> None:
        set = begun(owner, machine, "level")
        one, other = cells("level")[:2]
        for _ in range(2):
            answer = keep(owner, set, one.id, "10", sign="plus", id="made-here-1")
            assert answer.status_code == 303
        assert values(owner.get(set), "cell") == [other.id]

    def test_what_is_left_for_later_comes_at_the_end(self, owner: Visitor, machine: str) -> None:
        set = begun(owner, machine, "level")
        asked = cells("level")
        page = owner.get(set)
        later = first(r'id="leave" href="([^"]+)"', page.text)
        assert values(owner.get(later), "cell") == [asked[1].id]
        place = later
        for cell in asked[1:]:
            assert values(owner.get(place), "cell") == [cell.id]
            place = keep(owner, set, cell.id, "10", sign="plus").headers["location"]
        assert values(owner.get(place), "cell") == [asked[0].id]

    def test_a_number_that_is_none_stays_in_its_field(self, owner: Visitor, machine: str) -> None:
        set = begun(owner, machine, "level")
        answer = keep(owner, set, cells("level")[0].id, "a bit", sign="plus")
        assert answer.status_code == 422
        assert values(answer, "reading") == ["a bit"]
        assert 'id="reading-wrong"' in answer.text
        empty = keep(owner, set, cells("level")[0].id, "")
        assert "leave it for later" in text_of(empty)

    def test_what_is_still_missing_is_said_softly_and_the_result_as_soon_as_there_is_one(
        self, owner: Visitor, machine: str
    ) -> None:
        set = begun(owner, machine, "positioning")
        keep(owner, set, cells("positioning")[0].id, "10", sign="plus")
        assert "Still missing." in text_of(owner.get(set))
        for answer in (owner.get(set + "/result"), owner.post(set + "/judge")):
            assert answer.status_code in {409, 422}
            assert "Still missing" in text_of(answer)
        fill(owner, set, "positioning", {})
        page = text_of(owner.get(set))
        assert "Still missing" not in page
        assert "readings are in" in page

    @pytest.mark.parametrize("test", MODULES)
    def test_every_test_can_be_begun_filled_in_part_and_left(
        self, owner: Visitor, machine: str, test: str
    ) -> None:
        set = begun(owner, machine, test)
        cell = cells(test)[0]
        assert keep(owner, set, cell.id, "1", sign="plus").status_code == 303
        assert owner.get(set).status_code == 200
        assert owner.get(set + "/all").status_code == 200
        assert owner.get(set + "/result").status_code in {200, 409}


class TestPaper:
    def test_a_code_leads_to_its_set(self, owner: Visitor, machine: str) -> None:
        path = begun(owner, machine, "backlash", way="paper")
        page = owner.get(path)
        code = first(CODE.pattern, text_of(page))
        blank = owner.get(first(r'href="([^"]+/blank.pdf)"', page.text))
        assert blank.content.startswith(b"%PDF")
        found = owner.get(f"/measure?code={code.lower()}")
        assert str(found.url.path) == path.partition("?")[0] + "/all"

    def test_the_code_of_a_plain_blank_sheet_leads_to_its_test(
        self, owner: Visitor, machine: str
    ) -> None:
        answer = owner.get(f"{machine}/measure/sheets/taper.pdf")
        assert answer.content.startswith(b"%PDF")
        code = first(CODE.pattern, answer.headers["content-disposition"])
        found = owner.get(f"/measure?code={code}")
        assert str(found.url.path) == f"{machine}/measure/taper/new"
        set = begun(owner, machine, "taper", code=code, way="sheet")
        assert str(owner.get(f"/measure?code={code}").url.path) == set

    def test_good_numbers_of_a_sheet_are_kept_beside_a_bad_one(
        self, owner: Visitor, machine: str
    ) -> None:
        set = begun(owner, machine, "level", way="sheet").removesuffix("/all")
        one, other = cells("level")[:2]
        form = {f"cell-{one.id}": "+10", f"cell-{other.id}": "ten"}
        answer = owner.post(set + "/all", form)
        assert answer.status_code == 422
        assert f'id="cell-{other.id}-wrong"' in answer.text
        assert values(answer, f"cell-{other.id}") == ["ten"]
        assert values(owner.get(set), "cell") == [other.id]

    def test_an_odd_number_of_a_sheet_is_kept_when_it_is_said_to_be_right(
        self, owner: Visitor, machine: str
    ) -> None:
        set = begun(owner, machine, "level", way="sheet").removesuffix("/all")
        asked = alike("level")
        form = {f"cell-{cell.id}": "10" for cell in asked[:-1]}
        form[f"cell-{asked[-1].id}"] = "9000"
        answer = owner.post(set + "/all", form)
        assert answer.status_code == 422
        assert "far from the others" in text_of(answer)
        assert values(answer, "sure") == ["yes"]
        assert owner.post(set + "/all", form | {"sure": "yes"}, follow=False).status_code == 303
        assert "9000" in text_of(owner.get(f"{set}/readings.csv"))


def test_every_form_and_page_of_measuring_was_tried_here() -> None:
    """The routes of the list against the paths that the tests of measuring name."""
    machine = {"", "/limits", "/acceptance.pdf", "/sheets/{test}.pdf", "/{test}/new"}
    kept = {
        "", "/all", "/readings.csv", "/blank.pdf", "/result", "/judge", "/entered", "/sheet.pdf",
        "/files/{name}",
    }  # fmt: skip
    tried = {"/lots/{lot}/machines/{machine}/measure" + path for path in machine}
    tried |= {"/sets/{set}" + path for path in kept} | {"/measure", "/instruments"}
    paths = {route.path for route in ROUTES if isinstance(route, Route)}
    assert {path for path in paths if re.search("/measure|^/sets|^/instruments", path)} == tried
