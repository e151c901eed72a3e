"""A catalogue in the shop: kept as it came, found again, read, its columns and terms corrected."""

from __future__ import annotations

import hashlib
from collections.abc import Mapping
from contextlib import suppress
from dataclasses import fields, replace
from functools import lru_cache
from typing import Any, Unpack, cast

import msgspec

from retrue.base.refusals import Overtaken, Problem, Refusal, Unknown, Unreadable, Unusable
from retrue.base.say import ENGLISH, english, reader, say, speaking
from retrue.cases.known import nearest
from retrue.cases.screen.content_text import packed, unpacked
from retrue.cases.screen.listing import ListedLot, Listing
from retrue.cases.screen.reading import read_catalogue
from retrue.cases.screen.terms import About
from retrue.kinds.library import Kind
from retrue.phases.worth.lots import first_id
from retrue.phases.worth.screen_ids import same_id, standing
from retrue.records.facts import Alternative, Need, Shop
from retrue.records.hand import Hand
from retrue.records.screening import Catalogue, CatalogueContent
from retrue.records.sending import same_or_kept
from retrue.records.shop import Record, RecordShop, ToAdd

TRIES = 3  # of keeping a file while others keep it
HAND = ("by", "device", "observed_at", "id")
NOT_TERMS = frozenset({"name", "file_name", "content_sha256", "year"})


def catalogues(shop: RecordShop) -> list[Record[Catalogue]]:
    """Every catalogue that counts, oldest first."""
    return shop.current(Catalogue)


def find_catalogue(shop: RecordShop, catalogue: str) -> Record[Catalogue]:
    """The newest record of a catalogue given by name or by the id of any of its records.

    Parameters
    ----------
    shop : RecordShop
        It is only read.
    catalogue : str

    Returns
    -------
    Record of Catalogue

    Raises
    ------
    Unknown
        There is none; the nearest name is told.
    """
    every = shop.current(Catalogue)
    for one in every:
        if catalogue in (one.id, one.fact.name):
            return one
    with suppress(Unknown):
        newest: Record[Any] = shop.history(catalogue)[-1]
        if isinstance(newest.fact, Catalogue):
            return newest
    names = [one.fact.name for one in every]
    raise Unknown(
        say("there is no catalogue {name}", name=f"“{catalogue}”"),
        remedy=nearest(catalogue, names)
        or say("Keep its file first: retrue worth catalogue FILE; or name a file that is there."),
    )


def catalogue_id(shop: RecordShop, catalogue: str) -> str:
    """The id of the first record of a catalogue: what other records name it by."""
    return first_id(shop, find_catalogue(shop, catalogue))


def keep_catalogue(
    shop: RecordShop,
    content: bytes,
    said: Catalogue,
    kinds: Mapping[str, Kind],
    **hand: Unpack[Hand],
) -> Record[Catalogue]:
    """Keep a catalogue as it came, with what is said of the sale.

    Parameters
    ----------
    shop : RecordShop
    content : bytes
        Of the file; a spreadsheet as the table that was made of it.
    said : Catalogue
        Its ``content_sha256`` and ``year`` are set here.
    kinds : mapping of str to Kind
    **hand : Hand

    Returns
    -------
    Record of Catalogue
        The same file again leads to the one that is kept. A table whose columns cannot be decided
        is kept; reading it says what to correct.

    Raises
    ------
    Unreadable
        It is no table.
    Overtaken
        This file is kept already, with other terms.
    Unusable
        Another catalogue is called so.
    """
    sha256 = hashlib.sha256(content).hexdigest()
    fact = replace(said, content_sha256=sha256, year=said.year or shop.today().year)
    id, kept = standing(shop, Catalogue, sha256)
    if kept is not None:
        return _kept_before(kept, fact)
    _refuse_name(shop, fact.name)
    _refuse_no_table(shop, content, fact, kinds)
    for _ in range(TRIES):
        try:
            return _added(shop, content, fact, id, hand)
        except Overtaken:  # somebody else in the moment between
            kept = standing(shop, Catalogue, sha256)[1]
        if kept is not None:
            return _kept_before(kept, fact)
    raise _busy()


