"""What is done to a lot before its pages are read, so that each of them has something to show."""

from __future__ import annotations

from datetime import timedelta
from decimal import Decimal

import pytest
from playwright.sync_api import Page, expect
from tests.browser.conftest import House, now
from tests.browser.hand import Hand
from tests.library import load
from tests.planned import little_search

from retrue.cases.screen.parts import Here
from retrue.phases import find, fix, prove, settle, wake, worth
from retrue.records.facts import Note
from retrue.records.fixing import Chosen, Out, Quoted
from retrue.records.screening import Budget, Catalogue
from retrue.records.settling import (
    BuyerAsked,
    ForSale,
    HoursTold,
    Offered,
    Posting,
    Promised,
)
from retrue.store.sound_file import sound_or_table


def watched(house: House, machine: str) -> dict[str, str]:
    """A watch with readings that called stop: the page with everything on it."""
    lot, key = machine.split("/")[2::2]
    shop, at = house.shop, now()
    watch = wake.begin_watch(shop, lot, key, load(), what="spindle nose", room_c=21.0, heard=True,
                             logger="nose.csv", by="owner")  # fmt: skip
    minutes = ((n, 21.0 + n) for n in range(6))
    rows = [((at + timedelta(minutes=m)).isoformat(), "nose", nose) for m, nose in minutes]
    wake.add_readings(shop, watch.id, [*rows, (at.isoformat(), "amps", 3.1)], by="owner")
    return {"watch": f"{house.address}{machine}/wake/watch/{watch.id}"}


SALE = """Los;Bezeichnung;Baujahr;Preis;Zustand
1;CNC lathe, slant bed;2012;500;läuft
2;vertical machining centre;2014;600;
3;cupboard;;50;gut
""".encode()


def screened(house: House) -> dict[str, str]:
    """A catalogue that was read and priced, somebody who bids, and what bids may take."""
    shop, kinds, owner = house.shop, load(), {"by": "owner"}
    said = Catalogue(name="closing sale", content_sha256="", file_name="sale.csv", year=now().year,
                     premium=0.16, distance_km=42.0, sale="fixed_price")  # fmt: skip
    kept = worth.keep_catalogue(shop, SALE, said, kinds, **owner)
    worth.run_parts(
        shop, kept.id, kinds, Here(), worker="walk", clock=now, seed=7, worlds=200, **owner
    )
    worth.who_bids(shop, kept.id, "1", Decimal(100), kinds, text="seen", **owner)
    budget = Budget(catalogue=kept.id, money=Decimal(40000), floor_m2=30.0, odds=0.9)
    worth.set_budget(shop, kept.id, budget, **owner)
    return {"catalogue": f"{house.address}/screen/{kept.id}"}


def sought(page: Page, base: str, machine: str) -> dict[str, str]:
    """A trouble with one answer, and one that means: off."""
    hand, places = Hand(page), {}
    for name, words in (("stop", "hot plastic"), ("trouble", "Backlash the same")):
        page.goto(f"{base}{machine}/find")
        hand.turn(page.locator("button[name=symptom]", has_text=words).first)
        places[name] = page.url
    page.locator("#name").fill("Ann")
    hand.turn(page.get_by_role("button", name="Stop here and sign"))
    page.goto(places["trouble"] + "?step=C55")
    hand.turn(page.locator('#next button[name=answer][value="not_seen"]').first)
    correct = page.locator("a", has_text="correct or take back").first.get_attribute("href")
    assert correct is not None
    return places | {"correct": base + correct}


