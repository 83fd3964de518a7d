"""Signs at notes read back from files, by other means than those that wrote them.

MusicXML is read twice, by an XML parser and by music21; LilyPond's text by an own small reading of its tokens; MIDI by
mido. Each reading counts signs by kind and content. Names of elements: MusicXML 4.0, `note.mod` and `direction.mod`;
names of commands: LilyPond's Notation Reference 2.24, appendix A and B; meta events and control 64: Standard MIDI Files
1.0, General MIDI Level 1.
"""

from __future__ import annotations

import re
from collections import Counter
from collections.abc import Iterator, Sequence
from io import BytesIO
from typing import Any
from xml.etree import ElementTree
from xml.etree.ElementTree import Element

import mido
from music21 import articulations, chord, converter, dynamics, expressions, harmony, note, spanner

Count = Counter[tuple[str, str]]
"""How many signs of a kind and content there are."""

# ---------------------------------------------------------------- MusicXML, by its elements

XML_ARTICULATIONS = {
    "staccato": "staccato", "staccatissimo": "staccatissimo", "tenuto": "tenuto", "accent": "accent",
    "strong-accent": "marcato", "detached-legato": "portato", "up-bow": "upbow", "down-bow": "downbow",
    "open-string": "open", "stopped": "stopped", "harmonic": "harmonic",
    "breath-mark": "breath", "caesura": "caesura",
}  # fmt: skip
_XML_DIVISIONS = {"tick": "quarter", "short": "half", "regular": "full", "light-light": "double"}
XML_ORNAMENTS = {"trill-mark": "trill", "turn": "turn", "mordent": "mordent"}


def read_xml(document: bytes, texts: frozenset[str]) -> Count:
    """Every sign in a document; of words only those that are asked for, since titles and tempi are words too."""
    root = ElementTree.fromstring(document)
    found: Count = Counter()
    for direction in root.iter("direction"):
        for kind in direction.iter("direction-type"):
            found.update(_xml_direction(kind, texts))
    # Of a diminuendo to nothing the circle is said at its end.
    dies = sum(1 for wedge in root.iter("wedge") if wedge.get("type") == "stop" and wedge.get("niente") == "yes")
    found["hairpin", "diminuendo to nothing"] += dies
    found["hairpin", "diminuendo"] -= dies
    found["chord symbol", ""] = len(list(root.iter("harmony")))
    found["figures", ""] = len(list(root.iter("figured-bass")))
    styles = (line.findtext("bar-style", "") for line in root.iter("barline") if line.get("location") == "middle")
    found.update(("division", _XML_DIVISIONS[style]) for style in styles)
    for one in root.iter("note"):
        found.update(_xml_note(one))
    return found


def _xml_direction(kind: Element, texts: frozenset[str]) -> Iterator[tuple[str, str]]:
    yield from (("dynamic", child.tag) for marks in kind.iter("dynamics") for child in marks)
    for wedge in kind.iter("wedge"):
        shape = wedge.get("type", "")
        if shape == "stop":
            yield "end of hairpin", ""
        else:  # the circle of a diminuendo stands at its end
            yield "hairpin", "crescendo from nothing" if wedge.get("niente") == "yes" else shape
    for pedal in kind.iter("pedal"):
        yield "pedal" if pedal.get("type") == "start" else "end of pedal", ""
    for words in kind.iter("words"):
        if words.get("font-style") == "normal":
            yield "label", words.text or ""
        elif words.text in texts:
            yield "text", words.text or ""


def _xml_note(one: Element) -> Iterator[tuple[str, str]]:
    first = one.find("chord") is None
    if one.find("grace") is not None:
        if first:
            yield "grace note", ""
        return
    if first and one.find("cue") is None:
        yield from (("optional note", "") for kind in one.iter("type") if kind.get("size") == "cue")
    rings = [tied for tied in one.iter("tied") if tied.get("type") == "let-ring"]
    yield from [("articulation", "let_ring")] * (first and bool(rings))
    if first and one.findtext("notehead") == "x":
        yield "note head", ""
    if first and one.findtext("stem") == "none":
        yield "stem", ""
    for tied in one.iter("tied"):
        if tied in rings:
            continue
        yield "tie" if tied.get("type") == "start" else "end of tie", ""
    for lyric in one.iter("lyric"):
        if lyric.find("text") is not None:
            yield "syllable", "~".join(text.text or "" for text in lyric.iter("text"))
        if [syllabic.text for syllabic in lyric.iter("syllabic")][-1:] in (["begin"], ["middle"]):
            yield "hyphen", ""
        yield from (("extender", "") for extend in lyric.iter("extend") if extend.get("type") == "start")
    for notations in one.iter("notations") if first else ():
        yield from _xml_notations(notations)


