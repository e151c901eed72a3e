from __future__ import annotations

import io
import re
from collections.abc import Mapping
from pathlib import Path

import httpx
import pytest
import xlsxwriter
from starlette.routing import Route
from tests.web.visitor import Visitor, text_of, values

from retrue.cases.prove.deed import MODULES, Cell
from retrue.cases.prove.deed import deed as the_deed
from retrue.phases import prove
from retrue.web.app import ROUTES

LEVEL = {
    "name": "Level", "sort": "level", "way": "owned", "unit": "µm/m", "resolution": "10",
    "uncertainty": "6", "certificate": "44-1",
}  # fmt: skip
INDICATOR = LEVEL | {"name": "Indicator", "sort": "indicator", "unit": "µm", "uncertainty": "1"}
EXAMPLES = Path(__file__).resolve().parents[2] / "examples" / "prove"
TOLD: dict[str, dict[str, str]] = {}  # what an example must be told beside its readings
CODE = re.compile(r"\b([346789ACDEFHJKMNPRTVWXY]{4}-[346789ACDEFHJKMNPRTVWXY]{4})\b")


def first(pattern: str, text: str) -> str:
    found = re.search(pattern, text)
    assert found is not None, pattern
    return found[1]


@pytest.fixture
def machine(owner: Visitor, lot: str) -> str:
    return lot + "/machines/" + first(r'/machines/([^"/]+)"', owner.get(lot).text)


@pytest.fixture
def instruments(owner: Visitor) -> None:
    for one in (LEVEL, INDICATOR):
        assert owner.post("/instruments", one).status_code == 200


def begun(owner: Visitor, machine: str, test: str, **typed: str) -> str:
    """The address of a set that has just begun."""
    page = owner.get(f"{machine}/measure/{test}/new")
    form = {"id": values(page, "id")[0]} | needed(test) | typed
    answer = owner.post(f"{machine}/measure/{test}/new", form, follow=False)
    assert answer.status_code == 303, text_of(answer)
    return answer.headers["location"]


def needed(test: str) -> dict[str, str]:
    """What a test must be told before it can begin."""
    options = the_deed(test).options
    return {f"option-{one.id}": "150" for one in options if one.needed and one.default is None}


def cells(test: str) -> tuple[Cell, ...]:
    told = {name.removeprefix("option-"): text for name, text in needed(test).items()}
    return prove.blank(test, told)[2]


def alike(test: str) -> list[Cell]:
    """The numbers that are odd or not beside each other."""
    asked = cells(test)
    return [cell for cell in asked if cell.column == asked[0].column]


def keep(owner: Visitor, set: str, cell: str, size: str, **more: str) -> httpx.Response:
    form = {"cell": cell, "reading": size, **more}
    return owner.post(set, form, follow=False)


def fill(owner: Visitor, set: str, test: str, texts: Mapping[str, str]) -> None:
    """A whole sheet typed in at once."""
    form = {f"cell-{cell.id}": texts.get(cell.id, "0") for cell in cells(test)}
    answer = owner.post(set + "/all", form, follow=False)
    assert answer.status_code == 303, text_of(answer)


def levelled(owner: Visitor, machine: str) -> str:
    """A machine that was proved level; the address of that set."""
    instrument = values(owner.get(f"{machine}/measure/level/new"), "instrument")[0]
    set = begun(owner, machine, "level", instrument=instrument)
    fill(owner, set, "level", {})
    assert owner.post(set + "/judge").status_code == 200
    return set


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


