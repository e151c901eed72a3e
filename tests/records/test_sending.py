"""One sending is kept once, whatever room it comes from."""

from __future__ import annotations

import pytest
from tests.fakes.shop import FakeShop

from retrue.base.refusals import Refusal
from retrue.phases.find import lines
from retrue.phases.fix import out_amending
from retrue.phases.settle import keeping
from retrue.phases.strip import here
from retrue.records.facts import Note
from retrue.records.sending import same_or_kept, sent_before

ID = "11111111-1111-4111-8111-111111111111"


def test_the_same_again_or_sent_twice_adds_nothing():
    shop = FakeShop()
    first = same_or_kept(shop, Note(text="belts"), None, {"by": "me", "id": ID})
    assert sent_before(shop, Note(text="belts"), {"by": "me", "id": ID}) == first
    assert same_or_kept(shop, Note(text="belts"), None, {"by": "me", "id": ID}) == first
    assert same_or_kept(shop, Note(text="belts"), first, {"by": "me"}) == first
    assert len(shop.current(Note)) == 1


def test_another_content_under_the_same_id_is_refused():
    shop = FakeShop()
    same_or_kept(shop, Note(text="belts"), None, {"by": "me", "id": ID})
    assert sent_before(shop, Note(text="chains"), {"by": "me", "id": ID}) is None
    with pytest.raises(Refusal):
        same_or_kept(shop, Note(text="chains"), None, {"by": "me", "id": ID})


def test_every_room_sends_by_the_same_rule():
    for room in (lines, here):
        assert room.same_or_kept is same_or_kept
    for room in (lines, here, out_amending, keeping):
        assert room.sent_before is sent_before
