"""The condition record on paper: facts apart from reports, its checksum, the file inside it."""

from __future__ import annotations

import json
import re
from datetime import date
from functools import partial
from io import BytesIO

import pytest
from PIL import Image
from tests.fakes.shop import FakeShop
from tests.library import load
from tests.paper.reading import text_of
from tests.recorded import SELLER, bare, guard, ready, say
from tests.web.conftest import jpeg

from retrue.base.refusals import Unreadable
from retrue.cases.settle.condition_check import (
    attached,
    headline,
    pictures_of,
)
from retrue.cases.settle.condition_file import (
    file_of,
    in_groups,
    sha256_of,
)
from retrue.paper.condition_record import condition_record
from retrue.paper.edition import print_edition
from retrue.paper.press import pages
from retrue.phases import settle
from retrue.phases.settle.checking import check
from retrue.records.facts import File
from retrue.store.derived import shown

KINDS = load()
SMALL = partial(shown, longest_px=400)


def located() -> bytes:
    """A photograph with the place and the camera written into it."""
    out, picture = BytesIO(), Image.open(BytesIO(jpeg()))
    exif = Image.Exif()
    exif[0x010F] = "Some Maker"  # Make (Exif 2.32, 4.6.4)
    exif[0x8825] = {1: "N", 2: (51.0, 3.0, 15.0)}  # GPS (4.6.6)
    picture.save(out, "JPEG", exif=exif)
    return out.getvalue()


def given(name: str, sold_as: str) -> tuple[dict, dict[str, bytes]]:
    shop = FakeShop()
    at = ready(shop, KINDS, name) if sold_as == "running" else bare(shop, name)
    say(shop, at, check="C10", answer="severe", grade=1, channel="photo")
    say(shop, at, check="C28", answer="slight", grade=0, channel="call", informant=SELLER)
    for number in range(2):
        sha = shop.keep_file(located() + bytes(number))
        shop.add(File(sha256=sha, name="a.jpg", media_type="image/jpeg", size_bytes=1, lot=at[0],
                      machine=at[1], place="outside", shot="A01"), by="An")  # fmt: skip
    if sold_as == "parts":
        guard(shop, at, "Door interlock", "defeated", 3)
    kept = settle.give(shop, *at, KINDS, on=date(2026, 11, 26), sold_as=sold_as, small=SMALL,
                       by="An", version="0.1.0")  # fmt: skip
    record, copies = settle.one_given(shop, kept.id)
    return json.loads(record.fact.content), copies


@pytest.fixture(scope="module")
def running() -> tuple[dict, dict[str, bytes]]:
    return given("mill", "running")


@pytest.fixture(scope="module")
def pdf(running) -> bytes:
    return condition_record(*running)


def reprint(content, pictures, paper) -> bytes:
    return condition_record(content, pictures, paper=paper)


def test_what_it_is_stands_before_every_number(pdf):
    text = text_of(pdf)
    assert text.index("No promise of fitness") < text.index("seen, measured or written down")
    assert text.index("bridged door switch") < text.index("seen, measured or written down")
    assert text.index("Local law comes first") < text.index("Guards and interlocks Guard")
    assert "from memory, unverified" in text


def test_reports_stand_apart_and_say_so(pdf):
    text = text_of(pdf)
    crash = KINDS["vertical_machining_centre"].checks["C10"].text[:30]
    at = text.index(crash)
    before = text.rfind("Only reported", 0, at)
    assert before > text.rfind("Seen by An", 0, at)
    assert "seen on a photograph, 2026-11-25" in text
    assert "reported by whoever sold it before" in text


def test_the_checksum_is_printed_in_groups_with_its_code(running, pdf):
    text = text_of(pdf)
    assert " ".join(in_groups(sha256_of(running[0]))) in text
    assert re.search(r"\b[346789ACDEFHJKMNPRTVWXY]{4}-[346789ACDEFHJKMNPRTVWXY]{4}\b", text)
    assert "not that it is true" in text
    assert f"page 1 / {pages(pdf)}" in text
    assert "retrue 0.1.0" in text


def test_everything_nobody_tested_is_printed(running, pdf):
    text = text_of(pdf).replace(" ", "")
    for one in running[0]["untested"]:
        for look in one["looks"]:
            assert look.replace(" ", "").replace("\u202f", "") in text, look


def test_the_same_content_gives_the_same_bytes_on_a4_and_on_letter(running, pdf):
    assert condition_record(*running) == pdf
    letter = condition_record(*running, paper="us-letter")
    assert letter != pdf
    assert re.search(rb"/MediaBox\s*\[0 0 612 792\]", letter)
    assert re.search(rb"/MediaBox\s*\[0 0 595\.\d+ 841\.\d+\]", pdf)
    assert check(letter, reprint=reprint).unchanged


