"""Estimates, measured bodies and work plans of a selection, for the commands, the API and the pages."""

from collections.abc import Iterator, Mapping
from dataclasses import dataclass
from itertools import pairwise

from configurator.domain import estimating
from configurator.domain.body.records import Body
from configurator.domain.estimate import Estimate
from configurator.domain.estimating import NOTHING_KNOWN, Knowledge
from configurator.domain.finish_bands import finish_bands, stripe_cuts
from configurator.domain.lamps import Measured, lamp_light
from configurator.domain.light import LampLight
from configurator.domain.materials import finish_on, material_of, takes_film
from configurator.domain.phases import planned_minutes
from configurator.domain.resolving import resolve
from configurator.domain.scheduling import timeline
from configurator.domain.selection import Material, Package, Selection, Vehicle
from configurator.domain.shop import Shop
from configurator.domain.timeline import Stay
from configurator.domain.work import Operation
from configurator.errors import Fault


@dataclass(frozen=True, eq=False)
class MeasuredBody:
    """A body with what the selection says of it: materials, and the seams that its stripes make on each panel."""

    body: Body
    materials: Mapping[str, Material]
    seams_mm: Mapping[str, float]


@dataclass(frozen=True, eq=False)
class WorkPlan:
    """Operations, what is planned for each (typical), and where they are placed; `stay` is None when there is nothing to do."""

    operations: tuple[Operation, ...]
    planned_minutes: Mapping[str, float]
    stay: Stay | None


def estimate(shop: Shop, selection: Selection, known: Knowledge = NOTHING_KNOWN) -> Estimate:
    """The estimate of a selection. Raises InvalidInput."""
    return estimating.estimate(selection, shop, known)


def light(shop: Shop, selection: Selection, measured: Measured) -> tuple[LampLight, ...]:
    """Lamps and glass of a selection with what was measured on the car. Raises InvalidInput."""
    job = estimating.work(selection, shop)
    return lamp_light(job.scope, job.selection, shop.rules, shop.book, measured)


def measured_body(shop: Shop, selection: Selection) -> MeasuredBody:
    """The body of a selection, whatever of it is covered. Raises InvalidInput."""
    resolved = resolve(selection, shop.styles, shop.book)
    body = estimating.body_of(resolved, shop)
    materials = {id: material_of(panel, resolved.vehicle) for id, panel in body.panels.items()}
    return MeasuredBody(body, materials, {id: _seam_mm(id, body, materials[id], resolved, shop) for id in body.panels})


def _seam_mm(id: str, body: Body, material: Material, selection: Selection, shop: Shop) -> float:
    if selection.vehicle.stripes is None or not takes_film(material):
        return 0.0
    panel = body.panels[id]
    finish = finish_on(material, selection.panel_finishes.get(id, selection.default_finish), selection.vehicle)
    return sum(cut.length_mm for cut in stripe_cuts(panel, finish_bands(panel, finish, selection.vehicle.stripes, shop.book)))


def work_plan(shop: Shop, selection: Selection) -> WorkPlan:
    """The operations of a selection and their placement at the typical quantile. Raises InvalidInput."""
    job = estimating.work(selection, shop)
    book, drop_off = shop.book, job.selection.drop_off or shop.book.hours.reference_drop_off
    planned = {operation.id: planned_minutes(operation, book.time.k50) for operation in job.operations}
    stay = timeline(job.operations, shop.calendar, drop_off, book).typical if job.operations else None
    return WorkPlan(job.operations, planned, stay)


def package_order_faults(shop: Shop) -> tuple[Fault, ...]:
    """Where a package's discount makes it cheaper than the one it takes in, on some body of the shop: asked before publishing.

    That the panels take each other in is checked when the book is read; a discount can only be judged on whole prices.
    """
    return tuple(fault for body in shop.styles for fault in _order_faults(shop, body))


def _order_faults(shop: Shop, body: str) -> Iterator[Fault]:
    packages = tuple(Package)[1:]
    prices = [estimate(shop, Selection(Vehicle(body), package)).price.typical for package in packages]
    for (smaller, low), (larger, high) in pairwise(zip(packages, prices, strict=True)):
        if high < low:
            facts = {"body": body, "smaller": str(smaller), "larger": str(larger)}
            yield Fault(f"packages.{larger}.discount", "package_cheaper_than_smaller", facts)
