"""`export` and `erase` as a shop's web person runs them."""

import csv
import io
import json
import zipfile
from collections.abc import Callable
from pathlib import Path

import pytest
from click import Command
from click.testing import CliRunner, Result

from configurator.cli import data_rights, outbox
from configurator.domain.desk import Event, Person
from configurator.domain.review import Actor, State
from configurator.services import reviewing
from tests.web.desk_app import Desk, make_desk

EMAIL = "mara@ellison.example"
COMMANDS: dict[str, Command] = {command.name or "": command for module in (data_rights, outbox) for command in module.COMMANDS}
Run = Callable[..., Result]


@pytest.fixture
def desk(tmp_path: Path) -> Desk:
    return make_desk(tmp_path, TUCKLINE_RETENTION_MONTHS="3")


@pytest.fixture
def run(desk: Desk) -> Run:
    def invoke(name: str, *arguments: str, typed: str = "") -> Result:
        with desk.app.app_context():
            return CliRunner().invoke(COMMANDS[name], list(arguments), input=typed)

    return invoke


def held(desk: Desk) -> bool:
    with desk.wiring.store.reading() as work:
        return not work.data_rights.held(EMAIL).is_empty


def test_a_persons_data_go_into_a_new_file_for_its_owner_alone(desk: Desk, run: Run, tmp_path: Path) -> None:
    reference, _ = desk.send()
    file = tmp_path / "person.zip"
    done = run("export", "--email", EMAIL, "--out", str(file))
    again = run("export", "--email", EMAIL, "--out", str(file))
    with zipfile.ZipFile(file) as packed:
        assert json.loads(packed.read("data.json"))["requests"][0]["reference"] == reference

    assert done.exit_code == 0, done.output
    assert EMAIL not in done.output
    assert file.stat().st_mode & 0o077 == 0
    assert again.exit_code == 2
    assert run("export", "--email", EMAIL).exit_code == 2
    assert "Nothing is kept" in run("export", "--email", "nobody@ellison.example", "--out", str(tmp_path / "none.zip")).output
    assert not (tmp_path / "none.zip").exists()


def test_requests_go_to_standard_output_or_a_file(desk: Desk, run: Run, tmp_path: Path) -> None:
    first, _ = desk.send()
    second, token = desk.send()
    desk.client().post(f"/r/{token}/withdraw")
    as_csv, as_json = run("export"), run("export", "--format", "json", "--which", "finished")
    file = tmp_path / "requests.csv"
    run("export", "--which", "open", "--search", EMAIL, "--out", str(file))

    assert {row["reference"] for row in csv.DictReader(io.StringIO(as_csv.stdout))} == {first, second}
    assert [row["reference"] for row in json.loads(as_json.stdout)] == [second]
    assert first in file.read_text(encoding="utf-8-sig")
    assert second not in file.read_text(encoding="utf-8-sig")


def test_erasing_asks_and_can_be_told_not_to(desk: Desk, run: Run) -> None:
    reference, _ = desk.send()
    refused = run("erase", "--email", EMAIL, typed="n\n")
    assert "Nothing was erased." in refused.output
    assert held(desk)

    done = run("erase", "--email", EMAIL, "--yes")
    again = run("erase", "--email", EMAIL, "--yes")

    assert reference in done.output
    assert "Erased: 1 customers, 1 requests, 0 photos." in done.output
    assert not held(desk)
    assert (again.exit_code, again.output) == (0, "Nothing is kept under this address.\n")


def test_a_car_in_the_bay_is_named_with_what_to_do(desk: Desk, run: Run) -> None:
    reference, _ = desk.send()
    with desk.wiring.store.writing() as work:
        request = reviewing.find(reference, work)
        work.requests.move(request, State.IN_BAY, Event(at=desk.clock(), by=Person(Actor.OWNER), kind="moved", target=State.IN_BAY))
    refused = run("erase", "--email", EMAIL, "--yes")

    assert refused.exit_code == 2
    assert f"{reference}: it is in the bay: hand the car over first" in refused.stderr
    assert held(desk)


def test_the_worker_forgets_by_the_setting(desk: Desk, run: Run) -> None:
    from datetime import timedelta

    _, token = desk.send()
    desk.client().post(f"/r/{token}/withdraw")
    run("work-outbox", "--once")
    assert held(desk)
    desk.clock.now += timedelta(days=100)

    run("work-outbox", "--once")

    assert not held(desk)
