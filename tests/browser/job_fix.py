"""Evenings: who works when, a way is chosen, asked and ordered, rung about; a card done; a plan."""

from __future__ import annotations

import re
from datetime import timedelta

from playwright.sync_api import expect
from tests.browser.conftest import PATIENCE_MS
from tests.browser.job_house import Owner

FOUND = "F36"  # the screw that was opened
PART, WHOM = "Z screw, ground, with a new nut", "the screw grinder"


def hands(owner: Owner) -> None:
    """An works two evenings and Saturdays; Bea helps; a hoist is hired."""
    for name, days in (("An", ("mon", "thu", "sat")), ("Bea", ("thu", "sat"))):
        owner.opens("/fix/hands")
        form = owner.page.locator('#main form:has([name="mon-from"])').last
        hours = {f"{day}-from": "19:00" if day != "sat" else "09:00" for day in days}
        hours |= {f"{day}-to": "22:00" if day != "sat" else "16:00" for day in days}
        owner.types(form, name=name, **hours)
        owner.key("may", "electrician" if name == "An" else "competent", form)
        if name == "Bea":
            owner.key("helps_only", "yes", form)
        owner.sends(form)
        owner.reads(name)
    owner.opens("/fix/gear")
    form = owner.page.locator("#main form:has([name=day_costs])").last
    owner.types(form, day_costs="85", whom="hire shop in Ghent")
    owner.sends(form)
    owner.reads("hoist: hired")


def way(owner: Owner) -> None:
    """Of the ways to put it right, a shop is chosen; its word on the telephone is kept."""
    owner.opens(owner.mill + "/fix")
    owner.turn(owner.link(f"/fix/faults/{FOUND}"))
    form = owner.page.locator(f'form[action$="/faults/{FOUND}"]:has(input[value="local"])')
    owner.sends(form)
    owner.turn(owner.page.locator('#main a[href*="/fix/quote?"]').first)
    form = owner.page.locator("#main form:has([name=said])")
    owner.types(form, said=f"{WHOM}, today, 1640 EUR excl, 3 weeks")
    owner.sends(form)
    owner.turn(owner.page.locator("#main form[method=post] button").last)
    owner.opens(f"{owner.mill}/fix/faults/{FOUND}")
    owner.reads("1\u202f640")


def ordered(owner: Owner) -> None:
    """It is ordered, promised for a day; that day goes by, and it is rung about."""
    owner.turn(owner.page.locator('#main a[href*="/fix/send?"]').first)
    form = owner.form("/fix/send")
    owner.key("sort", "ordered", form)
    promised = owner.today + timedelta(days=7)
    owner.types(form, what=PART, whom=WHOM, reach="09 123 45 67",
                promised_on=promised.isoformat())  # fmt: skip
    owner.sends(form)
    owner.later(days=9)
    owner.follows(owner.mill, "/fix/waiting/")
    form = owner.form("/ring")
    owner.types(form, promised_on=(owner.today + timedelta(days=10)).isoformat())
    owner.sends(form)
    owner.reads((owner.today + timedelta(days=10)).isoformat())


def tonight(owner: Owner) -> None:
    """From the front page: two and a half hours, the first card is done."""
    owner.opens("/")
    form = owner.page.locator("#main form.evening")
    owner.types(form, hours="2.5")
    owner.sends(form)
    first = owner.page.locator("ol.jobs > li").first
    title = first.locator(".jobhead b").inner_text()
    owner.turn(first.locator('button[name=how][value="done"]'))
    expect(owner.page.locator(".keptbar")).to_contain_text(title)


def plan(owner: Owner) -> None:
    """When it will cut: a plan is made and says a day."""
    owner.opens("/fix/plan")
    owner.sends(owner.form("/fix/plan"))
    day = re.compile(r"20\d\d-\d\d-\d\d")  # it takes as long as many pages
    expect(owner.page.locator("#answer")).to_contain_text(day, timeout=4 * PATIENCE_MS)
    owner.paper("/fix/week.pdf")
