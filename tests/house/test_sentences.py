"""Every sentence can be translated: said when it is shown, never when a module is read."""

from __future__ import annotations

import ast
from collections.abc import Iterator

from tests.house.sentences import SOURCE, is_sentence, modules, written

# What is given here was said already, is told by the library, or stands in a marked value.
ELSEWHERE = {
    "base/say.py", "base/words.py",
    "cases/fix/ways.py", "cases/move/floor.py", "cases/prove/said.py", "cases/reckon/building.py",
    "cases/settle/condition_proved.py", "cli/find_shop.py", "cli/lot.py", "cli/move_shop.py",
    "cli/reckon_lines.py", "cli/worth.py", "figures/money.py", "figures/moves.py",
    "phases/move/planning.py", "web/move/papers.py", "web/pages.py", "web/fix/where.py",
}  # fmt: skip


def at_import(node: ast.AST) -> Iterator[ast.Call]:
    """The calls that run when a module is read: not those inside functions."""
    for part in ast.iter_child_nodes(node):
        if isinstance(part, ast.Lambda):
            continue
        if isinstance(part, ast.FunctionDef | ast.AsyncFunctionDef):
            early = [
                *part.decorator_list,
                *part.args.defaults,
                *filter(None, part.args.kw_defaults),
            ]
            for one in early:
                yield from at_import(ast.Expression(one))
            continue
        if isinstance(part, ast.Call):
            yield part
        yield from at_import(part)


def test_nothing_is_said_when_a_module_is_read():
    found = [
        f"{one.path.relative_to(SOURCE)}:{call.lineno}"
        for one in modules()
        for call in at_import(one.tree)
        if getattr(call.func, "id", getattr(call.func, "attr", "")) == "say"
    ]
    assert found == [], "write later(...) there: said now it would be English for ever"


def test_a_table_that_is_said_is_found_by_who_translates():
    found = {
        one.path.relative_to(SOURCE).as_posix()
        for one in modules()
        for call in ast.walk(one.tree)
        if isinstance(call, ast.Call)
        and getattr(call.func, "id", "") == "say"
        and call.args
        and not isinstance(call.args[0], ast.Constant)
        and not any(map(is_sentence, written(one, call.args[0])))
    }
    assert found <= ELSEWHERE, "mark the texts of that table with later(...)"


def test_no_sentence_is_marked_that_is_none():
    """What `later` is given is written down: else nobody can translate it."""
    found = [
        f"{one.path.relative_to(SOURCE)}:{call.lineno}"
        for one in modules()
        for call in ast.walk(one.tree)
        if isinstance(call, ast.Call)
        and getattr(call.func, "id", "") == "later"
        and not isinstance(call.args[0], ast.Constant)
    ]
    allowed = {"base/say.py", "kinds/spoken.py", "cases/reckon/method.py"}
    assert {one.partition(":")[0] for one in found} <= allowed
