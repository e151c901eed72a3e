"""What to pay: a lot, the seller, a visit, the end of it, and the shop that it is reckoned for."""

from __future__ import annotations

import re

import pytest
from tests.web.conftest import LOT
from tests.web.measuring import first
from tests.web.priced import amount
from tests.web.visitor import Visitor, text_of, values

from retrue.web.app import ROUTES

ELSEWHERE = re.compile(
    r"/measure|^/sets|^/instruments|/find(/|$)|^/practice|/strip(/|$)|^/labels|/move(/|$)"
    r"|/arrival|/rest(/|$)|/wake(/|$)|/prove(/|\.|$)|/fix(/|$)|/settle(/|$)|^/language$|^/shop/keeping(/|$)"
    r"|^/twice(/|$)"
    r"|^/first$|/facts$|^/shop/devices(/|$)|^/floor$|^/given/"
    r"|^/screen(/|$)|^/search$|^/kept(/|$)|^/offline$|^/worker\.js$|^/help(/|$)"
)


class TestALot:
    def test_photographs_and_four_numbers_give_a_price_at_once(
        self, owner: Visitor, lot: str
    ) -> None:
        page = text_of(owner.get(lot))
        for words in (
            "Do not bid",
            "Even for nothing, the chance",
            "Next, most worth its time",
            "3 photographs",
        ):
            assert words in page
        assert amount(owner, lot) == "Do not bid."
        answer = page.split("Next, most worth its time")[0]
        for words in ("bid screen; chance of not being sorry", "hammer price", "do not go above"):
            assert words not in answer  # at nothing it is not what was asked for

    def test_a_lot_that_is_won_says_what_was_paid_and_leads_to_its_machines(
        self, owner: Visitor, lot: str
    ) -> None:
        owner.post(f"{lot}/outcome", {"result": "won", "amount": "4200"})
        page = owner.get(lot)
        assert "4\u202f200" in amount(owner, lot)
        text = text_of(page)
        for words in ("Do not go above, on the bid screen", "Before any money goes", "How to bid"):
            assert words not in text
        machines = set(
            re.findall(rf'class="button[^"]*" href="({lot}/machines/[^"/]+)"', page.text)
        )
        assert len(machines) == 2
        for one in machines:
            assert owner.get(one).status_code == 200

    def test_the_caution_stands_before_the_number(self, owner: Visitor, lot: str) -> None:
        text = owner.get(lot).text
        assert text.index("Estimate for planning") < text.index('id="amount"')
        assert text.index('id="amount"') < text.index('id="next"') < text.index('id="moved"')

    def test_no_code_word_reaches_the_page(self, owner: Visitor, lot: str) -> None:
        page = text_of(owner.get(lot)).lower()
        for word in ("posterior", "prior", "evsi", "monte carlo", "walk-away", "just_running"):
            assert word not in page, word

    def test_a_wrong_field_is_named_and_all_others_stay_as_typed(self, owner: Visitor) -> None:
        answer = owner.post("/lots", LOT | {"premium": "18 per cent", "distance_km": "6o"})
        assert answer.status_code == 422
        assert answer.text.count('aria-invalid="true"') == 2
        assert values(answer, "premium") == ["18 per cent"]
        assert values(answer, "bid_now") == ["4500"]
        assert values(answer, "name-vertical_machining_centre-1") == ["Bed mill"]
        assert re.search(r'name="count-turning_centre" value="1" checked', answer.text)
        assert re.search(r'name="age-vertical_machining_centre-1" value="22" checked', answer.text)

    def test_a_program_gets_the_refusal_as_json(self, owner: Visitor) -> None:
        answer = owner.post("/lots", LOT | {"premium": "x"}, headers={"accept": "application/json"})
        assert answer.status_code == 422
        told = answer.json()
        assert [problem["where"] for problem in told["problems"]] == ["premium"]
        assert told["remedy"]

    def test_nothing_for_sale_is_refused(self, owner: Visitor) -> None:
        answer = owner.post("/lots", {"name": "Empty"})
        assert answer.status_code == 422
        assert "no machine was counted" in answer.text

    def test_two_machines_with_one_name_are_refused(self, owner: Visitor) -> None:
        answer = owner.post("/lots", LOT | {"name-turning_centre-1": "Bed mill"})
        assert answer.status_code == 422
        assert "Bed mill" in text_of(answer)

    def test_a_lot_that_is_not_there_is_unknown(self, owner: Visitor) -> None:
        answer = owner.get("/lots/nothing")
        assert answer.status_code == 404
        assert "no lot" in text_of(answer)

    def test_facts_of_the_sale_come_back_as_they_were_kept(self, owner: Visitor, lot: str) -> None:
        sale = {
            "sale": "sealed",
            "bid_now": "5000",
            "premium": "17,5",
            "tax_scheme": "margin",
            "removal_by": "2026-12-18",
            "late_fine_per_day": "75",
            "loader_fee": "350",
            "loader_named": "yes",
            "deposit": "500",
            "storage_days_free": "14",
            "insurance_wanted": "no",
        }
        assert owner.post(f"{lot}/terms", sale).url.path == lot
        page = owner.get(f"{lot}/terms")
        assert values(page, "premium") == ["17.5"]
        assert values(page, "late_fine_per_day") == ["75"]
        assert 'value="margin" checked' in page.text
        assert 'name="loader_named" value="yes" checked' in page.text
        assert 'name="insurance_wanted" value="no" checked' in page.text

    def test_a_machine_can_be_corrected(self, owner: Visitor, machine: str) -> None:
        fields = {"name": "Bed mill", "age_years": "26", "mass_kg": "3'800", "travel_1": "1000"}
        assert owner.post(machine, fields).status_code == 200
        page = owner.get(f"{machine}/facts")
        assert values(page, "age_years") == ["26"]
        assert values(page, "travel_1") == ["1000"]

    def test_only_parts_that_may_be_missing_are_offered_as_not_fitted(
        self, owner: Visitor, machine: str
    ) -> None:
        page = owner.get(f"{machine}/facts").text
        offered = set(re.findall(r'name="not_fitted" value="([^"]+)"', page))
        assert "F53" in offered
        assert not offered & {"F80", "F83", "F85", "F86", "F97", "F102", "F107"}

    def test_one_more_machine_joins_the_lot(self, owner: Visitor, lot: str) -> None:
        form = {"name": "Little grinder", "kind": "surface_grinder", "age": "27"}
        assert "Little grinder" in text_of(owner.post(f"{lot}/machines", form))


