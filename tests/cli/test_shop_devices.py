"""Who may in, at the keyboard: listed, turned away, told to programs."""

from __future__ import annotations

import json

import pytest

from retrue.phases import devices


@pytest.fixture
def two(shop) -> None:
    for device, name, role in (
        ("phone-1", "An’s phone", "owner"),
        ("phone-2", "a phone", "helper"),
    ):
        invited = devices.Invited(person="An", role=role)
        devices.join(shop, invited, name=name, by="owner", device=device)


def test_before_any_has_joined_it_says_how_one_does(call):
    door = call("shop", "devices")
    assert door.code == 0
    assert "retrue open --lan" in door.out
    assert json.loads(call("shop", "devices", "--json").out) == {
        "devices": [],
        "schema": "shop.devices.1",
    }


def test_each_is_listed_with_its_person_and_role(call, two):
    door = call("shop", "devices")
    assert "phone-1 An’s phone, An: owner, joined 2026-11-25" in " ".join(door.out.split())
    assert "phone-2 a phone, An: helper" in " ".join(door.out.split())


@pytest.mark.parametrize("called", ["phone-1", "an’s PHONE"])
def test_one_is_turned_away_by_what_it_is_called(call, shop, two, called):
    door = call("shop", "revoke", called, "--why", "lost")
    assert door.code == 0, door.err
    assert "turned away" in door.out
    assert list(devices.joined(shop)) == ["phone-2"]
    told = json.loads(call("shop", "devices", "--json").out)["devices"]
    assert [(one["device"], "gone_by" in one) for one in told] == [
        ("phone-2", False), ("phone-1", True),
    ]  # fmt: skip


def test_one_that_is_not_there_is_refused_with_those_that_are(call, two):
    call("shop", "revoke", "phone-1")
    for name in ("phone-1", "phone-3"):
        door = call("shop", "revoke", name)
        assert door.code == 2
        assert "phone-2 (a phone)" in door.err


def test_two_of_one_name_are_told_apart(call, shop, two):
    devices.rename(shop, "phone-2", "An’s phone", by="owner")
    door = call("shop", "revoke", "An’s phone")
    assert door.code == 2
    assert "more than one" in door.err
    assert len(devices.joined(shop)) == 2
