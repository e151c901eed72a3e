"""Whether a condition record is as it was made: a file or a PDF, with or without its shop."""

from __future__ import annotations

import json
from collections.abc import Callable, Mapping
from dataclasses import replace
from typing import Any

from retrue.base.refusals import Unreadable
from retrue.base.say import say
from retrue.cases.settle.condition_check import (
    NOT_TRUE,
    Checked,
    attached,
    check_file,
    pictures_of,
    refuse_size,
)
from retrue.cases.settle.condition_file import (
    differences,
)
from retrue.records.facts import Withdrawn
from retrue.records.settling import RecordGiven
from retrue.records.shop import Record, RecordShop

PAPERS = ("a4", "us-letter")
PDF = b"%PDF"
MOST_TOLD = 20  # differences that are named one by one
Reprint = Callable[[Mapping[str, Any], Mapping[str, bytes], str], bytes]


def check(
    content: bytes,
    *,
    shop: RecordShop | None = None,
    reprint: Reprint | None = None,
    edition: str = "",
) -> Checked:
    """Whether a condition record is as it was made.

    Parameters
    ----------
    content : bytes
        The .json file of a record, or its PDF.
    shop : RecordShop or None
        That may have given it; None: it is checked by itself alone.
    reprint : callable or None
        Prints a content on a size of paper; with it the pages of a PDF are checked. None: they
        are not, and the answer says so.
    edition : str
        Of what reprints. Pages that another edition made may look otherwise and be genuine: they
        are then not checked. Empty: that of the record.

    Returns
    -------
    Checked
        What was checked, what was not, and where it was changed.

    Raises
    ------
    Unreadable
        It is neither.
    """
    refuse_size(content)
    if content.startswith(PDF):
        checked = _check_pdf(content, reprint, edition)
    else:
        checked = check_file(content)
    return checked if shop is None or not checked.sha256 else _against(checked, content, shop)


def _check_pdf(pdf: bytes, reprint: Reprint | None, edition: str) -> Checked:
    inner = attached(pdf)
    if inner is None:
        raise Unreadable(
            say("this PDF carries no condition record"),
            remedy=say("Choose the PDF or the .json file of a record."),
        )
    if not inner:
        gone = say("the record inside the PDF: it cannot be read any more")
        return Checked(what="pdf", unchanged=False, where=(gone,), was_not=(NOT_TRUE,))
    checked = replace(check_file(inner), what="pdf")
    if not checked.unchanged:
        inside = tuple(say("inside the PDF, {where}", where=one) for one in checked.where)
        return replace(checked, where=inside)
    return _pages(checked, pdf, inner, reprint, edition)


def _pages(
    checked: Checked, pdf: bytes, inner: bytes, reprint: Reprint | None, edition: str
) -> Checked:
    """The printed pages against those that the record inside the PDF gives."""
    content, pictures = json.loads(inner)["content"], pictures_of(inner)
    papers = PAPERS if reprint is not None else ()
    if reprint is not None and any(reprint(content, pictures, one) == pdf for one in papers):
        same = say("Every printed page against the record inside the PDF.")
        return replace(checked, pages="same", was=(*checked.was, same))
    of = str(content.get("edition", ""))
    if reprint is not None and edition in ("", of):
        told = say("the printed pages: they are not those of the record inside the PDF")
        return replace(
            checked, pages="other", unchanged=False, where=(*checked.where, told)
        )  # fmt: skip
    return _pages_not_checked(checked, of, edition if reprint is not None else "")


def _pages_not_checked(checked: Checked, of: str, edition: str) -> Checked:
    """Nothing here prints as the edition that made it did: that is no change."""
    told = say("Whether the printed pages say the same as the record inside the PDF.")
    if edition:
        told = say("{told} Edition {of} made it, and this is {edition}.", told=told,
                   of=of or "?", edition=edition)  # fmt: skip
    return replace(checked, pages="not_checked", was_not=(told, *checked.was_not))


def _against(checked: Checked, content: bytes, shop: RecordShop) -> Checked:
    """The same, held against what the shop gave away."""
    every = shop.current(RecordGiven)
    mine = [one for one in every if one.fact.content_sha256 == checked.sha256]
    if mine:
        whom = mine[-1].fact.whom or say("whoever asked")
        told = say("It is the record that this shop gave to {whom} on {day}.", whom=whom,
                   day=mine[-1].fact.made_on)  # fmt: skip
        left = tuple(one for one in checked.was_not if one == NOT_TRUE or "page" in one)
        return replace(checked, was=(*checked.was, told), was_not=left)
    back = [one for one in _taken_back(shop) if one.fact.content_sha256 == checked.sha256]
    if back:
        told = say("It is a record that this shop made on {day}, and took back since.",
                   day=back[-1].fact.made_on)  # fmt: skip
        return replace(checked, was=(*checked.was, told))
    inner = attached(content) if content.startswith(PDF) else content
    return _nearest(checked, json.loads(inner or b"{}")["content"], every)


def _taken_back(shop: RecordShop) -> list[Record[RecordGiven]]:
    gone = shop.current(Withdrawn, of_kind=RecordGiven.KIND)
    return [shop.get(RecordGiven, one.replaces) for one in gone if one.replaces]


def _nearest(
    checked: Checked, content: Mapping[str, Any], every: list[Record[RecordGiven]]
) -> Checked:
    like = [json.loads(one.fact.content) for one in every]
    like = [one for one in like if _alike(one, content)]
    if not like:
        told = say("Whether this shop gave it: it has given none of this machine or day.")
        return replace(checked, was_not=(told, *checked.was_not))
    changes = min((list(differences(one, dict(content))) for one in like), key=len)
    where = [
        say("{path}: {new}; the record that was given says {old}", path=path, new=new or "-",
            old=old or "-")
        for path, old, new in changes[:MOST_TOLD]
    ]  # fmt: skip
    if len(changes) > MOST_TOLD:
        where.append(say("and {count} more", count=len(changes) - MOST_TOLD))
    return replace(checked, unchanged=False, where=(*checked.where, *where))


def _alike(one: Mapping[str, Any], other: Mapping[str, Any]) -> bool:
    """Whether two records may be the same one: of the same machine, or of the same kind and day."""
    if one.get("machine") == other.get("machine"):
        return True
    return all(one.get(key) == other.get(key) for key in ("kind", "made_on"))
