"""From an empty shop to a lot that is won: the listing, photographs, a call, a visit, the price."""

from __future__ import annotations

import re
from pathlib import Path

from playwright.sync_api import expect
from tests.browser.job_house import Owner

PHOTOGRAPHS = Path(__file__).parents[2] / "examples" / "photographs"
LISTING = ("a-01-front-W_outside", "a-02-cabinet-S03", "b-07-front-W_outside", "b-08-chuck-S09")
# What each photograph shows, of which machine, and what is seen on it (None: nothing bad).
SHOWS = (("W_outside", 0, None), ("W_cabinet", 0, 1), ("W_outside", 1, None),
         ("W_chuck_turret", 1, None))  # fmt: skip
WON_FOR, BID = "6200", "6000"
NOTED = "brass swarf behind the splash guard"


def first_run(owner: Owner) -> None:
    """One form on an empty shop: the lot, two machines, four photographs, whose shop it is."""
    owner.opens("/")
    form = owner.form("/first")
    owner.key("count-vertical_machining_centre", "1", form)
    owner.key("count-turning_centre", "1", form)
    owner.types(form, name="closing technical school", bid_now="5200",
                shop_name="two-person workshop, Ghent", hour_alternative="15")  # fmt: skip
    form.locator("input[name=pictures]").set_input_files(
        [str(PHOTOGRAPHS / f"{name}.jpg") for name in LISTING]
    )
    owner.sends(form)
    owner.lot = owner.page.url.removeprefix(owner.house.address)
    owner.reads("Do not bid", at="#amount")  # to a shop that wants nothing yet
    owner.opens("/")
    owner.mill = machine_named(owner, "vertical_machining_centre")
    owner.lathe = machine_named(owner, "turning_centre")
    owner.opens("/note")
    owner.types(owner.form("/note"), text=NOTED)
    owner.sends(owner.form("/note"))
    owner.reads(NOTED)


# What the shop wants of a machine of each kind: the job, hours a year, what an hour costs now,
# travel, tolerance; and what would be bought instead: dearest, most likely, cheapest, hours, days.
NEEDS = (
    ("vertical_machining_centre", "instrument plates and housings", "210", "52",
     {"travel_1": "500", "travel_2": "350", "travel_3": "300", "load_kg": "150"},
     "a proven used machining centre, delivered", ("18000", "23000", "30000"), "30"),
    ("turning_centre", "turned sleeves and flanges", "170", "48",
     {"travel_1": "180", "travel_2": "300", "bar_mm": "42"},
     "a proven used turning centre, delivered", ("16000", "21500", "28000"), "25"),
)  # fmt: skip


def whose_shop(owner: Owner) -> None:
    """What the shop has and wants: without it a machine is worth nothing to it."""
    owner.opens("/shop")
    form = owner.form("/shop")
    owner.types(form, hour_full="45", hours_a_week="20", kilometre_cost="0.40",
                supply_volts="400", supply_phases="3", supply_kva="40", door_width_mm="2800",
                door_height_mm="2900", floor_kg_m2="2500", lift_kg="500")  # fmt: skip
    owner.key("uses_rigger", "yes", form)
    owner.key("floor_rented", "no", form)
    owner.sends(form, "button >> nth=-1")
    for kind, job, hours, cost, travel, instead, (low, likely, high), own in NEEDS:
        form = owner.form("/shop/needs")
        owner.types(form, need_name=job, kind=kind, hours_a_year=hours, cost_now_per_hour=cost,
                    tolerance_mm="0.02", **travel)  # fmt: skip
        owner.sends(form)
        form = owner.form("/shop/alternatives")
        owner.types(form, alternative_name=instead, kind=kind, price_likely=likely,
                    price_low=low, price_high=high, own_hours=own, days="75",
                    resale_share="45")  # fmt: skip
        owner.sends(form)
    owner.reads("instrument plates and housings", "a proven used turning centre, delivered")


def machine_named(owner: Owner, kind: str) -> str:
    """The path of a machine as the front page names it."""
    line = owner.page.locator("#machines li.machineline").filter(
        has_text=re.compile(owner.kinds[kind].name, re.IGNORECASE)
    )
    expect(line).to_have_count(1)
    return line.locator("a.face").get_attribute("href") or ""


def terms(owner: Owner) -> None:
    """What the listing says of the sale."""
    owner.opens(owner.lot)
    owner.turn(owner.link("/terms"))
    form = owner.form("/terms")
    owner.types(form, premium="16", distance_km="42", closes_at="2026-12-03T18:00",
                removal_days="15", late_fine_per_day="75")  # fmt: skip
    owner.sends(form)
    owner.reads("€", at="#amount")


def photographs(owner: Owner) -> None:
    """Each is sorted and judged by thumb; the machine's page sends there."""
    owner.follows(owner.mill, "/pictures/next$")
    for view, machine, seen in SHOWS:
        page = owner.page
        whose = page.locator("button[name=machine]").nth(machine)
        owner.presses(whose)
        expect(whose).to_have_attribute("aria-pressed", "true")
        owner.presses(page.locator(f'button[name=shot][value="{view}"]'))
        if seen is None:
            owner.leaves(page.locator('button[name=answer][value="nothing_bad"]'))
            continue
        owner.presses(page.locator(f"#answer-{seen}"))
        expect(page.locator(f"#answer-{seen}")).to_have_attribute("aria-pressed", "true")
        owner.leaves(page.locator("#onward"))
    expect(owner.page).to_have_url(re.compile(re.escape(owner.lot) + "$"))


def call(owner: Owner) -> None:
    """On the telephone: why it is sold, when it last ran, how long its spindle has run."""
    owner.turn(owner.link("/call"))
    for question, answer in (("Q01", 1), ("Q02", 3), ("Q06", 1)):
        owner.presses(owner.page.locator(f'[id^="{question}-{answer}-"]').first)
        expect(owner.page.locator(f'[id^="{question}-{answer}-"]').first).to_have_attribute(
            "aria-pressed", "true"
        )


def visit(owner: Owner) -> None:
    """A visit is planned, printed, and typed in from its paper."""
    owner.opens(owner.lot + "/visit")
    owner.sends(owner.form("/visit"))
    code = owner.page.url.rpartition("/")[2]
    owner.paper("/pack.pdf")
    owner.later(days=2)
    owner.opens("/")
    owner.types(owner.form("/visits"), code=code)
    owner.sends(owner.form("/visits"))
    boxes = owner.page.locator("fieldset:has(input[name^=answer-])")
    for place in range(6):
        owner.tap(boxes.nth(place).locator("label").nth(1))
    owner.turn(owner.page.locator("#main form:has(input[name^=answer-]) button").last)
    owner.reads("€", at="#amount")


def own_figures(owner: Owner) -> None:
    """The rigger has said what he asks: his figure takes the place of ours."""
    owner.turn(owner.link("/costs"))
    row = owner.page.locator('form:has(input[name=line][value="|E11"])')
    owner.types(row, amount="1710", reason="the rigger, by telephone")
    owner.sends(row)
    owner.reads("1\u202f710")


def frozen_and_won(owner: Owner) -> None:
    """The number is frozen before the bidding; then the lot is won under it."""
    owner.opens(owner.lot + "/freeze")
    owner.sends(owner.form("/freeze"))
    owner.paper("/freeze.pdf")
    owner.later(days=5)
    owner.follows(owner.mill, "/freeze$")
    form = owner.form("/outcome")
    owner.types(form, amount=WON_FOR)
    owner.sends(form, 'button[value="won"]')
