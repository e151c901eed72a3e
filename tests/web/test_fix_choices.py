"""Choices, renewals, extras, purchases, hands and dates, on their pages."""

from __future__ import annotations

import re
from collections.abc import Mapping
from dataclasses import replace
from datetime import datetime
from typing import Any

import pytest
from starlette.applications import Starlette
from tests.fakes.shop import FakeShop
from tests.paper.reading import text_of as paper_text
from tests.web.bare import bare_lot
from tests.web.seen import look_at
from tests.web.visitor import Visitor, text_of, values

from retrue.base.refusals import NotYet
from retrue.cases.fix.plan_lines import Broke, MachineDates, PlanView
from retrue.kinds.library import Kind
from retrue.phases import find, fix
from retrue.records.fixing import Chosen, Gear, Quoted, Stock, Worker
from retrue.records.shop import RecordShop
from retrue.store.spreadsheet import as_csv

Kinds = Mapping[str, Kind]
FAULT = "F01"  # spindle bearings of the mill


@pytest.fixture
def shop(owner: Visitor) -> RecordShop:
    kept: RecordShop = owner.app.state.shop
    return kept


@pytest.fixture(scope="module")
def opened(kinds: Kinds) -> tuple[str, FakeShop]:
    """A mill that was opened: its spindle bearings are worn; its page was looked at."""
    shop = FakeShop()
    path = bare_lot(shop)[0]
    find.teardown(shop, path.split("/")[2], path.split("/")[4], FAULT, True, kinds, by="owner")
    look_at(shop, kinds, f"{path}/fix")
    return path, shop


@pytest.fixture
def machine(house: Starlette, opened: tuple[str, FakeShop]) -> str:
    """That mill, in the test's own shop."""
    house.state.shop.go_on_from(opened[1])
    return opened[0]


class TestChoices:
    def test_the_page_answers_then_says_what_next_then_the_faults_found_before_the_likely(
        self, owner: Visitor, machine: str
    ) -> None:
        page = owner.get(machine + "/fix")
        told = ['id="answer"', 'id="next"', 'id="found"', 'id="likely"', 'id="levels"']
        places = [page.text.index(one) for one in told]
        assert places == sorted(places)
        assert "Spindle bearings" in text_of(page)
        likely = page.text.split('id="likely"')[1].split('id="levels"')[0]
        assert re.search(r'chance of <span class="whole">about \d+ in \d+', likely)

    @pytest.mark.parametrize("page", [f"/faults/{FAULT}", "/together/spindle_head", "/extras"])
    def test_cautions_stand_in_words_before_every_figure(
        self, owner: Visitor, machine: str, page: str
    ) -> None:
        text = owner.get(f"{machine}/fix{page}").text
        assert "This helps you plan. It does not allow anything" in text
        assert text.index('class="caution"') < text.index('id="answer"')
        assert "Defers to local" in text

    def test_another_way_is_one_tap_away_and_can_be_left_to_reckoning_again(
        self, owner: Visitor, shop: RecordShop, machine: str
    ) -> None:
        page = owner.get(machine + "/fix")
        item = page.text.split(f'id="{FAULT}"')[1].split("</li></ul>")[0]
        way = re.findall(r'name="way" value="(\w+)"', item)[0]
        after = owner.post(machine + "/fix", {"sort": "way", "what": FAULT, "way": way})
        assert after.status_code == 200
        (chosen,) = shop.current(Chosen)
        assert (chosen.fact.what, chosen.fact.way) == (FAULT, way)
        fault = f"{machine}/fix/faults/{FAULT}"
        assert "leave it to what is reckoned best" in text_of(owner.get(fault))
        owner.post(fault, {"way": ""})
        assert "leave it to what is reckoned best" not in text_of(owner.get(fault))

    def test_what_it_is_worked_for_is_kept_with_how_far(
        self, owner: Visitor, shop: RecordShop, machine: str
    ) -> None:
        form = {"sort": "aim", "way": "sell_running", "level": "just_running"}
        page = owner.post(machine + "/fix", form)
        assert "Sell it running, just running" in text_of(page)
        (chosen,) = shop.current(Chosen)
        assert (chosen.fact.way, chosen.fact.level) == ("sell_running", "just_running")

    def test_a_machine_that_is_sold_as_found_is_not_worked_for(
        self, owner: Visitor, machine: str
    ) -> None:
        page = owner.post(machine + "/fix", {"sort": "aim", "way": "sell_as_found"})
        assert "Nothing is worked for at this machine" in text_of(page)
        assert owner.get(machine + "/fix/cards.pdf").status_code == 409
        assert "Nothing is to be bought for sure" in text_of(owner.get("/fix/buy"))

    def test_a_budget_that_is_no_number_is_named(self, owner: Visitor, machine: str) -> None:
        page = owner.get(machine + "/fix?budget=much&level=right")
        assert page.status_code == 200
        assert 'id="budget-wrong"' in page.text
        assert values(page, "budget") == ["much"]

    def test_a_budget_and_a_day_are_answered_in_words(self, owner: Visitor, machine: str) -> None:
        page = owner.get(machine + "/fix?budget=3000&by_on=2027-06-01&level=right")
        assert values(page, "by_on") == ["2027-06-01"]
        answer = page.text.split('id="answer"')[1].split("</section>")[0]
        assert re.search(r"<p><b>[A-Z].{20,}</b></p>", answer)  # what fits, what does not

    def test_a_fault_that_nobody_thinks_of_is_unknown(self, owner: Visitor, machine: str) -> None:
        assert owner.get(machine + "/fix/faults/F999").status_code == 404

    def test_a_choice_that_is_none_is_refused_on_the_page(
        self, owner: Visitor, shop: RecordShop, machine: str
    ) -> None:
        answer = owner.post(machine + "/fix", {"sort": "way", "what": FAULT, "way": "prayer"})
        assert answer.status_code in (404, 422)
        assert 'role="alert"' in answer.text
        assert not shop.current(Chosen)

    def test_replacements_are_held_against_the_plate(self, owner: Visitor, machine: str) -> None:
        paths = re.findall(rf'href="({machine}/fix/match/\w+)"', owner.get(machine + "/fix").text)
        assert len(paths) == 11
        assert owner.get(paths[0]).status_code == 200


