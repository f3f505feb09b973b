"""What must be said, and where: cautions of the trade, picked by what was chosen. The cautions themselves are data.

A caution's `when` is a conjunction. Gates ask about the car and the choice as a whole; places name panels, lamps, panes or parts.
With places, one caution is said at each of them; with gates alone it is said once, for the whole car.
"""

from collections.abc import Callable, Iterable, Iterator
from dataclasses import dataclass
from enum import StrEnum
from fnmatch import fnmatchcase

from configurator.domain.estimate import Caution
from configurator.domain.lamps import WINDSHIELD
from configurator.domain.light import LampLight, LightStatus
from configurator.domain.message import Fact, Message
from configurator.domain.scope import Scope
from configurator.domain.selection import Correction, Material, PaintCondition, Selection, Treatment


class Severity(StrEnum):
    """`stop` is settled before work goes on, `care` is minded while working, `info` is good to know."""

    STOP = "stop"
    CARE = "care"
    INFO = "info"


class Reader(StrEnum):
    VISITOR = "visitor"
    WORK_ORDER = "work_order"


@dataclass(frozen=True)
class When:
    """What must hold for a caution; an empty tuple asks nothing. Panels and lamps may be patterns (`a_pillar_*`)."""

    covered: tuple[str, ...] = ()
    materials: tuple[Material, ...] = ()
    finishes: tuple[str, ...] = ()
    lamps: tuple[str, ...] = ()
    windshield: bool = False
    status: tuple[LightStatus, ...] = ()
    parts: tuple[str, ...] = ()
    resprayed: bool = False
    remove_film: bool = False
    features: tuple[str, ...] = ()
    regions: tuple[str, ...] = ()
    condition: tuple[PaintCondition, ...] = ()
    correction: tuple[Correction, ...] = ()
    edges: tuple[Treatment, ...] = ()
    coated: bool = False
    no_rule_known: bool = False


@dataclass(frozen=True)
class CautionRule:
    """One caution: its code (the sentence is `wording`'s), how grave, who reads it, when, and where it comes from.

    `source` None is common practice without a source; `source_of_rule` takes the source of the light rule that decided.
    """

    code: str
    severity: Severity
    readers: tuple[Reader, ...]
    when: When
    source: str | None = None
    source_of_rule: bool = False
    once: bool = False
    """Said once for the whole car although it is places that call for it."""


def cautions(
    scope: Scope, selection: Selection, light: Iterable[LampLight], catalogue: Iterable[CautionRule], *, reader: Reader = Reader.VISITOR
) -> tuple[Caution, ...]:
    """Every caution that the choice calls for, gravest first, in the catalogue's order. Nothing chosen, nothing said."""
    if scope.is_empty and not selection.vehicle.remove_film:
        return ()
    job = _Job(scope, selection, tuple(light))
    called = [caution for rule in catalogue if reader in rule.readers for caution in _called(rule, job)]
    return tuple(sorted(called, key=lambda caution: list(Severity).index(Severity(caution.severity))))


@dataclass(frozen=True, eq=False)
class _Job:
    scope: Scope
    selection: Selection
    light: tuple[LampLight, ...]

    def row(self, lamp: str | None) -> LampLight | None:
        return next((row for row in self.light if row.lamp == lamp), None)


def _called(rule: CautionRule, job: _Job) -> Iterator[Caution]:
    if not all(gate(rule.when, job) for gate in _GATES):
        return
    places = _places(rule.when, job)
    if places is None or (places and rule.once):
        yield _caution(rule, None, job)
    else:
        for place in places:
            yield _caution(rule, place, job)


def _caution(rule: CautionRule, where: str | None, job: _Job) -> Caution:
    return Caution(rule.code, rule.severity.value, where, Message(rule.code, _facts(where, job)), _source(rule, where, job))


def _facts(where: str | None, job: _Job) -> dict[str, Fact]:
    facts: dict[str, Fact] = {} if where is None else {"where": where}
    if where is not None and where in job.selection.vehicle.resprayed:
        facts["resprayed"] = job.selection.vehicle.resprayed[where]
    row = job.row(where)
    if row is not None:
        facts["share"] = row.transmission if row.total is None else row.total
    if job.selection.region is not None:
        facts["region"] = job.selection.region
    return facts


