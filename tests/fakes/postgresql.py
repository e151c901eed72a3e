"""The machine's own PostgreSQL server, in a temporary folder, as a user without rights."""

from __future__ import annotations

import os
import pwd
import shutil
import subprocess
import tempfile
from pathlib import Path

CANDIDATES = ("postgres", "nobody")
PATIENCE_S = 300  # of a machine that is slow and busy


def programs() -> Path | None:
    """The folder with initdb and postgres in it, or None if the machine has none."""
    found = sorted(Path("/usr/lib/postgresql").glob("*/bin/initdb"))
    on_path = shutil.which("initdb")
    if found:
        return found[-1].parent
    return Path(on_path).resolve().parent if on_path else None


class Server:
    """A server that listens on a socket in its own folder only; stop it when done."""

    def __init__(self, bin: Path) -> None:
        self._bin = bin
        self.folder = Path(tempfile.mkdtemp(prefix="retrue-pg-", dir="/tmp"))
        self._user: pwd.struct_passwd | None = None
        if os.geteuid() == 0:
            self._user = _unprivileged()
            os.chown(self.folder, self._user.pw_uid, self._user.pw_gid)
        self._count = 0

    def start(self) -> None:
        data = self.folder / "data"
        self._run("initdb", "-D", data, "-U", "owner", "-A", "trust", "-E", "UTF8", "-N")
        options = f"-c listen_addresses='' -k {self.folder} -c max_connections=100"
        self._run("pg_ctl", "-D", data, "-w", "-t", PATIENCE_S, "-l", self.folder / "log",
                  "-o", options, "start")  # fmt: skip

    def stop(self) -> None:
        if (self.folder / "data" / "postmaster.pid").exists():
            self._run("pg_ctl", "-D", self.folder / "data", "-m", "immediate", "-w",
                      "-t", PATIENCE_S, "stop")  # fmt: skip
        shutil.rmtree(self.folder, ignore_errors=True)

    def place(self) -> str:
        """Make an empty schema in a shared database and return an address that leads to it."""
        import psycopg

        self._count += 1
        name = f"shop{self._count}"
        with psycopg.connect(f"postgresql://owner@/postgres?host={self.folder}") as db:
            db.execute(f"CREATE SCHEMA {name}".encode())
        return f"postgresql://owner@/postgres?host={self.folder}&options=-csearch_path%3D{name}"

    def database(self) -> str:
        """Make an empty database and return its address."""
        self._count += 1
        name = f"shop{self._count}"
        self._run("createdb", "-h", self.folder, "-U", "owner", name)
        return f"postgresql://owner@/{name}?host={self.folder}"

    def _run(self, program: str, *arguments: object) -> None:
        done = subprocess.run(
            [str(self._bin / program), *map(str, arguments)],
            cwd=self.folder,
            user=self._user.pw_uid if self._user else None,
            group=self._user.pw_gid if self._user else None,
            extra_groups=[] if self._user else None,
            env={"PATH": "/usr/bin:/bin", "LC_ALL": "C", "HOME": str(self.folder)},
            stdout=subprocess.DEVNULL,
            stderr=subprocess.PIPE,
            text=True,
            check=False,
        )
        if done.returncode:
            raise RuntimeError(f"{program}: {done.stderr.strip()}")


def _unprivileged() -> pwd.struct_passwd:
    for name in CANDIDATES:
        try:
            return pwd.getpwnam(name)
        except KeyError:
            continue
    raise RuntimeError("no user without rights to run the server as")
