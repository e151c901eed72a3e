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

TOGETHER = """
import json, os, sys, traceback
from datetime import UTC, datetime
from retrue.base.refusals import Overtaken
from retrue.records.facts import Finding, Note
from retrue.store.shop import open_shop

{writer}

place, *names = sys.argv[1:]
waiting, go = os.pipe()
for name in names:
    if os.fork() == 0:
        status = 1
        try:
            os.close(go)
            os.read(waiting, 1)  # it ends when the last end to write to is closed: for all at once
            print(json.dumps(write(place, name)), flush=True)
            status = 0
        except BaseException:
            traceback.print_exc()
        os._exit(status)
os.close(go)
sys.exit(any([os.wait()[1] for _ in names]))
"""
WRITER = """
def write(place, name):
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
    return won
""".replace("{OWN}", str(OWN)).replace("{SHARED}", str(SHARED))


def write_together(place: str, writer: str = WRITER) -> list[list[int]]:
    """Let processes write together and return which shared findings each one corrected.

    They are forked before any of them opens the shop, from one program that has its modules.
    """
    names = [f"writer {n}" for n in range(PROCESSES)]
    done = subprocess.run(
        [sys.executable, "-W", "error", "-c", TOGETHER.replace("{writer}", writer), place, *names],
        capture_output=True,
        text=True,
        check=False,
        timeout=300,  # waits for nothing but a machine that is slow
        env={**os.environ, "PYTHONPATH": str(ROOT / "src")},
    )
    assert done.returncode == 0, done.stderr
    told = [json.loads(line) for line in done.stdout.splitlines()]
    assert len(told) == PROCESSES
    return told


def test_processes_writing_at_once_lose_nothing_and_correct_once(place, opens):
    shop = opens(place)
    for n in range(SHARED):
        fact = Finding(lot="l1", machine=None, check="C01", answer="seen")
        shop.add(fact, by="owner", id=f"shared{n}")
    won = write_together(place)
    assert sorted(n for one in won for n in one) == list(range(SHARED))
    notes = [one.fact.text for one in shop.current(Note)]
    wanted = [f"writer {p} {n}" for p in range(PROCESSES) for n in range(OWN)]
    assert sorted(notes) == sorted(wanted + [f"outbox {n}" for n in range(OWN)])
    assert len(shop.current(Finding)) == SHARED
    assert {one.fact.answer for one in shop.current(Finding)} == {"slight"}
    assert verify_chain(shop) == []


NEWCOMER = """
def write(place, name):
    shop = open_shop(place, clock=lambda: datetime.now(UTC))
    shop.add(Note(text=name), by="owner")
    shop.close()
    return []
"""


def test_processes_that_make_a_new_shop_at_once_make_one(place, opens):
    write_together(place, NEWCOMER)
    shop = opens(place)
    assert sorted(one.fact.text for one in shop.current(Note)) == [
        f"writer {n}" for n in range(PROCESSES)
    ]
    assert verify_chain(shop) == []
