"""A PostgreSQL of our own for the tests: unix socket only, no fsync, one template that each test's database is copied from.

`DATABASE_URL`, when it names a PostgreSQL, is used instead. PostgreSQL refuses to run as root, so root drops to user postgres.
"""

import contextlib
import itertools
import os
import pwd
import shutil
import subprocess
import tempfile
from collections.abc import Iterator
from dataclasses import dataclass
from pathlib import Path

import psycopg

from configurator.storage.engine import make_engine
from configurator.storage.migrate import upgrade

TEMPLATE = "tuckline_template"
_numbers = itertools.count()


def binaries() -> Path | None:
    """The folder that holds initdb and postgres, newest version first."""
    found = sorted(Path("/usr/lib/postgresql").glob("*/bin/initdb"), key=lambda path: int(path.parts[-3]), reverse=True)
    if found:
        return found[0].parent
    on_path = shutil.which("initdb")
    return Path(on_path).parent if on_path else None


@dataclass(frozen=True)
class Server:
    """A running server and where to reach it (a libpq address without a database name)."""

    address: str

    def new_database(self) -> str:
        """A fresh, migrated database; its SQLAlchemy address."""
        name = f"tuckline_{os.getpid()}_{next(_numbers)}"
        self._execute(f'CREATE DATABASE "{name}" TEMPLATE {TEMPLATE}')
        return self.url(name)

    def empty_database(self) -> str:
        """A fresh database without any table."""
        name = f"tuckline_{os.getpid()}_{next(_numbers)}"
        self._execute(f'CREATE DATABASE "{name}" TEMPLATE template0')
        return self.url(name)

    def drop(self, url: str) -> None:
        self._execute(f'DROP DATABASE IF EXISTS "{url.split("/")[3].split("?")[0]}" WITH (FORCE)')

    def make_template(self) -> None:
        self._execute(f"DROP DATABASE IF EXISTS {TEMPLATE}")
        self._execute(f"CREATE DATABASE {TEMPLATE} TEMPLATE template0")
        engine = make_engine(self.url(TEMPLATE))
        upgrade(engine)
        engine.dispose()

    def url(self, name: str) -> str:
        head, _, query = self.address.partition("?")
        return f"{head.rstrip('/').replace('postgresql://', 'postgresql+psycopg://')}/{name}{'?' + query if query else ''}"

    def _execute(self, statement: str) -> None:
        head, _, query = self.address.partition("?")
        with psycopg.connect(f"{head.rstrip('/')}/postgres{'?' + query if query else ''}", autocommit=True) as connection:
            connection.execute(statement)  # type: ignore[call-overload]


@contextlib.contextmanager
def running_server() -> Iterator[Server]:
    """A server for as long as the block lasts."""
    folder = binaries()
    assert folder is not None, "callers look for the binaries first"
    with tempfile.TemporaryDirectory(prefix="tuckline-pg-") as scratch:
        home = Path(scratch)
        as_user = _drop_root(home)
        data = home / "data"
        _run([folder / "initdb", "-D", data, "-U", "postgres", "--auth=trust", "--no-sync", "-E", "UTF8", "--locale=C.UTF-8"], as_user)
        options = f"-k {home} -c listen_addresses='' -c fsync=off -c synchronous_commit=off -c full_page_writes=off -c max_connections=60"
        _run([folder / "pg_ctl", "-D", data, "-w", "-l", home / "log", "-o", options, "start"], as_user)
        try:
            yield Server(f"postgresql://postgres@/?host={home}")
        finally:
            _run([folder / "pg_ctl", "-D", data, "-m", "immediate", "stop"], as_user)


def _drop_root(home: Path) -> dict[str, object]:
    if os.geteuid() != 0:
        return {}
    user = pwd.getpwnam("postgres")
    os.chown(home, user.pw_uid, user.pw_gid)
    return {"user": user.pw_uid, "group": user.pw_gid, "extra_groups": []}


def _run(command: list[object], as_user: dict[str, object]) -> None:
    subprocess.run(
        [str(part) for part in command],
        check=True,
        stdout=subprocess.DEVNULL,
        stderr=subprocess.DEVNULL,
        stdin=subprocess.DEVNULL,
        cwd="/",
        **as_user,
    )  # type: ignore[call-overload]
