"""The work of a job as operations: what is done to the car, by which role, in which zone, after what, and how long it takes."""

from collections.abc import Iterable, Iterator, Mapping
from dataclasses import replace

from configurator.domain.body.records import EdgeKind
from configurator.domain.price_book import AreaTime, FilmTime, PriceBook, Spread, TimeModel, Triple
from configurator.domain.refitting import in_order, parts_off, parts_on
from configurator.domain.scope import OldFilm, PartOff, Scope, ScopedLamp, ScopedPanel
from configurator.domain.selection import Correction, Selection, Treatment
from configurator.domain.work import Kind, Operation, Role, Step
from configurator.domain.zones import zone_of


def operations(scope: Scope, selection: Selection, book: PriceBook) -> tuple[Operation, ...]:
    """Every operation of the job, each after those it waits for; none when nothing is covered.

    check-in -> wash -> old film off -> coating stripped -> correction -> parts off -> film by zone, lamps, windshield ->
    parts on (and settling alongside) -> inspect -> hand-over.
    """
    if scope.is_empty:
        return ()
    before = tuple(_in_a_row(_preparation(scope, selection, book)))
    parts = in_order(scope.parts_off, book)
    off = tuple(parts_off(parts, book, after=before[-1].id))
    film = tuple(_film_work(scope, book.time, off=_freed_by(off, parts), after=before[-1].id))
    on = tuple(parts_on(parts, book, film=film))
    settle = _settle(book.time, after=film)
    inspect = _over_area(Kind.INSPECT, Role.INSTALLER, book.time.inspect, scope.covered_area_m2)
    hand_over = _over_area(Kind.HAND_OVER, Role.ADVISOR, book.time.hand_over, scope.covered_area_m2)
    end = (replace(inspect, after=_ids((settle, *on))), replace(hand_over, after=(inspect.id,)))
    return (*before, *off, *film, *on, settle, *end)


def _ids(done: Iterable[Operation]) -> tuple[str, ...]:
    return tuple(operation.id for operation in done)


def spread_out(usual: float, spread: Spread) -> Triple:
    """Least, usual and most minutes from the usual ones."""
    return Triple(spread.least * usual, usual, spread.most * usual)


def _area_minutes(time: AreaTime, *, area_m2: float, perimeter_mm: float = 0.0) -> float:
    """base + per_m2 x area + per_m x perimeter, usual minutes."""
    return time.base + time.per_m2 * area_m2 + time.per_m * perimeter_mm / 1000


# -- what the whole car needs


def _preparation(scope: Scope, selection: Selection, book: PriceBook) -> Iterator[Operation]:
    time, vehicle, area = book.time, selection.vehicle, scope.covered_area_m2
    yield _over_area(Kind.CHECK_IN, Role.ADVISOR, time.check_in, area)
    yield _over_area(Kind.WASH, Role.INSTALLER, time.wash, area, factor=time.wash_factor[vehicle.paint_condition])
    yield from (_old_film_off(old, time.remove_film) for old in scope.old_film)
    if vehicle.coated:
        yield _over_area(Kind.STRIP_COATING, Role.INSTALLER, time.strip_coating, area)
    if vehicle.correction is Correction.ONE_STEP:
        yield _over_area(Kind.CORRECTION, Role.INSTALLER, time.correction_one_step, area)
    if vehicle.correction is Correction.TWO_STEP:
        yield _over_area(Kind.CORRECTION, Role.INSTALLER, time.correction_two_step, area)


def _in_a_row(planned: Iterable[Operation]) -> Iterator[Operation]:
    """Each operation after the one before it."""
    after: tuple[str, ...] = ()
    for operation in planned:
        yield replace(operation, after=after)
        after = (operation.id,)


def _over_area(kind: Kind, role: Role, time: AreaTime, area_m2: float, *, factor: float = 1.0) -> Operation:
    """An operation on the whole car whose time hangs on the area that is covered."""
    times = spread_out(factor * _area_minutes(time, area_m2=area_m2), time.spread)
    return Operation.timed(kind, times, id=str(kind), role=role)


