"""Recordings as a telephone sends them."""

from __future__ import annotations

import io
import wave


def wav(seconds: int, rate_hz: int = 8000) -> bytes:
    """A square tone of a quarter of the rate."""
    made = io.BytesIO()
    with wave.open(made, "wb") as file:
        file.setnchannels(1)
        file.setsampwidth(2)
        file.setframerate(rate_hz)
        file.writeframes(b"\x00\x10\x00\xf0" * (seconds * rate_hz // 2))
    return made.getvalue()
