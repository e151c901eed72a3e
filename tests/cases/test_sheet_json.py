"""The price sheet as JSON: the same bytes each time, back to the last bit, each null explained."""

from __future__ import annotations

import json
from dataclasses import replace
from datetime import UTC, datetime, timedelta
from typing import Any

import pytest
from tests.library import load

from retrue.cases.case import Kept, LotCase
from retrue.cases.pricing import price
from retrue.cases.sheet import PriceSheet
from retrue.cases.sheet_json import case_key, dumps, flat, from_json, to_json
from retrue.records.facts import Finding, Lot, Machine, Need, Shop, Terms

KINDS = load()
FINDINGS = tuple(
    Kept(id=id, finding=Finding(lot="one", machine="lathe", check=check, answer="seen"))
    for id, check in (("b", "C13"), ("a", "C39"))
)
CASE = LotCase(
    shop=Shop(),
    lot=Lot(name="one"),
    terms=Terms(lot="one"),
    machines=(Machine(lot="one", name="lathe", kind="turning_centre", travel_mm=(200.0, 300.0)),),
    findings=FINDINGS,
)
TOO_LONG = Need(name="shafts", kind="turning_centre", travel_mm=(200.0, 9000.0))


@pytest.fixture(scope="module")
def sheet() -> PriceSheet:
    return price(CASE, KINDS, worlds=1000)


def nulls(value: Any, path: str = "") -> set[str]:
    if isinstance(value, dict):
        return {p for k, v in value.items() for p in nulls(v, f"{path}.{k}" if path else k)}
    if isinstance(value, list):
        return {p for k, v in enumerate(value) for p in nulls(v, f"{path}.{k}")}
    return {path} if value is None else set()


def test_a_sheet_comes_back_to_the_last_bit(sheet: PriceSheet):
    assert from_json(to_json(sheet)) == sheet
    assert to_json(from_json(to_json(sheet))) == to_json(sheet)


def test_twice_the_same_case_gives_the_same_bytes_findings_in_any_order(sheet: PriceSheet):
    turned = replace(CASE, findings=FINDINGS[::-1])
    other = price(turned, KINDS, worlds=1000)
    assert to_json(replace(other, moved=())) == to_json(replace(sheet, moved=()))
    assert set(other.moved) == set(sheet.moved)
    assert case_key(turned, KINDS, 7, 1000) == case_key(CASE, KINDS, 7, 1000)


def test_no_sum_hangs_on_what_a_photograph_is_called_nor_on_the_clock():
    """What is priced once for many tests: `tests.library`."""
    noon = datetime(2026, 11, 26, 12, tzinfo=UTC)
    shown = [
        replace(kept, at=noon + timedelta(hours=hours), finding=replace(kept.finding, picture=name))
        for kept, hours, name in zip(FINDINGS, (0, 5), ("p", "q"), strict=True)
    ]
    later = [
        replace(kept, at=noon + timedelta(days=days), finding=replace(kept.finding, picture=name))
        for kept, days, name in zip(FINDINGS, (30, 95), ("r", "s"), strict=True)
    ]
    one, other = (
        price(replace(CASE, findings=tuple(found)), KINDS, worlds=1000) for found in (shown, later)
    )
    assert to_json(one) == to_json(other)


def test_keys_are_sorted_and_every_null_says_why(sheet: PriceSheet):
    unfit = price(replace(CASE, needs=(TOO_LONG,)), KINDS, worlds=1000)
    assert unfit.walk_away.amount is None
    for one in (sheet, unfit):
        told = json.loads(to_json(one))
        assert list(told) == sorted(told)
        why = told.pop("why")
        assert set(why) == nulls(told)
        assert all(text.strip() for text in why.values())


def test_everything_a_price_depends_on_is_in_its_key():
    key = case_key(CASE, KINDS, 7, 1000)
    others = [
        case_key(CASE, KINDS, 8, 1000),
        case_key(CASE, KINDS, 7, 2000),
        case_key(replace(CASE, findings=FINDINGS[:1]), KINDS, 7, 1000),
        case_key(replace(CASE, terms=Terms(lot="one", premium=0.1)), KINDS, 7, 1000),
        case_key(replace(CASE, shop=Shop(odds=0.9)), KINDS, 7, 1000),
        case_key(CASE, {**KINDS, "turning_centre": replace(KINDS["turning_centre"], hash="x")},
                 7, 1000),
    ]  # fmt: skip
    assert len({key, *others}) == 7
    other_kind = replace(KINDS["surface_grinder"], hash="x")
    assert case_key(CASE, {**KINDS, "surface_grinder": other_kind}, 7, 1000) == key


def test_what_is_not_a_number_is_never_printed(sheet: PriceSheet):
    with pytest.raises(ValueError, match="not JSON compliant"):
        to_json(replace(sheet, walk_away=replace(sheet.walk_away, mean=float("nan"))))
    assert dumps({"b": 1, "a": "é"}) == '{\n  "a": "é",\n  "b": 1\n}'


def test_the_flat_form_holds_what_the_sheet_holds(sheet: PriceSheet):
    told = flat(sheet)
    assert told["currency"] == "EUR"
    assert told["walk_away"]["by_hour_value"].keys() == {"zero", "alternative", "full"}
    assert told["machines"][0]["cost"].keys() == {"p10", "p50", "p90"}
