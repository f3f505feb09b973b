"""The arrows of DEVELOPERS.md, kept true: read from the source, and tried in a fresh interpreter."""

import ast
import subprocess
import sys
from collections.abc import Iterator
from pathlib import Path

import pytest

ROOT = Path(__file__).parents[1]
PACKAGE = ROOT / "configurator"

ALLOWED = {
    "domain": {"domain", "errors"},
    "loading": {"domain", "errors", "loading"},
    "wording": {"domain", "errors", "wording"},
    "wire": {"domain", "errors", "wire", "wording"},
    "drawing": {"domain", "errors", "drawing"},
    "services": {"domain", "errors", "services", "drawing", "loading", "wire", "wording"},
    "storage": {"domain", "errors", "services", "storage", "wire"},
}
"""Which rooms a room may import from. `web` and `cli` may import all; storage only through `web.wiring` and `cli`."""

LIBRARIES_OF = {
    "flask": {"web", "cli"},
    "sqlalchemy": {"storage"},
    "alembic": {"storage"},
    "svgwrite": {"drawing"},
    "ezdxf": {"drawing"},
    "babel": {"wording", "web"},
    "yaml": {"loading"},
    "marshmallow": {"wire", "loading"},
    "apispec": {"wire"},
    "holidays": {"loading"},
    "segno": {"web"},
    "icalendar": {"services"},
    "spyrrow": {"services"},
    "PIL": {"services"},
    "pi_heif": {"services"},
    "boto3": {"storage"},
    "botocore": {"storage"},
    "idna": {"services"},
    "argon2": {"services", "web", "storage", "cli"},
    "weasyprint": {"web", "services"},
}
"""Third-party library -> the rooms that may know it."""

NEVER_IN_DOMAIN = ("flask", "sqlalchemy", "svgwrite", "babel", "yaml", "marshmallow", "holidays", "spyrrow", "ezdxf")


def modules() -> list[Path]:
    return sorted(PACKAGE.rglob("*.py"))


def imports_of(path: Path) -> Iterator[str]:
    """Full names of all modules imported anywhere in a file (also inside functions)."""
    for node in ast.walk(ast.parse(path.read_text(encoding="utf-8"))):
        if isinstance(node, ast.Import):
            yield from (alias.name for alias in node.names)
        elif isinstance(node, ast.ImportFrom) and node.module and node.level == 0:
            yield from (f"{node.module}.{alias.name}" for alias in node.names)


def room_of(path: Path) -> str:
    parts = path.relative_to(PACKAGE).parts
    return parts[0].removesuffix(".py")


@pytest.mark.parametrize("room", sorted(ALLOWED))
def test_a_room_imports_only_from_the_rooms_it_may(room: str) -> None:
    wrong = [
        f"{path.relative_to(ROOT)} imports {name}"
        for path in modules()
        if room_of(path) == room
        for name in imports_of(path)
        if name.startswith("configurator.") and not name.endswith("__version__") and name.split(".")[1] not in ALLOWED[room]
    ]

    assert wrong == []


def test_only_wiring_and_commands_reach_for_storage() -> None:
    allowed = {PACKAGE / "web" / "wiring.py"}
    wrong = [
        str(path.relative_to(ROOT))
        for path in modules()
        if room_of(path) not in {"storage", "cli"} and path not in allowed
        for name in imports_of(path)
        if name.startswith("configurator.storage")
    ]

    assert wrong == []


@pytest.mark.parametrize("library", sorted(LIBRARIES_OF))
def test_a_library_is_known_only_where_it_belongs(library: str) -> None:
    wrong = [
        f"{path.relative_to(ROOT)} imports {name}"
        for path in modules()
        if room_of(path) not in LIBRARIES_OF[library]
        for name in imports_of(path)
        if name.split(".")[0] == library
    ]

    assert wrong == []


def test_the_domain_loads_without_web_database_or_locale() -> None:
    names = [
        ".".join(path.relative_to(ROOT).with_suffix("").parts).removesuffix(".__init__") for path in modules() if room_of(path) == "domain"
    ]
    program = f"import importlib, sys\nfor name in {names!r}: importlib.import_module(name)\nprint([m for m in {NEVER_IN_DOMAIN!r} if m in sys.modules])"  # noqa: E501
    done = subprocess.run([sys.executable, "-c", program], cwd=ROOT, capture_output=True, text=True, check=True)

    assert done.stdout.strip() == "[]"


def test_the_domain_reads_neither_clock_nor_environment() -> None:
    forbidden = {"datetime.now", "date.today", "datetime.utcnow", "time.time", "os.environ", "os.getenv"}
    wrong = []
    for path in modules():
        if room_of(path) == "domain":
            for node in ast.walk(ast.parse(path.read_text(encoding="utf-8"))):
                if isinstance(node, ast.Attribute) and isinstance(node.value, ast.Name) and f"{node.value.id}.{node.attr}" in forbidden:
                    wrong.append(f"{path.relative_to(ROOT)}:{node.lineno}")

    assert wrong == []


def test_only_settings_reads_the_environment() -> None:
    readers = [
        str(path.relative_to(ROOT))
        for path in modules()
        for node in ast.walk(ast.parse(path.read_text(encoding="utf-8")))
        if isinstance(node, ast.Attribute)
        and isinstance(node.value, ast.Name)
        and f"{node.value.id}.{node.attr}" in {"os.environ", "os.getenv"}
    ]
    starting_other_programs = {"configurator/cli/check.py", "configurator/cli/start.py", "configurator/services/film/deep_planner.py"}
    setting_numpys_threads = {"configurator/__init__.py"}

    assert set(readers) - starting_other_programs - setting_numpys_threads == {"configurator/settings.py"}
