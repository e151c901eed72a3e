"""The shop itself at the keyboard: a backup, a restore, a copy, everything to take away."""

from __future__ import annotations

from typing import Any

import click

from retrue.cli.deeds import BySection

# The words stand here so that help loads nothing: name, where it lives, what it does.
KEEPING: dict[str, tuple[str, str]] = {}
SECTIONS = {name: deeds for name, deeds in {"Keeping it": KEEPING}.items() if deeds}


@click.group(cls=BySection, sections=SECTIONS)
def shop(**_: Any) -> None:
    """The shop itself: keep a backup, put it back, move it, take everything away.

    Keep backups on another disk than the shop: a stick, a drive, another computer.
    """
