"""The picture itself: paint, shade, glass, lamps, film, in painter's order. It carries no meaning for screen readers; `overlay` does."""

from collections.abc import Mapping, Sequence

from configurator.domain.body.records import Body, Layer, Panel, Surface
from configurator.domain.selection import Stripes
from configurator.drawing.bed import bed_elements
from configurator.drawing.chassis import (
    end_running_gear,
    far_running_gear,
    ground_shadow,
    near_running_gear,
    shadow_gradient,
    side_running_gear,
    tyre_gradient,
    underside,
)
from configurator.drawing.details import mark_elements
from configurator.drawing.film import FilmLayers, Outline
from configurator.drawing.glazing import behind_glass, glass_gradient, is_glass, main_panes
from configurator.drawing.projection import THREE_QUARTER_VIEWS
from configurator.drawing.scene import Scene, Shape, scene
from configurator.drawing.shading import Ramp
from configurator.drawing.states import Shown
from configurator.drawing.svg import Element, group, path, use
from configurator.drawing.wheels import wheel, wheel_gradients

_FILL = {
    Surface.TEXTURED_PLASTIC: "#2f3538",
    Surface.BLACK_TRIM: "#14191c",
    Surface.GLOSS_PLASTIC: "#1b2125",
    Surface.FABRIC: "#363a3d",
    Surface.BRIGHT_TRIM: "#b4bcc0",
    Surface.LENS: "#4a565d",
}
_OWN_FILL = {"grille": "#171b1e", "front_plate": "#f1f3f0", "rear_plate": "#f1f3f0"}
_SHADE = {Surface.PAINT: 1.0, Surface.BRIGHT_TRIM: 0.8, Surface.FABRIC: 0.45, Surface.GLOSS_PLASTIC: 0.4, Surface.TEXTURED_PLASTIC: 0.3}
"""How strongly light shows on a surface."""
_SOLID = (Layer.BODY, Layer.GLASS, Layer.INSET)
_LINE: dict[str, str | int | float] = {"class_": "line", "stroke": "#16242c", "stroke_width": 5, "stroke_opacity": 0.72}


