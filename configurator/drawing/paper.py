"""A drawing inside a page that becomes a PDF: line widths in its own measure, black hatches on white, no colour that must be told apart.

A typesetter reads neither custom properties, nor media queries, nor `vector-effect` inside an SVG, and a page's stylesheet doesn't
reach there; so each drawing carries a small stylesheet of its own with plain values.
"""

import re

_DRAWING = re.compile(r'<svg [^>]*viewBox="[-0-9.]+ [-0-9.]+ ([0-9.]+) [0-9.]+"[^>]*class="car-drawing[^>]*>')
PRINTED_MM = 180.0
"""About how wide a drawing stands on a sheet of A4 or letter paper."""

# CSS class -> width of its line on paper, mm.
_LINES = {"line": 0.12, "rim": 0.3, "film": 0.3, "no": 0.2, "wait": 0.2, "hair": 0.12, "leader": 0.15, "open-edge": 0.3}


def on_paper(html: str) -> str:
    """The page with a stylesheet for paper put into each car drawing of it."""
    return _DRAWING.sub(lambda found: found[0] + f"<style>{paper_rules(float(found[1]))}</style>", html)


def paper_rules(width: float, printed_mm: float = PRINTED_MM) -> str:
    """CSS for a drawing `width` units wide that stands `printed_mm` wide on paper."""
    units_per_mm = width / printed_mm
    lines = "".join(f".{name}{{stroke-width:{mm * units_per_mm:.1f}}}" for name, mm in _LINES.items())
    dash = units_per_mm * 0.8
    return (
        lines
        + f".no{{stroke:#000;stroke-dasharray:{dash:.0f} {dash:.0f}}}.open-edge{{stroke:#fff;stroke-dasharray:{dash:.0f} {dash:.0f}}}"
        + ".skin{fill:#fff}.film-tint{fill:#000;fill-opacity:.07}.film,.film-ink,.grain-ink{stroke:#000}.film-dot{fill:#000}"
        + ".film-ground{fill-opacity:.07}.casing{stroke:#fff}.leader-end{stroke:#fff}.lettering{fill:#000}.hit{stroke:none}"
        + ".line,.rim{stroke:#000}.rim{fill:#000}"
    )
