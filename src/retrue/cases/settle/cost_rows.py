"""Forecast against actual: a row for each bucket, a row for each line of it. Pure."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping
from dataclasses import dataclass, field, replace

from retrue.base.say import say
from retrue.cases.settle.cost_actual import Actual
from retrue.cases.settle.cost_expected import EITHER, REST, Expected
from retrue.cases.settle.cost_lines import CostLineRow, CostRow, Range, RowState
from retrue.cases.settle.cost_ranges import NOTHING, against, moved, plus, sure
from retrue.cases.settle.cost_words import RUNNING, bucket_words, in_order
from retrue.kinds.library import Kind

PRICES = ("price", "premium", "tax")
ROAD = ("removal", "move", "insurance", "visit")
POWER = ("hook_up", "consumables")
BUCKET_OF_GROUP: Mapping[str, str] = {
    "price": "price", "purchase": "removal", "move": "move", "storage": "storage",
    "place": "hook_up", "consumables": "consumables", "waste": "consumables",
    "tooling": "tooling", "control": "parts", "outside": "outside", "hire": "hire", "sale": "sale",
}  # fmt: skip
"""The groups of the costs in the tables, and the buckets of the book."""
LEAST_ROW = 1.0  # money below which what was expected makes no row of its own


@dataclass(frozen=True, slots=True, kw_only=True)
class Behind:
    """How far a machine is, for the words of its rows.

    Attributes
    ----------
    bought : bool
        The price lies behind.
    over : bool
        Sold, or closed: nothing but its price stands for what is not in the book.
    gone : mapping of fault to str
        absent, treated, lived_with.
    done : frozenset of str
        Jobs.
    """

    bought: bool = False
    over: bool = False
    here: bool = False
    powered: bool = False
    gone: Mapping[str, str] = field(default_factory=dict)
    done: frozenset[str] = frozenset()


def unbooked(
    actual: Actual, forecast: Mapping[str, Range], still: Mapping[str, Range], behind: Behind
) -> dict[str, Range]:
    """What lies behind and is not in the book: what was expected stands for it.

    Parameters
    ----------
    actual : Actual
    forecast, still : mapping of bucket to Range
    behind : Behind

    Returns
    -------
    dict of bucket to Range
        The price at most, as frozen; all else from nothing up to bad luck. What a line of 0 in
        the book names cost nothing.

    Examples
    --------
    >>> told = {"move": sure(900.0), "parts": sure(2000.0)}
    >>> unbooked(Actual(), told, {}, Behind(here=True))
    {'move': Range(p10=0.0, p50=900.0, p90=900.0, mean=900.0)}
    """
    made = {}
    known = known_price(actual)
    if behind.bought and not known:
        made = {bucket: forecast[bucket] for bucket in PRICES if bucket in forecast}
    if behind.over:
        return made
    bought = PRICES if behind.bought and known else ()
    past = (*bought, *(ROAD if behind.here else ()), *(POWER if behind.powered else ()))
    for bucket in past:
        told, left = _worth_a_row(forecast.get(bucket)), still.get(bucket)
        free = bucket in actual.told or (left is not None and left.p90 >= NOTHING)
        if told is not None and not free:
            made[bucket] = replace(told, p10=0.0)
    return made


def known_price(actual: Actual) -> bool:
    """Whether the book, or an outcome, knows what was paid for it.

    Parameters
    ----------
    actual : Actual

    Returns
    -------
    bool

    Examples
    --------
    >>> known_price(Actual())
    False
    """
    return "price" in actual.told


def cost_rows(
    actual: Actual,
    forecast: Mapping[str, Range],
    still: Mapping[str, Range],
    assumed: Mapping[str, Range],
) -> tuple[CostRow, ...]:
    """A row for each bucket that anything was expected in, spent on, or is to come in.

    Parameters
    ----------
    actual : Actual
    forecast, still, assumed : mapping of bucket to Range

    Returns
    -------
    tuple of CostRow
        In the order in which money goes; what running took is in none.

    Examples
    --------
    >>> rows = cost_rows(Actual(), {"move": sure(900.0)}, {}, {})
    >>> [(one.bucket, one.state, one.against) for one in rows]
    [('move', 'not_in_book', '')]
    """
    every = {*actual.buckets, *forecast, *still} - {RUNNING}
    rows = []
    for bucket in sorted(every, key=in_order):
        spent, owed = (float(money) for money in actual.by_bucket(bucket))
        told, left = _worth_a_row(forecast.get(bucket)), still.get(bucket)
        stands = assumed.get(bucket)
        end = moved(plus(left or sure(0.0), stands or sure(0.0)), spent + owed)
        state = _state(spent + owed, told, left)
        if state == "not_in_book" and told is None:
            continue
        rows.append(
            CostRow(
                bucket=bucket,
                words=bucket_words(bucket),
                forecast=told,
                spent=spent,
                owed=owed,
                still=left,
                end=end,
                state=state,
                against="" if state == "not_in_book" else against(end.p50, told),
                assumed=stands,
            )
        )
    return tuple(rows)


def _worth_a_row(told: Range | None) -> Range | None:
    return told if told is not None and told.p90 >= LEAST_ROW else None


def _state(actual: float, forecast: Range | None, still: Range | None) -> RowState:
    if abs(actual) >= NOTHING:
        return "spent" if forecast is not None else "not_foreseen"
    if still is not None and still.p90 >= NOTHING:
        return "to_come"
    return "not_in_book"


def line_rows(
    actual: Actual,
    forecast: Iterable[Expected],
    still: Iterable[Expected],
    behind: Behind,
    kind: Kind | None = None,
    foreseen: Mapping[str, Range] | None = None,
    others: Iterable[Kind] = (),
) -> tuple[CostLineRow, ...]:
    """A row for each line that was expected, or that money went to.

    Parameters
    ----------
    actual : Actual
    forecast, still : iterable of Expected
    behind : Behind
    kind : Kind or None
        For the words of lines that nobody foresaw.
    foreseen : mapping of bucket to Range, optional
        What was expected of each: the price has no other line than this.
    others : iterable of Kind
        Of the lot's other machines: a shared line may be one of theirs.

    Returns
    -------
    tuple of CostLineRow
        Bucket by bucket, the largest forecast first; each sum of the book stands in one row.

    Examples
    --------
    >>> one = Expected(line="E11", words="removal", bucket="removal", mean=800.0, chance=1.0,
    ...     low=300.0, high=1800.0)
    >>> [(row.line, row.state) for row in line_rows(Actual(), [one], [one], Behind())]
    [('E11', 'to_come')]
    """
    buckets = {at for at, one in (foreseen or {}).items() if _worth_a_row(one) is not None}
    told = {_key(one): one for one in (*_prices(foreseen or {}), *forecast)}
    left = {_key(one): one for one in still}
    spent = _money(actual, told, left)
    keys = dict.fromkeys([*told, *spent, *left])
    paid = {line for _, line in spent if line}
    unlined = {bucket for bucket, line in spent if not line}
    every = tuple(one for one in (kind, *others) if one is not None)
    rows = [_row(key, told.get(key), left.get(key), spent.get(key, (0.0, 0.0)),
                 next((one for one in every if _knows(one, key[1])), kind))
            for key in keys]  # fmt: skip
    rows = [_of_another(row, kind, every) for row in rows]
    rows = [_stood(row, behind, paid, unlined, buckets) for row in rows]
    rows.sort(key=lambda row: (in_order(row.bucket), not row.line, -(row.forecast or 0.0),
                               row.line))  # fmt: skip
    return tuple(rows)


def _knows(kind: Kind, line: str) -> bool:
    """Whether a line is one of a kind's tables."""
    head, _, tail = line.partition(":")
    return (
        any(head in table for table in (kind.faults, kind.jobs, kind.costs))
        or (head == "renew" and tail in kind.renewals)
        or (head == "upgrade" and tail in kind.upgrades)
    )


