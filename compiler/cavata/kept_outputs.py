"""What builds made, so that nothing is made twice: MusicXML and what is played by movement, sound, a build whole.

In: written scores, movements and MIDI files; what the loader read for a build, and what it was asked for. Out: what was
made before of just that, else what is made now, which is then kept. What a movement's MusicXML and its sounds are made
of is what their makers read of the score (`reads`). A build whose script is the same in all its files ends before
anything is computed: its files and its messages are those of the time before.
"""

from __future__ import annotations

import json
import os
from collections.abc import Callable, Mapping, Sequence
from typing import TYPE_CHECKING, Any

from cavata.cache import BUILDS, FILES, TEXTS, compiler_stamps, key_of, library_stamps, stamps
from cavata.diagnostics import Diagnostic, Diagnostics, Severity
from cavata.files import Content
from cavata.musicxml.ids import with_ids
from cavata.musicxml.single import single
from cavata.musicxml.staves import Staves
from cavata.names.loader import Loaded
from cavata.notate.written import WrittenScore
from cavata.reads import RememberedFiles, content, every_field
from cavata.source import Source, Span

if TYPE_CHECKING:
    from cavata.sound.audio import Rendering
    from cavata.sound.midi import MovementSounds, SoundsAlone

# ----------------------------------------------------------------
# Files, each by what it is made of.


LARGEST = FILES.most // 4
"""Bytes of a file that is kept: a WAV file of eleven minutes. A longer one is rendered again."""
_WRITES_MUSICXML, _PLAYS = ("music21",), ("midirenderer", "soundfile", "numpy")
LIBRARIES = (*_WRITES_MUSICXML, *_PLAYS, "mido", "abjad", "pypdf", "verovio", "typst", "fontTools", "brotli")
"""Whatever files are made with, besides LilyPond."""


class KeptOutputs:
    """Makes the files of a build that need no engraver; to be used in a `with` statement."""

    def __init__(self, fresh: bool = False) -> None:
        """With `fresh` everything is made again."""
        self._musicxml = _remembered(_WRITES_MUSICXML, fresh)
        self._soundings = _remembered((), fresh)
        self._sounds: RememberedFiles | None = None
        self._fresh = fresh

    def __enter__(self) -> KeptOutputs:
        return self

    def __exit__(self, *_: object) -> None:
        for files in (self._musicxml, self._soundings, self._sounds):
            if files is not None:
                files.save()

    def musicxml(self, page: WrittenScore, movement: str, staves: Staves | None = None) -> bytes:
        """One movement as MusicXML, as `musicxml_bytes` makes it; what the script calls things is put in each time."""
        made_of = single(page, movement, staves)

        def make() -> bytes:
            from cavata.musicxml.document import document

            return document(made_of)

        return with_ids(self._musicxml.of(made_of, make), made_of.score.movements[0])

    def sounding(self, made_of: SoundsAlone) -> MovementSounds:
        """How one movement sounds."""
        from cavata.sound.midi import movement_sounds
        from cavata.sound.packed import packed, unpacked

        made: list[MovementSounds] = []

        def make() -> bytes:
            made.append(movement_sounds(made_of))
            return packed(made[0])

        body = self._soundings.of(made_of, make)
        return made[0] if made else unpacked(body)

    def sound(self, midi: bytes, kind: str, rendered: Callable[[], Rendering]) -> Content:
        """A MIDI file played, as `wav` or `mp3`. Raises AudioFault where something is missing."""
        from cavata.sound.soundfont import soundfont_file

        if self._sounds is None:
            font = soundfont_file()
            self._sounds = _remembered(_PLAYS, self._fresh, str(font).encode("utf-8", "replace") + stamps([font]))
        known = self._sounds.known((midi, kind))
        if known is not None:
            return known
        sound = rendered()
        if kind == "wav" and sound.size > LARGEST:
            return sound.wav()

        def make() -> bytes:
            from cavata.sound.audio import mp3_of

            return mp3_of(sound) if kind == "mp3" else b"".join(sound.wav())

        return self._sounds.of((midi, kind), make)


def _remembered(libraries: Sequence[str], fresh: bool, more: bytes = b"") -> RememberedFiles:
    about = b"\0".join((repr(libraries).encode(), compiler_stamps(), library_stamps(libraries), more))
    return RememberedFiles(TEXTS, FILES, about, fresh)


