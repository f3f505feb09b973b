"""`make run`: sets up the invented shop on this machine, then serves it until it is told to stop.

Everything it makes lies in the data folder (`var/`): a secret, the database, the demo log-in, mail. Run it again and it goes on
with what is there. A real shop is set up by its own commands (README) and serves with its own secret.
"""

import os
import secrets
import shutil
import signal
import socket
import subprocess
import sys
import time
import urllib.error
import urllib.request
from pathlib import Path
from types import FrameType

from configurator.services.demo import PEOPLE, add_demo_people, demo_email, new_demo_password
from configurator.settings import BadSetting, Settings, read_settings
from configurator.storage.migrate import upgrade
from configurator.storage.store import SqlStore
from configurator.web.wiring import system_clock

ROOT = Path(__file__).parents[2]
HOST = "127.0.0.1"
START_SECONDS = 60
STOP_SECONDS = 15
WORKERS, THREADS = 2, 4


def main() -> int:
    """Sets up, serves, stops; the exit code."""
    os.chdir(ROOT)
    os.umask(0o077)  # what lies in the data folder is personal
    try:
        settings = read_settings()
    except BadSetting as error:
        return _refuse(str(error))
    if not _is_free(settings.port):
        return _refuse(f"PORT {settings.port} is taken on this machine; try: make run PORT={settings.port + 1}")
    environment = _environment(settings)
    log_in = _set_up(settings)
    processes = [_serve(settings, environment), _work(environment)]
    return _watch(processes, settings, log_in)


def _refuse(text: str) -> int:
    print(text, file=sys.stderr)
    return 2


def _is_free(port: int) -> bool:
    with socket.socket() as probe:
        probe.setsockopt(socket.SOL_SOCKET, socket.SO_REUSEADDR, 1)
        try:
            probe.bind((HOST, port))
        except OSError:
            return False
    return True


def _environment(settings: Settings) -> dict[str, str]:
    """The children's environment: a secret of this machine if none was given, and a folder to count in together."""
    settings.data_path.mkdir(parents=True, exist_ok=True)
    environment = dict(os.environ)
    if not settings.secret_key:
        environment["TUCKLINE_SECRET_KEY_FILE"] = str(_secret_file(settings.data_path))
    counts = settings.data_path / "counts"
    shutil.rmtree(counts, ignore_errors=True)
    counts.mkdir()
    environment["PROMETHEUS_MULTIPROC_DIR"] = str(counts)
    return environment


def _secret_file(folder: Path) -> Path:
    file = folder / "secret-key"
    if not file.exists():
        _write_private(file, secrets.token_hex(32))
    return file


def _write_private(file: Path, text: str) -> None:
    with os.fdopen(os.open(file, os.O_WRONLY | os.O_CREAT | os.O_TRUNC, 0o600), "w", encoding="utf-8") as opened:
        opened.write(text + "\n")


def _set_up(settings: Settings) -> str | None:
    """Brings the database up; in the demo shop adds its people. The demo password, None for a shop with people of its own."""
    store = SqlStore(settings.database_url)
    upgrade(store.engine)
    note = settings.data_path / "demo-log-in.txt"
    if not settings.price_book:
        password = new_demo_password()
        if add_demo_people(password, store, system_clock()):
            _write_private(note, password)
    store.engine.dispose()
    return note.read_text(encoding="utf-8").strip() if note.exists() else None


def _serve(settings: Settings, environment: dict[str, str]) -> "subprocess.Popen[bytes]":
    command = [
        sys.executable, "-m", "gunicorn", "app:app", "--bind", f"{HOST}:{settings.port}", "--workers", str(WORKERS),
        "--worker-class", "gthread", "--threads", str(THREADS), "--timeout", "120", "--no-control-socket", "--log-level", "warning",
    ]  # fmt: skip
    return subprocess.Popen(command, env=environment, stdin=subprocess.DEVNULL)  # noqa: S603 - our own command


def _work(environment: dict[str, str]) -> "subprocess.Popen[bytes]":
    command = [sys.executable, "-m", "flask", "--app", "app", "work-outbox"]
    return subprocess.Popen(command, env=environment, stdin=subprocess.DEVNULL)  # noqa: S603 - our own command


def _watch(processes: "list[subprocess.Popen[bytes]]", settings: Settings, log_in: str | None) -> int:
    """Says where things are once the server answers; stops everything when told to, or when one part ends by itself."""
    told_to_stop: list[int] = []

    def stop(number: int, _frame: FrameType | None) -> None:
        told_to_stop.append(number)

    for number in (signal.SIGINT, signal.SIGTERM):
        signal.signal(number, stop)
    announced, give_up_at = False, time.monotonic() + START_SECONDS
    while not told_to_stop and all(process.poll() is None for process in processes):
        if not announced and _answers(settings.port):
            announced = True
            print(_announcement(settings, log_in), flush=True)
        if not announced and time.monotonic() > give_up_at:
            print(f"The server did not answer within {START_SECONDS} seconds.", file=sys.stderr)
            break
        time.sleep(0.2)
    _stop_all(processes)
    return 0 if told_to_stop else 1


def _answers(port: int) -> bool:
    try:
        with urllib.request.urlopen(f"http://{HOST}:{port}/healthz", timeout=2) as answer:
            return bool(answer.status == 200)
    except (urllib.error.URLError, OSError):
        return False


def _stop_all(processes: "list[subprocess.Popen[bytes]]") -> None:
    for process in processes:
        if process.poll() is None:
            process.terminate()
    deadline = time.monotonic() + STOP_SECONDS
    for process in processes:
        try:
            process.wait(max(deadline - time.monotonic(), 0.1))
        except subprocess.TimeoutExpired:
            process.kill()


def _announcement(settings: Settings, log_in: str | None) -> str:
    base = f"http://{HOST}:{settings.port}"
    lines = [
        "",
        f"  The shop's own page, with the configurator in it   {base}/",
        f"  The configurator as a page of its own              {base}/configure",
        f"  The staff pages                                    {base}/staff/",
        f"  The API                                            {base}/api/v1/openapi.json",
        "",
    ]
    if log_in:
        lines.append(f"  Demo log-in, one password for all:  {log_in}")
        lines += [f"    {demo_email(name):26} {name}, {role.value}" for name, role in PEOPLE]
        lines.append("")
    where = "by SMTP" if settings.smtp_url else f"into {settings.data_path / 'mail'} (no TUCKLINE_SMTP_URL is set)"
    lines += [f"  Mail goes {where}. Ctrl-C stops everything.", ""]
    return "\n".join(lines)


if __name__ == "__main__":
    sys.exit(main())
