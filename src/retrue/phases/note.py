"""The five-second note: one photograph, one sentence, or both; alarm and setting are its lines."""

from __future__ import annotations

from typing import Unpack

from retrue.base.refusals import Unknown, Unusable
from retrue.base.say import say
from retrue.records.facts import File, Lot, Note
from retrue.records.hand import Hand
from retrue.records.proving import Prove
from retrue.records.shop import Record, RecordShop


def note(
    shop: RecordShop,
    text: str = "",
    *,
    file: str | None = None,
    lot: str | None = None,
    machine: str | None = None,
    **hand: Unpack[Hand],
) -> Record[Note]:
    """Keep one sentence, one kept file, or both; tied to nothing unless lot or machine is given.

    Raises
    ------
    Unusable
        Neither a word nor a file.
    """
    if not text.strip() and file is None:
        raise Unusable(
            say("the note is empty"), remedy=say("Write one sentence or take one photograph.")
        )
    return shop.add(Note(text=text.strip(), file=file, lot=lot, machine=machine), **hand)


def alarm(
    shop: RecordShop,
    text: str,
    *,
    doing: str = "",
    lot: str | None = None,
    machine: str | None = None,
    file: str | None = None,
    **hand: Unpack[Hand],
) -> Record[Note]:
    """Keep an alarm: its text as shown, and what I was doing when it came."""
    if not text.strip():
        raise Unusable(say("the alarm has no text"), remedy=say("Copy its number or its words."))
    fact = Note(alarm=text.strip(), doing=doing.strip(), lot=lot, machine=machine, file=file)
    return shop.add(fact, **hand)


def changed_setting(
    shop: RecordShop,
    setting: str,
    *,
    old: str,
    new: str,
    why: str = "",
    put_back: bool | None = None,
    lot: str | None = None,
    machine: str | None = None,
    file: str | None = None,
    **hand: Unpack[Hand],
) -> Record[Note]:
    """Keep that a setting was changed: its name, old, new, why, and whether it was put back."""
    if not setting.strip() or not (old.strip() or new.strip()):
        raise Unusable(
            say("a changed setting needs its name and at least one value"),
            remedy=say("Write its name, what it was, what it is now."),
        )
    fact = Note(
        setting=setting.strip(),
        old=old.strip(),
        new=new.strip(),
        why=why.strip(),
        put_back=put_back,
        lot=lot,
        machine=machine,
        file=file,
    )
    return shop.add(fact, **hand)


def keep_file(
    shop: RecordShop,
    content: bytes,
    name: str,
    prove: Prove,
    *,
    lot: str | None = None,
    machine: str | None = None,
    place: str | None = None,
    caption: str = "",
    page: int | None = None,
    whole: bool = True,
    **hand: Unpack[Hand],
) -> Record[File]:
    """Keep any file by its hash: photograph, film, sound, PDF, parameter text. Never run it.

    Parameters
    ----------
    shop : RecordShop
        Where it is kept.
    content : bytes
        As it came.
    name : str
        As the device calls it.
    prove : callable
        ``retrue.store.proof``: says what the bytes are.
    lot, machine, place : str or None
        Where it belongs, if known.
    caption, page
        What it is of; which page.
    whole : bool
        False: scaled before it was sent.

    Returns
    -------
    Record of File
    """
    proved = prove(content, name)
    return shop.add(
        File(
            sha256=shop.keep_file(content),
            name=name,
            media_type=proved.media_type,
            size_bytes=len(content),
            lot=lot,
            machine=machine,
            place=place,
            caption=caption,
            page=page,
            taken=proved.taken,
            whole=whole,
        ),
        **hand,
    )


def lots(shop: RecordShop) -> list[Record[Lot]]:
    """Lots that a note may be of, oldest first."""
    return shop.current(Lot)


def notes(shop: RecordShop) -> list[Record[Note]]:
    """All notes, oldest first."""
    return shop.current(Note)


def kept_file(shop: RecordShop, file: str) -> Record[File]:
    """The newest word on a kept file, by the id of any record of its line."""
    newest = shop.history(file)[-1]
    if not isinstance(newest.fact, File):
        raise Unknown(
            say("there is no file {file}", file=file),
            remedy=say("Open the page again and choose one of those shown."),
        )
    return newest


def content_of(shop: RecordShop, file: str) -> bytes:
    """The bytes of a kept file, as they came."""
    return shop.file(kept_file(shop, file).fact.sha256)
