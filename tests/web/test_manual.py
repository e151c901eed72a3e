"""The manual in the browser: nothing of it is dropped, every page leads to its section."""

from __future__ import annotations

import re
from collections import Counter
from collections.abc import Iterator
from dataclasses import replace
from html.parser import HTMLParser
from pathlib import Path

import pytest
from starlette.routing import Route
from tests.fakes.shop import FakeShop
from tests.web.joining import AT_THE_PHONE, LAN, joined
from tests.web.visitor import Visitor, text_of

from retrue.base.manual import plain, uncommented
from retrue.base.manual_files import manual
from retrue.web.app import ROUTES, app
from retrue.web.manual_html import page_html
from retrue.web.manual_table import SECTIONS, section_of

DOCS = Path(__file__).resolve().parents[2] / "docs"
WORD = re.compile(r"\w+")
FILES = re.compile(r"\.(pdf|csv|xlsx|json|ics|js)$|/(progress|state|text|next)$|^/files/")
# Pages about the program itself: the manual, and what a buyer reads of it.
ITSELF = ("/help",)


class Reader(HTMLParser):
    """Words that a reader meets, targets of links, names of places."""

    def __init__(self) -> None:
        super().__init__()
        self.words: list[str] = []
        self.links: list[str] = []
        self.ids: set[str] = set()
        self.tags: set[str] = set()

    def handle_starttag(self, tag, attrs):
        told = dict(attrs)
        self.tags.add(tag)
        self.ids |= {told["id"]} if "id" in told else set()
        self.links += [told[key] for key in ("href", "src") if told.get(key)]
        self.words += WORD.findall(told.get("alt") or "")

    def handle_data(self, data):
        self.words += WORD.findall(data)


def read(html: str) -> Reader:
    reader = Reader()
    reader.feed(html)
    return reader


@pytest.fixture(scope="module")
def shown() -> dict[str, Reader]:
    return {name: read(page_html(name, text)) for name, text in manual().pages.items()}


def as_written(text: str) -> Iterator[str]:
    """The lines of a page without the marks of Markdown; in a fence all is as it stands."""
    for n, part in enumerate(re.split(r"^```.*$", text, flags=re.MULTILINE)):
        numbers = re.compile(r"^\s*\d+\. ", re.MULTILINE)  # a list counts itself
        blocks = re.split(r"\n(?=[|#\n]|\s*- )", numbers.sub("", part))
        yield part if n % 2 else "\n".join(map(plain, blocks))


def test_nothing_of_any_page_is_dropped(shown: dict[str, Reader]):
    for name, reader in shown.items():
        text = manual().pages[name]
        written = WORD.findall("\n".join(as_written(uncommented(text))))
        lost, new = Counter(written), Counter(reader.words)
        lost, new = lost - new, new - lost
        assert (dict(lost), dict(new)) == ({}, {}), name


def test_every_link_leads_to_a_place_that_is_there(shown: dict[str, Reader]):
    wrong = []
    for name, reader in shown.items():
        for link in reader.links:
            path, _, mark = link.partition("#")
            if path.startswith("/help/pictures/"):
                fits = (DOCS / path.removeprefix("/help/")).is_file()
            else:
                page = shown.get(path.removeprefix("/help/"))
                fits = page is not None and (not mark or mark in page.ids)
            wrong += [] if fits else [f"{name}: {link}"]
    assert wrong == []


def test_no_script_and_no_style_comes_from_a_page():
    html = page_html("x", "# a\n<script>x</script> [y](javascript:z) <b onclick=1>")
    assert "<script" not in html
    assert "<b" not in html
    assert "javascript:" not in html.replace("[y](javascript:z)", "")


def test_every_page_of_the_program_has_its_section(shown: dict[str, Reader]):
    """Of files, of what a page asks while it is open, and of the manual itself none is told."""
    without, broken = [], []
    for route in ROUTES:
        if not isinstance(route, Route) or "GET" not in (route.methods or set()):
            continue
        if FILES.search(route.path) or route.path.startswith(ITSELF):
            continue
        page, _, mark = section_of(route.path).removeprefix("/help").partition("#")
        if not page:
            without.append(route.path)
        elif mark and mark not in shown[page[1:]].ids:
            broken.append(f"{route.path}: {page}#{mark}")
    assert without == []
    assert broken == []