def catalogue_content(shop: RecordShop, fact: Catalogue) -> bytes:
    """The file of a catalogue as it came, from the records themselves.

    Parameters
    ----------
    shop : RecordShop
        It is only read.
    fact : Catalogue

    Returns
    -------
    bytes

    Raises
    ------
    Unreadable
        It is not what it was when it was kept.
    """
    held = shop.get(CatalogueContent, _content_id(fact.content_sha256))
    content = unpacked(held.fact.content)
    if hashlib.sha256(content).hexdigest() != fact.content_sha256:
        raise Unreadable(
            say("the file of the catalogue {name} is not what it was", name=fact.name),
            remedy=say("Restore the shop from its latest backup and verify the chain of records."),
        )
    return content


def correct_catalogue(shop: RecordShop, catalogue: str, **said: Any) -> Record[Catalogue]:
    """Say otherwise how columns are read, or what the sale costs: its parts are then done anew.

    Parameters
    ----------
    shop : RecordShop
    catalogue : str
        Name or id.
    **said
        Changed fields of the catalogue; ``by``, ``device``, ``observed_at``, ``id`` belong to the
        hand.

    Returns
    -------
    Record of Catalogue
        The new one; the same again is the one that stands.

    Raises
    ------
    Unusable
        A field that cannot be, or the name of another catalogue.
    """
    hand = {name: said.pop(name) for name in HAND if name in said}
    old = find_catalogue(shop, catalogue)
    fact = replace(old.fact, **said)
    if fact.name != old.fact.name:
        _refuse_name(shop, fact.name)
    return same_or_kept(shop, fact, old, cast(Hand, hand))


def currency_of(shop: RecordShop, catalogue: str) -> str:
    """In which a line counts that names no currency: the catalogue's, else my shop's."""
    fact = find_catalogue(shop, catalogue).fact
    return fact.currency or about_of(shop, fact).shop.currency


def about_of(shop: RecordShop, fact: Catalogue) -> About:
    """What the lots of a catalogue are read with: the sale's terms, my shop, its needs."""
    mine = shop.current(Shop)
    return About(
        shop=mine[-1].fact if mine else Shop(), year=fact.year,
        needs=tuple(one.fact for one in shop.current(Need)),
        alternatives=tuple(one.fact for one in shop.current(Alternative)),
        own=dict(fact.columns), currency=fact.currency,
        rates=dict(zip(fact.rate_currencies, fact.rates, strict=True)),
        premium=fact.premium, tax_rate=fact.tax_rate, tax_reclaimable=fact.tax_reclaimable,
        tax_scheme=fact.tax_scheme, sale=fact.sale, distance_km=fact.distance_km,
        removal_days=fact.removal_days, closes_at=fact.closes_at, decimal=fact.decimal,
        dates=fact.dates,
    )  # fmt: skip


def listing_of(shop: RecordShop, catalogue: str, kinds: Mapping[str, Kind]) -> Listing:
    """Every line of a catalogue and what was made of it, in the language of who reads.

    Parameters
    ----------
    shop : RecordShop
        It is only read.
    catalogue : str
        Name or id.
    kinds : mapping of str to Kind
        The library; what closed machines have taught is laid over it here.

    Returns
    -------
    Listing

    Raises
    ------
    Unknown
        No such catalogue.
    Unusable
        Its columns cannot be decided; each is named.
    """
    return reading_of(shop, catalogue, kinds).listing


def listing_in_english(shop: RecordShop, catalogue: str, kinds: Mapping[str, Kind]) -> Listing:
    """The same in English, as it is worked on: two people of two languages get the same rows."""
    return reading_in_english(shop, catalogue, kinds).listing


def reading_of(shop: RecordShop, catalogue: str, kinds: Mapping[str, Kind]) -> Reading:
    """A catalogue as it is read now."""
    fact = find_catalogue(shop, catalogue).fact
    return Reading(shop, fact, about_of(shop, fact), library_of(shop, kinds))


def reading_in_english(shop: RecordShop, catalogue: str, kinds: Mapping[str, Kind]) -> Reading:
    """The same in English; a refusal is said in the language of who reads."""
    if reader() != ENGLISH:
        with speaking(ENGLISH), suppress(Refusal):
            made = reading_of(shop, catalogue, kinds)
            _listing(made)
            return made
    return reading_of(shop, catalogue, kinds)


def library_of(shop: RecordShop, kinds: Mapping[str, Kind]) -> Mapping[str, Kind]:
    """The library that lots of a catalogue are priced by, with what closed machines have taught."""
    # Only a price needs what was learned; a list of catalogues shall not wait for it.
    from retrue.cases.learned_kinds import kinds_taught

    return kinds_taught(shop, kinds)


