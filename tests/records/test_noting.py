"""What is kept while a form is answered is noted, in whichever thread; elsewhere nothing is."""

from __future__ import annotations

from functools import partial

import anyio
import anyio.to_thread
from tests.fakes.shop import FakeShop

from retrue.records.facts import Note
from retrue.records.noting import noting
from retrue.records.searching import TEXTS, words_of
from retrue.records.shop import ToAdd


def test_what_a_deed_keeps_is_noted_in_its_order():
    shop = FakeShop()
    shop.add(Note(text="before"), by="owner")
    with noting() as kept:
        first = shop.add(Note(text="one"), by="owner")
        more = shop.add_all([ToAdd(fact=Note(text="two")), ToAdd(fact=Note(text="three"))], by="me")
        gone = shop.withdraw(first.id, by="owner")
    shop.add(Note(text="after"), by="owner")
    assert kept == [first, *more, gone]


def test_a_thread_that_is_asked_from_here_is_noted_and_two_forms_stay_apart():
    shop = FakeShop()
    told: dict[str, list[str]] = {}

    async def form(name: str) -> None:
        with noting() as kept:
            for n in range(3):
                fact = Note(text=f"{name} {n}")
                await anyio.to_thread.run_sync(partial(shop.add, fact, by="owner"))
        told[name] = [one.fact.text for one in kept]

    async def both() -> None:
        async with anyio.create_task_group() as group:
            group.start_soon(form, "phone")
            group.start_soon(form, "laptop")

    anyio.run(both)
    assert told == {name: [f"{name} {n}" for n in range(3)] for name in ("phone", "laptop")}


def test_ids_and_hashes_are_no_words():
    """No field that holds an id of a record, a hash or JSON text is looked through."""
    never = {"lot", "machine", "sha256", "file_sha256", "content_sha256", "content", "sheet",
             "plan", "compared", "bands", "kind_hash", "version", "trouble",
             "set", "finding", "out", "taken", "begun", "ended", "watch", "picture",
             "receipt"}  # fmt: skip
    named = {name for fields in TEXTS.values() for name in fields}
    assert named & never == set()
    assert words_of(Note(text="hot", file="f1", lot="l1", machine="m1")) == ("hot",)