# ----------------------------------------------------------------
# A build whole, by all that was read for it: the script and what it uses, as the loader found them.


SETTINGS = ("CAVATA_TRACE",)
"""Variables of the environment that decide what a build makes, besides those that name a program, a font or a folder
that is looked into here."""


class KeptBuild:
    """One build: what is there of it from the time before, and a place for what it makes now."""

    def __init__(self, loaded: Loaded, order: str, drawn_with: bytes, sounds: bool, bag: Diagnostics) -> None:
        """`order` says all that is asked for, and `bag` has what the loader reported, which it reports anew each time.

        `drawn_with` are the engraver and its fonts, `sounds` says whether anything is played.
        """
        self._key = key_of(
            "build", compiler_stamps(), library_stamps(LIBRARIES), drawn_with, _soundfont() if sounds else b"",
            repr([os.environ.get(name) for name in SETTINGS]), order, *_read(loaded),
        )  # fmt: skip
        self._bag = bag
        self._said_before = len(bag.collected)

    def files(self) -> Mapping[str, Content] | None:
        """The files of the time before, whose messages go into the bag; None if they are not all there."""
        told = BUILDS.read_as(self._key, _told)
        if told is None:
            return None
        names, messages = told
        files: dict[str, Content] = {}
        for file, name in names:
            body = FILES.read_content(name)
            if body is None:
                return None
            files[file] = body
        self._bag.report_all(messages)
        return files

    def keep(self, files: Mapping[str, Content]) -> None:
        """Keep what was made, and what was said since the script was read; nothing of what went wrong."""
        whole = {file: body for file, body in files.items() if isinstance(body, bytes)}
        small = sum(map(len, whole.values())) <= LARGEST and len(whole) == len(files)
        if self._bag.has_errors or self._bag.overflowed or not small:
            return
        names = [(file, FILES.keep_content(body)) for file, body in whole.items()]
        BUILDS.keep(self._key, _packed(names, self._bag.collected[self._said_before :]))


def _read(loaded: Loaded) -> Sequence[bytes | str]:
    """All that the loader read, and what it made of it: which file each `use` means."""
    texts = [part for key, module in loaded.modules.items() for part in (key, module.source.name, module.source.text)]
    uses = [(key, target) for key, found in loaded.uses.items() for _, target in found]
    return (
        loaded.main, repr((uses, sorted(loaded.borrowed), len(texts))), *texts,
        content(loaded.tunes, every_field()) if loaded.tunes else b"",
    )  # fmt: skip


def _soundfont() -> bytes:
    from cavata.sound.soundfont import AudioFault, soundfont_file

    try:
        font = soundfont_file()
    except AudioFault:
        return b""
    return str(font).encode("utf-8", "surrogatepass") + stamps([font])


_Names = Sequence[tuple[str, str]]
"""Of each file how it is called, and under which name its content is kept."""


def _packed(names: _Names, messages: Sequence[Diagnostic]) -> bytes:
    """The names and the messages as JSON, with the texts that these point at."""
    sources: dict[Source, int] = {}

    def place(span: Span) -> tuple[int, int, int]:
        return sources.setdefault(span.source, len(sources)), span.start, span.end

    said = [
        [m.code, m.severity.value, m.message, m.span and place(m.span), m.label, m.cure,
         [(place(span), note) for span, note in m.also]]
        for m in messages
    ]  # fmt: skip
    texts = [(source.name, source.text) for source in sources]
    return json.dumps({"files": names, "messages": said, "texts": texts}).encode("utf-8", "surrogatepass")


def _told(body: bytes) -> tuple[_Names, list[Diagnostic]]:
    told = json.loads(body.decode("utf-8", "surrogatepass"))
    sources = [Source(str(name), str(text)) for name, text in told["texts"]]

    def span(place: Sequence[Any]) -> Span:
        source, start, end = place
        return Span(sources[source], int(start), int(end))

    messages = [
        Diagnostic(
            str(code), Severity(severity), str(message), place and span(place), str(label), str(cure),
            tuple((span(other), str(note)) for other, note in also),
        )
        for code, severity, message, place, label, cure, also in told["messages"]
    ]  # fmt: skip
    return [(str(file), str(name)) for file, name in told["files"]], messages