def test_the_file_itself_is_inside_it(running, pdf):
    assert attached(pdf) == file_of(*running)
    checked = check(pdf, reprint=reprint)
    assert checked.unchanged
    assert "Every printed page against the record inside the PDF." in checked.was


def test_without_the_printer_the_pages_are_said_not_to_be_checked(pdf):
    checked = check(pdf)
    assert checked.unchanged
    assert any("printed pages" in one for one in checked.was_not)


def test_a_changed_byte_of_the_paper_is_found(pdf):
    inside = pdf.index(b"/EmbeddedFile") + 300
    for at in (100, 5000, inside, len(pdf) - 2000):
        other = bytearray(pdf)
        other[at] ^= 1
        assert not check(bytes(other), reprint=reprint).unchanged, at


def test_other_pages_around_the_same_record_are_found(running, pdf):
    better = condition_record(running[0] | {"machine": "a better mill"}, running[1])
    forged = better.replace(inside(better), inside(pdf))
    assert attached(forged) == attached(pdf)  # the file fits, the pages are another machine's
    assert check(forged).unchanged  # nobody printed them again, and that is said
    assert not check(forged, reprint=reprint).unchanged


def test_pages_of_another_edition_are_not_called_changed_and_not_called_good(running, pdf):
    """As after the template was changed: what prints now prints otherwise."""
    content = running[0] | {"edition": "0.1.0+00000000"}
    older = condition_record(content, running[1], paper="us-letter")

    def prints_otherwise(told, pictures, paper) -> bytes:
        return condition_record(told | {"made_by": "x"}, pictures, paper=paper)

    checked = check(older, reprint=prints_otherwise, edition=print_edition("0.1.0"))
    assert (checked.unchanged, checked.pages) == (True, "not_checked")
    assert "could not be checked" in headline(checked)
    assert any("Edition 0.1.0+00000000 made it" in one for one in checked.was_not)
    same = check(older, reprint=prints_otherwise, edition="0.1.0+00000000")
    assert (same.unchanged, same.pages) == (False, "other")
    assert same.where == ("the printed pages: they are not those of the record inside the PDF",)
    assert check(older, reprint=reprint, edition=print_edition("0.1.0")).pages == "same"
    assert headline(check(older)) == headline(checked)  # nobody printed them: nothing is promised


def test_the_edition_changes_with_what_prints_and_not_by_itself(monkeypatch):
    first = print_edition("9.9.9")
    print_edition.cache_clear()
    assert print_edition("9.9.9") == first
    print_edition.cache_clear()
    monkeypatch.setattr("retrue.paper.edition.press_version", lambda: "another")
    assert print_edition("9.9.9") != first
    print_edition.cache_clear()


def test_what_nobody_looked_for_never_reads_as_what_was_found(running, pdf):
    text = text_of(pdf)
    assert "A list of looks, not of faults" in text
    looks = [look for one in running[0]["untested"] for look in one["looks"]]
    assert text.count("not looked for:") == len(looks)


def inside(pdf: bytes) -> bytes:
    """The object of the file that is attached, from its length to its end."""
    at = pdf.index(b"/EmbeddedFile")
    start, end = pdf.rindex(b" obj", 0, at), pdf.index(b"endstream", at)
    return pdf[start:end]


def test_the_copies_of_photographs_tell_nothing_of_place_time_or_camera(pdf):
    copies = pictures_of(attached(pdf) or b"")
    assert len(copies) == 1 or len(copies) == 2
    for copy in copies.values():
        with Image.open(BytesIO(copy)) as picture:
            assert not picture.getexif()
            assert max(picture.size) == 400
    assert b"Some Maker" not in pdf


@pytest.mark.parametrize("name", ["mill", "lathe"])
def test_sold_as_parts_says_so_first_and_draws_a_defeated_guard_as_bad(name):
    text = text_of(condition_record(*given(name, "parts")))
    assert "Sold as parts. Not to be put in use as a machine." in text
    assert text.index("Sold as parts") < text.index("SHA-256 of the content")
    assert "Open: nobody cleared these" in text
    assert "Defeated. Seen by An on 2026-11-25." in text


@pytest.mark.parametrize("copy", [b"GIF89a", jpeg(size=(2100, 10)), b""])
def test_what_is_no_small_photograph_is_not_printed(running, copy):
    content, copies = running
    [sha, *_] = copies
    with pytest.raises(Unreadable):
        condition_record(content, {sha: copy})


def test_a_record_of_no_day_is_not_printed(running):
    with pytest.raises(Unreadable, match="no day"):
        condition_record(running[0] | {"made_on": "some day"}, {})


def test_it_is_tagged_and_claims_pdf_ua_1(pdf):
    """ISO 14289-1:2014, 5."""
    assert re.search(rb"<pdfuaid:part>\s*1\s*<", pdf)
