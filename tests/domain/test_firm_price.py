"""The fixed price of a quote: lines to the cent, tax by the book, the shop's step, never without a trace of what was changed."""

from dataclasses import replace
from decimal import Decimal
from types import MappingProxyType

import pytest
from hypothesis import given
from hypothesis import strategies as st

from configurator.domain.estimate import Line, PriceRange
from configurator.domain.firm_price import estimated_amount, firm_price, outdated
from configurator.domain.kept_estimate import keep
from configurator.domain.message import Message
from configurator.domain.price_book import Customer, PriceBook, Tax, TaxShown
from configurator.domain.quoting import Addition, Adjustment, Draft, Reader
from configurator.loading.price_book import demo_price_book
from tests.desk_builders import a_kept_estimate
from tests.shops import PACKAGES, STYLES, chosen, demo_shop, estimated

CENT = Decimal("0.01")


def book_with(**changes: object) -> PriceBook:
    """The demo's book with a minimum out of the way, unless it is asked for."""
    book = demo_price_book()
    rates = replace(book.rates, minimum=Decimal(changes.pop("minimum", 0)), step=Decimal(str(changes.pop("step", 25))))
    return replace(book, rates=rates, **changes)  # type: ignore[arg-type]


def changed(**adjustments: tuple[str, str | None]) -> Draft:
    """A draft with lines at other amounts (estimated, quoted); None strikes one."""
    return Draft(
        MappingProxyType(
            {
                code: Adjustment(Decimal(was), Decimal(now) if now is not None else None, "Seen on the car.")
                for code, (was, now) in adjustments.items()
            }
        )
    )


def added(amount: str, *, reader: Reader = Reader.PRINTED) -> Addition:
    return Addition("added-1", "Headlamp polish", Decimal(amount), "Chips in the lens.", reader)


@pytest.mark.parametrize("style", STYLES)
@pytest.mark.parametrize("package", PACKAGES)
def test_a_quote_in_which_nothing_was_changed_costs_the_typical_figure(style: str, package: str) -> None:
    estimate = estimated(chosen(style, package))
    price = firm_price(keep(estimate, demo_shop().book), Draft(), demo_shop().book)

    assert price.total == estimate.price.typical
    assert sum((line.amount for line in price.lines), Decimal(0)) + price.tax + price.rounding == price.total


def test_a_change_moves_the_price_by_itself_and_the_step_rounds_it() -> None:
    """720.50 + 1265.00 = 1985.50, by hand; with 68.00 more 2053.50, whose nearest multiple of 25 is 2050."""
    before = firm_price(a_kept_estimate(), Draft(), book_with())
    after = firm_price(a_kept_estimate(), changed(labour=("1265.00", "1333.00")), book_with())

    assert (before.net, before.total, before.rounding) == (Decimal("1985.50"), Decimal("1975.00"), Decimal("-10.50"))
    assert (after.net, after.total, after.rounding) == (Decimal("2053.50"), Decimal("2050.00"), Decimal("-3.50"))


def test_half_a_step_goes_up() -> None:
    """1985.50 + 2.00 = 1987.50 lies between 1975 and 2000: half away from zero."""
    price = firm_price(a_kept_estimate(), Draft(additions=(added("2.00"),)), book_with())

    assert price.total == Decimal("2000.00")


def test_a_struck_line_costs_nothing_and_keeps_its_reason() -> None:
    price = firm_price(a_kept_estimate(), changed(film=("720.50", None)), book_with())
    line = next(line for line in price.lines if line.code == "film")

    assert price.net == Decimal("1265.00")
    assert (line.struck, line.amount, line.estimated, line.reason) == (True, Decimal("0.00"), Decimal("720.50"), "Seen on the car.")
    assert line.is_changed


def test_a_reason_for_the_shop_is_not_printed() -> None:
    struck = Draft(MappingProxyType({"film": Adjustment(Decimal("720.50"), None, "Own stock.", Reader.SHOP)}))
    lines = {line.code: line for line in firm_price(a_kept_estimate(), struck, book_with()).lines}
    extra = firm_price(a_kept_estimate(), Draft(additions=(added("5.00", reader=Reader.SHOP),)), book_with()).lines[-1]

    assert not lines["film"].is_printed
    assert lines["labour"].is_printed
    assert extra.is_printed
    assert extra.printed_reason == ""


