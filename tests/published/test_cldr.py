"""Money, numbers, lengths and dates as CLDR writes them.

Sources: CLDR by way of Babel 2.18 (the table of amounts, made once and read over); Unicode ICU's own formatters as Chromium 156
carries them (`Intl.NumberFormat`, `formatRange` for 4150 to 4950), an implementation that shares no code with ours. Marks of
direction and kinds of space and apostrophe move between CLDR versions, so strings are compared without them.
"""

import datetime as dt
from decimal import Decimal

import pytest
from babel import Locale

from configurator.wording import figures, moments

POSITIVE, NEGATIVE = Decimal("1234567.5"), Decimal("-1234.5")


def normalised(text: str) -> str:
    for mark in "\u200e\u200f\u061c":
        text = text.replace(mark, "")
    return text.replace("\u202f", " ").replace("\xa0", " ").replace("’", "'")


def money(tag: str, currency: str, amount: Decimal) -> str:
    return normalised(figures.money(amount, currency, Locale.parse(tag)))


@pytest.mark.parametrize(
    ("tag", "currency", "positive"),
    [
        ("en_US", "USD", "$1,234,567.50"),
        ("en_GB", "GBP", "£1,234,567.50"),
        ("de_DE", "EUR", "1.234.567,50 €"),
        ("de_AT", "EUR", "€ 1.234.567,50"),
        ("fr_FR", "EUR", "1 234 567,50 €"),
        ("es_ES", "EUR", "1.234.567,50 €"),
        ("nl_NL", "EUR", "€ 1.234.567,50"),
        ("de_CH", "CHF", "CHF 1'234'567.50"),
        ("sv_SE", "SEK", "1 234 567,50 kr"),
        ("pl_PL", "PLN", "1 234 567,50 zł"),
        ("fr_CA", "CAD", "1 234 567,50 $"),
        ("en_IN", "INR", "₹12,34,567.50"),
        ("ar_KW", "KWD", "1,234,567.500 د.ك."),
        ("he_IL", "ILS", "1,234,567.50 ₪"),
        ("pt_BR", "BRL", "R$ 1.234.567,50"),
        ("tr_TR", "TRY", "₺1.234.567,50"),
    ],
)
def test_an_amount_is_printed_as_its_locale_does(tag: str, currency: str, positive: str) -> None:
    assert money(tag, currency, POSITIVE) == positive


@pytest.mark.parametrize(
    ("tag", "currency", "negative"),
    [
        ("en_US", "USD", "-$1,234.50"),
        ("en_GB", "GBP", "-£1,234.50"),
        ("de_DE", "EUR", "-1.234,50 €"),
        ("de_AT", "EUR", "-€ 1.234,50"),
        ("fr_FR", "EUR", "-1 234,50 €"),
        ("nl_NL", "EUR", "€ -1.234,50"),
        ("de_CH", "CHF", "CHF-1'234.50"),
        ("en_IN", "INR", "-₹1,234.50"),
        ("pt_BR", "BRL", "-R$ 1.234,50"),
    ],
)
def test_a_negative_amount_is_printed_as_its_locale_does(tag: str, currency: str, negative: str) -> None:
    assert money(tag, currency, NEGATIVE) == negative


def test_babel_rounds_half_to_even_and_we_do_not() -> None:
    """CLDR leaves rounding to the caller: 1234567.5 and 1234568.5 yen both go up here."""
    assert money("ja_JP", "JPY", Decimal("1234567.5")) == "￥1,234,568"
    assert money("ja_JP", "JPY", Decimal("1234568.5")) == "￥1,234,569"
    assert money("en_US", "USD", Decimal("2.665")) == "$2.67"
    assert money("en_US", "USD", Decimal("0.125")) == "$0.13"


def test_spanish_sets_thousands_apart_from_five_digits_on() -> None:
    assert money("es_ES", "EUR", Decimal(4150)) == "4150,00 €"
    assert money("es_ES", "EUR", Decimal(41500)) == "41.500,00 €"
    assert money("es_MX", "MXN", Decimal(4150)) == "$4,150.00"


