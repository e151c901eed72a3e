"""Where the manual is kept: inside an installed program, beside the source of one that is built."""

from __future__ import annotations

from functools import cache
from importlib.resources import files
from importlib.resources.abc import Traversable
from pathlib import Path

import retrue
from retrue.base.manual import Manual

PICTURES = "pictures"
FIRST = ("index", "first-evening")
JOB = ("worth", "move", "strip", "find", "fix", "wake", "prove", "settle")


def folder() -> Traversable:
    """The folder of its pages.

    Returns
    -------
    Traversable
        In a checkout the folder ``docs`` itself.

    Examples
    --------
    >>> (folder() / "index.md").is_file()
    True
    """
    inside = files("retrue") / "manual"
    return inside if inside.is_dir() else Path(retrue.__file__).parents[2] / "docs"


@cache
def manual() -> Manual:
    """The manual, read once a process.

    Returns
    -------
    Manual
        Where to begin first, then the job in its order, then the rest by name.

    Examples
    --------
    >>> manual().title("worth")
    'What to pay'
    """
    there = folder()
    found = {
        one.name.removesuffix(".md"): one.read_text(encoding="utf-8")
        for one in there.iterdir()
        if one.name.endswith(".md")
    }
    first = [*FIRST, *JOB]
    order = sorted(found, key=lambda n: (first.index(n) if n in first else len(first), n))
    return Manual({name: found[name] for name in order})


def picture(name: str) -> bytes | None:
    """One picture of the manual.

    Parameters
    ----------
    name : str
        Of its file; no folder can be named.

    Returns
    -------
    bytes or None
        None where there is no such picture.

    Examples
    --------
    >>> picture("price.png")[:4], picture("../index.md")
    (b'\\x89PNG', None)
    """
    there = folder() / PICTURES
    names = {one.name for one in there.iterdir()} if there.is_dir() else set()
    return (there / name).read_bytes() if name in names else None
