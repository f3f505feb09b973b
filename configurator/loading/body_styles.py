"""Body styles from their YAML files, checked point by point: a fault names the file and the path of what is wrong in it."""

from collections.abc import Mapping
from functools import cache
from pathlib import Path
from types import MappingProxyType

from configurator.domain.body import face
from configurator.domain.body.checking import style_faults
from configurator.domain.body.parts import PARTS
from configurator.domain.body.records import Side, Size
from configurator.domain.body.style import (
    BodyStyle,
    CrossLines,
    Cuts,
    Decor,
    Feature,
    MirrorShape,
    Outlines,
    Patch,
    PlausibleSize,
    Profile,
    Range,
    Running,
    Section,
    SidePatches,
    Skin,
    TopPatches,
)
from configurator.errors import InvalidData
from configurator.loading.body_curves import cross_line, drawn, length, listed, numbers, patch, profile, record, rising_profile, top_patch
from configurator.loading.reading import Node
from configurator.loading.yaml_file import read_yaml

BODIES = Path(__file__).parent.parent / "data" / "bodies"


@cache
def load_body_styles(folder: Path = BODIES) -> Mapping[str, BodyStyle]:
    """Every style in `folder` by id, in the order of the file names. `InvalidData` names the file and every fault in it."""
    styles = [load_body_style(path) for path in sorted(folder.glob("*.yaml"))]
    return MappingProxyType({style.id: style for style in styles})


def load_body_style(path: Path) -> BodyStyle:
    """One style, drawn once at its typical size so that a curve that doesn't fit the body is refused here and not in an estimate."""
    node = Node(read_yaml(path), "")
    style = _style(node)
    if style.id != path.stem:
        node.child("id", style.id).fault("id_is_not_the_file_name", file=path.stem)
    node.raise_faults(path.name)
    faults = tuple(style_faults(style))
    if faults:
        raise InvalidData(path.name, faults)
    return style


def _style(node: Node) -> BodyStyle:
    fields = node.fields(
        (
            *("version", "id", "iso_3833", "size", "running", "fuel_door", "features", "skin", "section", "cross_lines", "cuts"),
            *("outlines", "side_patches", "top_patches", "mirror", "face"),
        ),
        ("soft_roof", "decor", "recesses"),
    )
    fields["version"].whole(least=1, most=1)
    size = fields["size"].fields(("typical", "plausible"))
    features = fields["features"].fields(("usual", "impossible"))
    impossible = _features(features["impossible"])
    return BodyStyle(
        id=fields["id"].text(),
        iso_3833=fields["iso_3833"].optional_text(),
        typical_size=numbers(size["typical"], Size),
        plausible=record(size["plausible"], PlausibleSize, _range),
        running=numbers(fields["running"], Running),
        fuel_door=fields["fuel_door"].one_of((Side.LEFT, Side.RIGHT)),
        usual_features=_features(features["usual"]),
        possible_features=frozenset(map(str, Feature)) - impossible,
        soft_roof=fields.optional("soft_roof", Node.flag, False),
        skin=_skin(fields["skin"]),
        section=numbers(fields["section"], Section),
        cross_lines=record(fields["cross_lines"], CrossLines, cross_line, optional=("deck_front",)),
        cuts=_cuts(fields["cuts"]),
        outlines=record(fields["outlines"], Outlines, drawn, optional=("intake", "rear_window")),
        side_patches=_side_patches(fields["side_patches"]),
        top_patches=_top_patches(fields["top_patches"]),
        mirror=_mirror(fields["mirror"]),
        decor=fields.optional("decor", _decor, Decor((), (), ())),
        recesses=fields.optional("recesses", _recesses, {}),
        face=_face(fields["face"]),
    )


def _features(node: Node) -> frozenset[str]:
    return frozenset(str(feature) for feature in listed(node, lambda item: item.one_of(tuple(Feature))))


def _range(node: Node) -> Range:
    """`[least, most]`."""
    ends = [length(item) for item in node.items()]
    if len(ends) != 2 or ends[0] >= ends[1]:
        node.fault("not_a_range")
        return Range(0.0, 1.0)
    return Range(*ends)


def _skin(node: Node) -> Skin:
    """Plan, nose and tail turn back on themselves somewhere; the other curves are functions of x."""
    return record(node, Skin, rising_profile, own={"plan": profile, "nose": _setback, "tail": _setback})


def _setback(node: Node) -> Profile:
    return rising_profile(node, axis=1)


def _cuts(node: Node) -> Cuts:
    return record(node, Cuts, drawn, optional=("rear_door_rear",), own={"upper_split_mm": length, "pillar_width_mm": length})


def _side_patches(node: Node) -> SidePatches:
    optional = ("rear_handle", "front_badge", "tailgate_handle")
    return record(node, SidePatches, patch, optional=optional, own={"front_sensors": _patches, "rear_sensors": _patches})


def _patches(node: Node) -> tuple[Patch, ...]:
    return listed(node, patch)


def _top_patches(node: Node) -> TopPatches:
    optional = ("spoiler", "antenna", "roof_rail", "sunroof", "hood_badge", "bed", "fabric_window")
    return record(node, TopPatches, top_patch, optional=optional, own={"fabric_window": profile})


def _mirror(node: Node) -> MirrorShape:
    fields = node.fields(("middle_mm", "half_mm", "sweep", "rise"))
    return MirrorShape(_triple(fields["middle_mm"]), _triple(fields["half_mm"]), length(fields["sweep"]), length(fields["rise"]))


def _triple(node: Node) -> tuple[float, float, float]:
    numbers_read = listed(node, length)
    if len(numbers_read) != 3:
        node.fault("not_a_point", numbers=3)
        return (0.0, 0.0, 0.0)
    return numbers_read


def _decor(node: Node) -> Decor:
    fields = node.fields((), ("creases", "ribs", "tracks"))
    return Decor(
        creases=fields.optional("creases", lambda lines: listed(lines, profile), ()),
        ribs=fields.optional("ribs", lambda lines: listed(lines, profile), ()),
        tracks=fields.optional("tracks", lambda lines: listed(lines, drawn), ()),
    )


def _recesses(node: Node) -> Mapping[str, int]:
    counts = {}
    for label, count in node.entries():
        if label not in PARTS:
            count.fault("unknown_key")
        counts[label] = count.whole(most=20)
    return MappingProxyType(counts)


def _face(node: Node) -> Mapping[str, object]:
    """What the drawing is told about lamps, grille, wheels and exhausts: known words, and numbers within bounds."""
    fields = node.fields((), face.KEYS)
    read: dict[str, object] = {key: fields[key].one_of(words) for key, words in face.WORDS.items() if key in fields}
    read |= {key: fields[key].number(least=least, most=most) for key, (least, most) in face.NUMBERS.items() if key in fields}
    read |= {key: _shares(fields[key], count) for key, count in face.LISTS.items() if key in fields}
    if face.EXHAUSTS in fields:
        read[face.EXHAUSTS] = listed(fields[face.EXHAUSTS], _exhaust)
    return MappingProxyType(read)


def _shares(node: Node, count: int) -> tuple[float, ...]:
    shares = listed(node, lambda item: item.number(least=0.0, most=1.0))
    if count and len(shares) != count:
        node.fault("not_a_point", numbers=count)
    return shares


def _exhaust(node: Node) -> tuple[float, ...]:
    tip = listed(node, lambda item: item.number(least=0.0, most=2000.0))
    if len(tip) != face.EXHAUST_NUMBERS:
        node.fault("not_a_point", numbers=face.EXHAUST_NUMBERS)
    return tip
