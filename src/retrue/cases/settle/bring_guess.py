"""What a movement of money was for: guessed from earlier lines and from words, with the reason.

Nothing is blocked by not knowing: what nothing tells stays not yet placed.
"""

from __future__ import annotations

import re
from collections import Counter
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field
from decimal import Decimal
from functools import cache
from typing import Any

from retrue.base.say import say
from retrue.cases.settle.bring_bucket_words import buckets_by_words, words_of
from retrue.cases.settle.bring_moves import Move
from retrue.cases.settle.bring_own import own_money
from retrue.cases.settle.bring_words import plain
from retrue.cases.settle.cost_words import bucket_words
from retrue.cases.settle.kept import MachineHere
from retrue.cases.settle.lines import BookLine
from retrue.records.settling import PostingSort

LOOKED_BACK = 5  # earlier lines of the same counterparty
ENOUGH = 2  # of them for one machine before a machine is guessed
COSTS = ("bought", "paid")
_in_words = cache(bucket_words)
_CODE = re.compile(r"\b(?:[A-Z]+[0-9]+:[a-z_]+|J[0-9]+)\b")


@dataclass(frozen=True, slots=True, kw_only=True, eq=False)
class Known:
    """What guesses are made from.

    Attributes
    ----------
    machines : mapping of key to MachineHere
    machine_words : mapping of word to key
        Of one machine alone.
    lines : mapping of line to frozenset of words
        Renewals and upgrades by all the words of their names.
    codes : frozenset of str
        Lines of the tables: F15:local, J05.
    earlier : mapping of counterparty to tuple of BookLine
        Newest first.
    paid : mapping of (currency, amount) to tuple of BookLine
        What was bought or paid, newest first: it may come back.
    deposits : mapping of (currency, amount) to tuple of BookLine
        Not come back yet.
    asks : mapping of (currency, amount) to (machine key, whom)
        Offers that were taken.
    """

    machines: Mapping[str, MachineHere] = field(default_factory=dict)
    machine_words: Mapping[str, str] = field(default_factory=dict)
    lines: Mapping[str, frozenset[str]] = field(default_factory=dict)
    codes: frozenset[str] = frozenset()
    earlier: Mapping[str, tuple[BookLine, ...]] = field(default_factory=dict)
    paid: Mapping[tuple[str, Decimal], tuple[BookLine, ...]] = field(default_factory=dict)
    deposits: Mapping[tuple[str, Decimal], tuple[BookLine, ...]] = field(default_factory=dict)
    asks: Mapping[tuple[str, Decimal], tuple[str, str]] = field(default_factory=dict)


@dataclass(slots=True, kw_only=True)
class Guess:
    """What a movement was for.

    Attributes
    ----------
    fields : dict
        Of a posting: sort, bucket, machine, lot, line, of.
    reasons : list of str
        One sentence for each.
    """

    fields: dict[str, Any] = field(default_factory=dict)
    reasons: list[str] = field(default_factory=list)

    def take(self, reason: str, **fields: Any) -> None:
        """Note a guess; an earlier one of the same field stands."""
        fresh = {name: value for name, value in fields.items() if name not in self.fields}
        if fresh:
            self.fields |= fresh
            self.reasons.append(reason)


def earlier_of(lines: Sequence[BookLine]) -> dict[str, tuple[BookLine, ...]]:
    """Lines by counterparty, the newest few.

    Parameters
    ----------
    lines : sequence of BookLine
        Newest first.

    Returns
    -------
    dict
    """
    found: dict[str, tuple[BookLine, ...]] = {}
    for line in lines:
        whom = plain(line.whom)
        if whom and line.state == "posted" and len(found.get(whom, ())) < LOOKED_BACK:
            found[whom] = (*found.get(whom, ()), line)
    return found


def guess(move: Move, known: Known, default_sort: PostingSort) -> Guess:
    """Guess what a movement was for.

    Parameters
    ----------
    move : Move
    known : Known
    default_sort : str
        Of money that goes out.

    Returns
    -------
    Guess

    Examples
    --------
    >>> move = Move(number=2, amount=Decimal("61.25"), currency="EUR", whom="Lagerwinkel",
    ...             what="kogellagers 6205")
    >>> made = guess(move, Known(), "paid")
    >>> made.fields["bucket"], made.reasons
    ('parts', ['parts, by the word “kogellagers”'])
    """
    made = Guess()
    own = own_money(move)
    if own is not None:
        made.take(own[0], **own[1])
        return made
    words = words_of(move.whom, move.what, move.reference)
    if move.sign > 0:
        _come_in(made, move, words, known)
    made.fields.setdefault("sort", default_sort if move.sign < 0 else "received")
    if made.fields["sort"] in ("deposit_back", "returned"):
        return made
    _machine(made, words, known)
    if made.fields["sort"] in COSTS:
        _line(made, move, words, known)
        _bucket(made, move, words, known)
        _tax(made, move, known)
    return made


