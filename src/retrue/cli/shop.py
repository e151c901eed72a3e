"""The shop itself at the keyboard: a backup, a restore, a copy, everything to take away."""

from __future__ import annotations

from typing import Any

import click

from retrue.cli.deeds import BySection

# The words stand here so that help loads nothing: name, where it lives, what it does.
KEEPING: dict[str, tuple[str, str]] = {
    "backup": ("shop_keeping:backup", "The shop as one file, checked before it is called that."),
    "restore": ("shop_keeping:restore", "A backup put back, on an empty place."),
    "copy": ("shop_keeping:copy", "From SQLite to PostgreSQL and back, row for row."),
    "export": ("shop_keeping:export", "Everything as tables, text and files, to take away."),
}
WHO: dict[str, tuple[str, str]] = {
    "devices": ("shop_devices:devices", "Devices that may in, and those that were turned away."),
    "revoke": ("shop_devices:revoke", "Turn a device away from its next request on."),
}
SECTIONS = {"Keeping it": KEEPING, "Who may in": WHO}


@click.group(cls=BySection, sections=SECTIONS)
def shop(**_: Any) -> None:
    """The shop itself: keep a backup, put it back, move it, take everything away.

    Keep backups on another disk than the shop: a stick, a drive, another computer.
    """