def _of_another(row: CostLineRow, kind: Kind | None, every: Iterable[Kind]) -> CostLineRow:
    """A part of a line that is another machine's is told to be one."""
    if not row.line or kind is None or _knows(kind, row.line):
        return row
    if any(_knows(one, row.line) for one in every):
        return replace(row, why=say("its part of a line of another machine of the lot"))
    return row


def _prices(foreseen: Mapping[str, Range]) -> Iterator[Expected]:
    """What goes up with the hammer price, as lines of their own."""
    for bucket in PRICES:
        if bucket in foreseen:
            mean = foreseen[bucket].mean
            yield Expected(line=REST, words=bucket_words(bucket), bucket=bucket, mean=mean,
                           chance=1.0, low=mean, high=mean)  # fmt: skip


Key = tuple[str, str]  # bucket of what stands on no line, and the line


def _key(one: Expected) -> Key:
    return ("", one.line) if one.line else (one.bucket, REST)


def _money(
    actual: Actual, told: Mapping[Key, Expected], left: Mapping[Key, Expected]
) -> dict[Key, tuple[float, float]]:
    """Sums of the book by line, what is on none by bucket; each once."""
    sums: dict[Key, list[float]] = {}
    for at, money in enumerate((actual.spent, actual.owed)):
        for (bucket, line), amount in money.items():
            if bucket == RUNNING:
                continue
            key = ("", line) if line else (bucket, REST)
            sums.setdefault(key, [0.0, 0.0])[at] += float(amount)
    return {key: (spent, owed) for key, (spent, owed) in sums.items()}


