"""Everything that a reader reads, in the reader's language: `Words("de-AT").message(Message(...))`."""

import datetime as dt
from collections.abc import Callable, Iterable, Mapping
from decimal import Decimal
from functools import lru_cache

from babel import Locale
from babel.lists import format_list

from configurator.domain.message import Message
from configurator.errors import Fault
from configurator.wording import figures, moments
from configurator.wording.catalogue import translations
from configurator.wording.figures import Number
from configurator.wording.filling import MissingFact, fill, placeholders
from configurator.wording.locales import DEFAULT_LOCALE, known_locale, negotiate
from configurator.wording.marks import Plural, Sentence
from configurator.wording.messages import FAULTS, MESSAGES, NOT_USABLE
from configurator.wording.names import NAMES, NAMES_OF_BODY


class Words:
    """Sentences, names and figures for one locale. Immutable; cheap to make; `words_for` keeps one for each locale.

    `inches` prints lengths in inches and areas in square feet, for readers who asked for it.
    """

    def __init__(self, locale: str = DEFAULT_LOCALE, *, inches: bool = False) -> None:
        self.locale = negotiate([locale])
        self.inches = inches
        self._cldr = known_locale(self.locale) or Locale.parse(DEFAULT_LOCALE)
        self._translations = translations(self._cldr.language)
        self._formats: Mapping[str, Callable[..., str]] = {name: getattr(self, method) for name, method in FORMATS.items()}

    @property
    def language_tag(self) -> str:
        """As HTML's `lang` wants it (BCP 47)."""
        return self.locale.replace("_", "-")

    @property
    def direction(self) -> str:
        """`ltr` or `rtl`, as HTML's `dir` wants it."""
        return str(self._cldr.text_direction)

    def language_name(self) -> str:
        """The language in its own words, for a language menu."""
        return str(self._cldr.get_language_name(self._cldr) or self.locale)

    # --- words ---

    def gettext(self, message: str) -> str:
        return self._translations.gettext(message)

    def ngettext(self, singular: str, plural: str, n: int) -> str:
        return self._translations.ngettext(singular, plural, n)

    def pgettext(self, context: str, message: str) -> str:
        return self._translations.pgettext(context, message)

    def npgettext(self, context: str, singular: str, plural: str, n: int) -> str:
        return self._translations.npgettext(context, singular, plural, n)

    def message(self, message: Message) -> str:
        """The sentence of a message; a code without a sentence or a missing fact is a mistake in the program and raises."""
        return self._say(MESSAGES[message.code], message.facts)

    def fault(self, fault: Fault) -> str:
        """What is wrong with an input. A code without a sentence, or facts that don't fit it, gets a general one.

        Faults answer what anybody may send, so nothing about them may end in an error of our own.
        """
        try:
            return self._say(FAULTS[fault.code], fault.facts)
        except Exception:
            return self.gettext(NOT_USABLE)

    def name(self, kind: str, id: str, *, body: str | None = None) -> str:
        """What a reader calls a thing: `name("panel", "rear_lid", body="pickup")` is the tailgate.

        An id that we have no word for is printed as words (a film of a shop's own price book), a region that a shop added as
        the country it is the code of (ISO 3166-1).
        """
        text = NAMES_OF_BODY.get((kind, id, body)) or NAMES.get(kind, {}).get(id)
        if text:
            return self.pgettext(kind, text)
        country = self._cldr.territories.get(id.upper()) if kind == "region" else None
        return country or id.replace("_", " ").replace("-", " ").capitalize()

    def _say(self, sentence: Sentence | tuple[Sentence, ...], facts: Mapping[str, object]) -> str:
        if isinstance(sentence, tuple):
            return self._say(_first_that_fits(sentence, facts), facts)
        if isinstance(sentence, Plural):
            text = self.ngettext(sentence.one, sentence.many, _count(sentence.by, facts))
        else:
            text = self.gettext(sentence)
        return fill(text, facts, lambda value, spec: self._print(value, spec, facts), isolate=self.direction == "rtl")

    def _print(self, value: object, spec: str, facts: Mapping[str, object]) -> str:
        if isinstance(value, (tuple, list, frozenset, set)):
            entries = sorted(value, key=str) if isinstance(value, (frozenset, set)) else value
            return self.list([self._print(entry, spec, facts) for entry in entries])
        if spec == "money":
            return self.money(Decimal(str(value)), str(facts["currency"]), short=True)
        if spec in self._formats:
            return self._formats[spec](value)
        if spec in NAMES:
            return self.name(spec, str(value))
        if isinstance(value, (int, float, Decimal)) and not isinstance(value, bool):
            return self.number(value)
        return str(value)

    # --- figures ---

    def number(self, value: Number, digits: int = 2) -> str:
        return figures.number(value, self._cldr, digits=digits)

    def percent(self, share: Number, digits: int = 0) -> str:
        return figures.percent(share, self._cldr, digits=digits)

    def money(self, amount: Number, currency: str, *, short: bool = False) -> str:
        """`$4,150.00`; with `short` a whole amount is `$4,150`."""
        return figures.money(amount, currency, self._cldr, short=short)

    def money_range(self, low: Number, high: Number, currency: str) -> str:
        """`$4,150 – $4,950`, `4.150–4.950 €`."""
        return figures.money_range(low, high, currency, self._cldr)

    def length(self, mm: Number) -> str:
        return figures.length(mm, self._cldr, inches=self.inches)

    def area(self, m2: Number) -> str:
        return figures.area(m2, self._cldr, inches=self.inches)

    def candela(self, cd: Number) -> str:
        return figures.candela(cd, self._cldr)

    # --- time ---

    def date(self, day: dt.date, style: str = "long") -> str:
        """`long` March 8, 2027; `medium` Mar 8, 2027; `short` 3/8/27; `full` Monday, March 8, 2027; `weekday` Mon, Mar 8."""
        return moments.day(day, self._cldr, style=style)

    def time(self, moment: dt.datetime | dt.time) -> str:
        """The time of day on the moment's own clock: `8:30 AM`, `08:30`."""
        return moments.clock(moment, self._cldr)

    def datetime(self, moment: dt.datetime, style: str = "weekday") -> str:
        """Day (in a style of `date`) and time of day on the moment's own clock."""
        return moments.moment(moment, self._cldr, style=style)

    def weekday(self, day: dt.date | int, width: moments.Width = "wide") -> str:
        """A day's name, from a date or from 0 = Monday; `width` wide, abbreviated or short."""
        return moments.weekday(day, self._cldr, width=width)

    def hours(self, value: Number, *, short: bool = False) -> str:
        return moments.hours(value, self._cldr, short=short)

    def minutes(self, value: Number, *, short: bool = False) -> str:
        return moments.minutes(value, self._cldr, short=short)

    def days(self, count: Number) -> str:
        """`1 day`, `4 days`, by the plural rules of the language."""
        return moments.days(count, self._cldr)

    def list(self, items: Iterable[str], *, either: bool = False) -> str:
        """`Hood, roof, and front bumper`; with `either` joined by 'or'."""
        return format_list(tuple(items), style="or" if either else "standard", locale=self._cldr)


