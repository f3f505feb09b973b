"""What the visitor was told beside what the desk makes of it: price, time, parts and panels, and the panels that came or went."""

from collections.abc import Callable, Iterator
from dataclasses import dataclass
from decimal import Decimal
from functools import partial

from configurator.domain.kept_estimate import KeptEstimate
from configurator.web.i18n import words
from configurator.web.request_reading import lamp_panels
from configurator.wording.words import Words


@dataclass(frozen=True)
class CompareRow:
    """One figure before and after, and what lies between; empty where it is the same."""

    name: str
    before: str
    after: str
    change: str


@dataclass(frozen=True)
class Comparison:
    rows: tuple[CompareRow, ...]
    added: tuple[str, ...]
    removed: tuple[str, ...]


def compare(before: KeptEstimate, after: KeptEstimate, body: str, *, firm: Decimal | None = None) -> Comparison:
    """The comparison in the language of the page; with a firm price, that one stands against the range."""
    say = words()
    was, now = _covered(before), _covered(after)
    names = {id: say.name(kind, id, body=body) for id, kind in {**was, **now}.items()}
    return Comparison(
        tuple(_rows(before, after, firm, say)),
        tuple(names[id] for id in now if id not in was),
        tuple(names[id] for id in was if id not in now),
    )


def _covered(kept: KeptEstimate) -> dict[str, str]:
    """Id of each covered panel, and of each lamp with film, to the kind of its name."""
    panels = {panel.id: "panel" for panel in kept.covered}
    return panels | {row.lamp: "lamp" for row in kept.light if row.film != "none" and lamp_panels(row.lamp)}


def _rows(before: KeptEstimate, after: KeptEstimate, firm: Decimal | None, say: Words) -> Iterator[CompareRow]:
    yield _price(before, after, firm, say)
    hours = partial(say.hours, short=True)
    figures: tuple[tuple[str, float, float, Callable[[float], str]], ...] = (
        (say.gettext("Hands-on"), _hours(before), _hours(after), hours),
        (say.gettext("Bay"), _bay_hours(before), _bay_hours(after), hours),
        (say.gettext("Days off-road"), _days(before), _days(after), say.days),
        (say.gettext("Parts off"), len(before.parts), len(after.parts), say.number),
        (say.gettext("Panels and lamps"), len(_covered(before)), len(_covered(after)), say.number),
    )
    for name, was, now, printed in figures:
        change = round(now - was, 1)
        yield CompareRow(name, printed(was), printed(now), _signed(change, printed(abs(change))))


def _price(before: KeptEstimate, after: KeptEstimate, firm: Decimal | None, say: Words) -> CompareRow:
    currency = before.price.currency
    told, now = (say.money_range(kept.price.low, kept.price.high, currency) for kept in (before, after))
    if firm is not None:
        now = say.gettext("%(price)s firm") % {"price": say.money(firm, currency, short=True)}
    change = (after.price.typical if firm is None else firm) - before.price.typical
    return CompareRow(say.gettext("Price"), told, now, _signed(change, say.money(abs(change), currency, short=True)))


def _hours(kept: KeptEstimate) -> float:
    return kept.labour_hours.get("typical", 0.0)


def _bay_hours(kept: KeptEstimate) -> float:
    return kept.typical.bay_hours if kept.typical else 0.0


def _days(kept: KeptEstimate) -> int:
    return kept.typical.days_off_road if kept.typical else 0


def _signed(amount: Decimal | float, text: str) -> str:
    """With its sign in front; empty for no change."""
    return "" if not amount else f"+{text}" if amount > 0 else f"−{text}"
