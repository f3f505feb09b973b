"""Cautions in words: grouped by how grave they are, for the place they are about."""

from collections.abc import Collection, Iterable
from dataclasses import dataclass

from configurator.domain.cautions import Severity
from configurator.domain.estimate import Caution
from configurator.wording.words import Words

OF_THE_VERDICT = frozenset({"light_forbidden", "light_likely_not_road_legal", "light_check_locally"})
"""Said by a lamp's own verdict already."""


@dataclass(frozen=True)
class CautionText:
    text: str
    source: str


@dataclass(frozen=True)
class CautionGroup:
    """Cautions of one severity; `kind` is the note's class."""

    kind: str
    title: str
    items: tuple[CautionText, ...]


def grouped(cautions: Iterable[Caution], words: Words, *, leave_out: Collection[str] = ()) -> tuple[CautionGroup, ...]:
    """The gravest first, each text once."""
    kept = [caution for caution in cautions if caution.code not in leave_out]
    groups = []
    for severity in Severity:
        texts = [CautionText(words.message(each.message), each.source or "") for each in kept if each.severity == severity]
        if texts:
            groups.append(CautionGroup(severity.value, words.name("severity", severity.value), tuple(dict.fromkeys(texts))))
    return tuple(groups)


def at(cautions: Iterable[Caution], place: str | None) -> list[Caution]:
    """Those about one lamp or panel; None: about the whole car."""
    return [caution for caution in cautions if caution.where == place]