def lot_of(listing: Listing, number: str) -> ListedLot:
    """One lot of a catalogue by its number; Unknown, with the nearest, where there is none."""
    for one in listing.lots:
        if one.number == number:
            return one
    raise Unknown(
        say("the catalogue has no lot {number}", number=number),
        remedy=_nearest_number(number, listing)
        or say("Its numbers stand in the list of its lots."),
    )


def _nearest_number(number: str, listing: Listing) -> str:
    """What it may have meant: 99 is no slip of the pen for 9, 12 b may be one for 12b."""
    if number.isdecimal():
        return ""
    return nearest(number, [one.number for one in listing.lots])


class Reading:
    """A catalogue and all that reading it follows from: what is the same is read once.

    Attributes
    ----------
    kinds : mapping of str to Kind
        With what closed machines have taught.
    language : str
        It is read in.
    key : str
        The hash of all of it, of the language too.
    """

    def __init__(
        self, shop: RecordShop, fact: Catalogue, about: About, kinds: Mapping[str, Kind]
    ) -> None:
        """Take it as it stands."""
        self.shop, self.fact, self.about, self.kinds = shop, fact, about, kinds
        self.language = reader()
        hashes = sorted((id, kind.hash) for id, kind in kinds.items())
        whole = [fact.content_sha256, fact.file_name, fact.name, about, hashes, self.language]
        told = msgspec.json.encode(whole, enc_hook=english, order="sorted")
        self.key = hashlib.sha256(told).hexdigest()

    @property
    def listing(self) -> Listing:
        """Every line of it."""
        return _listing(self)

    def __hash__(self) -> int:
        """By its key."""
        return hash(self.key)

    def __eq__(self, other: object) -> bool:
        """By its key."""
        return isinstance(other, Reading) and self.key == other.key


@lru_cache(maxsize=6)  # of some hundred lots each, in two languages
def _listing(reading: Reading) -> Listing:
    with speaking(reading.language):
        content = catalogue_content(reading.shop, reading.fact)
        return _read(content, reading.fact, reading.about, reading.kinds)


def _read(content: bytes, fact: Catalogue, about: About, kinds: Mapping[str, Kind]) -> Listing:
    return replace(read_catalogue(content, fact.file_name, kinds, about), name=fact.name)


def _content_id(sha256: str) -> str:
    return same_id(CatalogueContent.KIND, sha256)


def _added(
    shop: RecordShop, content: bytes, fact: Catalogue, id: str, hand: Hand
) -> Record[Catalogue]:
    """The catalogue with its file, both or none; a file that is there already stays."""
    held = _content_id(fact.content_sha256)
    wanted = [ToAdd(fact=fact, id=id)]
    try:
        shop.get(CatalogueContent, held)
    except Unknown:
        text = CatalogueContent(content_sha256=fact.content_sha256, content=packed(content))
        wanted.insert(0, ToAdd(fact=text, id=held))
    kept: list[Record[Any]] = shop.add_all(
        wanted, by=hand["by"], device=hand.get("device", ""), observed_at=hand.get("observed_at")
    )
    return kept[-1]


def _busy() -> Overtaken:
    return Overtaken(
        say("others keep this catalogue at the same moment"), remedy=say("Send it once more.")
    )


def _kept_before(kept: Record[Catalogue], fact: Catalogue) -> Record[Catalogue]:
    """The one that is kept, where nothing else was said of the sale."""
    plain = {one.name: one.default for one in fields(fact)}
    other = [
        name
        for name, default in plain.items()
        if name not in NOT_TERMS and getattr(fact, name) not in (default, getattr(kept.fact, name))
    ]
    if not other:
        return kept
    raise Overtaken(
        say("this catalogue is kept already as {name}, by {who}", name=kept.fact.name, who=kept.by),
        remedy=say("Open it, and correct its columns or its terms there."),
        problems=tuple(Problem(name, say("is said otherwise there")) for name in other),
    )


def _refuse_name(shop: RecordShop, name: str) -> None:
    if any(one.fact.name == name for one in shop.current(Catalogue)):
        raise Unusable(
            say("a catalogue named {name} is kept already", name=name),
            remedy=say("Give it another name."),
            problems=(Problem("name", say("is taken"), say("Give it another name.")),),
        )


def _refuse_no_table(
    shop: RecordShop, content: bytes, fact: Catalogue, kinds: Mapping[str, Kind]
) -> None:
    """Refuse what is no table at all; what only asks for a word of the owner is kept."""
    try:
        _read(content, fact, about_of(shop, fact), kinds)
    except Unreadable:
        raise
    except Refusal:
        return
