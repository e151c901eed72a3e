"""Paste into the manual what the program says itself: help, pages, words.

Run it after a change: ``.venv/bin/python tests/house/paste.py``. A test compares and says so.
"""

from __future__ import annotations

import ast
import functools
import importlib
import inspect
import pkgutil
import re
import sys
from collections.abc import Callable, Iterator
from dataclasses import fields, is_dataclass
from pathlib import Path

import click
from starlette.routing import Mount, Route

import retrue.cli
from retrue.base.unit_table import TWO_MEANINGS, UNITS
from retrue.base.words import words
from retrue.cases import sheet
from retrue.cases.find import advice
from retrue.cases.prove.deed import Deed, deeds
from retrue.cases.prove.proof import Conditions, Proof
from retrue.cases.reckon.books import BOOKS
from retrue.cases.reckon.method import Method, book_of, methods, typed_as
from retrue.phases.prove import prove_file
from retrue.web.called import loaded

sys.path.insert(0, str(Path(__file__).resolve().parents[2]))  # run as a script

from tests.house.advice_words import ADVICE
from tests.house.calculations import PHASES, notes
from tests.house.calculator_figures import figures
from tests.house.refusals_said import pasted_refusals
from tests.library import load

DOCS = Path(__file__).resolve().parents[2] / "docs"
CAUTIONS = load(only=("turning_centre",))["turning_centre"].cautions
MARKED = re.compile(r"(<!-- pasted: (?P<what>\w+) -->\n).*?(<!-- end -->)", re.DOTALL)


@functools.cache
def program() -> click.Group:
    """The outermost group of commands, wherever the command door keeps it."""
    groups = []
    for module in pkgutil.walk_packages(retrue.cli.__path__, "retrue.cli."):
        found = vars(importlib.import_module(module.name)).values()
        groups += [value for value in found if isinstance(value, click.Group)]
    inner = {id(c) for g in groups for c in _children(g, _context(g, "", None)).values()}
    outermost = {id(g): g for g in groups if id(g) not in inner}
    assert len(outermost) == 1, "the command door has more than one outermost group"
    return next(iter(outermost.values()))


def _children(group: click.Group, context: click.Context) -> dict[str, click.Command]:
    names = group.list_commands(context)
    return {name: c for name in names if (c := group.get_command(context, name))}


def commands() -> Iterator[tuple[str, click.Context]]:
    """Every command by its path, outermost first."""
    yield from _below(program(), "retrue", None)


def _context(command: click.Command, name: str, parent: click.Context | None) -> click.Context:
    settings = {**command.context_settings, "terminal_width": 88, "max_content_width": 88}
    return click.Context(command, info_name=name, parent=parent, **settings)


def _below(
    command: click.Command, name: str, parent: click.Context | None
) -> Iterator[tuple[str, click.Context]]:
    # click remembers a command's help option from its first use, which may have been without parent
    vars(command)["_help_option"] = None
    context = _context(command, name, parent)
    yield context.command_path, context
    if isinstance(command, click.Group):
        for child, inner in sorted(_children(command, context).items()):
            if not inner.hidden:
                yield from _below(inner, child, context)


def pasted_help() -> str:
    """The help of every command under its path."""
    parts = []
    for path, context in commands():
        parts.append(f"## {path}\n\n```\n{context.command.get_help(context).rstrip()}\n```\n")
    return "\n" + "\n".join(parts) + "\n"


def routes() -> list[Route]:
    """Every page of the web door; what serves whole folders is left out."""
    found = importlib.import_module("retrue.web.app").ROUTES
    assert all(isinstance(route, Route | Mount) for route in found)
    return [route for route in found if isinstance(route, Route)]


def pasted_pages() -> str:
    """A table of all pages: address, method, what it does."""
    rows = ["| page | method | what it does |", "|---|---|---|"]
    for route in routes():
        page = loaded(route.endpoint.__qualname__)
        says = (inspect.getdoc(page) or "").split("\n\n")[0].replace("\n", " ")
        methods = ", ".join(sorted((route.methods or set()) - {"HEAD"}))
        rows.append(f"| `{route.path}` | {methods} | {says} |")
    return "\n" + "\n".join(rows) + "\n\n"