class TestTheSeller:
    @pytest.mark.parametrize(
        ("language", "word"),
        [("en", "before i bid"), ("nl", "bod"), ("fr", "offre"), ("de", "gebot")],
    )
    def test_the_text_speaks_his_language(
        self, owner: Visitor, lot: str, language: str, word: str
    ) -> None:
        page = owner.get(f"{lot}/message?language={language}")
        assert (
            word in first(r"<textarea[^>]*>(.*?)</textarea>", page.text.replace("\n", " ")).lower()
        )
        assert 'href="sms:?body=' in page.text
        assert 'href="mailto:?subject=' in page.text

    def test_what_was_asked_and_did_not_come_is_remembered(self, owner: Visitor, lot: str) -> None:
        whats = values(owner.get(f"{lot}/message"), "what")
        assert whats
        page = owner.post(f"{lot}/message", {"what": whats[:2]})
        assert "Asked for, not here yet" in page.text
        owner.post(f"{lot}/message", {"what": whats[0], "came": "no"})
        assert owner.get(f"{lot}/message").text.count("it was not sent") == len(whats[:2]) - 1

    def test_an_answer_on_the_telephone_is_kept(self, owner: Visitor, lot: str) -> None:
        page = owner.get(f"{lot}/call?machine=Bed+mill")
        assert "Bed mill" in page.text
        form = {"machine": "Bed mill", "question": "Q02", "option": "2", "wanted": "Bed mill"}
        after = owner.post(f"{lot}/call", form)
        assert re.search(r'id="Q02-3-Bed-mill"[^>]*aria-pressed="true"', after.text)

    def test_an_answer_that_is_not_offered_is_refused(self, owner: Visitor, lot: str) -> None:
        form = {"machine": "Bed mill", "question": "Q02", "option": "77"}
        assert owner.post(f"{lot}/call", form).status_code == 404


class TestTheVisit:
    def test_the_pack_is_made_printed_and_typed_in_by_its_code(
        self, owner: Visitor, lot: str
    ) -> None:
        pack = owner.post(f"{lot}/visit").url.path
        code = pack.rsplit("/", 1)[1]
        printed = owner.get(f"{pack}/pack.pdf")
        assert printed.content.startswith(b"%PDF")
        assert owner.get(f"/visits?code={code.lower()}").url.path == pack
        page = owner.get(pack)
        number = first(r'name="answer-(\d+)"', page.text)
        after = owner.post(pack, {f"answer-{number}": "cant_tell"})
        assert after.url.path == lot

    def test_a_wrong_code_is_refused(self, owner: Visitor) -> None:
        assert owner.get("/visits?code=ZZZZZZZZ").status_code in {404, 422}

    def test_a_wrong_reading_keeps_the_other_boxes(self, owner: Visitor, lot: str) -> None:
        pack = owner.post(f"{lot}/visit").url.path
        page = owner.get(pack)
        number = first(r'name="answer-(\d+)"', page.text)
        readings = re.findall(r'name="reading-(\d+)"', page.text)
        if not readings:
            readings = [number]
        form = {f"answer-{number}": "cant_tell", f"reading-{readings[0]}": "lots"}
        answer = owner.post(pack, form)
        assert answer.status_code == 422
        assert f'name="answer-{number}" value="cant_tell" checked' in answer.text


