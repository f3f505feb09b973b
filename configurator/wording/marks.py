"""Marks that say 'this text is translated' where a text is written down, not where it is shown.

The marks change nothing: they are what the extractor looks for (`configurator.wording.extracting`).
"""

from dataclasses import dataclass


@dataclass(frozen=True)
class Plural:
    """A sentence that bends with a number: `one` and `many` are its English forms, `by` the fact that decides."""

    one: str
    many: str
    by: str


Sentence = str | Plural


def N_(text: str) -> str:
    """Mark one sentence."""
    return text


def NC_(context: str, text: str) -> str:
    """Mark a short text whose meaning hangs on its context (`Track` the package, not the race track)."""
    del context  # read from the source by the extractor; at run time the table's kind says the same
    return text


def NP_(one: str, many: str, by: str) -> Plural:
    """Mark a sentence with its plural; `by` names the fact that counts."""
    return Plural(one, many, by)
