"""What the Coverage step shows: packages with their prices, and every panel of the body in rows by zone."""

from dataclasses import dataclass

from configurator.domain.body.records import Side
from configurator.domain.scope import ScopedPanel
from configurator.domain.selection import Package
from configurator.web.visitor.plan import Plan, Plans
from configurator.web.visitor.rows import NAMES_OF_BODY, ZONES, RowKind, rows_for
from configurator.wording.words import Words

_STRIP_SHARE = 0.985
"""Covered to less than this share: the film stops on the panel."""


@dataclass(frozen=True)
class PackageCard:
    id: str
    name: str
    price: str
    checked: bool


@dataclass(frozen=True)
class Box:
    """One panel's tick. `side` as printed beside it (empty for a panel in the middle); `name` in full, for those who hear it."""

    panel: str
    side: str
    name: str
    checked: bool
    open: bool


@dataclass(frozen=True)
class Why:
    """A reason in words, with the panel it is about where a row has two."""

    about: str
    text: str
    waiting: bool


@dataclass(frozen=True)
class Strip:
    """A panel of which the package covers a part: what part, and the tick that asks for all of it."""

    panel: str
    name: str
    text: str
    whole: bool


@dataclass(frozen=True)
class Row:
    key: str
    name: str
    hint: str
    swatch: str
    boxes: tuple[Box, ...]
    reasons: tuple[Why, ...]
    strips: tuple[Strip, ...]
    extra: bool


@dataclass(frozen=True)
class Zone:
    id: str
    title: str
    rows: tuple[Row, ...]
    extras: tuple[Row, ...]
    extras_open: bool


@dataclass(frozen=True)
class CoveragePage:
    packages: tuple[PackageCard, ...]
    summary: str
    zones: tuple[Zone, ...]
    ticked: str
    waiting: tuple[str, ...]


def coverage_page(plan: Plan, plans: Plans, words: Words) -> CoveragePage:
    """The page for a plan."""
    scope = plan.estimate.scope
    offered = [Package(id) for id in plans.shop.book.packages]
    partly = _partly_in_package(plan, plans)
    rows = [(kind.zone, _row(kind, plan, partly, words)) for kind in rows_for(scope.panels)]
    zones = [_zone(zone, [row for where, row in rows if where == zone], words) for zone in ZONES]
    return CoveragePage(
        packages=tuple(_package_card(package, plan, plans, words) for package in [*offered, Package.NONE]),
        summary=package_summary(plan, words),
        zones=tuple(zone for zone in zones if zone.rows or zone.extras),
        ticked=".".join(panel.id for panel in scope.covered),
        waiting=tuple(panel for panel in plan.given.add if panel in scope.panels and not scope.panels[panel].filmable),
    )


def package_panels(plans: Plans, plan: Plan, package: Package) -> tuple[str, ...]:
    """The panels that a package covers on this car, in the body's order."""
    if package is Package.NONE:
        return ()
    return tuple(panel.id for panel in plans.with_package(plan, package).estimate.scope.covered)


def package_summary(plan: Plan, words: Words) -> str:
    """`Full front`, or `Full front, with 2 changes`."""
    given = plan.given
    name = words.name("package", given.package.value)
    if given.package is Package.NONE:
        return name
    changes = len(given.add) + len(given.remove)
    if not changes:
        return name
    text = words.ngettext("%(package)s, with %(num)s change", "%(package)s, with %(num)s changes", changes)
    return text % {"package": name, "num": words.number(changes)}


def _package_card(package: Package, plan: Plan, plans: Plans, words: Words) -> PackageCard:
    if package is Package.NONE:
        price = words.gettext("panel by panel")
    else:
        typical = plans.with_package(plan, package).estimate.price
        price = words.gettext("usually %(price)s") % {"price": words.money(typical.typical, typical.currency, short=True)}
    return PackageCard(package.value, words.name("package", package.value), price, plan.given.package is package)


