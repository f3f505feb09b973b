"""A shop's own colour for links, buttons and film on our pages, moved only as far as it takes to stay readable.

WCAG 2.2, 1.4.3: text needs 4.5:1 against its ground. Contrast is worked out as defined there (relative luminance).
"""

import colorsys
import re
from dataclasses import dataclass

LEAST_CONTRAST = 4.5
STEP = 0.01
_HEX = re.compile(r"#?([0-9a-fA-F]{3}|[0-9a-fA-F]{6})\Z")

Rgb = tuple[float, float, float]

GROUNDS = {"light": ("#ffffff", "#f4f6f5"), "dark": ("#172227", "#0f171b")}
"""Card and page of each theme, as in tokens.css."""
INK_ON_ACCENT = {"light": "#ffffff", "dark": "#06201f"}
SOFT_SHARE = {"light": 0.14, "dark": 0.24}


@dataclass(frozen=True)
class Accent:
    """Hex colours for one theme: the accent, a soft ground of it, and the text that stands on it."""

    film: str
    soft: str
    on: str
    moved: bool
    """True when the shop's colour had to be made darker or lighter."""


def hex_colour(text: str) -> str | None:
    """`#rrggbb` for a three- or six-digit hex colour, with or without its hash; None for anything else."""
    found = _HEX.match(text.strip())
    if found is None:
        return None
    digits = found[1].lower()
    return "#" + (digits if len(digits) == 6 else "".join(2 * digit for digit in digits))


def contrast(one: str, other: str) -> float:
    """Contrast ratio of two hex colours, 1 to 21 (WCAG 2.2)."""
    bright, dark = sorted((_luminance(_rgb(one)), _luminance(_rgb(other))), reverse=True)
    return (bright + 0.05) / (dark + 0.05)


def readable_accent(colour: str, theme: str) -> Accent:
    """The colour in its nearest shade that reads at 4.5:1 on card and page, and that carries its own text at 4.5:1."""
    shade = colour
    towards = -STEP if theme == "light" else STEP
    while not _readable(shade, theme):
        shade = _lighter(shade, towards)
    return Accent(film=shade, soft=_mixed(shade, GROUNDS[theme][0], SOFT_SHARE[theme]), on=INK_ON_ACCENT[theme], moved=shade != colour)


def _readable(colour: str, theme: str) -> bool:
    soft = _mixed(colour, GROUNDS[theme][0], SOFT_SHARE[theme])
    return all(contrast(colour, ground) >= LEAST_CONTRAST for ground in (*GROUNDS[theme], INK_ON_ACCENT[theme], soft))


def _lighter(colour: str, step: float) -> str:
    hue, lightness, saturation = colorsys.rgb_to_hls(*_rgb(colour))
    return _hex(colorsys.hls_to_rgb(hue, min(1.0, max(0.0, lightness + step)), saturation))


def _mixed(colour: str, ground: str, share: float) -> str:
    mixed = (share * a + (1 - share) * b for a, b in zip(_rgb(colour), _rgb(ground), strict=True))
    return _hex(tuple(mixed))  # type: ignore[arg-type]


def _rgb(colour: str) -> Rgb:
    red, green, blue = (int(colour[start : start + 2], 16) / 255 for start in (1, 3, 5))
    return red, green, blue


def _hex(rgb: Rgb) -> str:
    return "#" + "".join(f"{round(255 * part):02x}" for part in rgb)


def _luminance(rgb: Rgb) -> float:
    red, green, blue = (part / 12.92 if part <= 0.04045 else ((part + 0.055) / 1.055) ** 2.4 for part in rgb)
    return 0.2126 * red + 0.7152 * green + 0.0722 * blue
