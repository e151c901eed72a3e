from __future__ import annotations

import re
from collections.abc import Mapping

import httpx
import pytest
from starlette.applications import Starlette
from tests.fakes.shop import FakeShop
from tests.paper.reading import text_of as paper_text
from tests.powering import signed_up_to
from tests.web.conftest import SETTINGS, Clock, Offered, jpeg
from tests.web.measuring import first
from tests.web.visitor import Visitor, text_of, values

from retrue.kinds.library import Kind
from retrue.web.app import ROUTES, app


def told(owner: Visitor, machine: str, symptom: str = "Y34", **more: str) -> str:
    """The page of a trouble that was just told."""
    page = owner.get(machine + "/find")
    form = {"id": values(page, "id")[0], "symptom": symptom} | more
    answer = owner.post(machine + "/find", form, follow=False)
    assert answer.status_code == 303, text_of(answer)
    return answer.headers["location"]


def next_of(page: httpx.Response) -> str:
    return page.text[page.text.index('id="next"') :].partition("</section>")[0]


def signed(owner: Visitor, aim: str, stage: str = "running") -> None:
    """A stop point is signed by name, once its stages of first power are."""
    shop, kinds = owner.app.state.shop, owner.app.state.kinds
    lot, machine = aim.split("/")[2], aim.split("/")[4]
    signed_up_to(shop, lot, machine, kinds, "P8")
    answer = owner.post(f"{aim}/sign", {"stage": stage, "name": "Ann"}, follow=False)
    assert answer.status_code == 303, text_of(answer)


@pytest.fixture(scope="module")
def running(kinds: Mapping[str, Kind], offered: Offered) -> tuple[str, FakeShop]:
    """A trouble whose stop point is signed, and its page was looked at: what is next is known."""
    shop = FakeShop()
    shop.go_on_from(offered.looked_at)
    owner = Visitor(app(shop=shop, kinds=kinds, clock=Clock(), settings=SETTINGS))
    aim = told(owner, offered.machine)
    signed(owner, aim)
    assert owner.get(aim).status_code == 200
    return aim, shop


@pytest.fixture
def aim(house: Starlette, running: tuple[str, FakeShop]) -> str:
    """That trouble, in the test's own shop."""
    house.state.shop.go_on_from(running[1])
    return running[0]


def look(owner: Visitor, aim: str, answer: str, check: str = "C55") -> None:
    """Answer one look: end float at the screw, unless another is named."""
    sent = owner.post(f"{aim}/look", {"check": check, "channel": "running", "answer": answer})
    assert sent.status_code == 200, text_of(sent)


def thought(page: httpx.Response) -> str:
    """What is thought to be behind it, and the answer above it."""
    told = first(r'class="answer"><b>(.*?)</b>', page.text)
    table = re.search(r'<table class="stack">.*?</table>', page.text, re.DOTALL)
    assert table is not None
    return told + table[0]


class TestTheStart:
    def test_the_list_is_of_this_kind_and_can_be_searched(
        self, owner: Visitor, machine: str
    ) -> None:
        page = owner.get(machine + "/find")
        assert page.text.count('name="symptom"') == 38
        found = owner.get(machine + "/find?search=backlash")
        assert 2 <= found.text.count('name="symptom"') < 10
        assert "Nothing in the list" in owner.get(machine + "/find?search=zzzz").text

    def test_cautions_stand_before_the_list(self, owner: Visitor, machine: str) -> None:
        page = owner.get(machine + "/find")
        assert page.text.index("switched off and locked") < page.text.index('name="symptom"')

    def test_nothing_picked_is_refused_and_the_words_stay(
        self, owner: Visitor, machine: str
    ) -> None:
        answer = owner.post(machine + "/find", {"words": "since the move"})
        assert answer.status_code == 422
        assert 'value="since the move"' in answer.text
        assert "nothing was picked" in text_of(answer)

    def test_the_machine_leads_to_it(self, owner: Visitor, machine: str) -> None:
        assert f'href="{machine}/find"' in owner.get(machine).text