def heard(house: House, lot: str, machine: str) -> None:
    """Sound before and after by bands, and with one source off; vibration twice; light."""
    kinds, where = load(), {"state": "idling", "speed_rpm": 3000.0, "by": "owner"}
    for when, off, level in (("before", "", 80), ("", "coolant pump", 77), ("after", "", 70)):
        rows = "".join(f"{hz},{level - n}\n" for n, hz in enumerate((125, 250, 500, 1000, 2000)))
        table = f"frequency_hz,level_db\n{rows}".encode()
        prove.keep_sensed(
            house.shop, lot, machine, "sound", kinds, content=table,
            name="bands.csv", hear=sound_or_table, when=when, options={"without": off}, **where,
        )  # fmt: skip
    for value in (1.1, 1.9):
        read = [("velocity_rms_mm_s", value)]
        prove.keep_sensed(house.shop, lot, machine, "vibration", kinds, readings=read, **where)
    prove.keep_sensed(
        house.shop, lot, machine, "light", kinds, readings=[("lux", 480.0)], by="owner"
    )


def moved(page: Page, machine: str) -> None:
    """Some of the move filled in, so that its pages have answers, pictures and tables."""
    typed = {
        "lift": {"mass_kg": "4200 kg", "angle_deg": "55", "spread_mm": "1400"},
        "floor": {"shop_width_mm": "9000", "shop_depth_mm": "7000", "width_mm": "2100",
                  "depth_mm": "2300", "x_mm": "2500", "y_mm": "2200", "cabinet_mm": "700"},
        "supply": {"plate_volts": "200", "plate_kva": "22", "supply_volts": "400"},
    }  # fmt: skip
    hand = Hand(page)
    for id, fields in typed.items():
        page.goto(f"{machine}/move/{id}")
        shut = page.locator("form details:not([open]) > summary")
        for left in reversed(range(shut.count())):
            shut.first.click()
            expect(shut).to_have_count(left)
        for name, text in fields.items():
            page.locator(f"#{name}").fill(text)
        hand.turn(page.get_by_role("button", name="Keep and reckon"))
    page.goto(machine + "/rest")
    page.locator("#since_on").fill("2026-11-20")
    hand.turn(page.get_by_role("button", name="Keep", exact=True))
    page.goto(machine + "/arrival")
    page.locator('label:has(input[name=damage][value="hidden"])').click()
    page.locator("#text").fill("tank cracked")
    page.locator("#delivered_on").fill("2026-11-20")
    hand.turn(page.get_by_role("button", name="Keep", exact=True).last)


def worked(house: House, machine: str) -> dict[str, str]:
    """A fault that was found, a part that is out and late, an offer, a plan; one is not mended."""
    lot, key = machine.split("/")[2::2]
    shop, kinds = house.shop, load()
    for other, _ in worth.view_lot(shop, lot).machines:
        if other != key:
            aim = Chosen(lot=lot, machine=other, sort="aim", way="sell_as_found")
            fix.choose(shop, lot, other, kinds, aim, by="owner")
    find.teardown(shop, lot, key, "F01", True, kinds, by="owner")
    wipers = Out(lot=lot, machine=key, sort="ordered", what="way wipers", whom="rubber dealer",
                 reach="09 123 45 67", since_on="2026-11-02", promised_on="2026-11-20")  # fmt: skip
    out = fix.send(shop, wipers, kinds, by="owner")
    said = Quoted(lot=lot, machine=key, line="F01:local", vendor="the spindle shop",
                  amount=Decimal(900), quoted_on="2026-11-20", days=20.0)  # fmt: skip
    fix.quote(shop, said, kinds, by="owner")
    with pytest.MonkeyPatch.context() as patch:
        little_search(patch)
        plan = fix.plan(shop, kinds, now=now(), lots=[lot], worlds=10, seconds=0.1)
    fix.keep_plan(shop, plan, by="owner")
    return {"out": f"{house.address}/fix/waiting/{out.id}"}


