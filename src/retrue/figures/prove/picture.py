"""One door to the pictures of measuring: each test is drawn by the module of its own name."""

from __future__ import annotations

import importlib

from retrue.cases.prove.deed import MODULES
from retrue.cases.prove.proof import Proof
from retrue.figures.axes import Room
from retrue.figures.ink import Theme


def picture(proof: Proof, *, theme: Theme, room: Room) -> str:
    """Draw what a set of readings says.

    Parameters
    ----------
    proof : Proof
        As worked out.
    theme : Theme
        Colours of the page or of paper.
    room : "phone", "wide" or "paper"
        How much room there is.

    Returns
    -------
    str
        One ``<svg>``; nothing where the test has no picture.

    Examples
    --------
    >>> from retrue.figures.ink import PAGE
    >>> bare = Proof(deed="float", title="End float", headline="", quantities=())
    >>> picture(bare, theme=PAGE, room="phone")
    ''
    """
    if proof.drawing is None:
        return ""
    module = importlib.import_module(f"retrue.figures.prove.{MODULES[proof.deed]}")
    drawn: str = module.draw(proof.drawing, theme=theme, room=room)
    return drawn
