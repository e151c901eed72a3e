"""A way to put a fault right, in the words of a card."""

from __future__ import annotations

from retrue.base.say import say


def way_words(way: str) -> str:
    """A way in the words of a card.

    Parameters
    ----------
    way : str

    Returns
    -------
    str

    Examples
    --------
    >>> way_words("replace")
    'fit a new one'
    """
    match way:  # only the one that is wanted is said: thousands are asked for
        case "clean":
            return say("clean")
        case "adjust":
            return say("adjust")
        case "repair":
            return say("repair")
        case "replace":
            return say("fit a new one")
        case "second_hand":
            return say("fit a used one")
        case "outside":
            return say("repaired by a specialist")
        case "local":
            return say("repaired by a local firm")
    return way
