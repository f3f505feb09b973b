"""Light left behind film: lamps and windshield against published rules, told honestly."""

from dataclasses import dataclass
from enum import StrEnum


class LightStatus(StrEnum):
    NO_CHANGE = "no_change"
    CHECK_LOCALLY = "check_locally"
    LIKELY_NOT_ROAD_LEGAL = "likely_not_road_legal"
    FORBIDDEN_BY_PUBLISHED_RULE = "forbidden_by_published_rule"


@dataclass(frozen=True)
class FunctionLight:
    """One lamp function against one rule. Candela where a minimum is known; `source` as printed: standard, table, how known."""

    function: str
    status: LightStatus
    source: str
    minimum_cd: float | None = None
    maximum_cd: float | None = None
    as_built_minimum_cd: float | None = None
    left_cd: float | None = None


@dataclass(frozen=True)
class LampLight:
    """One lamp group (or `windshield`) behind its film; shares of light are 0..1."""

    lamp: str
    film: str
    transmission: float
    transmission_darker: float
    reflector: float | None
    needs_times_minimum: float | None
    status: LightStatus
    functions: tuple[FunctionLight, ...]
