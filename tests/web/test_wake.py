"""First power on its pages: the ladder, one sheet before the machine for each stage."""

from __future__ import annotations

import re
from collections.abc import Mapping
from datetime import timedelta

import pytest
from tests import powering
from tests.paper.reading import text_of as paper_text
from tests.powering import AN, BEA, LICENCE
from tests.web.bare import bare_lot
from tests.web.measuring import first
from tests.web.visitor import Visitor, text_of, values

from retrue.kinds.library import Kind
from retrue.kinds.waking import Stage
from retrue.records.shop import RecordShop
from retrue.records.waking import CauseFound, StageBegun, StageEnded, StageReading

Kinds = Mapping[str, Kind]


@pytest.fixture
def shop(owner: Visitor) -> RecordShop:
    kept: RecordShop = owner.app.state.shop
    return kept


@pytest.fixture
def machines(shop: RecordShop) -> tuple[str, ...]:
    return bare_lot(shop)


@pytest.fixture
def machine(machines: tuple[str, ...]) -> str:
    return machines[0]


@pytest.fixture
def here(machine: str) -> str:
    return machine + "/wake"


def ids(here: str) -> tuple[str, str]:
    return here.split("/")[2], here.split("/")[4]


def ready(shop: RecordShop, here: str, kinds: Kinds, stage: str) -> None:
    """All stages before this one are signed, and what it wants closed is closed."""
    lot, machine = ids(here)
    powering.stamp(shop, lot, machine, kinds)
    if int(stage[1]):
        powering.signed_up_to(shop, lot, machine, kinds, f"P{int(stage[1]) - 1}")
    powering.close(shop, lot, machine, kinds, stage_of(kinds, stage))


def stage_of(kinds: Kinds, stage: str) -> Stage:
    return next(k.stages[stage] for k in kinds.values() if stage in k.stages)


def beginning(kinds: Kinds, stage: str, **more: str | list[str]) -> dict[str, str | list[str]]:
    return {"by_name": AN, "at_switch": BEA, "cautions": list(stage_of(kinds, stage).cautions),
            **more}  # fmt: skip


class TestTheLadder:
    def test_the_machine_leads_to_it_and_it_to_every_stage(
        self, owner: Visitor, here: str, machine: str
    ) -> None:
        assert f'href="{here}"' in owner.get(machine).text
        page = owner.get(here)
        stages = set(re.findall(rf'href="({re.escape(here)}/stages/[\w-]+)"', page.text))
        assert len(stages) == 11
        for path in (*stages, here + "/watch"):
            assert owner.get(path).status_code == 200, path

    def test_with_nobody_at_the_switch_it_says_what_can_be_done_alone(
        self, owner: Visitor, here: str
    ) -> None:
        alone = owner.get(here)
        assert "Nobody is at the main switch" in text_of(alone)
        assert first(r'id="alone".*?<li>(.*?)</li>', alone.text.replace("\n", " "))
        named = owner.get(here + "?at_switch=Bea+Maes")
        assert "Alone tonight" not in text_of(named)
        assert "stages/P0-V?at_switch=Bea" in named.text

    def test_a_caution_stands_before_the_answer_and_one_act_is_next(
        self, owner: Visitor, here: str
    ) -> None:
        page = owner.get(here).text
        assert page.index('class="caution"', page.index("<h1>")) < page.index('class="answer"')
        assert page.index('class="answer"') < page.index('id="next"') < page.index('class="rungs"')

    def test_what_goes_on_names_who_was_said_to_stand_at_the_switch(
        self, owner: Visitor, here: str, kinds: Kinds, shop: RecordShop
    ) -> None:
        ready(shop, here, kinds, "P3-V")
        owner.post(here + "/stages/P3-V/begin", beginning(kinds, "P3-V"))
        page = text_of(owner.get(here))
        assert f"At the main switch, as it was begun: {BEA}" in page
        assert "Nobody is at the main switch" not in page


