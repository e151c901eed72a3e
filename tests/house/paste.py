"""Paste into the manual what the program says itself: help, pages, words.

Run it after a change: ``.venv/bin/python tests/house/paste.py``. A test compares and says so.
"""

from __future__ import annotations

import ast
import importlib
import inspect
import pkgutil
import re
import sys
from collections.abc import Callable, Iterator
from pathlib import Path

import click
from starlette.routing import Mount, Route

import retrue.cli
from retrue.base.unit_table import TWO_MEANINGS, UNITS
from retrue.base.words import words
from retrue.cases import sheet

DOCS = Path(__file__).resolve().parents[2] / "docs"
MARKED = re.compile(r"(<!-- pasted: (?P<what>\w+) -->\n).*?(<!-- end -->)", re.DOTALL)


def program() -> click.Group:
    """The outermost group of commands, wherever the command door keeps it."""
    groups = []
    for module in pkgutil.walk_packages(retrue.cli.__path__, "retrue.cli."):
        found = vars(importlib.import_module(module.name)).values()
        groups += [value for value in found if isinstance(value, click.Group)]
    inner = {id(c) for g in groups for c in _children(g, _context(g, "", None)).values()}
    outermost = {id(g): g for g in groups if id(g) not in inner}
    assert len(outermost) == 1, "the command door has more than one outermost group"
    return next(iter(outermost.values()))


def _children(group: click.Group, context: click.Context) -> dict[str, click.Command]:
    names = group.list_commands(context)
    return {name: c for name in names if (c := group.get_command(context, name))}


def commands() -> Iterator[tuple[str, click.Context]]:
    """Every command by its path, outermost first."""
    yield from _below(program(), "retrue", None)


def _context(command: click.Command, name: str, parent: click.Context | None) -> click.Context:
    settings = {**command.context_settings, "terminal_width": 88, "max_content_width": 88}
    return click.Context(command, info_name=name, parent=parent, **settings)


def _below(
    command: click.Command, name: str, parent: click.Context | None
) -> Iterator[tuple[str, click.Context]]:
    # click remembers a command's help option from its first use, which may have been without parent
    vars(command)["_help_option"] = None
    context = _context(command, name, parent)
    yield context.command_path, context
    if isinstance(command, click.Group):
        for child, inner in sorted(_children(command, context).items()):
            if not inner.hidden:
                yield from _below(inner, child, context)


def pasted_help() -> str:
    """The help of every command under its path."""
    parts = []
    for path, context in commands():
        parts.append(f"## {path}\n\n```\n{context.command.get_help(context).rstrip()}\n```\n")
    return "\n" + "\n".join(parts) + "\n"


def routes() -> list[Route]:
    """Every page of the web door; what serves whole folders is left out."""
    found = importlib.import_module("retrue.web.app").ROUTES
    assert all(isinstance(route, Route | Mount) for route in found)
    return [route for route in found if isinstance(route, Route)]


def pasted_pages() -> str:
    """A table of all pages: address, method, what it does."""
    rows = ["| page | method | what it does |", "|---|---|---|"]
    for route in routes():
        says = (inspect.getdoc(route.endpoint) or "").split("\n\n")[0].replace("\n", " ")
        methods = ", ".join(sorted((route.methods or set()) - {"HEAD"}))
        rows.append(f"| `{route.path}` | {methods} | {says} |")
    return "\n" + "\n".join(rows) + "\n\n"


def pasted_words() -> str:
    """A table of all words of the pages."""
    rows = ["| our word | on the page | what it means |", "|---|---|---|"]
    for entry in words().values():
        rows.append(f"| {entry.code} | {entry.page or '(not shown)'} | {entry.explanation} |")
    return "\n" + "\n".join(rows) + "\n\n"


def pasted_units() -> str:
    """A table of all units that a person may write."""
    rows = ["| measures | unit, and other ways to write it |", "|---|---|"]
    for measures in dict.fromkeys(unit.measures for unit in UNITS):
        told = [
            f"`{unit.symbol}`" + "".join(f" {name}" for name in unit.names)
            for unit in UNITS
            if unit.measures == measures
        ]
        rows.append(f"| {measures} | {'; '.join(told)} |")
    for name, meanings in TWO_MEANINGS.items():
        rows.append(f"| refused: `{name}` means two things | write {' or '.join(meanings)} |")
    return "\n" + "\n".join(rows) + "\n\n"


def pasted_json() -> str:
    """A table for every part of the price sheet: key, type, what it means."""
    source = inspect.getsource(sheet)
    lines, parts = source.splitlines(), []
    classes = [node for node in ast.parse(source).body if isinstance(node, ast.ClassDef)]
    for node in reversed(classes):
        rows = ["| key | type | what it is |", "|---|---|---|"]
        for field in node.body:
            if isinstance(field, ast.AnnAssign):
                says = lines[field.lineno - 1].partition("  # ")[2]
                kind = ast.unparse(field.annotation).replace("|", "or")
                rows.append(f"| `{ast.unparse(field.target)}` | {kind} | {says} |")
        about = (ast.get_docstring(node) or "").split("\n\n")[0].replace("\n", " ")
        parts.append(f"## {node.name}\n\n{about}\n\n" + "\n".join(rows) + "\n")
    return "\n" + "\n".join(parts) + "\n"


PASTED: dict[str, Callable[[], str]] = {
    "help": pasted_help,
    "pages": pasted_pages,
    "words": pasted_words,
    "json": pasted_json,
    "units": pasted_units,
}
PAGES = {
    "help": "commands.md",
    "pages": "pages.md",
    "words": "vocabulary.md",
    "units": "vocabulary.md",
    "json": "json.md",
}


def pasted(text: str) -> str:
    """A page of the manual with its marked parts as the program says them now."""
    return MARKED.sub(lambda m: m[1] + PASTED[m["what"]]() + m[3], text)


def main() -> None:
    """Paste anew wherever something changed."""
    for name in sorted(set(PAGES.values())):
        page = DOCS / name
        old = page.read_text(encoding="utf-8")
        if (new := pasted(old)) != old:
            page.write_text(new, encoding="utf-8")
            sys.stdout.write(f"pasted {page.name}\n")


if __name__ == "__main__":
    main()
