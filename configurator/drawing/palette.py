"""The drawing's colours by name, light and dark: the tokens of the page's stylesheet, for a drawing that stands alone.

In a page the tokens come from `static/css/tokens.css`; a test holds the two equal.
"""

LIGHT = {
    "sheet": "#e9eeed",
    "sheet-line": "#c4cfcf",
    "card": "#ffffff",
    "ink": "#13212a",
    "ink2": "#44555e",
    "edge": "#6b7c83",
    "film": "#00656b",
    "film-rim": "#00454a",
    "disc": "#005a60",
    "car": "#cdd6d8",
    "car-line": "#16242c",
    "grain": "#6a4a2c",
    "grain-rim": "#5a3c20",
    "focus": "#13212a",
    "focus-gap": "#ffffff",
}
DARK = LIGHT | {
    "sheet": "#27373e",
    "sheet-line": "#43555d",
    "card": "#172227",
    "ink": "#edf3f3",
    "ink2": "#b3c1c6",
    "edge": "#8299a1",
    "film": "#5fd3d0",
    "car": "#a9b6ba",
    "car-line": "#0d171b",
    "grain": "#c9a077",
    "focus": "#ffffff",
    "focus-gap": "#0f171b",
}
PRINT = {"sheet": "#ffffff", "card": "#ffffff"}


def token_rules() -> str:
    """The tokens as CSS for a drawing by itself: light, dark where the reader's system is dark, white paper."""

    def block(tokens: dict[str, str]) -> str:
        return ":root{" + ";".join(f"--{name}:{colour}" for name, colour in tokens.items()) + "}"

    dark = {name: colour for name, colour in DARK.items() if LIGHT[name] != colour}
    return f"{block(LIGHT)}@media screen and (prefers-color-scheme:dark){{{block(dark)}}}@media print{{{block(PRINT)}}}"
