"""Who plays: the limits to which a line is held, as a table of named numbers.

A family's module reads its limits by attribute. What is told of a limit, its unit and its source stand in LIMITS; each
family has a block of its own there, in Profile and in AMATEURS. Limits of what an instrument is, as the number of its
strings, are no limits of a profile: no player changes them.
"""

from __future__ import annotations

from math import inf

from cavata.record import record, replace


@record
class Limit:
    """What one limit means."""

    unit: str
    """`semitones`, `mm`, `s`, `a second`, `notes`, `strings`, `players`, or `times` for a factor."""
    means: str
    """A phrase for the table of the reference; it begins with a small letter."""
    rests_on: str
    """Its source in a few words."""
    told: str = "care, then impossible"
    """The degrees in which it is told what goes beyond."""


@record
class Profile:
    """The limits of some players; the defaults are those of professionals."""

    name: str = "professional"
    # -------- strings, harp and guitar
    bow_reach: float = 1.0
    bow_highest: float = 28
    bow_length: float = 1.0
    slowness: float = 1.0
    harp_span: float = 10
    pedal_time: float = 0.25
    fret_reach: float = 1.0
    bow_strokes: float = 13
    left_fingers: float = 20
    pizzicato: float = 12
    harp_fingers: float = 10
    guitar_notes: float = 18
    guitar_chords: float = 12
    barre: float = 45
    # -------- wind, brass and voice
    breath: float = 1.0
    tonguing: float = 1.0
    fingers: float = 1.0
    lip: float = 1.0
    syllables: float = 1.0
    # -------- keyboard, organ and percussion
    keyboard_hand: float = 16
    keyboard_leap: float = 1.0
    repeated_key: float = 10
    repeated_chord: float = 7
    key_action: float = 15
    octaves_in_a_row: float = 20
    foot_time: float = 1.0
    stick_change: float = 1.5
    drum_tuning: float = 4
    four_mallets: float = 1.0
    hand_speed: float = 15
    octave_speed: float = 10
    stroke_speed: float = 30
    mallet_speed: float = 15
    timpani_speed: float = 14
    triangle_speed: float = 12
    cymbal_speed: float = 7
    bell_speed: float = 5
    percussionists: float = 4
    # -------- all
    beyond_comfortable: float = inf
    fastest: float = inf
    unbroken: float = 480
    fast: float = 7
    fast_stretch: float = 60
    tremolo_stretch: float = 45
    loud_stretch: float = 60


