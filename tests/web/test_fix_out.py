"""What is out, to chase, and what was quoted, on their pages."""

from __future__ import annotations

import re
from collections.abc import Mapping

import pytest
from tests.web.bare import bare_lot
from tests.web.sent import FAULT, ids, opened, sent
from tests.web.visitor import Visitor, text_of, values

from retrue.kinds.library import Kind
from retrue.records.fixing import Out, OutEnded, Quoted, Rung
from retrue.records.shop import RecordShop

Kinds = Mapping[str, Kind]


@pytest.fixture
def shop(owner: Visitor) -> RecordShop:
    kept: RecordShop = owner.app.state.shop
    return kept


@pytest.fixture
def machine(shop: RecordShop) -> str:
    return bare_lot(shop)[0]


@pytest.fixture
def found(shop: RecordShop, machine: str, kinds: Kinds) -> str:
    return opened(shop, machine, kinds)


@pytest.fixture
def out(owner: Visitor, shop: RecordShop, found: str) -> str:
    return sent(owner, shop, found)


class TestWhatIsOut:
    def test_it_is_rung_by_one_tap_and_says_how_late_it_is(self, owner: Visitor, out: str) -> None:
        page = owner.get("/fix/waiting")
        assert 'href="tel:053123456"' in page.text
        assert re.search("Promised for 2026-11-20 ?, 5 days late", text_of(page))

    def test_a_new_promise_is_kept_and_counts_as_moved(
        self, owner: Visitor, shop: RecordShop, out: str
    ) -> None:
        after = owner.post(f"{out}/ring", {"promised_on": "2026-12-04", "back": "/"})
        assert after.url.path == "/"
        assert "Promised for 2026-12-04" in text_of(after)
        assert "The promise moved once" in text_of(after)
        (rung,) = shop.current(Rung)
        assert rung.fact.rung_on == "2026-11-25"

    def test_nobody_answered_moves_no_promise(
        self, owner: Visitor, shop: RecordShop, out: str
    ) -> None:
        owner.post(f"{out}/ring", {"nobody": "yes", "promised_on": "2026-12-04"})
        (rung,) = shop.current(Rung)
        assert rung.fact.nobody
        assert rung.fact.promised_on is None

    def test_it_stays_out_until_it_is_back_and_judged(
        self, owner: Visitor, shop: RecordShop, out: str
    ) -> None:
        after = owner.post(f"{out}/back", {"how": "back", "paid": "2450"})
        assert "back, not judged" in text_of(after)
        assert "back, not judged" in text_of(owner.get("/fix/waiting"))
        owner.post(f"{out}/judge", {"judged": "good"})
        (ended,) = shop.current(OutEnded)
        assert ended.fact.judged == "good"

    def test_what_was_written_can_be_corrected(
        self, owner: Visitor, shop: RecordShop, out: str
    ) -> None:
        form = {"correct": "yes", "reach": "053 99 88 77", "parcel": "their van", "amount": "2450"}
        page = owner.post(f"{out}/correct", form)
        assert 'href="tel:053998877"' in page.text
        (record,) = shop.current(Out)
        assert (record.fact.whom, record.fact.parcel) == ("the spindle shop", "their van")
        wrong = owner.post(f"{out}/correct", form | {"amount": "much"})
        assert wrong.status_code == 422
        assert values(wrong, "amount") == ["much"]

    def test_a_deposit_is_chased_until_it_is_back(
        self, owner: Visitor, shop: RecordShop, out: str
    ) -> None:
        owner.post(f"{out}/back", {"how": "back"})
        after = owner.post(f"{out}/judge", {"judged": "good"})
        assert "Its deposit is still out" in text_of(after)
        names = ("how", "ended_on", "deposit_back")
        owner.post(f"{out}/back", {name: values(after, name)[0] for name in names})
        (ended,) = shop.current(OutEnded)
        assert (ended.fact.judged, ended.fact.deposit_back) == ("good", True)
        assert "spindle cartridge" not in text_of(owner.get("/fix/waiting"))

    def test_a_wrong_delivery_stays_until_it_is_settled(
        self, owner: Visitor, shop: RecordShop, out: str
    ) -> None:
        page = owner.post(f"{out}/back", {"how": "wrong", "deposit_back": "yes"})
        assert "Send the wrong one back" in text_of(page)
        (ended,) = shop.current(OutEnded)
        form = {"how": "wrong", "ended_on": ended.fact.ended_on, "paid": "0"}
        assert "It is over" in text_of(owner.post(f"{out}/back", form))

    def test_what_a_card_sends_out_is_filled_in(self, owner: Visitor, found: str) -> None:
        lot, machine = ids(found)
        page = owner.get(f"/fix/send?lot={lot}&machine={machine}&line={FAULT}:local")
        assert "Spindle bearings" in values(page, "what")[0]
        assert f'value="{lot}|{machine}" selected' in page.text

    @pytest.mark.parametrize(
        ("form", "field"),
        [({"how": "lost"}, "how"), ({"how": "back", "paid": "a lot"}, "paid"),
         ({"how": "back", "ended_on": "yesterday"}, "ended_on")],
    )  # fmt: skip
    def test_an_end_that_cannot_be_is_named_on_its_page(
        self, owner: Visitor, shop: RecordShop, out: str, form: dict[str, str], field: str
    ) -> None:
        answer = owner.post(f"{out}/back", form)
        assert answer.status_code == 422
        assert f'id="{field}-wrong"' in answer.text
        assert not shop.current(OutEnded)

    def test_what_was_kept_by_mistake_is_taken_back(
        self, owner: Visitor, shop: RecordShop, out: str
    ) -> None:
        owner.post(f"{out}/ring", {"promised_on": "2026-12-04"})
        (rung,) = shop.current(Rung)
        owner.post(f"{out}/withdraw", {"record": rung.id})
        assert not shop.current(Rung)
        assert "Promised for 2026-11-20" in text_of(owner.get(out))

    def test_something_without_a_name_or_a_machine_is_refused_with_the_rest_as_typed(
        self, owner: Visitor, shop: RecordShop, machine: str
    ) -> None:
        answer = owner.post("/fix/send", {"sort": "sent_out", "whom": "the winder"})
        assert answer.status_code == 422
        assert values(answer, "whom") == ["the winder"]
        for field in ("of", "what"):
            assert f'id="{field}-wrong"' in answer.text
        assert not shop.current(Out)


