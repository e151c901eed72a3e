"""Recordings are read by what they are; each that cannot be read is refused by name."""

from __future__ import annotations

import io
import struct

import numpy as np
import pytest
import soundfile

from retrue.base.refusals import Unreadable
from retrue.store.sound_file import is_sound, read_sound

RATE = 8000


def tone(seconds: float = 2, size: float = 0.5, channels: int = 1) -> np.ndarray:
    one = size * np.sin(2 * np.pi * 440 * np.arange(round(seconds * RATE)) / RATE)
    return np.column_stack([one / (1 + place) for place in range(channels)]).astype("f4")


def made(samples: np.ndarray, form: str = "WAV", subtype: str = "PCM_16", rate: int = RATE):
    out = io.BytesIO()
    soundfile.write(out, samples, rate, format=form, subtype=subtype)
    return out.getvalue()


@pytest.mark.parametrize(
    ("form", "subtype", "within"),
    [
        ("WAV", "PCM_16", 4e-5),
        ("WAV", "PCM_24", 1e-6),
        ("WAV", "PCM_U8", 1.2e-2),
        ("WAV", "FLOAT", 1e-9),
        ("WAVEX", "PCM_16", 4e-5),
        ("RF64", "PCM_16", 4e-5),
        ("FLAC", "PCM_16", 4e-5),
        ("OGG", "VORBIS", 0.05),
    ],
)
def test_samples_come_as_they_were_recorded(form: str, subtype: str, within: float):
    sound = tone(channels=2)
    content = made(sound, form, subtype)
    assert is_sound(content)
    found = read_sound(content, "one.dat")
    assert found.samples.shape == sound.shape
    assert np.abs(found.samples - sound).max() <= within
    assert (found.rate_hz, found.channels, found.seconds) == (RATE, 2, 2.0)
    assert found.clipped_share == (0.0, 0.0)
    assert found.lossy == (subtype == "VORBIS")


@pytest.mark.parametrize("subtype", ["PCM_16", "PCM_24", "PCM_U8", "FLOAT"])
def test_what_is_cut_off_at_the_top_is_counted(subtype: str):
    """A sine of twice full scale stands at the top for two thirds of its time."""
    loud = np.clip(tone(size=2.0), -1, 1)
    found = read_sound(made(np.column_stack([loud, tone()]), subtype=subtype), "loud.wav")
    assert found.clipped_share[0] == pytest.approx(2 / 3, abs=0.02)
    assert found.clipped(2) == 0


def test_a_loud_sound_that_is_not_cut_off_is_not_called_so():
    assert read_sound(made(tone(size=0.98)), "a.wav").clipped_share == (0.0,)


@pytest.mark.parametrize(
    ("content", "says"),
    [
        (b"", "empty"),
        (b"\x00\x00\x00\x18ftypM4A ", "M4A"),
        (b"ID3\x04 and so on", "MP3"),
        (b"#!AMR\n", "AMR"),
        (b"FORM\x00\x02\xee.AIFFCOMM", "AIFF"),
        (b"PK\x03\x04", "ZIP"),
        (b"frequency_hz,level_db\n63,80\n", "no recording of sound"),
        (b"RIFF\x24\x00\x00\x00AVI LIST", "no recording of sound"),
        (b"RIFF\x24\x00\x00\x00WAVE", "damaged or cut off"),
        (b"fLaC rubbish", "damaged or cut off"),
        (b"OggS rubbish", "damaged or cut off"),
    ],
)
def test_what_is_no_recording_is_named(content: bytes, says: str):
    with pytest.raises(Unreadable, match=says):
        read_sound(content, "machine.wav")


@pytest.mark.parametrize("form", ["WAV", "FLAC", "OGG"])
@pytest.mark.parametrize("share", [0.1, 0.5, 0.98])
def test_a_recording_that_breaks_off_is_refused(form: str, share: float):
    content = made(tone(4), form, "VORBIS" if form == "OGG" else "PCM_16")
    with pytest.raises(Unreadable, match="damaged or cut off"):
        read_sound(content[: int(share * len(content))], "half.wav")


def test_a_recorder_that_never_closed_its_file_is_refused_and_a_stream_is_read():
    content = bytearray(made(tone()))
    at = content.index(b"data") + 4
    content[at : at + 4] = struct.pack("<I", 0)
    with pytest.raises(Unreadable, match="damaged or cut off"):
        read_sound(bytes(content), "open.wav")
    content[at : at + 4] = content[4:8] = struct.pack("<I", 0xFFFFFFFF)
    assert read_sound(bytes(content), "stream.wav").seconds == 2.0


def test_damage_in_the_middle_is_refused():
    content = bytearray(made(tone(10), "FLAC"))
    content[len(content) // 2 : len(content) // 2 + 400] = bytes(400)
    with pytest.raises(Unreadable, match="damaged"):
        read_sound(bytes(content), "scratched.flac")


@pytest.mark.parametrize(
    ("samples", "rate", "says"),
    [
        (tone(0.5), RATE, "0.50 s long"),
        (tone(4), 1000, "samples a second"),
        (np.zeros((2 * RATE, 40), "f4"), RATE, "40 channels"),
    ],
)
def test_shapes_that_say_too_little_are_refused(samples: np.ndarray, rate: int, says: str):
    with pytest.raises(Unreadable, match=says):
        read_sound(made(samples, rate=rate), "a.wav")


def test_a_recording_of_hours_is_refused_before_it_is_unpacked():
    """FLAC of silence is small; eight channels of an hour would be gigabytes."""
    silent = np.zeros((100_000, 8), "i2")
    out = io.BytesIO()
    with soundfile.SoundFile(out, "w", 48000, 8, format="FLAC", subtype="PCM_16") as file:
        for _ in range(160):
            file.write(silent)
    with pytest.raises(Unreadable, match="6 minutes long"):
        read_sound(out.getvalue(), "all-day.flac")


@pytest.mark.parametrize("wrong", [np.nan, np.inf, 1e30])
def test_numbers_that_no_recorder_writes_are_refused(wrong: float):
    broken = tone()
    broken[100] = wrong
    with pytest.raises(Unreadable, match="no recorder writes"):
        read_sound(made(broken, subtype="FLOAT"), "a.wav")
