"""What the Estimate step shows: what the range depends on, what was assumed, every line, the film, and the first free dates."""

from dataclasses import dataclass
from datetime import date

from configurator.domain.estimate import Driver, Line
from configurator.domain.timeline import Opening
from configurator.web.visitor.plan import Plan
from configurator.wording.words import Words

MOST_DRIVERS = 7
LEVELS = ((0.4, "most"), (0.2, "much"), (0.08, "some"), (0.0, "little"))
"""Shares of the range's variance (0..1) from which a driver is called so."""


@dataclass(frozen=True)
class LineRow:
    name: str
    why: str
    range: str
    typical: str


@dataclass(frozen=True)
class DriverRow:
    name: str
    level: str
    share: float


@dataclass(frozen=True)
class FilmRow:
    name: str
    length: str
    detail: str


@dataclass(frozen=True)
class DateCard:
    value: str
    name: str
    text: str
    shortest: bool
    checked: bool


@dataclass(frozen=True)
class EstimatePage:
    lines: tuple[LineRow, ...]
    drivers: tuple[DriverRow, ...]
    assumptions: tuple[str, ...]
    film: tuple[FilmRow, ...]
    dates: tuple[DateCard, ...]


def estimate_page(plan: Plan, openings: tuple[Opening, ...], words: Words) -> EstimatePage:
    """The page for a plan and the places that are free for it."""
    estimate = plan.estimate
    return EstimatePage(
        lines=tuple(_line(line, estimate.price.currency, words) for line in estimate.lines),
        drivers=tuple(_driver(driver, words) for driver in sorted(estimate.drivers, key=lambda driver: -driver.share)[:MOST_DRIVERS]),
        assumptions=tuple(words.message(message) for message in estimate.assumptions),
        film=tuple(_film(plan, use, words) for use in range(len(estimate.film))),
        dates=date_cards(openings, plan.given.drop_off, words),
    )


def date_cards(openings: tuple[Opening, ...], chosen: date | None, words: Words) -> tuple[DateCard, ...]:
    """Free places as choices, and the day that was picked before where no place is free on it."""
    cards = [_date(opening, chosen, words) for opening in openings]
    if chosen and not any(card.checked for card in cards):
        text = words.gettext("picked earlier; no place is free that day")
        cards.append(DateCard(chosen.isoformat(), words.date(chosen, "weekday"), text, shortest=False, checked=True))
    return tuple(cards)


def _date(opening: Opening, chosen: date | None, words: Words) -> DateCard:
    day = opening.drop_off.date()
    back, latest = opening.hand_back_typical.date(), opening.hand_back_high.date()
    if back == latest:
        text = words.gettext("back %(day)s") % {"day": words.date(back, "weekday")}
    else:
        text = words.gettext("back %(day)s, at the latest %(latest)s") % {
            "day": words.date(back, "weekday"),
            "latest": words.date(latest, "weekday"),
        }
    return DateCard(day.isoformat(), words.date(day, "weekday"), text, opening.shortest, day == chosen)


def _line(line: Line, currency: str, words: Words) -> LineRow:
    typical = words.money(line.typical, currency)
    span = words.money_range(line.low, line.high, currency) if line.low != line.high else ""
    return LineRow(words.name("line", line.code), words.message(line.why), span, typical)


def _driver(driver: Driver, words: Words) -> DriverRow:
    level = next(name for least, name in LEVELS if driver.share >= least)
    return DriverRow(words.name("driver", driver.code), _level(level, words), driver.share)


def _level(level: str, words: Words) -> str:
    return {
        "most": words.pgettext("how much the range depends on it", "most"),
        "much": words.pgettext("how much the range depends on it", "much"),
        "some": words.pgettext("how much the range depends on it", "some"),
        "little": words.pgettext("how much the range depends on it", "little"),
    }[level]


def _film(plan: Plan, index: int, words: Words) -> FilmRow:
    use = plan.estimate.film[index]
    detail = words.ngettext(
        "%(num)s piece from a roll %(width)s wide; %(waste)s is off-cuts",
        "%(num)s pieces from a roll %(width)s wide; %(waste)s is off-cuts",
        use.pieces,
    )
    facts = {"num": words.number(use.pieces), "width": words.length(use.roll_width_mm), "waste": words.percent(use.waste_share)}
    return FilmRow(words.name("film", use.film), words.length(1000 * use.length_m), detail % facts)
