"""A QR code as SVG, made here: the secret in it goes to no other server. Drawn dark on light in both themes, or cameras miss it."""

import segno
from markupsafe import Markup

QUIET_ZONE = 4
"""Modules of empty border (ISO/IEC 18004)."""


def qr_code(text: str, *, title: str) -> Markup:
    """The code as one path of unit squares with its quiet zone, named for those who can't see it."""
    code = segno.make(text, error="m", micro=False)
    size = code.symbol_size(border=QUIET_ZONE)[0]
    runs = "".join(
        f"M{column + QUIET_ZONE} {row + QUIET_ZONE}h1v1h-1z"
        for row, modules in enumerate(code.matrix)
        for column, module in enumerate(modules)
        if module
    )
    head = Markup('<svg class="people-qr" viewBox="0 0 {0} {0}" role="img" aria-label="{1}">').format(size, title)
    return head + Markup('<rect class="people-qr__light" width="{0}" height="{0}"/><path class="people-qr__dark" d="{1}"/></svg>').format(
        size, runs
    )
