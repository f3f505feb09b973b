"""Lines that add up, a range that only widens outward, discounts, minimum, tax and currencies."""

from dataclasses import replace
from decimal import Decimal

import pytest
from hypothesis import given
from hypothesis import strategies as st

from configurator.domain.body.records import EdgeKind, Side
from configurator.domain.costing import Costs, costs
from configurator.domain.drivers import drivers
from configurator.domain.money import smallest_unit
from configurator.domain.operations import operations
from configurator.domain.price import Priced, price, price_of_nothing
from configurator.domain.price_book import Customer, PriceBook, Tax, TaxShown
from configurator.domain.scope import PartOff, Scope, ScopedPanel
from configurator.domain.selection import Package, Treatment
from tests.builders import a_lamp, a_scope, a_scoped_panel, a_selection, metres_of_film, the_book

NAMES = ("hood", "front_bumper", "fender_left", "fender_right", "roof", "mirror_left", "mirror_right", "rear_lid")


@st.composite
def panels(draw: st.DrawFn, least: int = 1) -> tuple[ScopedPanel, ...]:
    names = draw(st.lists(st.sampled_from(NAMES), min_size=least, max_size=len(NAMES), unique=True))
    return tuple(draw(_panel(name)) for name in names)


@st.composite
def _panel(draw: st.DrawFn, name: str) -> ScopedPanel:
    lengths = draw(st.dictionaries(st.sampled_from(list(EdgeKind)), st.floats(0.05, 6.0), max_size=4))
    return a_scoped_panel(
        name,
        area_m2=draw(st.floats(0.02, 2.5)),
        difficulty=draw(st.floats(0.0, 1.0)),
        recesses=draw(st.integers(0, 4)),
        seam_m=draw(st.floats(0.0, 6.0)),
        edges_m=lengths,
        treatment=draw(st.sampled_from(list(Treatment))),
        side=Side.LEFT if name.endswith("left") else Side.CENTRE,
    )


def _costs(scope: Scope, book: PriceBook, *, car_seen: bool = False) -> Costs:
    """Film by a plain additive rule: what is tested here is what happens to it afterwards."""
    metres = 0.3 + sum(panel.covered_area_m2 for panel in scope.covered) * 1.1
    return costs(scope, operations(scope, a_selection(), book), [metres_of_film(metres)], book, car_seen=car_seen)


def _price(
    *covered: ScopedPanel, book: PriceBook | None = None, package: Package = Package.NONE, car_seen: bool = False, **more: object
) -> Priced:
    book = book or the_book()
    return price(_costs(a_scope(*covered), book, car_seen=car_seen), book, package=package, **more)  # type: ignore[arg-type]


HOOD = a_scoped_panel("hood", area_m2=1.6, difficulty=0.02, edges_m={EdgeKind.SHUT_LINE: 4.0, EdgeKind.GLASS: 1.4}, recesses=1)
FUEL_DOOR = a_scoped_panel("fuel_door", area_m2=0.02, edges_m={EdgeKind.SHUT_LINE: 0.5})


def _line(priced: Priced, code: str) -> Decimal:
    return next((line.typical for line in priced.lines if line.code == code), Decimal(0))


# -- properties


@given(panels(), st.sampled_from(list(Package)), st.sampled_from([None, "0.07", "0.19", "0.25"]), st.booleans())
def test_lines_add_up_to_the_typical_price_to_the_cent(covered, package: Package, rate: str | None, car_seen: bool) -> None:
    tax = Tax(TaxShown.INCLUDED, TaxShown.EXCLUDED, Decimal(rate)) if rate else the_book().tax
    priced = _price(*covered, book=the_book(tax=tax), package=package, car_seen=car_seen)
    assert sum(line.typical for line in priced.lines) == priced.price.typical
    assert all(line.low <= line.typical <= line.high for line in priced.lines)
    assert all(line.typical % Decimal("0.01") == 0 for line in priced.lines)


@given(panels(), st.sampled_from(list(Package)))
def test_low_typical_high_stand_in_order_on_the_shops_step(covered, package: Package) -> None:
    shown = _price(*covered, package=package).price
    assert the_book().rates.minimum <= shown.low <= shown.typical <= shown.high
    assert {shown.low % 25, shown.typical % 25, shown.high % 25} == {0}


@given(panels(least=2))
def test_adding_a_panel_lowers_nothing(covered) -> None:
    before, after = _price(*covered[:-1]), _price(*covered)
    for end in ("low", "typical", "high"):
        assert getattr(before.price, end) <= getattr(after.price, end)
    for end in ("typical", "high"):
        assert before.labour_hours[end] <= after.labour_hours[end]


@given(panels())
def test_order_of_panels_changes_nothing(covered) -> None:
    one, other = _price(*covered), _price(*reversed(covered))
    assert one.price == other.price
    assert one.labour_hours["high"] == pytest.approx(other.labour_hours["high"])


