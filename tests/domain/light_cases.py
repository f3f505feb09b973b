"""Small synthetic scopes for the tests of light and cautions: a coupe whose panels and lamps are named, not drawn."""

from collections.abc import Mapping
from dataclasses import replace
from typing import Any, cast

from configurator.domain.body.records import Panel
from configurator.domain.price_book import PriceBook
from configurator.domain.scope import PartOff, Scope, ScopedLamp, ScopedPanel
from configurator.domain.selection import LAMP_GROUPS, LampFilm, Material, Selection, Vehicle
from configurator.loading.price_book import demo_price_book

NO_PANEL = cast(Panel, None)
LAMPS_OF = {"headlamps": "headlamp", "fog_lamps": "fog_lamp", "tail_lamps": "tail_lamp"}


def a_scoped_panel(id: str, **changes: Any) -> ScopedPanel:
    values: dict[str, Any] = {
        "id": id,
        "panel": NO_PANEL,
        "material": Material.GLOSS_PAINT,
        "filmable": True,
        "covered": True,
        "area_m2": 1.0,
        "covered_area_m2": 1.0,
        "finish": "gloss",
        "film": "gloss-clear",
        "covered_panel": None,
        "edges": (),
        "cuts": (),
        "bands": (),
        "difficulty": 0.1,
        "recesses": 0,
        "reason": None,
    }
    return ScopedPanel(**{**values, **changes})


def a_scope(
    *panels: ScopedPanel, lamps: Mapping[str, LampFilm] | None = None, windshield: bool = False, parts: tuple[PartOff, ...] = ()
) -> Scope:
    chosen = lamps or {}
    pairs = tuple(
        ScopedLamp(f"{LAMPS_OF[group]}_{side}", group, film, NO_PANEL, 0.1, 1200.0)
        for group, film in chosen.items()
        if film is not LampFilm.NONE
        for side in ("left", "right")
    )
    glass = ScopedLamp("windshield", "windshield", LampFilm.CLEAR, NO_PANEL, 1.1, 4400.0) if windshield else None
    return Scope({panel.id: panel for panel in panels}, pairs, glass, parts)


def a_part_off(part: str, panel: str) -> PartOff:
    return PartOff(f"{part}_{panel}", part, panel, "assembler")


def a_selection(**changes: Any) -> Selection:
    """A resolved selection: every lamp group named, region us."""
    lamps = dict.fromkeys(LAMP_GROUPS, LampFilm.NONE) | dict(changes.pop("lamps", {}))
    values: dict[str, Any] = {"vehicle": Vehicle(body="coupe", features=frozenset()), "lamps": lamps, "region": "us"}
    return Selection(**{**values, **changes})


def a_book_with_film(kind: str, grade: LampFilm, transmission: float, tolerance: float = 0.0) -> PriceBook:
    """The demo book with one film's transmission changed."""
    book = demo_price_book()
    films = {
        id: replace(film, transmission=transmission, transmission_tolerance=tolerance)
        if film.kind == kind and film.lamp_grade is grade
        else film
        for id, film in book.films.items()
    }
    return replace(book, films=films)
