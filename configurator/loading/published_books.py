"""Price books that were published on this machine: kept by version for ever, one of them in force."""

from pathlib import Path

from configurator.domain.price_book import PriceBook
from configurator.errors import Fault, InvalidData
from configurator.loading.price_book import load_price_book

_IN_FORCE = "in_force"


def publish(file: Path, folder: Path) -> PriceBook:
    """Checks a price book, keeps it under its version and puts it in force. Raises InvalidData.

    A version is published once: another content under a published version is refused, so that old requests keep what they were told.
    """
    book = load_price_book(file)
    content = file.read_bytes()
    kept = folder / f"{book.version}.yaml"
    if kept.exists() and kept.read_bytes() != content:
        raise InvalidData(str(file), [Fault("version", "version_published", {"version": book.version})])
    folder.mkdir(parents=True, exist_ok=True)
    _write(kept, content)
    _write(folder / _IN_FORCE, book.version.encode())
    return book


def book_in_force(folder: Path) -> Path | None:
    """The file of the price book in force, None where none was published."""
    pointer = folder / _IN_FORCE
    return folder / f"{pointer.read_text(encoding='utf-8').strip()}.yaml" if pointer.exists() else None


def _write(path: Path, content: bytes) -> None:
    """Whole or not at all: a reader sees the old file or the new one."""
    beside = path.with_suffix(path.suffix + ".new")
    beside.write_bytes(content)
    beside.replace(path)