@given(panels())
def test_a_car_that_was_seen_has_the_narrower_range(covered) -> None:
    seen, unseen = (_costs(a_scope(*covered), the_book(), car_seen=seen) for seen in (True, False))
    assert seen.variable.variance < unseen.variable.variance
    assert seen.variable.mean == pytest.approx(unseen.variable.mean)


@given(panels())
def test_drivers_share_out_the_whole_variance(covered) -> None:
    found = drivers(_costs(a_scope(*covered), the_book()))
    assert sum(driver.share for driver in found) == pytest.approx(1.0)
    assert [driver.share for driver in found] == sorted((driver.share for driver in found), reverse=True)
    assert all(driver.share > 0 for driver in found)


# -- discount, minimum, tax, rounding


def test_a_packages_discount_is_a_share_of_the_whole() -> None:
    plain, track = _price(HOOD), _price(HOOD, package=Package.TRACK)
    before = sum(line.typical for line in plain.lines if line.code != "rounding")
    assert _line(track, "discount") == -(before * Decimal("0.01")).quantize(Decimal("0.01"))


def test_the_minimum_charge_lifts_a_small_job() -> None:
    book = the_book(rates=replace(the_book().rates, minimum=Decimal(600)))
    priced = _price(FUEL_DOOR, book=book)
    assert priced.price.low == priced.price.typical == 600
    assert _line(priced, "minimum") > 0
    assert _line(priced, "rounding") == 0


def test_tax_that_is_included_is_the_tax_in_the_price_shown() -> None:
    """Gross x 0.20 / 1.20 by hand."""
    book = the_book(tax=Tax(TaxShown.INCLUDED, TaxShown.EXCLUDED, Decimal("0.20")))
    net, gross = _price(HOOD), _price(HOOD, book=book)
    assert gross.price.tax == "included"
    assert _line(gross, "tax") == (gross.price.typical / 6).quantize(Decimal("0.01"))
    assert net.price.typical * Decimal("1.2") - 25 <= gross.price.typical <= net.price.typical * Decimal("1.2") + 25


def test_a_business_is_shown_what_the_book_says() -> None:
    book = the_book(tax=Tax(TaxShown.INCLUDED, TaxShown.EXCLUDED, Decimal("0.20")))
    shown = _price(HOOD, book=book, customer=Customer.BUSINESS)
    assert shown.price.tax == "excluded"
    assert _line(shown, "tax") == 0
    assert shown.price == _price(HOOD).price


@pytest.mark.parametrize(("currency", "step"), [("JPY", "1000"), ("USD", "25"), ("KWD", "0.250"), ("CLF", "0.0005"), ("EUR", "0.05")])
def test_any_currency_has_its_own_decimals(currency: str, step: str) -> None:
    """ISO 4217's minor units: 0, 2, 3 and 4 decimals."""
    book = the_book(currency=currency, rates=replace(the_book().rates, minimum=Decimal(0), step=Decimal(step)))
    priced = _price(HOOD, book=book)
    assert sum(line.typical for line in priced.lines) == priced.price.typical
    amounts = [amount for line in priced.lines for amount in (line.low, line.typical, line.high)]
    assert {amount.as_tuple().exponent for amount in amounts} == {smallest_unit(currency).as_tuple().exponent}


def test_nothing_costs_nothing() -> None:
    nothing = price_of_nothing(the_book(), Customer.CONSUMER)
    assert (str(nothing.low), str(nothing.typical), str(nothing.high), nothing.tax) == ("0.00", "0.00", "0.00", "excluded")


# -- what goes on which line


def test_each_line_holds_its_own_costs() -> None:
    """By hand: two badges off and on, 2 x (5 + 4 x 8 + 15 + 4 + 4 x 6 + 10) / 6 = 30 minutes at 110 an hour, and 2 x 3 of tape."""
    parts = tuple(PartOff(id, "badge", "hood", "installer", ("hood",)) for id in ("badge_front", "badge_rear"))
    scope = a_scope(HOOD, lamps=(a_lamp("headlamp_left", area_m2=0.1, perimeter_m=1.2),), parts=parts)
    book = the_book()
    film = [metres_of_film(2.0), metres_of_film(0.5, film="lamp-clear", width_mm=610.0)]
    priced = price(costs(scope, operations(scope, a_selection(), book), film, book), book, package=Package.NONE)
    assert _line(priced, "film") == Decimal("300.00")
    assert _line(priced, "lamp_film") == Decimal("34.31")
    assert _line(priced, "parts") == Decimal("61.00")
    assert _line(priced, "consumables") == Decimal("27.35")
    assert _line(priced, "spread") < 0
    assert "windshield_film" not in [line.code for line in priced.lines]


def test_a_colour_film_costs_what_its_own_roll_costs() -> None:
    black = replace(HOOD, film="gloss-black", finish="gloss_black")
    book = the_book()
    spent = costs(a_scope(black), operations(a_scope(black), a_selection(), book), [metres_of_film(2.0, film="gloss-black")], book)
    assert spent.film_total == pytest.approx(2 * 124 * 1.5)
