"""First power of the mill: two stages on paper by the page, a watch, then tests and light.

What a stage wants closed (a dozen looks, three jobs), its other readings and the stages after the
supply are kept by `tests.powering`: their pages are the same forms again, walked in tests of their
own.
"""

from __future__ import annotations

from playwright.sync_api import expect
from tests import powering
from tests.browser.job_house import Owner

DOES, SWITCH, ELECTRICIAN, LICENCE = "An Peeters", "Bea Maes", "Cis De Wit", "EL-0417"
# Name of the band, where, how much: as the electrician hands them back.
SUPPLY = (
    ("line_volts", "L1 to L2", "402"),
    ("line_volts", "L2 to L3", "399"),
    ("line_volts", "L3 to L1", "401"),
    ("rotation", "L1, L2, L3 clockwise, with a field meter", "1"),
)


def dead_stage(owner: Owner) -> None:
    """P0, from the page of first power: cautions ticked, begun, one reading typed, signed."""
    lot, key = owner.mill.split("/")[2::2]
    shop, kinds = owner.house.shop, owner.kinds
    stage = kinds["vertical_machining_centre"].stages["P0-V"]
    powering.stamp(shop, lot, key, kinds)
    powering.close(shop, lot, key, kinds, stage)
    owner.opens(owner.mill + "/wake")
    owner.turn(owner.page.locator("#next a.button").first)
    begins(owner, DOES)
    reads_off(owner, "bus_rest_volts", "spindle drive", "3", DOES)
    powering.read_all(shop, lot, key, kinds, stage.id, but=("bus_rest_volts",))
    signs(owner, stage.id, DOES)


def supply(owner: Owner) -> None:
    """P1: the electrician, his licence, a name at the main switch; what he reads of the mains."""
    lot, key = owner.mill.split("/")[2::2]
    stage = owner.kinds["vertical_machining_centre"].stages["P1-V"]
    powering.close(owner.house.shop, lot, key, owner.kinds, stage)
    owner.opens(f"{owner.mill}/wake/stages/{stage.id}")
    begins(owner, ELECTRICIAN, LICENCE)
    owner.reads(SWITCH)
    for name, point, reading in SUPPLY:
        reads_off(owner, name, point, reading, ELECTRICIAN)
    read = tuple(name for name, _, _ in SUPPLY)
    powering.read_all(owner.house.shop, lot, key, owner.kinds, stage.id, but=read)
    signs(owner, stage.id, ELECTRICIAN, LICENCE)
    owner.opens(f"{owner.mill}/wake/stages/{stage.id}")
    owner.paper("/sheet.pdf")


def begins(owner: Owner, who: str, licence: str = "") -> None:
    """Each caution has a tick of its own; then the names."""
    for tick in owner.page.locator("#main input[name=cautions]").all():
        tick.check()
    form = owner.page.locator("#begin")
    owner.types(form, by_name=who, at_switch=SWITCH, **({"licence": licence} if licence else {}))
    owner.sends(form, "button >> nth=-1")


def reads_off(owner: Owner, name: str, point: str, reading: str, who: str) -> None:
    """One reading beside its band."""
    form = owner.page.locator("#read")
    owner.key("name", name, form)
    owner.types(form, reading=reading, point=point, taken_by=who)
    owner.sends(form)


def signs(owner: Owner, stage: str, who: str, licence: str = "") -> None:
    """Everything is read: the stage is signed."""
    owner.opens(f"{owner.mill}/wake/stages/{stage}")
    form = owner.page.locator("#sign")
    owner.types(form, name=who, **({"licence": licence} if licence else {}))
    owner.sends(form)
    owner.reads("signed")


def watched(owner: Owner) -> None:
    """A spindle is watched with paper and a kitchen timer; readings are typed by telephone."""
    owner.opens(owner.mill + "/wake/watch")
    form = owner.page.locator("#start")
    owner.types(form, what="spindle nose", room_c="20.4", expected_a="3")
    owner.turn(form.locator('button[value="paper"]'))
    owner.follows(owner.mill, "/wake/watch/[^/]+$")
    watch = owner.page.url.removeprefix(owner.house.address)
    owner.opens(watch + "/readings")
    for nose in ("21.5", "21.8", "22.1"):
        form = owner.page.locator('#main form:has([name="nose"])')
        owner.types(form, nose=nose, amps="3.1")
        form.locator("button").last.click()
        expect(owner.page.locator("#rows")).to_contain_text(nose)
        expect(form.locator('[name="nose"]')).to_have_value("")  # ready for the next one
    owner.opens(watch)
    form = owner.page.locator("#end")
    owner.key("how", "levelled", form)
    owner.types(form, name=DOES)
    owner.sends(form)
    owner.reads("ended")