FORMATS: Mapping[str, str] = {
    "area": "area",
    "candela": "candela",
    "date": "date",
    "datetime": "datetime",
    "days": "days",
    "hours": "hours",
    "length": "length",
    "minutes": "minutes",
    "number": "number",
    "percent": "percent",
    "time": "time",
    "weekday": "weekday",
}
"""Formats a sentence's gap may name -> the method of `Words` that prints it; `money` reads the fact `currency` as well."""


@lru_cache(maxsize=64)
def words_for(locale: str, *, inches: bool = False) -> Words:
    """A shared `Words` for a locale, as pages ask for it on every request. `locale` should come from `negotiate`."""
    return Words(locale, inches=inches)


def _count(by: str, facts: Mapping[str, object]) -> int:
    value = facts.get(by)
    if not isinstance(value, (int, float, Decimal)):
        raise MissingFact(by)
    return int(value)


def _first_that_fits(sentences: tuple[Sentence, ...], facts: Mapping[str, object]) -> Sentence:
    """The first sentence whose gaps the facts can all fill; the last one when none fits, which then says what is missing."""
    fitting = (sentence for sentence in sentences if all(name in facts for name, _ in placeholders(english(sentence))))
    return next(fitting, sentences[-1])


def english(sentence: Sentence) -> str:
    """The English of a sentence, with the most gaps it has."""
    return sentence.many if isinstance(sentence, Plural) else sentence