class TestTheEnd:
    def test_a_figure_of_ones_own_needs_its_reason(self, owner: Visitor, lot: str) -> None:
        page = owner.get(f"{lot}/costs")
        line = next(value for value in values(page, "line") if value.startswith("Bed mill|F"))
        bare = owner.post(f"{lot}/costs", {"line": line, "amount": "600", "reason": ""})
        assert bare.status_code == 422
        assert values(bare, "amount").count("600") == 1
        form = {"line": line, "amount": "600", "reason": "I know a winder"}
        assert "I know a winder" in text_of(owner.post(f"{lot}/costs", form))

    def test_own_figures_are_in_the_currency_they_are_reckoned_in(self, owner: Visitor) -> None:
        """The shop's; the lot is sold in another."""
        pounds = {"currency": "GBP", "rate": "1.17", "rate_on": "2026-11-20"}
        lot = owner.post("/lots", {**LOT, **pounds}, follow=False).headers["location"]
        page = text_of(owner.get(f"{lot}/costs"))
        assert "€" in page
        assert "£" not in page
        assert "EUR" in page
        assert "GBP" not in page

    def test_a_figure_below_zero_is_refused(self, owner: Visitor, lot: str) -> None:
        line = values(owner.get(f"{lot}/costs"), "line")[0]
        form = {"line": line, "amount": "-5", "reason": "no"}
        assert owner.post(f"{lot}/costs", form).status_code == 422

    def test_the_frozen_page_has_three_numbers_and_prints(self, owner: Visitor, lot: str) -> None:
        assert owner.get(f"{lot}/freeze.pdf").status_code == 409
        page = text_of(owner.post(f"{lot}/freeze"))
        for words in ("Do not bid.", "All in, on your floor", "Chance you’d be sorry"):
            assert words in page
        assert "Do not go above" not in page  # at nothing there is no such number
        printed = owner.get(f"{lot}/freeze.pdf")
        assert printed.content.startswith(b"%PDF")
        assert printed.headers["content-disposition"].startswith("attachment")

    def test_what_came_of_it_is_kept(self, owner: Visitor, lot: str) -> None:
        page = owner.post(f"{lot}/outcome", {"result": "lost", "amount": "7200"})
        assert "lost" in text_of(page)
        assert "7\u202f200" in page.text
        freeze, outcome = f'action="{lot}/freeze"', f'action="{lot}/outcome"'
        assert freeze not in page.text  # the bidding is over
        assert re.search(r"<details>.*value=\"won\"", page.text.partition(outcome)[2], re.DOTALL)
        again = owner.post(f"{lot}/outcome", {"result": "lost", "amount": "7200 apples"})
        assert again.status_code == 422
        assert "7200 apples" in again.text.partition("<details open>")[2]


class TestMyShop:
    def test_what_was_typed_comes_back(self, owner: Visitor) -> None:
        form = {"name": "Two benches", "hour_alternative": "15", "odds": "80", "uses_rigger": "yes"}
        owner.post("/shop", form)
        page = owner.get("/shop")
        assert values(page, "hour_alternative") == ["15"]
        assert values(page, "odds") == ["80"]
        assert 'name="uses_rigger" value="yes" checked' in page.text

    def test_a_job_and_another_way_are_kept(self, owner: Visitor) -> None:
        need = {"need_name": "Brackets", "kind": "vertical_machining_centre", "hours_a_year": "240"}
        assert "Brackets" in text_of(owner.post("/shop/needs", need))
        way = {
            "alternative_name": "A proven one",
            "kind": "vertical_machining_centre",
            "price_likely": "16000",
        }
        assert "A proven one" in text_of(owner.post("/shop/alternatives", way))

    @pytest.mark.parametrize("path", ["/shop/needs", "/shop/alternatives"])
    def test_a_thing_without_a_name_is_refused(self, owner: Visitor, path: str) -> None:
        assert owner.post(path, {"kind": "vertical_machining_centre"}).status_code == 422


def test_every_form_and_page_on_the_list_was_tried_here() -> None:
    """The routes of the list against the paths that this folder's tests name."""
    tried = {
        "/", "/lots/new", "/lots", "/shop", "/shop/needs", "/shop/alternatives", "/note",
        "/note/alarm", "/note/setting", "/pair", "/pair/{code}", "/visits", "/visits/{code}",
        "/visits/{code}/pack.pdf", "/files/{file}", "/files/{file}/shown/{size}", "/static",
    }  # fmt: skip
    lot = {
        "", "/terms", "/machines", "/pictures", "/pictures/next", "/pictures/{picture}",
        "/pictures/{picture}/sort", "/pictures/{picture}/tap", "/pictures/{picture}/untap",
        "/findings", "/findings/{finding}", "/findings/{finding}/withdraw", "/message", "/call",
        "/visit", "/costs", "/freeze", "/freeze.pdf", "/outcome", "/machines/{machine}",
        "/machines/{machine}/plate", "/machines/{machine}/looks",
        "/machines/{machine}/looks/{check}",
    }  # fmt: skip
    tried |= {"/lots/{lot}" + path for path in lot}
    paths = {getattr(route, "path", "") for route in ROUTES}
    assert {path for path in paths if not ELSEWHERE.search(path)} == tried
