"""From a selection and a body to its scope: what is covered with what, how its edges end, what comes off, and why not."""

from collections.abc import Iterable, Iterator, Mapping
from datetime import timedelta

from configurator.domain.body.records import Body, Edge, EdgeKind, Fitting, Panel
from configurator.domain.coverage import Extent, Wanted, covered_part, host_of, is_body_panel, lamps_of_group, wanted_panels
from configurator.domain.finish_bands import finish_bands, stripe_cuts
from configurator.domain.materials import finish_on, material_of, takes_film, what_to_know, why_no_film
from configurator.domain.measures import difficulty, measures
from configurator.domain.message import Message
from configurator.domain.price_book import PriceBook
from configurator.domain.scope import OldFilm, PartOff, Scope, ScopedLamp, ScopedPanel, TreatedEdge
from configurator.domain.selection import LAMP_GROUPS, LampFilm, Selection, Treatment
from configurator.domain.zones import zone_of

UNDER_SOMETHING = frozenset({EdgeKind.GLASS, EdgeKind.LAMP, EdgeKind.PART})
"""Edges that are hidden only when the part that lies over them comes off; the others open, or end in a lip of their own."""

Covered = Mapping[str, Panel]
"""Covered panel id -> the part of the panel that is covered."""


def scope(selection: Selection, body: Body, book: PriceBook) -> Scope:
    """The scope of a resolved selection on its own body."""
    wanted = wanted_panels(selection, body, book)
    refused = {id: why for id in wanted if (why := _why_not(body.panels[id], selection, book, wanted))}
    covered = {id: covered_part(body.panels[id], part) for id, part in wanted.items() if id not in refused}
    off = tuple(_parts_off(covered, selection, body, book))
    panels: dict[str, ScopedPanel] = {}
    for id, panel in body.panels.items():
        if id in covered:
            panels[id] = _covered_panel(panel, covered[id], wanted[id], off, selection, book)
        elif is_body_panel(panel):
            panels[id] = _bare_panel(panel, refused.get(id), selection, book)
    return Scope(
        panels=panels,
        lamps=tuple(_lamps(selection, body)),
        windshield=_windshield(selection, body),
        parts_off=off,
        old_film=tuple(_old_film(body.panels[id]) for id in selection.vehicle.remove_film),
    )


# -- why a panel that was asked for isn't covered


def _why_not(panel: Panel, selection: Selection, book: PriceBook, wanted: Mapping[str, Wanted]) -> Message | None:
    material = material_of(panel, selection.vehicle)
    if not takes_film(material):
        return why_no_film(panel, material, book)
    return _too_fresh(panel.id, selection, book) or _within(panel.id, wanted)


def _too_fresh(panel: str, selection: Selection, book: PriceBook) -> Message | None:
    """Fresh paint must cure first: counted in days from the respray to the drop-off."""
    sprayed = selection.vehicle.resprayed
    resprayed = sprayed.get(panel) or sprayed.get(host_of(panel) or panel)
    if resprayed is None or selection.drop_off is None:
        return None
    ready = resprayed + timedelta(days=book.terms.respray_wait_days)
    if selection.drop_off >= ready:
        return None
    wait_days = book.terms.respray_wait_days
    return Message("respray_too_fresh", {"panel": panel, "resprayed": resprayed, "ready": ready, "wait_days": wait_days})


def _within(panel: str, wanted: Mapping[str, Wanted]) -> Message | None:
    """An extra zone on a panel that is covered whole has its film already."""
    host = host_of(panel)
    if host is None or host not in wanted or wanted[host].extent is not Extent.WHOLE:
        return None
    return Message("within_covered_panel", {"panel": panel, "host": host})


# -- parts that come off


def _parts_off(covered: Covered, selection: Selection, body: Body, book: PriceBook) -> Iterator[PartOff]:
    """The parts over a covered panel's edges, when edges are hidden; a part that the book hasn't is one this shop leaves on."""
    if selection.edges is not Treatment.HIDDEN:
        return
    for fitting in body.fittings:
        part = book.parts.get(fitting.part)
        if part is None:
            continue
        frees = tuple(id for id in fitting.panels if id in covered and _touches(covered[id], body.panels[id], fitting, part.frees))
        if frees:
            zone = zone_of(body.panels[fitting.panels[0]])
            yield PartOff(id=fitting.id, part=fitting.part, panel=frees[0], role=part.role, frees=frees, zone=zone)


