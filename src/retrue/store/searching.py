"""Records by their words: each that counts has its words on one line, which is looked through."""

from __future__ import annotations

from sqlalchemy import ColumnElement, Connection, and_, func, or_, select

from retrue.records.facts import Fact
from retrue.records.searching import Part, asked_for, words_of
from retrue.store.tables import current


def line_of(fact: Fact) -> str | None:
    """The words of a fact on one line, a blank before and behind each; None where it has none.

    Parameters
    ----------
    fact : Fact
        What a record says.

    Returns
    -------
    str or None

    Examples
    --------
    >>> from retrue.records.facts import Note
    >>> line_of(Note(text="Belt smells hot"))
    ' belt smells hot '
    """
    words = words_of(fact)
    return f" {' '.join(words)} " if words else None


def numbers_of(db: Connection, words: str, most: int) -> list[int]:
    """The numbers of the records that hold all words, the newest first.

    Parameters
    ----------
    db : Connection
        In a reading transaction.
    words : str
        As typed.
    most : int
        No more than so many.

    Returns
    -------
    list of int
        Only of what counts.
    """
    asked = asked_for(words)
    if not asked:
        return []
    looks = "instr" if db.dialect.name == "sqlite" else "strpos"
    there = [or_(*(and_(*(_holds(part, looks) for part in way)) for way in word)) for word in asked]
    wanted = select(current.c.seq).where(*there).order_by(current.c.seq.desc()).limit(most)
    return list(db.execute(wanted).scalars())


def _holds(part: Part, looks: str) -> ColumnElement[bool]:
    """Sign by sign, in whatever language the database was set up."""
    text = f" {part.text} " if part.whole else f" {part.text}"
    place: ColumnElement[int] = getattr(func, looks)(current.c.words, text)
    return place > 0
