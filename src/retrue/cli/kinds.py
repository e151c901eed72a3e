"""``retrue kinds``: what is known of each kind of machine, and a file of one's own numbers."""

from __future__ import annotations

import json
from collections.abc import Iterable, Mapping, Sequence
from pathlib import Path
from typing import TYPE_CHECKING, Any

import click

from retrue.base.formatter import number
from retrue.base.say import say

if TYPE_CHECKING:
    from retrue.kinds.compare import Difference
    from retrue.kinds.library import Kind

SECTIONS = (
    "histories",
    "faults",
    "fixes",
    "jobs",
    "places",
    "levels",
    "costs",
    "checks",
    "measures",
    "shots",
    "questions",
    "plate",
    "stop_cover",
    "cautions",
)
FILE = click.Path(exists=True, dir_okay=False, path_type=Path)
own_files = click.option(
    "--own", type=FILE, multiple=True, help="A file of your own numbers; they count before ours."
)
as_json = click.option("--json", "as_json", is_flag=True, help="One JSON object, for programs.")


@click.group()
def kinds() -> None:
    """Kinds of machine: what may be wrong with each, and your own numbers.

    Every number in them is judgement; none was measured.
    """


@kinds.command("list")
@own_files
@as_json
def list_kinds(own: tuple[Path, ...], as_json: bool) -> None:
    """Name the kinds, with their version and the hash of what they hold."""
    from retrue.kinds.load import load

    found = load(_contents(own))
    if as_json:
        _print({"kinds": [_summary(kind) for kind in found.values()]})
        return
    click.echo(say("{count} kinds of machine. Their numbers are judgement.", count=len(found)))
    _table(
        (kind.id, kind.name, say("version {version}", version=kind.version), kind.hash[:12])
        for kind in found.values()
    )


@kinds.command()
@click.argument("kind")
@click.option("--section", type=click.Choice(SECTIONS), help="Show one part of it only.")
@own_files
@as_json
def show(kind: str, section: str | None, own: tuple[Path, ...], as_json: bool) -> None:
    """Show what is known of KIND, or one section of it."""
    from retrue.kinds.load import load

    found = load(_contents(own), only=(kind,))[kind]
    if as_json:
        _print(_summary(found) | _held(found, section))
        return
    click.echo(say("{name}, version {version}", name=found.name, version=found.version))
    _table(_rows(found, section) if section else _counts(found))


@kinds.command()
@click.argument("file", type=FILE)
@as_json
def check(file: Path, as_json: bool) -> None:
    """Read FILE as your own numbers and say what it changes; nothing is kept."""
    from retrue.kinds.compare import differences
    from retrue.kinds.load import load

    found = load(_contents((file,)))
    changes = differences(load(), found)
    if as_json:
        hashes = {kind.id: kind.hash for kind in found.values()}
        _print({"file": file.name, "changes": [_change(c) for c in changes], "hashes": hashes})
        return
    click.echo(say("{file} can be used.", file=file.name))
    click.echo(say("It changes {count} numbers.", count=len(changes)))
    _table((c.kind, c.number, _shown(c.before), _shown(c.after)) for c in changes)


def _contents(files: Iterable[Path]) -> tuple[tuple[str, bytes], ...]:
    from retrue.kinds.sources import LARGEST

    contents = []
    for file in files:
        with file.open("rb") as opened:
            contents.append((file.name, opened.read(LARGEST + 1)))
    return tuple(contents)


def _summary(kind: Kind) -> dict[str, Any]:
    return {"id": kind.id, "name": kind.name, "version": kind.version, "hash": kind.hash}


def _held(kind: Kind, section: str | None) -> dict[str, Any]:
    import msgspec

    held: dict[str, Any] = msgspec.to_builtins(kind, str_keys=True)
    return {section: held[section]} if section else held


def _change(change: Difference) -> dict[str, Any]:
    return {
        "kind": change.kind,
        "number": change.number,
        "before": change.before,
        "after": change.after,
    }


def _counts(kind: Kind) -> list[tuple[str, str]]:
    counted = [(section, str(len(getattr(kind, section)))) for section in SECTIONS]
    return [*counted, (say("hash"), kind.hash)]


def _rows(kind: Kind, section: str) -> list[tuple[str, ...]]:
    held = getattr(kind, section)
    if section == "faults":
        return [(f.id, f.urgency, number(f.prior, 2), f.name) for f in held.values()]
    if section == "fixes":
        return [
            (fault, fix.way, number(fix.cures, 2), number(fix.money.likely), fix.note)
            for fault, ways in held.items()
            for fix in ways
        ]
    return [(name, _words(entry)) for name, entry in held.items()]


def _words(entry: Any) -> str:
    if hasattr(entry, "ask"):
        return str(entry.ask.get("en") or getattr(entry, "shows", ""))
    named = ("item", "name", "text", "says", "shows", "danger", "label")
    return str(next((getattr(entry, key) for key in named if hasattr(entry, key)), ""))


def _shown(value: float | None) -> str:
    return say("none") if value is None else f"{value:g}"


def _print(held: Mapping[str, Any]) -> None:
    click.echo(json.dumps({**held, "schema": 1}, sort_keys=True, ensure_ascii=False))


def _table(rows: Iterable[Sequence[str]]) -> None:
    lines = list(rows)
    widths = [max(map(len, column)) for column in zip(*lines, strict=True)]
    for line in lines:
        cells = (cell.ljust(width) for cell, width in zip(line, widths, strict=True))
        click.echo("  ".join(cells).rstrip())
