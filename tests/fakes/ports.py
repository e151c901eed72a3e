"""Ports that nobody takes between the look at them and their use."""

from __future__ import annotations

import os
import socket

FIRST, COUNT = 20_000, 10_000  # below those that a system gives to whoever asks for any
APART = 50  # so that two processes of tests look in different places


def free_ports(count: int = 1) -> int:
    """The first of so many free ports in a row."""
    begins = os.getpid() * APART % COUNT
    for step in range(0, COUNT, count):
        port = FIRST + (begins + step) % COUNT
        if all(map(_is_free, range(port, port + count))):
            return port
    raise AssertionError(f"no {count} free ports in a row")


def _is_free(port: int) -> bool:
    with socket.socket() as one:
        try:
            one.bind(("0.0.0.0", port))
        except OSError:
            return False
    return True
