"""The drawing of a kept request for a page: made from its selection, remembered for a while, None when it can't be drawn any more."""

import json
from collections.abc import Mapping
from functools import lru_cache

from markupsafe import Markup

from configurator.domain.desk import Request
from configurator.errors import InvalidInput
from configurator.services.numbered_drawing import numbered_drawing
from configurator.web.i18n import words
from configurator.web.request_reading import panel_numbers
from configurator.web.wiring import Wiring, wired
from configurator.wording.words import words_for

REMEMBERED = 64
"""Drawings kept in a process: a sheet is about 200 kB of text."""


def drawing_of(request: Request, view: str = "sheet") -> Markup | None:
    """The SVG of one view (or `sheet`) for inside a page. None when today's price book or bodies can't make it any more."""
    svg = _drawing(request, panel_numbers(request.estimate), view, standalone=False)
    return Markup(svg) if svg is not None else None  # noqa: S704 - our own drawing, every text in it escaped by svgwrite


def drawing_file(request: Request, view: str) -> str | None:
    """The same without numbers as a file by itself, for a small image."""
    return _drawing(request, {}, view, standalone=True)


def _drawing(request: Request, numbers: Mapping[str, str], view: str, *, standalone: bool) -> str | None:
    selection = json.dumps(dict(request.selection), sort_keys=True)
    return _drawn(_Hashed(wired()), selection, json.dumps(dict(numbers), sort_keys=True), view, words().locale, standalone)


class _Hashed:
    """The wiring as a cache key: one per app."""

    def __init__(self, wiring: Wiring) -> None:
        self.wiring = wiring

    def __hash__(self) -> int:
        return id(self.wiring)

    def __eq__(self, other: object) -> bool:
        return isinstance(other, _Hashed) and other.wiring is self.wiring


@lru_cache(maxsize=REMEMBERED)
def _drawn(hashed: _Hashed, selection: str, numbers: str, view: str, locale: str, standalone: bool) -> str | None:
    wiring = hashed.wiring
    try:
        chosen = wiring.desk().load_selection(json.loads(selection))
        return numbered_drawing(wiring.shop, chosen, json.loads(numbers), words_for(locale), view=view, standalone=standalone)
    except InvalidInput:
        return None