def test_tax_inside_a_price_adds_up_to_the_cent() -> None:
    """20 % inside 2,375.00 is 2,375 x 0.20 / 1.20 = 395.83 (UK VAT fraction 1/6: HMRC VAT Notice 700, section 30, from memory)."""
    taxed = book_with(tax=Tax(TaxShown.INCLUDED, TaxShown.EXCLUDED, Decimal("0.20")))
    price = firm_price(a_kept_estimate(), Draft(), taxed)

    assert price.total == Decimal("2375.00"), "1985.50 x 1.2 = 2382.60, to the nearest 25"
    assert price.tax == Decimal("395.83")
    assert price.net + price.tax + price.rounding == price.total
    assert price.tax_on_top is None


def test_a_business_is_quoted_without_tax_where_the_book_says_so() -> None:
    taxed = book_with(tax=Tax(TaxShown.INCLUDED, TaxShown.EXCLUDED, Decimal("0.20")))
    price = firm_price(a_kept_estimate(), Draft(), taxed, Customer.BUSINESS)

    assert (price.total, price.tax, price.tax_on_top) == (Decimal("1975.00"), Decimal("0.00"), Decimal("395.00"))


def test_the_minimum_charge_is_worked_out_again_from_the_lines() -> None:
    price = firm_price(a_kept_estimate(), changed(labour=("1265.00", "100.00"), film=("720.50", "50.00")), book_with(minimum=250))
    line = next(line for line in price.lines if line.code == "minimum")

    assert line.amount == Decimal("100.00")
    assert price.total == Decimal("250.00")


def test_the_desk_may_go_below_the_minimum_with_a_reason() -> None:
    kept = Line("minimum", Decimal("49.50"), Decimal("49.50"), Decimal("49.50"), Message("line_minimum", {}))
    small = a_kept_estimate(lines=(Line("film", *[Decimal("200.50")] * 3, Message("line_film", {})), kept))
    price = firm_price(small, changed(minimum=("49.50", None)), book_with(minimum=250))

    assert price.total == Decimal("200.00")


def test_yen_have_no_decimals() -> None:
    """ISO 4217: JPY has no minor unit."""
    yen = replace(
        a_kept_estimate(),
        price=PriceRange("JPY", *[Decimal(x) for x in (180000, 200000, 230000)], "excluded", 0.8),
        lines=(Line("film", *[Decimal(123450)] * 3, Message("line_film", {})),),
    )
    price = firm_price(yen, changed(film=("123450", "98765")), book_with(step=1000))

    assert (str(price.total), str(price.rounding)) == ("99000", "235")


def test_an_adjustment_of_a_figure_that_has_changed_since_is_named() -> None:
    draft = changed(labour=("1265.00", "1333.00"), film=("700.00", "650.00"), parts=("40.00", "20.00"))

    assert outdated(a_kept_estimate(), draft) == ("film",), "parts isn't in this estimate: nothing to look at"


@pytest.mark.parametrize(("code", "amount"), [("film", Decimal("720.50")), ("rounding", None), ("tax", None), ("nonsense", None)])
def test_only_lines_that_follow_from_nothing_else_can_be_adjusted(code: str, amount: Decimal | None) -> None:
    assert estimated_amount(a_kept_estimate(), code) == amount


amounts = st.decimals(min_value=-5000, max_value=20000, places=2)


@given(
    film=amounts,
    labour=amounts,
    extra=amounts,
    rate=st.sampled_from(["0", "0.07", "0.19", "0.2", "0.255"]),
    shown=st.sampled_from(TaxShown),
)
def test_lines_tax_and_rounding_always_add_up(film: Decimal, labour: Decimal, extra: Decimal, rate: str, shown: TaxShown) -> None:
    taxed = book_with(tax=Tax(shown, shown, Decimal(rate)))
    draft = replace(changed(film=("720.50", str(film)), labour=("1265.00", str(labour))), additions=(added(str(extra)),))
    price = firm_price(a_kept_estimate(), draft, taxed)

    assert sum((line.amount for line in price.lines), Decimal(0)) == price.net
    assert price.net + price.tax + price.rounding == price.total
    assert price.total % Decimal(25) == 0
    gross = price.net * (1 + Decimal(rate)) if shown is TaxShown.INCLUDED else price.net
    assert abs(price.total - gross) <= Decimal("12.51"), "never more than half a step away"
    if shown is TaxShown.INCLUDED:
        assert abs(price.tax - price.total * Decimal(rate) / (1 + Decimal(rate))) <= CENT / 2
