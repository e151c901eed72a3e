"""Choices as one flat JSON object, the same bytes each time."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import asdict
from typing import Any

from retrue.base.say import say
from retrue.cases.fix.choice_lines import Options

SCHEMA = "fix.options.1"


def flat(options: Options) -> dict[str, Any]:
    """Choices as plain values; ``why`` says of each null why it is one.

    Parameters
    ----------
    options : Options

    Returns
    -------
    dict
        Money as numbers in ``currency``.

    Examples
    --------
    >>> empty = Options(lot="1", lot_name="school", machine="2", machine_name="mill",
    ...                 level="right", aim="keep", currency="EUR", faults=(), levels=(),
    ...                 control=None, stop_loss=None)
    >>> told = flat(empty)
    >>> told["schema"], sorted(told["why"])
    ('fix.options.1', ['budget', 'by_on', 'control', 'fit', 'stop_loss'])
    """
    told = asdict(options)
    told["schema"] = SCHEMA
    told["why"] = dict(_whys(options))
    return told


def _whys(options: Options) -> Iterator[tuple[str, str]]:
    if options.budget is None:
        yield "budget", say("no money was named")
    if options.by_on is None:
        yield "by_on", say("no day was named")
    if options.fit is None:
        yield "fit", say("neither money nor a day was named")
    if options.control is None:
        yield "control", say("this type has no such change")
    if options.stop_loss is None:
        yield "stop_loss", say("it was not asked for")
