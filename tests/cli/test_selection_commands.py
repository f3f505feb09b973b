"""The pure commands: one document out, same bytes for same input, exit code 2 and one line a fault for bad input."""

import json
import os
import subprocess
import sys
from pathlib import Path

import pytest

from tests.wire.test_selection import CONTRACT_EXAMPLE

ROOT = Path(__file__).parents[2]
BARE = {"PATH": os.environ["PATH"], "HOME": "/nonexistent"}
"""An environment without secret and without database."""


def flask(*arguments: str, given: str = "") -> subprocess.CompletedProcess[str]:
    command = [sys.executable, "-m", "flask", "--app", "app", *arguments]
    return subprocess.run(command, cwd=ROOT, env=BARE, input=given, capture_output=True, text=True, check=False, timeout=120)


@pytest.mark.parametrize("command", ["estimate", "body", "work", "film-plan"])
def test_a_command_prints_one_json_document(command: str) -> None:
    done = flask(command, "-", given=json.dumps(CONTRACT_EXAMPLE))

    assert done.returncode == 0, done.stderr
    assert isinstance(json.loads(done.stdout), dict)


def test_the_same_selection_gives_the_same_bytes() -> None:
    first, second = (flask("estimate", "-", given=json.dumps(CONTRACT_EXAMPLE)).stdout for _ in range(2))

    assert first == second


def test_the_drawing_is_printed_as_svg(tmp_path: Path) -> None:
    file = tmp_path / "plan.json"
    file.write_text(json.dumps(CONTRACT_EXAMPLE))
    done = flask("diagram", str(file), "--view", "front_left")

    assert done.stdout.startswith("<svg")


@pytest.mark.parametrize(
    ("given", "said"),
    [
        ("{", ["-: "]),
        ('{"version": 1}', ["-: vehicle: "]),
        ('{"version": 1, "vehicle": {"body": "boat"}, "edges": "glued"}', ["-: edges: "]),
        (
            '{"version": 1, "vehicle": {"body": "sedan", "size": {"length_mm": 1000}}, "region": "atlantis"}',
            ["vehicle.size.length_mm", "region"],
        ),
    ],
)
def test_bad_input_ends_with_2_and_a_line_for_each_fault(given: str, said: list[str]) -> None:
    done = flask("estimate", "-", given=given)

    assert done.returncode == 2
    assert done.stdout == ""
    assert "Traceback" not in done.stderr
    lines = done.stderr.strip().splitlines()
    assert len(lines) == len(said)
    assert all(any(path in line for line in lines) for path in said)


def test_a_file_that_is_not_there_is_named() -> None:
    done = flask("estimate", "nowhere.json")

    assert done.returncode == 2
    assert "nowhere.json" in done.stderr


def test_a_bad_price_book_is_refused_with_file_and_path(tmp_path: Path) -> None:
    text = (ROOT / "configurator/data/price_books/demo.yaml").read_text(encoding="utf-8")
    file = tmp_path / "ours.yaml"
    file.write_text(text.replace("currency: USD", "currency: DOLLARS"), encoding="utf-8")

    checked = flask("price-book", "check", str(file))
    used = flask("estimate", "-", "--price-book", str(file), given=json.dumps(CONTRACT_EXAMPLE))

    assert (checked.returncode, used.returncode) == (2, 2)
    assert "ours.yaml: currency: " in checked.stderr
    assert "ours.yaml: currency: " in used.stderr


def test_texts_come_in_the_language_asked_for() -> None:
    english, german = (
        json.loads(flask("estimate", "-", "--locale", locale, given=json.dumps(CONTRACT_EXAMPLE)).stdout) for locale in ("en_US", "de")
    )

    assert english["price"] == german["price"]
    assert english["lines"][0]["label"] != german["lines"][0]["label"]
