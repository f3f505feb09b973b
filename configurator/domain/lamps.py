"""What film leaves of a lamp's light, against the published rules of the visitor's region.

Light that crosses layers is the product of their shares: out = in x t1 x t2 (transmittances as used, surfaces included).
A reflex reflector's light crosses the film twice: t^2. A lamp must give 1/t times its minimum bare for the covered one
to reach it, a reflector 1/t^2 times.

The verdict is taken at the darker end of the film's tolerance. Each limit speaks for itself: missed by more than `MARGIN` it
gives its status (`forbidden_by_published_rule` for a true bound, `likely_not_road_legal` for a practical one), nearer than that
nobody can promise either way. The worst of all limits and rules is the lamp's status; with film on it is never better than
`check_locally`, since the bare lamp's output is unknown to a shop.
"""

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field
from math import prod
from types import MappingProxyType

from configurator.domain.light import FunctionLight, LampLight, LightStatus
from configurator.domain.message import Message
from configurator.domain.price_book import Film, PriceBook
from configurator.domain.rules import Bound, CoverRule, GlassRule, LampRule, Limit, RuleSet
from configurator.domain.scope import Scope
from configurator.domain.selection import LAMP_GROUPS, LampFilm, Selection
from configurator.errors import Fault

MARGIN = 0.02
"""A share of light: within it of a limit, a film's own spread and a hand-held meter decide, so there is no verdict."""
WINDSHIELD = "windshield"
HEADLAMPS = "headlamps"
GROUPS_WITH_REFLECTORS = frozenset({"tail_lamps"})
"""Where a red reflex reflector usually sits in the same housing."""

_STATUS_BELOW = {Bound.TRUE: LightStatus.FORBIDDEN_BY_PUBLISHED_RULE, Bound.PRACTICAL: LightStatus.LIKELY_NOT_ROAD_LEGAL}


@dataclass(frozen=True)
class Measured:
    """What staff measured on the car: bare lamps in cd by (lamp group, function), the bare windshield, layers already on a lamp."""

    lamp_cd: Mapping[tuple[str, str], float] = field(default_factory=lambda: MappingProxyType({}))
    layers: Mapping[str, tuple[float, ...]] = field(default_factory=lambda: MappingProxyType({}))
    glass: float | None = None


NOTHING_MEASURED = Measured()


def lamp_light(
    scope: Scope, selection: Selection, rules: Mapping[str, RuleSet], book: PriceBook, measured: Measured = NOTHING_MEASURED
) -> tuple[LampLight, ...]:
    """One row for each lamp group the body has, then the windshield. `rules` by region; `selection` is resolved."""
    rule_set = rules[selection.region or book.default_region]
    films = {lamp.group: lamp.film for lamp in scope.lamps}
    groups = [group for group in LAMP_GROUPS if group in selection.lamps]
    rows = [_group_light(group, films.get(group, LampFilm.NONE), rule_set, book, measured) for group in groups]
    return (*rows, _windshield_light(scope.windshield is not None, rule_set, book, measured))


def transmission_of(layers: Iterable[float]) -> float:
    """Share of light through several layers, each share 0..1 as used: their product; 1 for none."""
    return prod(layers, start=1.0)


def light_left(transmission: float, passes: int = 1) -> float:
    """Share of light left after crossing the film `passes` times: t, or t^2 for a reflex reflector (passes 2)."""
    return transmission**passes


def status_at(transmission: float, limits: Iterable[Limit], passes: int = 1) -> LightStatus:
    """The worst status that a film of this transmission earns against the limits, `check_locally` at best.

    A limit on the light left is a limit share^(1/passes) on the film itself; the margin is taken there.
    """
    worst = LightStatus.CHECK_LOCALLY
    for limit in limits:
        if transmission < limit.share ** (1 / passes) - MARGIN - 1e-9:
            worst = max(worst, _STATUS_BELOW[limit.bound], key=lambda status: status.severity)
    return worst


def needs_acknowledging(light: Iterable[LampLight]) -> tuple[str, ...]:
    """The lamp groups (or windshield) for which the visitor must confirm off-road or show use."""
    return tuple(row.lamp for row in light if row.status.needs_acknowledging)


def not_sold(light: Iterable[LampLight], region: str, book: PriceBook) -> tuple[str, ...]:
    """What a published rule forbids and the owner has not switched on for the region: a visitor's tick can't cure it."""
    if region in book.forbidden_films_sold_in:
        return ()
    return tuple(row.lamp for row in light if row.status is LightStatus.FORBIDDEN_BY_PUBLISHED_RULE)


def submission_faults(light: Iterable[LampLight], acknowledged: Iterable[str], region: str, book: PriceBook) -> tuple[Fault, ...]:
    """Why a request can't be sent as it is: films that aren't sold, then acknowledgements that are missing."""
    light, confirmed = tuple(light), frozenset(acknowledged)
    refused = not_sold(light, region, book)
    missing = [lamp for lamp in needs_acknowledging(light) if lamp not in confirmed and lamp not in refused]
    return (
        *(Fault(_path(lamp), "forbidden_not_sold", {"lamp": lamp}) for lamp in refused),
        *(Fault("acknowledged", "acknowledgement_missing", {"lamp": lamp}) for lamp in missing),
    )


def _path(lamp: str) -> str:
    return "selection.windshield" if lamp == WINDSHIELD else f"selection.lamps.{lamp}"


# --- lamps


