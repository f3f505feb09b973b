"""A job's selection worked out again: what its drawings, cautions and tasks rest on. The latest are kept."""

import json
from collections.abc import Collection
from dataclasses import dataclass, replace
from functools import lru_cache

from configurator.domain import estimating
from configurator.domain.cautions import Reader, cautions
from configurator.domain.desk import Document, Request
from configurator.domain.estimate import Caution
from configurator.domain.estimating import Worked
from configurator.domain.lamps import lamp_light
from configurator.domain.measuring import Measurement
from configurator.domain.scope import Scope
from configurator.domain.shop import Shop
from configurator.errors import Fault, InvalidInput, TucklineError
from configurator.services.bay.office import Office
from configurator.wire.selection import load_selection

REMEMBERED = 32
NOTHING = Measurement()


class CannotBeMade(TucklineError):
    """Today's price book or bodies can't make a kept selection any more; `faults` say what is missing."""

    code = "cannot_be_made"

    def __init__(self, faults: tuple[Fault, ...]) -> None:
        self.faults = faults
        super().__init__("; ".join(f"{fault.path}: {fault.code}" for fault in faults))


@dataclass(frozen=True, eq=False)
class Scoped:
    """The worked selection, and what must be said in the bay."""

    worked: Worked
    cautions: tuple[Caution, ...]


def scoped(selection: Document, shop: Shop, measured: Measurement = NOTHING) -> Scoped:
    """A selection as it was kept, on its body, with what was measured of its light. Raises CannotBeMade."""
    try:
        return _scoped(json.dumps(dict(selection), sort_keys=True), _ByIdentity(shop), measured)
    except InvalidInput as error:
        raise CannotBeMade(error.faults) from error


def scoped_car(request: Request, selection: Document, office: Office) -> Scoped:
    """The same for the car of a request: its cautions go by what was measured on it. Raises CannotBeMade."""
    with office.store.reading() as work:
        kept = work.measurements.of(request.id)
    return scoped(selection, office.shop, kept.values if kept else NOTHING)


def without(scope: Scope, bare: Collection[str]) -> Scope:
    """The scope as if some panels, lamps or panes had never been chosen."""
    panels = {
        id: replace(panel, covered=False, covered_panel=None, covered_area_m2=0.0, edges=(), cuts=(), bands=()) if id in bare else panel
        for id, panel in scope.panels.items()
    }
    lamps = tuple(lamp for lamp in scope.lamps if lamp.id not in bare)
    glass = scope.windshield if scope.windshield is not None and scope.windshield.id not in bare else None
    return replace(scope, panels=panels, lamps=lamps, windshield=glass)


class _ByIdentity:
    """The shop as a cache key: there is one in a process."""

    def __init__(self, shop: Shop) -> None:
        self.shop = shop

    def __hash__(self) -> int:
        return id(self.shop)

    def __eq__(self, other: object) -> bool:
        return isinstance(other, _ByIdentity) and other.shop is self.shop


@lru_cache(maxsize=REMEMBERED)
def _scoped(selection: str, key: _ByIdentity, measured: Measurement) -> Scoped:
    shop = key.shop
    worked = estimating.work(load_selection(json.loads(selection)), shop)
    light = lamp_light(worked.scope, worked.selection, shop.rules, shop.book, measured.measured())
    return Scoped(worked, cautions(worked.scope, worked.selection, light, shop.cautions, reader=Reader.WORK_ORDER))
