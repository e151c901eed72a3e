"""Advice as one flat JSON object, the same bytes each time."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import asdict
from typing import Any

from retrue.base.say import say
from retrue.cases.find.advice import Advice
from retrue.cases.sheet_json import dumps

SCHEMA = 1


def flat(advice: Advice) -> dict[str, Any]:
    """Advice as plain values; ``why`` says of each null why it is one.

    Parameters
    ----------
    advice : Advice

    Returns
    -------
    dict
        Documented in docs/json.md; money as numbers in ``currency``. A step's sort stands under
        ``kind``.
    """
    told = asdict(advice)
    for step in told["steps"]:
        step["kind"] = step.pop("sort")
    told["schema"] = SCHEMA
    told["why"] = dict(_whys(advice))
    return told


def to_json(advice: Advice) -> str:
    """Advice as text: keys sorted, two spaces, no clock.

    Parameters
    ----------
    advice : Advice

    Returns
    -------
    str

    Examples
    --------
    >>> from dataclasses import fields
    >>> empty = dict.fromkeys((field.name for field in fields(Advice)), 0)
    >>> words = {"trouble": "1", "hunch": None, "steps": (), "goal": "clear"}
    >>> told = flat(Advice(**{**empty, **words}))
    >>> told["schema"], told["why"]
    (1, {'hunch': 'nobody named a cause that can be behind it'})
    """
    return dumps(flat(advice))


def _whys(advice: Advice) -> Iterator[tuple[str, str]]:
    """Yield, for each null, its path and the reason."""
    if advice.trouble is None:
        yield "trouble", say("the goal is a level, not a trouble")
    if advice.hunch is None:
        yield "hunch", say("nobody named a cause that can be behind it")
    for place, step in enumerate(advice.steps):
        if step.check is None:
            yield f"steps.{place}.check", say("it is no look")
        if step.fault is None:
            yield f"steps.{place}.fault", say("it treats no fault")
