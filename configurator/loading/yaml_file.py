"""Read a YAML data file: safe types only, no duplicate keys, no aliases, bounded; faults name the file and the line."""

from collections.abc import Hashable
from pathlib import Path

import yaml

from configurator.errors import Fault, InvalidData

MOST_BYTES = 2_000_000


class _StrictLoader(yaml.SafeLoader):
    """`SafeLoader` that refuses a key written twice (YAML itself would silently keep the last) and any alias.

    Aliases are refused because a few nested ones can unfold a small file into gigabytes.
    """

    def compose_node(self, parent: yaml.Node | None, index: int) -> yaml.Node | None:
        if self.check_event(yaml.events.AliasEvent):
            raise yaml.composer.ComposerError(None, None, "alias", self.peek_event().start_mark)  # type: ignore[no-untyped-call]
        return super().compose_node(parent, index)

    def construct_mapping(self, node: yaml.MappingNode, deep: bool = False) -> dict[Hashable, object]:
        seen: set[object] = set()
        for key_node, _ in node.value:
            key = self.construct_object(key_node, deep=True)
            if key in seen:
                raise yaml.constructor.ConstructorError(None, None, f"duplicate key {key}", key_node.start_mark)
            seen.add(key)
        return super().construct_mapping(node, deep=deep)


def read_yaml(path: Path) -> object:
    """The file's one document as plain Python values. `InvalidData` when it can't be read, is too large or isn't YAML."""
    try:
        content = path.read_bytes()
    except OSError as error:
        raise InvalidData(path.name, [Fault("", "unreadable_file", {"why": error.strerror or ""})]) from error
    if len(content) > MOST_BYTES:
        raise InvalidData(path.name, [Fault("", "file_too_large", {"most_bytes": MOST_BYTES})])
    return parse_yaml(content, file=path.name)


def parse_yaml(content: bytes, *, file: str) -> object:
    """As `read_yaml`, from bytes at hand (a book pasted into the staff area)."""
    try:
        return yaml.load(content, Loader=_StrictLoader)  # noqa: S506 - a SafeLoader
    except (yaml.YAMLError, UnicodeDecodeError, ValueError, RecursionError) as error:
        mark = getattr(error, "problem_mark", None)
        where = f"line {mark.line + 1}" if mark else ""
        raise InvalidData(file, [Fault(where, "not_yaml", {"why": str(getattr(error, "problem", error))})]) from error
