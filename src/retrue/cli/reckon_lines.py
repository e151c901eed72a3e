"""An answer of a calculator for the terminal: cautions first, then the answer, then the numbers."""

from __future__ import annotations

from collections.abc import Iterator

from retrue.base.formatter import number
from retrue.base.say import say
from retrue.cases.reckon.reckoning import Cell, Figure, Listing, Reckoning, answer_word

SENTENCE = 48  # signs; a wider column would push the others off a terminal


def reckoning_lines(made: Reckoning) -> Iterator[str]:
    """The whole answer.

    Parameters
    ----------
    made : Reckoning

    Yields
    ------
    str
        One line each.
    """
    for one in made.cautions:
        yield say("Caution: {text}", text=one.text)
        yield say("  Defers to: {codes}.", codes=one.defers_to)
    yield say("Estimate for planning. {headline}", headline=made.headline)
    for reason in (*made.against, *made.missing):
        yield f"  {reason.reason}. {reason.remedy}"
    for need in made.needs:
        yield say("Needed: {text}.", text=need.text)
    yield ""
    yield from _figures(made.figures)
    for listing in made.listings:
        yield from listing_lines(listing)
    for note in made.notes:
        yield say("Mind: {note}", note=note)
    for assumed in made.assumed:
        yield say("Assumed: {what}.", what=assumed)
    for source in made.sources:
        yield say("After: {source}.", source=source)


def answer_words(made: Reckoning) -> str:
    """The answer in one line; a no-go and a lacking number begin with that word already.

    Parameters
    ----------
    made : Reckoning

    Returns
    -------
    str

    Examples
    --------
    >>> answer_words(Reckoning(method="lift", title="Lift", answer="go", headline="One leg.",
    ...     cautions=()))
    'go: One leg.'
    """
    return f"{say(answer_word(made))}: {made.headline}" if made.answer == "go" else made.headline


def _figures(figures: tuple[Figure, ...]) -> Iterator[str]:
    wide = max((len(one.name) for one in figures), default=0)
    for one in figures:
        yield f"  {one.name.ljust(wide)}  {figure_words(one)}"


def figure_words(one: Figure) -> str:
    """A number with its unit, or why there is none.

    Parameters
    ----------
    one : Figure

    Returns
    -------
    str

    Examples
    --------
    >>> figure_words(Figure(key="leg_kg", name="leg", value=2828.4, unit="kg"))
    '2\\u202f828 kg'
    """
    if one.value is None:
        return one.why or "-"
    return f"{number(one.value, one.digits)} {one.unit}".strip()


def listing_lines(listing: Listing) -> Iterator[str]:
    """A table in columns; a column of sentences stands under each row.

    Parameters
    ----------
    listing : Listing

    Yields
    ------
    str
        One line each.
    """
    rows = [list(listing.columns), *([_cell(cell) for cell in row] for row in listing.rows)]
    widths = [max(map(len, column)) for column in zip(*rows, strict=True)]
    yield f"{listing.title}:"
    for place, row in enumerate(rows):
        columns = list(zip(row, widths, strict=True))
        yield "  " + "  ".join(cell.rjust(wide) for cell, wide in columns if wide <= SENTENCE)
        if place:
            yield from (f"      {cell}" for cell, wide in columns if wide > SENTENCE)


def _cell(cell: Cell) -> str:
    if cell is None:
        return "-"
    if isinstance(cell, str):
        return cell
    return number(cell, 0 if float(cell).is_integer() else 2)