def _source(rule: CautionRule, where: str | None, job: _Job) -> str | None:
    row = job.row(where) if rule.source_of_rule else None
    if row is None:
        return rule.source
    deciding = [function.source for function in row.functions if function.status is row.status]
    return deciding[0] if deciding else rule.source


# --- gates: True when nothing is asked or what is asked holds


def _has_feature(when: When, job: _Job) -> bool:
    return not when.features or bool(frozenset(when.features) & (job.selection.vehicle.features or frozenset()))


def _is_in_region(when: When, job: _Job) -> bool:
    return not when.regions or job.selection.region in when.regions


def _has_condition(when: When, job: _Job) -> bool:
    return not when.condition or job.selection.vehicle.paint_condition in when.condition


def _has_correction(when: When, job: _Job) -> bool:
    return not when.correction or job.selection.vehicle.correction in when.correction


def _has_edges(when: When, job: _Job) -> bool:
    return not when.edges or job.selection.edges in when.edges


def _is_coated(when: When, job: _Job) -> bool:
    return not when.coated or job.selection.vehicle.coated


def _knows_no_rule(when: When, job: _Job) -> bool:
    return not when.no_rule_known or any(message.code == "no_rule_known" for row in job.light for message in row.assumptions)


_GATES: tuple[Callable[[When, _Job], bool], ...] = (
    _has_feature,
    _is_in_region,
    _has_condition,
    _has_correction,
    _has_edges,
    _is_coated,
    _knows_no_rule,
)


# --- places: None when nothing is asked, else the ids at which it holds


def _places(when: When, job: _Job) -> tuple[str, ...] | None:
    """Where every asked place condition holds, in the order of the first that was asked."""
    asked = [places for find in _PLACES if (places := find(when, job)) is not None]
    if not asked:
        return None
    first, *others = asked
    return tuple(dict.fromkeys(place for place in first if all(place in places for places in others)))


def _covered(when: When, job: _Job) -> tuple[str, ...] | None:
    if not when.covered:
        return None
    return tuple(panel.id for panel in job.scope.covered if _matches(panel.id, when.covered))


def _of_material(when: When, job: _Job) -> tuple[str, ...] | None:
    return tuple(panel.id for panel in job.scope.covered if panel.material in when.materials) if when.materials else None


def _of_finish(when: When, job: _Job) -> tuple[str, ...] | None:
    return tuple(panel.id for panel in job.scope.covered if panel.finish in when.finishes) if when.finishes else None


def _filmed_lamps(when: When, job: _Job) -> tuple[str, ...] | None:
    if not when.lamps:
        return None
    return tuple(dict.fromkeys(lamp.group for lamp in job.scope.lamps if _matches(lamp.group, when.lamps)))


def _filmed_windshield(when: When, job: _Job) -> tuple[str, ...] | None:
    if not when.windshield:
        return None
    return () if job.scope.windshield is None else (WINDSHIELD,)


def _of_status(when: When, job: _Job) -> tuple[str, ...] | None:
    return tuple(row.lamp for row in job.light if row.status in when.status) if when.status else None


def _parts_off(when: When, job: _Job) -> tuple[str, ...] | None:
    if not when.parts:
        return None
    return tuple(dict.fromkeys(part.panel for part in job.scope.parts_off if _matches(part.part, when.parts)))


def _resprayed(when: When, job: _Job) -> tuple[str, ...] | None:
    if not when.resprayed:
        return None
    worked_on = {panel.id for panel in job.scope.covered} | set(job.selection.vehicle.remove_film)
    return tuple(panel for panel in job.selection.vehicle.resprayed if panel in worked_on)


def _old_film(when: When, job: _Job) -> tuple[str, ...] | None:
    return job.selection.vehicle.remove_film if when.remove_film else None


_PLACES: tuple[Callable[[When, _Job], tuple[str, ...] | None], ...] = (
    _covered,
    _of_material,
    _of_finish,
    _filmed_lamps,
    _filmed_windshield,
    _of_status,
    _parts_off,
    _resprayed,
    _old_film,
)


def _matches(id: str, patterns: Iterable[str]) -> bool:
    return any(fnmatchcase(id, pattern) for pattern in patterns)
