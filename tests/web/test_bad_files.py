"""Files that are not what they say, or far more than they look: refused, by name, with a reason."""

from __future__ import annotations

import io
import struct
import zipfile
import zlib

import httpx
import pytest
import xlsxwriter
from PIL import Image
from tests.web.conftest import jpeg
from tests.web.visitor import Visitor, text_of

from retrue.records.facts import File, Note
from retrue.web.limits import NAME_CHARACTERS


def chunk(kind: bytes, data: bytes) -> bytes:
    """PNG (third edition), 5.3: length, type, data, checksum."""
    return struct.pack(">I", len(data)) + kind + data + struct.pack(">I", zlib.crc32(kind + data))


def png_of(width: int, height: int, rows: bytes = b"") -> bytes:
    """A PNG that says it is so large, in a few bytes."""
    head = struct.pack(">IIBBBBB", width, height, 1, 0, 0, 0, 0)
    data = chunk(b"IDAT", zlib.compress(rows, 9))
    return b"\x89PNG\r\n\x1a\n" + chunk(b"IHDR", head) + data + chunk(b"IEND", b"")


def gif_of(width: int, height: int) -> bytes:
    """GIF89a, 18: the size of the screen stands in its head."""
    size = struct.pack("<HH", width, height)
    return b"GIF89a" + size + b"\x80\0\0" + bytes(6) + b"," + bytes(4) + size + b"\0\x02\0;"


def packed(files: dict[str, bytes]) -> bytes:
    """A packed folder."""
    out = io.BytesIO()
    with zipfile.ZipFile(out, "w", zipfile.ZIP_DEFLATED, compresslevel=9) as folder:
        for name, content in files.items():
            folder.writestr(name, content)
    return out.getvalue()


def corners() -> bytes:
    """A spreadsheet of two cells, the first and the last there can be (ISO/IEC 29500-1, 18.3.1)."""
    out = io.BytesIO()
    with xlsxwriter.Workbook(out) as book:
        page = book.add_worksheet()
        page.write(0, 0, 1)
        page.write(1, 1, 1)  # moved to the last place: a million rows between take their time
    with zipfile.ZipFile(out) as folder:
        parts = {name: folder.read(name) for name in folder.namelist()}
    [sheet] = [name for name in parts if "worksheets/" in name]
    for near, far in ((b'r="2"', b'r="1048576"'), (b'"B2"', b'"XFD1048576"')):
        assert parts[sheet].count(near) == 1
        parts[sheet] = parts[sheet].replace(near, far)
    return packed(parts)


def bomb() -> bytes:
    """The part of a spreadsheet that unpacks to more than 200 million characters."""
    out, rows = io.BytesIO(), b"<row r='1'/>" * 100_000
    with (
        zipfile.ZipFile(out, "w", zipfile.ZIP_DEFLATED, compresslevel=1) as folder,
        folder.open("xl/worksheets/a.xml", "w") as page,
    ):
        page.write(b"<sheetData>")
        for _ in range(200):
            page.write(rows)
        page.write(b"</sheetData>")
    return out.getvalue()


SCRIPT = b"<script>alert(1)</script>"


class TestPictures:
    def send(self, owner: Visitor, lot: str, name: str, content: bytes) -> httpx.Response:
        return owner.post(f"{lot}/pictures", {}, [("pictures", (name, content, "image/png"))])

    @pytest.mark.parametrize(
        ("name", "content", "says"),
        [
            ("wide.png", png_of(60_000, 60_000), "million pixels"),
            ("full.png", png_of(60_000, 60_000, bytes(7501 * 200)), "million pixels"),
            ("most.png", png_of(2**31 - 1, 2**31 - 1), "million pixels"),
            ("huge.gif", gif_of(65_535, 65_535), "million pixels"),
            ("short.png", png_of(3000, 3000, b"\0"), "damaged"),
            ("script.jpg", jpeg() + SCRIPT, "script"),
            ("draw.png", b"<svg xmlns='http://www.w3.org/2000/svg' onload='x()'/>", "marks"),
            ("page.png", b"\xef\xbb\xbf \n<!DOCTYPE html>" + SCRIPT, "marks"),
            ("gif.js.gif", b"GIF89a/*" + bytes(8) + b"*/=1;" + SCRIPT, "script"),
            ("sheet.png", packed({"a": b""}), "not a photograph"),
            ("paper.png", b"%PDF-1.7\n/JavaScript (x)\n%%EOF", "script"),
        ],
    )  # fmt: skip
    def test_each_is_refused_by_name_and_nothing_is_kept(self, owner, lot, name, content, says):
        before = len(owner.app.state.shop.current(File))
        answer = self.send(owner, lot, name, content)
        assert answer.status_code == 422
        assert name in text_of(answer)
        assert says in text_of(answer)
        assert len(owner.app.state.shop.current(File)) == before

    def test_a_name_without_end_loses_no_photograph(self, owner, lot):
        answer = self.send(owner, lot, "W" * 900 + ".jpg", jpeg(11))
        assert answer.status_code == 200
        kept = owner.app.state.shop.current(File)[-1]
        assert kept.fact.name == "W" * (NAME_CHARACTERS - 4) + ".jpg"