def pasted_words() -> str:
    """A table of all words of the pages."""
    rows = ["| our word | on the page | what it means |", "|---|---|---|"]
    for entry in words().values():
        rows.append(f"| {entry.code} | {entry.page or '(not shown)'} | {entry.explanation} |")
    return "\n" + "\n".join(rows) + "\n\n"


def pasted_units() -> str:
    """A table of all units that a person may write."""
    rows = ["| measures | unit, and other ways to write it |", "|---|---|"]
    for measures in dict.fromkeys(unit.measures for unit in UNITS):
        told = [
            f"`{unit.symbol}`" + "".join(f" {name}" for name in unit.names)
            for unit in UNITS
            if unit.measures == measures
        ]
        rows.append(f"| {measures} | {'; '.join(told)} |")
    for name, meanings in TWO_MEANINGS.items():
        rows.append(f"| refused: `{name}` means two things | write {' or '.join(meanings)} |")
    return "\n" + "\n".join(rows) + "\n\n"


def pasted_json() -> str:
    """A table for every part of the price sheet: key, type, what it means."""
    source = inspect.getsource(sheet)
    lines, parts = source.splitlines(), []
    classes = [node for node in ast.parse(source).body if isinstance(node, ast.ClassDef)]
    for node in reversed(classes):
        rows = ["| key | type | what it is |", "|---|---|---|"]
        for field in node.body:
            if isinstance(field, ast.AnnAssign):
                says = lines[field.lineno - 1].partition("  # ")[2]
                kind = ast.unparse(field.annotation).replace("|", "or")
                rows.append(f"| `{ast.unparse(field.target)}` | {kind} | {says} |")
        about = (ast.get_docstring(node) or "").split("\n\n")[0].replace("\n", " ")
        parts.append(f"## {node.name}\n\n{about}\n\n" + "\n".join(rows) + "\n")
    return "\n" + "\n".join(parts) + "\n"


def pasted_advice() -> str:
    """A table for every part of an advice: key, type, what it means."""
    classes = (kind for kind in vars(advice).values() if isinstance(kind, type))
    kinds = {kind.__name__: kind for kind in classes if is_dataclass(kind)}
    parts = []
    for name, told in ADVICE.items():
        types = {field.name: str(field.type).replace("|", "or") for field in fields(kinds[name])}
        types = {"kind" if key == "sort" else key: type for key, type in types.items()}
        assert set(types) == set(told), f"tests/house/advice_words.py: {name}"
        rows = ["| key | type | what it is |", "|---|---|---|"]
        rows += [f"| `{key}` | {types[key]} | {words} |" for key, words in told.items()]
        parts.append(f"### find.{name}\n\n" + "\n".join(rows) + "\n")
    return "\n" + "\n".join(parts) + "\n"


def pasted_tests() -> str:
    """Every test of measuring: cautions, columns, options, steps, and what it is held against."""
    return "\n" + "\n".join(_test(one) for one in deeds()) + "\n"


def _test(one: Deed) -> str:
    lines = [f"### {one.title}: `{one.id}`", "", one.what, ""]
    lines += [f"> {caution}" for caution in one.cautions] + [""]
    lines += ["| column | what stands in it |", "|---|---|"]
    lines += [
        f"| `{name}` | {one.columns_note.get(name.strip('[]'), '')} |" for name in one.columns
    ]
    lines += ["", *_test_options(one), *(f"{n}. {step}" for n, step in enumerate(one.steps, 1)), ""]
    source = " ".join(part for part in (one.standard, one.edition) if part)
    needs = "Provisional while the machine is not level. " if one.needs_level else ""
    lines.append(f"{needs}Instrument: {one.instrument}. Readings in {one.reading_unit}.")
    lines.append(f"Judged: {', '.join(f'`{key}`' for key in one.judged)}." if one.judged else "")
    lines.append(f"After {source}." if source else "")
    told = EXAMPLE_OPTIONS.get(one.id, {}).items()
    more = "".join(f" --{id.replace('_', '-')} {value}" for id, value in told)
    lines += ["", f"    retrue prove {one.id} examples/prove/{one.example}{more}", ""]
    return "\n".join(lines)


