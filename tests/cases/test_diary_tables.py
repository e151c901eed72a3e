"""Every kind of record has its words, its sort, its rule, its page: nothing is left out."""

from __future__ import annotations

import types
from collections import Counter
from collections.abc import Iterator
from decimal import Decimal
from typing import Any, Literal, Union, get_args, get_origin

import pytest
from tests.library import load

from retrue.base.say import sentences
from retrue.cases.diary_fields import (
    FIELD_WORDS,
    NOT_SHOWN,
    NOT_SHOWN_OF,
    OWN_NAMES,
    field_word,
    is_shown,
)
from retrue.cases.diary_pages import PAGES, Spot, page_of
from retrue.cases.diary_record import About, headline, told
from retrue.cases.diary_rules import (
    FALL_WITH_MACHINE,
    HANGS,
    MONEY,
    RULES,
    refers_to,
    why_not,
)
from retrue.cases.diary_values import LIBRARY, OWN_WORDS, VALUE_WORDS
from retrue.cases.diary_words import KIND_WORDS, SORTS
from retrue.records.checking import KINDS, types_of
from retrue.records.facts import Fact, Finding, Frozen, Outcome
from retrue.records.settling import Posting

EVERY = sorted(KINDS)


def value_of(hint: Any) -> Any:
    """Some value of a type."""
    origin, inner = get_origin(hint), get_args(hint)
    if origin is Literal:
        return inner[-1]
    if origin in (Union, types.UnionType):
        return value_of(inner[0])
    if origin is tuple:
        return (value_of(inner[0]),) if inner[-1] is Ellipsis else tuple(map(value_of, inner))
    made: dict[Any, Any] = {str: "x1", int: 1, float: 1.5, bool: True, Decimal: Decimal("2.50")}
    return made[hint]


def full(kind: str) -> Fact:
    """A record of a kind with something in every field."""
    cls: Any = KINDS[kind]
    return cls(**{name: value_of(hint) for name, hint in types_of(cls).items()})


@pytest.mark.parametrize("table", [KIND_WORDS, RULES, PAGES], ids=["words", "rules", "pages"])
def test_every_kind_is_in_the_table_and_nothing_else_is(table):
    assert set(table) == set(KINDS)


def test_every_kind_is_of_exactly_one_sort():
    counted = Counter(kind for _, kinds in SORTS.values() for kind in kinds)
    assert counted == Counter(EVERY)


def test_what_hangs_is_named_by_fields_that_are_there():
    for kind, every in HANGS.items():
        assert kind in KINDS
        for one in every:
            assert one.field in types_of(KINDS[one.kind]), one
    assert set(KINDS) >= FALL_WITH_MACHINE
    assert set(KINDS) >= MONEY


def test_whatever_names_another_record_is_known():
    """A field that is called like a record and holds an id: it hangs, or is told why not."""
    fields = {"trouble", "set", "out", "taken", "begun", "ended", "watch", "sensed", "quote"}
    named = {
        (kind, name)
        for kind in KINDS
        for name in types_of(KINDS[kind])
        if name in fields and types_of(KINDS[kind])[name] in (str, str | None)
    }
    unknown = {pair for pair in named if not refers_to(*pair)}
    assert unknown == {("file", "taken")}  # the moment it was taken


@pytest.mark.parametrize("kind", EVERY)
def test_a_record_is_told_in_plain_words(kind: str):
    """No JSON, no hash, no underscore, no field of ours; one line for a list."""
    fact = full(kind)
    for one in told(fact, About()):
        assert one.name, one
        assert one.value, one
        for text in (one.name, one.value):
            assert not set(text) & set("_{}[]"), text
            assert "None" not in text
    line = headline(fact, About())
    assert len(line) <= 160
    assert not set(line) & set("_{}[]\n"), line


@pytest.mark.parametrize("kind", EVERY)
def test_an_empty_record_still_has_a_line(kind: str):
    cls: Any = KINDS[kind]
    needed = {
        name: value_of(hint)
        for name, hint in types_of(cls).items()
        if name in cls.__dataclass_fields__
        and cls.__dataclass_fields__[name].default.__class__.__name__ == "_MISSING_TYPE"
    }
    headline(cls(**needed), About())
    told(cls(**needed), About())


def test_fields_that_have_words_are_fields():
    names = {name for cls in KINDS.values() for name in types_of(cls)}
    assert set(FIELD_WORDS) <= names
    assert names >= NOT_SHOWN - {"device"}
    for kind, hidden in NOT_SHOWN_OF.items():
        assert set(types_of(KINDS[kind])) >= hidden, kind


def test_no_field_of_money_or_of_a_hash_is_told_as_a_bare_number():
    won = Outcome(lot="l", result="won", amount=Decimal("6150"))
    assert ("amount", "€\u202f6\u202f150") in [(one.name, one.value) for one in told(won, About())]
    swiss = About(currencies={"l": "CHF"}, lots={"l": "Hall 3"})
    assert told(won, swiss)[-1].value.startswith("CHF")
    assert not is_shown("frozen", "sheet")
    frozen = full("frozen")
    assert isinstance(frozen, Frozen)
    assert "sheet" not in {one.name for one in told(frozen, About())}


def test_what_the_library_knows_is_told_by_its_name():
    kinds = load()
    mill = kinds["vertical_machining_centre"]
    about = About(kinds={"m": mill}, machines={"m": "Bed mill"}, lots={"l": "Lot 14"})
    finding = Finding(lot="l", machine="m", check="C01", answer="seen")
    values = [one.value for one in told(finding, about)]
    assert mill.checks["C01"].text in values
    assert headline(finding, about) == f"{mill.checks['C01'].text}: seen"
    assert about.where(finding) == "Bed mill, Lot 14"
    for table, said in LIBRARY.values():
        entry = next(iter(getattr(mill, table).values()))
        assert isinstance(getattr(entry, said), str)


def test_what_is_never_taken_back_says_why_and_what_instead():
    closed = [kind for kind, rule in RULES.items() if rule.way in ("never", "page")]
    for kind in closed:
        reason, remedy = why_not(kind)
        assert reason
        assert remedy, kind
    for kind, rule in RULES.items():
        assert rule.again or rule.why, kind  # what is not brought back says what to do instead
        assert (rule.way == "room") == bool(rule.room), kind


def test_addresses_are_of_the_first_record_where_pages_know_it_by_that():
    fact = Posting(sort="paid", posted_on="2026-11-25", what="bearings", amount=Decimal(9))
    assert page_of(Spot("newest", "first", fact)) == "/settle/book/first"


def test_the_word_of_a_field_has_no_unit_in_it():
    for cls in KINDS.values():
        for name in types_of(cls):
            word = field_word(name)
            assert word == word.strip()
            assert "_" not in word


def test_every_word_of_a_field_or_a_code_can_be_translated():
    """What is made of a name at run time stands in a table that translators are shown."""
    known = {*sentences("nl"), *map(str.__str__, (*OWN_NAMES, *OWN_WORDS))}
    made = set[str]()
    for kind, fact in KINDS.items():
        for name, hint in types_of(fact).items():
            if is_shown(kind, name):
                made.add(field_word(name))
            codes = (one for one in codes_of(hint) if isinstance(one, str) and one)
            made |= {str.__str__(VALUE_WORDS.get(one, one.replace("_", " "))) for one in codes}
    assert made - known == set()


def codes_of(hint: Any) -> Iterator[Any]:
    if get_origin(hint) is Literal:
        yield from get_args(hint)
    elif get_origin(hint) is not None:
        for one in get_args(hint):
            yield from codes_of(one)
