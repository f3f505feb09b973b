"""The drawing's stylesheet: the file that pages link, put inside a drawing that stands alone."""

from functools import cache
from pathlib import Path

from configurator.drawing.palette import token_rules

FILE = Path(__file__).resolve().parents[2] / "static" / "css" / "drawing.css"


@cache
def stylesheet() -> str:
    """Tokens and rules for an SVG file by itself, comments and line breaks taken out."""
    rules = FILE.read_text(encoding="utf-8")
    while "/*" in rules:
        start = rules.index("/*")
        rules = rules[:start] + rules[rules.index("*/", start) + 2 :]
    return token_rules() + " ".join(rules.split())
