"""What to do next: worked out once for the same state, then remembered."""

from __future__ import annotations

import hashlib
import json
from collections.abc import Mapping
from dataclasses import asdict, replace

import msgspec

from retrue.base.say import spelled
from retrue.cases.case import LotCase
from retrue.cases.find.advice import Advice, Goal
from retrue.cases.fix.agreed_kept import agreed_of
from retrue.cases.kept_case import kept_case
from retrue.cases.sheet_json import case_key
from retrue.kinds.library import Kind
from retrue.phases.find.learning import how_far_trusted, kinds_learned
from retrue.phases.find.lines import machine_at, trouble_line
from retrue.records.shop import RecordShop

SEED = 7
WORLDS = 1000


def advise(
    shop: RecordShop,
    lot: str,
    machine: str,
    kinds: Mapping[str, Kind],
    *,
    goal: Goal = "clear",
    trouble: str | None = None,
    seed: int = SEED,
    worlds: int = WORLDS,
) -> Advice:
    """The next step for one machine and one goal; remembered by the hash of all it depends on.

    Parameters
    ----------
    shop : RecordShop
        Where it is kept.
    lot, machine : str
        Name or id.
    kinds : mapping of str to Kind
        The library; what the shop has learned from its own teardowns is laid over it here.
    goal : str
        clear one trouble, or bring it to just_running, right, like_new.
    trouble : str or None
        Which one; None: the newest that is still open.
    seed, worlds : int
        Of the draws.

    Returns
    -------
    Advice
        Its last assumption says how far the shop's own teardowns have proved the tables.

    Raises
    ------
    Refusal
        No such lot, machine or trouble; or nothing was told to be cleared.
    """
    spot, _ = machine_at(shop, lot, machine, kinds)
    which = trouble_line(shop, trouble).first.id if trouble else None
    case, taught = _asked(shop, spot.lot, kinds)
    key = _key(case, spot.name, taught, goal, which, seed, worlds)
    known = shop.recall(key)
    if known is None:
        advice = advise_case(
            case, spot.name, taught, goal=goal, trouble=which, seed=seed, worlds=worlds
        )
        shop.remember(key, json.dumps(spelled(asdict(advice))).encode())
    else:
        advice = msgspec.convert(json.loads(known), Advice)
    return replace(advice, assumed=(*advice.assumed, how_far_trusted(shop)))


def remembered(
    shop: RecordShop,
    lot: str,
    machine: str,
    kinds: Mapping[str, Kind],
    *,
    trouble: str,
    seed: int = SEED,
    worlds: int = WORLDS,
) -> Advice | None:
    """The next step that clears a trouble where it was worked out before; nothing is worked out.

    Parameters
    ----------
    shop, lot, machine, kinds, trouble, seed, worlds
        As for :func:`advise`.

    Returns
    -------
    Advice or None
        None: something was kept since, or nobody has asked.
    """
    spot, _ = machine_at(shop, lot, machine, kinds)
    which = trouble_line(shop, trouble).first.id
    case, taught = _asked(shop, spot.lot, kinds)
    known = shop.recall(_key(case, spot.name, taught, "clear", which, seed, worlds))
    return None if known is None else msgspec.convert(json.loads(known), Advice)


def _asked(
    shop: RecordShop, lot: str, kinds: Mapping[str, Kind]
) -> tuple[LotCase, Mapping[str, Kind]]:
    """A lot at what is quoted, agreed and paid, and the library as its shop has taught it."""
    case = agreed_of(shop, lot, kept_case(shop, lot), kinds, on=shop.today()).case
    return case, kinds_learned(shop, kinds)


def advise_case(
    case: LotCase,
    machine: str,
    kinds: Mapping[str, Kind],
    *,
    goal: Goal = "clear",
    trouble: str | None = None,
    seed: int = SEED,
    worlds: int = WORLDS,
) -> Advice:
    """The next step in a case that stands in a file, or in any other; ``machine`` by name."""
    # Only an answer needs the sums behind it; a note or a list shall not wait for them.
    from retrue.cases.find.advise import advise as work_out

    return work_out(case, machine, kinds, goal=goal, trouble=trouble, seed=seed, worlds=worlds)


def _key(
    case: LotCase,
    machine: str,
    kinds: Mapping[str, Kind],
    goal: str,
    trouble: str | None,
    seed: int,
    worlds: int,
) -> str:
    """Hash of the case with the order of its findings, which an act has made to matter."""
    order = [kept.id for kept in case.findings]
    told = json.dumps([case_key(case, kinds, seed, worlds), order, machine, goal, trouble])
    return "find " + hashlib.sha256(told.encode()).hexdigest()
