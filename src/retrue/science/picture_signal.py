"""A picture's signal: its line frequency and its pixel clock."""

from __future__ import annotations

from retrue.base.refusals import Unusable
from retrue.base.say import say


def line_hz(lines: int, frames_hz: float) -> float:
    """How many lines a second a picture has.

    Parameters
    ----------
    lines : int
        Of a whole frame, those included that nobody sees.
    frames_hz : float
        Pictures a second.

    Returns
    -------
    float
        Hertz.

    Raises
    ------
    Unusable
        A number that is none.

    References
    ----------
    By definition; industry standard timing 640 by 480, 60 Hz (secondary source): 31.469 kHz.

    Examples
    --------
    >>> round(line_hz(525, 59.94))
    31468
    """
    if not (lines > 0 and frames_hz > 0):
        raise Unusable(
            say("the timing of the picture is not known"),
            remedy=say("Take it from the control's document, or from who mends such screens."),
        )
    return lines * frames_hz


def pixel_hz(dots: int, lines_hz: float) -> float:
    """How many dots a second a picture has.

    Parameters
    ----------
    dots : int
        Of a whole line, those included that nobody sees.
    lines_hz : float
        Line frequency.

    Returns
    -------
    float
        Hertz.

    Raises
    ------
    Unusable
        A number that is none.

    References
    ----------
    By definition; industry standard timing 640 by 480, 60 Hz (secondary source): 25.175 MHz.

    Examples
    --------
    >>> pixel_hz(800, 31468.75)
    25175000.0
    """
    return line_hz(dots, lines_hz)
