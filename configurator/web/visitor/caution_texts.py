"""Cautions in words, by the place they are about."""

from collections import defaultdict
from collections.abc import Iterable
from dataclasses import dataclass

from configurator.domain.estimate import Caution
from configurator.wording.words import Words


@dataclass(frozen=True)
class CautionText:
    """A caution in words; `kind` is the note's class."""

    kind: str
    title: str
    text: str
    source: str


def cautions_by_place(cautions: Iterable[Caution], words: Words) -> dict[str, list[CautionText]]:
    """Cautions by lamp or panel; `all` holds every one, and the empty key those of the whole car."""
    found: dict[str, list[CautionText]] = defaultdict(list)
    for caution in cautions:
        text = CautionText(caution.severity, words.name("severity", caution.severity), words.message(caution.message), caution.source or "")
        found[caution.where or ""].append(text)
        if text not in found["all"]:
            found["all"].append(text)
    return found
