"""Every refusal by its sentence, read out of the source: what it says, its sort, what helps."""

from __future__ import annotations

import ast
from collections.abc import Iterator

from tests.house.trees import SOURCE, nodes_of, tree_of

from retrue.base import refusals

SORTS = {
    name
    for name, value in vars(refusals).items()
    if isinstance(value, type) and issubclass(value, refusals.Refusal)
} - {"Refusal"}
GROUPS = {
    "base": "Numbers, units, money",
    "science": "Measuring and reckoning",
    "belief": "What is probably wrong",
    "choose": "Prices and questions",
    "plan": "Cards and dates",
    "books": "The book",
    "records": "What is kept",
    "kinds": "Types of machine",
    "cases": "Files and forms",
    "phases": "The order of the job",
    "store": "Keeping and files",
    "paper": "On paper",
    "figures": "Drawings",
    "web": "Pages",
    "cli": "Commands",
    "serving.py": "Opening the pages",
}


def said(node: ast.expr | None) -> str:
    """The sentence of a ``say("...")``; of one of two both; empty for anything else."""
    match node:
        case ast.Call(func=ast.Name(id="say"), args=[ast.Constant(value=str(text)), *_]):
            return text
        case ast.IfExp(body=one, orelse=other) if said(one) and said(other):
            return f"{said(one)} / {said(other)}"
    return ""


def refused(room: str) -> Iterator[tuple[str, str, str]]:
    """Sentence, sort and remedy of every refusal of a room, each once."""
    seen: dict[str, tuple[str, str]] = {}
    paths = [SOURCE / room] if room.endswith(".py") else (SOURCE / room).rglob("*.py")
    for path in sorted(paths):
        if "class" in path.name:
            continue
        tree_of(path)
        for node in nodes_of(path):
            match node:
                case ast.Call(func=ast.Name(id=sort), args=[first, *_]) if sort in SORTS:
                    helps = next((k.value for k in node.keywords if k.arg == "remedy"), None)
                    if said(first):
                        seen.setdefault(said(first), (sort, said(helps)))
                case ast.Call(func=ast.Name(id="Problem"), args=[_, what, *rest]):
                    given = [k.value for k in node.keywords if k.arg == "remedy"] or rest
                    if said(what):
                        seen.setdefault(said(what), ("Unusable", said(given[0]) if given else ""))
                case ast.Raise(exc=ast.Call(func=ast.Name(id=made), args=given)) if (
                    made not in SORTS and (told := [text for one in given if (text := said(one))])
                ):  # a function that makes the refusal of its field
                    helps = told[1] if len(told) > 1 else ""
                    seen.setdefault(told[0], ("Unusable", helps))
    for sentence in sorted(seen, key=str.lower):
        yield sentence, *seen[sentence]


def pasted_refusals() -> str:
    """A table of all sentences by the room that says them."""
    parts = []
    for room, title in GROUPS.items():
        rows = [
            f"| {_cell(text)} | `{sort}` | {_cell(helps) or 'as it says'} |"
            for text, sort, helps in refused(room)
        ]
        if rows:
            head = ["| it says | refusal | what helps |", "|---|---|---|"]
            parts.append(f"## {title}\n\n" + "\n".join([*head, *rows]) + "\n")
    return "\n" + "\n".join(parts) + "\n"


def _cell(text: str) -> str:
    return text.replace("|", "\\|").replace("\n", " ").replace("<", "\\<")
