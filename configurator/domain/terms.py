"""The shop's terms in its price book: how long a quote holds, what is asked for, and the texts that stand where it is accepted."""

from collections.abc import Mapping
from dataclasses import dataclass, field
from decimal import Decimal
from types import MappingProxyType


@dataclass(frozen=True)
class OwnText:
    """A text of the shop's own by language (`en`, `de`); the first stands in for languages it wasn't written in."""

    by_language: Mapping[str, str] = field(default_factory=lambda: MappingProxyType({}))

    def read_in(self, locale: str) -> str:
        """The text for a locale such as de_AT; empty where there is none at all."""
        return self.by_language.get(locale.split("_")[0]) or next(iter(self.by_language.values()), "")


@dataclass(frozen=True)
class RegionalWording:
    """What a region's law wants said where a quote is accepted: on the button, about withdrawal, and what has to be ticked."""

    accept: OwnText = OwnText()
    withdrawal: OwnText = OwnText()
    consents: Mapping[str, OwnText] = field(default_factory=lambda: MappingProxyType({}))


@dataclass(frozen=True)
class Terms:
    """`cancellation` is the text in the shop's first language, `cancellation_text` the same in all.

    `least_margin`: the share below which the desk is warned, where the shop sets one.
    """

    quote_valid_days: int
    deposit_share: Decimal
    cancellation: str
    max_photos: int
    respray_wait_days: int
    cancellation_text: OwnText = OwnText()
    wording: Mapping[str, RegionalWording] = field(default_factory=lambda: MappingProxyType({}))
    least_margin: float | None = None

    def wording_in(self, region: str) -> RegionalWording:
        """The wording of a region, else the one for all (`default`), else none."""
        return self.wording.get(region) or self.wording.get("default") or RegionalWording()
