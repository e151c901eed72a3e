"""The program's own source, each file parsed once a process however many tests read it."""

from __future__ import annotations

import ast
import gc
from collections.abc import Mapping
from functools import cache
from pathlib import Path

SOURCE = Path(__file__).resolve().parents[2] / "src" / "retrue"


@cache
def text_of(path: Path) -> str:
    return path.read_text(encoding="utf-8")


def tree_of(path: Path) -> ast.Module:
    """Its tree; to be read, never to be changed."""
    return _trees()[path]


@cache
def nodes_of(path: Path) -> tuple[ast.AST, ...]:
    """Every node of its tree, in the order of `walked`."""
    return walked(tree_of(path))


def walked(tree: ast.AST) -> tuple[ast.AST, ...]:
    """Every node in the order of ``ast.walk``, less the marks whether a name is read or written.

    They are a third of all, nobody asks for them, and ``ast.walk`` takes thrice as long.
    """
    found = [tree]
    for node in found:  # it grows while it is gone through
        for name in node._fields:
            value = getattr(node, name, None)
            if isinstance(value, list):
                found += [one for one in value if isinstance(one, ast.AST)]
            elif isinstance(value, ast.AST) and name != "ctx":
                found.append(value)
    return tuple(found)


@cache
def _trees() -> Mapping[Path, ast.Module]:
    """All at once: a million nodes that stay are not looked through again for what may go."""
    gc.disable()
    try:
        return {path: ast.parse(text_of(path)) for path in sorted(SOURCE.rglob("*.py"))}
    finally:
        gc.freeze()
        gc.enable()
