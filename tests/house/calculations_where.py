"""Which phase of the job a module reckons for, by who asks it."""

from __future__ import annotations

import ast
import re
from functools import cache

from tests.house.trees import SOURCE, nodes_of, tree_of

PHASES = {
    "worth": "What to pay",
    "move": "Move and place",
    "strip": "Taking apart",
    "find": "What is wrong",
    "fix": "What to do",
    "wake": "First power",
    "prove": "What readings mean",
    "settle": "Money and sale",
}
# Of a module that several phases ask, the first of these; cases without a folder price a lot.
FIRST = {
    "science": ("move", "prove", "wake", "fix", "settle", "find", "strip", "worth"),
    "belief": ("find",),
    "choose": ("worth", "find", "fix", "settle"),
    "plan": ("fix", "worth", "find"),
    "books": ("settle", "worth"),
}
ALONE = {"lubrication": "wake", "trials": "prove"}  # nobody asks them yet
_ROOMS = re.compile(r"retrue\.(science|belief|choose|plan|books)\b")


def phase_of(parts: tuple[str, ...]) -> str:
    """The phase of a module by its path below the source."""
    if parts[0] == "cases":
        if parts[1] == "reckon":
            return "prove"
        return parts[1] if len(parts) > 2 and parts[1] in PHASES else "worth"
    asked = phases(".".join(parts[:2]), frozenset())
    order = FIRST[parts[0]]
    if parts[0] == "belief":
        return order[0]
    return next((one for one in order if one in asked), ALONE.get(parts[1], order[0]))


@cache
def phases(module: str, seen: frozenset[str]) -> frozenset[str]:
    """The phases whose cases ask for a module; where none does, those of who asks for it."""
    mine = _users().get(module, set())
    direct = frozenset(phase_of(user) for user in mine if user[0] == "cases")
    if direct:
        return direct
    inner = {".".join(user[:2]) for user in mine if user[0] in FIRST} - seen - {module}
    return frozenset(p for one in inner for p in phases(one, seen | {module}))


@cache
def _users() -> dict[str, set[tuple[str, ...]]]:
    found: dict[str, set[tuple[str, ...]]] = {}
    for path in sorted(SOURCE.rglob("*.py")):
        user = path.relative_to(SOURCE).with_suffix("").parts
        tree_of(path)
        for node in nodes_of(path):
            if isinstance(node, ast.ImportFrom) and _ROOMS.match(node.module or ""):
                module = (node.module or "").removeprefix("retrue.")
                names = [module] if "." in module else [f"{module}.{a.name}" for a in node.names]
                for name in names:
                    found.setdefault(name, set()).add(user)
    return found
