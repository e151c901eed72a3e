"""The code on offer: one use, five minutes, and wrong tries count against their sender alone."""

from __future__ import annotations

from datetime import UTC, datetime, timedelta

import pytest

from retrue.base.refusals import NotAllowed
from retrue.web.pairing import LIFE, MOST_ADDRESSES, TRIES, Pairing

NOW = datetime(2026, 11, 26, 20, 0, tzinfo=UTC)


def test_a_code_is_good_once_within_five_minutes() -> None:
    pairing = Pairing()
    code = pairing.offer(NOW)
    pairing.redeem(code, NOW + LIFE - timedelta(seconds=1), "a")
    with pytest.raises(NotAllowed):
        pairing.redeem(code, NOW, "a")
    late = pairing.offer(NOW)
    with pytest.raises(NotAllowed):
        pairing.redeem(late, NOW + LIFE, "a")


def test_who_guesses_is_heard_no_more_and_takes_the_code_from_nobody() -> None:
    pairing = Pairing()
    code = pairing.offer(NOW)
    for _ in range(TRIES):
        with pytest.raises(NotAllowed):
            pairing.redeem("wrong", NOW, "192.168.1.66")
    with pytest.raises(NotAllowed):
        pairing.redeem(code, NOW, "192.168.1.66")
    pairing.redeem(code, NOW, "192.168.1.67")


def test_the_table_of_who_tried_does_not_grow() -> None:
    pairing = Pairing()
    pairing.offer(NOW)
    for n in range(2 * MOST_ADDRESSES):
        with pytest.raises(NotAllowed):
            pairing.redeem("wrong", NOW, f"10.0.{n // 256}.{n % 256}")
    assert len(pairing.tries) <= MOST_ADDRESSES