class TestTheResult:
    def test_out_of_order_it_is_shown_and_kept_without_remedy(
        self, owner: Visitor, machine: str
    ) -> None:
        test = next(one for one in MODULES if the_deed(one).daily and the_deed(one).needs_level)
        set = begun(owner, machine, test)
        fill(owner, set, test, {cell.id: "4" for cell in cells(test)[:1]})
        owner.post(set + "/judge")
        page = owner.get(set + "/result")
        told = text_of(page)
        assert "Provisional, machine not level." in told
        assert "Level the machine first" in told
        assert "What to turn" not in told
        assert 'id="verdict"' not in page.text

    def test_a_kept_result_moves_the_price_and_can_be_printed(
        self, owner: Visitor, lot: str, machine: str, instruments: None
    ) -> None:
        levelled(owner, machine)
        before = len(re.findall("its history", owner.get(lot + "/findings").text))
        instrument = values(owner.get(f"{machine}/measure/float/new"), "instrument")[0]
        set = begun(owner, machine, "float", instrument=instrument)
        asked = cells("float")
        fill(owner, set, "float", {cell.id: str(28 + n % 2) for n, cell in enumerate(asked)})
        assert "Keep this result" in text_of(owner.get(set + "/result"))
        page = owner.post(set + "/judge")
        assert page.status_code == 200
        assert "Keep this result" not in text_of(page)
        assert len(re.findall("its history", owner.get(lot + "/findings").text)) == before + 1
        assert 'id="price-line"' in page.text
        assert owner.get(set + "/sheet.pdf").content.startswith(b"%PDF")
        assert owner.get(machine + "/measure/acceptance.pdf").content.startswith(b"%PDF")
        assert owner.post(set + "/judge").status_code == 200
        assert len(re.findall("its history", owner.get(lot + "/findings").text)) == before + 1

    def test_a_corrected_reading_asks_for_the_result_again(
        self, owner: Visitor, machine: str, instruments: None
    ) -> None:
        set = levelled(owner, machine)
        assert "Keep this result" not in text_of(owner.get(set + "/result"))
        keep(owner, set, cells("level")[0].id, "400", sign="plus", sure="yes")
        assert "Keep this result" in text_of(owner.get(set + "/result"))

    def test_the_answer_stands_before_next_and_next_before_the_table(
        self, owner: Visitor, machine: str, instruments: None
    ) -> None:
        text = owner.get(levelled(owner, machine) + "/result").text
        places = [text.index(f'id="{id}"') for id in ("answer", "next", "numbers", "fine")]
        assert places == sorted(places)
        assert '<span class="shape good">in</span>' in text
        assert "unverified" in text or "memory" in text

    def test_a_table_is_taken_as_it_comes_and_its_bad_cell_is_named(
        self, owner: Visitor, machine: str
    ) -> None:
        rows = "\r\n".join(["target_mm;approach;run;deviation_um", *positioning()])
        page = owner.post(
            f"{machine}/measure/positioning/new",
            {},
            [("table", ("x.csv", rows.encode(), "text/csv"))],
        )
        assert str(page.url.path).endswith("/result")
        assert page.status_code == 200, text_of(page)
        bad = rows.replace("1,5", "wide", 1)
        page = owner.post(
            f"{machine}/measure/positioning/new",
            {},
            [("table", ("y.csv", bad.encode(), "text/csv"))],
        )
        assert page.status_code == 409
        assert "“wide”" in text_of(page)
        assert "row 2" in text_of(page)
        set = str(page.url.path).removesuffix("/result")
        assert "wide" in owner.get(set + "/readings.csv").text

    def test_a_spreadsheet_is_taken_like_a_table(self, owner: Visitor, machine: str) -> None:
        packed = io.BytesIO()
        with xlsxwriter.Workbook(packed) as book:
            sheet = book.add_worksheet()
            rows = [("direction", "reading_um"), ("push", 7), ("pull", 0.5)]
            for number, row in enumerate(rows):
                sheet.write_row(number, 0, row)
        name, sort = "float.xlsx", "application/octet-stream"
        files = [("table", (name, packed.getvalue(), sort))]
        page = owner.post(f"{machine}/measure/float/new", {}, files)
        assert page.status_code == 200, text_of(page)
        assert "6.5" in text_of(page)

    @pytest.mark.parametrize("test", MODULES)
    def test_the_example_of_every_test_is_drawn_told_and_printed(
        self, owner: Visitor, machine: str, instruments: None, test: str
    ) -> None:
        levelled(owner, machine)
        name = the_deed(test).example
        files = [("table", (name, (EXAMPLES / name).read_bytes(), "text/csv"))]
        form = {"instrument": values(owner.get(f"{machine}/measure/{test}/new"), "instrument")[0]}
        form |= {f"option-{id}": text for id, text in TOLD.get(test, {}).items()}
        page = owner.post(f"{machine}/measure/{test}/new", needed(test) | form, files)
        assert page.status_code == 200, text_of(page)
        assert page.text.count("<svg") >= 2
        drawn = page.text[page.text.index('id="picture"') :]
        ids = re.findall(r' id="([^"]+)"', drawn)
        assert sorted(ids) == sorted(dict.fromkeys(ids))
        assert " style=" not in page.text
        kept = str(page.url.path).removesuffix("/result")
        assert owner.post(kept + "/judge").status_code == 200
        assert owner.get(kept + "/sheet.pdf").content.startswith(b"%PDF")

    def test_a_value_that_was_entered_stands_in_the_notes(
        self, owner: Visitor, machine: str, instruments: None
    ) -> None:
        levelled(owner, machine)
        rows = "\r\n".join(["target_mm;approach;run;deviation_um", *positioning()])
        page = owner.post(
            f"{machine}/measure/positioning/new",
            {},
            [("table", ("x.csv", rows.encode(), "text/csv"))],
        )
        set = str(page.url.path).removesuffix("/result")
        number = values(page, "number")[0]
        done = owner.post(set + "/entered", {"number": number, "id": "entered-1"})
        assert "kept as a changed setting" in text_of(done)
        name = first(r'<p class="small">([^:<]+): ', page.text)
        assert name in text_of(owner.get("/note"))
        files = re.findall(r'href="([^"]+/files/[^"]+)"', page.text)
        assert files
        assert "," in owner.get(files[0]).text
        assert owner.get(set + "/files/nothing.csv").status_code == 404


