"""Reads small drawings back: elements by class, shares of the width, words."""

from collections.abc import Iterator
from xml.etree import ElementTree

SVG = "{http://www.w3.org/2000/svg}"
Node = ElementTree.Element


def read(svg: str) -> Node:
    return ElementTree.fromstring(svg)


def by_class(root: Node, name: str) -> list[Node]:
    return [node for node in root.iter() if name in node.get("class", "").split()]


def words(root: Node) -> list[str]:
    """All lettering, in the order in which it is drawn (the title left out)."""
    return [node.text or "" for node in root.iter(f"{SVG}text")]


def share(node: Node, name: str) -> float:
    """An attribute in per cent as a share of the width."""
    value = node.get(name, "")
    assert value.endswith("%")
    return float(value[:-1]) / 100


def spans(nodes: list[Node]) -> list[tuple[float, float]]:
    """From where to where rectangles run, shares of the width."""
    return [(round(share(node, "x"), 4), round(share(node, "x") + share(node, "width"), 4)) for node in nodes]


def used_ids(root: Node) -> Iterator[str]:
    for node in root.iter():
        for value in node.attrib.values():
            if value.startswith("url(#"):
                yield value[5:-1]
        if "aria-labelledby" in node.attrib:
            yield node.attrib["aria-labelledby"]


def assert_well_made(svg: str, *, title: str, prefix: str) -> None:
    """What every small drawing promises: one sentence for a screen reader, own ids only, no styles or handlers inside."""
    root = read(svg)
    defined = [node.attrib["id"] for node in root.iter() if "id" in node.attrib]

    assert (root.tag, root.get("role"), root.get("width")) == (f"{SVG}svg", "img", "100%")
    assert root[0].tag == f"{SVG}title"
    assert root[0].text == title
    assert all(name.startswith(f"{prefix}-") for name in defined)
    assert len(defined) == len(set(defined))
    assert set(used_ids(root)) <= set(defined)
    assert not [name for node in root.iter() for name in node.attrib if name == "style" or name.startswith("on")]
