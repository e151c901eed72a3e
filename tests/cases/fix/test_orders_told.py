"""Orders in the calendar and on the week: sure parts by name, the rest in one line."""

from __future__ import annotations

from datetime import date

from retrue.cases.fix.buying_lines import BuyRow, Part
from retrue.cases.fix.calendar_entries import calendar_entries
from retrue.cases.fix.plan_lines import PlanView
from retrue.cases.fix.week_lines import week_of
from retrue.kinds.judged import Three

VIEW = PlanView(at="2026-11-26T08:00+01:00", lots=(), machines=(), rows=(), hire=(), refused=(),
                hands=("An",), proved=True, by_rule=False, gap=0.0, seed=7, worlds=1,
                currency="EUR")  # fmt: skip


def row(what: str, chance: float, on: str) -> BuyRow:
    part = Part(line=what, what=what, money=Three(40, 60, 90), days=4)
    return BuyRow(machine="m", machine_name="mill", part=part, chance=chance, amount=60.0 * chance,
                  order_by_on=on, needed_on=on)  # fmt: skip


ROWS = (
    row("winding", 1.0, "2026-12-02"), row("fan", 0.05, "2026-12-01"),
    row("belt", 0.2, "2026-12-04"), row("seal", 0.5, "2026-12-09"),
)  # fmt: skip


def test_a_calendar_orders_sure_parts_by_name_and_tells_the_rest_once_a_week():
    entries = calendar_entries(VIEW, buying=ROWS)
    told = {entry.begins: entry.title for entry in entries}
    assert told == {
        date(2026, 12, 2): "Last day to order: winding",
        date(2026, 11, 30): "Parts that may be needed: 2, seen only when it is open",
        date(2026, 12, 7): "Parts that may be needed: 1, seen only when it is open",
    }
    week = next(entry for entry in entries if entry.begins == date(2026, 11, 30))
    assert "fan (mill), about 1 in 20; belt (mill), about 1 in 5" in week.text
    assert len({entry.key for entry in entries}) == len(entries)


def test_a_week_orders_sure_parts_by_name_and_the_rest_in_one_line():
    week = week_of(VIEW, date(2026, 12, 2), {}, buying=ROWS)
    assert [(one.what, one.amount) for one in week.order] == [
        ("winding", 60.0), ("parts that may be needed, once their place is open: 2", 15.0),
    ]  # fmt: skip
    assert [one.what for one in week.here_by] == ["winding"]
