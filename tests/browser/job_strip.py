"""The first night, and one place of the mill: as found, wiped, cleaned; something off and back."""

from __future__ import annotations

from playwright.sync_api import Locator, expect
from tests.browser.job_house import Owner
from tests.browser.photographs import plain

PLACE = "enclosure"  # two photographs and a wipe of a towel are all it asks for
LABEL = "-X1:14"


def first_night(owner: Owner) -> None:
    """What cannot wait is ticked; the machine's page names it."""
    owner.follows(owner.mill, "/strip/night#safe$")
    ticks = owner.page.locator("#safe .tick")
    for place in range(3):
        owner.ticks(ticks.nth(place))
        expect(ticks.nth(place)).to_have_attribute("aria-pressed", "true")
    owner.opens(owner.mill + "/strip")
    owner.paper("/strip/night.pdf")


def photograph(owner: Owner, form: Locator, number: int) -> None:
    """One photograph by a place's own shutter: sent at once with scripts, else by its key."""
    file = str(plain(owner.folder, f"found{number}", number, (640, 480)))
    if owner.scripted:
        with owner.page.expect_response(lambda one: one.url.endswith("/strip/shots")):
            form.locator("input[type=file]").set_input_files(file)
        owner.all_is_sent()
        return
    form.locator("input[type=file]").set_input_files(file)
    owner.turn(form.locator("button").first)


def as_found(owner: Owner) -> None:
    """Two photographs and the towel; before that it is not cleaned."""
    path = f"{owner.mill}/strip/places/{PLACE}"
    for number in range(3):
        owner.opens(path)
        photograph(owner, owner.page.locator("#gate form.smallcamera").first, number)
    owner.opens(path)
    owner.reads("may be cleaned", at="#gate")


def cleaned(owner: Owner) -> None:
    """Then it is cleaned, with the hours it took."""
    form = owner.form("/cleaned")
    owner.key("muck", "oil", form)
    owner.types(form, hours="1.5", waste_kg="2")
    owner.sends(form)
    owner.reads("Cleaned already", at="#cleaned")


def off_and_back(owner: Owner) -> None:
    """A wire comes off with a label of its own, and goes back by it."""
    owner.opens(owner.mill + "/strip/apart?place=lighting")
    form = owner.form("/strip/apart")
    owner.key("sort", "wire", form)
    owner.types(form, from_end=LABEL, to_end="-H3:1")
    owner.sends(form)
    code = owner.page.locator(".off .code").first.inner_text()
    owner.paper("/labels.pdf")
    owner.opens("/")
    form = owner.page.locator('#main form[action="/visits"]')
    owner.types(form, code=code)
    owner.turn(form.locator('button[formaction="/labels"]'))
    owner.reads(LABEL)
    owner.turn(owner.page.locator('#main form[action*="/strip/apart/"] button').first)
    owner.opens(owner.mill + "/strip/remaining")
    expect(owner.page.locator("#main")).not_to_contain_text(LABEL)