class Artist:
    """Draws views of one body in one state and gathers the definitions that they share."""

    def __init__(self, body: Body, shown: Mapping[str, Shown], stripes: Stripes | None, ids: str, *, interactive: bool) -> None:
        self.body = body
        self.shown = shown
        self.stripes = stripes
        self.ids = ids
        self.interactive = interactive
        self._shared: dict[str, Element] = {}
        self._outlines: list[Element] = []
        self._outlined: set[str] = set()

    def definitions(self) -> list[Element]:
        return [Element("defs", *self._shared.values(), *self._outlines)]

    def share(self, name: str, element: Element) -> str:
        self._shared.setdefault(name, element)
        return f"url(#{name})"

    def view(self, name: str) -> list[Element]:
        drawn = scene(self.body, name)
        layers = FilmLayers(drawn, self.shown, self.stripes, self.ids, self.share, interactive=self.interactive)
        marks = [*self._ground(drawn), *bed_elements(drawn)]
        wheels = self._running_gear(drawn)
        if name in THREE_QUARTER_VIEWS:
            marks += [*far_running_gear(drawn), self._rim(drawn, drawn.shapes)]
        panes = main_panes(drawn)
        for shapes, gear in zip(drawn.by_wheels, [*wheels, []], strict=True):
            if name not in THREE_QUARTER_VIEWS:
                marks.append(self._rim(drawn, shapes))
            marks += [*self._panels(drawn, shapes, layers, panes), *gear]
        return [group(*marks, class_="art", aria_hidden="true")]

    def _panels(self, drawn: Scene, shapes: Sequence[Shape], layers: FilmLayers, panes: Sequence[Shape]) -> list[Element]:
        marks = []
        for shape in shapes:
            marks.append(self._panel(drawn, shape, layers))
            if panes and shape is panes[-1]:
                clips, cabin = behind_glass(drawn, self.ids)
                self._outlines += clips
                marks += cabin
        return marks

    def _ground(self, drawn: Scene) -> list[Element]:
        ids, name = self.ids, drawn.view.name
        self.share(ids + "shadow", shadow_gradient(ids))
        self.share(f"{ids}glass-{name}", glass_gradient(name, ids))
        return ground_shadow(drawn, ids) + (underside(drawn) if name != "top" else [])

    def _rim(self, drawn: Scene, shapes: Sequence[Shape]) -> Element:
        """Thick dark outlines, of which only the car's silhouette and its gaps stay to be seen beside the shapes themselves."""
        outlines = []
        for shape in (shape for shape in shapes if shape.panel.layer in _SOLID):
            self._define_outline(drawn, shape)
            outlines.append(use(f"{self.ids}{drawn.view.name}-{shape.outline}", transform=shape.flip))
        return group(*outlines, class_="rim", fill="#16242c", stroke="#16242c", stroke_width=18, stroke_linejoin="round")

    def _running_gear(self, drawn: Scene) -> list[list[Element]]:
        """What stands between the parts of `Scene.by_wheels`."""
        ids, name = self.ids, drawn.view.name
        if name in ("front", "rear"):
            self.share(ids + "tyre", tyre_gradient(ids))
            return [end_running_gear(drawn, ids)]
        if name == "top":
            return [[]]
        self._define_wheel()
        return near_running_gear(drawn, ids) if name in THREE_QUARTER_VIEWS else [side_running_gear(drawn, ids)]

    def _define_wheel(self) -> None:
        for gradient in wheel_gradients(self.ids):
            self.share(gradient.attribs["id"], gradient)
        first, face = self.body.wheels[0], self.body.face
        dark = face.get("wheel_finish") == "dark"
        parts = wheel(first.tyre_radius_mm, first.rim_radius_mm, str(face.get("wheel", "twin5")), dark=dark, ids=self.ids)
        self.share(self.ids + "wheel", group(*parts, id=self.ids + "wheel"))

    def _panel(self, drawn: Scene, shape: Shape, layers: FilmLayers) -> Element:
        panel = shape.panel
        self._define_outline(drawn, shape)
        outline = layers.outline(shape)
        if _is_plain(shape):
            return group(outline.use(fill=_fill(panel), **_LINE), *self._on_surface(drawn, shape))
        marks = [self._skin(outline, shape, drawn), *layers.below_ornaments(shape), *layers.stripes_on(panel.id)]
        marks += self._on_surface(drawn, shape)
        marks.append(self._shade(outline, shape, drawn))
        marks += layers.film_on(shape)
        for zone in shape.zones:
            marks += self._zone(drawn, zone, layers)
        return group(*marks, class_=f"v-{panel.id}" if panel.selectable else None)

    def _define_outline(self, drawn: Scene, shape: Shape) -> None:
        name = f"{self.ids}{drawn.view.name}-{shape.panel.id}"
        if shape.twin is None and name not in self._outlined:
            self._outlined.add(name)
            self._outlines.append(path(shape.data, id=name, class_="o"))

    def _on_surface(self, drawn: Scene, shape: Shape) -> list[Element]:
        shown = self.shown.get(shape.panel.id)
        marks = mark_elements(drawn.marks.get(shape.outline, ()), shown.transmission if shown else 1.0)
        return [group(*marks, transform=shape.flip)] if marks and shape.flip else marks

    def _skin(self, outline: Outline, shape: Shape, drawn: Scene) -> Element:
        if is_glass(shape):
            return outline.use(fill=f"url(#{self.ids}glass-{drawn.view.name})")
        if shape.panel.surface is Surface.PAINT:
            return outline.use(class_="skin", fill="#cdd6d8")
        return outline.use(fill=_fill(shape.panel))

    def _shade(self, outline: Outline, shape: Shape, drawn: Scene) -> Element:
        strength = _SHADE.get(shape.panel.surface)
        if strength is None or shape.ramp is None:
            return outline.use(fill="none", **_LINE)
        name = f"{self.ids}{drawn.view.name}-{shape.outline}-g"
        fill = self.share(name, _gradient(name, shape.ramp))
        return outline.use(fill=fill, fill_opacity=strength if strength < 1 else None, **_LINE)

    def _zone(self, drawn: Scene, zone: Shape, layers: FilmLayers) -> list[Element]:
        film = layers.film_on(zone)
        if not film:
            return []
        self._outlines.append(path(zone.data, id=f"{self.ids}{drawn.view.name}-{zone.panel.id}", class_="o"))
        return [group(*film, class_=f"v-{zone.panel.id}")]


def _is_plain(shape: Shape) -> bool:
    """Trim that takes no film, no light and no press: one path is enough."""
    return not shape.panel.selectable and not is_glass(shape) and shape.panel.surface not in _SHADE


def _fill(panel: Panel) -> str:
    return _OWN_FILL.get(panel.id) or _FILL.get(panel.surface, "#2b3438")


def _gradient(name: str, ramp: Ramp) -> Element:
    stops = []
    previous = None
    for stop in ramp.stops:
        if previous is not None and previous.light * stop.light < 0:
            at = previous.offset + (stop.offset - previous.offset) * abs(previous.light) / (abs(previous.light) + abs(stop.light))
            stops += [_stop(round(at, 3), previous.light, 0.0), _stop(round(at, 3), stop.light, 0.0)]
        stops.append(_stop(stop.offset, stop.light, abs(stop.light)))
        previous = stop
    (x1, y1), (x2, y2) = ramp.start, ramp.end
    return Element("linearGradient", *stops, id=name, gradientUnits="userSpaceOnUse", x1=x1, y1=y1, x2=x2, y2=y2)


def _stop(offset: float, light: float, opacity: float) -> Element:
    return Element("stop", offset=offset, stop_color="#fff" if light > 0 else "#061018", stop_opacity=opacity)