RANGES_OF_ICU = [
    ("en_US", "USD", "$4,150 – $4,950", "$1,234,567.50"),
    ("en_GB", "GBP", "£4,150 – £4,950", "£1,234,567.50"),
    ("de_DE", "EUR", "4.150–4.950\xa0€", "1.234.567,50\xa0€"),
    ("de_AT", "EUR", "€\xa04.150–4.950", "€\xa01.234.567,50"),
    ("de_CH", "CHF", "CHF\xa04'150–4'950", "CHF\xa01'234'567.50"),
    ("fr_FR", "EUR", "4\u202f150–4\u202f950\xa0€", "1\u202f234\u202f567,50\xa0€"),
    ("fr_CA", "CAD", "4\xa0150–4\xa0950\xa0$", "1\xa0234\xa0567,50\xa0$"),
    ("es_ES", "EUR", "4150-4950\xa0€", "1.234.567,50\xa0€"),
    ("es_MX", "MXN", "$4,150 - $4,950", "$1,234,567.50"),
    ("it_IT", "EUR", "4150-4950\xa0€", "1.234.567,50\xa0€"),
    ("nl_NL", "EUR", "€\xa04.150-4.950", "€\xa01.234.567,50"),
    ("pt_BR", "BRL", "R$\xa04.150–4.950", "R$\xa01.234.567,50"),
    ("pt_PT", "EUR", "4150 - 4950\xa0€", "1\xa0234\xa0567,50\xa0€"),
    ("sv_SE", "SEK", "4\xa0150–4\xa0950\xa0kr", "1\xa0234\xa0567,50\xa0kr"),
    ("da_DK", "DKK", "4.150-4.950\xa0kr.", "1.234.567,50\xa0kr."),
    ("nb_NO", "NOK", "4\xa0150–4\xa0950\xa0kr", "1\xa0234\xa0567,50\xa0kr"),
    ("fi_FI", "EUR", "4\xa0150–4\xa0950\xa0€", "1\xa0234\xa0567,50\xa0€"),
    ("pl_PL", "PLN", "4150–4950\xa0zł", "1\xa0234\xa0567,50\xa0zł"),
    ("cs_CZ", "CZK", "4\xa0150–4\xa0950\xa0Kč", "1\xa0234\xa0567,50\xa0Kč"),
    ("tr_TR", "TRY", "₺4.150 – ₺4.950", "₺1.234.567,50"),
    ("ja_JP", "JPY", "￥4,150 ～ ￥4,950", "￥1,234,568"),
    ("ko_KR", "KRW", "₩4,150 ~ ₩4,950", "₩1,234,568"),
    ("zh_CN", "CNY", "¥4,150 - ¥4,950", "¥1,234,567.50"),
    ("zh_TW", "TWD", "$4,150 - $4,950", "$1,234,567.50"),
    ("he_IL", "ILS", "\u200f4,150–4,950\xa0\u200f₪", "\u200f1,234,567.50\xa0\u200f₪"),
    ("hi_IN", "INR", "₹4,150 – ₹4,950", "₹12,34,567.50"),
    ("en_IN", "INR", "₹4,150 – ₹4,950", "₹12,34,567.50"),
    ("ru_RU", "RUB", "4\xa0150–4\xa0950\xa0₽", "1\xa0234\xa0567,50\xa0₽"),
    ("el_GR", "EUR", "4.150–4.950\xa0€", "1.234.567,50\xa0€"),
    ("ro_RO", "RON", "4.150 - 4.950\xa0RON", "1.234.567,50\xa0RON"),
    ("en_AU", "AUD", "$4,150 – $4,950", "$1,234,567.50"),
    ("en_CA", "CAD", "$4,150 – $4,950", "$1,234,567.50"),
    ("de_DE", "USD", "4.150–4.950\xa0$", "1.234.567,50\xa0$"),
    ("en_US", "EUR", "€4,150 – €4,950", "€1,234,567.50"),
    ("ja_JP", "USD", "$4,150 ～ $4,950", "$1,234,567.50"),
]
"""Locale, currency, range of 4150 to 4950 without decimals, amount of 1234567.5, as ICU prints them.

The hryvnia is left out: Chromium and Babel carry different signs for it.
"""


