"""Which panels each body has, with everything it may carry: for the catalogue."""

from collections.abc import Mapping
from functools import lru_cache

from configurator.domain.body.build import build_body
from configurator.domain.body.style import BodyStyle
from configurator.domain.shop import Shop


def nameable_panels(shop: Shop) -> Mapping[str, tuple[str, ...]]:
    """Body style -> ids that a selection can name, at its typical size with all features it can have."""
    return {id: _panels_of(style) for id, style in shop.styles.items()}


@lru_cache(maxsize=32)
def _panels_of(style: BodyStyle) -> tuple[str, ...]:
    body = build_body(style, size=style.typical_size, features=style.possible_features, fuel_door=style.fuel_door)
    return tuple(panel.id for panel in body.panels.values() if panel.selectable)