def test_every_section_named_is_there_and_every_address_is_a_page(shown: dict[str, Reader]):
    patterns = [re.sub(r"\{\w+\}", "{}", one.path) for one in ROUTES if isinstance(one, Route)]
    for path, target in SECTIONS.items():
        page, _, mark = target.partition("#")
        assert page in shown
        assert mark in ("", "*") or mark in shown[page].ids, target
        assert any(one == path or one.startswith(path + "/") for one in patterns), path


@pytest.mark.parametrize(
    ("path", "expected"),
    [
        ("/", "/help/first-evening"),
        ("/lots/1/machines/2/move/lift", "/help/move#lift-lift"),
        ("/lots/1/machines/2/move/data", "/help/move#before-the-plug-is-pulled"),
        ("/lots/1/machines/2/fix/match/contactor", "/help/match#contactor-contactor"),
        ("/nowhere", "/help"),
    ],
)
def test_the_longest_beginning_counts(path: str, expected: str):
    assert section_of(path) == expected


class TestThePages:
    def test_the_foot_of_a_page_leads_to_its_section(self, owner: Visitor):
        assert 'href="/help/keeping"' in owner.get("/shop/keeping").text

    def test_a_word_is_looked_up(self, owner: Visitor):
        page = owner.get("/help?word=walk-away+price")
        assert "do not go above" in text_of(page)
        assert "/help/vocabulary#" in page.text

    def test_an_unknown_word_is_answered_with_the_nearest(self, owner: Visitor):
        page = owner.get("/help?word=bakclash")
        assert "does not have “bakclash”" in text_of(page)
        assert 'href="/help?word=backlash"' in page.text

    @pytest.mark.parametrize("word", ["<b>", "%00", "a" * 5000, "'\"", "\\", "--", "{x}"])
    def test_whatever_is_typed_is_answered(self, owner: Visitor, word: str):
        page = owner.get("/help", params={"word": word})
        assert page.status_code == 200
        assert "<b>" not in page.text.partition('id="word"')[2][:120]

    def test_a_page_with_its_anchors(self, owner: Visitor):
        page = owner.get("/help/strip")
        assert 'id="the-first-night"' in page.text
        assert page.text.count("<h1") == 1

    def test_an_unknown_page_or_picture_is_refused_with_a_way_on(self, owner: Visitor):
        for path in ("/help/wrth", "/help/pictures/x.png", "/help/pictures/..%2findex.md"):
            assert owner.get(path).status_code == 404
        assert owner.get("/help/pictures/price.png").headers["content-type"] == "image/png"

    def test_a_reader_of_dutch_is_told_that_it_is_english(self, owner: Visitor):
        assert 'lang="en"' in owner.get("/help/worth", headers={"accept-language": "nl"}).text

    def test_search_leads_to_the_sections_page(self, owner: Visitor):
        assert (
            'href="/help/hours#how-an-evening-is-guessed"'
            in owner.get("/search?words=how+an+evening").text
        )


def test_a_helper_reads_it_and_a_stranger_does_not(kinds, clock, settings):
    house = app(shop=FakeShop(), kinds=kinds, clock=clock, settings=replace(settings, lan=LAN))
    helper = joined(house, "helper")
    assert helper.get("/help/strip").status_code == 200
    assert Visitor(house, LAN, AT_THE_PHONE).get("/help").status_code == 403


def test_what_a_sentence_is_filled_in_with_is_shown_without_braces():
    page = page_html("refusals-all", manual().pages["refusals-all"])
    assert "another program answers on port <em>port</em>" in page
    assert not re.search(r"\{\w+\}", page)


def test_the_commands_are_folded_group_by_group():
    page = page_html("commands", manual().pages["commands"])
    opened = re.findall(r"<details><summary><h2 id=\"([\w-]+)\">", page)
    assert {"retrue", "retrue-find", "retrue-fix", "retrue-shop"} <= set(opened)
    assert page.count("</details>") == len(opened) < 40
    unfolded = re.sub(r"<details>.*?</details>", "", page, flags=re.DOTALL)
    assert "Usage:" not in unfolded