def _xml_notations(notations: Element) -> Iterator[tuple[str, str]]:
    for child in (*notations.iterfind("articulations/*"), *notations.iterfind("technical/*")):
        if any(child.find(head) is not None for head in ("base-pitch", "touching-pitch")):
            yield "harmonic", ""
        elif child.tag not in ("string", "fret"):
            yield "articulation", XML_ARTICULATIONS[child.tag]
    yield from (("fermata", "fermata") for _ in notations.iter("fermata"))
    for slur in notations.iter("slur"):
        yield "slur" if slur.get("type") == "start" else "end of slur", ""
    yield from (("ornament", XML_ORNAMENTS[o.tag]) for o in notations.iterfind("ornaments/*") if o.tag in XML_ORNAMENTS)
    yield from (("ornament", "rolled") for _ in notations.iter("arpeggiate"))
    yield from (("tremolo", "") for _ in notations.iter("tremolo"))
    for glide in notations.iter("glissando"):
        yield "glissando" if glide.get("type") == "start" else "end of glissando", ""


# ---------------------------------------------------------------- MusicXML, by music21

_M21_ARTICULATIONS = {
    articulations.Staccato: "staccato", articulations.Staccatissimo: "staccatissimo", articulations.Tenuto: "tenuto",
    articulations.Accent: "accent", articulations.StrongAccent: "marcato", articulations.DetachedLegato: "portato",
    articulations.UpBow: "upbow", articulations.DownBow: "downbow", articulations.OpenString: "open",
    articulations.Stopped: "stopped", articulations.StringHarmonic: "harmonic", articulations.Harmonic: "harmonic",
    articulations.BreathMark: "breath", articulations.Caesura: "caesura",
}  # fmt: skip
_M21_ORNAMENTS = {
    expressions.Trill: "trill", expressions.Turn: "turn", expressions.Mordent: "mordent",
    expressions.ArpeggioMark: "rolled",
}  # fmt: skip


def read_music21(document: bytes, texts: frozenset[str]) -> Count:
    """Every sign that music21 finds in a document."""
    found: Count = Counter()
    for element in converter.parse(document, format="musicxml").recurse():
        found.update(_m21_signs(element, texts))
    return found


def _m21_signs(element: Any, texts: frozenset[str]) -> Iterator[tuple[str, str]]:
    match element:
        case dynamics.Dynamic():
            yield "dynamic", element.value
        case dynamics.Crescendo() | dynamics.Diminuendo():
            yield "hairpin", "crescendo" if isinstance(element, dynamics.Crescendo) else "diminuendo"
        case spanner.Slur():
            yield "slur", ""
        case spanner.Glissando():
            yield "glissando", ""
        case harmony.ChordSymbol():
            yield "chord symbol", ""
        case expressions.TextExpression():
            if element.content in texts:
                yield "text", element.content
        case note.GeneralNote():
            yield from _m21_note(element)
        case _:
            return


def _m21_note(element: Any) -> Iterator[tuple[str, str]]:
    if element.duration.isGrace:
        yield "grace note", ""
        return
    touched = any(h.notehead == "diamond" for h in (element.notes if isinstance(element, chord.Chord) else (element,))
                  if isinstance(h, note.Note))  # fmt: skip
    for sign in element.articulations:
        if isinstance(sign, articulations.StringHarmonic) and touched:
            yield "harmonic", ""
        elif not isinstance(sign, articulations.StringIndication | articulations.FretIndication):
            yield "articulation", _M21_ARTICULATIONS[type(sign)]
    for sign in element.expressions:
        if isinstance(sign, expressions.Fermata):
            yield "fermata", "fermata"
        elif isinstance(sign, expressions.Tremolo):
            yield "tremolo", ""
        elif type(sign) in _M21_ORNAMENTS:
            yield "ornament", _M21_ORNAMENTS[type(sign)]
    heads = element.notes if isinstance(element, chord.Chord) else (element,)
    if getattr(heads[0], "notehead", "") == "x":
        yield "note head", ""
    if getattr(heads[0], "stemDirection", "") == "noStem":
        yield "stem", ""
    for head in heads:
        tie = getattr(head, "tie", None)
        if tie is not None and tie.type == "let-ring":
            yield "articulation", "let_ring"
        if tie is not None and tie.type in ("start", "continue"):
            yield "tie", ""
        if tie is not None and tie.type in ("stop", "continue"):
            yield "end of tie", ""
    for lyric in element.lyrics:
        if lyric.text:
            yield "syllable", lyric.text.replace("\u203f", "~")
        last = lyric.components[-1] if lyric.isComposite else lyric
        if last.syllabic in ("begin", "middle"):
            yield "hyphen", ""


