"""What a measurement says, as one value that page, paper, command and file all tell alike."""

from __future__ import annotations

import math
from collections.abc import Mapping
from dataclasses import dataclass, field, replace
from typing import Any, Literal

from retrue.base.formatter import short
from retrue.base.refusals import Problem, Unusable
from retrue.base.say import say

Ruling = Literal["proved_good", "not_proved", "proved_bad"]
Rule = Literal["guarded", "simple"]
Cell = str | float | None


def _not_below_zero(field: str, value: float | None) -> None:
    if value is not None and not 0 <= value < math.inf:
        raise Unusable(
            say("{field} {value} is no size", field=field, value=short(value)),
            remedy=say("Write a number from zero up, without a sign."),
            problems=(Problem(field, say("below zero, or no number")),),
        )


@dataclass(frozen=True, slots=True, kw_only=True)
class Limit:
    """What a quantity may be at most, in the unit of that quantity, and where that comes from."""

    value: float
    standard: str = ""
    edition: str = ""
    mark: str = "typed"  # typed; from memory, unverified; confirmed from the owner's copy

    def __post_init__(self) -> None:
        """Refuse what no size can be held against."""
        _not_below_zero("limit", self.value)


@dataclass(frozen=True, slots=True, kw_only=True)
class Conditions:
    """What stands beside the readings when they are judged.

    ``uncertainty`` is the expanded uncertainty (k = 2) of the judged quantity, in its unit; it
    goes before anything worked out. ``reading_uncertainty`` is that of one single reading, in the
    unit of the readings. ``judged`` is the key to be judged; None takes the deed's first.
    """

    limit: Limit | None = None
    judged: str | None = None
    uncertainty: float | None = None
    reading_uncertainty: float | None = None
    rule: Rule = "guarded"
    seed: int = 7

    def __post_init__(self) -> None:
        """Refuse a doubt that is no size."""
        _not_below_zero("uncertainty", self.uncertainty)
        _not_below_zero("reading uncertainty", self.reading_uncertainty)


@dataclass(frozen=True, slots=True, kw_only=True)
class Quantity:
    """One number of a result; None carries the reason in ``why``."""

    key: str  # the name in --json, with its unit: reversal_um
    name: str  # as a page says it
    value: float | None
    unit: str
    uncertainty: float | None = None  # expanded, k = 2
    digits: int = 1
    signed: bool = False
    why: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class Verdict:
    """A limit, a value, a doubt, and what they prove."""

    key: str
    value: float
    unit: str
    ruling: Ruling
    limit: float
    uncertainty: float | None  # expanded, k = 2
    rule: Rule
    standard: str
    edition: str
    limit_mark: str
    conformance: float | None  # chance that the true value is inside
    why: str = ""


@dataclass(frozen=True, slots=True, kw_only=True)
class Setting:
    """A setting of the control that a remedy changes."""

    name: str
    old: str
    new: str
    why: str


@dataclass(frozen=True, slots=True, kw_only=True)
class Remedy:
    """One move of the hand: what to turn, shim or enter."""

    text: str
    setting: Setting | None = None


@dataclass(frozen=True, slots=True, kw_only=True)
class ThenRead:
    """What a gauge shows if the remedy was right."""

    where: str
    value: float
    unit: str
    give_or_take: float | None = None
    digits: int = 1
    signed: bool = True


@dataclass(frozen=True, slots=True, kw_only=True)
class Grid:
    """A picture's numbers, or any other table: ``columns`` name them with their units."""

    title: str
    columns: tuple[str, ...]
    rows: tuple[tuple[Cell, ...], ...]
    digits: int = 1


@dataclass(frozen=True, slots=True, kw_only=True)
class Measured:
    """A result as a measure of the belief: id, value and doubt in the measure's own unit."""

    measure: str
    value: float
    uncertainty: float | None


