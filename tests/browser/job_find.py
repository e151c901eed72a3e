"""What the mill does, answered look by look until its cause is found and put right."""

from __future__ import annotations

from playwright.sync_api import expect
from tests.browser.job_house import Owner

SYMPTOM = "Backlash the same everywhere"
CAUSE, TELLS = "F38", {"C55": "seen"}  # loose thrust bearings; every other look sees nothing
WORN, WORN_SAYS = "F36", "Backlash at one place"  # the screw, where it works most
MOST_STEPS = 12
WHO = "An Peeters"


def told(owner: Owner) -> None:
    """The symptom is picked; the machine's page sends back to it."""
    owner.opens(owner.mill + "/find")
    owner.turn(owner.page.locator("button[name=symptom]", has_text=SYMPTOM).first)
    owner.reads(SYMPTOM, at="h1")


def answered(owner: Owner) -> None:
    """One step after the other as it is asked, until the trouble is gone."""
    page = owner.page
    for _ in range(MOST_STEPS):
        if not page.locator("#next").count():
            break
        owner.turn(page.locator(one_step(owner)).first)
    owner.reads("It is cleared")
    expect(page.locator(".tried li")).not_to_have_count(0)
    owner.paper("/sheet.pdf")


def one_step(owner: Owner) -> str:
    """The key that answers what is asked next."""
    page = owner.page
    look = page.locator("#next input[name=check]")
    if look.count():
        answer = TELLS.get(look.first.input_value(), "not_seen")
        return f'#next button[name=answer][value="{answer}"]'
    if page.locator("#next input[name=stage]").count():
        owner.types(page.locator('#next form[action$="/sign"]'), name=WHO)
        return '#next form[action$="/sign"] button'
    fault = page.locator("#next input[name=fault]").first.input_value()
    outcome = "gone" if fault == CAUSE else "still"
    return f'#next button[name=outcome][value="{outcome}"]'


def opened(owner: Owner) -> None:
    """Another symptom: the screw is opened, and worn in the middle."""
    owner.opens(owner.mill + "/find")
    owner.turn(owner.page.locator("button[name=symptom]", has_text=WORN_SAYS).first)
    owner.turn(owner.page.locator(one_step(owner)).first)
    form = owner.form("/opened")
    owner.types(form, fault=WORN)
    owner.sends(form, 'button[name=present][value="yes"]')
    owner.reads("Almost surely it is")


def learned(owner: Owner) -> None:
    """What was guessed and what it was stands on a page of its own."""
    owner.opens(owner.mill + "/find/learned")
    owner.reads("Ball screw worn")
