"""The price sheet as one flat JSON object, the same bytes each time, and back again."""

from __future__ import annotations

import hashlib
import json
from collections.abc import Iterator, Mapping
from dataclasses import fields, is_dataclass, replace
from typing import TYPE_CHECKING, Any

import msgspec

import retrue
from retrue.base.say import ENGLISH, reader, say, spelled
from retrue.cases.sheet import PriceSheet
from retrue.kinds.library import Kind

if TYPE_CHECKING:
    from retrue.cases.case import LotCase


def flat(sheet: PriceSheet) -> dict[str, Any]:
    """The sheet as plain values; ``why`` says of each null why it is one.

    Parameters
    ----------
    sheet : PriceSheet
        A finished sheet.

    Returns
    -------
    dict
        Documented in docs/json.md; money as numbers in ``currency``.
    """
    told: dict[str, Any] = _plain(sheet)
    told["why"] = dict(_whys(sheet))
    return told


def to_json(sheet: PriceSheet) -> str:
    """The sheet as text: keys sorted, two spaces, no clock.

    Parameters
    ----------
    sheet : PriceSheet
        A finished sheet.

    Returns
    -------
    str

    Raises
    ------
    ValueError
        A number is not finite: a fault in the sum, never in what was typed.
    """
    return dumps(flat(sheet))


def dumps(told: Mapping[str, Any]) -> str:
    """Plain values as JSON: keys sorted, only finite numbers, letters as they are.

    Parameters
    ----------
    told : mapping
        Plain values; decimals and dates become text.

    Returns
    -------
    str

    Examples
    --------
    >>> print(dumps({"b": None, "a": 1.5}))
    {
      "a": 1.5,
      "b": null
    }
    """
    text = json.dumps(
        spelled(told), sort_keys=True, ensure_ascii=False, allow_nan=False, default=str
    )  # Python writes it quickly only without an indent
    shown = msgspec.json.format(text.encode("utf-8", "surrogatepass"), indent=2)
    return shown.decode("utf-8", "surrogatepass")


def from_json(text: str | bytes) -> PriceSheet:
    """The sheet a text was made from, to the last bit.

    Parameters
    ----------
    text : str or bytes
        Of ``to_json``.

    Returns
    -------
    PriceSheet
    """
    told = json.loads(text)
    told.pop("why", None)
    return msgspec.convert(told, PriceSheet)


def case_key(case: LotCase, kinds: Mapping[str, Kind], seed: int, worlds: int) -> str:
    """The hash of everything a price sheet depends on.

    Parameters
    ----------
    case : LotCase
        As it stands.
    kinds : mapping of str to Kind
        Only those of the machines count, by their hash.
    seed, worlds : int
        Of the draws.

    Returns
    -------
    str
        SHA-256 in hex; findings in any order give the same. A sheet holds sentences: each
        language a reader has is another one.
    """
    told = replace(case, findings=tuple(sorted(case.findings, key=lambda kept: str(kept.id))))
    hashes = {m.kind: kinds[m.kind].hash for m in case.machines if m.kind in kinds}
    whole: dict[str, Any] = {"case": told, "kinds": hashes, "seed": seed, "worlds": worlds}
    whole["version"] = retrue.__version__
    if reader() != ENGLISH:
        whole["language"] = reader()
    return hashlib.sha256(msgspec.json.encode(whole, enc_hook=str, order="sorted")).hexdigest()


def _plain(value: Any) -> Any:
    """A sheet's rows as mappings, as `dataclasses.asdict` makes them, but no value is copied."""
    if isinstance(value, (float, str)):
        return value
    if isinstance(value, tuple):
        return tuple(_plain(one) for one in value)
    if is_dataclass(value):
        return {field.name: _plain(getattr(value, field.name)) for field in fields(value)}
    return dict(value) if isinstance(value, Mapping) else value


def _whys(sheet: PriceSheet) -> Iterator[tuple[str, str]]:
    """Yield, for each null, its path and the reason."""
    no_price = sheet.walk_away.why or say("no price was worked out")
    for name in ("amount", "all_in", "restored", "prices_third_low", "tables_wrong"):
        if getattr(sheet.walk_away, name) is None:
            yield f"walk_away.{name}", no_price
    for name in ("zero", "alternative", "full"):
        if getattr(sheet.walk_away.by_hour_value, name) is None:
            yield f"walk_away.by_hour_value.{name}", no_price
    for place, machine in enumerate(sheet.machines):
        if machine.walk_away is None:
            yield f"machines.{place}.walk_away", say("this machine has no price of its own")
    if sheet.visit is None:
        yield "visit", say("no visit is worth its cost, or nothing is left to look at")
    if sheet.returns is None:
        yield "returns", no_price
    else:
        if sheet.returns.rate is None:
            yield "returns.rate", say(sheet.returns.why)
        if sheet.returns.payback_years is None:
            yield "returns.payback_years", say("not back within the years looked at")
    if sheet.bid.bid is None:
        yield "bid.bid", say("this sort of sale asks for no written bid")
    if sheet.bid.opening is None:
        yield "bid.opening", say("no opening bid is advised for this sort of sale")
    for place, row in enumerate(sheet.clear_first):
        if row.machine is None:
            yield f"clear_first.{place}.machine", say("belongs to the whole lot")
        if row.check is None:
            yield f"clear_first.{place}.check", say("no single look clears it")
