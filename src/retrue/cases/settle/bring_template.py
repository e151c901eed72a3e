"""An empty bank file or parts list, to fill in and read."""

from __future__ import annotations

from collections.abc import Mapping

from retrue.cases.settle.bring_columns import FileKind

COLUMNS: Mapping[FileKind, tuple[str, ...]] = {
    "bank": ("date", "amount", "currency", "counterparty", "description", "reference"),
    "parts": (
        "date", "what", "quantity", "unit price", "total", "currency", "tax", "machine", "supplier",
        "reference",
    ),
}  # fmt: skip
"""Headings that :func:`retrue.cases.settle.bring_columns.read_columns` knows by themselves."""


def template_rows(kind: FileKind) -> list[list[str]]:
    """The heading of an empty table.

    Parameters
    ----------
    kind : str
        bank, or parts.

    Returns
    -------
    list of list of str

    Examples
    --------
    >>> template_rows("bank")[0][:2]
    ['date', 'amount']
    """
    return [list(COLUMNS[kind])]
