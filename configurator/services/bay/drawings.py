"""Drawings of a job: what gets film, one panel by itself, what is really on the car, and the marks it came with."""

from collections.abc import Collection, Mapping
from dataclasses import replace
from functools import lru_cache

from configurator.domain.desk import Document
from configurator.domain.shop import Shop
from configurator.domain.work import Zone
from configurator.drawing.car import SHEET, draw_sheet, draw_view
from configurator.drawing.options import Options
from configurator.drawing.states import film_look
from configurator.services.bay.scoped import Scoped, scoped, without
from configurator.services.depiction import sheet_labels
from configurator.wording.words import Words, words_for

VIEW_OF = {
    Zone.NOSE: "front",
    Zone.HOOD: "top",
    Zone.LEFT: "left",
    Zone.RIGHT: "right",
    Zone.TOP: "top",
    Zone.REAR: "rear",
    Zone.ALL: SHEET,
}
"""From where a zone is seen best."""

REMEMBERED = 96


def drawing(
    selection: Document, shop: Shop, words: Words, view: str, *, numbers: Mapping[str, str], bare: Collection[str] = (), prefix: str = "car"
) -> str:
    """One view (or the sheet) with numbers on panels; `bare` are shown without film. `prefix` keeps several in one page apart."""
    known = scoped(selection, shop)
    return _drawn(_Known(known, shop), words.locale, view, tuple(sorted(numbers.items())), frozenset(bare), prefix)


def only(panel: str, selection: Document, shop: Shop) -> frozenset[str]:
    """Everything that would have to be bare for one panel to stand out."""
    scope = scoped(selection, shop).worked.scope
    glass = (scope.windshield,) if scope.windshield else ()
    return frozenset({*(one.id for one in scope.covered), *(lamp.id for lamp in (*scope.lamps, *glass))} - {panel})


class _Known:
    """A worked selection as a cache key: the same one is handed out as long as it is remembered."""

    def __init__(self, known: Scoped, shop: Shop) -> None:
        self.known, self.shop = known, shop

    def __hash__(self) -> int:
        return hash((id(self.known), id(self.shop)))

    def __eq__(self, other: object) -> bool:
        return isinstance(other, _Known) and other.known is self.known and other.shop is self.shop


@lru_cache(maxsize=REMEMBERED)
def _drawn(key: _Known, locale: str, view: str, numbers: tuple[tuple[str, str], ...], bare: frozenset[str], prefix: str) -> str:
    words, job, book = words_for(locale), key.known.worked, key.shop.book
    scope = without(job.scope, bare)
    labels = sheet_labels(replace(job, scope=scope), words)
    on = dict(numbers)
    spoken = {id: f"{on[id]}. {text}" if id in on else text for id, text in labels.panels.items()}
    labels, options = replace(labels, panels=spoken), Options(numbers=on)
    chosen, films = job.selection, film_look(book)
    if view == SHEET:
        return draw_sheet(job.body, scope, labels=labels, selection=chosen, films=films, options=options, prefix=prefix)
    return draw_view(job.body, scope, view, labels=labels, selection=chosen, films=films, options=options, prefix=prefix)
