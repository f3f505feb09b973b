"""The one place that speaks svgwrite: elements with checked names and values, and numbers that are the same in every locale.

svgwrite's own validator refuses `role`, `aria-*`, `data-*` and `tabindex` and allows `onclick`, so it is switched off and
replaced by the checks here: no event handlers, no style attributes (a strict Content-Security-Policy forbids both).
"""

import math
import re
from functools import lru_cache
from xml.etree import ElementTree

from svgwrite.base import BaseElement
from svgwrite.params import Parameter

Value = str | int | float
"""What an attribute may hold; a float is written with at most two decimals."""

_ELEMENTS = frozenset(
    {
        "svg", "g", "defs", "path", "circle", "ellipse", "rect", "line", "text", "tspan", "title", "desc", "use",
        "linearGradient", "radialGradient", "stop", "pattern", "clipPath", "style",
    }
)  # fmt: skip
_ATTRIBUTES = frozenset(
    {
        "id", "class", "role", "tabindex", "lang", "direction", "href", "d", "x", "y", "x1", "x2", "y1", "y2", "cx", "cy", "r", "rx", "ry",
        "fx", "fy", "width", "height", "viewBox", "preserveAspectRatio", "xmlns", "transform", "patternTransform", "patternUnits",
        "gradientUnits", "gradientTransform", "spreadMethod", "offset", "stop-color", "stop-opacity", "fill", "fill-opacity", "fill-rule",
        "stroke", "stroke-width", "stroke-opacity", "stroke-linecap", "stroke-linejoin", "stroke-dasharray", "opacity", "clip-path",
        "clip-rule", "text-anchor", "dominant-baseline", "font-size", "font-family", "font-weight", "pointer-events", "vector-effect",
        "focusable", "display",
    }
)  # fmt: skip
_OPEN_FAMILIES = re.compile(r"(?:data|aria)-[a-z][a-z0-9-]*\Z")
_NOT_IN_XML = re.compile("[^\t\n\r\x20-\ud7ff\ue000-\ufffd\U00010000-\U0010ffff]")
_NAMES: dict[str, str] = {}
"""Python keyword -> checked SVG attribute name, filled as names are met."""


def number(value: float) -> str:
    """`value` as SVG writes it: '.' as the decimal point, at most two decimals, no exponent, never `-0`."""
    if not math.isfinite(value):
        raise ValueError(f"not a coordinate: {value!r}")
    rounded = round(value, 2)
    if rounded == int(rounded):
        return str(int(rounded))
    return f"{rounded:.2f}".rstrip("0")


def text_value(value: Value) -> str:
    if isinstance(value, str):
        return value if _is_plain(value) else _NOT_IN_XML.sub("", value)
    return str(value) if type(value) is int else number(value)


def _is_plain(value: str) -> bool:
    return value.isascii() and value.isprintable()


def _attribute(keyword: str) -> str:
    """`stroke_width` -> `stroke-width`, `class_` -> `class`, `aria_label` -> `aria-label`; raises ValueError for any other name."""
    name = _NAMES.get(keyword)
    if name is None:
        name = keyword.rstrip("_").replace("_", "-")
        if name not in _ATTRIBUTES and not _OPEN_FAMILIES.match(name):
            raise ValueError(f"attribute {name!r} is not allowed in a drawing")
        _NAMES[keyword] = name
    return name


_ESCAPES = str.maketrans({"&": "&amp;", "<": "&lt;", ">": "&gt;", '"': "&quot;", "\n": "&#10;", "\r": "&#13;", "\t": "&#9;"})
_TEXT_ESCAPES = str.maketrans({"&": "&amp;", "<": "&lt;", ">": "&gt;", "\r": "&#13;"})
_SPECIAL = re.compile('[&<>"\n\r\t]')
_UNCHECKED = Parameter(debug=False)


class Element(BaseElement):  # type: ignore[misc]  # svgwrite carries no types
    """An SVG element with its children. Attributes that are None are left out; keywords as in svgwrite (`class_`, `stroke_width`).

    Names are checked here, values where they are written or read.
    """

    def __init__(self, tag: str, *children: "Element", **attributes: Value | None) -> None:
        if tag not in _ELEMENTS:
            raise ValueError(f"element {tag!r} is not allowed in a drawing")
        if not attributes.keys() <= _NAMES.keys():
            for keyword in attributes:
                _attribute(keyword)
        # As svgwrite's own constructor, less its look-ups for each element: a sheet has more than a thousand.
        self._parameter = _UNCHECKED
        self.elementname = tag
        self.elements = list(children)
        self.text: str | None = None
        self._given = attributes

    @property
    def attribs(self) -> dict[str, str]:
        """The attributes under their SVG names, as the texts that they are written as."""
        return {_NAMES[keyword]: text_value(value) for keyword, value in self._given.items() if value is not None}

    def get_xml(self) -> ElementTree.Element:
        """The element as ElementTree's."""
        xml = ElementTree.Element(self.elementname, self.attribs)
        xml.text = self.text
        xml.extend(child.get_xml() for child in self.elements)
        return xml

    def to_string(self) -> str:
        """The element as XML: what ElementTree's writer gives for `get_xml`, in a third of its time."""
        parts: list[str] = []
        self._write(parts)
        return "".join(parts)

    def _write(self, parts: list[str]) -> None:
        opening = "".join([_written(keyword, value) for keyword, value in self._given.items() if value is not None])
        if not self.elements and not self.text:
            parts.append(f"<{self.elementname}{opening}/>")
            return
        parts.append(f"<{self.elementname}{opening}>")
        if self.text:
            parts.append(self.text.translate(_TEXT_ESCAPES))
        for child in self.elements:
            child._write(parts)
        parts.append(f"</{self.elementname}>")


@lru_cache(maxsize=4096)
def _written(keyword: str, value: Value) -> str:
    """An attribute as it stands in XML. Most come again and again: a car has a few fills and strokes, and ids that every drawing has."""
    text = text_value(value)
    return f' {_NAMES[keyword]}="{text.translate(_ESCAPES) if _SPECIAL.search(text) else text}"'


def group(*children: Element, **attributes: Value | None) -> Element:
    return Element("g", *children, **attributes)


def written(tag: str, text: str, **attributes: Value | None) -> Element:
    """An element that holds text: `text`, `title`, `style`."""
    element = Element(tag, **attributes)
    element.text = text_value(text)
    return element


def path(data: str, **attributes: Value | None) -> Element:
    return Element("path", d=data, **attributes)


def use(identifier: str, **attributes: Value | None) -> Element:
    return Element("use", href="#" + identifier, **attributes)


def document(*children: Element, view_box: tuple[int, int, int, int], width: float, height: float, **attributes: Value | None) -> Element:
    """The root. Width and height are always set: without a stylesheet an SVG that has none fills the screen."""
    return Element(
        "svg",
        *children,
        xmlns="http://www.w3.org/2000/svg",
        viewBox=" ".join(map(str, view_box)),
        width=width,
        height=height,
        **attributes,
    )
