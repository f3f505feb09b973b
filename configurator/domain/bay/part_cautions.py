"""Which cautions of a work order belong to which part: the box at the top says all of them, the list repeats them where they bite."""

from collections.abc import Iterable
from fnmatch import fnmatchcase

from configurator.domain.cautions import CautionRule, Reader
from configurator.domain.estimate import Caution


def cautions_at_part(part: str, rules: Iterable[CautionRule], called: Iterable[Caution]) -> tuple[Caution, ...]:
    """The cautions said on this job whose rule names this kind of part; those that hold for every part stay in the box above."""
    named = {rule.code for rule in rules if Reader.WORK_ORDER in rule.readers and _names(rule, part)}
    return tuple({caution.code: caution for caution in called if caution.code in named}.values())


def cautions_at_panel(panel: str, called: Iterable[Caution]) -> tuple[Caution, ...]:
    """The cautions that are said at this very panel, or at the lamp group it belongs to."""
    group = f"{panel.rsplit('_', 1)[0]}s"
    return tuple(caution for caution in called if caution.where in (panel, group))


def _names(rule: CautionRule, part: str) -> bool:
    return any(pattern != "*" and fnmatchcase(part, pattern) for pattern in rule.when.parts)
