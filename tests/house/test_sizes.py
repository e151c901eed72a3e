"""Small stays small: the limits may be lowered, never raised."""

from __future__ import annotations

import ast
from functools import cache
from pathlib import Path
from statistics import median, quantiles

from tests.house.trees import SOURCE, nodes_of, text_of

MODULE_LINES = 400
MODULE_MEDIAN = 150  # docstrings left out: a long one is welcome
BODY_LINES = 50
PHASE_BODY_LINES = 25
BODY_MEDIAN = 8
BODY_NINE_IN_TEN = 25

Function = ast.FunctionDef | ast.AsyncFunctionDef


def body_lines(function: Function) -> int:
    """Lines of a function's body, its docstring left out."""
    statements = function.body
    if ast.get_docstring(function) is not None:
        statements = statements[1:]
    if not statements:
        return 0
    return (statements[-1].end_lineno or 0) - statements[0].lineno + 1


@cache
def measured(path: Path) -> tuple[int, dict[str, int]]:
    """Lines without docstrings, and the body lines of each function by its line and name."""
    length, bodies = len(text_of(path).splitlines()), {}
    for node in nodes_of(path):
        if isinstance(node, Function):
            bodies[f"{node.lineno} {node.name}"] = body_lines(node)
        if isinstance(node, ast.Module | ast.ClassDef | Function) and ast.get_docstring(node):
            length -= (node.body[0].end_lineno or 0) - node.body[0].lineno + 1
    return length, bodies


def modules() -> list[Path]:
    return sorted(SOURCE.rglob("*.py"))


def test_no_module_is_longer_than_one_reads():
    lengths = {path: len(text_of(path).splitlines()) for path in modules()}
    assert {p.name: n for p, n in lengths.items() if n > MODULE_LINES} == {}
    rooms = [path for path in modules() if path.name != "__init__.py"]
    assert median(measured(path)[0] for path in rooms) <= MODULE_MEDIAN


def test_no_function_is_longer_than_one_sees():
    long = {}
    for path in modules():
        limit = PHASE_BODY_LINES if SOURCE / "phases" in path.parents else BODY_LINES
        for function, lines in measured(path)[1].items():
            if lines > limit:
                long[f"{path.relative_to(SOURCE)}:{function}"] = lines
    assert long == {}


def test_most_functions_are_much_shorter():
    bodies = [lines for path in modules() for lines in measured(path)[1].values()]
    assert median(bodies) <= BODY_MEDIAN
    assert quantiles(bodies, n=10)[-1] <= BODY_NINE_IN_TEN


def test_a_long_body_is_measured_without_its_docstring():
    source = 'def f():\n    """One.\n\n    Two.\n    """\n' + "    x = 1\n" * 51
    (function,) = ast.parse(source).body
    assert isinstance(function, ast.FunctionDef)
    assert body_lines(function) == 51