class TestATrouble:
    def test_one_act_stands_next_with_its_caution_before_it(self, owner: Visitor, aim: str) -> None:
        page = owner.get(aim)
        assert page.text.count('id="next"') == 1
        assert page.text.index("it allows nothing") < page.text.index('id="next"')
        assert next_of(page).index('class="caution"') < next_of(page).index('class="act"')
        assert "goal: this trouble is gone" in text_of(page)
        assert "who knew everything beforehand would pay" in text_of(page)

    def test_an_answer_moves_what_comes_next_and_stands_among_what_was_tried(
        self, owner: Visitor, aim: str
    ) -> None:
        before = thought(owner.get(aim))
        look(owner, aim, "not_seen")
        after = owner.get(aim)
        assert thought(after) != before
        assert "What I tried" in text_of(after)

    def test_a_correction_and_taking_it_back_are_followed(self, owner: Visitor, aim: str) -> None:
        untouched = thought(owner.get(aim))
        look(owner, aim, "seen")
        seen = owner.get(aim)
        answer = first(rf'href="({re.escape(aim)}/answers/[^"]+)"', seen.text)
        asked = owner.get(answer)
        assert "stays readable" in text_of(asked)
        corrected = owner.post(answer, {"answer": "not_seen"})
        assert corrected.status_code == 200
        assert thought(corrected) not in (untouched, thought(seen))
        answer = first(rf'href="({re.escape(aim)}/answers/[^"]+)"', corrected.text)
        back = owner.post(answer + "/back", {"reason": "wrong axis"})
        assert thought(back) == untouched

    def test_an_act_that_helped_ends_it(self, owner: Visitor, offered: Offered, aim: str) -> None:
        done = {"sort": "adjust", "fault": "F38", "way": "adjust", "outcome": "gone",
                "expected": "no lash", "seen": "none", "money": "40", "hours": "2",
                "bought": "a shim", "needed": "yes"}  # fmt: skip
        page = owner.post(aim + "/did", done)
        assert page.status_code == 200, text_of(page)
        assert "Nothing is left to do for it." in text_of(page)
        assert "a shim" in text_of(page)
        assert 'id="next"' not in page.text
        assert "gone" in text_of(owner.get(offered.machine + "/find"))

    def test_what_was_not_needed_is_summed(self, owner: Visitor, aim: str) -> None:
        done = {"sort": "replace", "fault": "F38", "way": "replace", "outcome": "still",
                "money": "1250", "bought": "a nut", "needed": "no"}  # fmt: skip
        page = owner.post(aim + "/did", done)
        told_sum = text_of(page).partition("and not needed:")[2][:14]
        assert re.sub(r"\D", "", told_sum) == "1250"

    def test_a_photograph_stands_beside_what_was_done(self, owner: Visitor, aim: str) -> None:
        done = {"sort": "adjust", "fault": "F38", "way": "adjust", "outcome": ""}
        page = owner.post(aim + "/did", done, [("picture", ("nut.jpg", jpeg(), "image/jpeg"))])
        shown = first(r'src="(/files/[^"]+/shown/small)"', page.text)
        assert owner.get(shown).headers["content-type"].startswith("image/")

    def test_trying_again_without_an_act_contradicts_nothing(
        self, owner: Visitor, machine: str
    ) -> None:
        aim = told(owner, machine)
        assert owner.post(aim + "/again", {"outcome": "still"}).status_code == 200
        assert "Nothing is left" in text_of(owner.post(aim + "/again", {"outcome": "gone"}))
        assert owner.get(machine.partition("/machines")[0]).status_code == 200

    def test_a_hunch_is_priced_against_the_best_step(self, owner: Visitor, aim: str) -> None:
        page = owner.post(aim + "/guess", {"fault": "F37"})
        assert page.status_code == 200
        assert "your hunch first" in page.text

    def test_a_stop_symptom_is_switched_off_before_anything(
        self, owner: Visitor, machine: str
    ) -> None:
        page = owner.get(told(owner, machine, "Y48"))
        assert page.text.index("Switch it off first.") < page.text.index('class="answer"')

    def test_while_it_is_off_only_who_was_called_may_say_that_it_is_gone(
        self, owner: Visitor, machine: str
    ) -> None:
        aim = told(owner, machine, "Y48")
        keys = 'name="outcome" value="gone"'
        assert keys not in owner.get(aim).text
        assert keys not in owner.get(aim + "?step=other").text
        helper = owner.get(aim + "?step=help")
        assert keys in next_of(helper)
        other = told(owner, machine, "Y34")
        assert "Switch it off first." in owner.get(other).text
        assert keys not in owner.get(other + "?step=help").text
        done = {"sort": "call_for_help", "outcome": "gone"}
        page = owner.post(aim + "/did", done)
        assert "Switch it off first." not in page.text
        assert "Nothing is left to do for it." in text_of(page)

    def test_a_stop_point_is_signed_by_name_only(self, owner: Visitor, machine: str) -> None:
        aim = told(owner, machine)
        answer = owner.post(f"{aim}/sign", {"stage": "running", "name": ""})
        assert answer.status_code == 422

    def test_power_is_not_signed_before_its_stages(self, owner: Visitor, machine: str) -> None:
        aim = told(owner, machine)
        answer = owner.post(f"{aim}/sign", {"stage": "running", "name": "Ann"})
        assert answer.status_code == 409
        assert "irst power is not signed so far" in text_of(answer)

    def test_a_swap_waits_for_motor_and_cable(self, owner: Visitor, machine: str) -> None:
        aim = told(owner, machine, "Y36")
        form = {"part": "axis_drive", "serial": "A1", "other_serial": "B2", "slot": "X",
                "from_slot": "Y", "same_type": "yes"}  # fmt: skip
        answer = owner.post(f"{aim}/swap", form)
        assert answer.status_code == 409
        assert 'value="A1"' in answer.text or "A1" not in answer.text

    def test_opened_and_learned(self, owner: Visitor, machine: str) -> None:
        aim = told(owner, machine)
        page = owner.post(aim + "/opened", {"fault": "F38", "present": "yes"})
        assert page.status_code == 200, text_of(page)
        learned = text_of(owner.get(machine + "/find/learned"))
        assert "Screw end" in learned
        assert "next time" in learned

    def test_something_that_was_no_step_is_kept_too(self, owner: Visitor, aim: str) -> None:
        page = owner.get(aim + "?step=other")
        assert 'value="F15:second_hand"' in next_of(page)
        for what, words in (("F15:second_hand", "replaced by a used one"), ("J05", "acuumed")):
            kept = owner.post(aim + "/did", {"other": "yes", "what": what, "seen": "as before"})
            assert kept.status_code == 200, text_of(kept)
            assert words in text_of(kept).partition("What I tried")[2]
        assert owner.post(aim + "/did", {"other": "yes", "what": ""}).status_code == 422
        refused = owner.post(
            aim + "/did", {"other": "yes", "what": "F38:no", "seen": "a burr on the nut"}
        )
        assert refused.status_code == 422
        assert 'name="what"' in next_of(refused)
        assert "a burr on the nut" in next_of(refused)

    def test_a_hunch_may_be_somebody_elses(self, owner: Visitor, aim: str) -> None:
        page = owner.post(aim + "/guess", {"fault": "F37", "informant": "the old setter"})
        assert "the old setter" in text_of(page)

    def test_a_photograph_comes_with_the_trouble(self, owner: Visitor, machine: str) -> None:
        page = owner.get(machine + "/find")
        form = {"id": values(page, "id")[0], "symptom": "Y34"}
        kept = owner.post(machine + "/find", form, [("picture", ("a.jpg", jpeg(), "image/jpeg"))])
        assert "/shown/small" in kept.text

    def test_another_step_can_be_picked(self, owner: Visitor, aim: str) -> None:
        page = owner.get(aim)
        other = first(rf'href="{re.escape(aim)}(\?step=[^"]+)"', page.text)
        assert next_of(owner.get(aim + other)) != next_of(page)

    def test_it_prints(self, owner: Visitor, aim: str) -> None:
        answer = owner.get(aim + "/sheet.pdf")
        assert answer.headers["content-type"] == "application/pdf"
        assert "What to do next" in paper_text(answer.content)


