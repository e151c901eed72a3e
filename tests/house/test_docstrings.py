"""The formula page: every public function of the floors that think says what it takes and gives."""

from __future__ import annotations

import ast
import re
from collections.abc import Iterator
from pathlib import Path

import pytest
from tests.house.trees import SOURCE, nodes_of, text_of, tree_of

ROOMS = ("base", "science", "belief", "choose", "plan", "books", "cases")
SCIENTIFIC = ("science", "belief", "choose", "plan", "books")
SAID = ("References\n", "from memory", "common practice", "by definition", "our own")
ARRAYS = re.compile(r"\b(Floats|NDArray|ArrayLike|ndarray)\b")
SECTION = re.compile(r"^(?P<name>[A-Z][A-Za-z ]+)\n-{3,}\n", re.MULTILINE)


def modules(room: str) -> list[Path]:
    return sorted(p for p in (SOURCE / room).rglob("*.py") if p.name != "__init__.py")


def public(module: ast.Module) -> Iterator[ast.FunctionDef]:
    for node in module.body:
        if isinstance(node, ast.FunctionDef) and not node.name.startswith("_"):
            yield node


def sections(docstring: str) -> dict[str, str]:
    """The numpydoc sections of a docstring, by their titles."""
    marks = list(SECTION.finditer(docstring))
    ends = [*(mark.start() for mark in marks), len(docstring)][1:]
    return {m["name"]: docstring[m.end() : end] for m, end in zip(marks, ends, strict=False)}


def described(section: str) -> list[str]:
    """The names that a Parameters section describes, stars and all."""
    heads = re.findall(r"^(\*{0,2}[A-Za-z_][\w, *]*?)(?: ?:.*)?$", section, re.MULTILINE)
    return [name.strip() for head in heads for name in head.split(",")]


def taken(function: ast.FunctionDef) -> list[str]:
    """The names in a signature, stars and all."""
    a = function.args
    return [
        *(arg.arg for arg in (*a.posonlyargs, *a.args)),
        *([f"*{a.vararg.arg}"] if a.vararg else []),
        *(arg.arg for arg in a.kwonlyargs),
        *([f"**{a.kwarg.arg}"] if a.kwarg else []),
    ]


def faults(function: ast.FunctionDef) -> Iterator[str]:
    """What the docstring of one function lacks."""
    text = ast.get_docstring(function)
    if text is None:
        yield "has no docstring"
        return
    found = sections(text)
    names = taken(function)
    told = described(found.get("Parameters", ""))
    if names and sorted(told) != sorted(names):
        yield f"describes {told}, takes {names}"
    returns = ast.unparse(function.returns) if function.returns else "None"
    if returns != "None" and not {"Returns", "Yields"} & set(found):
        yield f"does not say what it returns ({returns})"
    arguments = [arg for arg in ast.walk(function.args) if isinstance(arg, ast.arg)]
    arrays = any(a.annotation and ARRAYS.search(ast.unparse(a.annotation)) for a in arguments)
    if arrays and "shape" not in text:
        yield "takes an array and does not say its shape"


@pytest.mark.parametrize("room", ROOMS)
def test_a_public_function_says_what_it_takes_and_gives(room: str):
    lacking = [
        f"{path.relative_to(SOURCE)}:{function.lineno} {function.name} {what}"
        for path in modules(room)
        for function in public(tree_of(path))
        for what in faults(function)
    ]
    assert lacking == []


@pytest.mark.parametrize("room", ROOMS)
def test_a_module_with_functions_shows_an_example(room: str):
    without = [
        str(path.relative_to(SOURCE))
        for path in modules(room)
        if list(public(tree_of(path))) and ">>> " not in text_of(path)
    ]
    assert without == [], "no example that runs"


@pytest.mark.parametrize("room", SCIENTIFIC)
def test_a_module_that_thinks_says_where_its_formulas_come_from(room: str):
    without = [
        str(path.relative_to(SOURCE))
        for path in modules(room)
        if list(public(tree_of(path))) and not any(mark in t for mark in SAID for t in told(path))
    ]
    assert without == [], (
        "name the standard, handbook or paper under References, "
        f"or say one of: {', '.join(SAID[1:])}"
    )


def told(path: Path) -> list[str]:
    """The docstrings of a module, of its classes and of its functions."""
    documented = ast.Module | ast.ClassDef | ast.FunctionDef
    return [ast.get_docstring(n) or "" for n in nodes_of(path) if isinstance(n, documented)]


def example(docstring: str, arguments: str = "a, *b, c, **d") -> list[str]:
    source = f'def f({arguments}) -> int:\n    """{docstring}"""\n'
    (function,) = ast.parse(source).body
    assert isinstance(function, ast.FunctionDef)
    return list(faults(function))


GOOD = (
    "One.\n\nParameters\n----------\na, *b : int\n    Kg.\nc\n**d : int\n\nReturns\n-------\nint\n"
)


def test_the_reader_of_docstrings_bites():
    assert example(GOOD) == []
    assert "describes" in example(GOOD.replace("c\n", ""))[0]
    assert "describes" in example(GOOD.replace("a, *b", "a, b"))[0]
    assert "returns" in example(GOOD.split("Returns")[0])[0]
    assert "shape" in example(GOOD, "a: Floats, *b, c, **d")[0]
    assert example("", "") == ["does not say what it returns (int)"]
