"""The options of a test as options of a command, and back to what was typed."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

import click

from retrue.base.refusals import Unusable
from retrue.base.say import say
from retrue.base.units import number
from retrue.cases.prove.deed import Deed, Option
from retrue.cli.options import content_of
from retrue.store.spreadsheet import as_csv

METAVARS = {"number": "NUMBER", "whole": "COUNT", "text": "TEXT", "file": "FILE"}


class Real(click.ParamType[float]):
    """A number: one comma or one point is the decimal mark."""

    name = "number"

    def convert(
        self, value: Any, param: click.Parameter | None, ctx: click.Context | None
    ) -> float:
        """Read it as every form does."""
        if isinstance(value, int | float):
            return float(value)
        try:
            return float(number(str(value), field=param.name if param and param.name else ""))
        except Unusable:
            self.fail(f"{value!r} is not a number.", param, ctx)


REAL = Real()


def flag_of(option: Option) -> str:
    """The command's name of an option.

    Examples
    --------
    >>> flag_of(Option(id="radius_mm", name="radius"))
    '--radius-mm'
    """
    return "--" + option.id.replace("_", "-")


def options_from(one: Deed) -> list[click.Option]:
    """A command's options for a test's own; they stay text until the test reads them."""
    return [_option(option) for option in one.options]


def _option(option: Option) -> click.Option:
    flag, told = flag_of(option), _help(option)
    if option.sort == "flag":
        name = f"{flag}/--no-{flag[2:]}" if option.default else flag
        return click.Option([name, _inside(option)], is_flag=True, default=None, help=told)
    if option.sort == "choice":
        kind: Any = click.Choice(option.choices)
        return click.Option([flag, _inside(option)], type=kind, help=told)
    return click.Option([flag, _inside(option)], metavar=METAVARS[option.sort], help=told)


def _inside(option: Option) -> str:
    """The name of its value in a call; no other option of a command begins so."""
    return f"of_{option.id}"


def _help(option: Option) -> str:
    told = option.help or f"{option.name[:1].upper()}{option.name[1:]}."
    if option.unit and option.unit not in told:
        told += f" In {option.unit}."
    if option.needed and option.default is None:
        told += "  [needed]"
    elif option.default not in (None, False, True, ""):
        told += f"  [default: {option.default}]"
    return told


def typed_from(one: Deed, given: Mapping[str, Any]) -> dict[str, Any]:
    """What was typed for a test's options, by their ids; a file as its bytes.

    Parameters
    ----------
    one : Deed
        The test.
    given : mapping
        Values of a call.

    Returns
    -------
    dict
        Only what was given.

    Raises
    ------
    Unreadable
        A file cannot be read; the refusal names its path.
    """
    typed: dict[str, Any] = {}
    for option in one.options:
        value = given.get(_inside(option))
        if value is None:
            continue
        is_file = option.sort == "file"
        typed[option.id] = as_csv(content_of(str(value)), str(value)) if is_file else value
    return typed


def typed_pairs(one: Deed, pairs: tuple[str, ...]) -> dict[str, Any]:
    """Options of a test written as NAME=VALUE, for commands that serve every test.

    Parameters
    ----------
    one : Deed
        The test.
    pairs : tuple of str
        ``radius_mm=100``; ``radius-mm=100`` is the same.

    Returns
    -------
    dict
        By the ids of the options; a file as its bytes.

    Raises
    ------
    Unusable
        A pair has no ``=``, or the test has no such option.
    """
    known = {option.id: option for option in one.options}
    given: dict[str, Any] = {}
    for pair in pairs:
        name, mark, value = pair.partition("=")
        id = name.strip().removeprefix("--").replace("-", "_")
        if not mark or id not in known:
            raise Unusable(
                say("{pair} is no option of {test}", pair=pair, test=one.id),
                remedy=say("Write NAME=VALUE with one of: {named}.", named=", ".join(known) or "-"),
            )
        given[_inside(known[id])] = value.strip()
    return typed_from(one, given)
