"""The README's table of settings and the program's say the same, both ways round; bad values are refused by name."""

import re
from pathlib import Path

import pytest

from configurator.settings import SETTINGS, BadSetting, Setting, read_settings

README = Path(__file__).parents[2] / "README.md"
ROW = re.compile(r"^\| `([A-Z_]+)` \| (?:none|`([^`]*)`) \| (.+) \|$", re.MULTILINE)


def test_the_readme_lists_every_setting_with_its_default() -> None:
    written = {variable: (default, help_text) for variable, default, help_text in ROW.findall(README.read_text(encoding="utf-8"))}

    assert written == {setting.variable: (setting.default, setting.help) for setting in SETTINGS.values()}


@pytest.mark.parametrize("setting", SETTINGS.values(), ids=lambda setting: setting.variable)
def test_a_default_is_a_good_value(setting: Setting) -> None:
    setting.read(setting.default)


@pytest.mark.parametrize(
    ("variable", "value"),
    [
        ("PORT", "web"),
        ("PORT", "0"),
        ("DATABASE_URL", "mysql://localhost/x"),
        ("TUCKLINE_RATE_ESTIMATES", "many"),
        ("TUCKLINE_RATE_REQUESTS", "0/hour"),
        ("TUCKLINE_PUBLIC_URL", "film.example"),
        ("TUCKLINE_PUBLIC_URL", "https://film.example/path"),
        ("TUCKLINE_SECRET_KEY", "short"),
        ("TUCKLINE_SESSION_HOURS", "-1"),
        ("TUCKLINE_TRUSTED_PROXIES", "9"),
        ("TUCKLINE_SMTP_URL", "mail.example"),
        ("TUCKLINE_LIGHT_RULES", "/no/such/folder"),
    ],
)
def test_a_bad_value_is_refused_by_its_name(variable: str, value: str) -> None:
    with pytest.raises(BadSetting, match=variable):
        read_settings({variable: value})


def test_a_refused_secret_is_not_repeated() -> None:
    with pytest.raises(BadSetting) as refused:
        read_settings({"TUCKLINE_SECRET_KEY": "too short to sign"})

    assert "too short to sign" not in str(refused.value)


def test_a_secret_may_come_from_a_file(tmp_path: Path) -> None:
    file = tmp_path / "key"
    file.write_text("k" * 40 + "\n")

    assert read_settings({"TUCKLINE_SECRET_KEY_FILE": str(file)}).secret_key == "k" * 40


def test_a_missing_secret_file_is_named(tmp_path: Path) -> None:
    with pytest.raises(BadSetting, match="TUCKLINE_SECRET_KEY_FILE"):
        read_settings({"TUCKLINE_SECRET_KEY_FILE": str(tmp_path / "nothing")})
