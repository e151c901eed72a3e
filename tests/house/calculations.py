"""Calculation notes for the manual, read out of the docstrings and of the tests that check them."""

from __future__ import annotations

import ast
import re
from collections.abc import Iterator
from functools import cache
from pathlib import Path

from tests.house.calculations_where import PHASES, phase_of
from tests.house.test_docstrings import modules, public, sections
from tests.house.trees import SOURCE, nodes_of, tree_of, walked

TESTS = SOURCE.parents[1] / "tests"
THINKING = ("science", "belief", "choose", "plan", "books")
MARKS = (
    ("unverified", "unverified"),
    ("SEEN", "SEEN"),
    ("from memory", "from memory"),
    ("econdary source", "secondary source"),
    ("ommon practice", "common practice, no source"),
    ("y definition", "by definition"),
    ("ur own", "our own rule"),
)
LONGEST = 160  # signs of a formula
UNSURE = re.compile(
    r"uncertain|give or take|coverage|standard error|± |confidence|biased?\b|doubt",
    re.IGNORECASE,
)
PUBLISHED = re.compile(
    r"\b(ISO|IEC|JCGM|NIST|CFR|ASME|EN|DIN|VDI|IEEE|NEC|NFPA|RFC|AISC|ASHRAE|ILO|ANSI|BS|CIE|NEMA"
    r"|HMRC|OECD|WHO|doi|table|example|clause|documentation|handbook|textbook|published|paper|book"
    r"|Journal|et al|econdary source|catalogue|library|pyagrum|fluids|psychrolib|uncertainties)\b"
    r"|\b(1[6-9]|20)\d\d\b"
)


def notes(phase: str) -> str:
    """All notes of a phase as Markdown: a heading a module, one below it a function."""
    parts = []
    for path in where(phase):
        functions = list(told(path))
        if functions:
            first = (ast.get_docstring(tree_of(path)) or "").split("\n\n")[0].replace("\n", " ")
            name = str(path.relative_to(SOURCE).with_suffix("")).replace("/", ".")
            parts.append(f"## {name}\n\n{_marks(first)}\n")
            parts += [_note(path, one) for one in functions]
    return "\n" + "\n".join(parts) + "\n"


def where(phase: str) -> Iterator[Path]:
    """The modules of a phase, sciences first."""
    for room in (*THINKING, "cases"):
        for path in modules(room):
            if phase_of(path.relative_to(SOURCE).with_suffix("").parts) == phase:
                yield path


def told(path: Path) -> Iterator[ast.FunctionDef]:
    """The functions that have a note: all that think; of the cases those that name a source."""
    for one in public(tree_of(path)):
        text = ast.get_docstring(one) or ""
        if path.relative_to(SOURCE).parts[0] != "cases" or "References" in sections(text):
            yield one


def _note(path: Path, function: ast.FunctionDef) -> str:
    text = ast.get_docstring(function) or ""
    found = sections(text)
    body = text[: text.index("Parameters\n---")] if "Parameters\n---" in text else text
    body = re.split(r"^[A-Z]\w+\n-{3,}$", body, maxsplit=1, flags=re.MULTILINE)[0]
    first, _, more = body.partition("\n\n")
    gives = found.get("Returns", "") or found.get("Yields", "")
    method = " ".join(filter(None, (_flat(more), _flat(found.get("Notes", "")))))
    source = _flat(found.get("References", "")) or _source_of(path)
    rows = [
        ("gives", _fields(gives) or "nothing: it refuses what cannot be used"),
        ("from", _fields(found.get("Parameters", ""))),
        (
            "how",
            method
            or _formula(function)
            or f"step by step in `src/retrue/{path.relative_to(SOURCE)}`",
        ),
        ("source", source),
        ("mark", mark(f"{source} {text}")),
        ("give or take", _unsure(more, found.get("Notes", ""), _told(gives))),
        ("refused", _fields(found.get("Raises", ""))),
        ("checked", _checked(path, function)),
    ]
    lines = [f"- *{name}*: {words}" for name, words in rows if words]
    return (
        f"### `{function.name}` ({path.stem})\n\n{_marks(_flat(first))}\n\n"
        + "\n".join(lines)
        + "\n"
    )


def mark(text: str) -> str:
    """How far a source is to be trusted, by the words beside it."""
    found = [name for words, name in MARKS if words in text]
    return ", ".join(found) or "the source is named; whether it was seen in print is not"


def _formula(function: ast.FunctionDef) -> str:
    """What the last line of a function gives, where that is short enough to be read."""
    last = function.body[-1]
    value = ast.unparse(last.value) if isinstance(last, ast.Return) and last.value else ""
    plain = value.replace("np.", "").replace("math.", "")
    return f"`{plain}`" if 0 < len(plain) <= LONGEST else ""


