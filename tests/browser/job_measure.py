"""The mill is levelled and its X axis measured: a verdict, a remedy reckoned again; sound."""

from __future__ import annotations

import re

from playwright.sync_api import expect
from tests.browser.job_house import Owner
from tests.browser.test_prove import READS, cells, small
from tests.powering import signed_up_to

INSTRUMENTS = (("Level", "level", "µm/m", "4"), ("Indicator", "indicator", "µm", "1"))
BANDS = ((125, 0), (250, 1), (500, 2), (1000, 3), (2000, 4))
LEVELS = {"before": 80, "after": 70}  # at the same place, with the same gain


def instruments(owner: Owner) -> None:
    """What is measured with, and how far one reading of it may be off."""
    for name, sort, unit, uncertainty in INSTRUMENTS:
        owner.opens("/instruments")
        form = owner.form("/instruments")
        owner.types(form, name=name, sort=sort, uncertainty=uncertainty)
        owner.key("unit", unit, form)
        owner.sends(form)
        owner.reads(name)


def level(owner: Owner) -> None:
    """First power is signed to its end; the page of measuring leads to the level, which is set."""
    lot, key = owner.mill.split("/")[2::2]
    signed_up_to(owner.house.shop, lot, key, owner.kinds, "P10")
    owner.opens(owner.mill + "/measure")
    owner.turn(owner.link("/measure/level/new"))
    measured(owner, "level")
    expect(owner.page.locator("#answer")).to_be_visible()
    owner.paper("/sheet.pdf")


def positioning(owner: Owner) -> None:
    """Fifty numbers: a screw too long, lost motion; what to enter, and what is read then."""
    owner.later(minutes=40)
    owner.opens(f"{owner.mill}/measure/positioning/new")
    measured(owner, "positioning")
    owner.reads(re.compile("You should then read"))
    owner.paper("/sheet.pdf")
    entered = owner.page.locator('form[action$="/entered"] button').first
    owner.turn(entered)
    owner.reads("kept as a changed setting")


def measured(owner: Owner, test: str) -> None:
    """One set from its set-up to its verdict, all numbers on one page."""
    page = owner.page
    instrument = page.locator("#main label:has(input[name=instrument]:not([value='']))")
    if instrument.count():
        owner.tap(instrument.first)
    owner.turn(page.locator('#main form[action$="/new"] button:not(.quiet):visible').last)
    set = page.url.removeprefix(owner.house.address)
    owner.opens(set + "/all")
    for cell, (place, asked) in cells(test).items():
        value = READS.get(test, small)(asked, place)
        page.locator(f'[name="cell-{cell}"]').fill(f"{value:g}")
    owner.turn(page.locator('#main form[action$="/all"] button').last)
    if not page.url.endswith("/result"):
        owner.opens(set)
        owner.turn(page.locator('#main form[action$="/judge"] button').first)


def limits(owner: Owner) -> None:
    """What is good enough stands on a page of its own."""
    owner.opens(owner.mill + "/measure/limits")
    owner.reads("µm")


def sound(owner: Owner) -> None:
    """Ten decibels less at the same place, after the same words."""
    for when, level in LEVELS.items():
        owner.later(minutes=30)
        owner.opens(owner.mill + "/prove/quiet?sort=sound")
        rows = "".join(f"{hz},{level - less}\n" for hz, less in BANDS)
        table = ("frequency_hz,level_db\n" + rows).encode()
        form = owner.form("/prove/quiet")
        form.locator("input[type=file]").first.set_input_files(
            [{"name": "bands.csv", "mimeType": "text/csv", "buffer": table}]
        )
        owner.key("when", when, form)
        owner.types(form, state="idling", speed_rpm="3000")
        owner.sends(form)
    owner.reads("\u221210.0 dB")
    owner.paper("/prove/quiet.pdf")
