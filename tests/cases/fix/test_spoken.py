"""A quote by telephone in one line: what is said is read back, what is not is named."""

from __future__ import annotations

from datetime import date, timedelta
from decimal import Decimal

import pytest
from hypothesis import given, settings
from hypothesis import strategies as some

from retrue.base.refusals import Unusable
from retrue.cases.fix.spoken import quote_line
from retrue.cases.fix.typed import MOST_DAYS, WEEK, currency_of, day_of, money_of, term_days

ON = date(2026, 11, 26)
LINES = ("F15:local", "F15:out", "J05", "renew:belt")
NAMES = ("the winder in Ghent", "two brothers", "workshop 4", "O'Hara & zoon", "hall 3, left door")


def spoken(text: str, on: date = ON):
    return quote_line(text, on=on, lines=LINES)


DAYS = some.one_of(
    some.integers(0, 300).map(lambda back: ON - timedelta(days=back)).map(
        lambda day: (f"{day:%d/%m}", day)),
    some.integers(0, 900).map(lambda back: ON - timedelta(days=back)).map(
        lambda day: (f"{day}", day)),
    some.integers(0, 6).map(lambda back: ON - timedelta(days=back)).map(
        lambda day: (WEEK[day.weekday()].capitalize(), day)),
    some.sampled_from([("today", ON), ("yesterday", ON - timedelta(days=1))]),
)  # fmt: skip
AMOUNTS = some.decimals(1, 99999, places=2).flatmap(
    lambda size: some.sampled_from([
        (f"{size}", size), (f"{size}".replace(".", ","), size),
        (f"{size:,}".replace(",", " ").replace(".", ","), size),
        (f"{int(size)}", Decimal(int(size))),
    ])
)  # fmt: skip
MONEY = some.sampled_from([("{}", ""), ("€{}", "EUR"), ("{} GBP", "GBP"), ("CHF {}", "CHF"),
                           ("$ {}", "USD"), ("{} pounds", "GBP")])  # fmt: skip
TAX = some.sampled_from([("", ""), (" incl", "incl"), (" excl.", "excl"), (" plus VAT", "excl")])
TERMS = some.tuples(some.integers(1, 40), some.integers(1, 40), some.booleans()).map(
    lambda n: (f"{min(n[:2])}-{max(n[:2])} weeks", 7.0 * max(n[:2]))
    if n[2] else (f"{n[0]} days", float(n[0]))
)  # fmt: skip


@settings(max_examples=30, deadline=None)
@given(some.sampled_from(LINES), some.sampled_from(NAMES), DAYS, AMOUNTS, MONEY, TAX, TERMS,
       some.permutations(range(4)))  # fmt: skip
def test_what_is_said_in_any_order_is_read_back(line, vendor, day, amount, money, tax, term, order):
    parts = [vendor, day[0], money[0].format(amount[0]) + tax[0], term[0]]
    told = spoken(f"{line} " + "; ".join(parts[at] for at in order))
    assert told.problems == ()
    read = (told.line, told.quoted_on, told.amount, told.currency, told.tax, told.days)
    assert read == (line, day[1], amount[1], money[1], tax[1], term[1])
    words = [told.vendor, *told.not_understood]  # a comma in a name parts it: nothing is lost
    assert ", ".join(words) == vendor


def test_one_breath_without_commas_is_understood():
    told = spoken("F15:local the winder in Ghent, Tuesday, 600 incl 3 weeks")
    assert (told.vendor, told.amount, told.tax, told.days) == (
        "the winder in Ghent", Decimal(600), "incl", 21.0)  # fmt: skip
    told = spoken(
        "F15:out 1 250,50 GBP two brothers 24/11 2 to 3 weeks valid until Friday rate 1.17"
    )
    assert (told.vendor, told.amount, told.currency) == ("two brothers", Decimal("1250.50"), "GBP")
    assert (told.valid_until_on, told.rate, told.rate_on) == (
        date(2026, 11, 27), Decimal("1.17"), ON)  # fmt: skip
    own = spoken("new jaws: chuck maker, 2 x 350 each, 10 working days, valid 30 days")
    assert (own.line, own.units, own.days) == ("new jaws", 2, 14.0)
    assert own.valid_until_on == date(2026, 12, 26)


