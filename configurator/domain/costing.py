"""What a job costs, item by item: film, hands, parts, risks, and what every job costs. Floats of money here; `price` rounds.

Each operation's cost is its minutes times (rate of its role + overhead per hour); overhead is on hands-on hours and never on bay
hours, which hang on the calendar and would let a price fall when a panel is added.
"""

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass
from functools import cached_property

from configurator.domain.film_plan.records import FilmUse
from configurator.domain.moments import Moments, chance, correlated_variance
from configurator.domain.price_book import Cutting, Film, PriceBook, Rates
from configurator.domain.scope import Scope, ScopedPanel
from configurator.domain.work import Kind, Operation

LINE_OF_KIND: Mapping[Kind, str] = {
    Kind.FILM: "labour",
    Kind.LAMP: "labour",
    Kind.WINDSHIELD: "labour",
    Kind.PARTS_OFF: "parts",
    Kind.PARTS_ON: "parts",
}
"""The price line that an operation's hands are shown on; all that is done before and after the film is `prep`."""

LINE_OF_FILM = {"body": "film", "lamp": "lamp_film", "windshield": "windshield_film"}


@dataclass(frozen=True)
class Hands:
    """One operation's hands: mean and standard deviation of its minutes, money per minute for the role and for overhead."""

    operation: Operation
    line: str
    minutes: float
    minutes_deviation: float
    rate: float
    overhead: float

    @property
    def wage(self) -> float:
        return self.minutes * self.rate

    @property
    def cost(self) -> float:
        return self.minutes * (self.rate + self.overhead)

    @property
    def deviation(self) -> float:
        """Standard deviation of the cost."""
        return self.minutes_deviation * (self.rate + self.overhead)


@dataclass(frozen=True)
class FilmCost:
    """Film of one kind: metres off its rolls, area of the pieces, and what it is sold for."""

    metres: float = 0.0
    piece_area_m2: float = 0.0
    money: float = 0.0

    def __add__(self, other: "FilmCost") -> "FilmCost":
        return FilmCost(self.metres + other.metres, self.piece_area_m2 + other.piece_area_m2, self.money + other.money)


@dataclass(frozen=True)
class Risk:
    """What may go wrong: `family` is remakes or clips."""

    family: str
    moments: Moments


@dataclass(frozen=True)
class Costs:
    """All the costs of one job. `film` by price line (film, lamp_film, windshield_film)."""

    film: Mapping[str, FilmCost]
    hands: tuple[Hands, ...]
    area_m2: float
    parts: int
    tape: float
    consumables: float
    overhead_per_job: float
    risks: tuple[Risk, ...]
    correlation: float
    unseen_cv: float
    film_cv: float

    @cached_property
    def film_total(self) -> float:
        return sum(cost.money for cost in self.film.values())

    @property
    def overhead(self) -> float:
        """Per job and per hands-on hour, at its mean."""
        return self.overhead_per_job + sum(item.minutes * item.overhead for item in self.hands)

    @property
    def fixed(self) -> float:
        """What doesn't hang on how the day goes; film counts at its mean."""
        return self.film_total + self.tape + self.consumables + self.overhead_per_job

    @cached_property
    def labour(self) -> Moments:
        """Hands and their overhead; a car nobody has seen adds a common spread."""
        mean = sum(item.cost for item in self.hands)
        alone = correlated_variance((item.deviation for item in self.hands), self.correlation)
        return Moments(mean, alone + (self.unseen_cv * mean) ** 2)

    @cached_property
    def risk(self) -> Moments:
        return sum((risk.moments for risk in self.risks), Moments())

    @cached_property
    def variable(self) -> Moments:
        """Labour and risks, with the film's own independent spread about its mean."""
        return self.labour + self.risk + Moments(0.0, (self.film_cv * self.film_total) ** 2)

    @cached_property
    def minutes(self) -> Moments:
        """Hands-on minutes of everybody."""
        mean = sum(item.minutes for item in self.hands)
        alone = correlated_variance((item.minutes_deviation for item in self.hands), self.correlation)
        return Moments(mean, alone + (self.unseen_cv * mean) ** 2)

    def quantile(self, z: float) -> float:
        """Money before discount and tax at the standard normal's `z`: a lognormal on the variable part, the fixed part added."""
        return self.fixed + self.variable.lognormal_quantile(z)


