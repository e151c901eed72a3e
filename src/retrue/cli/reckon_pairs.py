"""Fields of a calculator written as FIELD=VALUE; a file is kept first and named by its hash."""

from __future__ import annotations

from retrue.base.refusals import Unusable
from retrue.base.say import say
from retrue.cases.reckon.method import Method
from retrue.cli.options import content_of
from retrue.records.shop import RecordShop
from retrue.store.spreadsheet import as_csv


def typed_pairs(shop: RecordShop, one: Method, pairs: tuple[str, ...]) -> dict[str, str]:
    """Fields by their ids.

    Parameters
    ----------
    shop : RecordShop
        Where files are kept.
    one : Method
    pairs : tuple of str
        ``mass_kg=4200 kg``; ``mass-kg=4200`` is the same.

    Returns
    -------
    dict

    Raises
    ------
    Unusable
        A pair has no ``=``, or the calculator has no such field.
    """
    known = {field.id: field for field in one.fields}
    typed: dict[str, str] = {}
    for pair in pairs:
        name, mark, value = pair.partition("=")
        id = name.strip().removeprefix("--").replace("-", "_")
        if not mark or id not in known:
            raise Unusable(
                say("{pair} is no field of {title}", pair=pair, title=one.title),
                remedy=say("Write FIELD=VALUE with one of: {named}.", named=", ".join(known)),
            )
        if known[id].sort == "file":
            value = shop.keep_file(as_csv(content_of(value.strip()), value.strip()))
        typed[id] = value.strip()
    return typed
