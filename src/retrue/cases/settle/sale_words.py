"""The states of a sale in the words of a page."""

from __future__ import annotations

from retrue.base.say import say
from retrue.cases.settle.sale_lines import AddRow


def state_words(state: str) -> str:
    """A state in words.

    Parameters
    ----------
    state : str
        as_it_stands, as_found, running, proven, like_new, parts.

    Returns
    -------
    str

    Examples
    --------
    >>> state_words("as_it_stands")
    'as it stands'
    """
    return {
        "as_it_stands": say("as it stands"),
        "as_found": say("as found"),
        "running": say("running"),
        "proven": say("proven"),
        "like_new": say("like new"),
        "parts": say("taken apart, in parts"),
    }[state]


def sold_as_words(sold_as: str) -> str:
    """As what it is listed, in words.

    Parameters
    ----------
    sold_as : str
        as_found, running, proven, parts.

    Returns
    -------
    str

    Examples
    --------
    >>> sold_as_words("parts")
    'for parts or repair'
    """
    return {
        "as_found": say("as found"),
        "running": say("running"),
        "proven": say("proven"),
        "parts": say("for parts or repair"),
    }[sold_as]


def verdict(row: AddRow) -> str:
    """Whether a deed pays.

    Parameters
    ----------
    row : AddRow

    Returns
    -------
    str
        A step that does not pay by itself but leads to what pays is needed.
    """
    if row.pays:
        return say("pays")
    return say("needed") if row.together else say("does not pay")
