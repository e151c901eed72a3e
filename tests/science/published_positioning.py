"""Two published sets of 50 positioning readings, read from the example files."""

from __future__ import annotations

import csv
from pathlib import Path

import numpy as np

EXAMPLES = Path(__file__).resolve().parents[2] / "examples" / "prove"


def table(name: str) -> tuple[np.ndarray, np.ndarray, np.ndarray]:
    """Targets, forward and backward readings of an example file, by plain loops."""
    lines = (EXAMPLES / name).read_text(encoding="utf-8").splitlines()
    rows = list(csv.DictReader(line for line in lines if not line.startswith("#")))
    targets = sorted({float(row["target_mm"]) for row in rows})
    runs = sorted({int(row["run"]) for row in rows})
    read = {
        (row["approach"], float(row["target_mm"]), int(row["run"])): float(row["deviation_um"])
        for row in rows
    }
    ways = [
        np.array([[read[way, target, run] for run in runs] for target in targets])
        for way in ("forward", "backward")
    ]
    return np.array(targets), ways[0], ways[1]
