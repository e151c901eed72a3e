"""The manual cut up and asked: what is called so first, printed refusals, near words."""

from __future__ import annotations

import re

import pytest

from retrue.base.manual import Manual, anchor, plain, sections
from retrue.base.manual_files import JOB, folder, manual, picture
from retrue.base.manual_find import look_up, nearest

SMALL = Manual(
    {
        "doors": "# Doors\nHigh.\n\n## How high\n```\n# no heading\n```\n\n## How high\nTwice.\n",
        "refusals-all": "# Said\n| it says | refusal | what helps |\n|---|---|---|\n"
        "| the door of {name} is shut | `NotYet` | Open it. |\n"
        "| the door is | `NotYet` | - |\n",
        "settings": "# Set\n| setting | what |\n|---|---|\n| `DOOR` | a \\| b |\n",
    }
)


def test_a_page_is_cut_at_its_headings_and_nowhere_else():
    told = [(one.words, one.level, one.anchor) for one in SMALL.sections if one.page == "doors"]
    assert told == [
        ("Doors", 1, "doors"),
        ("How high", 2, "how-high"),
        ("How high", 2, "how-high-1"),
    ]
    assert "# no heading" in SMALL.sections[1].text
    assert [one.words for one in SMALL.below(SMALL.sections[0])] == ["How high", "How high"]


def test_no_line_of_any_page_is_lost_when_it_is_cut():
    for page, text in manual().pages.items():
        parts = list(sections(page, text))
        kept = "\n".join(one.text for one in parts)
        marks = re.compile(r"^(#{1,4} |<!-- )")
        lost = [line for line in text.splitlines() if line and line not in kept]
        assert all(marks.match(line) for line in lost), (page, lost[:3])
        assert len({one.anchor for one in parts}) == len(parts), page


@pytest.mark.parametrize(
    ("words", "expected"),
    [
        # GitHub's rule for anchors: small letters, hyphens for blanks, other signs gone
        # (secondary source).
        ("While you're in there", "while-youre-in-there"),
        ("Lift: lift", "lift-lift"),
        ("settle.cost.1", "settlecost1"),
    ],
)
def test_anchors_are_those_that_other_readers_make(words: str, expected: str):
    assert anchor(words) == expected


def test_marks_of_a_line_go_and_its_signs_stay():
    assert plain("**a** `b_c` [d](e.md#f) 2 * 3 \\| \\<x>") == "a b_c d 2 * 3 | <x>"


def test_a_refusal_as_it_was_printed_finds_its_line_the_longer_first():
    typed = "  the door of  the mill is shut\nSomething else"
    assert [one.words for one in look_up(SMALL, typed)][:1] == ["the door of … is shut"]
    found = look_up(manual(), "there is no lot called 'Gent'. Look again.")
    assert found[0].sort == "refusal"


def test_every_refusal_is_found_as_it_was_printed_with_its_remedy_and_its_names():
    gap = re.compile(r"\{\w+\}")
    rows = [one for one in manual().rows if one.sort == "refusal" and len(one.cells[0].split()) > 4]
    assert len(rows) > 600
    for row in rows[::25]:
        said, _, helps = (gap.sub("8711 mm", cell.split(" / ")[0]) for cell in row.cells)
        found = look_up(manual(), f"{said}. {helps}" if helps != "as it says" else said)
        assert gap.sub("…", row.cells[0]) in [one.words for one in found[:3]], said
        assert not any(gap.search(one.words + one.text) for one in found[:1]), said


@pytest.mark.parametrize(
    ("asked", "words"),
    [
        (
            "“abc” is not a number. Write one comma or one point for the decimals, thousands with "
            "an apostrophe or not at all: 1250.5, 1250,5 or 1'250.5.",
            "“…” is not a number",
        ),
        ('"abc" is not a number', "“…” is not a number"),  # a shell's own marks
        ("another program answers on port 8711", "another program answers on port …"),
        ("gib", "gib"),
        ("pair", "/pair"),
        ("kept", "What was kept"),
    ],
)
def test_pages_and_headings_stand_before_refusals_and_a_refusal_is_found(asked: str, words: str):
    assert look_up(manual(), asked)[0].words == words


@pytest.mark.parametrize(
    ("asked", "sort", "words"),
    [
        ("worth", "heading", "What to pay"),
        ("walk-away price", "word", "walk-away price"),
        ("do not go above", "word", "walk-away price"),
        ("worth price", "command", "retrue worth price"),
        ("retrue worth price", "command", "retrue worth price"),
        ("--legs", "command", "retrue move lift"),
        ("RETRUE_SHOP", "setting", "RETRUE_SHOP"),
        ("retrue_shop", "setting", "RETRUE_SHOP"),
        ("/fix/plan", "page", "/fix/plan"),
        ("NotYet", "refusal", "NotYet"),
        ("sling_leg_kg", "calculation", "sling_leg_kg (lifting)"),
        ("first night", "heading", "The first night"),
        ("winding hill climb", "", ""),
    ],
)
def test_each_sort_is_found_by_its_name(asked: str, sort: str, words: str):
    found = look_up(manual(), asked)
    told = [(one.sort, one.words) for one in found[:2]]
    assert (sort, words) in told if sort else told == []


def test_what_no_name_has_is_found_in_the_texts():
    assert look_up(SMALL, "twice")[0].sort == "text"
    assert look_up(SMALL, "   ") == []


def test_an_unknown_word_is_answered_with_the_nearest():
    assert "backlash" in nearest(manual(), "bakclash")
    assert nearest(manual(), "backlash") == []


def test_the_job_stands_in_its_order_and_pictures_know_no_folder():
    pages = list(manual().pages)
    assert pages[0] == "index"
    assert [one for one in pages if one in JOB] == list(JOB)
    assert picture("../index.md") is None
    assert picture("..") is None
    assert (folder() / "index.md").is_file()
