"""A visit without the shop's network: the laptop joins the phone's own, which leads nowhere.

Two hosts of their own on this machine, joined by a virtual cable: the phone hands out the
addresses that telephones use for it, and there is no way out from either.
"""

from __future__ import annotations

import os
import re
import shutil
import subprocess
import sys
import time
from collections.abc import Iterator
from pathlib import Path

import pytest

PHONE, LAPTOP = "172.20.10.1", "172.20.10.4"  # as one kind of telephone numbers its own network
CAN = os.name == "posix" and os.geteuid() == 0 and shutil.which("ip") is not None
pytestmark = pytest.mark.skipif(
    not CAN, reason="NOT RUN: two hosts of one's own need the superuser and Debian's iproute2"
)

VISIT = """
import sys, urllib.request, urllib.parse, urllib.error
told = sys.argv[1]
home = told.split("/pair/")[0]

def ask(path, form=None, cookie=""):
    body = urllib.parse.urlencode(form).encode() if form is not None else None
    headers = {"Origin": home, "Cookie": cookie}
    request = urllib.request.Request(home + path, data=body, headers=headers)
    class Stay(urllib.request.HTTPRedirectHandler):
        def redirect_request(self, *_):
            return None
    try:
        return urllib.request.build_opener(Stay).open(request, timeout=120)
    except urllib.error.HTTPError as answer:
        return answer

print(ask("/note").status)
paired = ask(told[len(home):], {})
cookie = paired.headers["Set-Cookie"].split(";")[0]
print(paired.status)
print(ask("/note", {"id": "5a1d1d1e-0000-4000-8000-000000000001",
                    "text": "way covers bent, right"}, cookie).status)
print("way covers bent, right" in ask("/note", cookie=cookie).read().decode())
print(ask(told[len(home):], {}).status)
"""


def ip(*words: str) -> None:
    subprocess.run(["ip", *words], check=True, capture_output=True)


@pytest.fixture
def hosts() -> Iterator[tuple[str, str]]:
    """Names of the laptop's and the phone's host; gone afterwards, whatever happens."""
    laptop, phone = f"rl{os.getpid()}", f"rp{os.getpid()}"
    try:
        for host in (laptop, phone):
            ip("netns", "add", host)
            ip("-n", host, "link", "set", "lo", "up")
        ip("link", "add", laptop, "netns", laptop, "type", "veth", "peer", phone, "netns", phone)
        for host, address in ((laptop, LAPTOP), (phone, PHONE)):
            ip("-n", host, "address", "add", f"{address}/28", "dev", host)
            ip("-n", host, "link", "set", host, "up")
        yield laptop, phone
    finally:
        for host in (laptop, phone):
            subprocess.run(["ip", "netns", "del", host], check=False, capture_output=True)


def told_by(server: subprocess.Popen[str]) -> str:
    """The address in the laptop's terminal that the phone scans."""
    assert server.stdout is not None
    deadline = time.monotonic() + 300
    for line in server.stdout:
        if found := re.search(r"http://\S+/pair/\w+", line):
            return found[0]
        assert time.monotonic() < deadline
    raise AssertionError("the laptop told no address")


def test_on_a_visit_the_phones_own_network_is_enough(
    hosts: tuple[str, str], tmp_path: Path
) -> None:
    laptop, phone = hosts
    home = {**os.environ, "HOME": str(tmp_path), "XDG_DATA_HOME": str(tmp_path / "data")}
    retrue = str(Path(sys.executable).parent / "retrue")
    shop = ["open", "--lan", "--port", "8314", "--shop", str(tmp_path / "shop.sqlite")]
    server = subprocess.Popen(
        ["ip", "netns", "exec", laptop, retrue, *shop],
        stdout=subprocess.PIPE, stderr=subprocess.STDOUT, text=True, env=home,
    )  # fmt: skip
    try:
        told = told_by(server)
        assert told.startswith(f"http://{LAPTOP}:8314/pair/")
        visit = subprocess.run(
            ["ip", "netns", "exec", phone, sys.executable, "-c", VISIT, told],
            capture_output=True, text=True, timeout=300, check=True,
        )  # fmt: skip
    finally:
        server.terminate()
        server.wait(120)
        assert server.stdout is not None
        server.stdout.close()
    # unpaired nothing; paired once; its note is kept and shown; the code is spent
    assert visit.stdout.split() == ["403", "303", "303", "True", "403"]
