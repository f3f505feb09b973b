"""The small drawings of a page's figures in the reader's words: the price, the stay, the light that is left."""

from dataclasses import dataclass
from datetime import date

from markupsafe import Markup

from configurator.domain.calendar import ShopCalendar
from configurator.domain.estimate import Estimate, PriceRange
from configurator.domain.timeline import Timeline
from configurator.drawing.light_gauge import GaugeRow, light_gauge
from configurator.drawing.range_band import BandWords, range_band
from configurator.drawing.stay_strip import StayTimes, StripDay, StripWords, stay_strip, strip_days
from configurator.web.visitor.card import days_text
from configurator.web.visitor.lamps_page import LampCard
from configurator.wording.words import Words

NONE = Markup("")


@dataclass(frozen=True)
class PriceFigures:
    """Empty where nothing is chosen."""

    band: Markup
    stay: Markup


def price_figures(estimate: Estimate, calendar: ShopCalendar, words: Words) -> PriceFigures:
    """The range band and the stay strip of an estimate."""
    if estimate.timeline is None:
        return PriceFigures(NONE, NONE)
    return PriceFigures(_band(estimate.price, words), _stay(estimate.timeline, calendar, words))


def gauge_figure(card: LampCard, words: Words) -> Markup:
    """The light left behind one lamp group's film."""
    if not card.gauges:
        return NONE
    rows = [GaugeRow(label=gauge.label, value=gauge.text, share=gauge.share, darker=gauge.darker) for gauge in card.gauges]
    told = words.list([words.gettext("%(what)s %(share)s") % {"what": gauge.label, "share": gauge.text} for gauge in card.gauges])
    title = words.gettext("%(lamp)s: %(light)s") % {"lamp": card.name, "light": told}
    return _ours(light_gauge(rows, title=title, prefix=f"gauge-{card.id}", rtl=words.direction == "rtl"))


def _band(price: PriceRange, words: Words) -> Markup:
    low, typical, high = (words.money(value, price.currency, short=True) for value in (price.low, price.typical, price.high))
    told = BandWords(
        title=words.gettext("From %(low)s to %(high)s, usually %(typical)s") % {"low": low, "high": high, "typical": typical},
        typical=words.gettext("usually %(price)s") % {"price": typical},
    )
    return _ours(range_band(float(price.low), float(price.typical), float(price.high), told, prefix="band", rtl=words.direction == "rtl"))


def _stay(timeline: Timeline, calendar: ShopCalendar, words: Words) -> Markup:
    times = StayTimes(timeline.typical.drop_off, timeline.typical.hand_back, timeline.high.hand_back)
    days = [_day(day, calendar, words) for day in strip_days(times)]
    facts = {
        "bring": words.datetime(times.drop_off),
        "ready": words.datetime(times.typical),
        "latest": words.datetime(times.high),
        "days": days_text(timeline.typical.days_off_road, timeline.high.days_off_road, words),
    }
    told = StripWords(
        title=words.gettext("Brought %(bring)s, back %(ready)s, at the latest %(latest)s: %(days)s off-road") % facts,
        bring=words.pgettext("under a day", "bring"),
        ready=words.pgettext("under a day", "ready"),
        latest=words.pgettext("under a day", "latest"),
        closed=words.pgettext("under a day", "closed"),
    )
    return _ours(stay_strip(times, days, told, prefix="stay", rtl=words.direction == "rtl"))


def _day(day: date, calendar: ShopCalendar, words: Words) -> StripDay:
    return StripDay(day, words.weekday(day, "abbreviated"), words.number(day.day), closed=not calendar.is_open(day))


def _ours(svg: str) -> Markup:
    return Markup(svg)  # noqa: S704  # our own drawing, escaped by its writer
