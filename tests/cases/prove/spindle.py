"""How the tests of the spindle and the axes run a test of measuring."""

from __future__ import annotations

from pathlib import Path
from typing import Any

from retrue.cases.prove.deed import deed, options_of, table_from
from retrue.cases.prove.proof import Conditions, Limit, Proof
from retrue.cases.prove.table import read_table

EXAMPLES = Path(__file__).resolve().parents[3] / "examples" / "prove"


def proof_of(
    test: str, content: str, typed: dict[str, Any] | None = None, **conditions: Any
) -> Proof:
    one = deed(test)
    if "limit" in conditions:
        conditions["limit"] = Limit(value=conditions["limit"])
    table = read_table(content.encode(), "readings.csv")
    return one.prove(table, options_of(one, typed or {}), Conditions(**conditions))


def example(test: str, typed: dict[str, Any] | None = None, **conditions: Any) -> Proof:
    return proof_of(test, (EXAMPLES / deed(test).example).read_text(), typed, **conditions)


def filled(test: str, typed: dict[str, Any], values: dict[str, str], **conditions: Any) -> Proof:
    one = deed(test)
    options = options_of(one, typed)
    table = table_from(one, one.cells(options), values)
    return one.prove(table, options, Conditions(**conditions))


def cells_of(test: str, typed: dict[str, Any]) -> list[str]:
    one = deed(test)
    return [cell.id for cell in one.cells(options_of(one, typed))]


def value(proof: Proof, key: str) -> Any:
    return next(one.value for one in proof.quantities if one.key == key)


def doubt(proof: Proof, key: str) -> Any:
    return next(one.uncertainty for one in proof.quantities if one.key == key)
