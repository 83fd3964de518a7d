"""The piece as it sounds, from any bar, while it is written.

In: a state of the piece, one of its movements, and which piece of it is wanted. Out: that piece as sound, all parts
together, some of them, or each by itself; and when each bar begins. After a change only the pieces are rendered in
which something sounds otherwise. How loud the whole is rendered stays until it is played anew from its beginning.
"""

from __future__ import annotations

import json
from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from fractions import Fraction
from threading import RLock
from typing import TYPE_CHECKING, Any

from cavata.cache import HEARD, compiler_stamps, key_of, library_stamps, stamps
from cavata.desk.sound.performed import performed, players
from cavata.desk.sound.pieces import SoundPiece, pieces_of
from cavata.perform.perform import MovementAlone, PlayedMovement, movements_alone
from cavata.score.score import Score
from cavata.sound.audio import Synthesizer, overflows, wav_header
from cavata.sound.audio_events import (
    BLOCK,
    RATE,
    Channel,
    Happening,
    in_order,
    last_sample,
    midi_stretch,
    rendered_together,
)
from cavata.sound.balance import Probe, without_holes
from cavata.sound.soundfont import soundfont_file
from cavata.sound.sounding import SoundingMovement, by_themselves, middle_keys

if TYPE_CHECKING:
    from cavata.sound.audio import Frames, Written

SEAM = 1024
"""Samples that a piece has beyond its end; over them it fades out while the next fades in."""
_LEAD = 2 * RATE
"""What is rendered before a piece and thrown away: what was struck before sounds on."""
_TAIL = 5 * RATE
"""How long the last notes of a movement may die away."""
_FADE = RATE // 50
_FULL = 32767
_ROOM = 0.7
"""Of full scale, what the loudest piece comes to: a change may make one louder."""
_QUIETER = 0.7
_HELD, _SCORES, _PACES = 8, 3, 2
"""Movements whose performance is kept, and scores; at how many paces each."""
_VERSIONS = 2
"""Of the movement that is edited: as it is now, and as it was before, for they are heard beside each other."""


@dataclass(slots=True)
class _Kept:
    """A movement that was played."""

    alone: MovementAlone
    how: PlayedMovement
    soundings: dict[Fraction, SoundingMovement]
    """By how much slower it is."""
    pieces: tuple[SoundPiece, ...]
    before: Mapping[Fraction, SoundingMovement]
    """Those of the movement from which it was changed."""


@dataclass(frozen=True, slots=True)
class RenderLevel:
    """How loud everything is rendered."""

    gain: float
    volumes: tuple[float, ...]
    """For each part by what its volume is multiplied."""
    players: tuple[object, ...]
    """For whom that is."""


