"""Which pages of the invented lot the manual shows, and at which size."""

from __future__ import annotations

import re
from dataclasses import dataclass
from urllib.request import urlopen

from playwright.sync_api import ViewportSize

from retrue.phases import worth
from retrue.store.shop import SqlShop

PHONE: ViewportSize = {"width": 390, "height": 780}
LAPTOP: ViewportSize = {"width": 1100, "height": 760}


@dataclass(frozen=True, slots=True)
class Shot:
    """A page as it is shown: its address, on which device, by night, from which part on."""

    path: str
    phone: bool = True
    night: bool = False
    at: str = ""


PAGES = {
    "home": Shot("/", at="h2 >> text=Machines"),
    "screen": Shot("{catalogue}", phone=False, at="h2 >> text=The best"),
    "go-or-not": Shot("{mill}/move/lift", at="#answer, h1"),
    "as-found": Shot("{mill}/strip", at="h1"),
    "label": Shot("{label}", night=True, at="h1"),
    "next-step": Shot("{trouble}", at="#next, h1"),
    "tonight": Shot("/fix?hours=2", at="h2 >> text=Tonight"),
    "first-power": Shot("{mill}/wake/stages/P9-V", at="h1"),
    "watch": Shot("{watch}", phone=False, at="h1"),
    "feet": Shot("{level}/result", phone=False, at="h1"),
    "before-after": Shot("{mill}/prove/quiet", phone=False, at="h2 >> text=Sound"),
    "book": Shot("/settle/book", phone=False, at="h1"),
    "worth-it": Shot("{mill}/settle/versus", phone=False, at="h1"),
    "condition-record": Shot("{lathe}/settle/record", phone=False, at="h1"),
}
LINKS = {
    "catalogue": ("/screen", "/screen/[0-9a-f-]{36}"),
    "label": ("{mill}/strip/apart", '/lots/[^"]+/strip/apart/[0-9A-Z-]{9}'),
    "trouble": ("{mill}/find", '/lots/[^"]+/find/[0-9a-f-]{36}'),
    "watch": ("{mill}/wake/watch", '/lots/[^"]+/wake/watch/[0-9a-f-]{36}'),
    "level": ("{mill}/measure", "/sets/[0-9a-f-]{36}"),
}


def places_of(shop: SqlShop, address: str) -> dict[str, str]:
    """The places of the lot, of its machines, and of the first thing of each sort on its page."""
    lot = worth.lots(shop)[0].id
    places = {"lot": f"/lots/{lot}"}
    for key, machine in worth.view_lot(shop, lot).machines:
        places["lathe" if "lathe" in machine.fact.name else "mill"] = f"/lots/{lot}/machines/{key}"
    for name, (path, pattern) in LINKS.items():
        with urlopen(address + path.format(**places)) as page:
            found = re.search(pattern, page.read().decode())
        assert found, f"{path} has no {name}"
        places[name] = found[0]
    return places
