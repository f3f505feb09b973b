"""What lies on a panel: its stripes, and film as a hatch with a rim; whole, in part with a dashed open edge, or in bands."""

from collections.abc import Callable, Mapping
from dataclasses import dataclass

from configurator.domain.body.records import Panel, Surface
from configurator.domain.finish_bands import STRIPED_PANELS, stripe_centres_mm
from configurator.domain.selection import Stripes
from configurator.drawing.patterns import hatch, waiting, weave
from configurator.drawing.pieces import Seen, between, seen_parts
from configurator.drawing.scene import Scene, Shape
from configurator.drawing.states import Coat, Shown, State
from configurator.drawing.svg import Element, Value, path, use

Share = Callable[[str, Element], str]
"""Keeps a definition under a name once and returns `url(#name)`."""


@dataclass(frozen=True)
class Outline:
    """A panel's outline in the definitions: its id, and the transform that turns a twin's outline over."""

    id: str
    flip: str | None

    def use(self, **attributes: Value | None) -> Element:
        return use(self.id, transform=self.flip, **attributes)


class FilmLayers:
    """The film and stripe marks of one view, all their outlines worked out together."""

    def __init__(
        self, drawn: Scene, shown: Mapping[str, Shown], stripes: Stripes | None, ids: str, share: Share, *, interactive: bool
    ) -> None:
        self.ids, self.share, self.interactive = ids, share, interactive
        self.view = drawn.view.name
        self.shown = shown
        parts: list[tuple[tuple[str, str], Panel]] = []
        for shape in (shape for host in drawn.shapes for shape in (host, *host.zones)):
            parts += _stripe_parts(shape.panel, stripes)
            parts += _film_parts(shape.panel, shown.get(shape.panel.id))
        seen = seen_parts([part for _, part in parts], drawn.view)
        self.seen: dict[tuple[str, str], Seen] = {key: look for (key, _), look in zip(parts, seen, strict=True)}

    def stripes_on(self, panel: str) -> list[Element]:
        """The painted stripes themselves, under the shade."""
        marks = []
        for name, css, fill in (("stripe", "stripe", "#46565e"), ("border", "stripe-border", "#8e9aa0")):
            outlines = "".join(look.outline for (owner, role), look in self.seen.items() if owner == panel and role.startswith(name))
            if outlines:
                marks.append(path(outlines, class_=css, fill=fill))
        return marks

    def outline(self, shape: Shape) -> Outline:
        return Outline(f"{self.ids}{self.view}-{shape.outline}", shape.flip)

    def below_ornaments(self, shape: Shape) -> list[Element]:
        """The weave of what can't take film, and the dashes of what can't yet."""
        shown = self.shown.get(shape.panel.id)
        if shown is None or shown.state not in (State.REFUSED, State.WAITING):
            return []
        name, pattern = ("weave", weave) if shown.state is State.REFUSED else ("wait", waiting)
        fill = self.share(self.ids + name, pattern(self.ids + name))
        return [self.outline(shape).use(class_="no" if name == "weave" else "wait", fill=fill)]

    def film_on(self, shape: Shape) -> list[Element]:
        panel = shape.panel.id
        shown = self.shown.get(panel)
        if shown is None or shown.coat is None or (shown.hollow and not self.interactive):
            return []
        switch = (" off" if shown.hollow else " on") if self.interactive else ""
        if shown.bands:
            pieces = [(band.coat, band.colour, self.seen.get((panel, f"band{i}"))) for i, band in enumerate(shown.bands)]
            return [
                mark for coat, colour, look in pieces if look and look.outline for mark in self._coat(coat, colour, look.outline, switch)
            ]
        if shown.part is not None:
            look = self.seen[panel, "part"]
            if not look.outline:
                return []
            dashes = (
                [path(look.open_edges, class_="open-edge" + switch, fill="none", stroke="#00454a", stroke_width=12)]
                if look.open_edges
                else []
            )
            return [*self._coat(shown.coat, shown.colour, look.outline, switch), *dashes]
        return self._coat(shown.coat, shown.colour, self.outline(shape), switch)

    def _coat(self, coat: Coat, colour: str | None, over: str | Outline, switch: str) -> list[Element]:
        """A coat over path data of its own, or over a panel's outline; on one that is turned over, the hatch is turned back."""

        def shape(css: str, fill: str | None) -> Element:
            return over.use(class_=css + switch, fill=fill) if isinstance(over, Outline) else path(over, class_=css + switch, fill=fill)

        turned = isinstance(over, Outline) and over.flip is not None
        name = f"{self.ids}{coat}" + (f"-{colour[1:]}" if colour else "") + ("-turned" if turned else "")
        fill = self.share(name, hatch(name, coat, colour, turned=turned))
        under = [shape("film-ground", colour)] if colour else []
        return [*under, shape(f"film film-{coat}", fill)]


def _stripe_parts(panel: Panel, stripes: Stripes | None) -> list[tuple[tuple[str, str], Panel]]:
    if stripes is None or panel.id not in STRIPED_PANELS or panel.surface is Surface.FABRIC:
        return []
    spans = []
    half = stripes.width_mm / 2
    for place, centre in enumerate(stripe_centres_mm(stripes)):
        spans.append((f"stripe{place}", centre - half, centre + half))
        if stripes.border:
            spans.append((f"border{place}-left", centre - half - stripes.border.width_mm, centre - half))
            spans.append((f"border{place}-right", centre + half, centre + half + stripes.border.width_mm))
    cut = [((panel.id, role), between(panel, low, high)) for role, low, high in spans]
    return [(key, part) for key, part in cut if part is not None]


def _film_parts(panel: Panel, shown: Shown | None) -> list[tuple[tuple[str, str], Panel]]:
    if shown is None:
        return []
    whole = shown.part or panel
    parts = [((panel.id, f"band{place}"), between(whole, band.y_from_mm, band.y_to_mm)) for place, band in enumerate(shown.bands)]
    if shown.part is not None and not shown.bands:
        parts.append(((panel.id, "part"), shown.part))
    return [(key, part) for key, part in parts if part is not None]
