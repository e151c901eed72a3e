"""Receipts: a photograph or a PDF of the paper, kept by its hash."""

from __future__ import annotations

from collections.abc import Iterator
from typing import Unpack

from retrue.base.refusals import Problem, Unreadable
from retrue.base.say import say
from retrue.records.facts import File
from retrue.records.hand import Hand
from retrue.records.proving import Prove
from retrue.records.shop import Record, RecordShop

RECEIPT = "receipt"  # the place of such a file: it is no seller's picture
TYPES = ("image/", "application/pdf")


def keep_receipt(
    shop: RecordShop,
    content: bytes,
    name: str,
    prove: Prove,
    *,
    whole: bool = True,
    **hand: Unpack[Hand],
) -> Record[File]:
    """Keep the photograph or the PDF of a paper; sent twice, it is kept once.

    Parameters
    ----------
    shop : RecordShop
        Where it is kept.
    content : bytes
        As it came.
    name : str
        As the device calls it.
    prove : callable
        Says what the bytes are.
    whole : bool
        False: scaled before it was sent.
    **hand : Hand
        Who writes.

    Returns
    -------
    Record of File
        Its ``sha256`` is what a line in the book names.

    Raises
    ------
    Unreadable
        It is neither a picture nor a PDF.
    """
    proved = prove(content, name)
    if not proved.media_type.startswith(TYPES):
        raise Unreadable(
            say("{name} is {what}, neither a photograph nor a PDF",
                name=name, what=proved.media_type),
            remedy=say("Photograph the paper, or send it as a PDF."),
        )  # fmt: skip
    fact = File(
        sha256=shop.keep_file(content), name=name, media_type=proved.media_type,
        size_bytes=len(content), place=RECEIPT, taken=proved.taken, whole=whole,
    )  # fmt: skip
    same = receipt_file(shop, fact.sha256)
    return same if same is not None else shop.add(fact, **hand)


def receipt_file(shop: RecordShop, sha256: str | None) -> Record[File] | None:
    """The record of a kept receipt.

    Parameters
    ----------
    shop : RecordShop
        Where it is kept; it is only read.
    sha256 : str or None
        Hash of its content.

    Returns
    -------
    Record of File or None
        None where there is none.
    """
    if sha256 is None:
        return None
    kept = shop.current(File, sha256=sha256)
    return kept[-1] if kept else None


def receipt_problems(shop: RecordShop, sha256: str | None) -> Iterator[Problem]:
    """What keeps a file from being the receipt of a line.

    Parameters
    ----------
    shop : RecordShop
        Where it is kept; it is only read.
    sha256 : str or None
        Hash of its content; None: the line has none.

    Yields
    ------
    Problem
        It is not kept, or its content is neither a picture nor a PDF.
    """
    kept = receipt_file(shop, sha256)
    if kept is None and sha256 is not None:
        yield Problem("receipt", say("is not kept"), say("Keep the photograph first."))
    if kept is not None and not kept.fact.media_type.startswith(TYPES):
        yield Problem(
            "receipt",
            say("is neither a photograph nor a PDF"),
            say("Photograph the paper, or send it as a PDF."),
        )
