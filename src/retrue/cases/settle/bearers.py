"""Who bears a line: one machine, or several by a stated rule. Pure."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace
from decimal import Decimal

from retrue.base.say import say
from retrue.cases.settle.kept import MachineHere
from retrue.records.settling import Posting

NOBODY = ""  # the shop's, no machine's


@dataclass(frozen=True, slots=True)
class Bearers:
    """Keys of who bears a line, the weight of each, and by what rule in words."""

    keys: tuple[str, ...]
    weights: tuple[Decimal | float, ...]
    words: str = ""


def bearers_of(
    fact: Posting, machines: Mapping[str, MachineHere], worth: Mapping[str, float]
) -> Bearers:
    """Who bears a line, and by what weights.

    Parameters
    ----------
    fact : Posting
        Lot and machines by their ids.
    machines : mapping of key to MachineHere
    worth : mapping of machine key to float
        Expected value at purchase.

    Returns
    -------
    Bearers
        A line of no lot and no machine is the shop's.

    Examples
    --------
    >>> mill, lathe = (MachineHere(key=name, name=name, lot="l") for name in ("mill", "lathe"))
    >>> both = {"mill": mill, "lathe": lathe}
    >>> line = Posting(sort="paid", posted_on="2026-11-25", what="lot", amount=Decimal(9), lot="l")
    >>> told = bearers_of(line, both, {"mill": 6000.0, "lathe": 3000.0})
    >>> told.keys, told.weights
    (('mill', 'lathe'), (6000.0, 3000.0))
    >>> bearers_of(line, both, {}).words
    'in equal parts: nobody froze what each was worth'
    """
    if fact.machine is not None:
        return Bearers((fact.machine,), (1.0,))
    keys = fact.shared_by or tuple(
        one.key for one in machines.values() if fact.lot is not None and one.lot == fact.lot
    )
    if not keys:
        return Bearers((NOBODY,), (1.0,))
    if len(keys) == 1:
        return Bearers(keys, (1.0,))
    if fact.split == "weights":
        return Bearers(keys, fact.weights, say("by weights that were typed"))
    if fact.weights and len(fact.weights) == len(keys):
        return Bearers(keys, fact.weights, _as_posted(fact))
    if fact.split == "equal":
        return _equal(keys, say("in equal parts"))
    if fact.split == "mass":
        return _by_mass(keys, machines)
    return by_worth(keys, worth)


def borne(
    fact: Posting,
    machines: Mapping[str, MachineHere],
    worth: Mapping[str, float],
    old: Posting | None = None,
) -> Posting:
    """A shared line with who bears it written into it: what is learned later moves it no more.

    Parameters
    ----------
    fact : Posting
        Lot and machines by their ids.
    machines : mapping of key to MachineHere
    worth : mapping of machine key to float
    old : Posting or None
        The line it corrects: shared by the same rule, it stays shared as it was.

    Returns
    -------
    Posting
        The same where one machine bears it, or nobody does, or it belongs to another line.

    Examples
    --------
    >>> both = {name: MachineHere(key=name, name=name, lot="l") for name in ("mill", "lathe")}
    >>> line = Posting(sort="paid", posted_on="2026-11-25", what="lot", amount=Decimal(9), lot="l")
    >>> told = borne(line, both, {"mill": 6000.0, "lathe": 3000.0})
    >>> told.shared_by, told.weights, bearers_of(told, both, {}).words
    (('mill', 'lathe'), (Decimal('6000.0'), Decimal('3000.0')), 'by what each was expected to be \
worth')
    """
    if fact.machine is not None or fact.sort == "moved" or fact.split == "weights":
        return fact
    if fact.of is not None and not fact.shared_by:
        return fact
    if old is not None and _shared_alike(fact, old):
        return replace(fact, shared_by=old.shared_by, weights=old.weights)
    found = bearers_of(replace(fact, weights=()), machines, worth)
    if found.keys == (NOBODY,):
        return fact
    weights = tuple(Decimal(repr(float(one))) for one in found.weights)
    return replace(fact, shared_by=found.keys, weights=weights)


def _shared_alike(fact: Posting, old: Posting) -> bool:
    """Whether a correction leaves who bears a line as it was; what was not known is asked anew."""
    known = any(one != 1 for one in old.weights)
    same = (fact.lot, fact.split) == (old.lot, old.split)
    return known and same and fact.shared_by in ((), old.shared_by)


def _as_posted(fact: Posting) -> str:
    """By what rule the weights of a line were found when it was posted."""
    known = any(one != 1 for one in fact.weights)
    if fact.split == "equal":
        return say("in equal parts")
    if fact.split == "mass":
        return say("by mass") if known else say("in equal parts: not every mass is known")
    if known:
        return say("by what each was expected to be worth")
    return say("in equal parts: nobody froze what each was worth")


def _by_mass(keys: Sequence[str], machines: Mapping[str, MachineHere]) -> Bearers:
    masses = [machines[key].mass_kg if key in machines else None for key in keys]
    known = [mass for mass in masses if mass is not None and mass > 0]
    if len(known) < len(keys):
        return _equal(keys, say("in equal parts: not every mass is known"))
    return Bearers(tuple(keys), tuple(known), say("by mass"))


def by_worth(keys: Sequence[str], worth: Mapping[str, float]) -> Bearers:
    """Who bears the price of a lot: by what each was expected to be worth alone.

    Parameters
    ----------
    keys : sequence of str
    worth : mapping of key to float

    Returns
    -------
    Bearers
        In equal parts where not every worth is known, or none of them is above nothing.

    Examples
    --------
    >>> by_worth(("mill", "lathe"), {"mill": 6000.0, "lathe": -10.0}).weights
    (6000.0, 0.0)
    >>> by_worth(("mill", "lathe"), {"mill": 6000.0}).weights
    (1.0, 1.0)
    """
    if not all(key in worth for key in keys):
        return _equal(keys, say("in equal parts: nobody froze what each was worth"))
    weights = tuple(max(0.0, worth[key]) for key in keys)
    if not any(weights):
        return _equal(keys, say("in equal parts: none of them was worth anything alone"))
    return Bearers(tuple(keys), weights, say("by what each was expected to be worth"))


def _equal(keys: Sequence[str], words: str) -> Bearers:
    return Bearers(tuple(keys), (1.0,) * len(keys), words)