class HeardPiece:
    """What is heard of a piece, kept while it changes."""

    def __init__(self) -> None:
        """Raises AudioFault where something is missing."""
        self._synthesizer = Synthesizer()
        font = soundfont_file()
        named = str(font).encode("utf-8", "backslashreplace")
        self._about = named + stamps([font]) + library_stamps(["midirenderer", "numpy"]) + compiler_stamps()
        self._probe = Probe(self._synthesizer.frames)
        self._known = self._read_probe()
        self._kept: list[_Kept] = []
        """Those that were asked for last stand first."""
        self._scores: list[tuple[Score, tuple[MovementAlone, ...]]] = []
        self._window: tuple[SoundingMovement | None, SoundPiece | None, _Window | None] = (None, None, None)
        """What was played last: each part of it may be asked for by itself."""
        self._levels: list[RenderLevel] = []
        self._lock = RLock()
        self.rendered = 0
        """How many pieces were rendered so far."""

    # ---------------------------------------------------------------- how it is played

    def movement(
        self, score: Score, number: int, slower: Fraction = Fraction(1)
    ) -> tuple[SoundingMovement, tuple[SoundPiece, ...]]:
        """A movement as it is played, every beat so many times as long, and its pieces."""
        with self._lock:
            kept = self._played(self._alone(score)[number], score)
            if slower not in kept.soundings:
                kept.soundings[slower] = SoundingMovement(
                    score, kept.alone.movement, kept.how, slower, kept.before.get(slower)
                )
                if len(kept.soundings) > _PACES:
                    del kept.soundings[next(iter(kept.soundings))]
            return kept.soundings[slower], kept.pieces

    def _alone(self, score: Score) -> tuple[MovementAlone, ...]:
        """The movements as they are played; of the scores asked for last they are made once."""
        for known in self._scores:
            if known[0] is score:
                return known[1]
        made = movements_alone(score)
        self._scores[:] = [(score, made), *self._scores][:_SCORES]
        return made

    def play_anew(self) -> None:
        """Forget how movements were played, and how loud: what is asked for next is as if nothing had been before."""
        with self._lock:
            self._kept.clear()
            self._levels.clear()

    def _played(self, alone: MovementAlone, score: Score) -> _Kept:
        for kept in self._kept:
            if kept.alone.movement is alone.movement:
                self._kept.remove(kept)
                self._kept.insert(0, kept)
                return kept
        versions: dict[str, list[_Kept]] = {}
        for kept in self._kept:
            versions.setdefault(kept.alone.movement.name, []).append(kept)
        earlier = versions.pop(alone.movement.name, [])
        before = earlier[0] if earlier else None
        how, _ = performed(alone, before.alone, before.how) if before else performed(alone)
        made = _Kept(alone, how, {}, pieces_of(alone.movement), before.soundings if before else {})
        others = (each[0] for each in versions.values())
        self._kept[:] = [made, *earlier[: _VERSIONS - 1], *others][:_HELD]
        return made

    # ---------------------------------------------------------------- how loud

    def level(self, score: Score) -> RenderLevel:
        """How loud everything is rendered; as before, if the same players were heard before."""
        with self._lock:
            playing = players(score.parts)
            for known in self._levels:
                if known.players == playing:
                    return known
            volumes = tuple(
                1.0 if key is None else self._probe.due_volume(part.instrument.program, key)
                for part, key in zip(score.parts, middle_keys(score), strict=True)
            )
            plain = RenderLevel(1.0, volumes, playing)
            peak = max((self._peak(score, number, plain) for number in range(len(score.movements))), default=0)
            level = RenderLevel(_ROOM * _FULL / peak, volumes, playing) if peak else plain
            self._levels[:] = [level, *self._levels][:_HELD]
            self._keep_probe()
            return level

    def _peak(self, score: Score, number: int, level: RenderLevel) -> float:
        """The loudest sample of the piece of a movement in which most is struck, by the squares of velocities."""
        import numpy as np

        sounding, pieces = self.movement(score, number)
        ends = [sounding.sample(piece.end) for piece in pieces]
        struck = [0] * (len(pieces) + 1)
        for part in sounding.played(Fraction(0), sounding.movement.duration):
            for event in part:
                if event.strikes:
                    struck[int(np.searchsorted(ends, event.sample, "right"))] += event.message.velocity**2
        loudest = max(range(len(pieces)), key=struck.__getitem__, default=None)
        if loudest is None or not struck[loudest]:
            return 0.0
        everyone = tuple(range(len(score.parts)))
        frames = self._rendered(self._files(sounding, pieces[loudest], everyone, level, last=False))
        return float(np.abs(frames).max(initial=0))

    # ---------------------------------------------------------------- pieces

    def sound(
        self, score: Score, number: int, piece: int, voices: Sequence[Sequence[int]], slower: Fraction = Fraction(1)
    ) -> bytes:
        """A piece of a movement as a WAV file, with the channels of `frames`."""
        return _wav(self.frames(score, number, piece, voices, slower))

    def frames(
        self, score: Score, number: int, piece: int, voices: Sequence[Sequence[int]], slower: Fraction = Fraction(1)
    ) -> Written:
        """A piece of a movement; for each group of parts, by their numbers, a left and a right channel.

        It goes on for SEAM samples after its end; the last one of a movement until it has died away.
        """
        import numpy as np

        with self._lock:
            level = self.level(score)
            sounding, pieces = self.movement(score, number, slower)
            last = piece == len(pieces) - 1
            found = [self._samples(sounding, pieces[piece], tuple(parts), level, last) for parts in voices]
        longest = max(len(samples) for samples in found)
        pairs = [np.frombuffer(samples.ljust(longest, b"\0"), "<i2").reshape(-1, 2) for samples in found]
        return pairs[0] if len(pairs) == 1 else np.concatenate(pairs, axis=1)

    def tones(self, notes: Sequence[tuple[int, float, float]], program: int) -> bytes:
        """Notes by themselves as a WAV file: each a key, when it begins and how long it is, in seconds."""
        import numpy as np

        together = by_themselves(notes, program)
        volume = {(0, 0): self._probe.due_volume(program, notes[0][0])}
        with self._lock:
            frames = self._synthesizer.frames(midi_stretch(together, 0, last_sample(together) + RATE, volume))
        peak = int(np.abs(frames).max(initial=1)) or 1
        return _wav(_until_silent(np.rint(frames * (_ROOM * _FULL / peak)).astype("<i2")))

    def _samples(
        self, sounding: SoundingMovement, piece: SoundPiece, parts: tuple[int, ...], level: RenderLevel, last: bool
    ) -> bytes:
        """The samples of some parts together, left and right in turn; those that were rendered before, if any were."""
        import numpy as np

        made_of = self._files(sounding, piece, parts, level, last)
        key = key_of("heard", self._about, repr((level.gain, made_of.lead, made_of.length, last)), *made_of.files(1.0))
        known = HEARD.read(key)
        if known is not None:
            return known
        frames = self._rendered(made_of) * level.gain
        loud = np.abs(frames)
        knee = 0.9 * _FULL
        soft = np.sign(frames) * (knee + (_FULL - knee) * np.tanh((loud - knee) / (_FULL - knee)))
        samples = np.rint(np.where(loud > knee, soft, frames)).astype("<i2")
        if last:
            samples = _until_silent(samples)
        body = samples.tobytes()
        HEARD.keep(key, body)
        return body

    def _files(
        self, sounding: SoundingMovement, piece: SoundPiece, parts: tuple[int, ...], level: RenderLevel, last: bool
    ) -> _Files:
        window = self._around(sounding, piece, last)
        volumes = {event.channel: level.volumes[part] for part in parts for event in window.played[part][:1]}
        together = in_order(event for part in parts for event in window.played[part])
        return _Files(together, volumes, window, self._probe)

    def _around(self, sounding: SoundingMovement, piece: SoundPiece, last: bool) -> _Window:
        if self._window[0] is not sounding or self._window[1] is not piece:
            begin, end = sample_of(sounding, piece.begin), sample_of(sounding, piece.end)
            lead = min(_LEAD, begin) // BLOCK * BLOCK
            until = end + (_TAIL if last else SEAM)
            since = _onset_before(sounding, piece, begin - lead)
            played = sounding.played(since, _onset_after(sounding, piece, until))
            self._window = sounding, piece, _Window(begin, lead, until - begin, played)
        assert self._window[2] is not None
        return self._window[2]

    def _rendered(self, made_of: _Files) -> Frames:
        """What is heard, at the level 1; rendered more softly where that is louder than the synthesizer can say."""
        import numpy as np

        self.rendered += 1
        level = 1.0
        while True:
            frames = np.zeros((made_of.length, 2), np.int32)
            over = False
            for file in made_of.files(level):
                played = self._synthesizer.frames(file)[made_of.lead : made_of.lead + made_of.length]
                over |= overflows(played)
                frames[: len(played)] += played
            if not over:
                return np.rint(frames / level**2).astype(np.int32)
            level *= _QUIETER

    # ---------------------------------------------------------------- what is known of the SoundFont

    def _read_probe(self) -> int:
        told = HEARD.read_as(key_of("probe", self._about), json.loads)
        for program, key, loudness in told["loud"] if told else ():
            self._probe.loudnesses[program, key] = loudness
        for program, key, sounds in told["sounding"] if told else ():
            self._probe.sounding[program, key] = sounds
        return self._count

    @property
    def _count(self) -> int:
        return len(self._probe.loudnesses) + len(self._probe.sounding)

    def _keep_probe(self) -> None:
        """Keep what was learned of single notes for other desks."""
        if self._count != self._known:
            self._known = self._count
            loud = [(*place, value) for place, value in self._probe.loudnesses.items()]
            sounding = [(*place, value) for place, value in self._probe.sounding.items()]
            told = json.dumps({"loud": loud, "sounding": sounding}).encode()
            HEARD.keep(key_of("probe", self._about), told)


