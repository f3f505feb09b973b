"""A request that comes out of a coverage record: one panel to be replaced or claimed, its film and batch known."""

from dataclasses import dataclass, replace
from enum import StrEnum

from configurator.domain.selection import LAMP_GROUPS, LampFilm, Package, Selection


class FollowUpKind(StrEnum):
    REPLACE = "replace"
    CLAIM = "claim"


@dataclass(frozen=True, kw_only=True)
class FollowUp:
    """`origin` is the reference of the job that the panel was filmed in."""

    request_id: int
    origin_id: int
    panel: str
    kind: FollowUpKind
    film: str
    batches: tuple[str, ...]
    reference: str = ""
    origin: str = ""


def selection_for(panel: str, chosen: Selection) -> Selection:
    """The selection of one panel, lamp or pane of an earlier job again: the same car and finish, the film there now to come off."""
    group = f"{panel.rsplit('_', 1)[0]}s"
    lamps = {lamp: chosen.lamps.get(lamp, LampFilm.NONE) if lamp == group else LampFilm.NONE for lamp in LAMP_GROUPS}
    is_body = group not in LAMP_GROUPS and panel != "windshield"
    vehicle = replace(chosen.vehicle, remove_film=(panel,) if is_body else ())
    return replace(
        chosen,
        vehicle=vehicle,
        package=Package.NONE,
        add=(panel,) if is_body else (),
        remove=(),
        lamps={lamp: film for lamp, film in lamps.items() if lamp in chosen.lamps},
        windshield=chosen.windshield if panel == "windshield" else LampFilm.NONE,
        drop_off=None,
    )
