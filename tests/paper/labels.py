"""Invented labels of a machine that was taken apart."""

from __future__ import annotations

from retrue.paper.codes import code_of
from retrue.paper.label_sheet import LabelRow, LabelSheet

SORTS = ("wire", "hose", "connector", "bag", "part")


def label(number: int, **more: str) -> LabelRow:
    told = {
        "code": code_of("ghent", str(number)),
        "sort": SORTS[number % len(SORTS)],
        "what": f"what {number} is",
        "from_end": f"K3:{number}",
        "to_end": f"X12.{number}",
        "place": "control cabinet",
        "step": f"step {number}",
    }
    return LabelRow(**(told | more))


def labels(count: int, **more: str) -> LabelSheet:
    rows = tuple(label(number, **more) for number in range(count))
    return LabelSheet(
        machine="bed-type vertical machining centre", lot="Ghent school lot", rows=rows,
        by="Ann", version="0.1.0",
    )  # fmt: skip
