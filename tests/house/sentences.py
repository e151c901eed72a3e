"""Every sentence of the program, found in its source; run as a program it brings nl.po up to date.

A sentence is the literal text of ``say`` or ``later``, here and in templates; or it stands in a
table that ``say`` is given, which is followed back to where its texts are written; or it is a text
of the library or a word of a page. ``python -m tests.house.sentences`` keeps each translation that
has its sentence still, and adds new sentences without one.
"""

from __future__ import annotations

import ast
import csv
import json
import re
import subprocess
import sys
from collections.abc import Iterator
from functools import cache, cached_property
from pathlib import Path

from jinja2 import nodes
from tests.house.trees import SOURCE, nodes_of, tree_of, walked
from tests.library import load

from retrue.base.catalogue import SENSE, Sentence, read, shipped_file, write
from retrue.kinds.spoken import texts
from retrue.web.pages import templates

SHIPPED = SOURCE / "base" / "data" / "nl.po"
SPOKEN = {"say", "later"}
# what `say` is given in these is told by others, who took it through `say` or `later` before, is a
# text of the library, or is a person's own word
PHASES = ("find", "seek", "fix", "mov", "prov", "measur", "settl", "strip", "wak", "diary")
DEEP = 6  # how far a name is followed back
_NONE = re.compile(r"^\S*\w_\w\S*$|[<>\[\]|]|^\w+\(|\.toml$")  # codes, patterns, names of files
Found = dict[tuple[str, str], list[str]]


class Module:
    """One file, with what its names are bound to."""

    def __init__(self, path: Path) -> None:
        self.path = path
        self.tree = tree_of(path)
        self.bound: dict[str, list[ast.expr]] = {}
        self.imported: dict[str, tuple[str, str]] = {}
        self.functions: dict[str, ast.FunctionDef | ast.AsyncFunctionDef] = {}
        self.calls: dict[str, list[ast.Call]] = {}
        self.said: list[ast.Call] = []  # of say and later
        for node in nodes_of(path):
            self._note(node)

    @cached_property
    def near(self) -> set[Path]:
        """This file, and those from which it takes something."""
        homes = {home for home, _ in self.imported.values() if home.startswith("retrue.")}
        homes |= {f"{home}.{its}" for home, its in self.imported.values()}
        return {self.path, *(path for home in homes for path in _files(home))}

    def _note(self, node: ast.AST) -> None:
        if isinstance(node, ast.Assign):
            for target in node.targets:
                self._bind(target, node.value)
        elif isinstance(node, ast.AnnAssign | ast.AugAssign | ast.NamedExpr):
            self._bind(node.target, *filter(None, [node.value]))
        elif isinstance(node, ast.For | ast.comprehension):
            self._bind(node.target, node.iter)
        elif isinstance(node, ast.ImportFrom) and node.module:
            for name in node.names:
                self.imported[name.asname or name.name] = (node.module, name.name)
        elif isinstance(node, ast.FunctionDef | ast.AsyncFunctionDef):
            self.functions[node.name] = node
        elif isinstance(node, ast.Call):
            name = getattr(node.func, "id", getattr(node.func, "attr", ""))
            if name in SPOKEN and node.args:
                self.said.append(node)
            if isinstance(node.func, ast.Name):
                self.calls.setdefault(node.func.id, []).append(node)
            if isinstance(node.func, ast.Attribute) and node.func.attr in {"append", "extend"}:
                self._bind(node.func.value, *node.args)

    def _bind(self, target: ast.expr, *values: ast.expr) -> None:
        for name in [target] if isinstance(target, ast.Name) else walked(target):
            if isinstance(name, ast.Name):
                self.bound.setdefault(name.id, []).extend(values)


def _files(home: str) -> list[Path]:
    if not home.startswith("retrue."):
        return []
    path = SOURCE.joinpath(*home.split(".")[1:])
    return [file for file in (path.with_suffix(".py"), path / "__init__.py") if file.is_file()]


@cache
def module(path: Path) -> Module:
    return Module(path)


@cache
def modules() -> tuple[Module, ...]:
    return tuple(module(path) for path in sorted(SOURCE.rglob("*.py")))


