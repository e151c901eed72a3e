"""Taking apart at the keyboard: the first night, gates, labels, cleaning, what is not yet back."""

from __future__ import annotations

from typing import Any

import click

from retrue.cli.deeds import ByDeed

# The words stand here so that help loads nothing: name, where it lives, what it does.
DEEDS: dict[str, tuple[str, str]] = {
    "night": ("strip_show:night", "The first night: ticks, places, what may be cleaned."),
    "evening": ("strip_show:evening", "The five ticks to leave it in the evening."),
    "place": ("strip_show:place", "One place: what is kept of it, and which gates are open."),
    "tick": ("strip_keep:tick", "Tick an item; what is always allowed is never refused."),
    "shot": ("strip_keep:shot", "Keep photographs of a place, a line, or a label."),
    "entry": ("strip_keep:entry", "Say of a line: done, later, or not possible because."),
    "off": ("strip_keep:off", "Keep that something was undone; it gets a code."),
    "back": ("strip_keep:back", "Keep that something is back where it belongs."),
    "labels": ("strip_lists:labels", "Labels of all that was undone: rows, CSV, XLSX, PDF."),
    "bags": ("strip_lists:bags", "The bags: counts, torques, shims, as labels."),
    "remaining": ("strip_lists:remaining", "What is not yet back, in reverse order."),
    "clean": ("strip_keep:clean", "Keep that a place was cleaned of one sort of muck."),
    "reading": ("strip_keep:reading", "Keep a reading that cleaning is proved by."),
    "cleaning": ("strip_clean:cleaning", "How muck is taken off; whether readings prove it."),
    "sheet": ("strip_sheets:sheet", "The whole log, or the first night with boxes, as PDF."),
    "files": ("strip_show:files", "Files of a machine: keep, list, read back."),
    "take-back": ("strip_keep:take_back", "Take back something said by mistake."),
}


@click.group(cls=ByDeed, deeds=DEEDS)
def strip(**_: Any) -> None:
    """From a filthy machine to one that is apart and can be put together again.

    LOT is a lot in the shop. labels, bags, remaining and cleaning also take a FILE, CSV or XLSX,
    without a shop; docs/strip.md has its columns. Numbers are estimates for planning. Local codes
    and licensed trades go first.
    """