@dataclass(frozen=True, slots=True)
class _Window:
    """What is played in a piece, and for some seconds before it."""

    begin: int
    lead: int
    length: int
    """In samples: where the piece begins in the movement, what is rendered before it, and how long it is."""
    played: tuple[tuple[Happening, ...], ...]
    """For each part."""


class _Files:
    """What is rendered for a piece: small MIDI files, each for what one synthesizer can play at once."""

    def __init__(
        self, events: tuple[Happening, ...], volumes: Mapping[Channel, float], window: _Window, probe: Probe
    ) -> None:
        self.lead, self.length, self._begin = window.lead, window.length, window.begin
        self._volumes = volumes
        sounding, bent = without_holes(events, probe)
        groups = [
            tuple(event for event in sounding if event.channel in group) for group in rendered_together(sounding)
        ]
        self._groups = [*groups, bent] if bent else groups

    def files(self, level: float) -> list[bytes]:
        """The files, with volumes times a level."""
        levels = {channel: volume * level for channel, volume in self._volumes.items()}
        until = self._begin + self.length + BLOCK
        return [midi_stretch(events, self._begin - self.lead, until, levels) for events in self._groups]


def sample_of(sounding: SoundingMovement, moment: Fraction) -> int:
    """The sample with which a piece begins that begins at a moment: the synthesizer begins everything with a block."""
    return sounding.sample(moment) // BLOCK * BLOCK


def _onset_before(sounding: SoundingMovement, piece: SoundPiece, sample: int) -> Fraction:
    """The beginning of a bar no later than a sample."""
    bars = sounding.movement.bars
    index = min(piece.bar, len(bars) - 1)
    while index > 0 and sounding.sample(bars[index].onset) > sample:
        index -= 1
    return bars[index].onset if bars else Fraction(0)


def _onset_after(sounding: SoundingMovement, piece: SoundPiece, sample: int) -> Fraction:
    """The beginning of a bar later than a sample, or the movement's end."""
    for bar in sounding.movement.bars[piece.bar :]:
        if sounding.sample(bar.onset) > sample:
            return bar.onset
    return sounding.movement.duration


def _until_silent(samples: Any) -> Any:
    """The samples up to the last that is heard, fading there."""
    import numpy as np

    heard = np.flatnonzero(np.abs(samples).max(axis=1) > _FULL // 1000)
    kept = samples[: int(heard[-1]) + 1 if len(heard) else 0]
    away = np.minimum(np.arange(len(kept), 0, -1) / _FADE, 1.0)
    return np.rint(kept * away[:, None]).astype("<i2")


def _wav(frames: Written) -> bytes:
    return wav_header(frames.nbytes, frames.shape[1]) + frames.tobytes()