@pytest.mark.parametrize(("tag", "currency", "short_range", "amount"), RANGES_OF_ICU)
def test_ranges_and_amounts_agree_with_icu(tag: str, currency: str, short_range: str, amount: str) -> None:
    locale = Locale.parse(tag)

    assert normalised(figures.money_range(4150, 4950, currency, locale)) == normalised(short_range)
    assert normalised(figures.money(POSITIVE, currency, locale)) == normalised(amount)


def test_a_range_keeps_its_decimals_when_an_end_has_some() -> None:
    assert normalised(figures.money_range(Decimal("4150.5"), 4950, "USD", Locale.parse("en_US"))) == "$4,150.50 – $4,950.00"


def test_a_range_without_width_is_one_amount() -> None:
    assert figures.money_range(250, 250, "USD", Locale.parse("en_US")) == "$250"


@pytest.mark.parametrize(
    ("tag", "percent", "length", "area", "hours", "days"),
    [
        ("en_US", "35%", "4.70 m", "1.62 m²", "31.5 hours", "4 days"),
        ("de_DE", "35 %", "4,70 m", "1,62 m²", "31,5 Stunden", "4 Tage"),
        ("fr_FR", "35 %", "4,70 m", "1,62 m²", "31,5 heures", "4 jours"),
    ],
)
def test_measures_are_printed_as_their_locale_does(tag: str, percent: str, length: str, area: str, hours: str, days: str) -> None:
    locale = Locale.parse(tag)

    assert normalised(figures.percent(0.35, locale)) == percent
    assert normalised(figures.length(4700, locale)) == length
    assert normalised(figures.area(1.62, locale)) == area
    assert normalised(moments.hours(31.5, locale)) == hours
    assert normalised(moments.days(4, locale)) == days


def test_one_day_is_singular() -> None:
    assert [normalised(moments.days(1, Locale.parse(tag))) for tag in ("en_US", "de_DE", "fr_FR")] == ["1 day", "1 Tag", "1 jour"]


@pytest.mark.parametrize(
    ("tag", "long", "weekday", "clock"),
    [
        ("en_US", "March 8, 2027", "Mon, Mar 8", "8:30 AM"),
        ("en_GB", "8 March 2027", "Mon 8 Mar", "08:30"),
        ("de_DE", "8. März 2027", "Mo., 8. März", "08:30"),
    ],
)
def test_days_and_times_are_printed_as_their_locale_does(tag: str, long: str, weekday: str, clock: str) -> None:
    locale, when = Locale.parse(tag), dt.datetime(2027, 3, 8, 8, 30)

    assert normalised(moments.day(when, locale)) == long
    assert normalised(moments.day(when, locale, style="weekday")) == weekday
    assert normalised(moments.clock(when, locale)) == clock


def test_a_moment_is_printed_on_its_own_clock() -> None:
    """RFC 3339 moments carry the shop's offset: 08:30 in Ostermere stays 08:30 whatever the server's zone."""
    when = dt.datetime(2027, 3, 8, 8, 30, tzinfo=dt.timezone(dt.timedelta(hours=-5)))

    assert normalised(moments.moment(when, Locale.parse("en_US"))) == "Mon, Mar 8, 8:30 AM"
    assert normalised(moments.moment(when, Locale.parse("de_DE"))) == "Mo., 8. März, 08:30"


def test_inches_are_of_25_4_mm_and_square_feet_of_0_3048_m() -> None:
    """International yard and pound agreement, 1959."""
    locale = Locale.parse("en_US")

    assert figures.length(4700, locale, inches=True) == "185 in"
    assert figures.length(6, locale, inches=True) == "0.24 in"
    assert figures.area(Decimal("0.09290304"), locale, inches=True) == "1 sq ft"
