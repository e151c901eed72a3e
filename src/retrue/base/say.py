"""Every sentence a person reads goes through here, with its English text as the key."""

from __future__ import annotations

from collections.abc import Mapping

_catalogues: dict[str, Mapping[str, str]] = {}


def teach(language: str, catalogue: Mapping[str, str]) -> None:
    """Give a language sentences; those it has already stay.

    Parameters
    ----------
    language : str
        Two letters.
    catalogue : mapping of str to str
        English text to translated text.
    """
    _catalogues[language] = {**_catalogues.get(language, {}), **catalogue}


def say(text: str, /, *, language: str = "en", **values: object) -> str:
    """Return the sentence in the reader's language with its values put in.

    Parameters
    ----------
    text : str
        The English sentence, the key; values stand as ``{name}``.
    language : str
        Two letters; a sentence without a translation is shown in English.
    **values : object
        What to put in; numbers, money and dates come formatted.

    Returns
    -------
    str
        The sentence.

    Examples
    --------
    >>> say("{count} photographs to look at", count=12)
    '12 photographs to look at'
    """
    sentence = _catalogues.get(language, {}).get(text, text)
    return sentence.format(**values) if values else sentence
