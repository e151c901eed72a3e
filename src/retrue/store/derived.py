"""The copy of a photograph that is shown, printed or given away; the original stays as it came."""

from __future__ import annotations

import io
from typing import TYPE_CHECKING

from retrue.base.refusals import Unreadable
from retrue.base.say import say
from retrue.store.photograph import unpack, way_up
from retrue.store.pictures import open_picture

if TYPE_CHECKING:
    from PIL.Image import Image

QUALITY = 85


def shown(content: bytes, *, longest_px: int) -> bytes:
    """Make the copy that is shown, printed or given away: upright, small, without metadata.

    Parameters
    ----------
    content : bytes
        A proved photograph.
    longest_px : int
        The longest side of the copy, in pixels; a smaller picture is not made larger.

    Returns
    -------
    bytes
        JPEG in sRGB, without place, time, maker, comment or thumbnail; the same each time.

    Raises
    ------
    Unreadable
        As for `prove_photograph`.
    """
    from PIL import Image

    picture = open_picture(content)
    if picture is None:
        raise Unreadable(
            say("this is not a photograph"), remedy=say("Choose a JPEG, PNG or WebP picture.")
        )
    with picture:
        picture.draft("RGB", (longest_px, longest_px))  # JPEG unpacks small at once
        unpack(picture)
        small = _in_srgb(_flat(_upright(picture)), picture.info.get("icc_profile"))
        small.thumbnail((longest_px, longest_px), Image.Resampling.LANCZOS)
        bare = Image.new("RGB", small.size)
        bare.paste(small)
    out = io.BytesIO()
    bare.save(out, "JPEG", quality=QUALITY, optimize=True)
    return out.getvalue()


def _upright(picture: Image) -> Image:
    from PIL.Image import Transpose

    turns = {
        2: Transpose.FLIP_LEFT_RIGHT,
        3: Transpose.ROTATE_180,
        4: Transpose.FLIP_TOP_BOTTOM,
        5: Transpose.TRANSPOSE,
        6: Transpose.ROTATE_270,
        7: Transpose.TRANSVERSE,
        8: Transpose.ROTATE_90,
    }
    way = way_up(picture)
    return picture.transpose(turns[way]) if way in turns else picture


def _flat(picture: Image) -> Image:
    """In three colours, on white where it is clear."""
    from PIL import Image

    if picture.mode in ("RGBA", "LA", "PA") or "transparency" in picture.info:
        clear = picture.convert("RGBA")
        white = Image.new("RGBA", clear.size, "white")
        return Image.alpha_composite(white, clear).convert("RGB")
    if picture.mode.startswith("I"):  # sixteen bits of grey
        picture = picture.point(lambda grey: grey / 256).convert("L")
    return picture if picture.mode == "RGB" else picture.convert("RGB")


def _in_srgb(picture: Image, profile: bytes | None) -> Image:
    """In the colours every screen assumes, since the copy carries no profile."""
    if not profile:
        return picture
    from PIL import ImageCms

    try:
        turned = ImageCms.profileToProfile(
            picture,
            ImageCms.ImageCmsProfile(io.BytesIO(profile)),
            ImageCms.createProfile("sRGB"),
            outputMode="RGB",
        )
    except (ImageCms.PyCMSError, OSError, ValueError):
        return picture
    return turned or picture
