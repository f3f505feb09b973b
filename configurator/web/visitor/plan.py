"""A visitor's plan: what was picked, its address, and the estimate for it."""

from collections import OrderedDict
from collections.abc import Iterable
from dataclasses import dataclass, replace
from threading import Lock
from urllib.parse import urlencode

from configurator.domain.body.style import BodyStyle
from configurator.domain.estimate import Estimate
from configurator.domain.selection import Package, Selection, Treatment
from configurator.domain.shop import Shop
from configurator.services.estimating import estimate
from configurator.web.visitor.form import is_page_key
from configurator.wire.query import query_from_selection, selection_from_query

Pair = tuple[str, str]
MOST_KEPT = 400
STARTER: tuple[Pair, ...] = (("body", "sedan"), ("package", "full_front"))
"""Where a visitor who comes without a plan begins: a plain car and the package most people start with."""


@dataclass(frozen=True, eq=False)
class Plan:
    """`given` is the selection as the address says it; `estimate.selection` is the same with every default filled in."""

    given: Selection
    pairs: tuple[Pair, ...]
    estimate: Estimate
    style: BodyStyle

    @property
    def query(self) -> str:
        return urlencode(self.pairs)


class Plans:
    """Makes plans for one shop and keeps the latest estimates, since pages show several (one per package, one per kind of edge)."""

    def __init__(self, shop: Shop) -> None:
        self.shop = shop
        self._kept: OrderedDict[tuple[Pair, ...], Estimate] = OrderedDict()
        self._lock = Lock()

    def plan(self, pairs: Iterable[Pair]) -> Plan:
        """The plan of an address. Raises InvalidInput naming the key or path of every fault."""
        return self.plan_of(selection_from_query(pairs, ignore=is_page_key))

    def plan_of(self, selection: Selection) -> Plan:
        """The plan of a selection. Raises InvalidInput."""
        pairs = tuple(query_from_selection(selection))
        return Plan(selection, pairs, self._estimate(pairs, selection), self.shop.styles[selection.vehicle.body])

    def with_package(self, plan: Plan, package: Package) -> Plan:
        """The same car and choices, but this package and nothing added or removed."""
        return self.plan_of(replace(plan.given, package=package, add=(), remove=()))

    def with_edges(self, plan: Plan, edges: Treatment) -> Plan:
        """The same plan with another kind of edge."""
        return self.plan_of(replace(plan.given, edges=edges))

    def _estimate(self, pairs: tuple[Pair, ...], selection: Selection) -> Estimate:
        with self._lock:
            if pairs in self._kept:
                self._kept.move_to_end(pairs)
                return self._kept[pairs]
        made = estimate(self.shop, selection)
        with self._lock:
            self._kept[pairs] = made
            while len(self._kept) > MOST_KEPT:
                self._kept.popitem(last=False)
        return made
