"""Which sound each instrument asks for, how loud and from where, for programs that play the page.

In: the list of parts as exported. Out: the same list with `instrument-sound` by the names of the standard sounds of
MusicXML 4.0, `solo` or `ensemble`, and the volume and place that the MIDI file has.
"""

from __future__ import annotations

from collections.abc import Sequence
from fractions import Fraction
from xml.etree.ElementTree import Element, SubElement

from cavata.instruments.instrument import Instrument
from cavata.musicxml.directions import decimal
from cavata.score.score import Part
from cavata.sound.midi_balance import HIGHEST, MIDDLE, Seat

_RIGHT = 90
"""Degrees of a place at the right hand; 0 is straight ahead."""
_FLUTE, _REED, _BRASS, _DRUM, _METAL = "wind.flutes.", "wind.reed.", "brass.", "drum.", "metal."
SOUNDS = {
    "piccolo": _FLUTE + "piccolo", "flute": _FLUTE + "flute", "alto flute": _FLUTE + "flute",
    "bass flute": _FLUTE + "flute", "contrabass flute": _FLUTE + "flute", "sopranino recorder": _FLUTE + "recorder",
    "soprano recorder": _FLUTE + "recorder", "alto recorder": _FLUTE + "recorder",
    "tenor recorder": _FLUTE + "recorder", "bass recorder": _FLUTE + "recorder", "oboe": _REED + "oboe",
    "oboe damore": _REED + "oboe", "English horn": _REED + "english-horn", "clarinet in Eb": _REED + "clarinet",
    "clarinet in D": _REED + "clarinet", "clarinet in C": _REED + "clarinet", "clarinet": _REED + "clarinet",
    "clarinet in A": _REED + "clarinet", "bass clarinet": _REED + "clarinet.bass",
    "soprano saxophone": _REED + "saxophone.soprano", "alto saxophone": _REED + "saxophone.alto",
    "tenor saxophone": _REED + "saxophone.tenor", "baritone saxophone": _REED + "saxophone.baritone",
    "bassoon": _REED + "bassoon", "contrabassoon": _REED + "bassoon", "horn": _BRASS + "french-horn",
    "trumpet": _BRASS + "trumpet", "trumpet in Eb": _BRASS + "trumpet", "trumpet in D": _BRASS + "trumpet",
    "trumpet in C": _BRASS + "trumpet", "trombone": _BRASS + "trombone", "bass trombone": _BRASS + "trombone.bass",
    "tuba": _BRASS + "tuba", "timpani": _DRUM + "timpani", "glockenspiel": "pitched-percussion.glockenspiel",
    "xylophone": "pitched-percussion.xylophone", "vibraphone": "pitched-percussion.vibraphone",
    "marimba": "pitched-percussion.marimba", "tubular bells": "pitched-percussion.tubular-bells",
    "hand bells": "pitched-percussion.handbells", "steel drum": _METAL + "steel-drums",
    "triangle": _METAL + "triangle", "finger cymbals": _METAL + "cymbal.finger",
    "sleigh bells": _METAL + "bells.sleigh-bells", "cowbell": _METAL + "bells.cowbell",
    "agogo bells": _METAL + "bells.agogo", "castanets": "wood.castanets", "wood block": "wood.wood-block",
    "temple blocks": "wood.temple-block", "whip": "effect.whip", "ratchet": "rattle.ratchet",
    "maracas": "rattle.maraca", "vibraslap": "rattle.vibraslap", "sandpaper blocks": "wood.sand-block",
    "wind machine": "effect.wind", "siren": "effect.siren", "tambourine": _DRUM + "tambourine",
    "bongos": _DRUM + "bongo", "congas": _DRUM + "conga", "timbales": _DRUM + "timbale",
    "snare drum": _DRUM + "snare-drum", "tom toms": _DRUM + "tom-tom", "tenor drum": _DRUM + "tenor-drum",
    "taiko": _DRUM + "taiko", "hi hat": _METAL + "hi-hat", "suspended cymbal": _METAL + "cymbal.suspended",
    "sizzle cymbal": _METAL + "cymbal.sizzle", "ride cymbal": _METAL + "cymbal.ride",
    "splash cymbal": _METAL + "cymbal.splash", "cymbals": _METAL + "cymbal.crash", "gong": _METAL + "gong",
    "tam tam": _METAL + "tamtam", "bass drum": _DRUM + "bass-drum", "celesta": "keyboard.celesta",
    "piano": "keyboard.piano", "upright piano": "keyboard.piano", "harpsichord": "keyboard.harpsichord",
    "clavichord": "keyboard.clavichord", "organ": "keyboard.organ.pipe", "chamber organ": "keyboard.organ.pipe",
    "harmonium": "keyboard.organ.reed", "accordion": "keyboard.accordion", "harp": "pluck.harp",
    "guitar": "pluck.guitar", "electric guitar": "pluck.guitar.electric", "bass guitar": "pluck.bass.electric",
    "lute": "pluck.lute", "mandolin": "pluck.mandolin", "banjo": "pluck.banjo", "ukulele": "pluck.ukulele",
    "soprano": "voice.soprano", "mezzo soprano": "voice.mezzo-soprano", "alto": "voice.alto",
    "tenor": "voice.tenor", "baritone": "voice.baritone", "bass voice": "voice.bass", "violin": "strings.violin",
    "viola": "strings.viola", "cello": "strings.cello", "double bass": "strings.contrabass",
}  # fmt: skip
"""By the keys of our instruments; an instrument that is not here leaves the choice to who plays."""


def ask_for_sounds(score_part: Element, players: Sequence[Part], seat: Seat) -> None:
    """Put in what each instrument of a part sounds like; a shared percussion staff has several."""
    for named, player in zip(score_part.iter("score-instrument"), players, strict=True):
        sound = _sound(player.instrument)
        if sound:
            SubElement(named, "instrument-sound").text = sound
        named.append(Element("ensemble" if player.section else "solo"))
    for played in score_part.iter("midi-instrument"):
        SubElement(played, "volume").text = decimal(Fraction(seat.volume * 100, HIGHEST))
        SubElement(played, "pan").text = str(round(Fraction((seat.place - MIDDLE) * _RIGHT, HIGHEST - MIDDLE)))


def _sound(instrument: Instrument) -> str:
    return SOUNDS.get(instrument.key, "")