class TestAStage:
    def test_cautions_stand_before_what_is_closed_and_that_before_the_numbers(
        self, owner: Visitor, here: str
    ) -> None:
        page = owner.get(here + "/stages/P0-V").text
        order = ['name="cautions"', 'id="closed"', 'id="bands"', 'name="by_name"']
        places = [page.index(mark) for mark in order]
        assert places == sorted(places)
        assert page.rindex('name="cautions"') < page.index('id="closed"')

    def test_beginning_too_early_is_refused_with_the_list_and_nothing_typed_is_lost(
        self, owner: Visitor, here: str, kinds: Kinds
    ) -> None:
        form = beginning(kinds, "P4-V", text="pumps first")
        page = owner.post(here + "/stages/P4-V/begin", form)
        assert page.status_code == 409
        refused = page.text[page.text.index('id="refused"') :].partition("</div>")[0]
        assert refused.count("<li>") > 3
        for typed in (f'value="{AN}"', f'value="{BEA}"', 'value="pumps first"'):
            assert typed in page.text
        assert page.text.count(" checked> Read") == len(stage_of(kinds, "P4-V").cautions)

    @pytest.mark.parametrize(("lacks", "said"), [("at_switch", "switch"), ("by_name", "name")])
    def test_an_unnamed_switch_keeps_it_closed(
        self, owner: Visitor, here: str, kinds: Kinds, shop: RecordShop, lacks: str, said: str
    ) -> None:
        ready(shop, here, kinds, "P3-V")
        page = owner.post(here + "/stages/P3-V/begin", beginning(kinds, "P3-V") | {lacks: ""})
        assert page.status_code in (409, 422)
        assert said in text_of(page)[text_of(page).index("my shop") :]
        assert not shop.current(StageBegun, stage="P3-V")

    def test_a_caution_that_is_not_ticked_keeps_it_closed(
        self, owner: Visitor, here: str, kinds: Kinds, shop: RecordShop
    ) -> None:
        ready(shop, here, kinds, "P3-V")
        form = beginning(kinds, "P3-V") | {"cautions": []}
        assert owner.post(here + "/stages/P3-V/begin", form).status_code in (409, 422)

    def test_it_is_begun_read_and_signed_and_the_signature_can_be_taken_back(
        self, owner: Visitor, here: str, kinds: Kinds, shop: RecordShop
    ) -> None:
        ready(shop, here, kinds, "P3-V")
        stage = here + "/stages/P3-V"
        page = owner.post(stage + "/begin", beginning(kinds, "P3-V"))
        assert page.status_code == 200, text_of(page)
        early = owner.post(stage + "/sign", {"name": AN})
        assert early.status_code == 409
        for name, reading in (("control_dc", "24,1"), ("cell", "97")):
            page = owner.post(stage + "/readings", {"name": name, "reading": reading})
            assert page.status_code == 200, text_of(page)
        assert page.text.count('class="shape good">in<') == 2
        page = owner.post(stage + "/sign", {"name": AN})
        assert page.status_code == 200, text_of(page)
        assert "P3-V" in {one.fact.stage for one in shop.current(StageEnded)}
        (record,) = [one.id for one in shop.current(StageEnded, stage="P3-V")]
        owner.post(here + "/back", {"record": record, "stage": "P3-V"})
        assert not shop.current(StageEnded, stage="P3-V")

    def test_a_reading_past_its_limit_calls_it_off(
        self, owner: Visitor, here: str, kinds: Kinds, shop: RecordShop
    ) -> None:
        ready(shop, here, kinds, "P3-V")
        stage = here + "/stages/P3-V"
        owner.post(stage + "/begin", beginning(kinds, "P3-V"))
        page = owner.post(stage + "/readings", {"name": "control_dc", "reading": "31"})
        assert "called off" in text_of(page)
        assert page.text.index('id="found"') < page.text.index('id="begin"')
        (wrong,) = shop.current(StageReading)
        back = {"record": wrong.id, "stage": "P3-V"}
        assert owner.post(here + "/back", back).status_code == 422  # why is asked
        assert values(page, "record") == [wrong.id]
        page = owner.post(here + "/back", back | {"reason": "24 was read"})
        assert 'id="sign"' in page.text

    def test_what_is_out_is_signed_with_a_word_on_it(
        self, owner: Visitor, here: str, kinds: Kinds, shop: RecordShop
    ) -> None:
        ready(shop, here, kinds, "P6-V")
        stage = here + "/stages/P6-V"
        owner.post(stage + "/begin", beginning(kinds, "P6-V"))
        powering.read_all(shop, *ids(here), kinds, "P6-V")
        page = owner.post(stage + "/readings", {"name": "axis_load", "reading": "35", "point": "X"})
        assert values(page, "text")
        assert owner.post(stage + "/sign", {"name": AN}).status_code == 409
        page = owner.post(stage + "/sign", {"name": AN, "text": "stiff way oil, cold"})
        assert page.status_code == 200, text_of(page)
        assert shop.current(StageEnded, stage="P6-V")[-1].fact.text == "stiff way oil, cold"

    def test_called_off_the_cause_comes_before_a_second_try(
        self, owner: Visitor, here: str, kinds: Kinds, shop: RecordShop
    ) -> None:
        ready(shop, here, kinds, "P3-V")
        stage = here + "/stages/P3-V"
        owner.post(stage + "/begin", beginning(kinds, "P3-V"))
        owner.post(stage + "/abort", {"name": AN, "why": "smell"})
        again = owner.post(stage + "/begin", beginning(kinds, "P3-V"))
        assert again.status_code == 409
        assert owner.post(stage + "/found", {"name": AN}).status_code == 422
        page = owner.post(stage + "/found", {"name": AN, "cause": "dust on a lamp"})
        assert page.status_code == 200, text_of(page)
        (found,) = shop.current(CauseFound)
        assert found.fact.cause == "dust on a lamp"
        assert owner.post(stage + "/begin", beginning(kinds, "P3-V")).status_code == 200

    def test_it_is_called_off_by_one_key_or_in_words_and_left_by_name(
        self, owner: Visitor, here: str, kinds: Kinds, shop: RecordShop
    ) -> None:
        ready(shop, here, kinds, "P3-V")
        stage = here + "/stages/P3-V"
        owner.post(stage + "/begin", beginning(kinds, "P3-V"))
        owner.post(stage + "/leave", {"name": AN})
        assert shop.current(StageEnded, stage="P3-V")[-1].fact.how == "left"
        owner.post(stage + "/begin", beginning(kinds, "P3-V"))
        page = owner.get(stage)
        assert "smell" in values(page, "why")
        assert owner.post(stage + "/abort", {"name": AN}).status_code in (409, 422)
        owner.post(stage + "/abort", {"name": AN, "because": "a hum"})
        assert shop.current(StageEnded, stage="P3-V")[-1].fact.why == "a hum"

    def test_wrong_numbers_come_back_as_they_were_typed(
        self, owner: Visitor, here: str, kinds: Kinds, shop: RecordShop
    ) -> None:
        ready(shop, here, kinds, "P3-V")
        stage = here + "/stages/P3-V"
        owner.post(stage + "/begin", beginning(kinds, "P3-V"))
        page = owner.post(stage + "/readings", {"name": "cell", "reading": "lots", "point": "rack"})
        assert page.status_code == 422
        assert 'value="lots"' in page.text
        assert 'value="rack"' in page.text
        assert owner.post(stage + "/readings", {"reading": "5"}).status_code == 422
        assert not shop.current(StageReading)

    def test_a_reading_sent_twice_is_kept_once(
        self, owner: Visitor, here: str, kinds: Kinds, shop: RecordShop
    ) -> None:
        ready(shop, here, kinds, "P3-V")
        stage = here + "/stages/P3-V"
        owner.post(stage + "/begin", beginning(kinds, "P3-V"))
        form = {"id": "8d1c2ab6-0000-4000-8000-0000000000a1", "name": "cell", "reading": "97"}
        for _ in range(2):
            assert owner.post(stage + "/readings", form).status_code == 200
        assert len(shop.current(StageReading)) == 1

    def test_a_band_of_ones_own_is_kept_with_where_it_is_from(
        self, owner: Visitor, here: str, kinds: Kinds, shop: RecordShop
    ) -> None:
        ready(shop, here, kinds, "P3-V")
        own = {"band": ["cell"], "cell-low": "95", "cell-why": "new cells, their own sheet"}
        form = beginning(kinds, "P3-V") | own
        page = owner.post(here + "/stages/P3-V/begin", form)
        assert page.status_code == 200, text_of(page)
        assert "95\u202f% or more" in page.text
        assert "new cells, their own sheet" in text_of(page)
        (begun,) = shop.current(StageBegun, stage="P3-V")
        assert "95" in begun.fact.bands

    def test_live_work_says_why_and_who_and_never_how(
        self, owner: Visitor, here: str, kinds: Kinds, shop: RecordShop
    ) -> None:
        page = owner.get(here + "/stages/P5-V")
        assert "Live work: not yours" in text_of(page)
        assert "Capacitors that slept can burst" in text_of(page)
        assert "It must be so" not in text_of(page)
        ready(shop, here, kinds, "P1-V")
        form = beginning(kinds, "P1-V", licence="")
        assert owner.post(here + "/stages/P1-V/begin", form).status_code in (409, 422)
        form = beginning(kinds, "P1-V", licence=LICENCE)
        assert owner.post(here + "/stages/P1-V/begin", form).status_code == 200

    def test_its_sheet_prints(self, owner: Visitor, here: str) -> None:
        answer = owner.get(here + "/stages/P3-V/sheet.pdf")
        assert answer.headers["content-type"] == "application/pdf"
        assert "Control and screen" in " ".join(paper_text(answer.content).split())
        assert owner.get(here + "/stages/P99-V").status_code == 404