class TestALevel:
    @pytest.mark.parametrize("level", ["just_running", "right", "like_new"])
    def test_it_says_which_goal_it_speaks_of(
        self, owner: Visitor, machine: str, level: str
    ) -> None:
        page = owner.get(f"{machine}/find/{level}")
        assert page.status_code == 200
        assert f"goal: {level.replace('_', ' ')}" in text_of(page)

    def test_a_group_that_is_right_is_kept(self, owner: Visitor, machine: str) -> None:
        aim = f"{machine}/find/right"
        assert ">right<" not in owner.get(aim).text
        page = owner.post(f"{aim}/again", {"outcome": "gone", "group": "guards"})
        assert page.status_code == 200, text_of(page)
        assert "Guards" in text_of(page)
        assert page.text.count(">right<") == 1


class TestPractice:
    def test_a_machine_is_hidden_and_the_same_number_hides_the_same(self, owner: Visitor) -> None:
        begun = owner.get("/practice")
        assert 'value="turning_centre"' in begun.text
        ask = "/practice?kind=turning_centre&seed=5"
        page = owner.get(ask)
        assert page.status_code == 200, text_of(page)
        assert page.text == owner.get(ask).text
        assert page.text.index('class="caution"') < page.text.index('id="next"')
        assert "Seen before you came" in text_of(page)
        assert 'id="end"' not in page.text

    def test_acts_are_answered_and_paid_in_their_order(self, owner: Visitor) -> None:
        ask = "/practice?kind=milling_machine&seed=2"
        look = first(r'<select id="look".*?<option value="(\w+)"', owner.get(ask).text)
        page = owner.get(f"{ask}&act={look}&act=again")
        told = text_of(page).partition("What I tried")[2]
        assert told.index("Tried it again") < told.index("Paid so far")
        assert re.findall('name="act" value="([^"]+)"', page.text)[:2] == [look, "again"]
        assert look not in re.findall('<option value="([^"]+)"', page.text)

    def test_the_advice_speaks_when_it_is_asked(self, owner: Visitor) -> None:
        ask = "/practice?kind=surface_grinder&seed=2"
        assert "The advice would" not in text_of(owner.get(ask))
        assert "The advice would" in text_of(owner.get(ask + "&advice=yes"))

    @pytest.mark.parametrize("end", ["help", "stop"])
    def test_the_end_shows_the_truth_and_three_bills(self, owner: Visitor, end: str) -> None:
        page = owner.get(f"/practice?kind=milling_machine&seed=3&wrong=yes&act={end}")
        told = text_of(page)
        for words in ("Behind it was", "Your bill", "The bill of the advice", "knew everything"):
            assert words in told
        assert 'id="next"' not in page.text

    def test_what_it_does_not_know_is_refused(self, owner: Visitor) -> None:
        assert owner.get("/practice?kind=loom&seed=1").status_code == 404
        ask = "/practice?kind=milling_machine&seed="
        assert owner.get(ask + "1&act=F999:replace").status_code == 404
        for seed in ("-1", "x", "", "1e9", "1000000"):
            assert owner.get(ask + seed).status_code == 422

    def test_nothing_of_it_is_kept(self, owner: Visitor, machine: str) -> None:
        before = owner.get(machine + "/find").text
        owner.get("/practice?kind=vertical_machining_centre&seed=1&act=help")
        after = owner.get(machine + "/find").text
        assert re.sub('name="id" value="[^"]+"', "", after) == re.sub(
            'name="id" value="[^"]+"', "", before
        )


def test_a_trouble_that_is_not_there_is_said_so(owner: Visitor, machine: str) -> None:
    assert owner.get(machine + "/find/nothing").status_code == 404


def test_every_form_and_page_of_fault_finding_was_tried_here() -> None:
    find = "/lots/{lot}/machines/{machine}/find"
    aim = {"", "/look", "/did", "/again", "/sign", "/guess", "/opened", "/swap", "/sheet.pdf",
           "/answers/{record}", "/answers/{record}/back"}  # fmt: skip
    tried = {find, find + "/learned", "/practice"} | {find + "/{aim}" + path for path in aim}
    paths = {getattr(route, "path", "") for route in ROUTES}
    assert {path for path in paths if re.search("/find(/|$)|^/practice", path)} == tried