def costs(scope: Scope, operations: Sequence[Operation], film: Sequence[FilmUse], book: PriceBook, *, car_seen: bool = False) -> Costs:
    """Every cost of a scope with its operations and its film."""
    rates, area = book.rates, scope.covered_area_m2
    hands = tuple(_hands(operation, rates) for operation in operations if operation.role)
    return Costs(
        film=_film_money(film, book),
        hands=hands,
        area_m2=area,
        parts=len(scope.parts_off),
        tape=float(sum(book.parts[part.part].consumables for part in scope.parts_off)),
        consumables=float(rates.consumables_per_job) + float(rates.consumables_per_m2) * area,
        overhead_per_job=float(rates.overhead_per_job),
        risks=(*_clips(scope, book), *_remakes(scope, hands, book)),
        correlation=book.time.correlation,
        unseen_cv=0.0 if car_seen else book.time.unseen_car_cv,
        film_cv=book.cutting.film_length_cv,
    )


def _hands(operation: Operation, rates: Rates) -> Hands:
    rate = rates.per_hour[operation.role] if operation.role else 0
    return Hands(
        operation=operation,
        line=LINE_OF_KIND.get(operation.kind, "prep"),
        minutes=operation.mean,
        minutes_deviation=operation.deviation,
        rate=float(rate) / 60,
        overhead=float(rates.overhead_per_hour) / 60,
    )


def _film_money(uses: Sequence[FilmUse], book: PriceBook) -> Mapping[str, FilmCost]:
    """Metres x cost of that roll per metre x markup, by price line."""
    by_line = dict.fromkeys(LINE_OF_FILM.values(), FilmCost())
    for use in uses:
        film = book.films[use.film]
        money = use.length_m * float(film.roll(use.roll_width_mm).cost_per_m * film.markup)
        by_line[LINE_OF_FILM[film.kind]] += FilmCost(use.length_m, use.piece_area_m2, money)
    return by_line


def _clips(scope: Scope, book: PriceBook) -> Iterator[Risk]:
    for part in scope.parts_off:
        entry = book.parts[part.part]
        yield Risk("clips", chance(entry.break_chance, float(entry.break_cost)))


def _remakes(scope: Scope, hands: Sequence[Hands], book: PriceBook) -> Iterator[Risk]:
    """Each piece may have to be laid twice: its film again, and half the labour (wage and overhead) it usually takes."""
    by_panel = {item.operation.panel: item for item in hands if item.operation.kind is Kind.FILM}
    for panel in scope.covered:
        item = by_panel[panel.id]
        labour = item.operation.usual * (item.rate + item.overhead)
        probability = min(1.0, book.rates.remake_base + book.rates.remake_per_difficulty * panel.difficulty)
        for band in panel.bands:
            share = band.area_m2 / panel.covered_area_m2
            again = _film_again(panel, share, book.films[band.film], book.cutting)
            yield Risk("remakes", chance(probability, again + share * labour / 2))


def _film_again(panel: ScopedPanel, share: float, film: Film, cutting: Cutting) -> float:
    """Money for the film of one piece made again, cut by itself: area with turn-in and margin / yield x price per m2.

    Piece area, m2 = covered area + sum over edges of (allowance + margin) x length; a band of a panel takes its share of both.
    """
    grown = sum((cutting.allowance_mm[edge.treatment][edge.kind] + cutting.margin_mm) * edge.length_mm for edge in panel.edges) / 1e6
    return share * (panel.covered_area_m2 + grown) / cutting.remake_yield * float(film.widest.cost_per_m2 * film.markup)