class TestAFirstTurn:
    @pytest.fixture
    def lathe(self, machines: tuple[str, ...]) -> str:
        return machines[1]

    def test_jaws_off_or_clamped_on_a_plain_slug_is_asked_and_kept(
        self, owner: Visitor, lathe: str, kinds: Kinds, shop: RecordShop
    ) -> None:
        here = lathe + "/wake"
        ready(shop, here, kinds, "P8-L")
        stage = here + "/stages/P8-L"
        form = beginning(kinds, "P8-L", heard="yes", laptop="yes", step="1")
        page = owner.get(stage)
        assert len(values(page, "choice")) == 2
        page = owner.post(stage + "/begin", form)
        assert page.status_code in (409, 422)
        page = owner.post(stage + "/begin", form | {"choice": "jaws_off"})
        assert page.status_code == 200, text_of(page)

    def test_it_waits_for_the_alarm_that_was_heard_or_for_paper(
        self, owner: Visitor, here: str, kinds: Kinds, shop: RecordShop
    ) -> None:
        ready(shop, here, kinds, "P8-V")
        stage = here + "/stages/P8-V"
        form = beginning(kinds, "P8-V", step="1")
        page = owner.post(stage + "/begin", form | {"laptop": "yes"})
        assert page.status_code in (409, 422)
        assert "alarm" in text_of(page).lower()
        page = owner.post(stage + "/begin", form | {"laptop": "no"})
        assert page.status_code == 200, text_of(page)
        assert f'href="{here}/watch?stage=P8-V"' in page.text
        other = page.text.index('id="steps"')  # folded: only the step that goes on stands open
        assert page.text.index("Nose over its start, step 1") < other
        assert other < page.text.index("Nose over its start, step 2")
        assert page.text.index("Closed already") < page.text.index('id="bands"')

    def test_attended_hours_are_typed_with_their_end(
        self, owner: Visitor, here: str, kinds: Kinds, shop: RecordShop
    ) -> None:
        lot, machine = ids(here)
        powering.stamp(shop, lot, machine, kinds)
        powering.signed_up_to(shop, lot, machine, kinds, "P9")
        powering.close(shop, lot, machine, kinds, stage_of(kinds, "P10-V"))
        begun = powering.begun(shop, lot, machine, kinds, "P10")
        stage = here + "/stages/P10-V"
        form = {"name": "attended_hours", "reading": "2", "taken_by": BEA}
        early = begun.observed_at + timedelta(hours=1)
        page = owner.post(stage + "/readings", form | {"until": early.isoformat()})
        assert page.status_code == 422
        assert 'id="until"' in page.text
        later = begun.observed_at + timedelta(hours=3)
        page = owner.post(stage + "/readings", form | {"until": later.isoformat()})
        assert page.status_code == 200, text_of(page)
        assert "Attended so far: 2 h" in text_of(page)

    def test_the_whole_run_in_stands_there_before_the_start_on_page_and_paper(
        self, owner: Visitor, here: str
    ) -> None:
        page = owner.get(here + "/stages/P8-V")
        assert page.text.count("<svg") == 2
        assert "Nose over its start, step 9" in text_of(page)
        answer = owner.get(here + "/watch/sheet.pdf?stage=P8-V")
        paper = " ".join(paper_text(answer.content).split())
        assert "100 % of the highest speed" in paper
        axes = owner.get(here + "/watch?stage=P10-V")
        assert values(axes, "step") == ["", "1", "2", "3"]
