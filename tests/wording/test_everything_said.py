"""Every code that the program can say has its sentence, and every sentence can be filled."""

import pytest

from configurator.domain.estimating import NOTHING_CHOSEN, NOTHING_COVERABLE
from configurator.loading.cautions import load_cautions
from configurator.wording.filling import placeholders
from configurator.wording.marks import Plural, Sentence
from configurator.wording.messages import FAULTS, MESSAGES
from configurator.wording.names import NAMES
from configurator.wording.words import FORMATS
from tests.wording.emitted import everything_said

TABLES = {"message": MESSAGES, "fault": FAULTS}
SAID, DYNAMIC = everything_said()
WORKED_OUT = {
    ("message", "domain/cautions.py"): "codes of data/cautions.yaml, checked with the catalogue",
    ("message", "domain/materials.py"): "no_film_on_<material> and film_on_<material>, checked below",
    ("message", "domain/price.py"): "line_<code>, checked below",
    ("fault", "domain/body/checking.py"): "a fault of the size, handed on under another path",
    ("fault", "wire/faults.py"): "codes of the validators' own messages, said where they are made",
    ("fault", "wire/query.py"): "the code of a value that can't be read, said where it is raised",
    ("fault", "wire/strict_json.py"): "the code of a refusal, said where it is raised",
    ("fault", "services/quotes/rescoping.py"): "the reason of an empty estimate, checked below",
    ("fault", "services/submitting.py"): "the reason of an empty estimate, checked below",
    ("fault", "web/visitor/sending.py"): "the code of a refused form, said where it is raised",
}
"""Where a code is worked out at run time, and what vouches for it."""


def forms(sentence: Sentence | tuple[Sentence, ...]) -> list[str]:
    if isinstance(sentence, tuple):
        return [form for one in sentence for form in forms(one)]
    return [sentence.one, sentence.many] if isinstance(sentence, Plural) else [sentence]


def gaps(sentence: Sentence | tuple[Sentence, ...]) -> set[str]:
    return {name for form in forms(sentence) for name, _ in placeholders(form)}


def test_the_reader_of_the_source_finds_what_is_said_directly_and_through_helpers() -> None:
    codes = {(said.kind, said.code) for said in SAID}

    assert {
        ("message", "glass_assumed"),
        ("fault", "acknowledgement_missing"),
        ("fault", "unknown_key"),
        ("fault", "duplicate_name"),
    } <= codes


def test_every_code_has_a_sentence() -> None:
    missing = sorted({f"{said.kind} {said.code} ({said.place})" for said in SAID if said.code not in TABLES[said.kind]})

    assert missing == []


def test_every_sentence_can_be_filled_where_it_is_said() -> None:
    """The facts handed over hold every gap of the sentence (of one of its forms, where it has several)."""
    short = sorted(
        f"{said.code} ({said.place}) lacks {sorted(gaps(one) - said.facts)}"
        for said in SAID
        if said.facts is not None and said.code in TABLES[said.kind]
        for one in [TABLES[said.kind][said.code]]
        if all(not {name for name, _ in placeholders(form)} <= said.facts for form in forms(one))
    )

    assert short == []


def test_no_code_is_worked_out_where_nobody_vouches_for_it() -> None:
    assert sorted({f"{dynamic.kind} {dynamic.place}" for dynamic in DYNAMIC if (dynamic.kind, dynamic.place) not in WORKED_OUT}) == []


def test_no_sentence_is_left_over() -> None:
    said = {(one.kind, one.code) for one in SAID} | {("message", rule.code) for rule in load_cautions()}
    said |= {("fault", reason) for reason in (NOTHING_CHOSEN, NOTHING_COVERABLE)}
    worked_out = ("no_film_on_", "film_on_", "line_")
    left_over = [
        f"{kind} {code}"
        for kind, table in TABLES.items()
        for code in table
        if (kind, code) not in said and not (kind == "message" and code.startswith(worked_out))
    ]

    assert left_over == []


@pytest.mark.parametrize("code", sorted(NAMES["line"]))
def test_every_price_line_explains_itself(code: str) -> None:
    assert f"line_{code}" in MESSAGES


@pytest.mark.parametrize("reason", [NOTHING_CHOSEN, NOTHING_COVERABLE])
def test_every_reason_for_an_empty_estimate_is_a_fault_when_it_is_sent(reason: str) -> None:
    assert reason in FAULTS


def test_every_surface_has_its_word() -> None:
    """The materials that body film holds on, and those it doesn't (domain/materials.py)."""
    plain = {"gloss_paint", "matte_paint", "carbon_gloss"}
    for material in NAMES["material"]:
        assert material in plain or {f"film_on_{material}", f"no_film_on_{material}"} & set(MESSAGES), material


@pytest.mark.parametrize("kind", TABLES)
def test_every_gap_names_a_format_or_a_kind_that_exists(kind: str) -> None:
    known = {"", "money", *FORMATS, *NAMES}
    for code, sentence in TABLES[kind].items():
        for form in forms(sentence):
            assert {spec for _, spec in placeholders(form)} <= known, code
