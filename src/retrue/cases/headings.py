"""Which column of a table is which, by the words of its heading. Pure; knows no kind of table."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence

from retrue.cases.settle.bring_words import plain

EXACT, BEGINS, HOLDS = 3.0, 2.0, 1.0
MOST_WORDS = 12  # at which a heading begins; no name of a column has more
LEAST_LETTERS = 4  # of a word that may stand inside a longer heading

Words = Mapping[str, Sequence[str]]  # role to the words of its heading


def match(heading: str, words: Sequence[str]) -> float:
    """How well a heading is named by words: whole, at its beginning, or somewhere in it.

    Parameters
    ----------
    heading : str
        As :func:`retrue.cases.settle.bring_words.plain` makes it.
    words : sequence of str
        Of one role, the usual ones first.

    Returns
    -------
    float
        More is better; 0: not at all.

    Examples
    --------
    >>> match("price", ["price"]), match("price eur", ["price"]), match("day", ["price"])
    (3.0, 2.005, 0.0)
    """
    best = 0.0
    for place, word in enumerate(words):
        if heading == word:
            return EXACT - place / 1000
        if len(word) < LEAST_LETTERS:
            continue
        inside = len(word) / 1000
        if heading.startswith(f"{word} "):
            best = max(best, BEGINS + inside)
        elif f" {word} " in f" {heading} ":
            best = max(best, HOLDS + inside)
    return best


def is_name(heading: str, every: frozenset[str]) -> bool:
    """Whether a cell is, or begins with, a name of some column.

    Parameters
    ----------
    heading : str
        As :func:`retrue.cases.settle.bring_words.plain` makes it.
    every : frozenset of str
        All names of all columns.

    Returns
    -------
    bool

    Examples
    --------
    >>> is_name("price in eur", frozenset({"price"})), is_name("no price", frozenset({"price"}))
    (True, False)
    """
    if heading in every:
        return True
    words = heading.split(maxsplit=MOST_WORDS)[:MOST_WORDS]
    beginnings = (" ".join(map(str, words[:count])) for count in range(1, len(words) + 1))
    return any(len(one) >= LEAST_LETTERS and one in every for one in beginnings)


def counter(every: frozenset[str], own: frozenset[str]) -> Callable[[Sequence[str]], int]:
    """What counts the cells of a row that name a column.

    Parameters
    ----------
    every : frozenset of str
        All names of all columns.
    own : frozenset of str
        Headings that the owner named.

    Returns
    -------
    callable
        Cells to a number; a row in which a single cell names a column names none.

    Examples
    --------
    >>> count = counter(frozenset({"price", "year"}), frozenset())
    >>> count(["Price", "Year"]), count(["Price", "12"])
    (2, 0)
    """

    def known(cells: Sequence[str]) -> int:
        bare = [plain(cell) for cell in cells if cell]
        said = sum(one in own for one in bare)
        count = sum(is_name(one, every) for one in bare) + said
        return count if count > 1 or said else 0

    return known


def roles_by_heading(
    bare: Sequence[str],
    roles: Words,
    said: Mapping[int, str],
    looks_like: Callable[[int, str], bool],
) -> dict[int, str]:
    """Give each column the role its heading names best; no role twice.

    Parameters
    ----------
    bare : sequence of str
        Headings, as :func:`retrue.cases.settle.bring_words.plain` makes them.
    roles : mapping
        Of equals the role that stands first is given.
    said : mapping of int to str
        Columns that the owner named; they stand.
    looks_like : callable
        Whether most cells of a column can be what a role says.

    Returns
    -------
    dict of int to str
        Place to role.

    Examples
    --------
    >>> roles_by_heading(["price", "day"], {"day": ["day"], "cost": ["price"]}, {},
    ...                  lambda at, role: True)
    {0: 'cost', 1: 'day'}
    """
    order = {role: place for place, role in enumerate(roles)}
    marks = sorted(
        (-match(text, words), at, order[role], role)
        for at, text in enumerate(bare)
        for role, words in roles.items()
        if text and at not in said and role not in said.values()
    )
    found = dict(said)
    for mark, at, _, role in marks:
        free = at not in found and role not in found.values()
        if mark < 0 and free and looks_like(at, role):
            found[at] = role
    return found