def positioning() -> list[str]:
    """Five targets, both ways, five runs, with 3 µm of lost motion; comma decimals."""
    rows = []
    for run in range(1, 6):
        for target in (0, 75, 150, 225, 300):
            for approach, lost in (("forward", 0.0), ("backward", -3.0)):
                value = 1.5 + lost + target / 100 + 0.1 * (run % 2)
                rows.append(f"{target};{approach};{run};{value:.1f}".replace(".", ","))
    rows[0] = "0;forward;1;1,5"
    return rows


class TestLimitsAndInstruments:
    def test_a_limit_from_memory_says_so_until_it_is_confirmed(
        self, owner: Visitor, machine: str
    ) -> None:
        page = owner.get(machine + "/measure/limits")
        assert "unverified" in text_of(page)
        id = values(page, "limit")[0]
        form = {"limit": id, f"value-{id}": "30", f"confirmed-{id}": "yes"}
        form |= {f"standard-{id}": "ISO 230-1", f"edition-{id}": "2012", f"reason-{id}": "old bed"}
        page = owner.post(machine + "/measure/limits", form)
        mine = page.text[page.text.index(f'id="limit-{id}"') :][:1500]
        assert "confirmed in the owner" in mine
        assert re.search(rf'name="confirmed-{id}" value="yes" checked', page.text)

    def test_a_limit_that_is_no_number_is_refused_at_its_field(
        self, owner: Visitor, machine: str
    ) -> None:
        id = values(owner.get(machine + "/measure/limits"), "limit")[0]
        for typed in ("", "small"):
            answer = owner.post(machine + "/measure/limits", {"limit": id, f"value-{id}": typed})
            assert answer.status_code == 422
            assert f'id="value-{id}-wrong"' in answer.text
        assert owner.post(machine + "/measure/limits", {"limit": "X"}).status_code == 404

    def test_an_instrument_is_kept_with_what_it_costs_and_when_it_is_due(
        self, owner: Visitor
    ) -> None:
        form = INDICATOR | {"way": "hire", "hire_a_day": "35", "due_on": "2027-03-01"}
        told = text_of(owner.post("/instruments", form))
        for words in ("to hire", "€\u202f35.00 a day", "Due 2027-03-01", "give or take 1"):
            assert " ".join(words.split()) in told
        answer = owner.post("/instruments", {"uncertainty": "some"})
        assert answer.status_code == 422
        for field in ("name", "sort", "uncertainty"):
            assert f'id="{field}-wrong"' in answer.text


def test_every_form_and_page_of_measuring_was_tried_here() -> None:
    """The routes of the list against the paths that this file's tests name."""
    machine = {"", "/limits", "/acceptance.pdf", "/sheets/{test}.pdf", "/{test}/new"}
    kept = {
        "", "/all", "/readings.csv", "/blank.pdf", "/result", "/judge", "/entered", "/sheet.pdf",
        "/files/{name}",
    }  # fmt: skip
    tried = {"/lots/{lot}/machines/{machine}/measure" + path for path in machine}
    tried |= {"/sets/{set}" + path for path in kept} | {"/measure", "/instruments"}
    paths = {route.path for route in ROUTES if isinstance(route, Route)}
    assert {path for path in paths if re.search("/measure|^/sets|^/instruments", path)} == tried
