"""Photos of a request: what a visitor shows, what was seen at check-in, how the car left."""

from dataclasses import dataclass
from datetime import datetime
from enum import StrEnum

from configurator.domain.desk import Person

LARGE_SIDE_PX = 1600
SMALL_SIDE_PX = 400
LARGEST_FILE_BYTES = 15 * 1024 * 1024
LONGEST_CAPTION = 120


class PhotoKind(StrEnum):
    """Whose photo it is, and from when."""

    VISITOR = "visitor"
    CHECK_IN = "check_in"
    AFTER = "after"


BAY_KINDS = frozenset({PhotoKind.CHECK_IN, PhotoKind.AFTER})
"""What people in the bay take and see; what a visitor sent stays with the front desk."""


class PhotoSize(StrEnum):
    """The two forms that a photo is kept in: at most `LARGE_SIDE_PX` and `SMALL_SIDE_PX` along its longer side."""

    LARGE = "large"
    SMALL = "small"


@dataclass(frozen=True)
class CheckedPhoto:
    """A photo made anew from what was sent: WebP files without any metadata; width and height (pixels) of the large one."""

    large: bytes
    small: bytes
    width: int
    height: int


@dataclass(frozen=True, kw_only=True)
class NewPhoto:
    """A photo about to be kept. `name` is random and names its files; `size_bytes` counts the large one."""

    request_id: int
    kind: PhotoKind
    name: str
    caption: str
    width: int
    height: int
    size_bytes: int
    added_at: datetime
    by: Person


@dataclass(frozen=True, kw_only=True)
class Photo(NewPhoto):
    """A kept photo. `by.name` is empty: the history says who added it."""

    id: int


def file_name(name: str, size: PhotoSize) -> str:
    """The name of a photo's file in the store, such as `ab12.large.webp`."""
    return f"{name}.{size.value}.webp"