def _test_options(one: Deed) -> list[str]:
    if not one.options:
        return []
    rows = ["| option | what it is |", "|---|---|"]
    for option in one.options:
        name = "--" + option.id.replace("_", "-")
        choices = f" One of: {', '.join(option.choices)}." if option.choices else ""
        preset = option.default
        given = "" if preset in (None, "", False, True) else f" Else {preset}."
        needed = " Needed." if option.needed and preset is None else ""
        rows.append(f"| `{name}` | {option.help or option.name}{choices}{given}{needed} |")
    return [*rows, ""]


def pasted_calculators(book: str) -> str:
    """Every calculator of a phase: its fields, and what it is held against."""
    return "\n" + "\n".join(_calculator(one) for one in methods(book)) + "\n"


def _calculator(one: Method) -> str:
    lines = [f"### {one.title}: `{one.id}`", "", one.what, ""]
    lines += [f"> {CAUTIONS[id].text} ({CAUTIONS[id].defers_to})" for id in one.cautions] + [""]
    lines += ["| option | what it is | unit | where to find it |", "|---|---|---|---|"]
    for field in one.fields:
        name = "--" + field.id.replace("_", "-")
        choices = ", ".join(f"`{key}` {words}" for key, words in field.choices)
        given = "" if field.default in (None, "", False) else f" Else {field.default}"
        given += f" ({field.mark})." if given and field.mark else "." if given else ""
        what = f"{field.name}{': ' if choices else ''}{choices}.{given}"
        lines.append(f"| `{name}` | {what} | {field.unit} | {field.help} |")
    if one.columns:
        lines += ["", "Columns of the file, those in brackets may be left out: "
                  + ", ".join(f"`{column}`" for column in one.columns) + "."]  # fmt: skip
    lines += ["", f"After {one.standard}." if one.standard else ""]
    if one.example:
        words = " ".join(f'"{word}"' if " " in word else word for word in one.example)
        lines += ["", f"    retrue {typed_as(one.id)} {words}", ""]
    return "\n".join(lines)


def pasted_figures() -> str:
    """Every figure that a calculator may give, by its key."""
    parts = []
    for one in (one for book in BOOKS for one in methods(book)):
        rows = [f"| `{key}` | {name} | {unit} |" for key, name, unit in figures(one.id)]
        head = ["| key | what it is | unit |", "|---|---|---|"]
        parts.append(
            f"### {book_of(one.id)}.{one.id}.1: {one.title}\n\n" + "\n".join([*head, *rows]) + "\n"
        )
    return "\n" + "\n".join(parts) + "\n"


def pasted_results() -> str:
    """For every test the keys of its result, as its example file gives them."""
    parts = []
    for one in deeds():
        told = example_of(one)
        rows = ["| key | what it is | unit, or shape |", "|---|---|---|"]
        rows += [f"| `{q.key}` | {q.name} | {q.unit} |" for q in told.quantities]
        rows += [
            f"| `{key}` | {meaning(key)} | {_shape(value)} |"
            for key, value in sorted(told.more.items())
        ]
        parts.append(f"### prove.{one.id}.1: {one.title}\n\n" + "\n".join(rows) + "\n")
    return "\n" + "\n".join(parts) + "\n"


def example_of(one: Deed) -> Proof:
    """What the example file of a test says."""
    content = (DOCS.parent / "examples" / "prove" / one.example).read_bytes()
    return prove_file(content, one.example, one.id, EXAMPLE_OPTIONS.get(one.id, {}), Conditions())


def _shape(value: object) -> str:
    if isinstance(value, dict):
        keys = [f"`{key}`" for key in sorted(value) if str(key).islower()]  # names of feet are not
        return "object: " + ", ".join(keys) if keys else "object"
    if isinstance(value, list | tuple):
        first = value[0] if value else None
        return f"list, each an {_shape(first)}" if isinstance(first, dict) else "list"
    return {str: "text", bool: "true or false"}.get(type(value), "number")


