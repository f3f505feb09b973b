"""`work-outbox`: sends what waits in the outbox, and lets the clock make its moves."""

import signal
import threading
from types import FrameType

import click

from configurator.cli.desk import desk_command, need_migrated, need_secret
from configurator.services.mail.sending import send_due
from configurator.services.ports import StoreUnavailable
from configurator.services.quotes.expiring import expire_due
from configurator.web.wiring import Wiring

PAUSE_SECONDS = 3.0
PAUSE_WITHOUT_DATABASE_SECONDS = 15.0


@click.command("work-outbox", short_help="Send what waits in the outbox.")
@click.option("--once", is_flag=True, help="Send what is due now and end.")
@desk_command
def work_outbox(wiring: Wiring, once: bool) -> None:
    """Sends mails by SMTP (TUCKLINE_SMTP_URL) or writes them into a folder; runs until it is told to stop."""
    need_secret(wiring)
    need_migrated(wiring)
    if once:
        while _work(wiring):
            pass
        return
    stopping = threading.Event()

    def stop_soon(_number: int, _frame: FrameType | None) -> None:
        stopping.set()

    for number in (signal.SIGTERM, signal.SIGINT):
        signal.signal(number, stop_soon)
    while not stopping.is_set():
        try:
            busy = _work(wiring)
        except StoreUnavailable:
            stopping.wait(PAUSE_WITHOUT_DATABASE_SECONDS)
            continue
        if not busy:
            stopping.wait(PAUSE_SECONDS)


def _work(wiring: Wiring) -> int:
    """One round: what time brings, quotes that have run out expire, then what is due is sent. How much there was to do."""
    wiring.housekeeper.look_around()
    return expire_due(wiring.desk()) + send_due(wiring.post_room)


COMMANDS = (work_outbox,)
