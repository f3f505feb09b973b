"""The `terms` of a price book: figures, and texts of the shop's own in one language or several."""

from collections.abc import Mapping
from decimal import Decimal
from types import MappingProxyType

from configurator.domain.terms import OwnText, RegionalWording, Terms
from configurator.loading.figures import FigureReader
from configurator.loading.reading import Node

FIGURES = ("quote_valid", "deposit", "max_photos", "respray_wait", "cancellation")
SHOPS_OWN = "own"
"""The language of a text that was written without naming one."""


def read_terms(node: Node, reader: FigureReader) -> Terms:
    """The terms. `wording` and `least_margin` may be left out."""
    fields = node.fields(FIGURES, ("wording", "least_margin"))
    cancellation = _text(fields["cancellation"])
    return Terms(
        quote_valid_days=reader.whole(fields["quote_valid"], "day", least=1, most=365),
        deposit_share=reader.single(fields["deposit"], "share of price", _share),
        cancellation=next(iter(cancellation.by_language.values()), ""),
        cancellation_text=cancellation,
        max_photos=reader.whole(fields["max_photos"], "photos", most=100),
        respray_wait_days=reader.whole(fields["respray_wait"], "day", most=365),
        wording=fields.optional("wording", _wording, MappingProxyType({})),
        least_margin=fields.optional("least_margin", lambda given: reader.share(given, "share of price"), None),
    )


def _share(node: Node) -> Decimal:
    node.number(most=0.9)
    return node.money()


def _wording(node: Node) -> Mapping[str, RegionalWording]:
    """By region, also for regions that the shop doesn't offer today."""
    return MappingProxyType({region: _regional(text) for region, text in node.entries()})


def _regional(node: Node) -> RegionalWording:
    fields = node.fields((), ("accept", "withdrawal", "consents"))
    return RegionalWording(
        accept=fields.optional("accept", _text, OwnText()),
        withdrawal=fields.optional("withdrawal", _text, OwnText()),
        consents=fields.optional(
            "consents", lambda given: MappingProxyType({id: _text(text) for id, text in given.entries()}), MappingProxyType({})
        ),
    )


def _text(node: Node) -> OwnText:
    """One text, or one for each language `{en: ..., de: ...}`."""
    if isinstance(node.value, dict):
        return OwnText(MappingProxyType({language: text.text() for language, text in node.entries()}))
    return OwnText(MappingProxyType({SHOPS_OWN: node.text()}))
