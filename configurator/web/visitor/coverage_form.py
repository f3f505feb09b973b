"""Ticks on panels, turned into a package with what was added to it and removed from it."""

from collections.abc import Callable

from werkzeug.datastructures import MultiDict

Pair = tuple[str, str]
Fields = MultiDict[str, str]


def coverage_pairs(fields: Fields, package_panels: Callable[[str], tuple[str, ...]]) -> list[Pair]:
    """`add` and `remove` for the ticked panels.

    `f.panel` are the ticked panels, `f.ticked` those that were ticked when the page was made, `f.package` the package then.
    `f.whole` are panels of which the package covers a strip only and that are wanted whole. `f.waiting` are panels that were
    added but can't be ticked today (fresh paint): they stay added.
    """
    package = fields.get("package", "none")
    panels = package_panels(package)
    wanted = _wanted(fields, panels, same_package=package == fields.get("f.package", package))
    whole = fields.getlist("f.whole")
    added = [panel for panel in wanted if panel not in panels or panel in whole] + fields.getlist("f.waiting")
    removed = [panel for panel in panels if panel not in wanted]
    return [("add", panel) for panel in dict.fromkeys(added)] + [("remove", panel) for panel in removed]


def _wanted(fields: Fields, panels: tuple[str, ...], *, same_package: bool) -> list[str]:
    """Another package starts afresh from its own panels; ticks set or cleared in the same go are kept on top of it."""
    ticked = list(dict.fromkeys(fields.getlist("f.panel")))
    if same_package:
        return ticked
    before = [panel for panel in fields.get("f.ticked", "").split(".") if panel]
    kept = [panel for panel in panels if panel in ticked or panel not in before]
    return kept + [panel for panel in ticked if panel not in before and panel not in kept]
