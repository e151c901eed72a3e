"""Writing below what the owner wrote in a lot file; not one sign of his is changed."""

from __future__ import annotations

import os
import tempfile
from datetime import datetime
from pathlib import Path

from retrue.base.refusals import NotKept
from retrue.base.say import say
from retrue.cases.case import Kept, LotCase
from retrue.cases.lot_file import block, finding_ids
from retrue.records.facts import Finding


def add_finding(content: bytes, case: LotCase, finding: Finding, name: str) -> tuple[bytes, str]:
    """The file with one more finding below, and the id it is called by.

    Parameters
    ----------
    content : bytes
        The file as it is.
    case : LotCase
        What it says.
    finding : Finding
        To add.
    name : str
        Of the file.

    Returns
    -------
    bytes, str
    """
    every = [kept.finding for kept in case.findings] + [finding]
    ids = [kept.id for kept in case.findings]
    id = finding_ids(every, [*ids, None])[-1]
    return below(content, "\n".join(block("finding", Kept(id=id, finding=finding)))), id


def add_remark(content: bytes, words: str, at: datetime) -> bytes:
    """The file with a remark below it: a comment, so that it says nothing to the sum."""
    lines = [line for line in words.splitlines() if line.strip()]
    stamp = f"{at:%Y-%m-%d %H:%M}"
    return below(content, "\n".join(f"# {stamp}  {line}" for line in lines))


def below(content: bytes, text: str) -> bytes:
    """Put text below a file, in the file's own manner of ending lines."""
    end = b"\r\n" if b"\r\n" in content else b"\n"
    more = text.encode().replace(b"\n", end) + end
    gap = b"" if content.endswith((b"\n\n", b"\n\r\n")) else end
    return content + (b"" if content.endswith(b"\n") or not content else end) + gap + more


def written(path: Path, content: bytes) -> None:
    """Put a file in its place whole, or leave the old one as it was."""
    try:
        handle, name = tempfile.mkstemp(dir=path.parent, prefix=f".{path.name}.")
        with os.fdopen(handle, "wb") as file:
            file.write(content)
            file.flush()
            os.fsync(file.fileno())
        if path.exists():
            Path(name).chmod(path.stat().st_mode & 0o777)
        Path(name).replace(path)
    except OSError as wrong:
        raise NotKept(
            say("{path} cannot be written: {why}", path=str(path), why=wrong.strerror or wrong),
            remedy=say("Check the folder and the room left; the file is as it was."),
        ) from wrong
