"""Every sentence can be translated: said when it is shown, never when a module is read."""

from __future__ import annotations

import ast
from collections.abc import Iterator

from tests.house.sentences import Module, is_sentence, modules, written
from tests.house.trees import SOURCE, nodes_of

# What is given here was said or marked before, is a text of the library, or a person's own word.
ELSEWHERE = {
    "base/say.py", "base/words.py", "cases/diary_rules.py", "cases/fix/calendar_entries.py",
    "cases/strip/order.py", "cli/demo_wake.py", "cli/strip_lists.py", "paper/week_sheet.py",
    "phases/diary/one.py", "cases/diary_fields.py", "cases/fix/ways.py",
    "cases/diary_values.py", "cases/fix/hang_words.py", "figures/fix/bench_chart.py",
    "cases/move/floor.py", "cases/prove/said.py", "cases/reckon/building.py",
    "cases/search_kinds.py", "cases/settle/condition_proved.py", "cases/sheet_json.py",
    "cases/wake/capacitors.py", "cli/find_shop.py", "cli/lines.py", "cli/lot.py",
    "cli/move_shop.py", "cli/prove_limits.py", "cli/reckon_lines.py", "cli/strip_clean.py",
    "cli/worth.py", "figures/money.py", "figures/moves.py", "paper/acceptance_sheet.py",
    "paper/strip_sheet.py", "phases/move/ahead.py", "phases/move/planning.py",
    "web/fix/where.py", "web/move/papers.py", "web/pages.py",
}  # fmt: skip
MADE_FROM = {"base/say.py", "kinds/spoken.py", "cases/reckon/method.py"}  # later(text), of a value


def place(one: Module) -> str:
    return one.path.relative_to(SOURCE).as_posix()


def inside(one: Module) -> Iterator[ast.expr | ast.stmt]:
    """All that runs only when a function is called."""
    for node in nodes_of(one.path):
        if isinstance(node, ast.Lambda):
            yield node.body
        if isinstance(node, ast.FunctionDef | ast.AsyncFunctionDef):
            yield from node.body


def test_nothing_is_said_when_a_module_is_read():
    found = []
    for one in modules():
        said = [call for call in one.said if getattr(call.func, "id", "say") != "later"]
        lines = [(part.lineno, part.end_lineno or 0) for part in inside(one)] if said else []
        found += [
            f"{place(one)}:{call.lineno}"
            for call in said
            if not any(first <= call.lineno <= last for first, last in lines)
        ]
    assert found == [], "write later(...) there: said now it would be English for ever"


def test_a_table_that_is_said_is_found_by_who_translates():
    found = {
        place(one)
        for one in modules()
        for call in one.said
        if getattr(call.func, "id", "") == "say"
        and not isinstance(call.args[0], ast.Constant)
        and not any(map(is_sentence, written(one, call.args[0])))
    }
    assert found <= ELSEWHERE, "mark the texts of that table with later(...)"


def test_what_is_marked_is_written_down():
    found = {
        place(one)
        for one in modules()
        if one.imported.get("later") == ("retrue.base.say", "later")
        for call in one.said
        if getattr(call.func, "id", "") == "later" and not isinstance(call.args[0], ast.Constant)
    }
    assert found <= MADE_FROM, "later takes a literal text: else nobody can translate it"
