"""Worked examples, reckoned by hand for the demo price book's coefficients and written out step by step."""

from dataclasses import replace
from math import sqrt

import pytest

from configurator.domain.body.records import EdgeKind, Side
from configurator.domain.costing import costs
from configurator.domain.moments import Z10, Z50, Z90, Moments, correlated_variance
from configurator.domain.operations import operations
from configurator.domain.price import price
from configurator.domain.price_book import PriceBook
from configurator.domain.selection import Package, PaintCondition
from tests.builders import a_scope, a_scoped_panel, a_selection, metres_of_film, one_roll_book, the_book

SHUT, GLASS, ARCH, LAMP = EdgeKind.SHUT_LINE, EdgeKind.GLASS, EdgeKind.WHEEL_ARCH, EdgeKind.LAMP


@pytest.fixture
def book() -> PriceBook:
    """The demo's coefficients with the example's cutting: 15 mm margin, 72 % yield, film length taken as exact."""
    book = the_book()
    cutting = replace(book.cutting, margin_mm=15.0, remake_yield=0.72, film_length_cv=0.0)
    return one_roll_book(cost_per_m="100", cutting=cutting)


@pytest.fixture
def scope():
    """A hood and a fender, wrapped."""
    hood = a_scoped_panel("hood", area_m2=1.80, difficulty=0.02, edges_m={SHUT: 4.0, GLASS: 1.5}, recesses=1)
    fender = a_scoped_panel("fender_left", area_m2=0.40, difficulty=0.20, edges_m={SHUT: 2.0, ARCH: 1.0, LAMP: 0.5}, side=Side.LEFT)
    return a_scope(hood, fender)


@pytest.fixture
def job(scope, book):
    return operations(scope, a_selection(paint_condition=PaintCondition.DRIVEN), book)


def test_minutes_of_hood_and_fender(job) -> None:
    """hood 8 + 3 + 5 x 1.8 + 30 x 1.8 x 1.08 + 5 x 4 + 3 x 1.5 + 7; fender 8 + 3 + 5 x 0.4 + 30 x 0.4 x 1.8 + 5 x 2 + 6 x 1 + 4 x 0.5."""
    usual = {operation.id: operation.usual for operation in job}
    assert usual["film_hood"] == pytest.approx(109.82, abs=1e-9)
    assert usual["film_fender_left"] == pytest.approx(52.60, abs=1e-9)
    assert usual["check_in"] == pytest.approx(20 + 2.2)
    assert usual["wash"] == pytest.approx(40 + 12 * 2.2)
    assert usual["inspect"] == pytest.approx(15 + 2 * 2.2)
    assert usual["hand_over"] == pytest.approx(20)


@pytest.mark.parametrize(
    ("id", "mean", "deviation"),
    [
        ("check_in", 23.3100, 3.6815),
        ("wash", 70.8267, 9.4646),
        ("film_hood", 121.1681, 22.9382),
        ("film_fender_left", 58.0353, 10.9866),
        ("inspect", 21.3400, 4.1479),
        ("hand_over", 21.0000, 3.3166),
    ],
)
def test_mean_and_exact_deviation(job, id: str, mean: float, deviation: float) -> None:
    """(a + 4m + b) / 6 and sqrt((mu - a)(b - mu) / 7) of the triples that the spreads give."""
    operation = next(operation for operation in job if operation.id == id)
    assert operation.mean == pytest.approx(mean, abs=5e-5)
    assert operation.deviation == pytest.approx(deviation, abs=5e-5)


def test_total_minutes_are_lognormal_with_the_common_correlation(job, book) -> None:
    """Means 315.6801; S1 = 54.5354, S2 = 778.2027; 778.2027 + 0.3 (54.5354^2 - 778.2027) = 1436.97, deviation 37.9074."""
    hands = [operation for operation in job if operation.role]
    mean = sum(operation.mean for operation in hands)
    variance = correlated_variance((operation.deviation for operation in hands), book.time.correlation)
    assert mean == pytest.approx(315.6801, abs=5e-5)
    assert sqrt(variance) == pytest.approx(37.9074, abs=5e-5)
    total = Moments(mean, variance)
    assert [round(total.lognormal_quantile(z), 3) for z in (Z10, Z50, Z90)] == [268.871, 313.428, 365.370]


def test_price_to_the_cent(scope, job, book) -> None:
    """Piece areas 1.9415 + 0.5005; metres 2.442 / 0.72 / 1.524 = 2.2255, film 333.8255; consumables 18 + 5.5 x 2.2; job 65.

    Labour 636.5258; remakes 8.1100 + 3.9848, variance 3517.0276; labour variance 6093.7702; lognormal on the variable 648.6206.
    """
    metres = 2.442 / 0.72 / 1.524
    spent = costs(scope, job, [metres_of_film(metres)], book, car_seen=True)
    assert spent.fixed == pytest.approx(428.9255, abs=5e-5)
    assert spent.labour.mean == pytest.approx(636.5258, abs=5e-5)
    assert spent.labour.variance == pytest.approx(6093.7702, abs=5e-3)
    assert spent.risk.mean == pytest.approx(12.0948, abs=5e-5)
    assert spent.risk.variance == pytest.approx(3517.0276, abs=5e-3)
    assert [round(spent.quantile(z), 2) for z in (Z10, Z50, Z90)] == [957.90, 1070.26, 1206.48]
    shown = price(spent, book, package=Package.NONE).price
    assert (str(shown.low), str(shown.typical), str(shown.high)) == ("950.00", "1075.00", "1225.00")
