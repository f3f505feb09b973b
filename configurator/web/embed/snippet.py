"""The lines that a shop's web person pastes: a script tag and the element, with what was chosen for it."""

import re
from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from urllib.parse import urlencode

from markupsafe import Markup, escape

from configurator.domain.selection import Package
from configurator.web.embed.accent import hex_colour
from configurator.web.embed.loader import Loader
from configurator.web.typed_numbers import whole_number
from configurator.web.visitor.look import FONTS, MOST_RADIUS, THEMES

HEIGHT = re.compile(r"[1-9][0-9]{1,3}(px|vh|dvh|svh|rem|em)?\Z")
"""Heights that the loader takes: pixels, or a length in one of these units."""
ATTRIBUTES = ("package", "body", "locale", "theme", "accent", "radius", "font", "height")


@dataclass(frozen=True)
class Choices:
    """What the element is to be given; an empty text leaves an attribute out, which is the default of each."""

    locale: str = ""
    theme: str = ""
    accent: str = ""
    radius: str = ""
    font: str = ""
    package: str = ""
    body: str = ""
    height: str = ""
    fixed: bool = False
    """The loader of today for ever, with its integrity, instead of the latest."""

    def attributes(self) -> list[tuple[str, str]]:
        """Names and values of those that are given."""
        return [(name, str(getattr(self, name))) for name in ATTRIBUTES if getattr(self, name)]


def choices_from(query: Mapping[str, str], *, locales: Iterable[str], bodies: Iterable[str]) -> Choices:
    """What a form asks for. A value that can't be used is left out: nothing is guessed in its place."""

    def one_of(name: str, allowed: Iterable[str]) -> str:
        return query.get(name, "") if query.get(name, "") in set(allowed) else ""

    radius, height = query.get("radius", "").strip(), query.get("height", "").strip()
    return Choices(
        locale=one_of("locale", locales),
        theme=one_of("theme", THEMES[1:]),
        accent=(hex_colour(query.get("accent", "")) or "") if query.get("own_accent") else "",
        radius="" if (corners := whole_number(radius)) is None or corners > MOST_RADIUS else radius,
        font=one_of("font", FONTS[1:]),
        package=one_of("package", Package),
        body=one_of("body", bodies),
        height=height if HEIGHT.match(height) else "",
        fixed=query.get("version") == "fixed",
    )


def script_line(choices: Choices, loader: Loader, base: str) -> str:
    """The script tag; `base` is the origin that visitors see."""
    if choices.fixed:
        return f'<script src="{base}{loader.path}" integrity="{loader.integrity}" crossorigin="anonymous" async></script>'
    return f'<script src="{base}/embed.js" async></script>'


def element(choices: Choices, base: str, link_text: str) -> str:
    """The element with its link, which is all that a visitor without script sees, and works."""
    given = "".join(f' {name}="{escape(value)}"' for name, value in choices.attributes())
    return (
        f'<tuckline-configurator{given}>\n  <a href="{escape(base + link_path(choices))}">{escape(link_text)}</a>\n</tuckline-configurator>'
    )


def snippet(choices: Choices, loader: Loader, base: str, link_text: str) -> str:
    """Everything to paste."""
    return f"{script_line(choices, loader, base)}\n{element(choices, base, link_text)}"


def link_path(choices: Choices) -> str:
    """Where the link leads: the configurator's own page, started in the same way."""
    pairs = [("body", choices.body), ("package", choices.package), ("lang", choices.locale)]
    query = urlencode([(name, value) for name, value in pairs if value])
    return f"/configure?{query}" if query else "/configure"


def as_markup(choices: Choices, base: str, link_text: str) -> Markup:
    """The element for one of our own pages."""
    return Markup(element(choices, base, link_text))  # noqa: S704  # every value is checked above and escaped