@cache
def fields() -> dict[str, list[tuple[Module, ast.expr]]]:
    """What each field of a class may hold: the Literal of its annotation, its default."""
    found: dict[str, list[tuple[Module, ast.expr]]] = {}
    for one in modules():
        for node in one.tree.body:
            for line in node.body if isinstance(node, ast.ClassDef) else ():
                if isinstance(line, ast.AnnAssign) and isinstance(line.target, ast.Name):
                    told = found.setdefault(line.target.id, [])
                    told += [(one, part) for part in (line.annotation, line.value) if part]
    return found


def is_sentence(text: str) -> bool:
    """Whether a text of a table is one for a person."""
    return bool(re.search(r"[A-Za-z]{2}", text)) and not _NONE.search(text)


def written(one: Module, node: ast.AST, depth: int = 0, at: frozenset[str] = frozenset()):
    """Yield each text that an expression may be, as far as it is written down."""
    if depth > DEEP:
        return
    if isinstance(node, ast.Constant) and isinstance(node.value, str):
        yield node.value
    elif isinstance(node, ast.Dict):
        for part in node.values:
            yield from written(one, part, depth, at)
    elif isinstance(node, ast.Subscript):
        yield from written(one, node.value, depth, at)
        if isinstance(node.value, ast.Name) and node.value.id in {"Literal", "tuple"}:
            yield from written(one, node.slice, depth, at)
    elif isinstance(node, ast.IfExp):
        yield from written(one, node.body, depth, at)
        yield from written(one, node.orelse, depth, at)
    elif isinstance(node, ast.Call):
        yield from _called(one, node, depth, at)
    elif isinstance(node, ast.Attribute):
        yield from _attribute(one, node, depth, at)
    elif isinstance(node, ast.Name):
        if node.id not in at:
            yield from _named(one, node.id, depth + 1, at | {node.id})
    elif isinstance(node, ast.Compare | ast.JoinedStr | ast.Lambda):
        return
    else:
        for part in ast.iter_child_nodes(node):
            yield from written(one, part, depth, at)


def _called(one: Module, node: ast.Call, depth: int, at: frozenset[str]):
    name = node.func.attr if isinstance(node.func, ast.Attribute) else getattr(node.func, "id", "")
    if name == "later":
        yield from written(one, node.args[0], depth, at)
    if name in SPOKEN | {"number", "money", "day", "short", "span"}:
        return  # has been through say already, or is a number
    if name == "get" and isinstance(node.func, ast.Attribute):
        yield from written(one, node.func.value, depth, at)
        for part in node.args[1:]:
            yield from written(one, part, depth, at)
    elif name in {"items", "values", "replace", "strip", "lower", "capitalize", "keys"}:
        assert isinstance(node.func, ast.Attribute)
        for text in written(one, node.func.value, depth, at):
            yield text.replace("_", " ") if name == "replace" else text
    elif name in {"zip", "enumerate", "sorted", "reversed", "list", "tuple", "next", "chain"}:
        for part in node.args:
            yield from written(one, part, depth, at)
    elif name in one.functions and name not in at:
        for part in walked(one.functions[name]):
            if isinstance(part, ast.Return | ast.Yield) and part.value:
                yield from written(one, part.value, depth + 1, at | {name})
    elif isinstance(node.func, ast.Name) and node.func.id[:1].isupper():
        for part in [*node.args, *(word.value for word in node.keywords)]:
            yield from written(one, part, depth, at)


def _attribute(one: Module, node: ast.Attribute, depth: int, at: frozenset[str]) -> Iterator[str]:
    """What a field may hold: of a class near by, else of one of the same phase."""
    if node.attr in at:
        return
    every = fields().get(node.attr, ())
    mine = [told for told in every if told[0].path in one.near]
    mine = mine or [told for told in every if _phase(told[0].path) & _phase(one.path)]
    for where, part in mine:
        for text in written(where, part, depth + 1, at | {node.attr}):
            yield text.replace("_", " ")


def _phase(path: Path) -> set[str]:
    told = path.relative_to(SOURCE).as_posix()
    return {stem for stem in PHASES if stem in told}


def _named(one: Module, name: str, depth: int, at: frozenset[str]):
    for part in one.bound.get(name, ()):
        yield from written(one, part, depth, at)
    if name in one.imported:
        home, its = one.imported[name]
        for file in _files(home):
            yield from _named(module(file), its, depth, at)
    for function in one.functions.values():
        names = [arg.arg for arg in (*function.args.args, *function.args.kwonlyargs)]
        if name in names:
            for call in one.calls.get(function.name, ()):
                place = names.index(name)
                given = [word.value for word in call.keywords if word.arg == name]
                given += [call.args[place]] if place < len(call.args) else []
                for part in given:
                    yield from written(one, part, depth, at)


