"""The plan in four lines, each with the step where it is changed."""

from collections.abc import Iterable
from dataclasses import dataclass

from configurator.domain.light import LampLight
from configurator.domain.selection import LampFilm, Selection
from configurator.web.visitor.coverage_page import package_summary
from configurator.web.visitor.plan import Plan
from configurator.web.visitor.steps import Step
from configurator.wording.words import Words


@dataclass(frozen=True)
class RecapRow:
    name: str
    lines: tuple[str, ...]
    step: Step


def recap_rows(plan: Plan, words: Words) -> tuple[RecapRow, ...]:
    """Car, coverage, finish, lamps and edges."""
    given = plan.given
    return (
        RecapRow(words.gettext("Car"), (words.name("body", given.vehicle.body),), Step.CAR),
        RecapRow(words.gettext("Covered"), (package_summary(plan, words),), Step.COVERAGE),
        RecapRow(words.gettext("Finish"), (_finish(given, words),), Step.FINISH),
        RecapRow(words.gettext("Lamps"), _lamps(plan.estimate.light, words), Step.LAMPS),
        RecapRow(words.gettext("Edges"), (words.name("edges", given.edges.value),), Step.EDGES),
    )


def _finish(given: Selection, words: Words) -> str:
    name = words.name("finish", given.default_finish)
    count = len(given.panel_finishes)
    if not count:
        return name
    text = words.ngettext("%(finish)s, %(num)s panel with its own", "%(finish)s, %(num)s panels with their own", count)
    return text % {"finish": name, "num": words.number(count)}


def _lamps(light: Iterable[LampLight], words: Words) -> tuple[str, ...]:
    covered = tuple(
        words.gettext("%(lamp)s: %(film)s") % {"lamp": words.name("lamp", row.lamp), "film": words.name("lamp_film", row.film)}
        for row in light
        if row.film != LampFilm.NONE
    )
    return covered or (words.name("lamp_film", LampFilm.NONE),)
