"""How pages look: contrast of every pair of colours that meet, and a shop's own accent made readable.

WCAG 2.2, 1.4.3 (text 4.5:1) and 1.4.11 (boundaries and states 3:1). The contrast arithmetic is checked with pairs worked out outside this
project: black on white 21, #767676 on white 4.54, #777777 4.48, pure red on white 4.00, pure blue on white 8.59 (from memory, as
published in WCAG's own and many other tables).
"""

import re
from pathlib import Path

import pytest
from hypothesis import given
from hypothesis import strategies as st
from werkzeug.datastructures import MultiDict

from configurator.web.embed.accent import GROUNDS, INK_ON_ACCENT, contrast, hex_colour, readable_accent
from configurator.web.visitor.look import look_from_query
from configurator.web.visitor.look_rules import look_rules

CSS = Path(__file__).parents[2] / "static" / "css"
TEXT, BOUNDARY = 4.5, 3.0


def tokens() -> dict[str, dict[str, str]]:
    """The tokens of tokens.css, light and dark (dark laid over light)."""
    text = (CSS / "tokens.css").read_text()
    light_text, _, rest = text.partition("@media (prefers-color-scheme: dark)")
    dark_text = rest.partition(":root[data-theme")[0]
    light = dict(re.findall(r"--([a-z0-9-]+): (#[0-9a-f]{6});", light_text))
    return {"light": light, "dark": light | dict(re.findall(r"--([a-z0-9-]+): (#[0-9a-f]{6});", dark_text))}


@pytest.mark.parametrize(
    ("one", "other", "ratio"),
    [
        ("#000000", "#ffffff", 21.0),
        ("#767676", "#ffffff", 4.54),
        ("#777777", "#ffffff", 4.48),
        ("#ff0000", "#ffffff", 4.0),
        ("#0000ff", "#ffffff", 8.59),
    ],
)
def test_contrast_is_that_of_the_guidelines(one: str, other: str, ratio: float) -> None:
    assert contrast(one, other) == pytest.approx(ratio, abs=0.005)
    assert contrast(other, one) == contrast(one, other)


@pytest.mark.parametrize("theme", ["light", "dark"])
@pytest.mark.parametrize(
    ("ink", "ground", "least"),
    [
        *((ink, ground, TEXT) for ink in ("ink", "ink2") for ground in ("page", "card", "sheet", "film-soft")),
        *((ink, ground, TEXT) for ink in ("film", "care", "stop", "ok") for ground in ("page", "card")),
        ("film", "film-soft", TEXT),
        ("on-film", "film", TEXT),
        *((kind, f"{kind}-soft", TEXT) for kind in ("care", "stop", "ok")),
        *(("ink", f"{kind}-soft", TEXT) for kind in ("care", "stop", "ok")),
        *(("ink2", f"{kind}-soft", TEXT) for kind in ("care", "stop", "ok")),
        *(("edge", ground, BOUNDARY) for ground in ("page", "card", "sheet")),
        *(("focus", ground, BOUNDARY) for ground in ("page", "card", "sheet")),
        ("car-line", "car", BOUNDARY),
        ("film-rim", "car", BOUNDARY),
        ("grain-rim", "car", BOUNDARY),
        ("grain", "card", BOUNDARY),
    ],
)
def test_every_pair_that_meets_can_be_told_apart(theme: str, ink: str, ground: str, least: float) -> None:
    colours = tokens()[theme]

    assert contrast(colours[ink], colours[ground]) >= least


def test_both_ways_to_the_dark_theme_say_the_same() -> None:
    text = (CSS / "tokens.css").read_text()
    by_system, by_choice = (
        re.search(r':not\(\[data-theme="light"\]\) \{(.*?)\}', text, re.S),
        re.search(r':root\[data-theme="dark"\] \{(.*?)\}', text, re.S),
    )
    assert by_system
    assert by_choice

    assert by_system[1].split() == by_choice[1].split()


def test_the_accents_grounds_are_the_pages_own() -> None:
    for theme, colours in tokens().items():
        assert GROUNDS[theme] == (colours["card"], colours["page"])
        assert INK_ON_ACCENT[theme] == colours["on-film"]


@given(st.integers(0, 0xFFFFFF), st.sampled_from(["light", "dark"]))
def test_any_accent_becomes_readable_and_a_readable_one_stays(number: int, theme: str) -> None:
    colour = f"#{number:06x}"

    accent = readable_accent(colour, theme)

    for ground in (*GROUNDS[theme], accent.on, accent.soft):
        assert contrast(accent.film, ground) >= TEXT
    assert accent.moved == (accent.film != colour)
    assert readable_accent(accent.film, theme).film == accent.film


@pytest.mark.parametrize(
    ("text", "colour"),
    [("#0af", "#00aaff"), ("00AAFF", "#00aaff"), (" #123456 ", "#123456"), ("red", None), ("#12345", None), ("#12345g", None), ("", None)],
)
def test_only_hex_colours_are_taken(text: str, colour: str | None) -> None:
    assert hex_colour(text) == colour


def test_a_look_that_cannot_be_used_falls_back_and_never_breaks_a_link() -> None:
    asked = MultiDict({"theme": "neon", "accent": "url(x)", "radius": "999", "font": "'};", "unit": "cubit", "site": "https://x.example"})

    look = look_from_query(asked, embedded=False)

    assert look.pairs() == []
    assert look_rules(look) == ""


def test_a_look_travels_in_the_query() -> None:
    asked = MultiDict(
        {
            "lang": "de",
            "unit": "in",
            "theme": "dark",
            "accent": "f00",
            "radius": "12",
            "font": "serif",
            "site": "https://x.example",
            "fixed": "yes",
        }
    )

    look = look_from_query(asked, embedded=True)

    assert dict(look.pairs()) == {**asked, "accent": "#ff0000"}
    assert look_from_query(MultiDict(look.pairs()), embedded=True) == look
    assert ":root{--radius:12px;--radius-control:6px}" in look_rules(look)
