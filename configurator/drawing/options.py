"""What a caller says about a drawing: the words on it and what it should carry."""

from collections.abc import Hashable, Mapping
from dataclasses import dataclass, field
from types import MappingProxyType

NO_WORDS: Mapping[str, str] = MappingProxyType({})


@dataclass(frozen=True)
class Labels:
    """Words already in the reader's language; the drawing writes no sentence of its own.

    A missing word falls back to the id (names) or is left out (title, captions, sizes).
    """

    views: Mapping[str, str] = field(default_factory=lambda: NO_WORDS)
    """View (`left`, ..., `sheet`) -> its accessible name and caption: "Left side"."""
    panels: Mapping[str, str] = field(default_factory=lambda: NO_WORDS)
    """Panel id -> name, state and area: "Hood, covered, 1.56 m2"."""
    names: Mapping[str, str] = field(default_factory=lambda: NO_WORDS)
    """Panel id -> the short name that stands at the end of a leader line."""
    title: tuple[str, ...] = ()
    """Lines of the title block: body, size."""
    sizes: Mapping[str, str] = field(default_factory=lambda: NO_WORDS)
    """length_mm, width_mm, height_mm, wheelbase_mm -> the figure with its unit on the dimension line."""

    @property
    def key(self) -> tuple[Hashable, ...]:
        """The same for labels that say the same."""
        return (*(tuple(sorted(words.items())) for words in (self.views, self.panels, self.names, self.sizes)), self.title)


@dataclass(frozen=True)
class Options:
    """What the drawing carries.

    `interactive`: panels are check boxes for keyboard, pointer and screen reader, and every film is drawn, shown by `--on`.
    `discs`: tick, plus, bar or clock on each panel. `numbers`: panel id -> what stands on its disc instead (print, staff).
    `names`: leader lines with `Labels.names`. `sizes`: dimension lines. `standalone`: an SVG file with its own stylesheet.
    `width_px`: the width at which the drawing is first shown (its `width` attribute).
    """

    interactive: bool = False
    discs: bool = False
    numbers: Mapping[str, str] = field(default_factory=lambda: NO_WORDS)
    names: bool = False
    sizes: bool = False
    standalone: bool = False
    width_px: int | None = None

    @property
    def key(self) -> tuple[Hashable, ...]:
        """The same for options that ask for the same."""
        flags = (self.interactive, self.discs, self.names, self.sizes, self.standalone, self.width_px)
        return (*flags, tuple(sorted(self.numbers.items())))
