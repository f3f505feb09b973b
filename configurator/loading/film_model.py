"""The fitted film lengths (`data/film_model.yaml`) as a `FilmModel`."""

from pathlib import Path

from configurator.domain.film_plan.live import FilmModel, LengthModel
from configurator.loading.reading import Node
from configurator.loading.yaml_file import read_yaml

FILM_MODEL_FILE = Path(__file__).parents[1] / "data" / "film_model.yaml"

WAYS = ("nested", "bulk")
FIGURES = ("start_mm", "per_area", "per_box", "per_broad_area", "error_sd", "error_worst")


def load_film_model(path: Path = FILM_MODEL_FILE) -> FilmModel:
    """The model in `path`. Raises `InvalidData`: a negative factor (the price would fall as panels are added) is refused."""
    root = Node(read_yaml(path), "")
    fields = root.fields(("fitted", "method", "rows"))
    rows = tuple(_row(node) for node in fields["rows"].items())
    if not rows:
        fields["rows"].fault("empty_list")
    model = FilmModel(fitted=fields["fitted"].day(), method=fields["method"].text(), rows=rows)
    root.raise_faults(path.name)
    return model


def _row(node: Node) -> LengthModel:
    fields = node.fields(("way", "roll_width_mm", "margin_mm", *FIGURES))
    figures = {name: fields[name].number(most=10_000) for name in FIGURES}
    return LengthModel(
        way=fields["way"].one_of(WAYS),
        roll_width_mm=fields["roll_width_mm"].number(least=100, most=10_000),
        margin_mm=fields["margin_mm"].number(most=200),
        **figures,
    )
