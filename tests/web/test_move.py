"""The pages of moving: answers before forms, nothing typed twice, refusals that lose nothing."""

from __future__ import annotations

import re

import pytest
from tests.paper.reading import text_of as paper_text
from tests.web.conftest import jpeg
from tests.web.visitor import Visitor, text_of, values

from retrue.cases.reckon.method import methods
from retrue.web.app import ROUTES

LIFT = {"mass_kg": "4200 kg", "mass_from": "weighed", "legs": "2", "angle_deg": "60",
        "centre": "drawing", "spread_mm": "1400"}  # fmt: skip
FLOOR = {"shop_width_mm": "9000", "shop_depth_mm": "7000", "width_mm": "2100",
         "depth_mm": "2300", "x_mm": "2500", "y_mm": "2200", "cabinet_mm": "700"}  # fmt: skip


def kept(owner: Visitor, path: str, form: dict[str, str], **more: object) -> str:
    answer = owner.post(path, form, follow=False, **more)
    assert answer.status_code == 303, text_of(answer)
    return text_of(owner.get(path))


class TestThePlan:
    def test_cautions_stand_before_the_answer_and_the_answer_before_the_forms(
        self, owner: Visitor, machine: str
    ) -> None:
        page = owner.get(machine + "/move").text.partition("<main")[2]
        places = [page.index(mark) for mark in ('class="caution"', 'class="answer"', "<form")]
        assert places == sorted(places)

    def test_it_names_every_calculator_and_one_next_act(self, owner: Visitor, machine: str) -> None:
        page = owner.get(machine + "/move")
        assert all(one.title in text_of(page) for one in methods("move"))
        assert page.text.count('id="next"') == 1

    def test_the_plug_is_refused_with_the_list_and_the_name_stays(
        self, owner: Visitor, machine: str
    ) -> None:
        form = {"step": "unplugged", "name": "the electrician"}
        answer = owner.post(machine + "/move/steps", form)
        assert answer.status_code == 409
        told = text_of(answer)
        for what in ("parameters", "pitch and compensation", "ladder", "plug numbered"):
            assert what in told

    def test_a_step_that_waits_for_nothing_is_ticked_and_told_with_its_name(
        self, owner: Visitor, machine: str
    ) -> None:
        form = {"step": "insured", "name": "the broker", "text": "12 000, floor to floor"}
        answer = owner.post(machine + "/move/steps", form, follow=False)
        assert answer.status_code == 303
        assert "the broker" in text_of(owner.get(machine + "/move"))
        sheet = owner.get(machine + "/move/sheet.pdf")
        assert "the broker" in paper_text(sheet.content)

    def test_what_was_ticked_by_mistake_is_taken_back(self, owner: Visitor, machine: str) -> None:
        owner.post(machine + "/move/steps", {"step": "plugs_marked"})
        record = values(owner.get(machine + "/move"), "record")[0]
        answer = owner.post(machine + "/move/back", {"record": record, "page": "move"})
        assert answer.status_code == 200
        assert not values(answer, "record")
        again = owner.post(machine + "/move/back", {"record": record})
        assert again.status_code == 200  # two take the same thing back: it is taken back
        assert not values(again, "record")


