"""Sentences with gaps: `{date:date}` is the fact `date`, printed as a day; `{panel:panel}` a panel id, printed as its name.

What may stand after the colon: the formats of `FORMATS` and the kinds of `configurator.wording.names`. Without a colon
text stands as it is and numbers are printed as numbers. A fact that is a sequence is printed as a list.
"""

from collections.abc import Callable, Mapping
from string import Formatter

_FIRST_STRONG_ISOLATE, _POP_ISOLATE = "\u2068", "\u2069"


class MissingFact(LookupError):
    """A sentence has a gap for a fact that was not handed over."""


def placeholders(sentence: str) -> frozenset[tuple[str, str]]:
    """The gaps of a sentence as (fact, format), e.g. {("date", "date"), ("wait_days", "days")}."""
    return frozenset((name, spec or "") for _, name, spec, _ in Formatter().parse(sentence) if name is not None)


def fill(sentence: str, facts: Mapping[str, object], print_fact: Callable[[object, str], str], *, isolate: bool = False) -> str:
    """The sentence with every gap filled by `print_fact(value, format)`.

    `isolate` wraps each filled gap in Unicode isolates, so that a name or figure can't turn the words around it in a
    right-to-left sentence (Unicode Standard Annex 9).
    """
    parts: list[str] = []
    for text, name, spec, _ in Formatter().parse(sentence):
        parts.append(text)
        if name is not None:
            filled = print_fact(_fact(name, facts), spec or "")
            parts.append(f"{_FIRST_STRONG_ISOLATE}{filled}{_POP_ISOLATE}" if isolate else filled)
    return "".join(parts)


def _fact(name: str, facts: Mapping[str, object]) -> object:
    if name not in facts:
        raise MissingFact(name)
    return facts[name]