LIMITS: dict[str, Limit] = {
    # -------- strings, harp and guitar
    "bow_reach": Limit(
        "times", "how far the fingers of a bowed string player stand apart, of what real works ask for",
        "measured on solo works and quartets; for amateurs from memory",
    ),
    "bow_highest": Limit(
        "semitones", "how far above the highest string of a bowed instrument a note lies before it is told",
        "fingerboards; from memory", "care",
    ),
    "bow_length": Limit("times", "how long a bow lasts, of a trained player's", "from memory"),
    "slowness": Limit("times", "how long a left hand takes for a move, of a trained player's", "from memory"),
    "harp_span": Limit("strings", "how many strings a harpist's hand spans at ease: ten are a tenth", "from memory"),
    "pedal_time": Limit("s", "how long a harpist wants for a change of one pedal", "from memory"),
    "fret_reach": Limit(
        "times", "how far the fingers stand apart on frets, of what guitarists' pages give", "from memory"
    ),
    "bow_strokes": Limit("a second", "how many notes are played at most with a bow for each of them", "from memory"),
    "left_fingers": Limit("a second", "how many notes fingers stop at most under one bow", "from memory"),
    "pizzicato": Limit("a second", "how many notes a bowed string player plucks at most", "from memory"),
    "harp_fingers": Limit("a second", "how many notes one hand plucks at most on a harp, in a row", "from memory"),
    "guitar_notes": Limit(
        "a second", "how many notes thumb and fingers pluck at most in turn; scales a quarter fewer", "from memory"
    ),
    "guitar_chords": Limit("a second", "how many chords are strummed at most", "from memory"),
    "barre": Limit("s", "how long a guitarist has chords under a barre, one after another", "from memory", "tiring"),
    # -------- wind, brass and voice
    "breath": Limit("times", "how long a breath lasts, of a trained player's", "from memory"),
    "tonguing": Limit(
        "times", "how many notes are tongued in a second, of a trained player's",
        "from memory", "tiring, care, then impossible",
    ),
    "fingers": Limit("times", "how many slurred notes a second stay clear, of a trained player's", "from memory"),
    "lip": Limit("times", "how long the lip bears the high register, of a trained player's", "from memory", "tiring"),
    "syllables": Limit("times", "how fast words and runs are sung, of a trained singer's", "from memory"),
    # -------- keyboard, organ and percussion
    "keyboard_hand": Limit(
        "semitones", "how far a hand reaches on a piano; two less need no care",
        "hand spans measured on 473 pianists; tenths in real works",
    ),
    "keyboard_leap": Limit("times", "the time that a leap of a hand wants, of a professional's", "from memory"),
    "repeated_key": Limit("a second", "how often a key is struck again by changing fingers", "from memory", "care"),
    "repeated_chord": Limit("a second", "how often a hand strikes a chord or an octave again", "from memory", "care"),
    "key_action": Limit("a second", "how often a key comes back at all", "from memory", "impossible"),
    "octaves_in_a_row": Limit("s", "how long a hand strikes octaves before it tires", "from memory", "tiring"),
    "foot_time": Limit("times", "the time that a foot wants from pedal to pedal, of a professional's", "from memory"),
    "stick_change": Limit("s", "how long a percussionist needs to change what is in the hands", "from memory"),
    "drum_tuning": Limit("s", "how long a drum wants to be tuned anew without hurry", "from memory"),
    "four_mallets": Limit("times", "how wide two mallets in one hand reach, of a professional's", "from memory"),
    "hand_speed": Limit("a second", "how many notes one hand strikes on keys at most, in a row", "from memory"),
    "octave_speed": Limit("a second", "how many octaves or chords one hand strikes at most, in a row", "from memory"),
    "stroke_speed": Limit("a second", "how many notes two sticks strike at most on drums, in a row", "from memory"),
    "mallet_speed": Limit(
        "a second", "the same of two mallets on bars, and of sticks where they do not bounce", "from memory"
    ),
    "timpani_speed": Limit("a second", "the same of two sticks on timpani", "from memory"),
    "triangle_speed": Limit("a second", "the same of two beaters on a triangle", "from memory"),
    "cymbal_speed": Limit(
        "a second", "how many clashes a pair of cymbals has at most, in a row; also strokes of a whip and a hammer",
        "from memory",
    ),
    "bell_speed": Limit("a second", "how many notes two hammers strike at most on tubular bells", "from memory"),
    "percussionists": Limit("players", "how many percussionists there are beside the timpanist", "RPO's pages", "care"),
    # -------- all
    "beyond_comfortable": Limit(
        "semitones", "how far beyond the comfortable range of the table a note lies",
        "the table of instruments", "impossible",
    ),
    "fastest": Limit("a second", "how many notes there are at most, over two seconds", "from memory", "impossible"),
    "unbroken": Limit(
        "s", "how long somebody plays without a rest of two seconds; winds and voices a quarter of it", "from memory",
        "tiring",
    ),
    "fast": Limit("a second", "how many notes, in a row that lasts, strain fingers and arms", "from memory", "tiring"),
    "fast_stretch": Limit("s", "how long such a row of fast notes goes on", "from memory", "tiring"),
    "tremolo_stretch": Limit("s", "how long a tremolo goes on", "from memory", "tiring"),
    "loud_stretch": Limit("s", "how long it goes on at ff or louder", "from memory", "tiring"),
}  # fmt: skip

PROFESSIONAL = Profile()
AMATEURS = replace(
    PROFESSIONAL, name="amateurs",
    # -------- strings, harp and guitar
    bow_reach=0.75, bow_highest=12, bow_length=0.75, slowness=1.5, harp_span=9, pedal_time=0.5, fret_reach=0.85,
    bow_strokes=9, left_fingers=13, pizzicato=8, harp_fingers=7, guitar_notes=12, guitar_chords=8, barre=20,
    # -------- wind, brass and voice
    breath=0.6, tonguing=0.75, fingers=0.75, lip=0.6, syllables=0.75,
    # -------- keyboard, organ and percussion
    keyboard_hand=14, keyboard_leap=1.5, repeated_key=7, repeated_chord=5, octaves_in_a_row=8, foot_time=1.5,
    stick_change=3, drum_tuning=8, four_mallets=0.8, hand_speed=11, octave_speed=7, stroke_speed=16,
    mallet_speed=11, timpani_speed=10, triangle_speed=8, cymbal_speed=5, bell_speed=4, percussionists=3,
    # -------- all
    beyond_comfortable=0, fastest=8, unbroken=240, fast=5, fast_stretch=30, tremolo_stretch=20, loud_stretch=30,
)  # fmt: skip
PROFILES = {profile.name: profile for profile in (PROFESSIONAL, AMATEURS)}
"""Those that every script knows."""