class TestACalculator:
    @pytest.mark.parametrize("id", [one.id for one in methods("move")])
    def test_it_opens_with_nothing_known(self, owner: Visitor, machine: str, id: str) -> None:
        page = owner.get(f"{machine}/move/{id}")
        assert page.status_code == 200
        assert page.text.index('class="caution"') < page.text.index('id="answer"')
        assert "Estimate for planning" in text_of(page)

    def test_what_is_filled_in_is_answered_drawn_and_there_again(
        self, owner: Visitor, machine: str
    ) -> None:
        told = kept(owner, machine + "/move/lift", LIFT)
        assert "2 425" in told.replace("\u202f", " ")  # 4200 / 2 / sin 60
        page = owner.get(machine + "/move/lift")
        assert "<svg" in page.text
        assert values(page, "mass_kg") == ["4200 kg"]
        assert values(owner.get(machine + "/move/ramp"), "mass_kg") == ["4200 kg"]

    def test_a_field_that_cannot_be_read_is_named_and_everything_typed_stays(
        self, owner: Visitor, machine: str
    ) -> None:
        form = LIFT | {"mass_kg": "4 tons", "angle_deg": "61"}
        answer = owner.post(machine + "/move/lift", form)
        assert answer.status_code == 422
        assert "means two things" in text_of(answer)
        assert values(answer, "angle_deg") == ["61"]
        assert values(answer, "mass_kg") == ["4 tons"]

    def test_a_no_go_is_a_page_not_an_error(self, owner: Visitor, machine: str) -> None:
        told = kept(owner, machine + "/move/lift", LIFT | {"angle_deg": "25"})
        assert "No-go" in told
        assert "Longer slings" in told

    def test_a_log_is_kept_and_told_and_another_form_does_not_lose_it(
        self, owner: Visitor, machine: str
    ) -> None:
        rows = "\n".join(f"{hour},{8 + hour % 3},{70}" for hour in range(48))
        log = f"time,air_c,humidity_percent\n{rows}\n".encode()
        files = [("log", ("log.csv", log, "text/csv"))]
        told = kept(owner, machine + "/move/layup", {"cell_mah": "1200", "cell_ua": "15"},
                    files=files)  # fmt: skip
        assert "over the dew point at worst" in told
        page = owner.get(machine + "/move/layup")
        form = {"log-kept": values(page, "log-kept")[0], "cell_mah": "900", "cell_ua": "15"}
        assert "over the dew point at worst" in kept(owner, machine + "/move/layup", form)

    def test_a_log_that_is_none_is_refused_by_row_and_nothing_is_kept(
        self, owner: Visitor, machine: str
    ) -> None:
        files = [("log", ("log.csv", b"time,air_c,humidity_percent\nx,1,50\n", "text/csv"))]
        answer = owner.post(machine + "/move/layup", {}, files)
        assert answer.status_code == 422
        assert "row 2" in text_of(answer)
        assert not values(owner.get(machine + "/move/layup"), "log-kept")

    def test_the_floor_plan_is_printed_to_scale(self, owner: Visitor, machine: str) -> None:
        kept(owner, machine + "/move/floor", FLOOR)
        sheet = owner.get(machine + "/move/layout.pdf")
        assert "1:" in paper_text(sheet.content)

    def test_there_is_no_layout_before_the_floor_is_filled_in(
        self, owner: Visitor, machine: str
    ) -> None:
        assert owner.get(machine + "/move/layout.pdf").status_code == 409

    def test_an_unknown_calculator_is_said_so(self, owner: Visitor, machine: str) -> None:
        assert owner.get(machine + "/move/catapult").status_code == 404


class TestDataBeforeThePlug:
    def test_a_file_is_kept_read_back_and_counts_only_then(
        self, owner: Visitor, machine: str
    ) -> None:
        path = machine + "/move/data"
        send = [("file", ("param.txt", b"N1 P2", "text/plain"))]
        owner.post(path, {"sort": "parameters", "how": "serial line"}, send)
        assert "kept, not read back yet" in text_of(owner.get(path))
        again = [("again", ("param.txt", b"N1 P3", "text/plain"))]
        owner.post(path + "/again", {"sort": "parameters"}, again)
        assert "read back, not the same" in text_of(owner.get(path))
        again = [("again", ("param.txt", b"N1 P2", "text/plain"))]
        owner.post(path + "/again", {"sort": "parameters"}, again)
        assert "read back, the same" in text_of(owner.get(path))

    def test_the_cell_caution_stands_before_everything(self, owner: Visitor, machine: str) -> None:
        page = owner.get(machine + "/move/data").text.partition("<main")[2]
        assert page.index("control powered, unless its manual") < page.index("<form")