class TestAQuote:
    def about(self, machine: str) -> str:
        return "|".join((*ids(machine), f"{FAULT}:local"))

    def test_one_line_is_read_back_before_it_is_kept(
        self, owner: Visitor, shop: RecordShop, found: str
    ) -> None:
        said = "the spindle shop, Tuesday, 2450 incl, 3 weeks, ask for Jan"
        page = owner.get("/fix/quote", params={"for": self.about(found), "said": said})
        read = {name: values(page, name)[0] for name in ("amount", "days", "quoted_on")}
        assert read == {"amount": "2450", "days": "21", "quoted_on": "2026-11-24"}
        assert 'name="tax" value="incl" checked' in page.text
        assert not shop.current(Quoted)

    def test_what_is_doubted_is_asked_and_not_filled_in(self, owner: Visitor, found: str) -> None:
        said = "the spindle shop, 2450 and deposit 100, 3 weeks"
        page = owner.get("/fix/quote", params={"for": self.about(found), "said": said})
        assert "is not one figure" in page.text
        assert values(page, "amount") == [""]
        assert values(page, "days") == ["21"]

    def test_what_it_is_for_may_be_picked_afterwards(self, owner: Visitor, found: str) -> None:
        page = owner.get("/fix/quote", params={"said": "winder in Ghent, 600 incl, 10 days"})
        assert values(page, "vendor") == ["winder in Ghent"]
        assert values(page, "days") == ["10"]

    def test_it_is_kept_compared_and_taken(
        self, owner: Visitor, shop: RecordShop, found: str
    ) -> None:
        form = {"for": self.about(found), "vendor": "the spindle shop", "amount": "2450",
                "days": "21", "currency": "eur"}  # fmt: skip
        assert owner.post("/fix/quote", form).status_code == 200
        (quoted,) = shop.current(Quoted)
        assert (quoted.fact.currency, quoted.fact.by_telephone) == ("EUR", True)
        after = owner.post("/fix/take", {"quote": quoted.id, "machine": ids(found)[1]})
        assert after.url.path == "/fix/waiting"
        (out,) = shop.current(Out)
        assert (out.fact.quote, out.fact.promised_on) == (quoted.id, "2026-12-16")

    def test_what_lacks_is_named_and_what_was_typed_stays(
        self, owner: Visitor, shop: RecordShop, found: str
    ) -> None:
        answer = owner.post("/fix/quote", {"for": self.about(found), "days": "21"})
        assert answer.status_code == 422
        for field in ("vendor", "amount"):
            assert f'id="{field}-wrong"' in answer.text
        assert values(answer, "days") == ["21"]
        assert not shop.current(Quoted)