def _row(
    key: Key,
    told: Expected | None,
    left: Expected | None,
    money: tuple[float, float],
    kind: Kind | None,
) -> CostLineRow:
    bucket, line = key
    one = told or left
    words = one.words if one is not None else _words(line, bucket, kind)
    return CostLineRow(
        line=line,
        words=words,
        bucket=one.bucket if one is not None else bucket or bucket_of_line(line, kind),
        forecast=told.mean if told is not None else None,
        chance=told.chance if told is not None else None,
        low=told.low if told is not None and line else None,
        high=told.high if told is not None and line else None,
        spent=money[0],
        owed=money[1],
        still=left.mean if left is not None else 0.0,
    )


def bucket_of_line(line: str, kind: Kind | None) -> str:
    """The bucket of a line that nobody foresaw.

    Parameters
    ----------
    line : str
    kind : Kind or None

    Returns
    -------
    str

    Examples
    --------
    >>> bucket_of_line("J05", None), bucket_of_line("F15", None), bucket_of_line("gloves", None)
    ('cleaning', 'parts', 'other')
    """
    if kind is not None and line in kind.costs:
        return BUCKET_OF_GROUP.get(kind.costs[line].group, "other")
    head = line.partition(":")[0]
    if head[:1] == "J" and head[1:].isdigit():
        return "cleaning"
    is_fault = head[:1] == "F" and head[1:].isdigit()
    return "parts" if is_fault or head in ("renew", "upgrade") else "other"


def _words(line: str, bucket: str, kind: Kind | None) -> str:
    if not line:
        return say("{what}, on no line", what=bucket_words(bucket))
    if kind is not None:
        head, _, tail = line.partition(":")
        for table, id in ((kind.faults, head), (kind.jobs, head), (kind.renewals, tail),
                          (kind.upgrades, tail)):  # fmt: skip
            if id in table:
                return str(table[id].name)
        if head in kind.costs:
            return kind.costs[head].item
    return line


def _stood(
    row: CostLineRow, behind: Behind, paid: set[str], unlined: set[str], foreseen: set[str]
) -> CostLineRow:
    """The same row with how it stands, in words."""
    actual = row.spent + row.owed
    if row.forecast is None:
        if abs(actual) < NOTHING:
            return replace(row, state="to_come", why=row.why or say("not foreseen"))
        if not row.line and row.bucket in foreseen:
            return replace(row, state="spent", why=say("expected on lines of its own"))
        return replace(row, state="not_foreseen")
    if abs(actual) >= NOTHING:
        if row.low is None or row.high is None:
            return replace(row, state="spent")
        band = Range(p10=row.low, p50=row.low, p90=row.high, mean=row.low)
        return replace(row, state="spent", against=against(actual, band))
    if row.still >= NOTHING:
        lived = behind.gone.get(row.line) == "lived_with"
        why = say("lived with, as chosen: it may not hold") if lived else ""
        return replace(row, state="to_come", why=why)
    return _nothing(row, behind, paid, unlined)


def _nothing(row: CostLineRow, behind: Behind, paid: set[str], unlined: set[str]) -> CostLineRow:
    """Nothing was paid, and nothing is to come: because it is not needed, or not written down."""
    others = {id for pair in EITHER if row.line in pair for id in pair} - {row.line}
    if others & paid:
        return replace(row, state="not_needed", why=say("the other way was taken"))
    reasons = {
        "absent": ("not_needed", say("seen not to be there")),
        "lived_with": ("not_needed", say("lived with, as chosen")),
        "treated": ("done_for_nothing", say("put right")),
    }
    if row.line in behind.gone:
        state, why = reasons[behind.gone[row.line]]
        return replace(row, state=_known(state), why=why)
    if row.line in behind.done:
        return replace(row, state="done_for_nothing", why=say("done"))
    if row.bucket in unlined and row.line:
        why = say("paid as {what}, on no line", what=bucket_words(row.bucket))
        return replace(row, state="not_in_book", why=why)
    past = (behind.here and row.bucket in (*PRICES, *ROAD)) or (
        behind.powered and row.bucket in POWER
    )
    if past:
        return replace(row, state="not_in_book", why=say("that is behind it"))
    return replace(row, state="to_come", why=say("hardly likely any more") if row.line else "")


def _known(state: str) -> RowState:
    return "not_needed" if state == "not_needed" else "done_for_nothing"
