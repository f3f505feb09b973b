"""The words of a cut plan, handed in by whoever knows the reader's language."""

from collections.abc import Callable, Mapping
from dataclasses import dataclass


@dataclass(frozen=True)
class CutPlanLabels:
    """Every word on a cut plan, in the reader's language. Callables take figures: metres along the roll, millimetres, counts."""

    heading: str
    job: str
    """Whose film it is: a reference, or the car."""
    summary: str
    pieces: Mapping[str, str]
    """piece id -> what it goes on."""
    cut: str
    fold: str
    turn_in: str
    seam: str
    spare: str
    recesses: str
    keep: Callable[[str], str]
    """An offcut of that size is worth keeping."""
    toward_nose: str
    roll_runs: str
    keeps_direction: str | None
    """Set for a film that may only be turned end for end."""
    scale: Callable[[float], str]
    """By how much the drawing is smaller than the film, and what it is for."""
    control_bar: str
    size: Callable[[float, float], str]
    size_column: str
    position_column: str
    metres: Callable[[float], str]
    millimetres: Callable[[float], str]
    continues_at: Callable[[float], str]
    continued_from: Callable[[float], str]
    cut_off_at: Callable[[float], str]
    sheet_of: Callable[[int, int], str]
    """Which roll, and which of its sheets."""
