"""The rules that a shop's own look adds to a page: its accent in a readable shade, its corners, its kind of letters."""

from markupsafe import Markup

from configurator.web.embed.accent import readable_accent
from configurator.web.visitor.look import Look

FONTS = {
    "serif": 'Charter, "Bitstream Charter", "Noto Serif", "Liberation Serif", Georgia, serif',
    "rounded": 'ui-rounded, "Hiragino Maru Gothic ProN", Quicksand, Nunito, "Noto Sans", sans-serif',
    "mono": 'ui-monospace, "Cascadia Code", "Liberation Mono", Menlo, monospace',
}


def look_rules(look: Look) -> Markup:
    """CSS for the page's own style element; empty when the look is ours."""
    return Markup("".join([*_accent(look), *_radius(look), *_font(look)]))  # noqa: S704  # made of checked values only


def _accent(look: Look) -> list[str]:
    if not look.accent:
        return []
    light, dark = _tokens(look.accent, "light"), _tokens(look.accent, "dark")
    return [
        f":root{{{light}}}",
        f'@media (prefers-color-scheme:dark){{:root:not([data-theme="light"]){{{dark}}}}}',
        f':root[data-theme="dark"]{{{dark}}}',
    ]


def _tokens(colour: str, theme: str) -> str:
    accent = readable_accent(colour, theme)
    return f"--film:{accent.film};--film-soft:{accent.soft};--on-film:{accent.on}"


def _radius(look: Look) -> list[str]:
    if not look.radius:
        return []
    radius = int(look.radius)
    return [f":root{{--radius:{radius}px;--radius-control:{radius // 2}px}}"]


def _font(look: Look) -> list[str]:
    return [f":root{{--font:{FONTS[look.font]}}}"] if look.font in FONTS else []
