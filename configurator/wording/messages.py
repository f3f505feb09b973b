"""Code -> sentence, for everything that the domain says (`Message`) and for every `Fault`. English is the msgid itself.

A gap `{respray:date}` is the fact `respray`, printed as a day; see `configurator.wording.filling` for the formats. A sentence that
bends with a number is an `NP_(one, many, by=fact)`. One line for each code, sorted within its section.
"""

from configurator.wording.caution_texts import CAUTION_TEXTS
from configurator.wording.marks import N_, Sentence

MESSAGES: dict[str, Sentence] = {
    # cautions
    **CAUTION_TEXTS,
    # light
    "glass_assumed": N_("Your windshield glass is taken to let {share:percent} of light through, as is usual. It must be measured."),
    "no_rule_known": N_("We know of no rule for lamps and glass in this region. That does not mean there is none."),
}

FAULTS: dict[str, Sentence] = {
    # light
    "acknowledgement_missing": N_("Please confirm that this choice is for off-road or show use only: {lamp:lamp}."),
    "film_forbidden": N_("This shop does not sell this film on {lamp:lamp}: a published rule of your region forbids it."),
}

NOT_USABLE = N_("This can't be used here.")
