"""Rule sets for lamps and windshield, one YAML file for each region; a shop may keep files of its own beside ours."""

import re
from collections.abc import Iterator, Mapping
from importlib import resources
from pathlib import Path
from types import MappingProxyType

from configurator.domain.light import LightStatus
from configurator.domain.rules import Bound, Citation, CoverRule, Films, GlassRule, Known, LampRule, Limit, RuleSet
from configurator.domain.selection import LAMP_GROUPS
from configurator.loading.reading import Fields, Node
from configurator.loading.yaml_file import read_yaml

SHIPPED = Path(str(resources.files("configurator"))) / "data" / "light_rules"
LAMPS = (*LAMP_GROUPS, "high_mounted_stop_lamp")
COVERABLE = (*LAMP_GROUPS, "windshield")
COVER_STATUSES = (LightStatus.FORBIDDEN_BY_PUBLISHED_RULE, LightStatus.LIKELY_NOT_ROAD_LEGAL, LightStatus.CHECK_LOCALLY)
CITATION = ("standard", "place", "date", "known")
_REGION = re.compile(r"[a-z][a-z0-9_]{1,19}\Z")


def load_rule_sets(own: Path | None = None) -> Mapping[str, RuleSet]:
    """Every region's rules. A file in the shop's `own` folder adds a region, or takes the place of ours for the same region.

    Raises InvalidData naming the file and every path at fault.
    """
    found: dict[str, RuleSet] = {}
    for folder in (SHIPPED, own) if own is not None else (SHIPPED,):
        for path in sorted(folder.glob("*.yaml")):
            rule_set = load_rule_set(path)
            found[rule_set.region] = rule_set
    return MappingProxyType(found)


def load_rule_set(path: Path) -> RuleSet:
    """One region's rules. The file is named for its region."""
    root = Node(read_yaml(path), "")
    fields = root.fields(("region", "usual_glass"), ("lamps", "covers", "glass"))
    region = fields["region"].text()
    if not _REGION.match(region):
        fields["region"].fault("bad_region_id")
    elif region != path.stem:
        fields["region"].fault("region_is_not_the_file", region=region, file=path.name)
    rule_set = RuleSet(
        region=region,
        usual_glass=fields["usual_glass"].number(least=0.01, most=1.0),
        lamps=tuple(_lamp_rule(node) for node in _items(fields, "lamps")),
        covers=tuple(_cover_rule(node) for node in _items(fields, "covers")),
        glass=fields.optional("glass", _glass_rule, None),
    )
    root.raise_faults(path.name)
    return rule_set


def _items(fields: Fields, key: str) -> Iterator[Node]:
    return fields[key].items() if key in fields else iter(())


def _lamp_rule(node: Node) -> LampRule:
    fields = node.fields(("lamp", "function", *CITATION), ("minimum", "maximum", "unit", "point_floor", "limits"))
    minimum, maximum = (fields.optional(key, _light, None) for key in ("minimum", "maximum"))
    if minimum is not None and maximum is not None and minimum > maximum:
        fields["maximum"].fault("maximum_below_minimum", least=minimum)
    return LampRule(
        lamp=fields["lamp"].one_of(LAMPS),
        function=fields["function"].text(),
        minimum=minimum,
        maximum=maximum,
        limits=tuple(_limit(limit) for limit in _items(fields, "limits")),
        source=_citation(fields),
        passes=2 if fields.optional("unit", lambda unit: unit.one_of(("cd", "mcd/lx")), "cd") == "mcd/lx" else 1,
        point_floor=fields.optional("point_floor", lambda floor: floor.number(least=0.01, most=1.0), 1.0),
    )


def _light(node: Node) -> float:
    return node.number(least=0.001, most=1_000_000.0)


def _limit(node: Node) -> Limit:
    """Either a plain share of light, or a least and a most whose quotient it is: that is how the tables bound it."""
    fields = node.fields(("bound", "why"), ("share", "least", "most"))
    fields["why"].text()
    bound = fields["bound"].one_of(tuple(Bound))
    if "share" in fields:
        return Limit(fields["share"].number(least=0.0001, most=1.0), bound)
    if "least" not in fields or "most" not in fields:
        node.fault("limit_without_share")
        return Limit(1.0, bound)
    least, most = _light(fields["least"]), _light(fields["most"])
    if least > most:
        fields["most"].fault("maximum_below_minimum", least=least)
    return Limit(least / most, bound)


def _cover_rule(node: Node) -> CoverRule:
    fields = node.fields(("lamps", "films", "status", *CITATION))
    return CoverRule(
        lamps=tuple(lamp.one_of(COVERABLE) for lamp in fields["lamps"].items()),
        films=fields["films"].one_of(tuple(Films)),
        status=fields["status"].one_of(COVER_STATUSES),
        source=_citation(fields),
    )


def _glass_rule(node: Node) -> GlassRule:
    fields = node.fields(("minimum", *CITATION))
    return GlassRule(fields["minimum"].number(least=0.01, most=1.0), _citation(fields))


def _citation(fields: Fields) -> Citation:
    return Citation(
        standard=fields["standard"].text(),
        place=fields["place"].text(),
        date=fields["date"].text(),
        known=fields["known"].one_of(tuple(Known)),
    )
