"""A page of the manual for browsers: its Markdown as elements that our pages have anyhow."""

from __future__ import annotations

import re
from collections.abc import Iterator, Sequence
from functools import lru_cache

from markdown_it import MarkdownIt
from markdown_it.token import Token
from markupsafe import Markup

from retrue.base.manual import Section, sections, uncommented

FOLDED = frozenset({"commands"})  # too long for a phone: a group of headings is opened by a tap
_GAP = re.compile(r"\{(\w+)\}")
READER = MarkdownIt("commonmark", {"html": False}).enable("table")


@lru_cache(maxsize=64)
def page_html(name: str, text: str) -> Markup:
    """A whole page.

    Parameters
    ----------
    name : str
        Of the page; a link into itself begins with it.
    text : str
        Markdown; HTML in it is shown as text, what a tool's marks say is left out.

    Returns
    -------
    Markup
        Headings with their anchors, tables whose cells know their column, links among the pages.

    Examples
    --------
    >>> print(page_html("x", "# A <b>\\nSee [words](vocabulary.md#units)."))
    <h1 id="a-b">A &lt;b&gt;</h1>
    <p>See <a href="/help/vocabulary#units">words</a>.</p>
    <BLANKLINE>
    """
    tokens = READER.parse(uncommented(text))
    _anchors(tokens, list(sections(name, text)))
    _tables(tokens)
    for token in tokens:
        if token.type in ("fence", "code_block"):
            token.type, token.info = "code_block", ""
            token.attrs |= {"class": "whole", "tabindex": "0"}
        elif token.type == "blockquote_open":
            token.attrSet("class", "caution")
        _links(name, token.children or [])
        if token.children:
            token.children = [part for one in token.children for part in _said(one)]
    if name in FOLDED:
        tokens = list(_folded(tokens))
    return Markup(READER.renderer.render(tokens, READER.options, {}))  # it escapes what it is given


def part_html(section: Section, text: str) -> Markup:
    """A section alone, without its heading.

    Parameters
    ----------
    section : Section
        Where it stands.
    text : str
        Markdown.

    Returns
    -------
    Markup

    Examples
    --------
    >>> (one,) = sections("x", "# A\\nb")
    >>> print(part_html(one, one.text))
    <p>b</p>
    <BLANKLINE>
    """
    return page_html(section.page, text)


def address(page: str, target: str) -> str | None:
    """Where a link of a page leads in the browser.

    Parameters
    ----------
    page : str
        On which it stands.
    target : str
        As it is written.

    Returns
    -------
    str or None
        None where the browser has no such thing: a file beside the manual.

    Examples
    --------
    >>> address("find", "#labels"), address("find", "index.md"), address("find", "../LICENSE")
    ('/help/find#labels', '/help/index', None)
    """
    path, _, mark = target.partition("#")
    if path.startswith("pictures/"):
        return f"/help/{path}"
    if path and (not path.endswith(".md") or "/" in path):
        return None
    return f"/help/{path.removesuffix('.md') or page}" + (f"#{mark}" if mark else "")


def _anchors(tokens: Sequence[Token], told: list[Section]) -> None:
    heads = [token for token in tokens if token.type == "heading_open"]
    for token, section in zip(heads, told, strict=False):
        token.attrSet("id", section.anchor)


def _tables(tokens: Sequence[Token]) -> None:
    """Each cell by its column; the first of a row is its heading."""
    heads: list[str] = []
    column = 0
    for at, token in enumerate(tokens):
        if token.type == "table_open":
            token.attrSet("class", "stack")
            heads = []
        elif token.type == "tr_open":
            column = 0
        elif token.type == "th_open":
            token.attrSet("scope", "col")
            heads.append("".join(one.content for one in tokens[at + 1].children or []))
        elif token.type == "td_open":
            if column == 0:
                token.tag = "th"
                token.attrSet("scope", "row")
            elif tokens[at + 1].content:
                token.attrSet("data-label", heads[column])
        elif token.type == "td_close":
            token.tag = "th" if column == 0 else "td"
            column += 1


def _said(token: Token) -> Iterator[Token]:
    """A part of a line; what a sentence is filled in with has its own letter, no braces."""
    if token.type != "text" or not _GAP.search(token.content):
        yield token
        return
    for n, part in enumerate(_GAP.split(token.content)):
        if n % 2:
            yield Token("em_open", "em", 1)
        if part:
            yield Token("text", "", 0, content=part)
        if n % 2:
            yield Token("em_close", "em", -1)


def _folded(tokens: Sequence[Token]) -> Iterator[Token]:
    """Each command with those below it in one fold, under its own heading."""
    within = False
    at = 0
    while at < len(tokens):
        token = tokens[at]
        begins = token.type == "heading_open" and token.tag == "h2"
        if not begins or len(tokens[at + 1].content.split()) > 2:
            yield token
            at += 1
            continue
        if within:
            yield _raw("</details>\n")
        yield _raw("<details><summary>")
        yield from tokens[at : at + 3]
        yield _raw("</summary>\n")
        within, at = True, at + 3
    if within:
        yield _raw("</details>\n")


def _raw(html: str) -> Token:
    return Token("html_block", "", 0, content=html)


def _links(page: str, tokens: Sequence[Token]) -> None:
    whole = True
    for token in tokens:
        if token.type == "link_open":
            leads = address(page, str(token.attrGet("href") or ""))
            whole = leads is not None
            if leads is not None:
                token.attrSet("href", leads)
        elif token.type == "image":
            token.attrs |= {"src": address(page, str(token.attrGet("src") or "")) or "",
                            "loading": "lazy"}  # fmt: skip
        if token.type in ("link_open", "link_close") and not whole:
            token.tag = "span"
            token.attrs = {}
