"""The administration commands as a shop's web person runs them."""

import os
import subprocess
import sys
from collections.abc import Callable
from pathlib import Path

import pytest
from click import Command
from click.testing import CliRunner, Result

from configurator.cli import db, outbox, users
from configurator.settings import read_settings
from configurator.web.factory import create_app

ROOT = Path(__file__).parents[2]
SECRET = "a test secret that is long enough to be one"
COMMANDS: dict[str, Command] = {command.name or "": command for module in (db, users, outbox) for command in module.COMMANDS}
Run = Callable[..., Result]


@pytest.fixture
def run(tmp_path: Path) -> Run:
    """`flask --app app ...` in this process, with a database of its own."""

    def invoke(name: str, *arguments: str, **environment: str) -> Result:
        settings = {"DATABASE_URL": f"sqlite:///{tmp_path}/shop.db", "TUCKLINE_DATA_DIR": str(tmp_path), "TUCKLINE_SECRET_KEY": SECRET}
        app = create_app(read_settings({**settings, **environment}))
        with app.app_context():
            return CliRunner().invoke(COMMANDS[name], list(arguments))

    return invoke


ADD_INES = ("add", "--email", "ines@film.example", "--name", "Ines Calder", "--role", "owner", "--password", "quiet river stones")


def test_a_fresh_shop_is_set_up_by_two_commands(tmp_path: Path) -> None:
    """As typed, in a process of its own, without any setting but the database."""
    clean = {name: value for name, value in os.environ.items() if not name.startswith("TUCKLINE_")}
    environment = {**clean, "DATABASE_URL": f"sqlite:///{tmp_path}/new/shop.db", "TUCKLINE_NEW_PASSWORD": "quiet river stones"}
    said = ""
    for arguments in (["db", "upgrade"], ["user", *ADD_INES[:-2]]):
        done = subprocess.run(
            [sys.executable, "-m", "flask", "--app", "app", *arguments], cwd=ROOT, env=environment,
            capture_output=True, text=True, timeout=120, check=False, stdin=subprocess.DEVNULL,
        )  # fmt: skip
        assert done.returncode == 0, done.stderr
        said += done.stdout + done.stderr

    assert "Ines Calder can log in" in said
    assert "quiet river" not in said


@pytest.mark.parametrize(
    ("changes", "said"),
    [
        ({"--password": "short"}, "password: "),
        ({"--password": "Ines Calder ines"}, "password: "),
        ({"--email": "not an address"}, "email: "),
        ({"--name": " "}, "name: "),
        ({"--role": "king"}, "--role"),
    ],
)
def test_a_person_who_cannot_be_added_is_refused_in_a_line(run: Run, changes: dict[str, str], said: str) -> None:
    run("db", "upgrade")
    options = {**dict(zip(ADD_INES[1::2], ADD_INES[2::2], strict=True)), **changes}
    refused = run("user", "add", *(part for pair in options.items() for part in pair))

    assert refused.exit_code == 2
    assert said in refused.stderr
    assert "Traceback" not in refused.stderr


def test_an_address_is_taken_once(run: Run) -> None:
    run("db", "upgrade")
    assert run("user", *ADD_INES).exit_code == 0

    assert run("user", *ADD_INES).exit_code == 2


def test_commands_that_need_the_database_say_when_it_is_behind(run: Run) -> None:
    for name, arguments in (("user", ADD_INES), ("work-outbox", ("--once",))):
        refused = run(name, *arguments)

        assert refused.exit_code == 2
        assert "db upgrade" in refused.stderr


@pytest.mark.parametrize("address", ["postgresql://nobody@127.0.0.1:1/nothing", "sqlite:////proc/nowhere/shop.db"])
def test_a_database_that_is_not_there_is_said_in_a_line(run: Run, address: str) -> None:
    refused = run("db", "upgrade", DATABASE_URL=address)

    assert refused.exit_code == 2, refused.exception
    assert refused.stderr.startswith("DATABASE_URL: ")
    assert refused.stderr.strip().count("\n") == 0


def test_a_backup_is_written_once(run: Run, tmp_path: Path) -> None:
    run("db", "upgrade")
    file = str(tmp_path / "backup.db")

    assert run("db", "backup", file).exit_code == 0
    assert run("db", "backup", file).exit_code == 2


def test_a_database_is_copied_into_an_empty_one(run: Run, tmp_path: Path) -> None:
    run("db", "upgrade")
    run("user", *ADD_INES)
    copied = run("db", "copy", f"sqlite:///{tmp_path}/other.db")
    again = run("db", "copy", f"sqlite:///{tmp_path}/other.db")

    assert copied.exit_code == 0
    assert "rows in" in copied.stdout
    assert again.exit_code == 2
    assert "holds rows already" in again.stderr


@pytest.mark.parametrize("address", ["mysql://x", "nonsense", "", "postgresql://nobody@127.0.0.1:1/nothing"])
def test_a_copy_to_nowhere_is_refused_in_a_line(run: Run, address: str) -> None:
    run("db", "upgrade")
    refused = run("db", "copy", address)

    assert refused.exit_code == 2, refused.exception
    assert refused.stderr.startswith("URL: ")


def test_the_outbox_needs_a_secret(run: Run, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("FLASK_RUN_FROM_CLI", "true")
    run("db", "upgrade")
    refused = run("work-outbox", "--once", TUCKLINE_SECRET_KEY="")

    assert refused.exit_code == 2
    assert "TUCKLINE_SECRET_KEY" in refused.stderr
