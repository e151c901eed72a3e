"""The mill of the priced lot, drawn and held against the other ways once a module."""

from __future__ import annotations

import pytest
from tests.cases.priced import kinds, lot
from tests.cases.settle.compared import PAID, WORLDS, told

from retrue.cases.settle.hour_rate_whole import Whole, whole_of
from retrue.cases.settle.versus_lines import VersusView


@pytest.fixture(scope="module")
def whole() -> Whole:
    return whole_of(lot(), "mill", kinds(), spent=PAID, worlds=WORLDS)


@pytest.fixture(scope="module")
def view(whole: Whole) -> VersusView:
    return told(whole)