class TestBuying:
    def test_what_is_found_stands_in_the_list_and_the_likely_is_folded(
        self, owner: Visitor, machine: str
    ) -> None:
        page = owner.get("/fix/buy")
        told = page.text.index("Spindle bearings")
        assert told < page.text.index("Perhaps, once their places are open")

    @pytest.mark.parametrize("ending", ["csv", "xlsx"])
    def test_the_table_comes_back_filled_in_is_shown_then_kept_and_twice_adds_nothing(
        self, owner: Visitor, shop: RecordShop, machine: str, ending: str
    ) -> None:
        table = as_csv(owner.get(f"/fix/buy.{ending}").content, "list")
        heading = table.decode().splitlines()[0]
        told = {"sort": "quote", "machine": "Bed mill", "line": f"{FAULT}:local"}
        told |= {"vendor": "the spindle shop", "amount": "2450", "quoted_on": "2026-11-24"}
        filled = dict.fromkeys(heading.split(","), "") | told
        sent = heading + "\n" + ",".join(filled.values()) + "\n"
        for kept in (1, 0):
            files = [("table", ("list.csv", sent.encode(), "text/csv"))]
            page = owner.post("/fix/buy/read", files=files)
            assert page.status_code == 200, text_of(page)
            assert f"{kept} new" in text_of(page)
            if kept:
                assert not shop.current(Quoted)
                form = {name: values(page, name)[0] for name in ("kept", "name", "id")}
                after = owner.post("/fix/buy/keep", form)
                assert "Kept: 1 from the table" in text_of(after)
        assert len(shop.current(Quoted)) == 1

    def test_a_file_that_is_no_table_is_refused_on_the_page(
        self, owner: Visitor, machine: str
    ) -> None:
        for files in ([], [("table", ("list.xlsx", b"PK\x03\x04no", "application/zip"))]):
            answer = owner.post("/fix/buy/read", {"id": "x"}, files=files)
            assert answer.status_code == 422
            assert 'role="alert"' in answer.text

    def test_the_shelf_is_counted(self, owner: Visitor, shop: RecordShop, machine: str) -> None:
        form = {"name": "way oil", "amount": "3,5", "unit": "l", "least": "5"}
        assert "buy more" in text_of(owner.post("/fix/stock", form))
        wrong = owner.post("/fix/stock", {"name": "rags", "amount": "some"})
        assert wrong.status_code == 422
        assert len(shop.current(Stock)) == 1


