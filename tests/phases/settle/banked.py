"""A bank file of an invented workshop in Ghent, read and kept; a line typed by hand."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace
from datetime import date
from decimal import Decimal

from retrue.cases.settle.bring import Wanted
from retrue.cases.settle.bring_lines import Choices, Preview
from retrue.kinds.library import Kind
from retrue.phases import settle, worth
from retrue.records.facts import Lot, Machine, Shop, Terms
from retrue.records.settling import Posting
from retrue.records.shop import RecordShop

Kinds = Mapping[str, Kind]
ON = date(2026, 11, 26)

BANK = '''\
Rekening van de werkplaats;;;;;;
Boekdatum;Valutadatum;Bedrag;Munt;Naam tegenpartij;Mededeling;Referte
02/11/2026;02/11/2026;-1.250,00;EUR;Lagerwinkel Gent;kogellagers freesmachine;R1
03/11/2026;03/11/2026;-45,5;EUR;Oliehandel;"smeerolie
20 l, ""dun""";R2
03/11/2026;03/11/2026;-45,5;EUR;Oliehandel;"smeerolie
20 l, ""dun""";R2
;;;;;;
25/11/2026;25/11/2026;100,00;EUR;Buurman;=huur stapelaar;
Totaal;;-1.241,00;;;;
'''


def workshop(shop: RecordShop) -> str:
    worth.keep_shop(shop, Shop(currency="EUR"), by="owner")
    machines = [
        Machine(lot="", name="bed mill", kind="vertical_machining_centre"),
        Machine(lot="", name="slant lathe", kind="turning_centre"),
    ]
    view = worth.new_lot(shop, Lot(name="school"), Terms(lot=""), machines, by="owner")
    return view.id


def read(shop: RecordShop, text: str | bytes, kinds: Kinds, **said: object) -> Preview:
    content = text.encode() if isinstance(text, str) else text
    wanted = replace(Wanted(), **said)
    return settle.read_import(shop, content, "bank.csv", kinds, on=ON, wanted=wanted)


def keep(shop: RecordShop, preview: Preview, **said: object) -> list[Posting]:
    choices = replace(Choices(), **said)
    made = settle.keep_import(shop, preview, choices, on=ON, by="owner")
    return [one.fact for one in made]


def states(preview: Preview) -> dict[int, str]:
    return {row.number: row.state for row in preview.rows}


def table(*rows: str, heading: str = "date,amount,currency,counterparty,description") -> str:
    return "\n".join((heading, *rows, ""))


def posted(shop: RecordShop, **fields: object) -> str:
    fact = Posting(
        sort="bought", posted_on="2026-11-03", what="coil", amount=Decimal("600.00"),
        whom="De Wikkelaar BV",
    )  # fmt: skip
    return settle.post(shop, replace(fact, **fields), on=ON, by="owner").id
