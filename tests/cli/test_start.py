"""`make run`, from nothing to a page that answers, and back."""

import os
import re
import signal
import socket
import subprocess
import sys
import time
import urllib.request
from pathlib import Path

import pytest

ROOT = Path(__file__).parents[2]


def free_port() -> int:
    with socket.socket() as probe:
        probe.bind(("127.0.0.1", 0))
        return int(probe.getsockname()[1])


def start(folder: Path, port: int) -> "subprocess.Popen[str]":
    clean = {name: value for name, value in os.environ.items() if not name.startswith("TUCKLINE_")}
    settings = {"PORT": str(port), "DATABASE_URL": f"sqlite:///{folder}/shop.db", "TUCKLINE_DATA_DIR": str(folder)}
    return subprocess.Popen(
        [sys.executable, "-m", "configurator.cli.start"], cwd=ROOT, env={**clean, **settings}, text=True,
        stdout=subprocess.PIPE, stderr=subprocess.STDOUT, stdin=subprocess.DEVNULL,
    )  # fmt: skip


def read_until(process: "subprocess.Popen[str]", text: str) -> str:
    assert process.stdout is not None
    seen = ""
    for line in process.stdout:
        seen += line
        if text in line:
            return seen
    pytest.fail(f"it ended without saying {text!r}: {seen}")


@pytest.mark.slow
def test_it_sets_up_serves_works_the_outbox_and_stops(tmp_path: Path) -> None:
    port = free_port()
    process = start(tmp_path, port)
    try:
        said = read_until(process, "Ctrl-C stops everything")
        with urllib.request.urlopen(f"http://127.0.0.1:{port}/staff/login", timeout=30) as page:
            assert page.status == 200
        for _ in range(50):
            with urllib.request.urlopen(f"http://127.0.0.1:{port}/readyz", timeout=30) as answer:
                ready = answer.read().decode()
            if '"warnings":[]' in ready:
                break
            time.sleep(0.4)
        assert '"warnings":[]' in ready, "the outbox worker gave no sign of life"
        taken = start(tmp_path, port)
        assert taken.wait(30) == 2
        assert taken.stdout is not None
        assert f"PORT {port} is taken" in taken.stdout.read()
    finally:
        process.send_signal(signal.SIGTERM)
        ended = process.wait(30)

    assert ended == 0
    assert re.search(r"one password for all: +[0-9a-z]{4}-[0-9a-z]{4}-[0-9a-z]{4}\n", said)
    assert "ines@pellwick.example" in said
    for private in ("secret-key", "demo-log-in.txt", "shop.db"):
        assert (tmp_path / private).stat().st_mode & 0o077 == 0
    with socket.socket() as probe:
        assert probe.connect_ex(("127.0.0.1", port)) != 0, "nothing listens any more"


def test_a_bad_setting_stops_it_with_a_line(tmp_path: Path) -> None:
    environment = {**os.environ, "PORT": "eighty", "TUCKLINE_DATA_DIR": str(tmp_path)}
    refused = subprocess.run(
        [sys.executable, "-m", "configurator.cli.start"], cwd=ROOT, env=environment, capture_output=True, text=True, timeout=60, check=False
    )

    assert refused.returncode == 2
    assert refused.stderr.strip() == "PORT must be a whole number from 1 to 65535 (it is 'eighty')"
