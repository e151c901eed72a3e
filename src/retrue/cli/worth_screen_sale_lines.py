"""What holds for every lot of a catalogue, as a terminal tells it: once, not with each lot."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence

from retrue.base.say import say
from retrue.cases.screen.listing import Listing
from retrue.cases.screen.of_all import SaidOfAll, no_work_known, said_of_all, taken_for_all
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
    told = said_of_all(listing)
    for line in dict.fromkeys(one.line for one in told):
        yield _said([one for one in told if one.line == line])


def _said(told: Sequence[SaidOfAll]) -> str:
    """One line of the file, with the options that take what it says."""
    return say(
        "Line {line} speaks of the whole sale, and is not counted: {text}. Type what is so: "
        "{options}",
        line=told[0].line,
        text=told[0].text,
        options="; ".join(map(_option, told)),
    )


def _option(one: SaidOfAll) -> str:
    figure = f"{one.value:g}"
    if one.field == "premium":
        return f"--premium {figure}"
    if one.field == "removal":
        return f"--removal {figure}"
    return say("--tax {figure} only where it does not come back", figure=figure)


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
