"""How each panel of a drawing is to be shown: what a visitor can do with it, and what lies on it."""

from collections.abc import Mapping
from dataclasses import dataclass, field
from enum import StrEnum
from types import MappingProxyType

from configurator.domain.body.records import Body, Panel, Surface
from configurator.domain.price_book import PriceBook
from configurator.domain.scope import Scope, ScopedPanel
from configurator.domain.selection import LampFilm, Material, Selection

TOO_FRESH = "respray_too_fresh"
"""The scope's reason for a panel that can be covered from a date on."""
_PART_SHARE = 0.985
"""Covered to less than this share of its area: only a part of the panel, ending at a visible edge."""


class State(StrEnum):
    """The class names of a panel's group; told apart by hatch, rim, disc and words, never by hue alone."""

    PLAIN = "plain"
    BARE = "bare"
    COVERED = "covered"
    PART = "part"
    REFUSED = "refused"
    WAITING = "waiting"
    LAMP = "lamp"
    GLASS = "glass"


class Coat(StrEnum):
    """The hatch of what lies on a panel."""

    GLOSS = "gloss"
    MATTE = "matte"
    COLOUR = "colour"
    SMOKE_LIGHT = "smoke_light"
    SMOKE_MEDIUM = "smoke_medium"
    SMOKE_DARK = "smoke_dark"


@dataclass(frozen=True)
class FilmLook:
    """What the drawing must know of a shop's films: a colour finish's colour, and the light that a lamp or windshield film lets through."""

    colours: Mapping[str, str] = field(default_factory=lambda: MappingProxyType({}))
    """Finish -> `#rrggbb`."""
    transmissions: Mapping[LampFilm, float] = field(default_factory=lambda: MappingProxyType({}))


def film_look(book: PriceBook) -> FilmLook:
    """The looks of the films that a price book sells."""
    films = book.films.values()
    colours = {film.finish: film.colour for film in films if film.colour is not None}
    transmissions = {film.lamp_grade: film.transmission for film in films if film.lamp_grade is not None and film.transmission is not None}
    return FilmLook(MappingProxyType(colours), MappingProxyType(transmissions))


@dataclass(frozen=True)
class Band:
    y_from_mm: float
    y_to_mm: float
    coat: Coat
    colour: str | None


@dataclass(frozen=True)
class Shown:
    """One panel's appearance. `part` is the covered part where film ends short of the panel's edge."""

    state: State
    coat: Coat | None = None
    colour: str | None = None
    transmission: float = 1.0
    part: Panel | None = None
    bands: tuple[Band, ...] = ()
    """Where stripes part the film into finishes: one coat for each stretch between two planes y = const."""
    hollow: bool = False
    """The coat is what the panel would get; it shows once the panel is ticked."""


def shown_panels(body: Body, scope: Scope | None, selection: Selection | None, films: FilmLook) -> dict[str, Shown]:
    """The appearance of every panel that a selection can name. Without a scope nothing is said of what can be covered."""
    shown = {panel.id: Shown(_plain_state(panel)) for panel in body.panels.values() if panel.selectable}
    if scope is None:
        return shown
    for scoped in scope.panels.values():
        if scoped.id in shown and shown[scoped.id].state not in (State.LAMP, State.GLASS):
            shown[scoped.id] = _shown(scoped, selection, films)
    for lamp in (*scope.lamps, *((scope.windshield,) if scope.windshield else ())):
        if lamp.id in shown and lamp.film is not LampFilm.NONE:
            coat = Coat(lamp.film) if lamp.film is not LampFilm.CLEAR else Coat.GLOSS
            shown[lamp.id] = Shown(shown[lamp.id].state, coat, transmission=films.transmissions.get(lamp.film, 1.0))
    return shown


def _plain_state(panel: Panel) -> State:
    if panel.surface is Surface.LENS:
        return State.LAMP
    if panel.surface in (Surface.WINDSHIELD_GLASS, Surface.OTHER_GLASS):
        return State.GLASS
    return State.PLAIN


def _shown(scoped: ScopedPanel, selection: Selection | None, films: FilmLook) -> Shown:
    if not scoped.covered:
        if scoped.reason is not None and scoped.reason.code == TOO_FRESH:
            return Shown(State.WAITING)
        if not scoped.filmable:
            return Shown(State.REFUSED)
        coat, colour = _coat(_would_be(scoped, selection), films)
        return Shown(State.BARE, coat, colour, hollow=True)
    coat, colour = _coat(scoped.finish or "gloss", films)
    partly = scoped.covered_panel is not None and scoped.covered_area_m2 < _PART_SHARE * scoped.area_m2
    bands = tuple(Band(band.y_from_mm, band.y_to_mm, *_coat(band.finish, films)) for band in scoped.bands) if len(scoped.bands) > 1 else ()
    return Shown(State.PART if partly else State.COVERED, coat, colour, part=scoped.covered_panel if partly else None, bands=bands)


def _would_be(scoped: ScopedPanel, selection: Selection | None) -> str:
    """The finish that an uncovered panel would be given."""
    wanted = "match" if selection is None else selection.panel_finishes.get(scoped.id, selection.default_finish)
    if wanted != "match":
        return wanted
    return "matte" if scoped.material in (Material.MATTE_PAINT, Material.CARBON_MATTE) else "gloss"


def _coat(finish: str, films: FilmLook) -> tuple[Coat, str | None]:
    if finish in (Coat.GLOSS, Coat.MATTE):
        return Coat(finish), None
    return Coat.COLOUR, films.colours.get(finish, "#2b3236")
