"""Publishing a price book: kept by version, one in force, a version never changes."""

from pathlib import Path

import pytest

from configurator.errors import InvalidData
from configurator.loading.published_books import book_in_force, publish

DEMO = Path(__file__).parents[2] / "configurator/data/price_books/demo.yaml"


def changed(folder: Path, old: str, new: str) -> Path:
    file = folder / "book.yaml"
    file.write_text(DEMO.read_text(encoding="utf-8").replace(old, new), encoding="utf-8")
    return file


def test_nothing_is_in_force_before_the_first(tmp_path: Path) -> None:
    assert book_in_force(tmp_path) is None


def test_the_last_published_is_in_force_and_the_earlier_are_kept(tmp_path: Path) -> None:
    folder = tmp_path / "books"
    publish(DEMO, folder)
    publish(changed(tmp_path, "demo-2027.1", "demo-2027.2"), folder)

    assert book_in_force(folder) == folder / "demo-2027.2.yaml"
    assert (folder / "demo-2027.1.yaml").read_bytes() == DEMO.read_bytes()


def test_other_figures_under_a_published_version_are_refused(tmp_path: Path) -> None:
    folder = tmp_path / "books"
    publish(DEMO, folder)

    with pytest.raises(InvalidData) as refused:
        publish(changed(tmp_path, "Ostermere", "Ostermore"), folder)

    assert [fault.path for fault in refused.value.faults] == ["version"]


def test_a_bad_book_changes_nothing(tmp_path: Path) -> None:
    folder = tmp_path / "books"
    publish(DEMO, folder)

    with pytest.raises(InvalidData):
        publish(changed(tmp_path, "currency: USD", "currency: 7"), folder)

    assert book_in_force(folder) == folder / "demo-2027.1.yaml"
