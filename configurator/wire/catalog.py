"""The catalogue document: what there is to choose from, by name, in one language."""

from collections.abc import Iterable, Mapping
from typing import Any

from configurator.domain.body.style import BodyStyle, Range
from configurator.domain.price_book import Film, PriceBook
from configurator.domain.selection import LampFilm, Package, Treatment
from configurator.wire.selection import NAMEABLE_MATERIALS, plain
from configurator.wording.words import Words

Document = dict[str, Any]


def dump_catalog(styles: Mapping[str, BodyStyle], panels: Mapping[str, Iterable[str]], book: PriceBook, words: Words) -> Document:
    """Bodies, panels, films, packages, edges, regions with their names; `panels` by body style."""
    features = sorted({feature for style in styles.values() for feature in style.possible_features})
    return {
        "version": 1,
        "locale": words.locale,
        "price_book": book.version,
        "currency": book.currency,
        "bodies": [_body(style, panels[style.id], words) for style in styles.values()],
        "features": _named("feature", features, words),
        "finishes": _named("finish", ("match", *book.finishes), words),
        "films": [_film(film, words) for film in book.films.values()],
        "packages": _named("package", Package, words),
        "edges": _named("treatment", Treatment, words),
        "lamp_films": _named("lamp_film", LampFilm, words),
        "regions": _named("region", book.regions, words),
        "materials": _named("material", NAMEABLE_MATERIALS, words),
    }


def _named(kind: str, ids: Iterable[str], words: Words) -> list[Document]:
    return [{"id": str(id), "name": words.name(kind, str(id))} for id in ids]


def _body(style: BodyStyle, panels: Iterable[str], words: Words) -> Document:
    lengths = ("length_mm", "width_mm", "height_mm", "wheelbase_mm")
    return {
        "id": style.id,
        "name": words.name("body", style.id),
        "typical": {name: plain(getattr(style.typical_size, name)) for name in lengths},
        "plausible": {name: _ends(getattr(style.plausible, name)) for name in lengths},
        "usual_features": sorted(style.usual_features),
        "possible_features": sorted(style.possible_features),
        "panels": [{"id": id, "name": words.name("panel", id, body=style.id)} for id in panels],
    }


def _ends(lengths: Range) -> list[float]:
    return [plain(lengths.least), plain(lengths.most)]


def _film(film: Film, words: Words) -> Document:
    return {"id": film.id, "name": words.name("film", film.id), "kind": film.kind, "finish": film.finish, "transmission": film.transmission}
