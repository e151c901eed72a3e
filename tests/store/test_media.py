"""A file's type is proved from its content; what is not proved is only handed out to be saved."""

from __future__ import annotations

import contextlib
import io
import wave

import pytest
from hypothesis import given
from hypothesis import strategies as st
from PIL import Image

from retrue.base.refusals import Unreadable
from retrue.store.media import UNPROVED
from retrue.store.proof import LARGEST_FILE, prove, prove_picture


def wav():
    out = io.BytesIO()
    with wave.open(out, "wb") as sound:
        sound.setnchannels(1)
        sound.setsampwidth(2)
        sound.setframerate(8000)
        sound.writeframes(bytes(801 * 2))
    return out.getvalue()


def saved(form):
    out = io.BytesIO()
    Image.new("RGB", (8, 6), "gray").save(out, form)
    return out.getvalue()


def box(name, body=b""):
    """ISO/IEC 14496-12, 4.2: size, name, body."""
    return (8 + len(body)).to_bytes(4, "big") + name + body


def boxes(brand):
    head = box(b"ftyp", brand + b"\x00\x00\x02\x00" + brand + b"isom")
    return head + box(b"moov", box(b"mvhd", bytes(100))) + box(b"mdat", b"film")


FLAC = b"fLaC\x80\x00\x00\x22" + bytes(34)  # RFC 9639, 8.2: one last block of stream information
PAGE = b"OggS\x00\x02" + bytes(20) + b"\x01\x1e" + bytes(30)  # RFC 3533, 6
FRAME = b"\xff\xfb\x90\x00" + bytes(413)  # ISO/IEC 11172-3: 144 * 128 000 / 44 100 = 417 bytes
ID3 = b"ID3\x03\x00\x00\x00\x00\x00\x0a" + bytes(10)

PROVED = {
    "image/jpeg": [saved("JPEG")],
    "image/png": [saved("PNG")],
    "image/webp": [saved("WEBP")],
    "image/gif": [saved("GIF")],
    "application/pdf": [saved("PDF")],
    "audio/wav": [wav()],
    "audio/flac": [FLAC + b"frames"],
    "audio/ogg": [PAGE, PAGE + b"OggS\x00\x00" + bytes(21)],
    "audio/mpeg": [FRAME + FRAME, ID3 + FRAME + FRAME],
    "audio/mp4": [boxes(b"M4A ")],
    "video/mp4": [boxes(b"isom"), boxes(b"mp42")],
    "text/plain": [b"N10 G0 X0\r\n", "9001 température\n".encode(), b"%\nO0001\n%"],
}


@pytest.mark.parametrize("media_type", PROVED)
def test_what_is_proved_is_shown(media_type):
    for content in PROVED[media_type]:
        found = prove(content)
        assert (found.media_type, found.shown, found.why) == (media_type, "inline", "")


@pytest.mark.parametrize(
    "content",
    [
        b"\x00\x01\x02",
        b"caf\xe9",
        b"MZ\x90\x00",
        b"PK\x03\x04",
        b"<svg xmlns='http://www.w3.org/2000/svg'><script>x()</script></svg>",
        b"  <!doctype html><p>x",
        wav()[:-4],
        boxes(b"isom")[:-1],
        box(b"ftyp", b"isom\x00\x00\x00\x00"),
        saved("PDF")[:-200],
        FRAME + b"\x00" * 500,
        FRAME[:200],
        FLAC[:30],
        PAGE[:20],
        b"RIFF\x00\x00\x00\x00WAVE",
    ],
)
def test_what_is_not_proved_is_only_handed_out(content):
    found = prove(content)
    assert (found.media_type, found.shown) == (UNPROVED, "attachment")
    assert found.why


@pytest.mark.parametrize(
    ("content", "media_type"),
    [
        (saved("PDF").replace(b"/Type /Catalog", b"/OpenAction << /S /JavaScript >>"), None),
        (b"note: <script>x()</script>", "text/plain"),
        (FLAC + b"<img src=x onerror=x()>", "audio/flac"),
    ],
)
def test_a_proved_file_with_a_script_in_it_is_only_handed_out(content, media_type):
    found = prove(content)
    assert (found.shown, found.why) == ("attachment", "there is a script in it")
    assert found.media_type == (media_type or "application/pdf")


@pytest.mark.parametrize(
    ("content", "media_type"),
    [
        (box(b"ftyp", b"heic\x00\x00\x00\x00mif1"), "image/heif"),
        (saved("TIFF"), "image/tiff"),
        (boxes(b"qt  "), "video/quicktime"),
    ],
)
def test_a_proved_file_that_browsers_do_not_show_is_handed_out(content, media_type):
    assert (prove(content).media_type, prove(content).shown) == (media_type, "attachment")


def test_an_empty_and_a_huge_file_are_refused():
    with pytest.raises(Unreadable, match="empty"):
        prove(b"")

    class Huge(bytes):
        def __len__(self):
            return LARGEST_FILE

    with pytest.raises(Unreadable, match="500 MB"):
        prove(Huge(b"x"))


@given(st.binary(min_size=1, max_size=200), st.sampled_from(sorted(PROVED)))
def test_any_bytes_are_proved_or_refused_without_failing(content, media_type):
    whole = PROVED[media_type][0]
    for mixed in (content, content + whole, whole[: len(content)] + content):
        with contextlib.suppress(Unreadable):
            assert prove(mixed).shown == "attachment" or prove(mixed).media_type in PROVED


@pytest.mark.parametrize("name", ["a.jpg", "A.JPEG", "a.png", "a.webp", "drawing.svg", "a.gif"])
@pytest.mark.parametrize("content", [b"N10 G0 X0", b"<svg/>", wav(), b"\x00\x01"])
def test_what_is_called_a_photograph_must_be_one(name, content):
    with pytest.raises(Unreadable) as refusal:
        prove(content, name)
    assert refusal.value.remedy


@pytest.mark.parametrize("name", ["a.jpg", "a.txt", "image", ""])
def test_a_photograph_under_any_name_is_unpacked(name):
    assert prove(saved("JPEG"), name).media_type == "image/jpeg"
    for damaged in (saved("JPEG")[:-40], saved("PNG") + b"<script>"):
        with pytest.raises(Unreadable):
            prove(damaged, name)


@pytest.mark.parametrize("name", ["page.html", "run.exe", "o0001.nc", "manual.pdf", "a.heic"])
def test_any_other_file_can_be_kept(name):
    assert prove(b"\x00\x01", name).shown == "attachment"


def test_a_photograph_tells_when_it_was_taken():
    exif = Image.Exif()
    exif.get_ifd(0x8769)[0x9003] = "2026:11:25 20:14:03"
    out = io.BytesIO()
    Image.new("RGB", (8, 6)).save(out, "JPEG", exif=exif)
    assert prove(out.getvalue()).taken == "2026-11-25T20:14:03"
    assert prove(b"N10").taken is None


def test_a_picture_is_a_photograph_or_a_film():
    assert prove_picture(saved("WEBP"), "a").media_type == "image/webp"
    assert prove_picture(boxes(b"isom"), "a.mp4").media_type == "video/mp4"
    for other in (b"N10 G0", saved("PDF"), wav(), box(b"ftyp", b"heic\x00\x00\x00\x00mif1")):
        with pytest.raises(Unreadable):
            prove_picture(other, "a")
