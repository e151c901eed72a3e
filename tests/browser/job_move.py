"""The mill is lifted, brought, looked at, put at rest: numbers first, then what was seen."""

from __future__ import annotations

import re
from pathlib import Path

from playwright.sync_api import expect
from tests.browser.job_house import Owner

PHOTOGRAPHS = Path(__file__).parents[2] / "examples" / "photographs"
PARAMETERS = {"name": "parameters.txt", "mimeType": "text/plain", "buffer": b"N1 P2 N2 P4000"}


def numbers(owner: Owner) -> None:
    """The machine's page asks for the lift; two legs at 60 degrees share the mass by geometry."""
    owner.follows(owner.mill, "/move/lift$")
    form = owner.form("/move/lift")
    owner.key("mass_from", "weighed", form)
    owner.key("centre", "drawing", form)
    owner.types(form, mass_kg="4350 kg", angle_deg="60", leg_rated_kg="4000 kg",
                hook_rated_kg="6300 kg")  # fmt: skip
    owner.sends(form)
    owner.reads("2\u202f511 kg in each leg", at="#answer")  # 4350 / (2 sin 60), from memory
    owner.opens(owner.mill + "/move")
    owner.turn(owner.link("/move/supply"))
    form = owner.form("/move/supply")
    owner.key("earth", "tt", form)
    owner.types(form, plate_volts="200", plate_phases="3", plate_hz="50", plate_kva="22",
                supply_volts="400", supply_phases="3", supply_hz="50", supply_kva="40",
                largest_motor_kw="7.5", volts_12="401", volts_23="404", volts_31="399",
                drive_most_volts="230")  # fmt: skip
    owner.sends(form)
    owner.reads(re.compile("transformer", re.IGNORECASE), at="#answer")
    owner.opens(owner.mill + "/move")
    owner.paper("/move/sheet.pdf")


def data_copy(owner: Owner) -> None:
    """The parameters are copied before the plug is pulled, and read back."""
    owner.turn(owner.link("/move/data"))
    part = owner.page.locator("#parameters")
    part.locator("input[name=file]").set_input_files([PARAMETERS])
    owner.turn(part.locator("form:has(input[name=file]) button").first)
    owner.reads("kept, not read back yet", at="#parameters")
    part.locator("input[name=again]").set_input_files([PARAMETERS])
    owner.turn(part.locator("form:has(input[name=again]) button").first)
    owner.reads("read back, the same", at="#parameters")


def arrival(owner: Owner) -> None:
    """Both come on one truck; the mill with a bent door, the lathe whole."""
    owner.later(days=8)
    for machine in (owner.lathe, owner.mill):
        owner.opens(machine + "/arrival")
        form = owner.form("/arrival")
        owner.key("damage", "visible" if machine == owner.mill else "none", form)
        if machine == owner.mill:
            owner.types(form, text="Door bent, window cracked.", carrier="the haulier")
        owner.sends(form)
    expect(owner.page.locator("#message")).to_have_value(re.compile("Door bent"))
    owner.paper("/arrival/damage.pdf")
    owner.follows(owner.mill, "/arrival#note$")
    form = owner.form("/arrival")
    owner.types(form, written_on=owner.today.isoformat())
    owner.sends(form)
    owner.opens(owner.mill)
    expect(owner.page.locator("#next a.button")).not_to_have_attribute(
        "href", re.compile("/arrival#note$")
    )
    owner.opens(owner.mill + "/arrival")
    side = owner.page.locator('#front form:has(input[name=spot][value="floor"])')
    side.locator("input[type=file]").set_input_files(str(PHOTOGRAPHS / "a-01-front-W_outside.jpg"))
    owner.turn(side.locator("button").first)
    owner.reads("floor 1", at="#front")


def at_rest(owner: Owner) -> None:
    """It rests until there is time; a round is walked."""
    owner.opens(owner.mill + "/rest")
    form = owner.form("/rest")
    owner.types(form, where="the cold half of the shop", every_days="30")
    owner.sends(form)
    form = owner.form("/rest/rounds")
    owner.key("done", "looked", form)
    owner.types(form, air_c="9", humidity_percent="68", machine_c="8")
    owner.sends(form)
    owner.reads(owner.today.isoformat())
