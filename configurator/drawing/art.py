"""The picture itself: paint, shade, glass, lamps, film, in painter's order. It carries no meaning for screen readers; `overlay` does."""

from configurator.domain.body.records import Body, Layer, Surface
from configurator.domain.selection import Selection
from configurator.drawing.chassis import (
    end_running_gear,
    ground_shadow,
    perspective_running_gear,
    shadow_gradient,
    side_running_gear,
    tyre_gradient,
)
from configurator.drawing.details import feature_lines, mirror_foot, mirror_glass, ornament_marks
from configurator.drawing.film import FilmLayers
from configurator.drawing.glazing import behind_glass, glass_gradient, is_glass
from configurator.drawing.options import Options
from configurator.drawing.projection import THREE_QUARTER_VIEWS
from configurator.drawing.scene import Scene, Shape, scene
from configurator.drawing.shading import Ramp
from configurator.drawing.states import Shown
from configurator.drawing.svg import Element, group, path, use
from configurator.drawing.wheels import wheel, wheel_gradients

_PLAIN_FILL = {
    Surface.TEXTURED_PLASTIC: "#2f3538",
    Surface.BLACK_TRIM: "#14191c",
    Surface.GLOSS_PLASTIC: "#20262a",
    Surface.FABRIC: "#363a3d",
    Surface.BRIGHT_TRIM: "#a4adb2",
    Surface.LENS: "#4a565d",
}
_SHADED = (Surface.PAINT, Surface.GLOSS_PLASTIC, Surface.FABRIC, Surface.BRIGHT_TRIM)


class Artist:
    """Draws views of one body in one state and gathers the definitions that they share."""

    def __init__(
        self, body: Body, shown: dict[str, Shown], selection: Selection | None, ids: str, options: Options, *, small: bool = False
    ) -> None:
        self.body = body
        self.shown = shown
        self.selection = selection
        self.ids = ids
        self.options = options
        self.small = small
        self._shared: dict[str, Element] = {}
        self._outlines: list[Element] = []

    def definitions(self) -> list[Element]:
        return [Element("defs", *self._shared.values(), *self._outlines)]

    def _share(self, name: str, element: Element) -> str:
        self._shared.setdefault(name, element)
        return f"url(#{name})"

    def view(self, name: str) -> list[Element]:
        drawn = scene(self.body, name)
        stripes = self.selection.vehicle.stripes if self.selection else None
        layers = FilmLayers(drawn, self.shown, stripes, self.ids, self._share, interactive=self.options.interactive)
        marks = self._under(drawn)
        panes = [index for index, shape in enumerate(drawn.shapes) if is_glass(shape)]
        clips, cabin = behind_glass(drawn, self.ids)
        self._outlines += clips
        for index, shape in enumerate(drawn.shapes):
            if shape.panel.layer is Layer.MIRROR:
                marks += mirror_foot(drawn, shape.panel.id)
            marks.append(self._panel(drawn, shape, layers))
            if panes and index == panes[-1] and not self.small:
                marks += cabin
        marks.append(path(drawn.silhouette_data, class_="rim", fill="none", stroke="#16242c", stroke_width=7))
        return [group(*marks, class_="art", aria_hidden="true")]

    def _under(self, drawn: Scene) -> list[Element]:
        ids, name = self.ids, drawn.view.name
        self._share(ids + "shadow", shadow_gradient(ids))
        self._share(f"{ids}glass-{name}", glass_gradient(name, ids))
        marks = ground_shadow(drawn, ids)
        if name in ("left", "right"):
            self._define_wheel()
            marks += side_running_gear(drawn, ids)
        elif name in ("front", "rear"):
            self._share(ids + "tyre", tyre_gradient(ids))
            marks += end_running_gear(drawn, ids)
        elif name in THREE_QUARTER_VIEWS:
            self._define_wheel()
            marks += perspective_running_gear(drawn, ids)
        return [*marks, path(drawn.silhouette_data, class_="gap", fill="#10181d")]

    def _define_wheel(self) -> None:
        for gradient in wheel_gradients(self.ids):
            self._share(gradient.attribs["id"], gradient)
        first, face = self.body.wheels[0], self.body.face
        parts = wheel(
            first.tyre_radius_mm,
            first.rim_radius_mm,
            str(face.get("wheel", "twin5")),
            dark=face.get("wheel_finish") == "dark",
            ids=self.ids,
        )
        self._share(self.ids + "wheel", group(*parts, id=self.ids + "wheel"))

    def _panel(self, drawn: Scene, shape: Shape, layers: FilmLayers) -> Element:
        panel, outline = shape.panel, f"{self.ids}{drawn.view.name}-{shape.panel.id}"
        self._outlines.append(path(shape.data, id=outline, class_="o"))
        shown = self.shown.get(panel.id)
        marks = [self._skin(outline, shape, drawn), *layers.below_ornaments(panel.id, outline), *layers.stripes_on(panel.id)]
        if not self.small:
            marks += feature_lines(drawn, shape)
            marks += ornament_marks(drawn, panel, shown.transmission if shown else 1.0)
            if panel.layer is Layer.MIRROR:
                marks += mirror_glass(drawn, panel, self.ids)
        fill = "none"
        if shape.ramp and panel.surface in _SHADED:
            fill = self._share(f"{outline}-g", _gradient(f"{outline}-g", shape.ramp))
        marks.append(use(outline, class_="line", fill=fill))
        marks += layers.film_on(panel.id, outline)
        return group(*marks, class_=f"v-{panel.id}" if panel.selectable else None)

    def _skin(self, outline: str, shape: Shape, drawn: Scene) -> Element:
        if is_glass(shape):
            return use(outline, fill=f"url(#{self.ids}glass-{drawn.view.name})")
        plain = _PLAIN_FILL.get(shape.panel.surface)
        return use(outline, fill=plain) if plain else use(outline, class_="skin", fill="#cdd6d8")


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
