"""A result as one value: what is told as plain values, and what is held back out of order."""

from __future__ import annotations

import json
from dataclasses import fields, replace

from retrue.cases.prove.proof import (
    Conditions,
    Grid,
    Limit,
    Measured,
    Proof,
    Quantity,
    Remedy,
    ThenRead,
    flat,
    held_back,
    not_level,
)
from retrue.cases.prove.verdicts import judge

QUANTITIES = (
    Quantity(key="reversal_um", name="backlash", value=12.0, unit="µm", uncertainty=2.0),
    Quantity(key="wear_centre_um", name="wear", value=None, unit="µm", why="one place only"),
)
WHOLE = Proof(
    deed="backlash",
    title="Backlash",
    headline="12.0 µm of backlash.",
    quantities=QUANTITIES,
    more={"places": ["left", "middle"]},
    verdict=judge(QUANTITIES, Conditions(limit=Limit(value=10.0, mark="from memory, unverified"))),
    finds=("alike at both ends",),
    blames=("the nut is worn",),
    remedy=(Remedy(text="Enter 12."),),
    then_read=(ThenRead(where="middle", value=0.0, unit="µm", give_or_take=2.0),),
    cannot_tell=("wear at the centre",),
    cautions=("caution",),
    files={"table.csv": "a\n1\n"},
    tables=(Grid(title="t", columns=("a",), rows=((1.0,),)),),
    measures=(Measured(measure="M13", value=0.012, uncertainty=0.002),),
)


def test_out_of_order_nothing_is_judged_blamed_turned_or_learned():
    made = held_back(WHOLE, not_level())
    assert made.verdict is None
    assert (made.remedy, made.then_read, made.blames, made.measures) == ((), (), (), ())
    assert made.files == {}
    assert made.provisional == "provisional, machine not level"


def test_out_of_order_what_was_read_is_shown_and_kept():
    made = held_back(WHOLE, "why")
    kept = {"quantities", "headline", "finds", "cannot_tell", "cautions", "tables", "more"}
    for name in kept:
        assert getattr(made, name) == getattr(WHOLE, name), name
    dropped = {"verdict", "remedy", "then_read", "blames", "files", "measures", "provisional"}
    rest = {field.name for field in fields(Proof)} - dropped
    assert replace(made, **{name: getattr(WHOLE, name) for name in dropped}) == WHOLE
    assert kept <= rest


def test_plain_values_hold_every_key_and_say_why_one_is_null():
    told = json.loads(json.dumps(flat(WHOLE)))
    assert told["reversal_um"] == 12.0
    assert told["wear_centre_um"] is None
    assert told["why"] == {"wear_centre_um": "one place only"}
    assert told["uncertainty"] == {"reversal_um": 2.0}
    assert told["places"] == ["left", "middle"]
    assert told["schema"] == "prove.backlash.1"
    assert told["remedy"] == ["Enter 12."]
    assert told["then_read"] == [
        {"where": "middle", "value": 0.0, "unit": "µm", "give_or_take": 2.0}
    ]
    assert told["blames"] == ["the nut is worn"]


def test_the_verdict_is_told_with_limit_doubt_rule_and_where_the_limit_comes_from():
    told = flat(WHOLE)["verdict"]
    assert told["ruling"] == "proved_bad"
    assert (told["limit"], told["uncertainty"], told["rule"]) == (10.0, 2.0, "guarded")
    assert told["limit_mark"] == "from memory, unverified"
    assert set(told) >= {"ruling", "limit", "uncertainty", "rule", "standard", "edition"}


def test_without_a_limit_there_is_no_verdict_and_out_of_order_it_says_why():
    assert "verdict" not in flat(replace(WHOLE, verdict=None))
    told = flat(held_back(WHOLE, not_level()))
    assert "verdict" not in told
    assert told["why"]["verdict"] == told["provisional"] == not_level()
