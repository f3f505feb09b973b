"""The estimate document (output, version 1): money as strings with the currency's own decimals, times as RFC 3339."""

from datetime import datetime
from decimal import Decimal
from typing import Any, Protocol

from configurator.domain.estimate import Caution, Estimate, Line, PriceRange
from configurator.domain.film_plan.records import FilmUse
from configurator.domain.light import FunctionLight, LampLight
from configurator.domain.message import Message
from configurator.domain.money import decimals
from configurator.domain.price_book import PriceBook
from configurator.domain.scope import PartOff, ScopedPanel
from configurator.domain.timeline import Timeline
from configurator.wire.selection import dump_selection


class Speaker(Protocol):
    """What the documents need of `wording.Words`."""

    def message(self, message: Message) -> str:
        """The sentence of a message."""

    def name(self, kind: str, id: str) -> str:
        """The name of a thing."""


Document = dict[str, Any]


def dump_estimate(estimate: Estimate, words: Speaker, book: PriceBook) -> Document:
    """The contract's estimate document in the words' language."""
    return {
        "version": 1,
        "selection": dump_selection(estimate.selection),
        "price_book": estimate.price_book,
        "price": _price(estimate.price),
        "time": _time(estimate),
        "panels": [_panel(panel, words) for panel in estimate.scope.panels.values()],
        "film": [_film(use) for use in estimate.film],
        "parts_off": [_part(part, book) for part in estimate.scope.parts_off],
        "light": [_light(row) for row in estimate.light],
        "lines": [_line(line, words, estimate.price.currency) for line in estimate.lines],
        "drivers": [
            {"code": driver.code, "label": words.name("driver", driver.code), "share": round(driver.share, 4)}
            for driver in estimate.drivers
        ],
        "cautions": [_caution(caution, words) for caution in estimate.cautions],
        "assumptions": [words.message(message) for message in estimate.assumptions],
        "reason": estimate.reason,
    }


def money(amount: Decimal, currency: str) -> str:
    """`4150.00`, `4150` or `4150.000`: as many decimals as ISO 4217 gives the currency."""
    return f"{amount:.{decimals(currency)}f}"


def _price(price: PriceRange) -> Document:
    return {
        "currency": price.currency,
        "low": money(price.low, price.currency),
        "typical": money(price.typical, price.currency),
        "high": money(price.high, price.currency),
        "tax": price.tax,
        "confidence": price.confidence,
    }


def _time(estimate: Estimate) -> Document:
    timeline = estimate.timeline
    hours = {name: round(value, 2) for name, value in estimate.labour_hours.items()}
    if timeline is None:
        nothing = {"typical": 0, "high": 0}
        return {
            "labour_hours": hours,
            "bay_hours": nothing,
            "days_off_road": nothing,
            "drop_off": None,
            "hand_back": {"typical": None, "high": None},
        }
    return {"labour_hours": hours, **_stay(timeline)}


def _stay(timeline: Timeline) -> Document:
    typical, high = timeline.typical, timeline.high
    return {
        "bay_hours": {"typical": round(typical.bay_minutes / 60, 2), "high": round(high.bay_minutes / 60, 2)},
        "days_off_road": {"typical": typical.days_off_road, "high": high.days_off_road},
        "drop_off": rfc3339(typical.drop_off),
        "hand_back": {"typical": rfc3339(typical.hand_back), "high": rfc3339(high.hand_back)},
    }


def rfc3339(moment: datetime) -> str:
    """To the second, with the shop's own offset."""
    return moment.replace(microsecond=0).isoformat()


def _panel(scoped: ScopedPanel, words: Speaker) -> Document:
    return {
        "id": scoped.id,
        "name": words.name("panel", scoped.id),
        "covered": scoped.covered,
        "covered_area_m2": round(scoped.covered_area_m2, 4),
        "area_m2": round(scoped.area_m2, 4),
        "finish": scoped.finish,
        "film": scoped.film,
        "material": str(scoped.material),
        "edges": [
            {"kind": str(edge.kind), "length_mm": round(edge.length_mm, 1), "treatment": str(edge.treatment), "part": edge.part}
            for edge in scoped.edges
        ],
        "seam_mm": round(scoped.seam_mm, 1),
        "difficulty": round(scoped.difficulty, 4),
        "reason": words.message(scoped.reason) if scoped.reason else None,
    }


def _film(use: FilmUse) -> Document:
    return {
        "film": use.film,
        "roll_width_mm": _tidy(use.roll_width_mm),
        "length_m": round(use.length_m, 2),
        "pieces": use.pieces,
        "piece_area_m2": round(use.piece_area_m2, 3),
        "waste_share": round(use.waste_share, 4),
    }


def _tidy(value: float) -> float:
    return int(value) if value == int(value) else round(value, 1)


def _part(part: PartOff, book: PriceBook) -> Document:
    times = book.parts[part.part]
    return {"id": part.id, "part": part.part, "panel": part.panel, "role": part.role, "minutes": _tidy(times.off.usual + times.on.usual)}


def _light(row: LampLight) -> Document:
    return {
        "lamp": row.lamp,
        "film": row.film,
        "transmission": round(row.transmission, 4),
        "reflector": None if row.reflector is None else round(row.reflector, 4),
        "needs_times_minimum": None if row.needs_times_minimum is None else round(row.needs_times_minimum, 3),
        "status": str(row.status),
        "functions": [_function(function) for function in row.functions],
    }


def _function(function: FunctionLight) -> Document:
    figures = {
        "minimum_cd": function.minimum_cd,
        "maximum_cd": function.maximum_cd,
        "as_built_minimum_cd": function.as_built_minimum_cd,
        "left_cd": function.left_cd,
    }
    return {
        "function": function.function,
        "status": str(function.status),
        "source": function.source,
        **{name: round(value, 3) for name, value in figures.items() if value is not None},
    }


def _line(line: Line, words: Speaker, currency: str) -> Document:
    return {
        "code": line.code,
        "label": words.name("line", line.code),
        "low": money(line.low, currency),
        "typical": money(line.typical, currency),
        "high": money(line.high, currency),
        "why": words.message(line.why),
    }


def _caution(caution: Caution, words: Speaker) -> Document:
    return {
        "code": caution.code,
        "severity": caution.severity,
        "text": words.message(caution.message),
        "where": caution.where,
        "source": caution.source,
    }
