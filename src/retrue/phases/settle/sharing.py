"""Closed machines without names: seen before they leave, and those of others taken in."""

from __future__ import annotations

import hashlib
from collections.abc import Collection, Mapping
from datetime import date
from typing import Unpack
from uuid import UUID

from retrue.base.refusals import NotYet
from retrue.base.say import say
from retrue.cases.learned_kinds import others_cases
from retrue.cases.settle.closed_case import read_case
from retrue.cases.settle.sharing import TakenIn, print_of, read_shared, shared_text
from retrue.kinds.library import Kind
from retrue.records.hand import Hand
from retrue.records.settling import CaseClosed, LedgerTaken
from retrue.records.shop import Record, RecordShop


def share(shop: RecordShop, *, without: Collection[str] = ()) -> str:
    """The text that would leave the shop; the owner reads it first.

    Parameters
    ----------
    shop : RecordShop
        Where it is kept; it is only read.
    without : collection of str
        Sorts of row or lines that stay here: price, fault, hours.

    Returns
    -------
    str
        No name of a person, a shop, a lot or a machine; no day; no word that was typed.

    Raises
    ------
    NotYet
        No machine is closed.
    """
    cases = [read_case(one.fact.compared) for one in shop.current(CaseClosed)]
    if not cases:
        raise NotYet(
            say("no machine is closed yet"),
            remedy=say("Close one first, on its page or by settle close."),
        )
    return shared_text(cases, without)


def look_in(shop: RecordShop, content: bytes, name: str, kinds: Mapping[str, Kind]) -> TakenIn:
    """What a file of others holds that is new here; nothing is kept.

    Parameters
    ----------
    shop : RecordShop
        Where it is kept; it is only read.
    content : bytes
    name : str
        Of the file.
    kinds : mapping of str to Kind
        The library.

    Returns
    -------
    TakenIn

    Raises
    ------
    Unreadable
        It is no such file, or does not fit: named with case, row and field.
    """
    own = [read_case(one.fact.compared) for one in shop.current(CaseClosed)]
    known = {print_of(one) for one in (*own, *others_cases(shop))}
    return read_shared(content, name, known, kinds)


def take_in(
    shop: RecordShop,
    content: bytes,
    name: str,
    kinds: Mapping[str, Kind],
    *,
    on: date,
    text: str = "",
    **hand: Unpack[Hand],
) -> Record[LedgerTaken] | None:
    """Keep the machines of others that are new here; the same file twice adds nothing.

    Parameters
    ----------
    shop : RecordShop
        Where it is kept.
    content : bytes
    name : str
        Of the file.
    kinds : mapping of str to Kind
        The library.
    on : date
        Today.
    text : str
        From whom, in one's own words; it stays here.
    **hand : Hand
        Who takes it in.

    Returns
    -------
    Record of LedgerTaken or None
        None: nothing in it was new.

    Raises
    ------
    Unreadable
        It is no such file, or does not fit.
    """
    new = look_in(shop, content, name, kinds)
    if not new.cases:
        return None
    digest = hashlib.sha256(content)
    hand.setdefault("id", str(UUID(bytes=digest.digest()[:16])))
    fact = LedgerTaken(
        file_sha256=digest.hexdigest(), taken_on=on.isoformat(), content=new.content,
        cases=len(new.cases), text=text.strip(),
    )  # fmt: skip
    return shop.add(fact, **hand)