class TestFilesBesideANote:
    """Any file may be kept with a note; none is run, none that could be is shown."""

    POLYGLOTS = (
        ("drawing.xml", b"<svg xmlns='http://www.w3.org/2000/svg'>" + SCRIPT + b"</svg>"),
        ("page.html", b"<html>" + SCRIPT),
        ("letter.pdf", b"%PDF-1.7\n1 0 obj<</OpenAction<</S/JavaScript/JS(x)>>>>endobj\n%%EOF"),
        ("both.pdf", b"%PDF-1.7\n" + SCRIPT + b"\n%%EOF"),
        ("folder.zip", packed({"a.html": SCRIPT})),
        ("program.exe", b"MZ\x90\x00" + bytes(100)),
    )

    @pytest.mark.parametrize(("name", "content"), POLYGLOTS, ids=[one[0] for one in POLYGLOTS])
    def test_it_is_given_out_to_be_saved_and_never_shown(self, owner, name, content):
        answer = owner.post("/note", {"text": "kept"}, [("picture", (name, content, "text/html"))])
        assert answer.status_code == 200
        [kept] = owner.app.state.shop.current(File)
        given = owner.get(f"/files/{kept.id}")
        assert given.content == content
        assert given.headers["content-type"] == "application/octet-stream"
        assert given.headers["content-disposition"].startswith("attachment")
        assert given.headers["x-content-type-options"] == "nosniff"
        assert "sandbox" in given.headers["content-security-policy"]
        shown = owner.get(f"/files/{kept.id}/shown/large")
        assert shown.status_code == 422
        assert "text/html" in shown.headers["content-type"]
        assert SCRIPT.decode() not in shown.text

    def test_a_bomb_is_refused_and_the_page_still_has_the_words(self, owner):
        bomb = png_of(60_000, 60_000)
        answer = owner.post("/note", {"text": "the mill"}, [("picture", ("a.png", bomb, "x/y"))])
        assert answer.status_code == 422
        assert "the mill" in answer.text
        assert not owner.app.state.shop.current(Note)


class TestSheets:
    def send(self, owner: Visitor, name: str, content: bytes) -> httpx.Response:
        return owner.post(
            "/settle/import/read", {"kind": "bank"}, [("table", (name, content, "text/csv"))]
        )

    @pytest.mark.parametrize(
        ("name", "made"),
        [
            ("corners.xlsx", corners),
            ("bomb.xlsx", bomb),
            ("folder.xlsx", lambda: packed({"a.txt": bytes(50_000_000)})),
            ("cut.xlsx", lambda: packed({"a": bytes(99)})[:-40]),
            ("photo.csv", jpeg),
            ("none.csv", bytes),
            ("nul.csv", lambda: b"\x00" * 4000),
        ],
        ids=lambda one: one if isinstance(one, str) else "",
    )
    def test_each_is_refused_and_nothing_is_read(self, owner, name, made):
        answer = self.send(owner, name, made())
        assert answer.status_code == 422, text_of(answer)[:300]


def test_a_real_photograph_still_goes_through(owner: Visitor, lot: str) -> None:
    out = io.BytesIO()
    Image.new("RGB", (4000, 3000), (90, 90, 110)).save(out, "PNG")
    answer = owner.post(f"{lot}/pictures", {}, [("pictures", ("a.png", out.getvalue(), "x/y"))])
    assert answer.status_code == 200
