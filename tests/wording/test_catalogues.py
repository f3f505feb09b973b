"""The catalogues hold exactly today's texts, all of them translated, with the gaps that the program fills."""

import re
from string import Formatter

import pytest
from babel.messages.catalog import Catalog, Message

from configurator.wording.catalogue import SOURCE_LANGUAGE, catalogue_path, compiled, languages
from configurator.wording.extracting import extracted, read, untranslated, updated

OTHERS = [language for language in languages() if language != SOURCE_LANGUAGE]
_PERCENT_GAP = re.compile(r"%\((\w+)\)[sd]|%%")


def texts(catalog: Catalog) -> set[tuple[str | None, str]]:
    return {(entry.context, first(entry)) for entry in catalog if entry.id}


def first(entry: Message) -> str:
    return entry.id if isinstance(entry.id, str) else str(entry.id[0])


def pairs(entry: Message) -> list[tuple[str, str]]:
    """Each translated form with the English form it stands for."""
    if isinstance(entry.id, str):
        return [(entry.id, str(entry.string))]
    return [(str(entry.id[min(place, 1)]), text) for place, text in enumerate(entry.string)]


def gaps(text: str) -> set[str]:
    """`{fact:format}` of the program's sentences, `%(name)s` of the templates'."""
    braces = {f"{name}:{spec}" for _, name, spec, _ in Formatter().parse(text) if name} if text.count("{") == text.count("}") else set()
    return braces | {name for name in _PERCENT_GAP.findall(text) if name}


@pytest.fixture(scope="module")
def template() -> Catalog:
    return extracted()


def test_texts_are_found_in_code_and_in_templates(template: Catalog) -> None:
    found = texts(template)

    assert ("panel", "Hood") in found
    assert (None, "This is needed.") in found
    assert any(location.startswith("templates/") for entry in template for location, _ in entry.locations)


NEVER_CALLED_LEGAL = re.compile(r"(?<!not road-)(?<!not )\blegal|(?<!nicht )straßenzulässig", re.IGNORECASE)


def test_nothing_is_ever_called_legal(template: Catalog) -> None:
    """A lamp's real output is unknown to a shop: the most that is said is what is likely not road-legal."""
    german = [text for entry in read("de") if entry.id for _, text in pairs(entry)]

    assert [text for text in (*(text for _, text in texts(template)), *german) if NEVER_CALLED_LEGAL.search(text)] == []


BRITISH = re.compile(
    r"\b(colour|centre|grey|mould|tyre|labour|licence plate|metres?\b|vapour|fibre|catalogue|kerb|bonnet|windscreen)", re.IGNORECASE
)


def test_the_source_language_is_american_english(template: Catalog) -> None:
    """en_US is the msgid itself; British readers get British dates and money."""
    plain = {re.sub(r"\{[^}]*\}|%\(\w+\)s", "", text) for _, text in texts(template)}

    assert [text for text in plain if BRITISH.search(text)] == []


@pytest.mark.parametrize("language", OTHERS)
def test_a_catalogue_holds_exactly_todays_texts(language: str, template: Catalog) -> None:
    """When this fails: python -m configurator.wording.extracting"""
    assert texts(read(language)) == texts(template)


@pytest.mark.parametrize("language", OTHERS)
def test_every_text_is_translated(language: str) -> None:
    assert untranslated(updated(language)) == ()


@pytest.mark.parametrize("language", OTHERS)
def test_every_translation_keeps_the_gaps(language: str) -> None:
    """A plural's singular may say the number in words."""
    broken = []
    for entry in read(language):
        for place, (english, text) in enumerate(pairs(entry) if entry.id else ()):
            may_lack = gaps(english) if not isinstance(entry.id, str) and place == 0 else set()
            if text and (gaps(text) - gaps(english) or gaps(english) - gaps(text) - may_lack):
                broken.append(f"{english!r} -> {text!r}")

    assert broken == []


@pytest.mark.parametrize("language", OTHERS)
def test_a_catalogue_compiles_in_memory(language: str) -> None:
    translations = compiled(catalogue_path(language))

    assert translations.pgettext("panel", "Hood") != "Hood"


def test_german_speaks_formally_and_in_german_quotation_marks() -> None:
    """Formal address throughout: no du, dein, euch as an address."""
    informal = re.compile(r"\b(du|dir|dich|dein\w*|euch|euer\w*|eure\w*)\b", re.IGNORECASE)
    german = [text for entry in read("de") if entry.id for _, text in pairs(entry)]

    assert [text for text in german if informal.search(text)] == []
    assert [text for text in german if "“" in text and "„" not in text] == []


def test_no_language_is_kept_as_a_compiled_file() -> None:
    assert [path for language in OTHERS for path in catalogue_path(language).parent.glob("*.mo")] == []
