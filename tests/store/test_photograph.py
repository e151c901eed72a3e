"""A photograph is proved by unpacking it; the copy that leaves the house tells nothing more."""

from __future__ import annotations

import contextlib
import io
import struct
import zlib

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st
from PIL import Image, ImageChops, ImageCms, ImageDraw, ImageOps, ImageStat

from retrue.base.refusals import Unreadable
from retrue.store.derived import shown
from retrue.store.photograph import LARGEST_PHOTOGRAPH, prove_photograph
from retrue.store.pictures import MOST_PIXELS

FORMS = {"JPEG": "image/jpeg", "PNG": "image/png", "WEBP": "image/webp", "GIF": "image/gif"}
FORMS["TIFF"] = "image/tiff"


def drawn(width=320, height=200):
    """A picture with a red corner at the upper left, and enough in it to fill some bytes."""
    picture = Image.effect_noise((width, height), 60).convert("RGB")
    ImageDraw.Draw(picture).rectangle((0, 0, width // 4, height // 4), fill=(200, 20, 20))
    return picture


def saved(form="JPEG", picture=None, **more):
    out = io.BytesIO()
    (picture or drawn()).save(out, form, **more)
    return out.getvalue()


def with_place(orientation=1):
    """A JPEG as a telephone writes it: the way up, the moment, the place, maker's words."""
    exif = Image.Exif()
    exif[0x0112] = orientation
    exif[0x010E] = "our workshop"
    exif.get_ifd(0x8769)[0x9003] = "2026:11:25 20:14:03"
    exif.get_ifd(0x8769)[0x9011] = "+01:00"
    exif.get_ifd(0x8825).update({1: "N", 2: (51.0, 3.0, 13.7), 3: "E", 4: (3.0, 43.0, 25.1)})
    profile = ImageCms.ImageCmsProfile(ImageCms.createProfile("sRGB")).tobytes()
    return saved(exif=exif, comment=b"secret comment", icc_profile=profile)


@pytest.mark.parametrize("form", FORMS)
def test_photographs_of_every_form_are_proved(form):
    found = prove_photograph(saved(form))
    assert (found.media_type, found.width_px, found.height_px) == (FORMS[form], 320, 200)
    assert found.taken is None


def test_the_moment_and_the_upright_size_are_read():
    found = prove_photograph(with_place(orientation=6))
    assert found.taken == "2026-11-25T20:14:03+01:00"
    assert (found.width_px, found.height_px) == (200, 320)


@pytest.mark.parametrize("form", FORMS)
@pytest.mark.parametrize("share", [0.1, 0.5, 0.9, 0.97])
def test_a_photograph_cut_off_anywhere_is_refused(form, share):
    whole = saved(form)
    with pytest.raises(Unreadable) as refusal:
        prove_photograph(whole[: int(len(whole) * share)])
    assert refusal.value.remedy


@pytest.mark.parametrize(
    ("content", "reason"),
    [
        (b"", "empty"),
        (b"N10 G0 X0 Y0", "not a photograph"),
        (b"%PDF-1.7 %%EOF", "not a photograph"),
        (b"\xff\xd8\xff\xe0garbage", "not a photograph"),
        (b"<svg xmlns='http://www.w3.org/2000/svg'/>", "drawing made of marks"),
        (b"\xef\xbb\xbf  <?xml version='1.0'?><svg onload='x()'/>", "drawing made of marks"),
        (b"<!DOCTYPE html><p>hello", "drawing made of marks"),
        (b"\x00\x00\x00\x18ftypheic\x00\x00\x00\x00mif1heic", "HEIF"),
    ],
)
def test_what_is_no_photograph_is_refused_with_its_reason(content, reason):
    with pytest.raises(Unreadable, match=reason) as refusal:
        prove_photograph(content)
    assert refusal.value.remedy


@pytest.mark.parametrize(
    "script",
    [b"<script>alert(1)</script>", b"<ScRiPt src=//x>", b"<?php system(1)", b"javascript:x"],
)
def test_a_photograph_with_a_script_in_it_is_refused(script):
    for content in (saved() + script, saved(comment=script), saved("PNG") + script):
        with pytest.raises(Unreadable, match="script"):
            prove_photograph(content)


@pytest.mark.parametrize("size", [LARGEST_PHOTOGRAPH, 60 * 2**20])
def test_a_photograph_of_sixty_megabytes_is_refused_and_the_limit_named(size):
    content = saved()
    content += bytes(size - len(content))
    with pytest.raises(Unreadable, match="60 MB"):
        prove_photograph(content)


def huge_png(width, height):
    """A picture of few bytes that unpacks to many pixels."""

    def chunk(name, body):
        return (
            struct.pack(">I", len(body)) + name + body + struct.pack(">I", zlib.crc32(name + body))
        )

    head = struct.pack(">IIBBBBB", width, height, 1, 0, 0, 0, 0)
    rows = zlib.compress(bytes((width // 8 + 1) * 100))
    return b"\x89PNG\r\n\x1a\n" + chunk(b"IHDR", head) + chunk(b"IDAT", rows) + chunk(b"IEND", b"")


@pytest.mark.parametrize("side", [11_500, 60_000])
def test_a_picture_that_unpacks_to_too_much_is_refused_before_it_is_unpacked(side):
    assert side * side > MOST_PIXELS
    with pytest.raises(Unreadable, match="130 million pixels"):
        prove_photograph(huge_png(side, side))


def test_the_copy_has_no_place_time_comment_or_profile():
    original = with_place()
    for word in (b"secret comment", b"our workshop", b"2026:11:25", b"ICC_PROFILE", b"Exif"):
        assert word in original
    copy = shown(original, longest_px=100)
    for word in (b"secret comment", b"our workshop", b"2026:11:25", b"ICC_PROFILE", b"Exif"):
        assert word not in copy
    with Image.open(io.BytesIO(copy)) as picture:
        assert dict(picture.getexif()) == {}
        assert picture.format == "JPEG"
        assert picture.size == (100, 63)
        assert set(picture.info) <= {"jfif", "jfif_version", "jfif_unit", "jfif_density"}
    assert shown(original, longest_px=100) == copy


@pytest.mark.parametrize(
    ("orientation", "corner"), [(1, "upper left"), (3, "lower right"), (6, "upper right")]
)
def test_the_copy_is_upright(orientation, corner):
    """Exif 2.32 (CIPA DC-008), 4.6.4: 3 turns half round, 6 a quarter clockwise."""
    with Image.open(io.BytesIO(shown(with_place(orientation), longest_px=320))) as picture:
        wide, high = picture.size
        assert (wide > high) is (orientation != 6)
        spots = {
            "upper left": (10, 10),
            "lower right": (wide - 10, high - 10),
            "upper right": (wide - 10, 10),
        }
        red = [
            name for name, spot in spots.items() if _is_red(picture.convert("RGB").getpixel(spot))
        ]
    assert red == [corner]


@pytest.mark.parametrize("orientation", range(1, 9))
def test_all_eight_ways_up_are_as_pillow_turns_them(orientation):
    original = with_place(orientation)
    with (
        Image.open(io.BytesIO(original)) as picture,
        Image.open(io.BytesIO(shown(original, longest_px=320))) as copy,
    ):
        turned = ImageOps.exif_transpose(picture)
        assert copy.size == turned.size
        assert ImageStat.Stat(ImageChops.difference(copy, turned)).mean < [8, 8, 8]


def _is_red(colour):
    red, green, blue = colour
    return red > 150 and green < 80 and blue < 80


@pytest.mark.parametrize("mode", ["1", "L", "LA", "P", "RGBA", "CMYK", "I;16"])
def test_pictures_of_every_colour_mode_get_a_copy(mode):
    form = "TIFF" if mode == "CMYK" else "PNG"
    wanted = drawn(40, 30)
    picture = (
        Image.frombytes("I;16", (40, 30), bytes([0, 128] * 1200))
        if mode == "I;16"
        else wanted.convert(mode)
    )
    content = saved(form, picture)
    prove_photograph(content)
    with Image.open(io.BytesIO(shown(content, longest_px=20))) as copy:
        assert (copy.size, copy.mode) == ((20, 15), "RGB")
        if mode == "I;16":
            assert copy.getpixel((10, 7)) == (128, 128, 128)


def test_clear_parts_become_white():
    clear = Image.new("RGBA", (8, 8), (0, 0, 0, 0))
    with Image.open(io.BytesIO(shown(saved("PNG", clear), longest_px=8))) as copy:
        assert copy.getpixel((4, 4)) == (255, 255, 255)


def test_a_small_picture_is_not_made_larger():
    with Image.open(io.BytesIO(shown(saved(), longest_px=4000))) as copy:
        assert copy.size == (320, 200)


WHOLE = with_place()


@given(
    st.lists(st.tuples(st.integers(0, len(WHOLE) - 1), st.integers(0, 255)), max_size=8),
    st.integers(1, len(WHOLE)),
)
@settings(max_examples=50)
@pytest.mark.filterwarnings("ignore::UserWarning:PIL")  # Pillow tells of damaged EXIF
def test_a_damaged_photograph_is_read_or_refused_and_nothing_else(changes, length):
    content = bytearray(WHOLE)
    for at, byte in changes:
        content[at] = byte
    for deed in (prove_photograph, lambda picture: shown(picture, longest_px=50)):
        with contextlib.suppress(Unreadable):
            deed(bytes(content[: max(length, len(WHOLE) - length)]))