@pytest.mark.parametrize(
    ("text", "field", "told"),
    [
        ("F15:locl winder, 600", "line", "Did you mean F15:local?"),
        ("winder in Ghent, 600", "line", "Begin with it"),
        ("F15:local 600, Tuesday", "vendor", "Say who asks it"),
        ("F15:local winder, Tuesday", "amount", "Say how much"),
        ("F15:local winder, 1.250", "amount", "Write 1250, or 1.2500."),
        ("F15:local winder, 1.250,50 EUR", "amount", "not at all: 1250,50."),
        ("F15:local winder, €600 GBP", "currency", "Leave one of them out."),
        ("F15:local winder, 600, 2027-01-01", "quoted_on", "Say the day"),
        ("F15:local winder, 600, valid until 2026-11-01", "valid_until_on", "Write it as"),
        ("F15:local winder, 600, 700 weeks", "days", "Say it in days or weeks."),
    ],
)
def test_what_cannot_be_is_named_and_not_guessed(text, field, told):
    (problem,) = spoken(text).problems
    assert problem.where == field
    assert told in problem.remedy


@pytest.mark.parametrize(
    ("said", "field"),
    [
        ("600 and deposit 100", "amount"),
        ("600, deposit", "amount"),
        ("600, 700", "amount"),
        ("between 500 and 700", "amount"),
        ("500 to 700", "amount"),
        ("500-700", "amount"),
        ("about 600", "amount"),
        ("24.11, 600", "amount"),
        ("600 each, 2 pieces", "amount"),
        ("600, 10% discount", "amount"),
        ("not 600", "amount"),
        ("600, 3 weeks, by 12 December", "quoted_on"),
        ("600, next Tuesday", "quoted_on"),
        ("600, ready Tuesday", "quoted_on"),
        ("600, tomorrow", "quoted_on"),
        ("600, 12 December", "quoted_on"),
        ("600, Tuesday, Wednesday", "quoted_on"),
        ("600, 29/2", "quoted_on"),
        ("600, 3 weeks, 5 weeks", "days"),
        ("600, 3 weeks, warranty, 6 months", "days"),
        ("600, no sooner than Friday", "days"),
        ("600, at least 3 weeks", "days"),
        ("600, by Christmas", "days"),
        ("600, end of December", "quoted_on"),
        ("160 for both", "amount"),
        ("600 ±50", "amount"),
        ("~600", "amount"),
        ("600 - 50", "amount"),
        ("600 VAT", "tax"),
        ("600 incl 6% VAT", "tax"),
        ("600 incl transport", "tax"),
    ],
)
def test_a_second_amount_day_or_term_and_a_word_that_turns_it_round_are_not_kept(said, field):
    told = quote_line(f"F15:local winder, {said}", on=ON, lines=LINES, tax_rate=0.21)
    assert field in {one.where for one in told.problems}


def test_a_blank_parts_thousands_only_where_nothing_stands_before_it():
    assert [one.where for one in spoken("F15:local winder 12 600 3 weeks").problems] == ["amount"]
    for said in ("winder, 12 600", "winder 12'600", "winder 12\u202f600", "winder, \u20ac 12 600"):
        told = spoken(f"F15:local {said}, 3 weeks")
        assert (told.problems, told.vendor, told.amount) == ((), "winder", Decimal(12600))


@pytest.mark.parametrize(
    ("said", "tax"),
    [
        ("600 + VAT", "excl"), ("600+VAT", "excl"), ("600 plus 21% VAT", "excl"),
        ("600 not incl", "excl"), ("600 VAT not included", "excl"), ("not incl, 600", "excl"),
        ("600 incl 21% VAT", "incl"), ("600 VAT included", "incl"), ("600 with tax", "incl"),
    ],
)  # fmt: skip
def test_tax_is_heard_as_people_say_it(said, tax):
    told = quote_line(f"F15:local winder, {said}, 3 weeks", on=ON, lines=LINES, tax_rate=0.21)
    assert (told.problems, told.amount, told.tax, told.days) == ((), Decimal(600), tax, 21.0)


