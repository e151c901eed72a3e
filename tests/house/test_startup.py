"""A question is answered, and a first page told, without loading what they do not need."""

from __future__ import annotations

import os
import subprocess
import sys
from datetime import UTC, datetime
from pathlib import Path

import pytest

from retrue.kinds.load import load
from retrue.records.facts import Lot
from retrue.store.shop import open_shop

HEAVY = ("numpy", "scipy", "sqlalchemy", "ortools", "matplotlib", "rich", "starlette", "typst")
ASK = """
import sys
sys.argv = ["retrue", *{arguments!r}]
from retrue.wiring import main
try:
    main()
except SystemExit as end:
    assert not end.code, end.code
print("LOADED", *sorted(sys.modules))
"""


def loaded(*arguments: str) -> set[str]:
    told = subprocess.run(
        [sys.executable, "-c", ASK.format(arguments=arguments)],
        capture_output=True,
        text=True,
        check=False,
    )
    assert told.returncode == 0, told.stderr
    assert "LOADED" in told.stdout, told.stderr
    return set(told.stdout.rpartition("LOADED")[2].split())


@pytest.mark.parametrize(
    "arguments", [("--help",), ("worth", "--help"), ("prove", "--help"), ("--version",)]
)
def test_help_loads_nothing_heavy(arguments: tuple[str, ...]):
    assert loaded(*arguments) & set(HEAVY) == set()


def test_the_package_itself_loads_nothing():
    told = subprocess.run(
        [sys.executable, "-c", "import sys, retrue; print(*sys.modules)"],
        capture_output=True,
        text=True,
        check=True,
    )
    assert not [name for name in told.stdout.split() if name.startswith("retrue.")]
    assert set(told.stdout.split()) & set(HEAVY) == set()


NOT_YET = {
    *("numpy", "scipy", "ortools", "matplotlib", "PIL", "typst", "cryptography", "rich", "alembic"),
    *("icalendar", "markdown_it", "python_calamine", "segno", "soundfile", "xlsxwriter"),
    *("retrue.paper", "retrue.figures", "retrue.science", "retrue.choose", "retrue.plan"),
    *(f"retrue.phases.{one}" for one in ("worth", "move", "strip", "find", "fix", "wake")),
    *(f"retrue.phases.{one}" for one in ("prove", "settle", "diary")),
}
FIRST = """
import asyncio, socket, sys
import uvicorn
from retrue import serving
from retrue.web import behind
from retrue.wiring import main

def answer(server, sockets):
    told = []
    scope = {{"type": "http", "method": "GET", "path": "/note", "query_string": b"",
             "headers": [(b"host", b"127.0.0.1:8314")], "root_path": "", "scheme": "http",
             "client": ("127.0.0.1", 1), "server": ("127.0.0.1", 8314)}}
    async def send(message):
        told.append(message)
    async def receive():
        return {{"type": "http.request", "body": b"", "more_body": False}}
    asyncio.run(server.config.app(scope, receive, send))
    assert told[0]["status"] == 200, told
    print("LOADED", *sorted(sys.modules))

behind.FIRST_S = 1e6  # however slow it is here, nothing else is loaded yet
serving.listening = lambda host, port: socket.create_server((host, 0))
uvicorn.Server.run = answer
main(["open", "--shop", {shop!r}])
"""


@pytest.fixture(scope="module")
def a_shop(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A user of his own with a shop of one lot; the kinds were read before."""
    home = tmp_path_factory.mktemp("home")
    shop = open_shop(str(home / "shop"), clock=lambda: datetime.now(UTC))
    shop.add(Lot(name="school, two machines"), by="owner")
    shop.close()
    load(cache=home / "cache" / "retrue" / "kinds")
    return home


def test_the_first_page_waits_for_nothing_that_it_does_not_need(a_shop: Path):
    own = {"XDG_CACHE_HOME": str(a_shop / "cache"), "XDG_DATA_HOME": str(a_shop / "data")}
    told = subprocess.run(
        [sys.executable, "-c", FIRST.format(shop=str(a_shop / "shop"))],
        env=os.environ | own,
        capture_output=True,
        text=True,
        check=False,
    )
    assert told.returncode == 0, told.stderr
    there = set(told.stdout.rpartition("LOADED")[2].split())
    assert "retrue.web.app" in there
    assert there & NOT_YET == set()
