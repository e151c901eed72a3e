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
    """Every node of its tree, as ``ast.walk`` gives them."""
    return tuple(ast.walk(tree_of(path)))


@cache
def _trees() -> Mapping[Path, ast.Module]:
    """All at once: a million nodes that stay are not looked through again for what may go."""
    gc.disable()
    try:
        return {path: ast.parse(text_of(path)) for path in sorted(SOURCE.rglob("*.py"))}
    finally:
        gc.freeze()
        gc.enable()