def _come_in(made: Guess, move: Move, words: frozenset[str], known: Known) -> None:
    """Money that comes in: a deposit, something returned, a sale, or just received."""
    at = (move.currency, move.amount)
    back = _of_same(known.deposits.get(at, ()), move, words)
    if back is not None:
        reason = say("the deposit of {day} comes back", day=back.posted_on)
        made.take(reason, sort="deposit_back", of=back.id)
        return
    paid = _of_same(known.paid.get(at, ()), move, words)
    if paid is not None:
        reason = say("what was paid to them on {day} comes back", day=paid.posted_on)
        made.take(reason, sort="returned", of=paid.id)
        return
    asked = known.asks.get(at)
    if asked is not None:
        key, whom = asked
        machine = known.machines[key]
        made.take(
            say("sold: the offer of {whom} that was taken", whom=whom),
            sort="sold",
            machine=key,
            lot=machine.lot,
        )


def _of_same(lines: Sequence[BookLine], move: Move, words: frozenset[str]) -> BookLine | None:
    """The newest line of the same counterparty, not of a later day."""
    for line in lines:
        if line.posted_on <= move.day and words & words_of(line.whom):
            return line
    return None


def _machine(made: Guess, words: frozenset[str], known: Known) -> None:
    told = {known.machine_words[word]: word for word in words if word in known.machine_words}
    if len(told) == 1:
        key, word = next(iter(told.items()))
        machine = known.machines[key]
        reason = say("{machine}, by the word {word}", machine=machine.name, word=f"“{word}”")
        made.take(reason, machine=key, lot=machine.lot)


def _line(made: Guess, move: Move, words: frozenset[str], known: Known) -> None:
    codes = {one for one in _CODE.findall(f"{move.what} {move.reference}") if one in known.codes}
    if len(codes) == 1:
        line = codes.pop()
        made.take(say("{line}, as it says", line=line), line=line)
        return
    named = [line for line, needs in known.lines.items() if needs <= words]
    if len(named) == 1:
        made.take(say("{line}, by its name", line=named[0]), line=named[0], bucket="parts")


def _bucket(made: Guess, move: Move, words: frozenset[str], known: Known) -> None:
    lines = [one for one in known.earlier.get(plain(move.whom), ()) if one.bucket]
    counts = Counter(one.bucket for one in lines)
    if counts:
        bucket, count = counts.most_common(1)[0]
        if 2 * count > len(lines):
            reason = say("{bucket}, as earlier lines of {whom}",
                         bucket=_in_words(bucket), whom=move.whom)  # fmt: skip
            made.take(reason, bucket=bucket)
    _machine_of_earlier(made, move, lines, known)
    told = list(buckets_by_words(words))
    if len(told) == 1:
        bucket, word = told[0]
        reason = say("{bucket}, by the word {word}",
                     bucket=_in_words(bucket), word=f"“{word}”")  # fmt: skip
        made.take(reason, bucket=bucket)


def _tax(made: Guess, move: Move, known: Known) -> None:
    """A bank file tells no tax: as the newest line of the same counterparty that says one."""
    if move.tax_rate is not None:
        return
    for line in known.earlier.get(plain(move.whom), ()):
        if line.tax_rate is not None and line.sort in COSTS and not line.of:
            back = {} if line.tax_back or not line.tax else {"tax_reclaimable": False}
            reason = say("{share} % tax in it, as the line of {day} of {whom}",
                         share=format(100 * float(line.tax_rate), "g"), day=line.posted_on,
                         whom=move.whom)  # fmt: skip
            made.take(reason, tax_rate=line.tax_rate, **back)
            return


def _machine_of_earlier(made: Guess, move: Move, lines: Sequence[BookLine], known: Known) -> None:
    keys = {tuple(share.machine for share in line.shares) for line in lines}
    if len(lines) < ENOUGH or len(keys) != 1:
        return
    (mine,) = keys
    if len(mine) == 1 and mine[0] in known.machines:
        machine = known.machines[mine[0]]
        reason = say("{machine}, as earlier lines of {whom}",
                     machine=machine.name, whom=move.whom)  # fmt: skip
        made.take(reason, machine=machine.key, lot=machine.lot)
