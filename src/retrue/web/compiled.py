"""Templates as they were compiled before, in a folder that may be emptied at any time.

A kept file carries at its front the hash of its content, of Jinja's version and of the module that
sets Jinja up; where that differs the template is compiled anew.
"""

from __future__ import annotations

import contextlib
import hashlib
import os
from pathlib import Path

import jinja2
from jinja2.bccache import Bucket

from retrue.web import pages

LONG = hashlib.sha256().digest_size


class Compiled(jinja2.BytecodeCache):
    """Keeps what was compiled; a folder that cannot be read or written is passed over.

    Parameters
    ----------
    folder : Path
        Made when something is kept.
    """

    def __init__(self, folder: Path) -> None:
        self.folder = folder
        self._made_by = jinja2.__version__.encode() + Path(pages.__file__).read_bytes()

    def load_bytecode(self, bucket: Bucket) -> None:
        """Take what was kept of a template, if it is whole and made as it would be made now."""
        with contextlib.suppress(OSError):
            kept = self._file(bucket).read_bytes()
            if kept[:LONG] == self._mark(kept[LONG:]):
                bucket.bytecode_from_string(kept[LONG:])

    def dump_bytecode(self, bucket: Bucket) -> None:
        """Keep a template that was compiled."""
        content, target = bucket.bytecode_to_string(), self._file(bucket)
        draft = target.with_suffix(f".{os.getpid()}.draft")
        with contextlib.suppress(OSError):
            self.folder.mkdir(parents=True, exist_ok=True)
            draft.write_bytes(self._mark(content) + content)
            draft.replace(target)

    def _mark(self, content: bytes) -> bytes:
        return hashlib.sha256(self._made_by + content).digest()

    def _file(self, bucket: Bucket) -> Path:
        return self.folder / f"{bucket.key}.kept"


def keep_compiled(folder: Path) -> None:
    """Compile no template that a program before this one has compiled.

    Parameters
    ----------
    folder : Path
        Where they are kept.
    """
    pages.templates().bytecode_cache = Compiled(folder)
