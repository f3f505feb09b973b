"""What the domain has to say to a person, before it is put into words.

The domain knows no language. It names the text by a code and hands over the facts; `configurator.wording` owns the
sentences, one per code, in every language.
"""

from collections.abc import Mapping
from dataclasses import dataclass, field
from datetime import date, datetime
from decimal import Decimal
from types import MappingProxyType

Fact = str | int | float | Decimal | date | datetime


@dataclass(frozen=True)
class Message:
    """A sentence by its code (`textured_plastic`, `respray_too_fresh`) and the facts that go into it.

    Facts are raw values: ids, numbers in the unit that the fact's name carries (`depth_mm`), dates, money as `Decimal`.
    """

    code: str
    facts: Mapping[str, Fact] = field(default_factory=lambda: MappingProxyType({}))
