"""Small synthetic things for the domain's tests: flat panels with a given area and edges, operations, price books."""

from collections.abc import Mapping
from dataclasses import replace
from decimal import Decimal
from math import inf

import numpy as np

from configurator.domain.body.records import EdgeKind, Layer, Loop, Mesh, Panel, Side, Surface
from configurator.domain.film_plan.records import FilmUse
from configurator.domain.price_book import PriceBook, Roll
from configurator.domain.scope import FinishBand, PartOff, Scope, ScopedLamp, ScopedPanel, StripeCut, TreatedEdge
from configurator.domain.selection import LampFilm, Material, Selection, Treatment, Vehicle
from configurator.domain.work import Kind, Operation, Role, Zone
from configurator.loading.price_book import demo_price_book


def a_panel(id: str, *, width_mm: float = 1000.0, depth_mm: float = 500.0, side: Side = Side.CENTRE, **more: object) -> Panel:
    """A flat rectangle lying at z = 500: x from 0 to `depth_mm`, y across the middle."""
    half = width_mm / 2
    corners = np.array([(0, -half, 500), (0, half, 500), (depth_mm, half, 500), (depth_mm, -half, 500)], dtype=float)
    mesh = Mesh(corners, np.array([(0, 1, 2), (0, 2, 3)]))
    loop = Loop(np.arange(4), (EdgeKind.SHUT_LINE,) * 4, (None,) * 4)
    return Panel(id, side, Surface.PAINT, Layer.BODY, mesh, (loop,), **more)  # type: ignore[arg-type]


def a_scoped_panel(
    id: str,
    *,
    area_m2: float,
    edges_m: Mapping[EdgeKind, float] | None = None,
    difficulty: float = 0.0,
    recesses: int = 0,
    seam_m: float = 0.0,
    treatment: Treatment = Treatment.WRAPPED,
    side: Side = Side.CENTRE,
    film: str = "gloss-clear",
) -> ScopedPanel:
    """A covered panel with exactly these measures."""
    panel = a_panel(id, side=side)
    return ScopedPanel(
        id=id,
        panel=panel,
        material=Material.GLOSS_PAINT,
        filmable=True,
        covered=True,
        area_m2=area_m2,
        covered_area_m2=area_m2,
        finish="gloss",
        film=film,
        covered_panel=panel,
        edges=tuple(TreatedEdge(kind, metres * 1000, treatment) for kind, metres in (edges_m or {}).items()),
        cuts=(StripeCut(0.0, seam_m * 1000),) if seam_m else (),
        bands=(FinishBand(-inf, inf, "base", "gloss", film, area_m2),),
        difficulty=difficulty,
        recesses=recesses,
        reason=None,
    )


def a_lamp(id: str, *, area_m2: float, perimeter_m: float, film: LampFilm = LampFilm.CLEAR) -> ScopedLamp:
    group = "windshield" if id == "windshield" else id.rsplit("_", 1)[0] + "s"
    return ScopedLamp(id, group, film, a_panel(id), area_m2, perimeter_m * 1000)


def a_scope(*panels: ScopedPanel, lamps: tuple[ScopedLamp, ...] = (), parts: tuple[PartOff, ...] = ()) -> Scope:
    return Scope(panels={panel.id: panel for panel in panels}, lamps=lamps, windshield=None, parts_off=parts)


def a_selection(body: str = "coupe", **vehicle: object) -> Selection:
    return Selection(vehicle=Vehicle(body=body, **vehicle))  # type: ignore[arg-type]


def an_operation(id: str, minutes: tuple[float, float, float], *, kind: Kind = Kind.FILM, role: Role = Role.INSTALLER) -> Operation:
    least, usual, most = minutes
    return Operation(id, kind, id, role, Zone.ALL, (), least, usual, most)


def metres_of_film(metres: float, *, film: str = "gloss-clear", width_mm: float = 1524.0) -> FilmUse:
    return FilmUse(film, width_mm, metres, pieces=1, piece_area_m2=metres)


def the_book(**changes: object) -> PriceBook:
    """The demo book with some of its parts changed."""
    return replace(demo_price_book(), **changes)  # type: ignore[arg-type]


def one_roll_book(*, cost_per_m: str, **changes: object) -> PriceBook:
    """The demo book with the gloss film on one roll of 1,524 mm."""
    book = the_book(**changes)
    film = replace(book.films["gloss-clear"], rolls=(Roll(1524.0, Decimal(cost_per_m)),), markup=Decimal("1.5"))
    return replace(book, films={**book.films, "gloss-clear": film})
