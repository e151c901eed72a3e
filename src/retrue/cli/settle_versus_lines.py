"""Was it worth it, as lines of a terminal."""

from __future__ import annotations

from collections.abc import Iterator

from retrue.base import formatter
from retrue.base.say import say
from retrue.cases.settle.versus_lines import VersusView
from retrue.cases.settle.versus_said import row_words
from retrue.cases.settle.versus_words import other_words
from retrue.cli.lines import table


def versus_lines(view: VersusView) -> Iterator[str]:
    """The answer, what it hangs on, next, each other way, the fine print.

    Parameters
    ----------
    view : VersusView

    Yields
    ------
    str
        One line each.
    """
    yield view.answer
    if view.flips:
        yield view.flips
    if view.next:
        yield say("Next: {words}", words=view.next)
    yield from _put_in(view)
    yield from _gaps(view)
    for row in view.rows:
        yield ""
        yield say("Against {other}", other=other_words(row.name))
        yield from (f"  {words}" for words in row_words(row))
    yield ""
    yield from (*view.assumed, *view.fine)
    if not view.gone:
        yield say("Whether to go on from here is another question: what is spent counts for "
                  "nothing in it.")  # fmt: skip
    yield say("Seed {seed}, {worlds} ways it could turn out.", seed=view.seed,
              worlds=formatter.number(view.worlds))  # fmt: skip


def _put_in(view: VersusView) -> Iterator[str]:
    money = formatter.money
    yield ""
    yield from table([
        ("", say("so far"), say("behind it, not in the book"), say("to come, on average"),
         say("in the end, even chance")),
        (say("money"), *(money(one, view.currency) for one in
                         (view.money_so_far, view.money_behind, view.money_still,
                          view.money_end.p50))),
        (say("own hours"), formatter.number(view.hours_so_far), "",
         formatter.number(view.hours_still), formatter.number(view.hours_end.p50)),
    ])  # fmt: skip


def _gaps(view: VersusView) -> Iterator[str]:
    if not view.rows:
        return
    alternative, full = (formatter.money(one, view.currency) for one in view.hour_values)

    def told(value: float) -> str:
        return formatter.money(value, view.currency, signed=True)

    rows: list[tuple[str, ...]] = [
        (say("Ahead (+), behind (−)"), say("bad luck"), say("on average"), say("good luck"),
         say("better in")),
    ]  # fmt: skip
    rows += [
        (one.name, told(one.gap.p10), told(one.gap.mean), told(one.gap.p90),
         formatter.odds(one.chance))
        for one in view.rows
    ]  # fmt: skip
    yield ""
    yield from table(rows)
    rows = [(say("With own hours"), say("at nothing"), say("at {rate}", rate=alternative),
             say("at {rate}", rate=full))]  # fmt: skip
    rows += [
        (one.name, told(one.by_hour_value.zero), told(one.by_hour_value.alternative),
         told(one.by_hour_value.full))
        for one in view.rows
    ]  # fmt: skip
    yield ""
    yield from table(rows)
