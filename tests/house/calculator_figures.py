"""Every figure that a calculator may give, read off its own source."""

from __future__ import annotations

import ast
import importlib
import inspect
from collections.abc import Iterator
from pathlib import Path
from types import ModuleType

import retrue.cases
from retrue.cases.reckon.books import BOOKS
from retrue.cases.reckon.method import book_of

CASES = Path(retrue.cases.__file__).parent


def modules(id: str) -> list[ModuleType]:
    """The modules of one calculator: its own, and those whose names begin with it."""
    book = book_of(id)
    own = BOOKS[book][id]
    parts = sorted(path.stem for path in (CASES / book).glob(f"{own}_*.py"))
    return [importlib.import_module(f"retrue.cases.{book}.{name}") for name in (own, *parts)]


def figures(id: str) -> list[tuple[str, str, str]]:
    """Key, words and unit of every figure, once each, in the order of the source."""
    found = [row for module in modules(id) for row in _of(ast.parse(inspect.getsource(module)))]
    return list(dict.fromkeys(found))


def _of(tree: ast.AST) -> Iterator[tuple[str, str, str]]:
    for node in ast.walk(tree):
        if not isinstance(node, ast.Call) or not isinstance(node.func, ast.Attribute):
            continue
        if node.func.attr != "figure" or len(node.args) < 4:
            continue
        key, name, _value, unit = node.args[:4]
        yield _text(key), _text(name), _text(unit)


def _text(node: ast.expr) -> str:
    """A constant as it stands; words inside ``say``; a key put together with a star."""
    if isinstance(node, ast.Constant):
        return str(node.value)
    if isinstance(node, ast.Call) and node.args:
        return _text(node.args[0])
    if isinstance(node, ast.JoinedStr):
        return "".join(str(p.value) if isinstance(p, ast.Constant) else "*" for p in node.values)
    return "…"