@dataclass(frozen=True, slots=True, kw_only=True)
class Proof:
    """All that one set of readings says.

    Attributes
    ----------
    deed, title : str
        Which test; its name on a page.
    headline : str
        The answer in one sentence.
    quantities : tuple of Quantity
        In the order of the table; the judged one first.
    more : mapping
        Further keys of ``--json``: lists and objects of plain values.
    finds : tuple of str
        What the readings mean, in sentences that hold whatever the order of work.
    blames : tuple of str
        Sentences that blame wear or a part; held back while provisional.
    remedy, then_read : tuple
        What to do, and what should then be read; re-simulated.
    cannot_tell : tuple of str
        What these readings cannot determine, and what would.
    warnings, cautions, assumed : tuple of str
        Cautions stand before the numbers.
    method, standard, edition : str
        How it was worked out; clause included.
    tables : tuple of Grid
        Numbers of the picture first.
    files : mapping of str to str
        Finished CSV by file name (a compensation table).
    measures : tuple of Measured
        What the belief learns.
    drawing : object
        A frozen dataclass that the deed's picture is drawn from, or None.
    provisional : str
        Why remedy, verdict and blame are held back, or empty.
    """

    deed: str
    title: str
    headline: str
    quantities: tuple[Quantity, ...]
    more: Mapping[str, Any] = field(default_factory=dict)
    verdict: Verdict | None = None
    finds: tuple[str, ...] = ()
    blames: tuple[str, ...] = ()
    remedy: tuple[Remedy, ...] = ()
    then_read: tuple[ThenRead, ...] = ()
    cannot_tell: tuple[str, ...] = ()
    warnings: tuple[str, ...] = ()
    cautions: tuple[str, ...] = ()
    assumed: tuple[str, ...] = ()
    method: str = ""
    standard: str = ""
    edition: str = ""
    tables: tuple[Grid, ...] = ()
    files: Mapping[str, str] = field(default_factory=dict)
    measures: tuple[Measured, ...] = ()
    drawing: Any = None
    provisional: str = ""


def held_back(proof: Proof, reason: str) -> Proof:
    """The same readings out of order: shown and kept, but nothing is judged, blamed or turned.

    Parameters
    ----------
    proof : Proof
        As worked out.
    reason : str
        "provisional, machine not level", as a person reads it.

    Returns
    -------
    Proof
        Without verdict, remedy, blame, files and measures.

    Examples
    --------
    >>> one = Proof(deed="sweep", title="Sweep", headline="", quantities=(), blames=("worn",))
    >>> held_back(one, "machine not level").blames
    ()
    """
    return replace(
        proof,
        verdict=None,
        remedy=(),
        then_read=(),
        blames=(),
        files={},
        measures=(),
        provisional=reason,
    )


def flat(proof: Proof) -> dict[str, Any]:
    """The proof as plain values for ``--json``; ``why`` says of each null why it is one.

    Parameters
    ----------
    proof : Proof
        A finished proof.

    Returns
    -------
    dict
        Documented in docs/json.md; ``verdict`` only where something was judged.

    Examples
    --------
    >>> one = Quantity(key="end_float_um", name="end float", value=3.0, unit="µm", uncertainty=1.0)
    >>> made = flat(Proof(deed="float", title="End float", headline="", quantities=(one,)))
    >>> made["end_float_um"], made["uncertainty"]
    (3.0, {'end_float_um': 1.0})
    """
    told: dict[str, Any] = {q.key: q.value for q in proof.quantities}
    told |= dict(proof.more)
    told["schema"] = f"prove.{proof.deed}.1"
    told["uncertainty"] = {
        q.key: q.uncertainty for q in proof.quantities if q.uncertainty is not None
    }
    told["why"] = {q.key: q.why for q in proof.quantities if q.value is None}
    told["remedy"] = [one.text for one in proof.remedy]
    told["then_read"] = [
        {"where": one.where, "value": one.value, "unit": one.unit, "give_or_take": one.give_or_take}
        for one in proof.then_read
    ]
    for name in ("headline", "method", "standard", "edition", "provisional"):
        told[name] = getattr(proof, name)
    for name in ("finds", "blames", "cannot_tell", "warnings", "cautions", "assumed"):
        told[name] = list(getattr(proof, name))
    if proof.verdict is not None:
        told["verdict"] = _plain(proof.verdict)
    elif proof.provisional:
        told["why"]["verdict"] = proof.provisional
    return told


def _plain(verdict: Verdict) -> dict[str, Any]:
    names = (
        "key", "value", "ruling", "limit", "uncertainty", "rule", "standard", "edition",
        "limit_mark", "conformance", "why",
    )  # fmt: skip
    return {name: getattr(verdict, name) for name in names}


def not_level() -> str:
    """What is said of a reading that came before the machine was level.

    Returns
    -------
    str

    Examples
    --------
    >>> not_level()
    'provisional, machine not level'
    """
    return say("provisional, machine not level")
