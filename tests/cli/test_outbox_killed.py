"""A worker that is killed in the middle of sending loses no mail, and what is sent again is the same mail to its receiver."""

import asyncio
import os
import re
import signal
import socket
import subprocess
import sys
import threading
import time
from collections.abc import Iterator
from datetime import timedelta
from pathlib import Path

import pytest
from aiosmtpd.controller import Controller
from aiosmtpd.smtp import SMTP, Envelope, Session
from sqlalchemy import update

from configurator.domain.desk import Letter, NewMail
from configurator.storage.migrate import upgrade
from configurator.storage.models import MailRow
from configurator.storage.store import SqlStore
from configurator.web.wiring import system_clock

ROOT = Path(__file__).parents[2]
PATIENCE = 60.0


class Slow:
    """Takes the first mail and then does not say so until it is told to."""

    def __init__(self) -> None:
        self.arrived: list[bytes] = []
        self.first_is_here = threading.Event()
        self.may_answer = threading.Event()

    async def handle_DATA(self, server: SMTP, session: Session, envelope: Envelope) -> str:
        self.arrived.append(envelope.content or b"")
        self.first_is_here.set()
        while not self.may_answer.is_set():
            await asyncio.sleep(0.02)
        return "250 thank you"


@pytest.fixture
def server() -> Iterator[tuple[Slow, int]]:
    handler = Slow()
    with socket.socket() as free:
        free.bind(("127.0.0.1", 0))
        port = free.getsockname()[1]
    controller = Controller(handler, hostname="127.0.0.1", port=port)
    controller.start()
    yield handler, port
    handler.may_answer.set()
    controller.stop()


def worker(folder: Path, port: int, *options: str) -> "subprocess.Popen[bytes]":
    clean = {name: value for name, value in os.environ.items() if not name.startswith("TUCKLINE_")}
    settings = {
        "TUCKLINE_SECRET_KEY": "s" * 40, "DATABASE_URL": f"sqlite:///{folder}/shop.db", "TUCKLINE_DATA_DIR": str(folder),
        "TUCKLINE_SMTP_URL": f"smtp://127.0.0.1:{port}",
    }  # fmt: skip
    command = [sys.executable, "-m", "flask", "--app", "app", "work-outbox", *options]
    return subprocess.Popen(command, cwd=ROOT, env={**clean, **settings}, stdin=subprocess.DEVNULL, stdout=subprocess.DEVNULL)


@pytest.mark.slow
def test_a_worker_killed_while_the_server_answers(tmp_path: Path, server: tuple[Slow, int]) -> None:
    handler, port = server
    store = SqlStore(f"sqlite:///{tmp_path}/shop.db")
    upgrade(store.engine)
    now = system_clock()
    with store.writing() as work:
        work.mails.add(NewMail(kind="x", recipient="mara@ellison.example", letter=Letter("Hello", "Text"), locale="en_US"), now)

    first = worker(tmp_path, port)
    try:
        assert handler.first_is_here.wait(PATIENCE), "the mail did not arrive"
    finally:
        first.send_signal(signal.SIGKILL)
        first.wait(PATIENCE)
    handler.may_answer.set()
    with store.reading() as work:
        (waiting,) = work.mails.latest(limit=1)
    assert waiting.state == "waiting", "the server took it, but nobody heard: it is not lost and not called sent"
    assert waiting.due_at > system_clock(), "nobody else takes it while the lease lasts"

    with store.engine.begin() as connection:  # the lease of some minutes is over
        connection.execute(update(MailRow).values(due_at=now - timedelta(seconds=1)))
    second = worker(tmp_path, port, "--once")
    assert second.wait(PATIENCE) == 0
    with store.reading() as work:
        assert work.mails.counts() == {"sent": 1}
    store.engine.dispose()
    ids = [re.search(rb"(?im)^message-id: *(\S+)", content) for content in handler.arrived]
    assert len(ids) == 2, "at least once: the first try got through, too"
    assert ids[0] is not None
    assert ids[1] is not None
    assert ids[0][1] == ids[1][1], "the same Message-ID: mail programs show one (RFC 5322 section 3.6.4)"


@pytest.mark.slow
def test_a_worker_told_to_stop_ends_what_it_is_at(tmp_path: Path, server: tuple[Slow, int]) -> None:
    handler, port = server
    store = SqlStore(f"sqlite:///{tmp_path}/shop.db")
    upgrade(store.engine)
    with store.writing() as work:
        work.mails.add(NewMail(kind="x", recipient="mara@ellison.example", letter=Letter("Hello", "Text"), locale="en_US"), system_clock())
    running = worker(tmp_path, port)
    assert handler.first_is_here.wait(PATIENCE)
    running.send_signal(signal.SIGTERM)
    time.sleep(0.2)
    handler.may_answer.set()

    assert running.wait(PATIENCE) == 0
    with store.reading() as work:
        assert work.mails.counts() == {"sent": 1}
    store.engine.dispose()
