"""A file of sound becomes numbers; what it is, is told by its content, never by its name."""

from __future__ import annotations

import io
from typing import TYPE_CHECKING, Any

import numpy as np

from retrue.base.formatter import number
from retrue.base.refusals import Unreadable
from retrue.base.say import say
from retrue.cases.prove.recording import Recording, Samples
from retrue.cases.prove.table import Table, read_table
from retrue.store.media import MEGABYTE, refuse_size
from retrue.store.spreadsheet import BEGINS, as_csv

if TYPE_CHECKING:
    from retrue.base.refusals import Refusal

LARGEST = 500 * MEGABYTE
MOST_SAMPLES = 120_000_000  # of all channels: 20 minutes of two at 48 000 a second, 480 MB held
MOST_SCALE = 1e6  # samples of a sensor may be in its unit; beyond that they are damage
LEAST_S = 1.0
MOST_CHANNELS = 32
SLOWEST_HZ, FASTEST_HZ = 4_000, 1_000_000
# How near to full scale the highest number of each form of sample is.
STEP = {"PCM_U8": 2.0**-7, "PCM_S8": 2.0**-7, "PCM_16": 2.0**-15, "PCM_24": 2.0**-23}
LOSSY = ("VORBIS", "OPUS")
# Forms that are recognised to be named; none of them is read.
OTHERS: tuple[tuple[int, bytes, str], ...] = (
    (4, b"ftyp", "M4A (AAC)"),
    (0, b"ID3", "MP3"),
    (0, b"\xff\xfb", "MP3"),
    (0, b"\xff\xf3", "MP3"),
    (0, b"\xff\xf1", "AAC"),
    (0, b"\xff\xf9", "AAC"),
    (0, b"#!AMR", "AMR"),
    (0, b"caff", "CAF"),
    (0, b"FORM", "AIFF"),
    (0, b".snd", "AU"),
    (0, b"0&\xb2u", "WMA"),
    (0, b"\x1aE\xdf\xa3", "WebM"),
    (0, b"PK\x03\x04", "ZIP"),
    (0, b"%PDF", "PDF"),
)


def is_sound(content: bytes) -> bool:
    """Whether a file begins as WAV, FLAC or Ogg does.

    Parameters
    ----------
    content : bytes
        The whole file, or its beginning.

    Returns
    -------
    bool

    References
    ----------
    RIFF (Microsoft, IBM 1991); EBU Tech 3306 (RF64); RFC 9639 (FLAC); RFC 3533 (Ogg).

    Examples
    --------
    >>> is_sound(b"fLaC\\x00\\x00"), is_sound(b"frequency_hz,level_db")
    (True, False)
    """
    return _form(content) != ""


def sound_or_table(content: bytes, name: str) -> Recording | Table:
    """A recording, or a table of levels, whichever it is.

    Parameters
    ----------
    content : bytes
        WAV, FLAC, Ogg; or CSV, XLSX.
    name : str
        For refusals.

    Returns
    -------
    Recording or Table

    Raises
    ------
    Unreadable
        It is neither, or damaged.
    Unusable
        A table's rows do not fit its headings.

    Examples
    --------
    >>> sound_or_table(b"level_a_db\\n80\\n", "ear.csv").numbers("level_a_db").tolist()
    [80.0]
    """
    if is_sound(content):
        return read_sound(content, name)
    packed = content.startswith(BEGINS)
    if not packed and any(content[at : at + len(mark)] == mark for at, mark, _ in OTHERS):
        raise _other(content, name)
    refuse_size(content, LARGEST, say("file"))
    return read_table(as_csv(content, name), name)


def read_sound(content: bytes, name: str) -> Recording:
    """The samples of a recording.

    Parameters
    ----------
    content : bytes
        The whole file: WAV, FLAC or Ogg (Vorbis, Opus).
    name : str
        For refusals.

    Returns
    -------
    Recording
        Samples of shape (frames, channels), full scale being one.

    Raises
    ------
    Unreadable
        It is empty, too large, of another form, damaged, cut off, shorter than a second, too long,
        has too many channels, or a rate that no recorder has; each with what to do.

    References
    ----------
    As for :func:`is_sound`; unpacked by libsndfile.
    """
    refuse_size(content, LARGEST, say("recording"))
    form = _form(content)
    if not form:
        raise _other(content, name)
    if form == "WAV":
        _refuse_cut_wav(content, name)
    if form == "OGG" and not _has_last_page(content):
        raise _cut_off(name)
    samples, rate, subtype = _unpacked(content, name)
    largest = float(np.abs(samples).max())
    if not largest <= MOST_SCALE:  # nor a sample that is no number
        raise Unreadable(
            say("{name} has samples that no recorder writes", name=name),
            remedy=say("Save it again as WAV with 16 or 24 bits, or record it again."),
        )
    return Recording(
        name=name,
        samples=samples,
        rate_hz=float(rate),
        clipped_share=_clipped(samples, subtype),
        form=form,
        lossy=subtype in LOSSY,
    )


