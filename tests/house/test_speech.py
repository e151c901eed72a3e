"""What a person reads: whole sentences through say(), and none of the words that only we use."""

from __future__ import annotations

import ast
import re
from functools import cache
from pathlib import Path

import pytest
from tests.house.trees import SOURCE, nodes_of

from retrue.base import refusals
from retrue.base.refusals import Refusal

SPEAKING = ("base", "cases", "phases", "web", "cli", "paper")
REFUSALS = {
    name
    for name, kind in vars(refusals).items()
    if isinstance(kind, type) and issubclass(kind, Refusal)
} - {"Refusal"}
OURS = (
    "posterior", "prior", "priors", "worlds", "regret", "evsi", "evpi", "informant", "tornado",
    "quantile", "percentile", "likelihood", "noisy-or", "monte carlo", "npv", "bayes", "bayesian",
    "asset", "work order", "confidence interval", "standard deviation", "p10", "p50", "p90",
)  # fmt: skip
OUR_WORDS = re.compile(rf"\b({'|'.join(OURS)})\b", re.IGNORECASE)
TAGS = re.compile(r"{#.*?#}|{%.*?%}|{{.*?}}|<(script|style)\b.*?</\1>|<!--.*?-->", re.DOTALL)
SHOWN = re.compile(r'\b(?:alt|title|placeholder|aria-label|value)="([^"]*)"')


@cache
def calls(path: Path) -> tuple[tuple[str, ast.Call], ...]:
    return tuple(
        (node.func.id, node)
        for node in nodes_of(path)
        if isinstance(node, ast.Call) and isinstance(node.func, ast.Name)
    )


def modules(*rooms: str) -> list[Path]:
    return sorted(path for room in rooms for path in (SOURCE / room).rglob("*.py"))


def unspoken(name: str, call: ast.Call) -> bool:
    """Tell whether a refusal carries a sentence that did not go through say()."""
    if name not in REFUSALS | {"Problem"}:
        return False
    told = call.args[1:] if name == "Problem" else call.args[:1]
    told = [*told, *(k.value for k in call.keywords if k.arg in {"reason", "remedy", "what"})]
    return any(
        isinstance(text, ast.JoinedStr) or (isinstance(text, ast.Constant) and text.value)
        for text in told
    )


@pytest.mark.parametrize("room", SPEAKING)
def test_a_refusal_that_a_person_meets_goes_through_say(room: str):
    found = [
        f"{path.relative_to(SOURCE)}:{call.lineno}"
        for path in modules(room)
        for name, call in calls(path)
        if unspoken(name, call)
    ]
    assert found == []


def test_a_sentence_is_its_own_key_and_so_is_never_put_together():
    found = [
        f"{path.relative_to(SOURCE)}:{call.lineno}"
        for path in sorted(SOURCE.rglob("*.py"))
        for name, call in calls(path)
        if name == "say" and call.args and isinstance(call.args[0], ast.JoinedStr | ast.BinOp)
    ]
    assert found == []


def test_no_sentence_uses_a_word_that_only_we_use():
    found = []
    for path in modules("base", "cases", "phases", "web", "paper", "figures"):
        for name, call in calls(path):
            if name != "say" or not call.args or not isinstance(call.args[0], ast.Constant):
                continue
            word = OUR_WORDS.search(re.sub(r"{\w*}", "", str(call.args[0].value)))
            if word:
                found.append(f"{path.relative_to(SOURCE)}:{call.lineno} {word[0]}")
    assert found == []


def visible(template: str) -> str:
    """The words of a template that a reader sees or hears."""
    bare = TAGS.sub(" ", template)
    attributes = " ".join(SHOWN.findall(bare))
    return re.sub(r"<[^>]*>", " ", bare) + " " + attributes


def test_no_page_uses_a_word_that_only_we_use():
    found = []
    for path in sorted((SOURCE / "web" / "templates").rglob("*.html")):
        text = visible(path.read_text(encoding="utf-8"))
        found += [f"{path.name}: {word[0]}" for word in OUR_WORDS.finditer(text)]
    assert found == []


def test_the_readers_of_speech_bite():
    assert OUR_WORDS.search(visible('<img alt="the Posterior" src="x">'))
    assert not OUR_WORDS.search(visible('{{ sheet.worlds }}<p class="prior">{# regret #}</p>'))
    bad = ast.parse('Unknown(f"no {x}", remedy=say("y"))').body[0]
    good = ast.parse('Unknown(say("no"), remedy=say("y"), problems=p)').body[0]
    assert isinstance(bad, ast.Expr)
    assert isinstance(good, ast.Expr)
    assert isinstance(bad.value, ast.Call)
    assert isinstance(good.value, ast.Call)
    assert unspoken("Unknown", bad.value)
    assert not unspoken("Unknown", good.value)
