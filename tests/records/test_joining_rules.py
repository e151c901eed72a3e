"""A device that joins: a buyer reads one record until a day, nobody else has either."""

from __future__ import annotations

import pytest

from retrue.records.checking import problems_of
from retrue.records.joining import DeviceJoined

PLAIN = {"device": "phone-1", "name": "An’s phone", "person": "An"}
LENT = {"role": "buyer", "given": "r1", "until_on": "2026-12-01"}


@pytest.mark.parametrize("more", [{}, {"role": "helper"}, LENT])
def test_what_goes_together_is_kept(more):
    assert list(problems_of(DeviceJoined(**PLAIN | more))) == []


@pytest.mark.parametrize(
    ("more", "where"),
    [
        ({"device": "phone 1"}, ["device"]),
        ({"device": "../laptop"}, ["device"]),
        ({"device": ""}, ["device"]),
        ({"name": " "}, ["name"]),
        ({"name": "W" * 81}, ["name"]),
        ({"person": "W" * 81}, ["person"]),
        ({"role": "boss"}, ["role"]),
        ({"role": "buyer"}, ["given", "until_on"]),
        (LENT | {"until_on": "tomorrow"}, ["until_on"]),
        ({"role": "helper", "given": "r1"}, ["given"]),
        ({"role": "owner", "until_on": "2026-12-01"}, ["until_on"]),
    ],
)
def test_what_does_not_is_refused_by_field(more, where):
    told = [one.where for one in problems_of(DeviceJoined(**PLAIN | more))]
    assert list(dict.fromkeys(told)) == where
