"""The QR code is drawn as ISO/IEC 18004 wants it: quiet zone, three finder patterns, timing patterns, one dark module."""

import re

from configurator.web.staff.qr import QUIET_ZONE, qr_code

URI = "otpauth://totp/Pellwick%20Film%20Bay:robin%40film.example?secret=YR5JI5BDM5QFD6GPPUVGNH3I7ESNGO7C&issuer=Pellwick%20Film%20Bay"
FINDER = ["1111111", "1000001", "1011101", "1011101", "1011101", "1000001", "1111111"]


def modules(svg: str) -> list[list[bool]]:
    """The squares of the picture, with its quiet zone."""
    size = int(re.findall(r'viewBox="0 0 (\d+) \d+"', svg)[0])
    dark = {(int(x), int(y)) for x, y in re.findall(r"M(\d+) (\d+)h1v1h-1z", svg)}
    return [[(x, y) in dark for x in range(size)] for y in range(size)]


def test_the_picture_has_the_parts_that_a_camera_looks_for() -> None:
    picture = modules(str(qr_code(URI, title="x")))
    size = len(picture)
    inner = [row[QUIET_ZONE : size - QUIET_ZONE] for row in picture[QUIET_ZONE : size - QUIET_ZONE]]
    side = len(inner)
    corners = {
        "top left": [row[:7] for row in inner[:7]],
        "top right": [row[-7:] for row in inner[:7]],
        "bottom left": [row[:7] for row in inner[-7:]],
    }

    assert QUIET_ZONE == 4
    assert (side - 17) % 4 == 0, "a version has 17 + 4 n modules a side"
    edge = [*picture[:4], *picture[-4:], *(row[:4] + row[-4:] for row in picture)]
    assert not any(any(row) for row in edge)
    for name, corner in corners.items():
        assert ["".join("01"[module] for module in row) for row in corner] == FINDER, name
    assert [inner[6][column] for column in range(8, side - 8)] == [column % 2 == 0 for column in range(8, side - 8)]
    assert [inner[row][6] for row in range(8, side - 8)] == [row % 2 == 0 for row in range(8, side - 8)]
    assert inner[side - 8][8], "the dark module"


def test_its_name_is_no_markup() -> None:
    assert "<b>" not in qr_code("x", title='"><b>')