# What an example file does not say itself.
EXAMPLE_OPTIONS: dict[str, dict[str, str]] = {
    "level": {"feet": "FL:0:0,FR:2000:0,RR:2000:1000,RL:0:1000", "pitch_mm": "2"},
    "sweep": {"radius_mm": "100"},
}
MEANS: dict[str, str] = {
    "axes": "the two axes",
    "bar_turned": "true: the bar was read at opposite places of the turn, so its bend is taken off",
    "bounds": "by key, what the true value is not above, nineteen times in twenty",
    "causes": "what bends the circle: `unit` as in a name (`um_per_m`); `separable` false: what "
    "these readings cannot tell from another cause",
    "circles": "each circle by itself",
    "compensation": "the table to be entered, and what accuracy should then be",
    "condition": "how well the fit tells its unknowns apart: near 1 well, large badly",
    "deviations_um": "from the reference line, at each position",
    "drift": "what the readings climb from run to run, and the numbers without it",
    "feet": "each foot: how far to raise it, in turns and degrees of its screw",
    "flatness_um": "by way of reckoning",
    "heat_removed_um": "taken off at each target, for temperatures that were given",
    "heights_um": "as read, added up from the first position",
    "local_window_mm": "length of a local stretch",
    "made_up_um": "change of the reversal setting",
    "mean_backward_um": "at each target",
    "mean_forward_um": "at each target",
    "method": "which way of measuring",
    "modes": "which shapes of the bed were looked for",
    "network_um": "all lines at once: flatness, spare readings, scatter of one step",
    "not_determined": "movements of the feet that these readings do not see, by foot",
    "part": "what was pushed and pulled",
    "places": "places that were read",
    "positions_mm": "along the way",
    "radius_mm": "of the swept circle",
    "rank": "unknowns that the readings determine",
    "readings": "how many",
    "reference": "the line or the plane that it counts from",
    "repeatabilities_um": "both directions, at each target",
    "residual_autocorrelation": "of neighbours: near 0 noise, near 1 a shape with no cause",
    "residual_sd_um": "what no cause explains, one standard uncertainty",
    "reversals_um": "forward less backward, at each target",
    "reversals_uncertainty_um": "give or take of each of them",
    "runs": "how many",
    "sensors": "each sensor by itself",
    "slope_um_per_m": "how the deviation grows along the axis",
    "spread_backward_um": "one standard deviation, at each target",
    "spread_forward_um": "one standard deviation, at each target",
    "target_unit": "unit of `targets`",
    "targets": "where the axis was sent",
    "turns": "how many turns of the spindle",
    "uncertainty_parts": "what the give or take is made of, k = 2",
    "vectors": "at each distance from the nose: spindle and bar parted",
    "way": "how the readings were taken",
}


def meaning(key: str) -> str:
    """What a further key means; bounds and directions say it by their name."""
    if key.endswith("_bias_um"):
        return "by how much scatter lifts this largest value, on average"
    if key.endswith("_upper_um"):
        return "what the true value is not above, nineteen times in twenty"
    if key.endswith(("_cw_um", "_ccw_um")):
        return "in that direction alone"
    return MEANS.get(key, "")


PASTED: dict[str, Callable[[], str]] = {
    "help": pasted_help,
    "pages": pasted_pages,
    "words": pasted_words,
    "json": pasted_json,
    "advice": pasted_advice,
    "units": pasted_units,
    "tests": pasted_tests,
    "moves": functools.partial(pasted_calculators, "move"),
    "wakes": functools.partial(pasted_calculators, "wake"),
    "gauges": functools.partial(pasted_calculators, "prove"),
    "matches": functools.partial(pasted_calculators, "fix"),
    "figures": pasted_figures,
    "results": pasted_results,
    "refusals": pasted_refusals,
    **{f"notes_{phase}": functools.partial(notes, phase) for phase in PHASES},
}
PAGES = {
    "help": "commands.md",
    "moves": "move.md",
    "wakes": "wake.md",
    "gauges": "prove.md",
    "matches": "match.md",
    "figures": "json.md",
    "pages": "pages.md",
    "words": "vocabulary.md",
    "units": "vocabulary.md",
    "json": "json.md",
    "advice": "json.md",
    "tests": "prove.md",
    "results": "json.md",
    "refusals": "refusals-all.md",
    **{f"notes_{phase}": f"calculations-{phase}.md" for phase in PHASES},
}


def pasted(text: str) -> str:
    """A page of the manual with its marked parts as the program says them now."""
    return MARKED.sub(lambda m: m[1] + PASTED[m["what"]]() + m[3], text)


def main() -> None:
    """Paste anew wherever something changed."""
    for name in sorted(set(PAGES.values())):
        page = DOCS / name
        old = page.read_text(encoding="utf-8")
        if (new := pasted(old)) != old:
            page.write_text(new, encoding="utf-8")
            sys.stdout.write(f"pasted {page.name}\n")


if __name__ == "__main__":
    main()
