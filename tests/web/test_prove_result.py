from __future__ import annotations

import io
import re
from collections.abc import Mapping

import pytest
import xlsxwriter
from tests.fakes.shop import FakeShop
from tests.web.conftest import SETTINGS, Clock, Offered
from tests.web.measuring import (
    EXAMPLES,
    INDICATOR,
    LEVEL,
    TOLD,
    begun,
    cells,
    fill,
    first,
    keep,
    levelled,
    needed,
)
from tests.web.visitor import Visitor, text_of, values

from retrue.cases.prove.deed import MODULES
from retrue.cases.prove.deed import deed as the_deed
from retrue.kinds.library import Kind
from retrue.web.app import app


@pytest.fixture(scope="module")
def proved_level(kinds: Mapping[str, Kind], offered: Offered) -> FakeShop:
    """The machine was levelled once, with its instruments; a test goes on from there."""
    shop = FakeShop()
    shop.go_on_from(offered.looked_at)
    owner = Visitor(app(shop=shop, kinds=kinds, clock=Clock(), settings=SETTINGS))
    for one in (LEVEL, INDICATOR):
        assert owner.post("/instruments", one).status_code == 200
    levelled(owner, offered.machine)
    return shop


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
        self, owner: Visitor, machine: str, proved_level: FakeShop, test: str
    ) -> None:
        owner.app.state.shop.go_on_from(proved_level)
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