def _touches(covered: Panel, whole: Panel, fitting: Fitting, kind: EdgeKind) -> bool:
    """Whether a fitting of the panel still lies over an edge of the part of it that is covered."""
    if covered is whole:
        return True
    named = any(edge.neighbour == fitting.id for edge in measures(whole).edges)
    return any(edge.neighbour == fitting.id if named else edge.kind is kind for edge in measures(covered).edges)


# -- panels


def _covered_panel(
    panel: Panel, covered: Panel, wanted: Wanted, off: Iterable[PartOff], selection: Selection, book: PriceBook
) -> ScopedPanel:
    material = material_of(panel, selection.vehicle)
    finish = finish_on(material, selection.panel_finishes.get(panel.id, selection.default_finish), selection.vehicle)
    bands = finish_bands(covered, finish, selection.vehicle.stripes, book)
    freeing = tuple(part for part in off if panel.id in part.frees)
    return ScopedPanel(
        id=panel.id,
        panel=panel,
        material=material,
        filmable=True,
        covered=True,
        area_m2=measures(panel).area_m2,
        covered_area_m2=measures(covered).area_m2,
        finish=finish,
        film=book.film_for(finish).id,
        covered_panel=covered,
        edges=tuple(_treated(edge, selection.edges, freeing) for edge in measures(covered).edges),
        cuts=stripe_cuts(covered, bands),
        bands=bands,
        difficulty=difficulty(panel),
        recesses=covered.recesses,
        reason=what_to_know(panel, material, finish) or _part_covered(panel.id, wanted),
    )


def _bare_panel(panel: Panel, refused: Message | None, selection: Selection, book: PriceBook) -> ScopedPanel:
    material = material_of(panel, selection.vehicle)
    filmable = takes_film(material)
    return ScopedPanel(
        id=panel.id,
        panel=panel,
        material=material,
        filmable=filmable,
        covered=False,
        area_m2=measures(panel).area_m2,
        covered_area_m2=0.0,
        finish=None,
        film=None,
        covered_panel=None,
        edges=(),
        cuts=(),
        bands=(),
        difficulty=difficulty(panel),
        recesses=panel.recesses,
        reason=refused or (None if filmable else why_no_film(panel, material, book)),
    )


def _part_covered(panel: str, wanted: Wanted) -> Message | None:
    if wanted.extent is Extent.STRIP:
        return Message("covered_in_front", {"panel": panel, "depth_mm": wanted.depth_mm})
    if wanted.extent is Extent.BELOW_ARCH:
        return Message("covered_below", {"panel": panel, "height_mm": wanted.top_mm})
    return None


def _treated(edge: Edge, treatment: Treatment, freeing: Iterable[PartOff]) -> TreatedEdge:
    """How film ends at an edge. A visible edge is always trimmed; one under a part is hidden only when that part comes off."""
    if edge.kind is EdgeKind.OPEN:
        return TreatedEdge(edge.kind, edge.length_mm, Treatment.TRIMMED)
    if treatment is not Treatment.HIDDEN:
        return TreatedEdge(edge.kind, edge.length_mm, treatment)
    part = next((part for part in freeing if part.id == edge.neighbour), None)
    if part is None and edge.kind in UNDER_SOMETHING:
        return TreatedEdge(edge.kind, edge.length_mm, Treatment.WRAPPED)
    return TreatedEdge(edge.kind, edge.length_mm, Treatment.HIDDEN, part.id if part else None)


# -- lamps, windshield, old film


def _lamps(selection: Selection, body: Body) -> Iterator[ScopedLamp]:
    for group in LAMP_GROUPS:
        film = selection.lamps.get(group, LampFilm.NONE)
        if film is not LampFilm.NONE:
            yield from (_lamp(panel, group, film) for panel in lamps_of_group(group, body))


def _windshield(selection: Selection, body: Body) -> ScopedLamp | None:
    if selection.windshield is LampFilm.NONE:
        return None
    return _lamp(body.panels["windshield"], "windshield", selection.windshield)


def _lamp(panel: Panel, group: str, film: LampFilm) -> ScopedLamp:
    return ScopedLamp(panel.id, group, film, panel, measures(panel).area_m2, measures(panel).perimeter_mm)


def _old_film(panel: Panel) -> OldFilm:
    return OldFilm(panel.id, panel, measures(panel).area_m2, measures(panel).perimeter_mm)
