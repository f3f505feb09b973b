"""The job card that stands beside every step: price range, days, what is covered, and what to know."""

import json
from dataclasses import dataclass

from configurator.domain.estimate import Estimate
from configurator.domain.light import LampLight, LightStatus
from configurator.domain.scope import Scope
from configurator.wording.words import Words

WORTH_KNOWING = (LightStatus.LIKELY_NOT_ROAD_LEGAL, LightStatus.FORBIDDEN_BY_PUBLISHED_RULE)


@dataclass(frozen=True)
class Note:
    """A short line under 'To know' and the step and place where it is settled."""

    text: str
    step: str
    anchor: str


@dataclass(frozen=True)
class Card:
    """Everything as printed. `priced` False: nothing is chosen, and the card says how to begin."""

    priced: bool
    range: str
    usual: str
    tax: str
    promise: str
    days: str
    days_short: str
    bay: str
    covered: str
    drop_off: str
    to_know: tuple[Note, ...]
    figures: str
    """The price and days as JSON, for the host page of a frame."""


def card_of(estimate: Estimate, words: Words) -> Card:
    """The card for an estimate."""
    price, _ = estimate.price, words.gettext
    timeline = estimate.timeline
    return Card(
        priced=estimate.reason is None,
        range=words.money_range(price.low, price.high, price.currency),
        usual=words.money(price.typical, price.currency, short=True),
        tax=_("Tax included.") if price.tax == "included" else _("Before tax."),
        promise=_("Meant to hold for %(share)s of jobs like this.") % {"share": words.percent(price.confidence)},
        days=days_text(timeline.typical.days_off_road, timeline.high.days_off_road, words) if timeline else words.days(0),
        days_short=words.days(timeline.typical.days_off_road) if timeline else words.days(0),
        bay=hours_text(timeline.typical.bay_minutes / 60, timeline.high.bay_minutes / 60, words) if timeline else words.hours(0),
        covered=covered_text(estimate.scope, words),
        drop_off=words.date(timeline.typical.drop_off.date(), "full") if timeline else "",
        to_know=tuple(_lamp_note(row, words) for row in estimate.light if row.status in WORTH_KNOWING),
        figures=json.dumps(figures_of(estimate)),
    )


def days_text(typical: int, high: int, words: Words) -> str:
    """`4 days`, or `4 days, at most 5`."""
    if high == typical:
        return words.days(typical)
    return words.gettext("%(usual)s, at most %(most)s") % {"usual": words.days(typical), "most": words.number(high)}


def hours_text(typical: float, high: float, words: Words) -> str:
    """`22 hours, at most 26.5`, to the half hour."""
    usual, most = round(typical * 2) / 2, round(high * 2) / 2
    if usual == most:
        return words.hours(usual)
    return words.gettext("%(usual)s, at most %(most)s") % {"usual": words.hours(usual), "most": words.number(most)}


def covered_text(scope: Scope, words: Words) -> str:
    """`8 panels, 4.10 m²`, or what else is covered when no panel is."""
    count, glass = len(scope.covered), len(scope.lamps) + (scope.windshield is not None)
    if not count and not glass:
        return words.gettext("Nothing yet")
    if not count:
        return words.gettext("Lamps and glass only")
    text = words.ngettext("%(num)s panel, %(area)s", "%(num)s panels, %(area)s", count)
    return text % {"num": words.number(count), "area": words.area(sum(panel.covered_area_m2 for panel in scope.covered))}


def figures_of(estimate: Estimate) -> dict[str, object]:
    """Price and days for programs: money as decimal strings, nothing personal."""
    price, timeline = estimate.price, estimate.timeline
    return {
        "currency": price.currency,
        "low": str(price.low),
        "typical": str(price.typical),
        "high": str(price.high),
        "days_off_road": {
            "typical": timeline.typical.days_off_road if timeline else 0,
            "high": timeline.high.days_off_road if timeline else 0,
        },
    }


def _lamp_note(row: LampLight, words: Words) -> Note:
    text = words.gettext("%(lamp)s: %(status)s") % {
        "lamp": words.name("lamp", row.lamp),
        "status": words.name("light_status", row.status.value),
    }
    return Note(text=text, step="lamps", anchor=f"lamp-{row.lamp}")
