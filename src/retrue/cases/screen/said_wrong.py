"""What a catalogue itself says is wrong with a lot: it moves no price here, so it is said. Pure."""

from __future__ import annotations

from collections.abc import Iterable, Sequence

from retrue.base.say import say
from retrue.cases.screen.words_told import broken_in


def wrong_words(texts: Iterable[str]) -> tuple[str, ...]:
    """Words of a lot that say that something is wrong with it, or lacks.

    Parameters
    ----------
    texts : iterable of str
        Its cells.

    Returns
    -------
    tuple of str
        As they stand there, each once.

    Examples
    --------
    >>> wrong_words(["CNC lathe without control, for parts", "For parts", "no defects"])
    ('without control', 'for parts')
    """
    found: dict[str, str] = {}
    for text in texts:
        for words in broken_in(text):
            found.setdefault(words.casefold(), words)
    return tuple(found.values())


def caution_of(words: Sequence[str], *, language: str = "") -> str:
    """The caution that stands with a lot, before its price.

    Parameters
    ----------
    words : sequence of str
        As `wrong_words` gives them.
    language : str
        Two letters; empty: the reader's.

    Returns
    -------
    str
        Empty where nothing is said to be wrong.

    Examples
    --------
    >>> caution_of(("for parts",))
    'The catalogue says “for parts”: that is not in the price. Ask what is wrong.'
    """
    if not words:
        return ""
    named = ", ".join(f"“{one}”" for one in words)
    return say(
        "The catalogue says {words}: that is not in the price. Ask what is wrong.",
        language=language,
        words=named,
    )
