"""Does an offered part fit what is needed: as much, no more, near enough, the same."""

from __future__ import annotations

from retrue.science.motor_match import Fits, alike, enough

SAME_WITHIN = 1e-6


def at_most(has: float | None, room: float | None) -> Fits:
    """Whether it takes no more than there is.

    Parameters
    ----------
    has, room : float or None
        None where nobody knows.

    Returns
    -------
    str

    References
    ----------
    By definition.

    Examples
    --------
    >>> at_most(90, 100), at_most(110, 100), at_most(None, 100)
    ('yes', 'no', 'ask')
    """
    return enough(room, has)


def near(
    has: float | None, needs: float | None, *, yes_share: float, ask_share: float = 0.0
) -> Fits:
    """Whether a value is close enough to the one it must be.

    Parameters
    ----------
    has, needs : float or None
        None where nobody knows.
    yes_share : float
        Of what is needed, either way.
    ask_share : float
        A wider band, within which it is asked about.

    Returns
    -------
    str

    References
    ----------
    By definition; the bands belong to the standard of the property.

    Examples
    --------
    >>> [near(v, 400.0, yes_share=0.05, ask_share=0.1) for v in (415.0, 440.0, 460.0)]
    ['yes', 'ask', 'no']
    """
    if has is None or needs is None:
        return "ask"
    off = abs(has - needs) - SAME_WITHIN
    if off <= yes_share * abs(needs):
        return "yes"
    return "ask" if off <= ask_share * abs(needs) else "no"


def between(low: float | None, high: float | None, needs: float | None) -> Fits:
    """Whether a range holds a value.

    Parameters
    ----------
    low, high, needs : float or None
        None where nobody knows.

    Returns
    -------
    str

    References
    ----------
    By definition.

    Examples
    --------
    >>> between(6, 9, 8.5), between(6, 9, 10), between(None, 9, 8.5), between(None, 9, 10)
    ('yes', 'no', 'ask', 'no')
    """
    if needs is not None and ((low is not None and needs < low) or
                              (high is not None and needs > high)):  # fmt: skip
        return "no"
    return "ask" if None in (low, high, needs) else "yes"


def provided(has: bool | None, needs: bool | None) -> Fits:
    """Whether something that is needed is there.

    Parameters
    ----------
    has, needs : bool or None
        None where nobody knows.

    Returns
    -------
    str
        yes where it is not needed, whatever is there.

    References
    ----------
    By definition.

    Examples
    --------
    >>> provided(True, True), provided(False, True), provided(None, False), provided(True, None)
    ('yes', 'no', 'yes', 'ask')
    """
    if needs is False:
        return "yes"
    if has is None or needs is None:
        return "ask"
    return "yes" if has else "no"


def like_words(has: str | None, needs: str | None) -> Fits:
    """Whether two people wrote the same; other words may still mean the same.

    Parameters
    ----------
    has, needs : str or None
        None or nothing where nobody knows.

    Returns
    -------
    str
        yes, or ask.

    References
    ----------
    By definition.

    Examples
    --------
    >>> like_words("IM B5", "im b5"), like_words("B14", "B5"), like_words("", "B5")
    ('yes', 'ask', 'ask')
    """
    return "yes" if alike(has, needs) == "yes" else "ask"


def ranked(order: tuple[str, ...], has: str | None, needs: str | None) -> Fits:
    """Whether one of a ladder of classes is as high as the one that is needed.

    Parameters
    ----------
    order : tuple of str
        From the lowest to the highest.
    has, needs : str or None
        None where nobody knows.

    Returns
    -------
    str

    References
    ----------
    By definition.

    Examples
    --------
    >>> ranked(("B", "F", "H"), "H", "F"), ranked(("B", "F", "H"), "B", "F")
    ('yes', 'no')
    """
    if has not in order or needs not in order:
        return "ask"
    return "yes" if order.index(has) >= order.index(needs) else "no"
