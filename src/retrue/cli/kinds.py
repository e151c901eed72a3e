"""``retrue kinds``: what is known of each type of machine, and a file of one's own numbers."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from pathlib import Path
from typing import TYPE_CHECKING, Any

import click

from retrue.base.formatter import number
from retrue.base.say import english, say
from retrue.cli.options import json_option

if TYPE_CHECKING:
    from retrue.cli.house import House
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
    "limits",
    "shots",
    "questions",
    "plate",
    "stop_cover",
    "cautions",
    "card_rules",
    "renewals",
    "upgrades",
    "way_effects",
)
FILE = click.Path(exists=True, dir_okay=False, path_type=Path)


@click.group()
def kinds() -> None:
    """Types of machine: what may be wrong with each, and your own numbers.

    Every number in them is judgement; none was measured.
    """


@kinds.command("list")
@json_option
@click.pass_obj
def list_kinds(house: House, as_json: bool) -> None:
    """Name the types, with their version and the hash of what they hold."""
    found = house.kinds()
    if as_json:
        _print({"kinds": [_summary(kind) for kind in found.values()]})
        return
    click.echo(say("{count} types of machine. Their numbers are judgement.", count=len(found)))
    _table(
        (kind.id, kind.name, say("version {version}", version=kind.version), kind.hash[:12])
        for kind in found.values()
    )


@kinds.command()
@click.argument("kind")
@click.option("--section", type=click.Choice(SECTIONS), help="Show one part of it only.")
@json_option
@click.pass_obj
def show(house: House, kind: str, section: str | None, as_json: bool) -> None:
    """Show what is known of the type KIND, or one part of it."""
    from retrue.kinds.load import one_of

    found = one_of(house.kinds(), kind)
    if as_json:
        _print(_summary(found) | _held(found, section))
        return
    click.echo(say("{name}, version {version}", name=found.name, version=found.version))
    _table(_rows(found, section) if section else _counts(found))


@kinds.command()
@click.argument("file", type=FILE)
@json_option
def check(file: Path, as_json: bool) -> None:
    """Read FILE as your own numbers and say what it changes; nothing is kept."""
    from retrue.kinds.compare import differences
    from retrue.kinds.load import load

    found = load(((file.name, _content(file)),))
    changes = differences(load(), found)
    if as_json:
        hashes = {kind.id: kind.hash for kind in found.values()}
        _print({"file": file.name, "changes": [_change(c) for c in changes], "hashes": hashes})
        return
    changed = {0: say("It changes no number."), 1: say("It changes 1 number.")}.get(
        len(changes), say("It changes {count} numbers.", count=len(changes))
    )
    click.echo(say("{file} can be used.", file=file.name) + " " + changed)
    _table((c.kind, c.number, _shown(c.before), _shown(c.after)) for c in changes)


def _content(file: Path) -> bytes:
    """No more of it than can be a file of numbers."""
    from retrue.kinds.sources import LARGEST

    with file.open("rb") as opened:
        return opened.read(LARGEST + 1)


def _summary(kind: Kind) -> dict[str, Any]:
    return {"id": kind.id, "name": kind.name, "version": kind.version, "hash": kind.hash}


def _held(kind: Kind, section: str | None) -> dict[str, Any]:
    import msgspec

    held: dict[str, Any] = msgspec.to_builtins(kind, str_keys=True, enc_hook=english)
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
    if section == "limits":
        return [
            (limit.id, f"{number(limit.value)} {limit.unit}", limit.standard, limit.name)
            for limit in held.values()
        ]
    if section == "card_rules":
        return [
            (rule.of, "; ".join(map(str, (*rule.before, *rule.work, *rule.close)))) for rule in held
        ]
    if section == "way_effects":
        return [
            (name, number(effect.again, 2), number(effect.again_years), effect.accuracy)
            for name, effect in held.items()
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
    from retrue.cases.sheet_json import dumps

    click.echo(dumps({**held, "schema": 1}))


def _table(rows: Iterable[Sequence[str]]) -> None:
    lines = list(rows)
    widths = [max(map(len, column)) for column in zip(*lines, strict=True)]
    for line in lines:
        cells = (str(cell).ljust(width) for cell, width in zip(line, widths, strict=True))
        click.echo("  ".join(cells).rstrip())
