"""Who may in: what is kept of a device, who turned it away, what stays kept in the shop on disk."""

from __future__ import annotations

from datetime import date

import pytest

from retrue.base.refusals import Unknown, Unusable
from retrue.phases import devices
from retrue.phases.devices import Invited

TODAY = date(2026, 11, 25)


def test_it_is_seen_who_invited_and_who_turned_away(shop):
    invited = devices.invite(shop, role="helper", person=" An ", on=TODAY)
    devices.join(shop, invited, name="An’s phone", by="owner", device="phone-1")
    devices.rename(shop, "phone-1", "the red phone", by="owner", device="laptop")
    devices.revoke(shop, "the red phone", "lost", by="Bo", device="phone-2")
    [one] = devices.devices(shop)
    assert (one.fact.name, one.fact.person, one.fact.role) == ("the red phone", "An", "helper")
    assert (one.invited_by, one.gone_by) == ("owner", "Bo")
    assert one.gone_at is not None
    assert one.joined_at < one.gone_at
    assert devices.joined(shop) == {}


def test_turned_away_once_is_turned_away(shop):
    devices.join(shop, Invited(), by="owner", device="phone-1")
    devices.revoke(shop, "phone-1", by="owner")
    with pytest.raises(Unknown):
        devices.revoke(shop, "phone-1", by="owner")
    with pytest.raises(Unknown):
        devices.rename(shop, "phone-1", "x", by="owner")


def test_those_that_may_in_stand_first_and_in_their_order(shop):
    for number in (1, 2, 3):
        devices.join(shop, Invited(), by="owner", device=f"phone-{number}")
    devices.revoke(shop, "phone-1", by="owner")
    devices.rename(shop, "phone-2", "renamed", by="owner")
    told = [one.fact.device for one in devices.devices(shop)]
    assert told == ["phone-2", "phone-3", "phone-1"]


def test_everything_that_is_wrong_with_an_invitation_is_named(shop):
    with pytest.raises(Unusable) as refused:
        devices.invite(shop, role="buyer", given="none", until_on="2026-11-24", on=TODAY)
    assert [one.where for one in refused.value.problems] == ["person", "given", "until_on"]
