"""Read a printed sheet back."""

from __future__ import annotations

import shutil
import subprocess

import pytest


def text_of(pdf: bytes) -> str:
    """Its text, spaces made plain; the test is reported as not run where pdftotext is missing."""
    program = shutil.which("pdftotext")
    if program is None:
        pytest.skip("pdftotext (poppler-utils) is not installed: printed text not read back")
    run = subprocess.run(
        [program, "-layout", "-", "-"], input=pdf, capture_output=True, check=True, timeout=60
    )
    return " ".join(run.stdout.decode().replace("\u202f", " ").split())
