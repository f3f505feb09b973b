"""The administration commands as a shop's web person runs them."""

import os
import subprocess
import sys
from pathlib import Path

import pytest

ROOT = Path(__file__).parents[2]
SECRET = "a test secret that is long enough to be one"


def run(*arguments: str, folder: Path, **environment: str) -> subprocess.CompletedProcess[str]:
    """`flask --app app ...` with its own database in a folder."""
    clean = {name: value for name, value in os.environ.items() if not name.startswith("TUCKLINE_")}
    settings = {"DATABASE_URL": f"sqlite:///{folder}/shop.db", "TUCKLINE_DATA_DIR": str(folder), "TUCKLINE_SECRET_KEY": SECRET}
    return subprocess.run(
        [sys.executable, "-m", "flask", "--app", "app", *arguments], cwd=ROOT, env={**clean, **settings, **environment},
        capture_output=True, text=True, timeout=60, check=False, stdin=subprocess.DEVNULL,
    )  # fmt: skip


ADD_INES = ("user", "add", "--email", "ines@film.example", "--name", "Ines Calder", "--role", "owner", "--password", "quiet river stones")


def test_a_fresh_shop_is_set_up_by_two_commands(tmp_path: Path) -> None:
    upgraded = run("db", "upgrade", folder=tmp_path)
    added = run(*ADD_INES, folder=tmp_path)

    assert (upgraded.returncode, added.returncode) == (0, 0), upgraded.stderr + added.stderr
    assert "Ines Calder can log in" in added.stdout
    assert "quiet river" not in added.stdout + added.stderr


@pytest.mark.parametrize(
    ("changes", "said"),
    [
        ({"--password": "short"}, "password: "),
        ({"--password": "Ines Calder ines"}, "password: "),
        ({"--email": "not an address"}, "email: "),
        ({"--role": "king"}, "--role"),
    ],
)
def test_a_person_who_cannot_be_added_is_refused_in_a_line(tmp_path: Path, changes: dict[str, str], said: str) -> None:
    run("db", "upgrade", folder=tmp_path)
    options = {**dict(zip(ADD_INES[2::2], ADD_INES[3::2], strict=True)), **changes}
    refused = run("user", "add", *(part for pair in options.items() for part in pair), folder=tmp_path)

    assert refused.returncode == 2
    assert said in refused.stderr
    assert "Traceback" not in refused.stderr


def test_an_address_is_taken_once(tmp_path: Path) -> None:
    run("db", "upgrade", folder=tmp_path)
    run(*ADD_INES, folder=tmp_path)

    assert run(*ADD_INES, folder=tmp_path).returncode == 2


def test_commands_that_need_the_database_say_when_it_is_behind(tmp_path: Path) -> None:
    refused = run(*ADD_INES, folder=tmp_path)

    assert refused.returncode == 2
    assert "db upgrade" in refused.stderr


def test_a_database_that_is_not_there_is_said_in_a_line(tmp_path: Path) -> None:
    refused = run("db", "upgrade", folder=tmp_path, DATABASE_URL="postgresql://nobody@127.0.0.1:1/nothing")

    assert refused.returncode == 2
    assert refused.stderr.strip().count("\n") == 0


def test_backup_and_copy(tmp_path: Path) -> None:
    run("db", "upgrade", folder=tmp_path)
    run(*ADD_INES, folder=tmp_path)

    assert run("db", "backup", str(tmp_path / "backup.db"), folder=tmp_path).returncode == 0
    assert run("db", "backup", str(tmp_path / "backup.db"), folder=tmp_path).returncode == 2
    copied = run("db", "copy", f"sqlite:///{tmp_path}/other.db", folder=tmp_path)
    again = run("db", "copy", f"sqlite:///{tmp_path}/other.db", folder=tmp_path)
    wrong = run("db", "copy", "mysql://x", folder=tmp_path)

    assert copied.returncode == 0
    assert "rows in" in copied.stdout
    assert (again.returncode, wrong.returncode) == (2, 2)
    assert "holds rows already" in again.stderr


def test_the_outbox_needs_a_secret(tmp_path: Path) -> None:
    refused = run("work-outbox", "--once", folder=tmp_path, TUCKLINE_SECRET_KEY="")

    assert refused.returncode == 2
    assert "TUCKLINE_SECRET_KEY" in refused.stderr