def settled(house: House, machine: str) -> dict[str, str]:
    """Won, paid for, worked at, an offer waits; the other one is sold as parts, and closed."""
    lot, key = machine.split("/")[2::2]
    shop, kinds, on, owner = house.shop, load(), now().date(), {"by": "owner"}
    other = next(one for one, _ in worth.view_lot(shop, lot).machines if one != key)
    day = on.isoformat()
    worth.outcome(shop, lot, "won", amount=Decimal(4500), **owner)
    settle.day_rate(shop, "CHF", Decimal("1.07"), rate_on=on, on=on, **owner)
    for what, more in (
        ("truck and loader", {"bucket": "removal", "line": "E11"}),
        ("spindle belts", {"bucket": "parts", "machine": key, "currency": "CHF"}),
        ("something", {"machine": other}),
    ):
        fact = Posting(sort="paid", posted_on=day, what=what, amount=Decimal(900), lot=lot, **more)
        line = settle.post(shop, fact, on=on, **owner)
    for minutes in (150, 140, 120, 90):  # an evening that is asked about
        said_at = now() - timedelta(minutes=minutes)
        note = Note(text="scraped the gib", lot=lot, machine=key)
        shop.add(note, observed_at=said_at, **owner)
    earlier = (on - timedelta(days=2)).isoformat()
    shop.add(HoursTold(lot=lot, machine=key, worked_on=earlier, hours=2.5), **owner)
    hers = {"lot": lot, "machine": other, "whom": "a workshop in Namur"}
    for one, ask in ((key, 9000), (other, 1500)):
        listed = ForSale(lot=lot, machine=one, sold_as="parts", ask=Decimal(ask))
        settle.put_up(shop, lot, one, kinds, listed, on=on, **owner)
        said = Offered(**hers | {"machine": one}, offered_on=day, amount=Decimal(1400))
        offer = settle.offer(shop, lot, one, kinds, said, on=on, **owner)
    given = settle.give(shop, lot, other, kinds, on=on, sold_as="parts", **owner)
    settle.answer_offer(shop, offer.id, "taken", kinds, on=on, **owner)
    promised = Promised(**hers, what="the manual", promised_on=day, until_on=day)
    settle.promise(shop, lot, other, kinds, promised, on=on, **owner)
    asked = BuyerAsked(**hers, asked_on=day, question="Which oil?")
    settle.asked(shop, lot, other, kinds, asked, on=on, **owner)
    settle.close(shop, lot, other, "sold", kinds, on=on, **owner)
    sold = f"{house.address}/lots/{lot}/machines/{other}"
    return {
        "line": f"{house.address}/settle/book/{line.id}",
        "sold": sold,
        "given": f"{sold}/settle/record.json?given={given.id}",
        "shared": f"{house.address}/settle/share.json",
    }


def undone(page: Page, machine: str) -> dict[str, str]:
    """A wire that was taken off, a file that was kept."""
    hand = Hand(page)
    page.goto(machine + "/strip/files")
    kept = {"name": "all.txt", "mimeType": "text/plain", "buffer": b"N1"}
    page.locator("#file").set_input_files([kept])
    hand.turn(page.get_by_role("button", name="Keep it with its checksum"))
    page.goto(machine + "/strip/apart?place=lighting")
    page.locator('label:has(input[name=sort][value="wire"])').click()
    page.locator("#from_end").fill("-X1:14")
    hand.turn(page.get_by_role("button", name="Keep it and make its code"))
    label = page.locator(".off .code").first.get_attribute("href")
    assert label is not None
    return {"off": page.url, "label": machine + label[label.index("/strip") :]}


def measured(page: Page, machine: str) -> dict[str, str]:
    """One set that waits for its numbers, and one that was judged."""
    hand, places = Hand(page), {}
    for name, test in (("set", "positioning"), ("measured", "level")):
        page.goto(f"{machine}/measure/{test}/new")
        hand.turn(page.get_by_role("button", name="Begin"))
        places[name] = page.url
    page.goto(places["measured"] + "/all")
    for field in page.locator("input[name^=cell-]").all():
        field.fill("4")
    hand.turn(page.get_by_role("button", name="Keep them all"))
    hand.turn(page.get_by_role("button", name="Tell me the result"))
    page.goto(places["set"])
    page.locator("#reading").fill("+2")
    hand.turn(page.get_by_role("button", name="Keep", exact=True))
    return places
