"""Pages by their title, and by the words somebody may have for them."""

from __future__ import annotations

from collections.abc import Callable

from retrue.base.say import later, say
from retrue.cases.search_kinds import MACHINE, Entry, Hit, words_of_entry
from retrue.records.searching import Asked, matches

PAGES: tuple[tuple[str, str, str], ...] = (
    ("/", later("My lots"), later("home start machines")),
    ("/lots/new", later("A new lot"), later("sale auction listing add machine")),
    ("/screen", later("Catalogues"), later("auction sale list of many lots screen bids")),
    ("/fix", later("Tonight"), later("what to do evening hours cards")),
    ("/fix/waiting", later("Waiting for, chase"), later("ordered sent out ring promised owes")),
    ("/fix/plan", later("The plan"), later("dates schedule calendar when")),
    ("/fix/buy", later("What to buy"), later("parts purchase list shelf stock")),
    ("/fix/send", later("Send out, order, ask"), later("order borrow hire vendor")),
    ("/fix/quote", later("A price by a vendor"), later("quote offer telephone")),
    ("/fix/hands", later("Hands and evenings"), later("who works when away helper")),
    ("/fix/gear", later("Lifting gear and floor"), later("hoist hire days")),
    ("/note", later("Note"), later("alarm changed a setting photograph sentence")),
    ("/kept", later("What was kept"), later("diary history undo take back bring back correct")),
    ("/search", later("Search"), later("find look for")),
    ("/instruments", later("Instruments"), later("level indicator borrow certificate due")),
    ("/practice", later("Practice machine"), later("rehearse made up")),
    ("/visits", later("A visit by its code"), later("pack paper")),
    ("/settle", later("Money and sale"), later("money cost sale")),
    ("/settle/book", later("The book"), later("lines posted spent brought in ledger")),
    ("/settle/post", later("Put in the book"), later("bought paid sold receipt deposit")),
    ("/settle/hours", later("Own hours"), later("evenings worked clock")),
    ("/settle/rates", later("Rates of the day"), later("currency exchange")),
    ("/settle/lock", later("Close the book"), later("period closed lock")),
    ("/settle/import", later("Bring in lines"), later("import bank file table")),
    ("/settle/check", later("Check a condition record"), later("genuine pdf changed")),
    ("/settle/share", later("Closed machines without names"), later("share others learn")),
    ("/shop", later("My shop"), later("settings hour money supply doors floor needs")),
    ("/shop/devices", later("Devices"), later("phone revoke helper buyer pairing")),
    ("/shop/keeping", later("Keeping it"), later("backup restore export copy")),
    ("/pair", later("Join a phone"), later("pair code square")),
    ("/twice", later("Said in two ways"), later("set aside decide offline late two else")),
)
"""Address, title, other words."""

MACHINE_PAGES: tuple[tuple[str, str, str], ...] = (
    ("/looks", later("Looks"), later("check photographs seen finding")),
    ("/plate", later("What is stamped on it"), later("plate serial type year")),
    ("/find", later("Fault-finding"), later("symptom trouble what it does")),
    ("/move", later("Move and place"), later("lift forklift skates route supply air")),
    ("/arrival", later("The arrival"), later("truck damage carrier")),
    ("/rest", later("At rest"), later("laid up rounds damp")),
    ("/strip", later("As found and apart"), later("strip clean label bag night evening")),
    ("/strip/remaining", later("Not yet back"), later("labels wires left")),
    ("/strip/files", later("Files of the machine"), later("parameters manual drawings programs")),
    ("/fix", later("What to do with it"), later("options repair renew sell")),
    ("/fix/cards", later("Job cards"), later("work steps")),
    ("/wake", later("First power"), later("stages ladder sign abort")),
    ("/wake/watch", later("Run-in watch"), later("minutes amps degrees stop")),
    ("/measure", later("Measure"), later("tests readings result geometry accuracy")),
    ("/measure/limits", later("Limits"), later("tolerance standard own")),
    ("/prove/quiet", later("Sound, vibration, light"), later("noise quiet")),
    ("/settle/cost", later("What it cost"), later("money spent forecast")),
    ("/settle/rate", later("An hour of it"), later("hour rate running")),
    ("/settle/versus", later("Worth it"), later("against new used buying in")),
    ("/settle/sell", later("Sell it"), later("ask offer price list")),
    ("/settle/record", later("Condition record"), later("buyer what is stated")),
    ("/settle/after", later("After the sale"), later("promise question owed")),
    ("/settle/close", later("Done with it"), later("close guessed was learn")),
)
"""End of the address below a machine, title, other words."""


def page_hits(
    asked: Asked, machines: list[tuple[str, str, str]], *, may: Callable[[str], bool], most: int
) -> list[Hit]:
    """Pages whose title or other words hold what is asked for.

    Parameters
    ----------
    asked : tuple
        As `retrue.records.searching.asked_for` has it.
    machines : list of (lot, machine, name)
        By ids; the pages of the first ones are named.
    may : callable
        Whether who asks may open an address, as the routes name it.
    most : int
        Hits at most, and machines at most for each.

    Returns
    -------
    list of Hit
        Those with all words in the title first.

    Examples
    --------
    >>> from retrue.records.searching import asked_for
    >>> found = page_hits(asked_for("own hours"), [], may=lambda _: True, most=3)
    >>> [one.entry.path for one in found]
    ['/settle/hours']
    """
    found: list[tuple[bool, Hit]] = []
    for path, title, other in PAGES:
        if may(path) and (rank := _rank(asked, title, other)) is not None:
            found.append((rank, Hit(Entry("page", "", title, path), (("", path),))))
    for end, title, other in MACHINE_PAGES:
        if machines and may(MACHINE + end) and (rank := _rank(asked, title, other)) is not None:
            places = tuple(
                (name, (MACHINE + end).format(lot=lot, machine=machine))
                for lot, machine, name in machines[:most]
            )
            found.append((rank, Hit(Entry("page", "", title, MACHINE + end), places)))
    return [hit for _, hit in sorted(found, key=lambda row: row[0])][:most]


def _rank(asked: Asked, title: str, other: str) -> bool | None:
    """False: the title has all; True: only with the other words; None: not at all."""
    if matches(asked, words_of_entry(Entry("page", "", title, ""))):
        return False
    both = f"{str.__str__(title)} {str.__str__(other)} {say(title)} {say(other)}"
    return True if matches(asked, words_of_entry(Entry("page", "", both, ""))) else None