def _group_light(group: str, grade: LampFilm, rules: RuleSet, book: PriceBook, measured: Measured) -> LampLight:
    if grade is LampFilm.NONE:
        return _unchanged(group)
    film = _film(book, "lamp", grade)
    already = transmission_of(measured.layers.get(group, ()))
    nominal, darker = (already * share for share in _shares(film))
    functions = [
        *(_function(rule, nominal, darker, measured.lamp_cd.get((group, rule.function))) for rule in rules.lamps if rule.lamp == group),
        *(_cover(rule) for rule in rules.covers if group in rule.lamps and rule.films.include(grade)),
    ]
    smoked_headlamp = group == HEADLAMPS and grade is not LampFilm.CLEAR
    least_bad = LightStatus.LIKELY_NOT_ROAD_LEGAL if smoked_headlamp else LightStatus.CHECK_LOCALLY
    return LampLight(
        lamp=group,
        film=grade.value,
        transmission=nominal,
        transmission_darker=darker,
        reflector=light_left(nominal, passes=2) if group in GROUPS_WITH_REFLECTORS else None,
        needs_times_minimum=1 / nominal,
        status=_worst(least_bad, functions),
        functions=tuple(functions),
        assumptions=_no_rule_known(rules) or _no_minimum_known(group, rules),
    )


def _function(rule: LampRule, nominal: float, darker: float, bare_cd: float | None) -> FunctionLight:
    limits = (*rule.limits, *_measured_limit(rule, bare_cd))
    left = light_left(nominal, rule.passes)
    return FunctionLight(
        function=rule.function,
        status=status_at(darker, limits, rule.passes),
        source=str(rule.source),
        known=rule.source.known.value,
        minimum_cd=None if rule.reflects else rule.minimum,
        maximum_cd=None if rule.reflects else rule.maximum,
        minimum_mcd_lx=rule.minimum if rule.reflects else None,
        as_built_minimum_cd=None if rule.minimum is None or rule.reflects else rule.minimum / left,
        left_cd=None if bare_cd is None else bare_cd * left,
        share_left=left,
        least_transmission=max((limit.share ** (1 / rule.passes) for limit in limits), default=None),
    )


def _measured_limit(rule: LampRule, bare_cd: float | None) -> tuple[Limit, ...]:
    """A lamp measured at X cd must keep its minimum: t >= minimum / X, or the floor of a point that a group may make up for."""
    if bare_cd is None or rule.minimum is None:
        return ()
    return (Limit(rule.minimum * rule.point_floor / bare_cd, Bound.PRACTICAL),)


def _cover(rule: CoverRule) -> FunctionLight:
    return FunctionLight(function="cover", status=rule.status, source=str(rule.source), known=rule.source.known.value)


# --- windshield


def _windshield_light(is_covered: bool, rules: RuleSet, book: PriceBook, measured: Measured) -> LampLight:
    if not is_covered:
        return _unchanged(WINDSHIELD)
    nominal, darker = _shares(_film(book, WINDSHIELD, LampFilm.CLEAR))
    glass = rules.usual_glass if measured.glass is None else measured.glass
    already = transmission_of(measured.layers.get(WINDSHIELD, ()))
    # An assumed glass decides nothing: the verdict then asks only whether even perfectly clear glass would be too dark.
    decisive = 1.0 if measured.glass is None else measured.glass
    functions = [
        *([_glass(rules.glass, decisive * already * darker)] if rules.glass else []),
        *(_cover(rule) for rule in rules.covers if WINDSHIELD in rule.lamps and rule.films.include(LampFilm.CLEAR)),
    ]
    assumed = Message("glass_assumed", {"share": glass})
    return LampLight(
        lamp=WINDSHIELD,
        film=LampFilm.CLEAR.value,
        transmission=nominal,
        transmission_darker=darker,
        reflector=None,
        needs_times_minimum=1 / nominal,
        status=_worst(LightStatus.CHECK_LOCALLY, functions),
        functions=tuple(functions),
        glass=glass,
        total=transmission_of((glass, already, nominal)),
        least_total=rules.glass.minimum if rules.glass else None,
        assumptions=(*_no_rule_known(rules), *([assumed] if measured.glass is None else [])),
    )


def _glass(rule: GlassRule, total: float) -> FunctionLight:
    status = status_at(total, [Limit(rule.minimum, Bound.PRACTICAL)])
    return FunctionLight(
        function="glass", status=status, source=str(rule.source), known=rule.source.known.value, least_transmission=rule.minimum
    )


# --- shared


def _unchanged(lamp: str) -> LampLight:
    return LampLight(
        lamp=lamp,
        film=LampFilm.NONE.value,
        transmission=1.0,
        transmission_darker=1.0,
        reflector=None,
        needs_times_minimum=None,
        status=LightStatus.NO_CHANGE,
        functions=(),
    )


def _film(book: PriceBook, kind: str, grade: LampFilm) -> Film:
    return next(film for film in book.films.values() if film.kind == kind and film.lamp_grade is grade)


def _shares(film: Film) -> tuple[float, float]:
    """Nominal share of light and the darker end of its tolerance. ValueError for a film whose share nobody stated."""
    if film.transmission is None:
        raise ValueError(f"{film.id}: a lamp or windshield film must state its transmission")
    return film.transmission, max(film.transmission - (film.transmission_tolerance or 0.0), 0.0)


def _worst(least_bad: LightStatus, functions: Iterable[FunctionLight]) -> LightStatus:
    return max((least_bad, *(function.status for function in functions)), key=lambda status: status.severity)


def _no_minimum_known(group: str, rules: RuleSet) -> tuple[Message, ...]:
    """Some lamps have no published minimum in a region (front fog lamps for one): nothing to measure the film against."""
    known = any(rule.lamp == group and rule.minimum is not None for rule in rules.lamps)
    return () if known else (Message("no_minimum_known", {"lamp": group}),)


def _no_rule_known(rules: RuleSet) -> tuple[Message, ...]:
    return (Message("no_rule_known", {"region": rules.region}),) if rules.knows_nothing else ()
