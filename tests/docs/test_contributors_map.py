"""DEVELOPERS.md names files; they are there."""

import re
from pathlib import Path

ROOT = Path(__file__).parents[2]
TEXT = (ROOT / "DEVELOPERS.md").read_text(encoding="utf-8")
NAMED = sorted(set(re.findall(r"`((?:domain|loading|services|wire|wording|drawing|storage|web|cli|data)/[\w/]+\.(?:py|yaml))`", TEXT)))


def test_every_file_named_for_contributors_is_there() -> None:
    missing = [name for name in NAMED if not (ROOT / "configurator" / name).exists()]

    assert len(NAMED) > 20
    assert missing == []


ROW = re.compile(r"^\| `([\w/]+\.py)` \| (.+) \|$", re.MULTILINE)


def test_the_names_where_parts_meet_are_defined_there() -> None:
    wrong = []
    for file, names in ROW.findall(TEXT):
        path = ROOT / "configurator" / file
        code = path.read_text(encoding="utf-8") if path.exists() else ""
        wrong += [
            f"{file}: {name}" for name in re.findall(r"`(\w+)\(", names) if f"def {name}(" not in code and f"class {name}" not in code
        ]

    assert wrong == []
