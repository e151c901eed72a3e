"""Bids at the keyboard: a small catalogue, limits, a lot that is won, paper, refusals."""

from __future__ import annotations

import json

import pytest
from tests.cli.conftest import HOME, keys_of_others

CATALOGUE = """Lot,Description,Year,Premium
1,"CNC lathe, slant bed",2004,0.16
2,"vertical machining centre",2002,0.16
3,"tool cabinet",,
"""


@pytest.fixture
def sale(tmp_path):
    path = tmp_path / "sale.csv"
    path.write_text(CATALOGUE, encoding="utf-8")
    return path


NEEDS = ("--needs", str(HOME / "examples" / "ghent-school-lot.toml"))
SMALL = ("--worlds", "600", "--processes", "1")


def test_limits_and_what_was_won_are_answered_as_one_flat_object(call, sale, tmp_path):
    limits = ("--money", "30000", "--floor", "20", "--hours", "500")
    told = call("worth", "bids", sale, *limits, *NEEDS, *SMALL, "--won", "3=120", "--json")
    assert told.code == 0, told.err
    answer = json.loads(told.out)
    assert set(answer) == keys_of_others()["worth bids"]
    assert answer["catalogue"] == "sale.csv"
    assert [limit["limit"] for limit in answer["limits"]] == [30000.0, 20.0, 500.0]
    (cabinet,) = [line for line in answer["lines"] if line["won"]]
    assert (cabinet["number"], cabinet["money"]) == ("3", 120.0)
    assert answer["held"] >= 0.9
    again = call("worth", "bids", sale, *limits, *NEEDS, *SMALL, "--won", "3=120", "--json")
    assert again.out == told.out


def test_it_says_the_caution_first_then_what_to_do_and_writes_it_down(call, sale, tmp_path):
    target = tmp_path / "bids.xlsx"
    told = call("worth", "bids", sale, *NEEDS, *SMALL, "--lost", "3", "--to", target)
    assert told.code == 0, told.err
    lines = told.out.splitlines()
    assert lines[0].startswith("Caution: estimate for planning.")
    assert lines[1].startswith("Bid on ")
    assert "bid in steps, stop at €" in told.out
    assert "Money: no limit." in told.out
    assert "Not lot 3, tool cabinet: it has gone to another." in told.out
    assert target.read_bytes()[:2] == b"PK"


def test_at_a_kept_catalogue_what_was_typed_is_kept_and_counts_the_next_time(call, sale):
    assert call("worth", "catalogue", sale, "--name", "spring").code == 0
    typed = ("--money", "30000", "--odds", "0.95", "--won", "3=80")
    told = call("worth", "bids", "spring", *SMALL, *typed, "--json")
    assert told.code == 0, told.err
    answer = json.loads(call("worth", "bids", "spring", *SMALL, "--json").out)
    assert answer == json.loads(told.out)
    assert (answer["odds"], answer["limits"][0]["limit"]) == (0.95, 30000.0)
    assert [line["number"] for line in answer["lines"] if line["won"]] == ["3"]


@pytest.mark.parametrize(
    ("typed", "says"),
    [
        (("--only", "9"), "no lot has the number 9"),
        (("--won", "1=much"), "much is no amount"),
        (("--to", "bids.doc"), "neither XLSX nor PDF"),
    ],
)
def test_what_cannot_be_is_refused(call, sale, typed, says):
    told = call("worth", "bids", sale, *SMALL, *typed)
    assert told.code == 2
    assert says in told.err


@pytest.mark.parametrize(
    ("name", "why"),
    [(".", "it is a folder"), ("none.csv", "there is no such file"), ("spring", "“spring”")],
)
def test_what_is_no_catalogue_says_why_in_the_words_of_the_reader(call, tmp_path, name, why):
    path = tmp_path / "hall.csv"
    path.mkdir()
    target = {".": path, "none.csv": tmp_path / name}.get(name, name)
    told = call("worth", "bids", target, *SMALL)
    assert told.code == 2
    assert why in told.err
    assert "retrue worth catalogue" in told.err or "Check the path of the catalogue." in told.err


def test_without_a_need_it_says_first_that_nobody_said_one(call, sale):
    told = call("worth", "bids", sale, *SMALL, "--won", "1=500")
    assert told.code == 0, told.err
    said = " ".join(told.out.split())
    assert "Nobody has said what work must be done" in said
    assert said.index("Nobody has said") < said.index("yours, at")
    assert "where it is won; it adds" not in said.split("2. Lot")[0]


def _stop_before_the_end(kept):
    """As if one part more had been asked for."""
    head, *done = kept.read_text(encoding="utf-8").splitlines(keepends=True)
    more = json.loads(head)
    more["parts"] += 1
    kept.write_text("".join([json.dumps(more, sort_keys=True) + "\n", *done]), encoding="utf-8")


def test_after_a_screening_of_another_size_it_says_what_to_type_and_that_helps(call, sale):
    begun = call("worth", "screen", sale, *NEEDS, "--worlds", "150", "--processes", "1")
    assert begun.code == 0, begun.err
    _stop_before_the_end(sale.with_name(f"{sale.name}.screening"))
    refused = call("worth", "bids", sale, *NEEDS, *SMALL)
    assert refused.code == 2
    assert "begin anew with --restart" in refused.err
    told = call("worth", "bids", sale, *NEEDS, *SMALL, "--restart")
    assert told.code == 0, told.err
