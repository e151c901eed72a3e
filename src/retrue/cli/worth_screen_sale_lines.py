"""What holds for every lot of a catalogue, as a terminal tells it: once, not with each lot."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence

from retrue.base.say import say
from retrue.cases.screen.listing import Listing, SaidOfSale
from retrue.cases.screen.of_all import asked_of_all, no_work_known, taken_for_all
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
    told = asked_of_all(listing)
    for line in dict.fromkeys(one.line for one in told):
        yield _asked([one for one in told if one.line == line])


def _asked(told: Sequence[SaidOfSale]) -> str:
    """One line of the file, why it is not counted, and the options that say what is so."""
    return say(
        "Line {line} speaks of the whole sale, and is not counted, for {why}: {text}. Type what is "
        "so: {options}",
        line=told[0].line,
        why="; ".join(dict.fromkeys(one.why for one in told)),
        text=f"“{told[0].text}”",
        options="; ".join(dict.fromkeys(_option(one) for one in told)),
    )


OPTIONS = {"premium": "--premium", "removal_days": "--removal", "removal_by": "--removal",
           "currency": "--currency", "tax_rate": "--tax", "tax_scheme": "--tax"}  # fmt: skip


def _option(one: SaidOfSale) -> str:
    option = OPTIONS[one.field]
    if one.field == "tax_scheme":
        return say("--tax 0 where none is added to the price")
    typed = [f"{option} {value:g}" for value in one.values]
    if one.field == "tax_rate":
        return say("{options} only where it does not come back", options=" / ".join(typed))
    if one.field == "currency":
        return say("--currency with its three letters")
    return " / ".join(typed) or say("--removal with the days from hammer to out of there")


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