def _form(content: bytes) -> str:
    if content[:4] in (b"RIFF", b"RF64") and content[8:12] == b"WAVE":
        return "WAV"
    return {b"fLaC": "FLAC", b"OggS": "OGG"}.get(content[:4], "")


def _other(content: bytes, name: str) -> Refusal:
    for at, mark, what in OTHERS:
        if content[at : at + len(mark)] == mark:
            return Unreadable(
                say("{name} is {what}, which is not read here", name=name, what=what),
                remedy=say("Set the recorder to WAV without automatic gain, and record again."),
            )
    return Unreadable(
        say("{name} is no recording of sound", name=name),
        remedy=say("Choose a WAV, FLAC or OGG file, or a CSV of levels."),
    )


def _cut_off(name: str) -> Unreadable:
    return Unreadable(
        say("{name} is damaged or cut off", name=name),
        remedy=say("Copy it from the recorder again, or record again."),
    )


def _refuse_cut_wav(content: bytes, name: str) -> None:
    """RIFF: the chunk of samples must be there as long as it says; streams may leave it open."""
    at = 12
    while at + 8 <= len(content):
        size = int.from_bytes(content[at + 4 : at + 8], "little")
        if content[at : at + 4] == b"data":
            left = len(content) - at - 8
            if (size > left and size != 0xFFFFFFFF) or (size == 0 and left > 0):
                raise _cut_off(name)
            return
        at += 8 + size + size % 2
    raise _cut_off(name)


def _has_last_page(content: bytes) -> bool:
    """RFC 3533, 6: the last page of a stream says that it is the last, and how long it is."""
    last = content.rfind(b"OggS\x00")
    if last < 0 or len(content) < last + 27 or not content[last + 5] & 4:
        return False
    body = last + 27 + content[last + 26]
    return len(content) >= body + sum(content[last + 27 : body])


def _unpacked(content: bytes, name: str) -> tuple[Samples, int, str]:
    import soundfile

    try:
        with soundfile.SoundFile(io.BytesIO(content)) as opened:
            _refuse_shape(opened, name)
            samples: Any = opened.read(dtype="float32", always_2d=True)
            if len(samples) != opened.frames:
                raise _cut_off(name)
            return samples, int(opened.samplerate), str(opened.subtype)
    except soundfile.LibsndfileError as wrong:
        raise _cut_off(name) from wrong


def _refuse_shape(opened: Any, name: str) -> None:
    frames, rate, channels = opened.frames, opened.samplerate, opened.channels
    if not SLOWEST_HZ <= rate <= FASTEST_HZ or channels > MOST_CHANNELS:
        raise Unreadable(
            say("{name} has {rate} samples a second in {channels} channels", name=name,
                rate=number(rate), channels=channels),
            remedy=say("Record one or two channels with 44 100 or 48 000 samples a second."),
        )  # fmt: skip
    if frames < LEAST_S * rate:
        raise Unreadable(
            say("{name} is {seconds} s long", name=name, seconds=number(frames / rate, 2)),
            remedy=say("A second is the least; record half a minute."),
        )
    if frames * channels > MOST_SAMPLES:
        raise Unreadable(
            say("{name} is {minutes} minutes long", name=name,
                minutes=number(frames / rate / 60.0)),
            remedy=say("Cut a few minutes out of it: half a minute is enough for steady sound."),
        )  # fmt: skip


def _clipped(samples: Samples, subtype: str) -> tuple[float, ...]:
    """The share of each channel that stands at full scale."""
    top = np.float32(1.0 - 1.5 * STEP.get(subtype, 2.0**-15))
    return tuple(
        float(np.count_nonzero(np.abs(samples[:, place]) >= top) / len(samples))
        for place in range(samples.shape[1])
    )