def test_a_warranty_is_no_delivery_and_ago_is_the_day_of_the_quote():
    told = spoken("F15:local winder, 600, 6 months warranty, 3 weeks")
    assert (told.problems, told.days) == ((), 21.0)
    assert ("warranty", "6 months warranty") in told.understood
    told = spoken("F15:local winder, 2 days ago, 600, 3 weeks")
    assert (told.quoted_on, told.days) == (date(2026, 11, 24), 21.0)
    for said in ("2 pieces at 80", "two at 80", "2 x 80"):
        told = spoken(f"F15:local winder, {said}, 3 weeks")
        assert (told.problems, told.units, told.amount) == ((), 2, Decimal(80))
    told = spoken("F15:local the winder on Tuesday: 600, 3 weeks, 1 year warranty")
    assert (told.problems, told.vendor, told.quoted_on, told.days) == (
        (), "the winder", date(2026, 11, 24), 21.0)  # fmt: skip


def test_nothing_that_is_doubted_is_read_back_as_if_it_were_said():
    told = spoken("F15:local winder, 600 and 700, 3 weeks, by 12 December")
    assert {name for name, _ in told.understood} <= {"days", "money"}
    assert (told.quoted_on, told.days) == (ON, 21.0)
    two = spoken("F15:local winder, 24.11, 600, 3 weeks")
    assert (two.amount, [name for name, _ in two.understood]) == (None, ["days"])


def test_a_firm_that_is_called_like_a_day_is_asked_about():
    (problem,) = spoken("F15:local Sunday Motors, 600").problems
    assert problem.where == "vendor"
    told = spoken("F15:local the firm Sunday Motors, Tuesday, 600")
    assert (told.problems, told.vendor, told.quoted_on) == (
        (), "the firm Sunday Motors", date(2026, 11, 24))  # fmt: skip


def test_nothing_that_is_typed_breaks_it():
    wrong = ("", " ", ":", "F15:local", "F15:local ,;,", "\x00: ½ week, ٣")
    assert all(spoken(text).problems for text in wrong)
    assert spoken("F15:local x 9999-12-31 5 valid 500 weeks").not_understood == ("9999-12-31",)
    assert spoken("F15:local winder 12/24, 600").not_understood == ("12/24",)
    told = spoken("F15:local x, 0 x 5, 29/2, rate 1.1.1 on 31/11")
    assert told.not_understood == ("0 x", "29/2", "rate 1.1.1 on 31/11")


def test_a_number_of_a_name_is_no_price_and_a_second_price_is_named():
    assert spoken("F15:local workshop 4, 500, 3 weeks").amount == 500
    told = spoken("F15:local winder, 600, 700, ask for the son")
    assert told.not_understood == ("700", "ask for the son")
    assert [(one.where, one.what) for one in told.problems] == [
        ("amount", "“700” was not understood")]  # fmt: skip


def test_days_go_before_months_and_a_weekday_is_the_last_one_or_the_next():
    assert day_of("1/2", ON) == date(2026, 2, 1)
    assert day_of("24 dec", ON) == date(2025, 12, 24)
    assert day_of("24 dec", ON, ahead=True) == date(2026, 12, 24)
    assert day_of("Thursday", ON) == ON
    assert day_of("last Thursday", ON) == date(2026, 11, 19)
    assert day_of("Thursday", ON, ahead=True) == date(2026, 12, 3)
    assert [day_of(text, ON) for text in ("13/13", "30/2/2026", "tomorrow", "")] == [None] * 4
    told = spoken("F15:local winder, 24.11., 12.05")  # with two points a day, with one an amount
    assert (told.quoted_on, told.amount) == (date(2026, 11, 24), Decimal("12.05"))
    assert day_of("3.2.26", ON) == date(2026, 2, 3)


def test_terms_and_money_are_read_exactly_or_not_at_all():
    terms = ("a week", "1.5 weeks", "2 months", f"{MOST_DAYS + 1} days")
    assert [term_days(one) for one in terms] == [7.0, 11.0, 60.0, None]
    assert money_of("1'250.50", field="x") == money_of("1 250,50", field="x") == Decimal("1250.50")
    assert money_of("0.125", field="x") == Decimal("0.125")  # nobody writes thousands so
    for wrong in ("1,250", "-3", "1,2,3", "ten"):
        with pytest.raises(Unusable):
            money_of(wrong, field="x")
    with pytest.raises(Unusable, match="is no currency"):
        currency_of("EUX", field="currency")
