"""Several processes write to one shop at once: nothing is lost, the chain stays one chain."""

from __future__ import annotations

import json
import os
import subprocess
import sys
from pathlib import Path

from retrue.records.chain import verify_chain
from retrue.records.facts import Finding, Note

ROOT = Path(__file__).resolve().parents[2]
SHARED, OWN, PROCESSES = 15, 40, 3

WRITER = """
import json, sys
from datetime import UTC, datetime
from retrue.base.refusals import Overtaken
from retrue.records.facts import Finding, Note
from retrue.store.shop import open_shop

place, files, name = sys.argv[1:]
print("ready", flush=True)
sys.stdin.readline()
shop = open_shop(place, clock=lambda: datetime.now(UTC), files=None)
won = []
for n in range({OWN}):
    shop.add(Note(text=f"{name} {n}"), by=name)
    shop.add(Note(text=f"outbox {n}"), by="phone", id=f"same{n}")
    if n < {SHARED}:
        fact = Finding(lot="l1", machine=None, check="C01", answer="slight", text=name)
        try:
            shop.add(fact, by=name, replaces=f"shared{n}")
            won.append(n)
        except Overtaken:
            pass
shop.close()
print(json.dumps(won), flush=True)
""".replace("{OWN}", str(OWN)).replace("{SHARED}", str(SHARED))


def write_together(place: str, files: Path, code: str = WRITER) -> list[list[int]]:
    """Start the writers together and return which shared findings each one corrected."""
    writers = [
        subprocess.Popen(
            [sys.executable, "-W", "error", "-c", code, place, str(files), f"writer {n}"],
            stdin=subprocess.PIPE,
            stdout=subprocess.PIPE,
            text=True,
            env={**os.environ, "PYTHONPATH": str(ROOT / "src")},
        )
        for n in range(PROCESSES)
    ]
    try:
        for writer in writers:
            assert writer.stdout is not None
            assert writer.stdout.readline() == "ready\n"
        told = []
        for writer in writers:
            assert writer.stdin is not None
            writer.stdin.write("go\n")
            writer.stdin.flush()
        for writer in writers:
            told.append(json.loads(writer.communicate(timeout=60)[0]))
        return told
    finally:
        for writer in writers:
            writer.kill()
            writer.wait()


def test_processes_writing_at_once_lose_nothing_and_correct_once(place, opens, tmp_path):
    shop = opens(place)
    for n in range(SHARED):
        fact = Finding(lot="l1", machine=None, check="C01", answer="seen")
        shop.add(fact, by="owner", id=f"shared{n}")
    won = write_together(place, tmp_path / "files")
    assert sorted(n for one in won for n in one) == list(range(SHARED))
    notes = [one.fact.text for one in shop.current(Note)]
    wanted = [f"writer {p} {n}" for p in range(PROCESSES) for n in range(OWN)]
    assert sorted(notes) == sorted(wanted + [f"outbox {n}" for n in range(OWN)])
    assert len(shop.current(Finding)) == SHARED
    assert {one.fact.answer for one in shop.current(Finding)} == {"slight"}
    assert verify_chain(shop) == []


NEWCOMER = """
import sys
from datetime import UTC, datetime
from retrue.records.facts import Note
from retrue.store.shop import open_shop
print("ready", flush=True)
sys.stdin.readline()
shop = open_shop(sys.argv[1], clock=lambda: datetime.now(UTC))
shop.add(Note(text=sys.argv[3]), by="owner")
shop.close()
print("[]", flush=True)
"""


def test_processes_that_make_a_new_shop_at_once_make_one(place, tmp_path, opens):
    write_together(place, tmp_path / "files", NEWCOMER)
    shop = opens(place)
    assert sorted(one.fact.text for one in shop.current(Note)) == [
        f"writer {n}" for n in range(PROCESSES)
    ]
    assert verify_chain(shop) == []
