"""Random plausible cars for property-based tests."""

from hypothesis import strategies as st

from configurator.domain.body.build import build_body
from configurator.domain.body.records import Body, Side, Size
from configurator.domain.body.style import BodyStyle


@st.composite
def plausible_sizes(draw: st.DrawFn, style: BodyStyle) -> Size:
    plausible = style.plausible
    length, width, height = (
        draw(st.floats(allowed.least, allowed.most)) for allowed in (plausible.length_mm, plausible.width_mm, plausible.height_mm)
    )
    least = max(plausible.wheelbase_mm.least, plausible.wheelbase_share.least * length + 1)
    most = min(plausible.wheelbase_mm.most, plausible.wheelbase_share.most * length - 1)
    return Size(length, width, height, draw(st.floats(least, most)))


@st.composite
def plausible_bodies(draw: st.DrawFn, style: BodyStyle) -> Body:
    """A body of the style at any plausible size, with any features, its fuel door on either side."""
    features = frozenset(draw(st.sets(st.sampled_from(sorted(style.possible_features)))))
    side = draw(st.sampled_from([Side.LEFT, Side.RIGHT]))
    return build_body(style, size=draw(plausible_sizes(style)), features=features, fuel_door=side)
