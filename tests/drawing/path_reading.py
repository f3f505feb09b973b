"""Reads path data back as points, by the grammar of SVG 2, so that tests can measure what was drawn."""

import re

import numpy as np
from numpy.typing import NDArray

_TOKEN = re.compile(r"[MLlCcQqHhVvZz]|-?\d+(?:\.\d+)?")


def points_of(data: str, *, steps: int = 12) -> list[NDArray[np.float64]]:
    """Each subpath as points along it; Beziers are sampled with `steps` points. Knows M l q c z, as the drawing writes them."""
    tokens = _TOKEN.findall(data)
    paths: list[list[tuple[float, float]]] = []
    command, place = "", 0
    while place < len(tokens):
        if tokens[place].isalpha():
            command = tokens[place]
            place += 1
            if command in "zZ":
                continue
        count = {"M": 2, "l": 2, "q": 4, "c": 6}[command]
        values = [float(token) for token in tokens[place : place + count]]
        place += count
        if command == "M":
            paths.append([(values[0], values[1])])
        elif command == "l":
            x, y = paths[-1][-1]
            paths[-1].append((x + values[0], y + values[1]))
        else:
            paths[-1] += _bezier(np.array(paths[-1][-1]), _as_cubic(np.array(values).reshape(-1, 2)), steps)
    return [np.array(path) for path in paths]


def _as_cubic(handles: NDArray[np.float64]) -> NDArray[np.float64]:
    """Handles and end (3, 2) of the cubic Bezier that a quadratic's handle and end (2, 2) are equal to, both relative to the start."""
    return handles if len(handles) == 3 else np.array([2 * handles[0] / 3, handles[1] / 3 + 2 * handles[0] / 3, handles[1]])


def _bezier(start: NDArray[np.float64], rest: NDArray[np.float64], steps: int) -> list[tuple[float, float]]:
    a, b, c = start + rest
    share = np.linspace(0, 1, steps + 1)[1:, None]
    curve = (1 - share) ** 3 * start + 3 * (1 - share) ** 2 * share * a + 3 * (1 - share) * share**2 * b + share**3 * c
    return [(float(x), float(y)) for x, y in curve]
