"""What is or was out of a lot: its first record, its newest words, what was rung since."""

from __future__ import annotations

from dataclasses import dataclass

from retrue.cases.kept_case import line_of
from retrue.records.fixing import Out, OutEnded, Rung
from retrue.records.shop import Record, RecordShop

OTHERS_DO = ("outside", "local")  # ways whose work is done elsewhere, or by somebody else


@dataclass(frozen=True, slots=True, kw_only=True)
class OutKept:
    """Something that is or was out: its first record, its newest words, what was rung since.

    Examples
    --------
    >>> from datetime import UTC, datetime
    >>> at = datetime(2026, 11, 26, tzinfo=UTC)
    >>> out = Out(lot="l", sort="ordered", what="belt", whom="the dealer", since_on="2026-11-20",
    ...           promised_on="2026-12-01")
    >>> kept = OutKept(first=Record("a", "out", 1, 1, at, at, "me", "", None, out, "", ""), out=out)
    >>> kept.open, kept.promised_on
    (True, '2026-12-01')
    """

    first: Record[Out]
    out: Out
    rung: tuple[Record[Rung], ...] = ()  # oldest first
    ended: Record[OutEnded] | None = None

    @property
    def promised_on(self) -> str | None:
        """The newest promise."""
        calls = sorted(self.rung, key=lambda one: (one.fact.rung_on, one.seq))
        said = [one.fact.promised_on for one in calls if one.fact.promised_on]
        return said[-1] if said else self.out.promised_on

    @property
    def judged_first(self) -> bool:
        """Whether it counts as out until it is judged: sent out, or work that others do."""
        way = self.out.line.partition(":")[2]
        return self.out.sort == "sent_out" or (self.out.sort == "ordered" and way in OTHERS_DO)

    @property
    def open(self) -> bool:
        """Whether it is out still; what others work on is, until it is back and judged."""
        if self.ended is None:
            return True
        fact = self.ended.fact
        return fact.how == "back" and not fact.judged and self.judged_first

    @property
    def counts(self) -> bool:
        """Whether what came is still taken for good: it is not wrong, nor judged bad."""
        return self.ended is None or (
            self.ended.fact.how == "back" and self.ended.fact.judged != "bad"
        )

    @property
    def here(self) -> bool:
        """Whether it came, and is good as far as anybody said."""
        if self.ended is None or self.open:
            return False
        return self.ended.fact.how == "back" and self.ended.fact.judged != "bad"


def outs_of(shop: RecordShop, lot: str) -> tuple[OutKept, ...]:
    """What is or was out of a lot, oldest first.

    Parameters
    ----------
    shop : RecordShop
        It is only read.
    lot : str
        Id of its first record.

    Returns
    -------
    tuple of OutKept
    """
    rung: dict[str, list[Record[Rung]]] = {}
    for one in shop.current(Rung, lot=lot):
        rung.setdefault(one.fact.out, []).append(one)
    ended = {one.fact.out: one for one in shop.current(OutEnded, lot=lot)}
    lines = sorted(
        (line_of(shop, one) for one in shop.current(Out, lot=lot)), key=lambda line: line.first.seq
    )
    return tuple(
        OutKept(
            first=line.first,
            out=line.newest.fact,
            rung=tuple(rung.get(line.first.id, ())),
            ended=ended.get(line.first.id),
        )
        for line in lines
    )
