"""A visitor's plan: what was picked, its address, and the estimate for it."""

from collections import OrderedDict
from collections.abc import Iterable
from dataclasses import dataclass
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
MOST_KEPT = 600
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
    """Makes plans for one shop and keeps the latest, since pages show several (one per package, one per kind of edge)."""

    def __init__(self, shop: Shop) -> None:
        self.shop = shop
        self._kept: OrderedDict[tuple[Pair, ...], Plan] = OrderedDict()
        self._lock = Lock()

    def plan(self, pairs: Iterable[Pair]) -> Plan:
        """The plan of an address. Raises InvalidInput naming the key or path of every fault."""
        asked = tuple(pair for pair in pairs if not is_page_key(pair[0]))
        return self._recent(asked) or self._keep(asked, self._made(selection_from_query(asked)))

    def with_package(self, plan: Plan, package: Package) -> Plan:
        """The same car and choices, but this package and nothing added or removed."""
        rest = [pair for pair in plan.pairs if pair[0] not in {"package", "add", "remove"}]
        return self.plan([*rest, ("package", package.value)])

    def with_edges(self, plan: Plan, edges: Treatment) -> Plan:
        """The same plan with another kind of edge."""
        return self.plan([*(pair for pair in plan.pairs if pair[0] != "edges"), ("edges", edges.value)])

    def _made(self, selection: Selection) -> Plan:
        pairs = tuple(query_from_selection(selection))
        return self._recent(pairs) or self._keep(pairs, Plan(selection, pairs, estimate(self.shop, selection), self._style(selection)))

    def _style(self, selection: Selection) -> BodyStyle:
        return self.shop.styles[selection.vehicle.body]

    def _recent(self, pairs: tuple[Pair, ...]) -> Plan | None:
        with self._lock:
            if pairs in self._kept:
                self._kept.move_to_end(pairs)
            return self._kept.get(pairs)

    def _keep(self, pairs: tuple[Pair, ...], plan: Plan) -> Plan:
        with self._lock:
            self._kept[pairs] = plan
            while len(self._kept) > MOST_KEPT:
                self._kept.popitem(last=False)
        return plan
