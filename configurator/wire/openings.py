"""Free places as a document."""

from collections.abc import Iterable
from typing import Any

from configurator.domain.timeline import Opening
from configurator.wire.estimate import rfc3339


def dump_openings(openings: Iterable[Opening]) -> dict[str, Any]:
    """In date order; the shortest stay is marked."""
    return {"openings": [_opening(opening) for opening in openings]}


def _opening(opening: Opening) -> dict[str, Any]:
    return {
        "drop_off": rfc3339(opening.drop_off),
        "hand_back": {"typical": rfc3339(opening.hand_back_typical), "high": rfc3339(opening.hand_back_high)},
        "days_off_road": {"typical": opening.days_typical, "high": opening.days_high},
        "shortest": opening.shortest,
    }
