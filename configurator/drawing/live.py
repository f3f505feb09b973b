"""Rules that tie a page's check boxes to the drawing: the check box is the only truth, the drawing follows in CSS."""

import re
from collections.abc import Iterable

_ID = re.compile(r"[a-z][a-z0-9_]*\Z")


def panel_rules(panel_ids: Iterable[str], *, form: str = ".cfg", box: str = "p-") -> str:
    """A stylesheet: where check box `#p-hood` inside `.cfg` is ticked, `.v-hood` is on; where it has focus or its label is pointed at, lit.

    Served by the web as a file, so that no page needs inline styles. Raises ValueError for an id that isn't one.
    """
    rules = []
    for panel in panel_ids:
        if not _ID.match(panel):
            raise ValueError(f"not a panel id: {panel!r}")
        ticked, target = f"#{box}{panel}", f".v-{panel}"
        rules.append(f"{form}:has({ticked}:checked) {target}{{--on:1}}")
        rules.append(f"{form}:has({ticked}:not(:checked)) {target}{{--on:0}}")
        rules.append(f"{form}:has({ticked}:focus-visible) .v{target},{form}:has(label[for={box}{panel}]:hover) .v{target}{{--lit:1}}")
    return "\n".join(rules) + "\n"
