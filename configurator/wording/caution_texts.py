"""The words of every caution in `data/cautions.yaml`, by its code."""

from configurator.wording.marks import Sentence

CAUTION_TEXTS: dict[str, Sentence] = {}
