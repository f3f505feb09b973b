"""What a style's face says is drawn: every word has its pattern; exhausts lie on the tail, alike on both sides, and move with it."""

from dataclasses import replace
from types import MappingProxyType

import numpy as np
import pytest

from configurator.domain.body import face
from configurator.domain.body.build import build_body
from configurator.domain.body.records import Body
from configurator.drawing.ornaments import _MODULES, LOOKS, ornaments
from configurator.drawing.tail import tail_ornaments
from configurator.drawing.wheels import PATTERNS
from configurator.loading.body_styles import load_body_styles
from tests.drawing.cars import STYLES, body_of


def test_every_wheel_and_lamp_that_a_file_may_name_can_be_drawn() -> None:
    assert set(face.WORDS["wheel"]) == set(PATTERNS)
    assert set(face.WORDS["lamp"]) == set(_MODULES)


@pytest.mark.parametrize("key", ["grille", "frame", "lamp", "drl", "tail", "tail_bar"])
def test_every_word_changes_what_is_drawn(key: str) -> None:
    body = body_of("sedan")
    drawn = {word: _drawn(replace(body, face=MappingProxyType({**body.face, key: word}))) for word in face.WORDS[key]}

    assert len(set(drawn.values())) == len(face.WORDS[key])


def _drawn(body: Body) -> tuple[tuple[str, bytes], ...]:
    found = [*ornaments(body).values(), *tail_ornaments(body).values()]
    return tuple((ornament.look, ornament.points.round(3).tobytes()) for panel in found for ornament in panel)


def _tips(body: Body) -> np.ndarray:
    """(n, 3) middles of the exhausts' rims."""
    return np.array(
        [one.points.mean(axis=0) for ornaments in tail_ornaments(body).values() for one in ornaments if one.look == "exhaust_rim"]
    )


@pytest.mark.parametrize("style", STYLES)
def test_exhausts_lie_on_the_tail_alike_on_both_sides(style: str) -> None:
    body = body_of(style)
    tips = _tips(body)

    assert len(tips) == 2 * len(body.face["exhausts"])  # type: ignore[arg-type]
    if len(tips):
        skin = np.vstack([panel.mesh.vertices for name, panel in body.panels.items() if name in ("rear_bumper", "rear_lip")])
        assert tips[:, 1].sum() == pytest.approx(0, abs=2)
        assert (np.sqrt(((tips[:, None] - skin[None]) ** 2).sum(axis=2)).min(axis=1) < 90).all()
    assert "exhaust_rim" in LOOKS


def test_exhausts_move_with_the_bumper() -> None:
    style = load_body_styles()["sedan"]
    size = replace(style.typical_size, width_mm=style.plausible.width_mm.most, length_mm=style.plausible.length_mm.most)
    wide = build_body(style, size=size, features=style.usual_features, fuel_door=style.fuel_door)
    share = size.width_mm / style.typical_size.width_mm

    assert np.abs(_tips(wide)[:, 1]).mean() == pytest.approx(share * np.abs(_tips(body_of("sedan"))[:, 1]).mean(), rel=0.02)
    assert _tips(wide)[:, 0].mean() > _tips(body_of("sedan"))[:, 0].mean() + 200
