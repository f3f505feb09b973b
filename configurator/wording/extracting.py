"""Collects every text that is to be translated and brings the catalogues up to date: `python -m configurator.wording.extracting`.

Texts of Python files are found by the marks of `configurator.wording.marks` and by calls of `gettext` and its kin, texts of
templates by Jinja's own extractor. A text that is gone leaves the catalogues; a new one enters them empty, to be translated.
"""

from collections.abc import Iterator
from io import BytesIO
from pathlib import Path

from babel.messages.catalog import Catalog
from babel.messages.extract import extract_from_dir
from babel.messages.pofile import read_po, write_po

from configurator.wording.catalogue import SOURCE_LANGUAGE, catalogue_path, languages

ROOT = Path(__file__).resolve().parents[2]
KEYWORDS: dict[str, tuple[int | tuple[int, str], ...] | None] = {
    "_": None,
    "gettext": None,
    "ngettext": (1, 2),
    "pgettext": ((1, "c"), 2),
    "npgettext": ((1, "c"), 2, 3),
    "N_": None,
    "NC_": ((1, "c"), 2),
    "NP_": (1, 2),
}
HEADER = """\
msgid ""
msgstr ""
"Project-Id-Version: Tuckline\\n"
"Language: {language}\\n"
"Plural-Forms: {plural_forms}\\n"
"MIME-Version: 1.0\\n"
"Content-Type: text/plain; charset=utf-8\\n"
"Content-Transfer-Encoding: 8bit\\n"

"""
_METHODS = [("**.py", "python"), ("**.html", "jinja2"), ("**.txt", "jinja2"), ("**.xml", "jinja2")]
_OPTIONS = {"**.html": {"trimmed": "true", "silent": "false"}, "**.txt": {"trimmed": "true", "silent": "false"}}


def extracted() -> Catalog:
    """A template of every text in the package and the templates, with the files it is used in."""
    template = Catalog(project="Tuckline", charset="utf-8")
    for file, message, comments, context in _texts():
        template.add(message, locations=[(file, 0)], auto_comments=comments, context=context)
    return template


def read(language: str) -> Catalog:
    """A language's catalogue as it stands in its file."""
    with catalogue_path(language).open("rb") as source:
        return read_po(source, locale=language, abort_invalid=True)


def updated(language: str) -> Catalog:
    """A language's catalogue with exactly today's texts; what was translated stays translated."""
    catalog = read(language)
    catalog.update(extracted(), no_fuzzy_matching=True, update_creation_date=False)
    catalog.obsolete.clear()
    return catalog


def untranslated(catalog: Catalog) -> tuple[str, ...]:
    """The texts of a catalogue that still have no translation, or one form of a plural missing."""
    return tuple(str(entry.id) for entry in catalog if entry.id and not (entry.string and all(entry.string)))


def write(catalog: Catalog, language: str) -> None:
    """Sorted by text and without line numbers or dates, so that a catalogue changes only where its texts do."""
    header = HEADER.format(language=language, plural_forms=catalog.plural_forms)
    body = BytesIO()
    write_po(body, catalog, width=120, omit_header=True, sort_output=True, include_lineno=False, ignore_obsolete=True)
    catalogue_path(language).write_bytes(header.encode() + body.getvalue())


def main() -> None:
    for language in languages():
        if language != SOURCE_LANGUAGE:
            catalog = updated(language)
            write(catalog, language)
            missing = untranslated(catalog)
            print(f"{language}: {len(catalog)} texts, {len(missing)} to translate", *missing, sep="\n  ")


def _texts() -> Iterator[tuple[str, str | tuple[str, ...], list[str], str | None]]:
    for folder in ("configurator", "templates"):
        if (ROOT / folder).is_dir():
            found = extract_from_dir(ROOT / folder, _METHODS, _OPTIONS, KEYWORDS, comment_tags=("Translators:",))
            for file, _line, message, comments, context in found:
                yield f"{folder}/{file}", message, comments, context


if __name__ == "__main__":
    main()