class TestHands:
    def test_evenings_and_days_away_come_back_as_they_were_typed(
        self, owner: Visitor, shop: RecordShop
    ) -> None:
        form = {"name": "An", "mon-from": "19:30", "mon-to": "22", "sat-from": "9.00",
                "sat-to": "13:00", "away": "2026-12-24 to 2026-12-31\n2027-01-04",
                "also": "2026-12-05 09:00 to 17:00", "may": "competent"}  # fmt: skip
        page = owner.post("/fix/hands", form)
        (worker,) = shop.current(Worker)
        assert worker.fact.evenings == (("mon", "19:30", "22:00"), ("sat", "09:00", "13:00"))
        assert worker.fact.away == (("2026-12-24", "2026-12-31"), ("2027-01-04", "2027-01-04"))
        assert values(page, "mon-to") == ["22:00"]
        assert "2026-12-24 to 2026-12-31" in page.text

    @pytest.mark.parametrize(
        ("form", "field"),
        [({"mon-from": "22:00", "mon-to": "19:30"}, "evenings"),
         ({"mon-from": "19:30"}, "evenings"), ({"away": "over Christmas"}, "away"),
         ({"also": "2026-12-05"}, "also")],
    )  # fmt: skip
    def test_an_impossible_evening_is_named_and_all_else_stays(
        self, owner: Visitor, shop: RecordShop, form: dict[str, str], field: str
    ) -> None:
        answer = owner.post(
            "/fix/hands", {"name": "An", "tue-from": "19:30", "tue-to": "22:00"} | form
        )
        assert answer.status_code == 422
        assert f'id="{field}-wrong"' in answer.text
        assert values(answer, "tue-to") == ["22:00"]
        assert not shop.current(Worker)

    def test_a_hoist_is_hired_on_its_days(self, owner: Visitor, shop: RecordShop) -> None:
        form = {"name": "Hoist", "have": "hired", "day_costs": "90", "days": "2026-12-12"}
        assert "hoist: hired" in text_of(owner.post("/fix/gear", form))
        (gear,) = shop.current(Gear)
        assert (gear.fact.name, gear.fact.days) == ("hoist", ("2026-12-12",))
        assert owner.post("/fix/gear", form | {"days": "Saturday"}).status_code == 422


def dates(**more: Any) -> PlanView:
    """A plan of one machine, as the deed gives it."""
    mill = MachineDates(
        machine="m", machine_name="Bed mill", early_on="2027-01-28", even_on="2027-02-14",
        promise_on="2027-03-20", expected_on="2027-02-14", late_by=(("own evenings", 0.5),),
        order_now=(), stop_loss=None, hours_left=84.0, day_worth=22.0,
    )  # fmt: skip
    named: dict[str, Any] = {
        "at": "2026-11-25T20:40+00:00", "lots": ("l",), "machines": (mill,), "rows": (),
        "hire": (), "refused": (), "hands": ("An",), "proved": True, "by_rule": False, "gap": 0.0,
        "seed": 7, "worlds": 2000, "currency": "EUR",
    }  # fmt: skip
    return PlanView(**(named | more))


