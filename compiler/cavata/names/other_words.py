"""What musicians call a step elsewhere, and how it is written here: cures for words that are no step."""

from __future__ import annotations

from cavata.music.dynamics import DYNAMICS
from cavata.music.event import ARTICULATIONS
from cavata.music.ornament import TECHNIQUES

DRESS = frozenset((*DYNAMICS, *ARTICULATIONS, *TECHNIQUES))
"""What `marked` takes without quotes."""
STEPS = {
    "up P5": ("transpose", "transposed", "transposition", "higher", "raised"),
    "down P5": ("lower", "lowered"),
    "up P8": ("octave", "octaves", "ottava"),
    "retrograde": ("reverse", "reversed", "backward", "backwards", "cancrizans"),
    "inverted about D4": ("inversion", "invert", "mirror"),
    "augmentation 2": ("augmented", "augment", "slower"),
    "diminution 2": ("diminished", "diminish", "faster"),
    "slurred": ("legato", "slur"),
    "rolled": ("arpeggio", "arpeggiated", "arpeggiando"),
    "marked f": ("forte", "loud", "dynamic"),
    "marked p": ("piano", "soft", "quiet"),
    "crescendo p f": ("growing", "louder"),
    "diminuendo f p": ("decrescendo", "softer"),
    "lasting 1/2": ("long", "duration"),
    "sung \"o-pen sea\"": ("text", "lyrics", "words"),
}
"""Each step with the words that mean it."""


def in_other_words(word: str) -> str:
    """The cure for a word that is no step but names one in the trade; empty where none is known."""
    if word in DRESS:
        return f"markings stand after `marked`: `-> marked {word}`"
    step = next((step for step, words in STEPS.items() if word in words), "")
    return f"that is written `-> {step}` here" if step else ""