# ---------------------------------------------------------------- LilyPond's text

_LY_ARTICULATIONS = frozenset((
    "staccato", "staccatissimo", "tenuto", "accent", "marcato", "portato", "upbow", "downbow", "open", "stopped",
    "flageolet", "breathe", "caesura", "laissezVibrer",
))  # fmt: skip
_LY_NAMES = {"flageolet": "harmonic", "breathe": "breath", "laissezVibrer": "let_ring"}
_LY_DYNAMICS = frozenset((
    "pppp", "ppp", "pp", "p", "mp", "mf", "f", "ff", "fff", "ffff", "fp", "sf", "sfz", "sfp", "rf", "rfz",
))  # fmt: skip
_LY_ORNAMENTS = {"trill": "trill", "turn": "turn", "mordent": "mordent", "arpeggio": "rolled"}
_LY_SIMPLE = {
    "(": "slur", ")": "end of slur", "\\glissando": "glissando", "\\sustainOn": "pedal",
}  # fmt: skip
_SCRIPT = re.compile(r'-#\(make-dynamic-script "([^"]*)"\)')
"""Dynamics that are one sign together, or unknown to LilyPond."""
_OVER_HAIRPIN = re.compile(r'[_^]\\markup \\dynamic "([^"]*)"')
"""An attack within a hairpin, which goes on."""
_TOUCHED = "\\tweak NoteHead.style #'harmonic"
"""Before a head that is a diamond; in a chord each head has a line."""
_SOUND = re.compile(r"(<[^<>]+>|[a-g][fs]*[',]*[!?]?|[rR])(\\breve|\\longa|\d+)\S*(?: \* .*)?$")
_NOTE = re.compile(r"[a-g](?:ff|f|ss|s)?[',]*[!?]?")


def read_lilypond(text: str, texts: frozenset[str]) -> Count:
    """Every sign in a text in which each sign stands on a line of its own after its note; a dynamic or another hairpin
    ends one that is open."""
    found: Count = Counter()
    open_hairpin, sounds, lyrics, waiting = False, 0, "", ""
    group: list[str] = []
    for line in (*_ly_lines(text), "\\context Voice"):
        if line.startswith(("\\context", "\\new")):
            lyrics = "sung" if line.startswith("\\new Lyrics") else ""
            lyrics = "figures" if line.startswith("\\new FiguredBass") else lyrics
        starts = bool(_SOUND.match(line)) or line.startswith(("\\context Voice", "|"))
        if starts or line.startswith("\\after"):
            if group:
                open_hairpin = _ly_note(group, open_hairpin, waiting, found, texts)
                group, waiting = [], ""
            if line.startswith("\\after"):
                script = _SCRIPT.search(line)
                waiting = script[1] if script else line.rpartition("\\")[2]
                continue
            if line.startswith("\\context Voice"):
                open_hairpin = False
            if _SOUND.match(line):
                group, sounds = [line], sounds + 1
        elif group:
            group.append(line)
        found.update(_ly_before(line, lyrics))
    return found


def _ly_lines(text: str) -> Iterator[str]:
    """The lines, a chord on one, and before it or a note one line if it has a diamond that no tie leads to."""
    tied = False
    inside: list[str] | None = None
    for line in map(str.strip, text.splitlines()):
        if line == "<":
            inside = []
        elif inside is None:
            yield from () if line == _TOUCHED and tied else (line,)
            tied = line == "~" or (tied and line.startswith(("|", "\\", "-", ")", "}")) and line != _TOUCHED)
        elif not line.startswith(">"):
            inside.append(line)
        else:
            yield from (_TOUCHED,) if _TOUCHED in inside and not tied else ()
            yield f"<{' '.join(head for head in inside if not head.startswith(_TOUCHED[:6]))}{line}"
            inside, tied = None, False


