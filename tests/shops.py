"""The demo shop with everything it has on file, read once, and selections for it in the contract's own form."""

from functools import cache
from typing import Any

from configurator.domain.body.records import Body
from configurator.domain.estimate import Estimate
from configurator.domain.estimating import NOTHING_KNOWN, Knowledge, body_of, estimate
from configurator.domain.resolving import resolve
from configurator.domain.scope import Scope
from configurator.domain.scoping import scope
from configurator.domain.selection import Selection
from configurator.domain.shop import Shop
from configurator.loading.shop import load_shop
from configurator.wire.selection import load_selection

STYLES = ("coupe", "sedan", "hatchback", "wagon", "suv", "pickup", "van", "convertible")
PACKAGES = ("partial_front", "full_front", "track", "full_body")
TREATMENTS = ("trimmed", "wrapped", "hidden")


@cache
def demo_shop() -> Shop:
    return load_shop()


def chosen(
    body: str = "coupe", package: str = "none", *, add: tuple[str, ...] = (), remove: tuple[str, ...] = (), **rest: Any
) -> Selection:
    """A selection as it comes in; `vehicle` in `rest` adds to the body's name."""
    vehicle = {"body": body, **rest.pop("vehicle", {})}
    coverage = {"package": package, "add": list(add), "remove": list(remove)}
    return load_selection({"version": 1, "vehicle": vehicle, "coverage": coverage, **rest})


def estimated(selection: Selection, known: Knowledge = NOTHING_KNOWN) -> Estimate:
    return estimate(selection, demo_shop(), known)


def body_for(selection: Selection) -> Body:
    shop = demo_shop()
    return body_of(resolve(selection, shop.styles, shop.book), shop)


def scoped(selection: Selection) -> Scope:
    shop = demo_shop()
    resolved = resolve(selection, shop.styles, shop.book)
    return scope(resolved, body_of(resolved, shop), shop.book)
