"""Money, and the sale of the lathe: an evening, a receipt, the bank, what it costs and brings."""

from __future__ import annotations

import re
from pathlib import Path

from playwright.sync_api import expect
from tests.browser.job_house import Owner

RECEIPT = Path(__file__).parents[2] / "examples" / "settle" / "receipt.png"
BANK = """Datum;Naam tegenpartij;Omschrijving;Bedrag;Munt
14/12/2026;the haulier;transport of both, one truck;-1.185,80;EUR
17/12/2026;oil merchant;hydraulic oil and way oil;-411,40;EUR
"""
BUYER, PRICE = "toolroom over the border", "4200"
PROMISE = "a second set of soft jaws, sent after"


def evening(owner: Owner) -> None:
    """What the walk left in traces is asked about on the front page; one tap says yes."""
    owner.later(days=1)
    owner.opens("/")
    asked = owner.page.locator("#own-hours form.asked").first
    owner.turn(asked.locator("button").first)
    expect(owner.page.locator("#main")).to_contain_text(re.compile(r"\bh\b"))


def receipt(owner: Owner) -> None:
    """A paid line by its photograph, its amount, its machine."""
    owner.opens("/settle/post")
    form = owner.form("/settle/post")
    form.locator("input[type=file]").set_input_files(str(RECEIPT))
    lot, key = owner.mill.split("/")[2::2]
    owner.types(form, sort="paid", amount="435,60", what="brushes, filters, rags, degreaser",
                **{"for": f"{lot}|{key}"})  # fmt: skip
    owner.sends(form, "button >> nth=-1")
    expect(owner.page.locator(".keptbar")).to_contain_text("brushes, filters")


def bank(owner: Owner) -> None:
    """The bank's file is shown before it is kept; a second time it adds nothing."""
    for keeps in (True, False):
        owner.opens("/settle/import")
        form = owner.form("/settle/import/read")
        form.locator("input[type=file]").set_input_files(
            [{"name": "bank.csv", "mimeType": "text/csv", "buffer": BANK.encode()}]
        )
        owner.sends(form, "button >> nth=-1")
        keep = owner.page.locator('#main form[action$="/import/keep"] button')
        if keeps:
            owner.turn(keep.first)
        else:
            expect(keep).to_have_count(0)
    owner.opens("/settle/book")
    owner.reads("transport of both", "brushes, filters")


def reckoned(owner: Owner) -> None:
    """What it cost, what an hour of it costs, whether it was worth it."""
    owner.opens(owner.mill + "/settle/cost")
    owner.reads("€", at="#answer")
    owner.opens(owner.mill + "/settle/rate")
    owner.reads("an hour", at="#answer")
    owner.opens(owner.mill + "/settle/versus")
    owner.reads("a proven used machining centre", at="#answer")


def put_up(owner: Owner) -> None:
    """The lathe is surplus: its record stays closed as running; as parts it is given away."""
    owner.opens(owner.lathe + "/settle/record")
    owner.reads("Closed", at="#answer")
    form = owner.form("/settle/record")
    owner.key("as", "parts", form)
    owner.sends(form)
    owner.reads("Ready", at="#answer")
    owner.sends(owner.form("/record/give"), "button >> nth=0")
    expect(owner.page.locator("#given .num").first).to_be_visible()
    owner.opens(owner.lathe + "/settle/sell")
    form = owner.form("/sell/list")
    owner.key("sold_as", "parts", form)
    owner.types(form, ask="5900", take="4000", dump="1800")
    owner.sends(form, "button >> nth=-1")


def checked(owner: Owner) -> None:
    """The buyer holds the file against its checksum."""
    owner.opens(owner.lathe + "/settle/record")
    where = owner.page.locator('#given a[href*="record.json?given="]').first.get_attribute("href")
    paper = owner.page.locator('#given a[href*="record.pdf?given="]').first.get_attribute("href")
    assert where is not None
    assert paper is not None
    file = owner.page.request.get(owner.house.address + where).body()
    answer = owner.page.request.get(owner.house.address + paper)
    assert answer.headers["content-type"] == "application/pdf"
    changed = file.replace(b"parts", b"partz", 1)
    for content, says in ((file, "Unchanged since it was made"), (changed, "not as it was made")):
        owner.opens("/settle/check")
        form = owner.form("/settle/check")
        form.locator("input[type=file]").set_input_files(
            [{"name": "record.json", "mimeType": "application/json", "buffer": content}]
        )
        owner.sends(form)
        owner.reads(says, at="#answer")


def sold(owner: Owner) -> None:
    """An offer comes, the machine's page names it; it is taken, a promise kept, the book closed."""
    owner.opens(owner.lathe + "/settle/sell")
    form = owner.form("/settle/offers")
    owner.types(form, whom=BUYER, amount=PRICE)
    owner.sends(form, "button >> nth=-1")
    owner.follows(owner.lathe, "/settle/sell#offers$")
    form = owner.form("/sell/answer")
    owner.turn(form.locator('button[value="taken"]').first)
    owner.reads(BUYER)
    owner.opens(owner.lathe + "/settle/after")
    form = owner.form("/after/promise")
    owner.types(form, what=PROMISE, whom=BUYER, until_on="2027-01-15")
    owner.sends(form)
    owner.follows(owner.lathe, "/settle/after#promises$")
    owner.turn(owner.page.locator("#promises form button").first)
    owner.follows(owner.lathe, "/settle/close$")
    form = owner.form("/settle/close")
    owner.key("end", "sold", form)
    owner.types(form, changes="Ask a spindle workshop before the bidding, not after.")
    owner.sends(form)
    owner.reads("Closed on", at="#answer")
