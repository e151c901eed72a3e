"""The wiring: which shop, whose numbers, one thread, a server that is told what it may do."""

from __future__ import annotations

import json
import os
import socket
import stat
import subprocess
import sys
from pathlib import Path
from typing import Any

import pytest
import uvicorn
from tests.fakes.ports import free_ports

from retrue import wiring
from retrue.cases.lot_file import read_lot
from retrue.cli.house import House
from retrue.paper.press import press
from retrue.phases import worth
from retrue.wiring import Wired, run

HOME = Path(__file__).resolve().parents[2]


@pytest.fixture(autouse=True)
def own_home(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """A user of its own; nothing of the real one is touched."""
    monkeypatch.setenv("HOME", str(tmp_path))
    for name in ("RETRUE_SHOP", "XDG_DATA_HOME", "XDG_CACHE_HOME"):
        monkeypatch.delenv(name, raising=False)
    return tmp_path


@pytest.fixture
def house() -> House:
    return Wired().house()


def keep(*more: str) -> None:
    assert run(["note", "line", "oil", *more]) == 0


def test_the_shop_is_the_one_named_else_the_setting_else_the_data_folder(
    own_home: Path, monkeypatch: pytest.MonkeyPatch
):
    keep()
    assert (own_home / ".local" / "share" / "retrue" / "shop.sqlite").exists()
    monkeypatch.setenv("RETRUE_SHOP", str(own_home / "set.sqlite"))
    keep()
    assert (own_home / "set.sqlite").exists()
    keep("--shop", str(own_home / "named.sqlite"))
    assert (own_home / "named.sqlite").exists()
    monkeypatch.setenv("XDG_DATA_HOME", str(own_home / "data"))
    assert wiring.data_folder() == own_home / "data" / "retrue"


def test_a_shop_that_cannot_be_kept_there_is_refused_with_its_exit_code(
    own_home: Path, capsys: pytest.CaptureFixture[str]
):
    (own_home / "text").write_text("no shop")
    assert run(["note", "line", "oil", "--shop", str(own_home / "text"), "--json"]) in (1, 2)
    told = capsys.readouterr()
    assert json.loads(told.out)["remedy"] in told.err


def test_numbers_of_ones_own_come_from_the_data_folder(house: House, own_home: Path):
    shipped = house.kinds()["turning_centre"]
    folder = wiring.data_folder() / "kinds"
    folder.mkdir(parents=True)
    (folder / "own.toml").write_text('[[fault]]\nid = "F12"\nprior = 0.4\n')
    mine = Wired().house().kinds()["turning_centre"]
    assert mine.faults["F12"].prior == 0.4 != shipped.faults["F12"].prior
    assert mine.hash != shipped.hash
    assert mine == Wired().house().kinds()["turning_centre"]  # read back from the cache


def test_small_sums_get_one_thread_before_numpy_is_loaded():
    code = (
        "import sys; from retrue.wiring import main, ONE_THREAD; import os\n"
        "assert 'numpy' not in sys.modules\n"
        "try: main(['--version'])\n"
        "except SystemExit: pass\n"
        "assert {os.environ[name] for name in ONE_THREAD} == {'1'}\n"
    )
    env = {k: v for k, v in os.environ.items() if not k.endswith("_NUM_THREADS")}
    env["PYTHONPATH"] = str(HOME / "src")
    subprocess.run([sys.executable, "-c", code], check=True, env=env, capture_output=True)


def test_the_secret_is_made_once_and_only_this_user_reads_it():
    first = wiring.secret()
    assert wiring.secret() == first
    assert len(first) == 64
    mode = (wiring.data_folder() / "secret").stat().st_mode
    assert stat.S_IMODE(mode) == 0o600


@pytest.mark.parametrize("lan", [False, True])
def test_the_server_listens_to_this_machine_alone_unless_the_phone_is_let_in(
    lan: bool, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str], own_home: Path
):
    ran: dict[str, Any] = {}

    def run_(server: uvicorn.Server, sockets: list[socket.socket]) -> None:
        made: Any = server.config.app
        ran.update(at=sockets[0].getsockname(), settings=made.state.settings)

    port = free_ports()
    monkeypatch.setattr("uvicorn.Server.run", run_)
    monkeypatch.setattr("retrue.serving.own_addresses", lambda: ("192.0.2.7",))
    arguments = ["open", "--port", str(port), "--shop", str(own_home / "shop")]
    assert run([*arguments, "--lan"] if lan else arguments) == 0
    assert ran["at"] == ("0.0.0.0" if lan else "127.0.0.1", port)
    assert ran["settings"].lan == ("192.0.2.7" if lan else None)
    out = capsys.readouterr().out
    assert out.startswith(f"http://localhost:{port}/\n")
    assert (f"http://192.0.2.7:{port}/pair/" in out) is lan


def test_a_reader_that_goes_away_is_no_accident(monkeypatch: pytest.MonkeyPatch):
    def gone(*_: Any, **__: Any) -> None:
        raise BrokenPipeError

    kept = sys.stdout
    monkeypatch.setattr("retrue.cli.main.cli.main", gone)
    assert run(["--version"]) == 1
    sys.stdout.close()
    monkeypatch.setattr(sys, "stdout", kept)


def test_the_paper_of_a_sheet_names_the_lot_and_not_its_key(
    house: House, monkeypatch: pytest.MonkeyPatch
):
    kinds = house.kinds()
    content = (house.examples / "ghent-school-lot.toml").read_bytes()
    sheet = worth.price_case(read_lot(content, "lot", kinds), kinds, worlds=1000)
    printed: list[str] = []

    def watch(template: str, data: dict[str, Any], **given: Any) -> bytes:
        printed.append(json.dumps(data, default=str))
        return press(template, data, **given)

    monkeypatch.setattr("retrue.paper.freeze_sheet.press", watch)
    house.printer.frozen(worth.frozen_number("a-key", sheet), sheet, "owner")
    assert printed
    assert sheet.lot in printed[-1]
    assert "a-key" not in printed[-1]


def test_a_computer_writes_under_the_name_it_was_given_else_its_login(monkeypatch):
    for name in ("RETRUE_PERSON", "USER", "USERNAME"):
        monkeypatch.delenv(name, raising=False)
    assert wiring.person() == "owner"
    monkeypatch.setenv("USER", "shop")
    assert wiring.person() == "shop"
    monkeypatch.setenv("RETRUE_PERSON", "An")
    assert wiring.person() == "An"