def _zone(zone: str, rows: list[Row], words: Words) -> Zone:
    extras = tuple(row for row in rows if row.extra)
    return Zone(
        id=zone,
        title={
            "sides": words.gettext("Sides"),
            "front": words.gettext("Front"),
            "top": words.gettext("Top"),
            "rear": words.gettext("Rear"),
        }[zone],
        rows=tuple(row for row in rows if not row.extra),
        extras=extras,
        extras_open=any(box.checked for row in extras for box in row.boxes),
    )


def _row(kind: RowKind, plan: Plan, partly: frozenset[str], words: Words) -> Row:
    scope, body = plan.estimate.scope, plan.given.vehicle.body
    panels = [scope.panels[id] for id in kind.panels]
    own_name = NAMES_OF_BODY.get((kind.panels[0], body), kind.name)
    return Row(
        key=kind.panels[0].removesuffix("_left").removesuffix("_right"),
        name=words.gettext(own_name) if own_name else words.name("panel", kind.panels[0], body=body),
        hint=_hint(panels, words),
        swatch=_swatch(panels),
        boxes=tuple(_box(panel, len(panels) > 1, body, words) for panel in panels),
        reasons=_reasons(panels, body, words),
        strips=tuple(_strip(panel, plan, words) for panel in panels if panel.covered and panel.id in partly),
        extra=kind.extra,
    )


def _hint(panels: list[ScopedPanel], words: Words) -> str:
    """The area of what can be covered, and how much of it is where film stops on a panel; where none can be, the plain words for it."""
    able = [panel for panel in panels if panel.filmable]
    if not able:
        waiting = any(_is_waiting(panel) for panel in panels)
        return words.gettext("can't take film yet") if waiting else words.gettext("can't take film")
    area = words.area(sum(panel.area_m2 for panel in able))
    if not any(is_strip(panel) for panel in able):
        return area
    part = words.area(sum(panel.covered_area_m2 for panel in able))
    return words.gettext("%(part)s of %(area)s covered") % {"part": part, "area": area}


def _swatch(panels: list[ScopedPanel]) -> str:
    covered = next((panel for panel in panels if panel.covered), None)
    if covered is not None:
        return covered.finish if covered.finish in {"gloss", "matte"} else "colour"
    return "refused" if not any(panel.filmable for panel in panels) else ""


def _box(panel: ScopedPanel, paired: bool, body: str, words: Words) -> Box:
    side = words.name("side", panel.panel.side.value) if paired else ""
    return Box(panel.id, side, words.name("panel", panel.id, body=body), checked=panel.covered, open=panel.filmable)


def _reasons(panels: list[ScopedPanel], body: str, words: Words) -> tuple[Why, ...]:
    """Each reason once; with the panel's name only where the two sides differ."""
    told = [(panel, words.message(panel.reason)) for panel in panels if panel.reason is not None]
    texts = {text for _, text in told}
    if len(texts) == 1 and len(told) == len(panels):
        return (Why("", told[0][1], _is_waiting(told[0][0])),)
    return tuple(Why(words.name("panel", panel.id, body=body), text, _is_waiting(panel)) for panel, text in told)


def _is_waiting(panel: ScopedPanel) -> bool:
    return not panel.filmable and panel.reason is not None and panel.reason.code == "respray_too_fresh"


def is_strip(panel: ScopedPanel) -> bool:
    """Whether film covers a part of the panel only."""
    return panel.covered and panel.covered_area_m2 < _STRIP_SHARE * panel.area_m2


def _partly_in_package(plan: Plan, plans: Plans) -> frozenset[str]:
    """Panels of which the picked package covers a part, whether or not the visitor asked for all of them since."""
    if plan.given.package is Package.NONE:
        return frozenset()
    return frozenset(panel.id for panel in plans.with_package(plan, plan.given.package).estimate.scope.covered if is_strip(panel))


def _strip(panel: ScopedPanel, plan: Plan, words: Words) -> Strip:
    facts = {"area": words.area(panel.area_m2), "side": words.name("side", panel.panel.side.value)}
    paired = panel.panel.side is not Side.CENTRE
    text = (words.gettext("%(side)s: all of it, %(area)s") if paired else words.gettext("Cover all of it, %(area)s")) % facts
    return Strip(panel.id, words.name("panel", panel.id, body=plan.given.vehicle.body), text, whole=panel.id in plan.given.add)
