"""What thinks reads no clock, file or setting, draws no chance of its own and prints nothing."""

from __future__ import annotations

import ast
import subprocess
import sys
from collections.abc import Iterable, Iterator

import pytest
from tests.house.trees import SOURCE, nodes_of

ROOMS = ("science", "belief", "choose", "plan", "books", "cases")
MODULES = {
    "asyncio", "getpass", "glob", "io", "locale", "logging", "os", "pathlib", "platform", "random",
    "secrets", "shutil", "socket", "sqlite3", "subprocess", "sys", "tempfile", "threading", "time",
    "urllib", "uuid", "warnings",
}  # fmt: skip
CALLS = {"print", "open", "input", "exec", "eval", "breakpoint", "__import__"}
METHODS = {"now", "utcnow", "today", "fromtimestamp", "read_text", "write_text", "read_bytes"}
DRAWS = {"default_rng", "seed", "rand", "randn", "RandomState"}


def impure(nodes: Iterable[ast.AST]) -> Iterator[str]:
    """Name what a module does that a science may not do."""
    for node in nodes:
        match node:
            case ast.Import(names=names):
                for name in names:
                    if name.name.split(".")[0] in MODULES:
                        yield f"line {node.lineno}: import {name.name}"
            case ast.ImportFrom(module=str(module)) if module.split(".")[0] in MODULES:
                yield f"line {node.lineno}: from {module} import"
            case ast.Call(func=ast.Name(id=name)) if name in CALLS | {"default_rng"}:
                yield f"line {node.lineno}: {name}()"
            case ast.Call(func=ast.Attribute(attr=name)) if name in METHODS | DRAWS:
                yield f"line {node.lineno}: .{name}()"
            case ast.Global():
                yield f"line {node.lineno}: global"


@pytest.mark.parametrize("room", ROOMS)
def test_a_room_that_thinks_is_pure(room: str):
    found = [
        f"{path.relative_to(SOURCE)} {what}"
        for path in sorted((SOURCE / room).rglob("*.py"))
        for what in impure(nodes_of(path))
    ]
    assert found == []


@pytest.mark.parametrize(
    "line",
    [
        "import time",
        "from pathlib import Path",
        "import os.path",
        "print(1)",
        "open('x')",
        "datetime.now()",
        "date.today()",
        "np.random.default_rng()",
        "def f():\n    global x",
    ],
)
def test_each_impurity_is_seen(line: str):
    assert len(list(impure(ast.walk(ast.parse(line))))) == 1


HEART = """
import importlib, pkgutil, sys
allowed = {"numpy", "scipy", "retrue"}
class Wall:
    def find_spec(self, name, path=None, target=None):
        top = name.partition(".")[0]
        if top.startswith("_sysconfigdata"):
            return None  # the standard library's own, named after the machine; SciPy looks into it
        if top not in sys.stdlib_module_names and top not in allowed:
            raise ModuleNotFoundError(f"{name} is behind the wall", name=name)
sys.meta_path.insert(0, Wall())
import retrue
for room in ("base", "science", "belief", "choose", "plan", "books"):
    package = importlib.import_module(f"retrue.{room}")
    for module in pkgutil.walk_packages(package.__path__, package.__name__ + "."):
        importlib.import_module(module.name)
"""


def test_the_heart_stands_on_numpy_and_scipy_alone():
    told = subprocess.run(
        [sys.executable, "-c", HEART], capture_output=True, text=True, check=False
    )
    assert told.returncode == 0, told.stderr
    spoiled = HEART.replace('"numpy", ', "")
    told = subprocess.run(
        [sys.executable, "-c", spoiled], capture_output=True, text=True, check=False
    )
    assert "behind the wall" in told.stderr
