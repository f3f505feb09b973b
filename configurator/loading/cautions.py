"""The catalogue of cautions from its YAML file; their sentences live with the words."""

from functools import cache
from importlib import resources
from pathlib import Path

from configurator.domain.cautions import CautionRule, Reader, Severity, When
from configurator.domain.light import LightStatus
from configurator.domain.selection import Correction, Material, PaintCondition, Treatment
from configurator.loading.reading import Choice, Fields, Node
from configurator.loading.yaml_file import read_yaml

SHIPPED = Path(str(resources.files("configurator"))) / "data" / "cautions.yaml"
COMMON_PRACTICE = "common practice, no source"
OF_THE_RULE = "the rule that decides"
_ASKED = (
    *("covered", "materials", "finishes", "lamps", "windshield", "status", "parts", "resprayed", "remove_film"),
    *("features", "regions", "condition", "correction", "edges", "coated", "no_rule_known"),
)


@cache
def load_cautions(path: Path = SHIPPED) -> tuple[CautionRule, ...]:
    """Every caution in the file's order. Raises InvalidData naming the file and every path at fault."""
    root = Node(read_yaml(path), "")
    rules = tuple(_rule(node) for node in root.fields(("cautions",))["cautions"].items())
    codes = [rule.code for rule in rules]
    for code in sorted({code for code in codes if codes.count(code) > 1}):
        root.child("cautions", None).fault("named_twice", id=code)
    root.raise_faults(path.name)
    return rules


def _rule(node: Node) -> CautionRule:
    fields = node.fields(("code", "severity", "readers", "source"), ("when", "once"))
    source = fields["source"].text()
    return CautionRule(
        code=fields["code"].text(),
        severity=fields["severity"].one_of(tuple(Severity)),
        readers=tuple(reader.one_of(tuple(Reader)) for reader in fields["readers"].items()),
        when=fields.optional("when", _when, When()),
        source=None if source in (COMMON_PRACTICE, OF_THE_RULE) else source,
        source_of_rule=source == OF_THE_RULE,
        once=fields.optional("once", Node.flag, False),
    )


def _when(node: Node) -> When:
    fields = node.fields((), _ASKED)
    return When(
        covered=_texts(fields, "covered"),
        materials=_chosen(fields, "materials", tuple(Material)),
        finishes=_texts(fields, "finishes"),
        lamps=_texts(fields, "lamps"),
        windshield=_flag(fields, "windshield"),
        status=_chosen(fields, "status", tuple(LightStatus)),
        parts=_texts(fields, "parts"),
        resprayed=_flag(fields, "resprayed"),
        remove_film=_flag(fields, "remove_film"),
        features=_texts(fields, "features"),
        regions=_texts(fields, "regions"),
        condition=_chosen(fields, "condition", tuple(PaintCondition)),
        correction=_chosen(fields, "correction", tuple(Correction)),
        edges=_chosen(fields, "edges", tuple(Treatment)),
        coated=_flag(fields, "coated"),
        no_rule_known=_flag(fields, "no_rule_known"),
    )


def _texts(fields: Fields, key: str) -> tuple[str, ...]:
    return tuple(item.text() for item in fields[key].items()) if key in fields else ()


def _flag(fields: Fields, key: str) -> bool:
    return fields.optional(key, Node.flag, False)


def _chosen(fields: Fields, key: str, choices: tuple[Choice, ...]) -> tuple[Choice, ...]:
    return tuple(item.one_of(choices) for item in fields[key].items()) if key in fields else ()