def _old_film_off(old: OldFilm, time: AreaTime) -> Operation:
    times = spread_out(_area_minutes(time, area_m2=old.area_m2, perimeter_mm=old.perimeter_mm), time.spread)
    zone = zone_of(old.panel)
    return Operation.timed(Kind.REMOVE_FILM, times, id=f"remove_film_{old.id}", role=Role.INSTALLER, zone=zone, panel=old.id)


def _settle(time: TimeModel, *, after: Iterable[Operation]) -> Operation:
    """Time that needs no hands: the water leaves before edges are judged."""
    minutes = time.settle_minutes
    return Operation.timed(Kind.SETTLE, Triple(minutes, minutes, minutes), id="settle", role=None, after=_ids(after))


# -- film, lamps, windshield


def _freed_by(off: Iterable[Operation], parts: Iterable[PartOff]) -> Mapping[str, tuple[str, ...]]:
    """Panel id -> the operations that take parts out of its film's way."""
    freed: dict[str, tuple[str, ...]] = {}
    for operation, part in zip(off, parts, strict=True):
        for panel in part.frees:
            freed[panel] = (*freed.get(panel, ()), operation.id)
    return freed


def _film_work(scope: Scope, time: TimeModel, *, off: Mapping[str, tuple[str, ...]], after: str) -> Iterator[Operation]:
    for panel in scope.covered:
        yield _film_operation(panel, time.film, after=off.get(panel.id, (after,)))
    for lamp in scope.lamps:
        yield _lamp_operation(Kind.LAMP, lamp, time.lamp, id=f"lamp_film_{lamp.id}", after=(after,))
    if scope.windshield:
        yield _lamp_operation(Kind.WINDSHIELD, scope.windshield, time.windshield, id="windshield_film", after=(after,))


def _film_operation(panel: ScopedPanel, time: FilmTime, *, after: tuple[str, ...]) -> Operation:
    steps = tuple(film_steps(panel, time))
    times = spread_out(sum(step.minutes for step in steps), time.spread)
    zone = zone_of(panel.panel)
    return Operation.timed(
        Kind.FILM, times, id=f"film_{panel.id}", role=Role.INSTALLER, zone=zone, panel=panel.id, after=after, steps=steps
    )


def film_steps(panel: ScopedPanel, time: FilmTime) -> Iterator[Step]:
    """The tasks of filming one panel, usual minutes each.

    Prepare: base + prep_panel + prep_m2 A. Lay: lay_m2 A (1 + weight D) for the covered area A (m2) and difficulty D (0..1).
    Edges: a rate per metre by treatment and kind. Seams and recesses: a rate per metre and per piece.
    """
    area = panel.covered_area_m2
    yield Step("prepare", area, "m2", time.base + time.prep_panel + time.prep_m2 * area)
    yield Step("lay", area, "m2", time.lay_m2 * area * (1 + time.difficulty_weight * panel.difficulty))
    for (treatment, kind), metres in _edge_metres(panel).items():
        yield Step(str(treatment), metres, "m", time.edge_m[treatment][kind] * metres, detail=str(kind))
    if panel.seam_mm:
        yield Step("seam", panel.seam_mm / 1000, "m", time.seam_m * panel.seam_mm / 1000)
    if panel.recesses:
        yield Step("recess", panel.recesses, "recess", time.recess * panel.recesses)


def _edge_metres(panel: ScopedPanel) -> Mapping[tuple[Treatment, EdgeKind], float]:
    metres: dict[tuple[Treatment, EdgeKind], float] = {}
    for edge in panel.edges:
        key = (edge.treatment, edge.kind)
        metres[key] = metres.get(key, 0.0) + edge.length_mm / 1000
    return metres


def _lamp_operation(kind: Kind, lamp: ScopedLamp, time: AreaTime, *, id: str, after: tuple[str, ...]) -> Operation:
    times = spread_out(_area_minutes(time, area_m2=lamp.area_m2, perimeter_mm=lamp.perimeter_mm), time.spread)
    return Operation.timed(kind, times, id=id, role=Role.INSTALLER, zone=zone_of(lamp.panel), panel=lamp.id, after=after)