def _source_of(path: Path) -> str:
    """Where a module says that its formulas come from, for a function that does not say it."""
    module = ast.get_docstring(tree_of(path)) or ""
    parts = [sections(module).get("References", "")]
    parts += [part for part in module.split("\n\n") if any(words in part for words, _ in MARKS)]
    named = _flat(" ".join(parts))
    if named:
        return f"of the whole module: {named}"
    for node in nodes_of(path):
        if isinstance(node, ast.FunctionDef | ast.ClassDef):
            named = _flat(sections(ast.get_docstring(node) or "").get("References", ""))
            if named:
                return f"as beside it: {named}"
    return "none is named: it puts together what stands here"


def _unsure(*parts: str) -> str:
    """What the note says of uncertainty, at most two sentences of it."""
    text = " ".join(filter(None, (_flat(part) for part in parts)))
    found = [one for one in re.split(r"(?<=[.;]) ", text) if UNSURE.search(one)]
    return " ".join(found[:2]) or "none of its own; that of what goes in"


def _told(section: str) -> str:
    """A section without the names and types that head its entries."""
    return " ".join(line.strip() for line in section.splitlines() if line.startswith(" "))


def _fields(section: str) -> str:
    """Names and what they are, one after the other."""
    told: list[str] = []
    for line in section.strip("\n").splitlines():
        if line and not line.startswith(" "):
            name, _, kind = line.partition(" : ")
            told.append(f"`{name.strip()}`" + (f" ({kind.strip()})" if kind else ""))
        elif line.strip() and told:
            told[-1] += ("" if told[-1].endswith(" ") else " ") + line.strip()
    return _marks("; ".join(one.rstrip(".") for one in told))


def _flat(text: str) -> str:
    text = re.split(r"\n*>>>", text)[0]
    return _marks(" ".join(text.split()))


def _marks(text: str) -> str:
    """Words as Markdown has them: a sign that would begin an element is none, but in code."""
    parts = text.replace("``", "`").split("`")
    return "`".join(
        part if n % 2 else re.sub(r"([<*])", r"\\\1", part) for n, part in enumerate(parts)
    )


def _checked(path: Path, function: ast.FunctionDef) -> str:
    """The published checks of a function with where they are; else which tests hold it."""
    calls = _tests_of(path.relative_to(SOURCE).parts[0]).get(function.name, [])
    said = [(words, at) for words, at in calls if PUBLISHED.search(words)]
    own = [one for one in said if one[0] not in _ABOVE]
    said = own or said[:1]
    if said:
        return "; ".join(f"{_marks(words.rstrip('.'))} (`{at}`)" for words, at in said[:3])
    if calls:
        files = list(dict.fromkeys(at.partition("::")[0] for _, at in calls))
        return "no published value; by its own laws in " + ", ".join(
            f"`{one}`" for one in files[:2]
        )
    return "through what calls it; " + (_example(function) or "it has no example of its own")


def _example(function: ast.FunctionDef) -> str:
    text = ast.get_docstring(function) or ""
    found = re.findall(r">>> (.+)\n((?!>>>|\.\.\.)\S.*)", text)
    return f"its example runs: `{found[-1][0]}` gives `{found[-1][1]}`" if found else ""


_ABOVE: set[str] = set()  # what whole files of tests say


@cache
def _tests_of(room: str) -> dict[str, list[tuple[str, str]]]:
    """For each name that tests of a room call: what the test says of its source, and where."""
    found: dict[str, list[tuple[str, str]]] = {}
    for path in sorted((TESTS / room).rglob("test_*.py")):
        text = path.read_text(encoding="utf-8")
        lines = text.splitlines()
        tree = ast.parse(text)
        above = " ".join((ast.get_docstring(tree) or "").split("\n\n")[0].split())
        for node in walked(tree):
            if isinstance(node, ast.FunctionDef) and node.name.startswith("test_"):
                said = _says(node, lines) or above
                _ABOVE.add(above)
                at = f"tests/{path.relative_to(TESTS)}::{node.name}"
                names = {_name(one.func) for one in walked(node) if isinstance(one, ast.Call)}
                for name in names - {""}:
                    found.setdefault(name, []).append((said, at))
    return found


def _says(node: ast.FunctionDef, lines: list[str]) -> str:
    text = " ".join((ast.get_docstring(node) or "").split("\n\n")[0].split())
    beside = [
        line.partition("  # ")[2] for line in lines[node.lineno - 1 : node.end_lineno]
        if "  # " in line and "fmt:" not in line
    ]  # fmt: skip
    beside = [one for one in beside if PUBLISHED.search(one)]
    return text if PUBLISHED.search(text) else "; ".join([*filter(None, [text]), *beside[:2]])


def _name(node: ast.expr) -> str:
    match node:
        case ast.Name(id=name) | ast.Attribute(attr=name):
            return name
    return ""


__all__ = ["PHASES", "THINKING", "mark", "nodes_of", "notes", "told", "where"]