def _of_say(one: Module, call: ast.Call) -> Iterator[str]:
    if isinstance(call.args[0], ast.Constant):
        yield str(call.args[0].value)
    else:
        yield from filter(is_sentence, written(one, call.args[0]))


def _sense(call: ast.Call) -> str:
    told = [word.value for word in call.keywords if word.arg == "sense"]
    return str(told[0].value) if told and isinstance(told[0], ast.Constant) else ""


def of_code(found: Found) -> None:
    """Those of the modules."""
    for one in modules():
        for call in one.said:
            for text in _of_say(one, call):
                _put(found, text, one.path, _sense(call))


def of_templates(found: Found) -> None:
    """Those of the pages."""
    for path in sorted((SOURCE / "web" / "templates").rglob("*.html")):
        tree = templates().parse(path.read_text(encoding="utf-8"))
        for call in tree.find_all(nodes.Call):
            if getattr(call.node, "name", "") == "say":
                for const in call.args[:1]:
                    for text in [const, *const.find_all(nodes.Const)]:
                        if isinstance(text, nodes.Const) and is_sentence(str(text.value)):
                            _put(found, str(text.value), path, _sense_of_page(call))


def _sense_of_page(call: nodes.Call) -> str:
    told = [word.value for word in call.kwargs if word.key == "sense"]
    return str(told[0].value) if told and isinstance(told[0], nodes.Const) else ""


MADE = """
import importlib, json, pkgutil, sys
from retrue.base import say
made, before = {}, say.Later.__new__
def told(cls, text, values, sense=""):
    frame = sys._getframe()
    while frame.f_back is not None and frame.f_code.co_name != "<module>":
        frame = frame.f_back
    made.setdefault(sense + "\4" + text, frame.f_code.co_filename)
    return before(cls, text, values, sense)
say.Later.__new__ = told
import retrue
for one in pkgutil.walk_packages(retrue.__path__, "retrue."):
    if "migrations" not in one.name:
        importlib.import_module(one.name)
print(json.dumps(made))
"""


def of_values(found: Found) -> None:
    """Those of fields and methods, which are marked when they are made."""
    told = subprocess.run([sys.executable, "-c", MADE], capture_output=True, text=True, check=True)
    for key, file in json.loads(told.stdout).items():
        sense, _, text = key.partition(SENSE)
        if is_sentence(text):
            _put(found, text, Path(file), sense)


def of_library(found: Found) -> None:
    """Those of the tables of kinds, and the words of pages."""
    for text, sort in texts(load()).items():
        if is_sentence(text):
            _put(found, str(text), SOURCE / "kinds" / sort)
    with (SOURCE / "base" / "data" / "words.csv").open(encoding="utf-8") as file:
        for row in csv.DictReader(file):
            for text in (row["page"], row["explanation"]):
                if text and not text.startswith("("):
                    _put(found, text, SOURCE / "base" / "data" / "words.csv")


def _put(found: Found, text: str, path: Path, sense: str = "") -> None:
    if text.strip():
        place = path.relative_to(SOURCE).as_posix()
        places = found.setdefault((text, sense), [])
        if place not in places:
            places.append(place)


@cache
def every() -> tuple[Sentence, ...]:
    """Every sentence of the program, where it stands, without a translation."""
    found: Found = {}
    of_code(found)
    of_values(found)
    of_templates(found)
    of_library(found)
    return tuple(
        Sentence(text, sense=sense, places=tuple(places[:3]))
        for (text, sense), places in sorted(found.items())
    )


def updated(file: str) -> str:
    """A PO file with every sentence of the program, each with what it was told in the old one."""
    import retrue

    told = {one.key: one.told for one in read(file)} if file else {}
    made = (Sentence(one.text, one.sense, told.get(one.key, ""), one.places) for one in every())
    return write(made, "nl", retrue.__version__)


if __name__ == "__main__":
    every()  # before the file is read: it takes a minute, and others translate meanwhile
    SHIPPED.write_text(updated(shipped_file("nl")), encoding="utf-8")
