"""Message catalogues: `.po` files that are compiled in memory when they are first asked for.

English is the msgid itself; every other language is one file `locale/<language>/LC_MESSAGES/messages.po`.
"""

from functools import lru_cache
from gettext import GNUTranslations, NullTranslations
from io import BytesIO
from pathlib import Path

from babel.messages.mofile import write_mo
from babel.messages.pofile import read_po

LOCALE_DIRECTORY = Path(__file__).resolve().parent.parent / "locale"
SOURCE_LANGUAGE = "en"


def catalogue_path(language: str) -> Path:
    return LOCALE_DIRECTORY / language / "LC_MESSAGES" / "messages.po"


@lru_cache(maxsize=1)
def languages() -> tuple[str, ...]:
    """Every language that pages can be read in, the source language first."""
    folders = sorted(LOCALE_DIRECTORY.iterdir()) if LOCALE_DIRECTORY.is_dir() else []
    found = [folder.name for folder in folders if catalogue_path(folder.name).is_file()]
    return (SOURCE_LANGUAGE, *(language for language in found if language != SOURCE_LANGUAGE))


@lru_cache(maxsize=32)
def translations(language: str) -> NullTranslations:
    """The catalogue of one of `languages()`; the source language needs none."""
    path = catalogue_path(language)
    return compiled(path) if path.is_file() else NullTranslations()


def compiled(path: Path) -> GNUTranslations:
    """Read a `.po` file as gettext would read its `.mo`; fuzzy entries count as untranslated."""
    with path.open("rb") as source:
        catalog = read_po(source, abort_invalid=True)
    binary = BytesIO()
    write_mo(binary, catalog)
    binary.seek(0)
    return GNUTranslations(binary)
