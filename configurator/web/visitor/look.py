"""How a page is shown, apart from what was picked: language, theme, and the site it is embedded in.

These keys travel in the query beside the selection, so that a framed page needs neither cookie nor storage.
"""

from collections.abc import Iterable
from dataclasses import dataclass

from werkzeug.datastructures import MultiDict

from configurator.web.embed.accent import hex_colour
from configurator.web.typed_numbers import whole_number

KEYS = ("lang", "unit", "theme", "accent", "radius", "font", "site", "fixed", "customer")
UNITS = ("mm", "in")
THEMES = ("auto", "light", "dark")
FONTS = ("platform", "serif", "rounded", "mono")
MOST_RADIUS = 24


@dataclass(frozen=True)
class Look:
    """`lang` as asked for (empty: the browser's); `unit` mm or in; `site` the origin of the page around the frame (empty: not framed).

    `at_desk`: somebody of the staff fills it in for a caller; `customer` is then the number of one who is known already.
    """

    embedded: bool = False
    lang: str = ""
    unit: str = "mm"
    theme: str = "auto"
    accent: str = ""
    radius: str = ""
    font: str = "platform"
    site: str = ""
    fixed: bool = False
    scope_of: str = ""
    """The reference of the request whose scope somebody of the staff is changing; empty: a plan of its own."""
    at_desk: bool = False
    customer: str = ""

    @property
    def base(self) -> str:
        """Where the configurator's addresses start: framed pages and those at the desk have their own, so that links stay there."""
        if self.scope_of:
            return f"/staff/requests/{self.scope_of}/scope"
        if self.at_desk:
            return "/staff/configure"
        return "/embed/configure" if self.embedded else "/configure"

    def pairs(self) -> list[tuple[str, str]]:
        """The query pairs that carry the look on; defaults are left out."""
        given = {
            "lang": self.lang,
            "unit": "in" if self.unit == "in" else "",
            "theme": "" if self.theme == "auto" else self.theme,
            "accent": self.accent,
            "radius": self.radius,
            "font": "" if self.font == "platform" else self.font,
            "site": self.site,
            "fixed": "yes" if self.fixed else "",
            "customer": self.customer,
        }
        return [(key, value) for key, value in given.items() if value]


def look_from_query(arguments: MultiDict[str, str], *, embedded: bool, at_desk: bool = False) -> Look:
    """The look a query asks for. A value that can't be used falls back to the default: a look never breaks a link."""
    return Look(
        embedded=embedded,
        lang=arguments.get("lang", "")[:20],
        unit=_one_of(arguments.get("unit", ""), UNITS),
        theme=_one_of(arguments.get("theme", ""), THEMES),
        accent=hex_colour(arguments.get("accent", "")) or "",
        radius=_radius(arguments.get("radius", "")),
        font=_one_of(arguments.get("font", ""), FONTS),
        site=arguments.get("site", "")[:200] if embedded else "",
        fixed=arguments.get("fixed") == "yes",
        at_desk=at_desk,
        customer=_number(arguments.get("customer", "")) if at_desk else "",
    )


def _one_of(value: str, allowed: Iterable[str]) -> str:
    choices = tuple(allowed)
    return value if value in choices else choices[0]


def _number(value: str) -> str:
    return "" if whole_number(value) is None else value


def _radius(value: str) -> str:
    radius = whole_number(value)
    return "" if radius is None or radius > MOST_RADIUS else value
