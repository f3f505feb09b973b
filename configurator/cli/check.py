"""`make test`: everything the suite needs, then the whole suite; the last line counts, and names what could not run.

Chromium is installed where it can be (root on a Debian-like machine); a failure to do so never fails the run.
"""

import os
import re
import shutil
import subprocess
import sys
from pathlib import Path

INSTALL_SECONDS = 300
ROOT = Path(__file__).parents[2]

LINTERS = {"ruff": ("check", "--quiet", "."), "mypy": ("--no-error-summary",)}


def main() -> int:
    """Runs linter, type checker and suite; returns the exit code."""
    _bring_chromium()
    found = [tool for tool in LINTERS if _fails(tool)]
    if found:
        print(f"{' and '.join(found)} found faults (above); the suite runs all the same")
    suite, text = _run_suite()
    _close(text, faulted=len(found))
    return suite or int(bool(found))


def _fails(tool: str) -> bool:
    return subprocess.run([sys.executable, "-m", tool, *LINTERS[tool]], cwd=ROOT, check=False).returncode != 0  # noqa: S603


def _bring_chromium() -> None:
    if shutil.which("chromium") or shutil.which("chromium-browser") or shutil.which("google-chrome"):
        return
    if os.geteuid() != 0 or not shutil.which("apt-get"):
        print("No Chromium on this machine: the browser tests will be skipped by name.")
        return
    print("Installing Chromium for the browser tests (once) ...", flush=True)
    quiet = {"stdout": subprocess.DEVNULL, "stderr": subprocess.DEVNULL, "stdin": subprocess.DEVNULL}
    environment = {**os.environ, "DEBIAN_FRONTEND": "noninteractive"}
    for command in (["apt-get", "update", "-q"], ["apt-get", "install", "-yq", "--no-install-recommends", "chromium"]):
        try:
            subprocess.run(command, timeout=INSTALL_SECONDS, check=True, env=environment, **quiet)  # type: ignore[call-overload]  # noqa: S603
        except (OSError, subprocess.SubprocessError):
            print("Chromium could not be installed: the browser tests will be skipped by name.")
            return


def _run_suite() -> tuple[int, str]:
    """Runs pytest on two processes, passing its output through; returns exit code and output."""
    command = [sys.executable, "-m", "pytest", "-q", "-n", "2", "--dist", "loadfile", "-p", "no:cacheprovider"]
    process = subprocess.Popen(command, cwd=ROOT, stdout=subprocess.PIPE, stderr=subprocess.STDOUT, stdin=subprocess.DEVNULL, text=True)  # noqa: S603
    lines = []
    for line in process.stdout or ():
        print(line, end="", flush=True)
        lines.append(line)
    return process.wait(), "".join(lines)


def _close(text: str, *, faulted: int) -> None:
    summary = text.strip().splitlines()[-1] if text.strip() else ""
    counts = {word: int(number) for number, word in re.findall(r"(\d+) (passed|failed|error|errors|skipped)", summary)}
    failed = counts.get("failed", 0) + counts.get("error", 0) + counts.get("errors", 0) + faulted
    skipped = re.findall(r"^SKIPPED \[\d+\] (.*)$", text, re.MULTILINE)
    for reason in skipped:
        print(f"not run on this machine: {reason}")
    print(f"{counts.get('passed', 0)} passed, {failed} failed, {counts.get('skipped', 0)} skipped")


if __name__ == "__main__":
    sys.exit(main())
