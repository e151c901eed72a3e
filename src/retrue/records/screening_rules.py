"""What the fields of one fact of a screened catalogue must be to each other."""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping
from dataclasses import fields
from typing import Any

from retrue.base.refusals import Problem
from retrue.base.say import say
from retrue.records.measuring_rules import HASH_IN_HEX
from retrue.records.screening import (
    Bidder,
    Budget,
    Catalogue,
    CatalogueContent,
    PartScreened,
    RowTaken,
    Screening,
    Share,
)

Rule = Callable[[Any], Iterator[Problem]]
LONGEST_NAME, LONGEST_TEXT = 300, 4_000  # characters
FIRST_YEAR, LAST_YEAR = 1900, 2999


def _lengths(fact: Any) -> Iterator[Problem]:
    """No word so long that a page or a sheet cannot hold it."""
    for field in fields(fact):
        value = getattr(fact, field.name)
        most = LONGEST_TEXT if field.name == "text" else LONGEST_NAME
        if isinstance(value, str) and len(value) > most and field.name != "content":
            yield Problem(
                field.name,
                say("has {count} characters", count=len(value)),
                say("{most} at most: say the rest in another record.", most=most),
            )


def _hashed(fact: Any) -> Iterator[Problem]:
    if not HASH_IN_HEX.fullmatch(fact.content_sha256):
        yield Problem("content_sha256", say("is not a SHA-256 in hex"), say("Read the file again."))


def _catalogue(fact: Catalogue) -> Iterator[Problem]:
    if not FIRST_YEAR <= fact.year <= LAST_YEAR:
        yield Problem("year", say("is {value}", value=fact.year), say("Write it as 2026."))
    roles = [role for role, _ in fact.columns]
    if len(set(roles)) < len(roles):
        yield Problem(
            "columns", say("gives one meaning to two columns"), say("Give each meaning once.")
        )
    yield from _rates(fact)


def _rates(fact: Catalogue) -> Iterator[Problem]:
    if len(fact.rates) != len(fact.rate_currencies):
        yield Problem(
            "rates",
            say("has {count} for {others}", count=len(fact.rates),
                others=len(fact.rate_currencies)),
            say("Give each other currency one rate."),
        )  # fmt: skip
    for code in fact.rate_currencies:
        if not (len(code) == 3 and code.isascii() and code.isupper()):
            yield Problem(
                "rate_currencies",
                say("is {value}, not a currency code", value=repr(code)),
                say("Write three letters, as EUR."),
            )
    if any(rate <= 0 for rate in fact.rates):
        yield Problem("rates", say("has a rate of nothing"), say("Look at the rate again."))
    if fact.rates and fact.rate_on is None:
        yield Problem("rate_on", say("is missing"), say("Say of which day the rate is."))


def _keyed(fact: Any) -> Iterator[Problem]:
    if not HASH_IN_HEX.fullmatch(fact.key):
        yield Problem("key", say("is not a SHA-256 in hex"), say("Begin the screening again."))


def _bidder(fact: Bidder) -> Iterator[Problem]:
    if fact.result == "won" and fact.amount is None:
        yield Problem(
            "amount",
            say("is missing: at what hammer price was it won?"),
            say("Type the hammer price."),
        )
    if not fact.result and fact.amount is not None:
        yield Problem(
            "amount", say("comes without a result"), say("Say whether it was won or lost.")
        )


SCREENING: Mapping[type[Any], tuple[Rule, ...]] = {
    Catalogue: (_lengths, _hashed, _catalogue),
    CatalogueContent: (_hashed,),
    Screening: (_keyed,),
    Share: (_lengths, _keyed),
    PartScreened: (_keyed,),
    Bidder: (_lengths, _bidder),
    Budget: (),
    RowTaken: (_lengths,),
}