class TestDates:
    def test_a_plan_is_made_beside_the_page_kept_by_who_asked_and_its_progress_told(
        self, owner: Visitor, monkeypatch: pytest.MonkeyPatch
    ) -> None:
        planner, seen = owner.app.state.planner, []

        def plan(shop: RecordShop, kinds: Kinds, *, now: datetime, **asked: Any) -> PlanView:
            asked["progress"](0.5, "tries orders")
            seen.append((asked["why"], owner.get("/fix/plan/progress").json()))
            return dates()

        def keep(shop: RecordShop, view: PlanView, **hand: Any) -> None:
            seen.append((view, hand["by"]))

        monkeypatch.setattr(fix, "plan", plan)
        monkeypatch.setattr(fix, "keep_plan", keep)
        assert owner.post("/fix/plan", {"why": "a crack was found"}).status_code == 200
        planner.wait(120)
        told = {"going": True, "schema": "planning/1", "share": 0.5, "words": "tries orders"}
        assert seen == [("a crack was found", told), (dates(), "owner")]
        assert owner.get("/fix/plan/progress").json()["going"] is False

    def test_why_there_is_no_plan_is_said_on_the_page(
        self, owner: Visitor, monkeypatch: pytest.MonkeyPatch
    ) -> None:
        def plan(*_: Any, **__: Any) -> PlanView:
            raise NotYet("Nobody has a free evening", remedy="Name an evening under hands.")

        monkeypatch.setattr(fix, "plan", plan)
        owner.post("/fix/plan")
        owner.app.state.planner.wait(120)
        page = text_of(owner.get("/fix/plan"))
        assert "Nobody has a free evening" in page
        assert "Name an evening under hands." in page

    def test_what_twice_the_waits_would_break_is_shown_and_not_kept(
        self, owner: Visitor, monkeypatch: pytest.MonkeyPatch
    ) -> None:
        late = Broke(machine_name="mill", was_on="2027-03-20", now_on="2027-04-24", days=35.0,
                     why="every delivery takes twice as long")  # fmt: skip

        def plan(*_: Any, lead_times: float = 1.0, **__: Any) -> PlanView:
            return dates(broke=(late,) if lead_times == 2.0 else ())

        def keep(*_: Any, **__: Any) -> None:
            raise AssertionError("kept")

        monkeypatch.setattr(fix, "plan", plan)
        monkeypatch.setattr(fix, "keep_plan", keep)
        monkeypatch.setattr(fix, "kept_plan", lambda *_, **__: dates())
        owner.post("/fix/plan", {"as_if": "twice"})
        owner.app.state.planner.wait(120)
        page = text_of(owner.get("/fix/plan"))
        assert "mill: the promise broke by 35 days" in page
        assert "the plan stands as it was kept" in page

    def test_an_error_of_ours_ends_the_waiting_and_is_said(
        self, owner: Visitor, monkeypatch: pytest.MonkeyPatch, caplog: pytest.LogCaptureFixture
    ) -> None:
        monkeypatch.setattr(fix, "plan", lambda *_, **__: 1 / 0)
        owner.post("/fix/plan")
        owner.app.state.planner.wait(120)
        assert "Planning broke" in text_of(owner.get("/fix/plan"))
        assert "planning failed" in caplog.text

    def test_dates_are_ranges_and_nothing_is_promised_before_bad_luck(
        self, owner: Visitor, monkeypatch: pytest.MonkeyPatch
    ) -> None:
        monkeypatch.setattr(fix, "kept_plan", lambda *_, **__: dates(stale=True))
        page = owner.get("/fix/plan")
        assert "most likely on 2027-02-14 . Promise nothing before 2027-03-20" in text_of(page)
        assert "Plan again: something was kept since" in text_of(page)
        assert page.text.count("<svg") == 5
        assert page.text.count("picture bench-broad") == 1

    def test_without_a_date_the_pages_the_week_and_the_calendar_say_why(
        self, owner: Visitor, machine: str, monkeypatch: pytest.MonkeyPatch
    ) -> None:
        none = {"early_on": None, "even_on": None, "promise_on": None, "expected_on": None}
        mill = replace(
            dates().machines[0], **none, late_by=(), why="no date before there is a hoist"
        )
        broke = Broke(machine_name="Bed mill", was_on="2027-03-20", now_on=None, days=None,
                      why="hoist or other gear was changed since")  # fmt: skip
        view = dates(machines=(mill,), broke=(broke,))
        monkeypatch.setattr(fix, "kept_plan", lambda *_, **__: view)
        page = text_of(owner.get("/fix/plan"))
        assert "No date before there is a hoist" in page
        assert "most likely on" not in page
        assert "Promise nothing before" not in page
        assert "None" not in page
        assert "there is no date any more" in page
        assert "before there is a hoist" in paper_text(owner.get("/fix/week.pdf").content)
        assert "first good part" not in owner.get("/fix/plan.ics").text


class TestPaper:
    def test_a_card_prints_its_cautions_before_its_steps(
        self, owner: Visitor, machine: str
    ) -> None:
        answer = owner.get(f"{machine}/fix/cards/J03.pdf")
        assert answer.headers["content-type"] == "application/pdf"
        text = paper_text(answer.content)
        assert "Covers off once" in text
        assert text.index("Main switch off, locked") < text.index("tight spots, grit")

    def test_without_a_plan_there_is_no_week_and_no_calendar(
        self, owner: Visitor, machine: str
    ) -> None:
        for path in ("/fix/week.pdf", "/fix/plan.ics"):
            answer = owner.get(path)
            assert answer.status_code == 409
            assert "Plan it first" in text_of(answer)

    def test_the_plan_goes_out_as_a_week_on_paper_and_as_a_calendar(
        self, owner: Visitor, machine: str, monkeypatch: pytest.MonkeyPatch
    ) -> None:
        monkeypatch.setattr(fix, "kept_plan", lambda *_, **__: dates())
        week = owner.get("/fix/week.pdf?day=2026-12-03")
        assert "2026-11-30" in paper_text(week.content)
        calendar = owner.get("/fix/plan.ics")
        assert calendar.headers["content-type"].startswith("text/calendar")
        days = re.findall(r"DTSTART;VALUE=DATE:(\d+)", calendar.text)
        assert "20270320" in days  # what is promised


def test_every_page_and_form_of_what_to_do_stands_in_the_list_of_routes(owner: Visitor) -> None:
    for path in ("/fix/hands", "/fix/gear", "/fix/buy", "/fix/waiting", "/fix/send", "/fix/quote"):
        assert owner.get(path).status_code == 200, path
