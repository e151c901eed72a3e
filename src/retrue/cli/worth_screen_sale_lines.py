"""What holds for every lot of a catalogue, as a terminal tells it: once, not with each lot."""

from __future__ import annotations

from collections.abc import Iterator, Mapping

from retrue.base.say import say
from retrue.cases.screen.listing import Listing, SaidOfSale
from retrue.cases.screen.of_all import (
    AskedOfAll,
    asked_of_all,
    no_work_known,
    taken_for_all,
    together,
)
from retrue.cases.screen.sale_shown import field_said, value_said
from retrue.kinds.library import Kind


def top_lines(listing: Listing) -> Iterator[str]:
    """What would change every price, and what to do about it.

    Parameters
    ----------
    listing : Listing

    Yields
    ------
    str
    """
    if no_work_known(listing):
        yield say(
            "Nobody has said what work must be done: ordinary work was taken, and with it hardly "
            "anything may be worth a bid. Name a lot file with your work, --needs LOT.toml, or "
            "keep it in the shop: retrue lot new."
        )
    yield from map(_asked, together(asked_of_all(listing)))


def _asked(told: AskedOfAll) -> str:
    """What lines of the file say, why it is not counted, and the options that say what is so."""
    return say(
        "Of the whole sale the file says {texts} ({lines}), and that is not counted: {why}. Type "
        "what is so: {options}",
        texts=", ".join(f"“{text}”" for text in told.texts),
        lines=", ".join(say("line {number}", number=line) for line in told.lines),
        why=told.why,
        options="; ".join(
            _option(field, told) for field in dict.fromkeys(one.field for one in told.asked)
        ),
    )


OPTIONS = {"premium": "--premium", "removal_days": "--removal", "removal_by": "--removal",
           "tax_rate": "--tax"}  # fmt: skip


def _option(field: str, told: AskedOfAll) -> str:
    """What to type of one thing, with every figure that it may be."""
    if field == "tax_scheme":
        return say("--tax 0 where none is added to the price")
    if field == "currency":
        return say("--currency with its three letters")
    if field not in OPTIONS:
        return say("in the file itself")
    values = dict.fromkeys(
        value for one in told.asked if one.field == field for value in one.values
    )
    typed = " / ".join(f"{OPTIONS[field]} {value:g}" for value in values)
    if field == "tax_rate":
        return say("{options} only where it does not come back", options=typed)
    if field == "premium":
        return typed or say("--premium with its share")
    return typed or say("--removal with the days from hammer to out of there")


def sale_lines(listing: Listing) -> Iterator[str]:
    """What the file says of the whole sale, line by line.

    Parameters
    ----------
    listing : Listing

    Yields
    ------
    str
    """
    if listing.sale:
        yield ""
        yield say("What the file says of the whole sale, for every lot that says nothing else:")
    for one in listing.sale:
        yield "  " + _of_sale(one)


def _of_sale(one: SaidOfSale) -> str:
    field, value = field_said(one), value_said(one)
    told = say("{field}: {value}", field=field, value=value) if value else field
    text = f"“{one.text}”"
    if one.how == "understood":
        return say("Line {line}, {text}: {told}", line=one.line, text=text, told=told)
    if one.how == "guessed":
        return say("Line {line}, {text}: {told}, guessed; {why}", line=one.line, text=text,
                   told=told, why=one.why)  # fmt: skip
    return say("Line {line}, {text}: {told}, not counted; {why}", line=one.line, text=text,
               told=told, why=one.why)  # fmt: skip


def all_lines(listing: Listing, kinds: Mapping[str, Kind]) -> Iterator[str]:
    """What was taken for all lots as nobody said it.

    Parameters
    ----------
    listing : Listing
    kinds : mapping of kind id to Kind
        In the reader's language.

    Yields
    ------
    str
    """
    taken = taken_for_all(listing, kinds)
    if not taken:
        return
    cases = sum(lot.case is not None for lot in listing.lots)
    yield ""
    yield say(
        "Taken for every lot, where nobody said otherwise (--premium, --tax, --sale, --distance, "
        "--removal say it):"
    )
    for one in taken:
        if one.lots == cases:
            yield "  " + say("{field}: {value}", field=one.field, value=one.value)
        else:
            yield "  " + say(
                "{field}: {value} ({lots} of {of} lots)",
                field=one.field, value=one.value, lots=one.lots, of=cases,
            )  # fmt: skip