def _ly_note(group: Sequence[str], open_hairpin: bool, waiting: str, found: Count, texts: frozenset[str]) -> bool:
    """Count what stands at a note; whether a hairpin is open after it."""
    words = [line.removeprefix("- ").removeprefix("^ ").removeprefix("_ ") for line in group[1:]]
    heads = len(_NOTE.findall(group[0])) if group[0].startswith("<") else 1
    loud = [word[1:] for word in words if word[1:] in _LY_DYNAMICS and word.startswith("\\")]
    loud += [name for line in group for said in _SCRIPT.findall(line) for name in said.split()]
    attacks = [name for line in group for said in _OVER_HAIRPIN.findall(line) for name in said.split()]
    circled = "\\tweak circled-tip ##t "
    begins = {"\\<": "crescendo", "\\>": "diminuendo"}
    begins |= {circled + "\\<": "crescendo from nothing", circled + "\\>": "diminuendo to nothing"}
    swells = [begins[word] for word in words if word in begins]
    if open_hairpin and (loud or swells or "\\!" in words):
        found["end of hairpin", ""] += 1
        open_hairpin = False
    for word in words:
        name = word.removeprefix("\\")
        if word in _LY_SIMPLE:
            found[_LY_SIMPLE[word], ""] += 1
        elif word == "~":
            found["tie", ""] += heads
        elif re.fullmatch(r":\d+", word):
            found["tremolo", ""] += 1
        elif name in _LY_ARTICULATIONS:
            found["articulation", _LY_NAMES.get(name, name)] += 1
        elif name == "fermata":
            found["fermata", "fermata"] += 1
        elif name in _LY_ORNAMENTS or name == "startTrillSpan":
            found["ornament", _LY_ORNAMENTS.get(name, "trill")] += 1
        elif drawn := re.search(r"scripts\.(trill|turn|mordent)", word):
            found["ornament", drawn[1]] += 1
        elif word.startswith("\\markup \\small"):
            found["label", ""] += 1
        elif word.startswith("\\markup"):
            found.update(("text", said) for said in re.findall(r'"([^"]*)"', word) if said in texts)
    found.update(("dynamic", name) for name in (*loud, *attacks))
    found.update(("hairpin", name) for name in swells)
    if waiting:
        found["end of hairpin", ""] += 1
        found.update([("dynamic", waiting)] if waiting in _LY_DYNAMICS else [])
        return False
    return open_hairpin or bool(swells)


def _ly_before(line: str, lyrics: str) -> Iterator[tuple[str, str]]:
    if line == "\\once \\set fontSize = #-3":
        yield "optional note", ""
    if line == _TOUCHED:
        yield "harmonic", ""
    if line == "\\once \\override NoteHead.style = #'cross":
        yield "note head", ""
    if line == "\\once \\omit Stem":
        yield "stem", ""
    if line.endswith("\\breathe") and "chant" in line:
        yield "division", line.partition("#'chant")[2].partition("bar")[0]
    if line == "<>\\sustainOff":
        yield "end of pedal", ""
    if re.match(r"s1 \* \d+/\d+ ", line):  # the pedal of two staves has a line of its own
        yield from (("pedal", "") for _ in re.findall(r"\\sustainOn", line))
        yield from (("end of pedal", "") for _ in re.findall(r"\\sustainOff", line))
    for inside in re.findall(r"\\(?:slashedGrace|grace) \{ (.*?) \}", line):
        yield from (("grace note", "") for sound in inside.split() if re.fullmatch(r"(<.*|[a-g]\S*)", sound))
    if lyrics == "figures":
        yield from [("figures", "")] * line.startswith("<")
    elif lyrics and re.search(r" 1 \* \d+/\d+", line) and not line.startswith("\\skip"):
        if line.startswith("\\markup"):
            yield "chord symbol", ""
        else:
            if not line.startswith('""'):  # it is not seen: a line under a syllable ends there
                yield "syllable", line[1 : line.rindex('"')]
    if lyrics and line.endswith(" --"):
        yield "hyphen", ""
    if lyrics and line.endswith(" __"):
        yield "extender", ""


# ---------------------------------------------------------------- MIDI

_DAMPER = 64


def read_midi(document: bytes) -> Count:
    """The words that are sung, and the pedal."""
    found: Count = Counter()
    for track in mido.MidiFile(file=BytesIO(document), charset="utf-8").tracks:
        for message in track:
            if message.type == "lyrics":
                found["syllable", message.text.removesuffix("-").replace("\u203f", "~")] += 1
                found["hyphen", ""] += message.text.endswith("-")
            elif message.type == "control_change" and message.control == _DAMPER:
                found["pedal" if message.value else "end of pedal", ""] += 1
    return found
