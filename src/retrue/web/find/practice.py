"""A practice machine on a page: every act stands in the address, nothing is kept in the shop."""

from __future__ import annotations

from collections.abc import Mapping
from functools import lru_cache, partial
from typing import Any
from urllib.parse import urlencode

from starlette.requests import Request
from starlette.responses import Response

from retrue.base.refusals import Problem, Unusable
from retrue.base.say import say
from retrue.cases.find.policies import by_advice, play
from retrue.cases.find.practising import Practised, replay, seen_words, symptom_of, truth_words
from retrue.cases.find.rehearsal import KNOWN, MACHINE, begin
from retrue.kinds.library import Kind
from retrue.phases import find
from retrue.web.door import deed
from retrue.web.find.aim import FIND
from retrue.web.find.choices import way_of, ways_of
from retrue.web.pages import render

MOST_SEED = 10**6


async def show_practice(request: Request, /, **more: Any) -> Response:
    """Which machine to practise on; then what it does, what was done, and what it cost."""
    asked, kinds = request.query_params, request.app.state.kinds
    if "seed" not in asked:
        return render(request, "find/practice.html", phase=FIND, kinds=kinds, one=None, **more)
    seed, kind, wrong = _seed(asked["seed"]), asked.get("kind", ""), asked.get("wrong") == "yes"
    acts = [act for act in asked.getlist("act") if act]
    told = await _apart(request, partial(replay, kinds, kind, seed, acts, wrong_priors=wrong))
    symptom = told.one.kind.symptoms[symptom_of(told.one) or ""]
    given: dict[str, Any] = {
        "kinds": kinds,
        "one": told.one,
        "told": told,
        "symptom": symptom,
        "so_far": _so_far(told),
        "log": [(_act_words(told.one.kind, act), came) for act, came in reversed(told.log)],
        "looks": _looks(told),
        "ways": ways_of(told.one.kind),
        "fields": [("kind", kind), ("seed", seed), ("wrong", "yes" if wrong else "")],
        "advice": None,
        "another": urlencode(
            {"kind": kind, "seed": (seed + 1) % MOST_SEED, "wrong": "yes" if wrong else ""}
        ),
    }
    if told.done:
        given |= await _apart(request, partial(_closing, told, kinds, kind, seed, wrong=wrong))
    elif asked.get("advice") == "yes":
        ask = partial(find.advise_case, told.one.case, MACHINE, kinds, goal="clear")
        given["advice"] = await _apart(request, ask)
    return render(request, "find/practice.html", phase=FIND, **given, **more)


async def _apart(request: Request, ask: Any) -> Any:
    """Work in a thread of its own; the shop has no part in it."""
    return await deed(lambda _: ask(), request)


def _seed(text: str) -> int:
    """The number of a machine, or a refusal that names the field."""
    if text.isdecimal() and int(text) < MOST_SEED:
        return int(text)
    raise Unusable(
        say("no practice machine has this number"),
        remedy=say("Give a whole number from 0 to {most}.", most=MOST_SEED - 1),
        problems=(Problem("seed", say("is {text}", text=repr(text)), say("A whole number.")),),
    )


def _so_far(told: Practised) -> list[tuple[str, str]]:
    """What was seen before the first act."""
    one = told.one
    return [
        (one.kind.checks[kept.finding.check or ""].text, seen_words(one, kept.finding))
        for kept in one.case.findings[:KNOWN]
    ]


def _looks(told: Practised) -> list[tuple[str, str]]:
    """Looks that were not answered yet, by their text."""
    known = {kept.finding.check for kept in told.one.case.findings}
    checks = [one for one in told.one.kind.checks.values() if one.id not in known]
    return sorted(((one.id, one.text) for one in checks), key=lambda pair: pair[1])


def _act_words(kind: Kind, act: str) -> str:
    """An act as the page says it."""
    head, _, tail = act.partition(":")
    if head in kind.checks:
        return kind.checks[head].text
    if head in kind.jobs:
        return kind.jobs[head].name
    if head in kind.faults:
        return way_of(kind.faults[head].name, tail)
    return say("Called somebody") if head == "help" else say("Tried it again")


def _closing(
    told: Practised, kinds: Mapping[str, Kind], kind: str, seed: int, *, wrong: bool
) -> dict[str, Any]:
    """The truth, and the three bills."""
    one = told.one
    return {
        "behind": truth_words(one, one.behind),
        "there": len(one.truth),
        "least": one.least(),
        "other": _bill_of_advice(_Shelf(kinds), kind, seed, wrong),
    }


class _Shelf:
    """The kinds of one server, as a key."""

    def __init__(self, kinds: Mapping[str, Kind]) -> None:
        self.kinds = kinds
        self.mark = tuple(sorted(kind.hash for kind in kinds.values()))

    def __eq__(self, other: object) -> bool:
        return isinstance(other, _Shelf) and self.mark == other.mark

    def __hash__(self) -> int:
        return hash(self.mark)


@lru_cache(maxsize=64)
def _bill_of_advice(shelf: _Shelf, kind: str, seed: int, wrong: bool) -> float:
    """What the advice pays on the same machine with the same luck."""
    return play(begin(shelf.kinds, kind, seed=seed, wrong_priors=wrong), shelf.kinds, by_advice)
