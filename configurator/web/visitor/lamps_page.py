"""What the Lamps and glass step shows: each lamp group's choices, the light that is left, and what the rules say."""

from dataclasses import dataclass

from configurator.domain.lamps import not_sold
from configurator.domain.light import FunctionLight, LampLight, LightStatus
from configurator.domain.price_book import PriceBook
from configurator.domain.selection import LampFilm, Package
from configurator.web.visitor.plan import Plan
from configurator.wording.words import Words

Option = tuple[str, str]
WINDSHIELD = "windshield"
KINDS = {
    LightStatus.CHECK_LOCALLY: "info",
    LightStatus.LIKELY_NOT_ROAD_LEGAL: "stop",
    LightStatus.FORBIDDEN_BY_PUBLISHED_RULE: "stop",
}


@dataclass(frozen=True)
class FilmOption:
    """A film to pick; `value` is empty where it is what lies there anyway."""

    film: str
    name: str
    value: str


@dataclass(frozen=True)
class Gauge:
    """A share of light to be drawn: its words, the share 0..1, the share as printed, and the share at the film's darker end."""

    label: str
    share: float
    text: str
    darker: float | None = None


@dataclass(frozen=True)
class Verdict:
    """What the region's rules make of the choice; `needs_tick` when it has to be acknowledged, `refused` when it isn't sold."""

    kind: str
    title: str
    texts: tuple[str, ...]
    source: str
    needs_tick: bool
    refused: bool


@dataclass(frozen=True)
class LampCard:
    id: str
    field: str
    name: str
    lead: str
    options: tuple[FilmOption, ...]
    film: str
    gauges: tuple[Gauge, ...]
    verdict: Verdict | None


@dataclass(frozen=True)
class LampsPage:
    regions: tuple[Option, ...]
    region: str
    cards: tuple[LampCard, ...]


def lamps_page(plan: Plan, book: PriceBook, words: Words) -> LampsPage:
    """The page for a plan."""
    selection = plan.estimate.selection
    region = selection.region or book.default_region
    return LampsPage(
        regions=tuple(("" if id == book.default_region != plan.given.region else id, words.name("region", id)) for id in book.regions),
        region=plan.given.region or "",
        cards=tuple(_card(row, _suggested(row.lamp, plan, region, book), region, book, words) for row in plan.estimate.light),
    )


def needs_tick(row: LampLight) -> bool:
    """Whether the visitor has to confirm off-road or show use."""
    return row.status.needs_acknowledging


def is_refused(row: LampLight, region: str, book: PriceBook) -> bool:
    """Whether the shop doesn't sell the choice, because a published rule forbids it."""
    return bool(not_sold([row], region, book))


def _suggested(lamp: str, plan: Plan, region: str, book: PriceBook) -> LampFilm | None:
    """What lies on a lamp group when the visitor says nothing: picking it says nothing either, so it follows package and region.

    None once the visitor has named that very film: then it stays.
    """
    package = plan.given.package
    suggested = {} if package is Package.NONE else book.packages[package].lamps_in(region)
    film = suggested.get(lamp, LampFilm.NONE)
    return None if plan.given.lamps.get(lamp) is film else film


def _card(row: LampLight, suggested: LampFilm | None, region: str, book: PriceBook, words: Words) -> LampCard:
    is_glass = row.lamp == WINDSHIELD
    grades = (LampFilm.NONE, LampFilm.CLEAR) if is_glass else tuple(LampFilm)
    return LampCard(
        id=row.lamp,
        field=WINDSHIELD if is_glass else f"lamp.{row.lamp}",
        name=words.name("lamp", row.lamp),
        lead=words.gettext("A thin outer film that takes stone hits. It wears and is renewed every year or two.") if is_glass else "",
        options=tuple(_option(grade, suggested, words) for grade in grades if _sold(grade, is_glass, book)),
        film=row.film,
        gauges=_gauges(row, words),
        verdict=_verdict(row, region, book, words),
    )


def _option(grade: LampFilm, suggested: LampFilm | None, words: Words) -> FilmOption:
    return FilmOption(grade.value, words.name("lamp_film", grade.value), "" if grade is suggested else grade.value)


def _sold(grade: LampFilm, is_glass: bool, book: PriceBook) -> bool:
    if grade is LampFilm.NONE:
        return True
    kind = WINDSHIELD if is_glass else "lamp"
    return any(film.kind == kind and (is_glass or film.lamp_grade is grade) for film in book.films.values())


def _gauges(row: LampLight, words: Words) -> tuple[Gauge, ...]:
    if row.lamp == WINDSHIELD:
        if row.total is None:
            return ()
        return (Gauge(words.gettext("Light through glass and film"), row.total, words.percent(row.total)),)
    gauges = [Gauge(words.gettext("Light left"), row.transmission, words.percent(row.transmission), row.transmission_darker)]
    if row.reflector is not None:
        gauges.append(Gauge(words.gettext("Reflectors"), row.reflector, words.percent(row.reflector), row.transmission_darker**2))
    return tuple(gauges)


def _verdict(row: LampLight, region: str, book: PriceBook, words: Words) -> Verdict | None:
    if row.status is LightStatus.NO_CHANGE:
        return None
    refused = is_refused(row, region, book)
    worst = max(row.functions, key=lambda function: function.status.severity, default=None)
    return Verdict(
        kind=KINDS[row.status],
        title=words.name("light_status", row.status.value),
        texts=tuple(
            text
            for text in (_needs(row, words), _twice(row, words), _not_sold(refused, words), *map(words.message, row.assumptions))
            if text
        ),
        source=_source(worst, words),
        needs_tick=needs_tick(row) and not refused,
        refused=refused,
    )


def _needs(row: LampLight, words: Words) -> str:
    if row.needs_times_minimum is None or row.lamp == WINDSHIELD:
        return ""
    text = words.gettext("Behind this film the lamp has to be built %(times)s times as bright as the published minimum to still meet it.")
    return text % {"times": words.number(row.needs_times_minimum, 1)}


def _twice(row: LampLight, words: Words) -> str:
    return words.gettext("Reflectors lose the light twice, on its way in and out.") if row.reflector is not None else ""


def _not_sold(refused: bool, words: Words) -> str:
    if not refused:
        return ""
    return words.gettext("This shop doesn't fit it here. The estimate still shows it; to send the plan, choose a lighter film or none.")


def _source(function: FunctionLight | None, words: Words) -> str:
    """Where the rule that decides stands, and how we know it."""
    if function is None or function.known is None:
        return words.gettext("Information, not legal advice.")
    text = words.gettext("%(source)s, %(known)s. Information, not legal advice.")
    return text % {"source": function.source, "known": words.name("known", function.known)}