class TestArrival:
    def test_sides_are_photographed_beside_the_sellers(self, owner: Visitor, machine: str) -> None:
        files = [("picture", ("a.jpg", jpeg(), "image/jpeg"))]
        form = {"spot": "truck", "side": "left"}
        answer = owner.post(machine + "/arrival/sides", form, files, follow=False)
        assert answer.status_code == 303, text_of(answer)
        page = owner.get(machine + "/arrival")
        assert "truck 1, floor 0" in text_of(page)
        assert "seller’s photograph" in page.text
        lot = machine.partition("/machines")[0]
        seller = re.findall(r"pictures/([0-9a-f-]{36})", owner.get(lot + "/pictures").text)
        kept = re.findall(r'href="/files/([0-9a-f-]{36})"', page.text)
        assert len(set(kept) - set(seller)) == 1  # what arrived is none of the listing's

    def test_damage_has_a_last_day_a_note_and_a_paper(self, owner: Visitor, machine: str) -> None:
        form = {"damage": "hidden", "text": "tank cracked", "delivered_on": "2026-11-20",
                "carrier": "a haulier", "law": "CMR"}  # fmt: skip
        told = kept(owner, machine + "/arrival", form)
        assert "Write to the carrier by 2026-11-28" in told
        assert "3 days left" in told
        assert "tank cracked" in paper_text(owner.get(machine + "/arrival/damage.pdf").content)

    def test_damage_without_a_word_is_refused_and_the_form_stays(
        self, owner: Visitor, machine: str
    ) -> None:
        form = {"damage": "visible", "delivered_on": "2026-11-20", "carrier": "a haulier"}
        answer = owner.post(machine + "/arrival", form)
        assert answer.status_code == 422
        assert values(answer, "carrier") == ["a haulier"]

    def test_there_is_no_note_without_damage(self, owner: Visitor, machine: str) -> None:
        assert owner.get(machine + "/arrival/damage.pdf").status_code == 409


class TestAtRest:
    def test_a_round_is_kept_due_again_and_late_is_told(
        self, owner: Visitor, machine: str, clock
    ) -> None:
        form = {"since_on": "2026-11-20", "every_days": "30"}
        assert "Next round on 2026-12-20" in kept(owner, machine + "/rest", form)
        clock.passes(days=35)
        assert "10 days late" in text_of(owner.get(machine + "/rest"))
        assert "10 days late" in text_of(owner.get(machine + "/move"))
        done = {"done": ["looked", "damp_read"], "air_c": "9", "humidity_percent": "80",
                "machine_c": "8", "cell_volts": "3.0",
                "observed_at": "2026-12-30T20:40:00+00:00"}  # fmt: skip
        answer = owner.post(machine + "/rest/rounds", done, follow=False)
        assert answer.status_code == 303, text_of(answer)
        assert "Next round on 2027-01-29" in text_of(owner.get(machine + "/rest"))

    def test_a_round_with_a_damp_that_cannot_be_is_refused(
        self, owner: Visitor, machine: str
    ) -> None:
        kept(owner, machine + "/rest", {"since_on": "2026-11-20"})
        form = {"done": "looked", "air_c": "9", "humidity_percent": "180"}
        assert owner.post(machine + "/rest/rounds", form).status_code == 422


def test_every_route_of_moving_is_tried_here() -> None:
    move = ("", "/steps", "/back", "/data", "/data/again", "/sheet.pdf", "/layout.pdf", "/{method}")
    tried = {"/move" + path for path in move}
    tried |= {"/arrival", "/arrival/sides", "/arrival/damage.pdf", "/rest", "/rest/rounds"}
    tried = {"/lots/{lot}/machines/{machine}" + path for path in tried}
    paths = {getattr(route, "path", "") for route in ROUTES}
    mine = re.compile(r"/move(/|$)|/arrival|/rest(/|$)")
    assert {path for path in paths if mine.search(path)} == tried


def test_the_price_says_what_the_move_needs_and_falls_by_it(owner: Visitor, machine: str) -> None:
    lot = machine.partition("/machines")[0]
    assert "It is in the price" not in text_of(owner.get(lot))
    form = {"width_mm": "2100", "height_mm": "2850", "door_width_mm": "2800",
            "door_height_mm": "2600"}  # fmt: skip
    kept(owner, machine + "/move/door", form)
    told = text_of(owner.get(lot))
    assert "an opening made higher or another way in" in told
    assert "It is in the price" in told
