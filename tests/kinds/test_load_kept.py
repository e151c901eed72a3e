"""The library as it was read is kept beside; what is kept and harmed is read anew."""

from __future__ import annotations

from pathlib import Path

from tests.library import load as once

from retrue.kinds.load import load

LATHE = "turning_centre"


def test_what_is_kept_is_what_was_read(tmp_path: Path):
    read = load(cache=tmp_path)
    assert load(cache=tmp_path) == read == once()
    [kept] = tmp_path.iterdir()
    assert kept.suffix == ".kept"


def test_a_harmed_keeping_is_not_trusted(tmp_path: Path):
    only = (LATHE,)
    read = load(cache=tmp_path, only=only)
    [kept] = tmp_path.iterdir()
    whole = kept.read_bytes()
    at = len(whole) // 2
    turned = whole[:at] + bytes([whole[at] ^ 1]) + whole[at + 1 :]
    for harm in (b"", b"x", b"\x00" * 40, turned):
        kept.write_bytes(harm)
        assert load(cache=tmp_path, only=only) == read
        assert kept.read_bytes() == whole  # and is kept anew


def test_own_numbers_are_kept_apart(tmp_path: Path):
    text = (("own.toml", b'[[fault]]\nid = "F12"\nprior = 0.4\n'),)
    assert load(cache=tmp_path)[LATHE].faults["F12"].prior == 0.25
    assert load(text, cache=tmp_path)[LATHE].faults["F12"].prior == 0.4
    assert load(cache=tmp_path)[LATHE].faults["F12"].prior == 0.25
    assert set(load(cache=tmp_path, only=(LATHE,))) == {LATHE}


def test_few_are_kept_and_a_folder_that_cannot_be_written_is_no_matter(tmp_path: Path):
    only = (LATHE,)
    read = load(cache=tmp_path, only=only)
    [first] = tmp_path.iterdir()
    for number in range(9):  # as if read with other numbers of the owner's, one after the other
        (tmp_path / f"kinds-{number:040}.kept").write_bytes(first.read_bytes())
    load((("own.toml", b'[[fault]]\nid = "F12"\nprior = 0.4\n'),), cache=tmp_path, only=only)
    assert len(list(tmp_path.iterdir())) == 8
    file = tmp_path / "file"
    file.write_bytes(b"")
    assert load(cache=file, only=only) == read
