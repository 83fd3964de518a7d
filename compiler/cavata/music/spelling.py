"""Names for keys of the keyboard, chosen by the key that a passage is in and by how its voices move.

In: what sounds, moment by moment, each note with the voice it belongs to. Out: a spelled pitch for each.

The method is that of Teodoru and Raphael ("Pitch spelling with conditionally independent voices", ISMIR 2007): keys
follow one another as a hidden Markov chain, and given the key each voice is a chain of spelled notes; both are found by
dynamic programming (Viterbi). Other than there a key may change at any moment, keys are found from the twelve notes
alone before the voices are spelled, and keys far from the one that the piece is mostly in cost more.

Places are those of the line of fifths: C is 0, G 1, F -1. Costs are hundredths of a natural logarithm, whole numbers,
so that the same notes have the same names on every machine. Those of notes in a key were counted in scores
(`tests/bench/spelling_study.py` does it, and measures the result on others); those of steps were chosen on them.
"""

from __future__ import annotations

from collections.abc import Hashable, Mapping, Sequence

from cavata.music.mode import Mode
from cavata.music.pitch import FIFTHS_OF_LETTER, NATURAL_SEMITONES, Pitch, fifths

Simultaneity = Sequence[tuple[Hashable, int]]
"""What begins together: for each note its voice, and its key by the MIDI standard."""

_MOST_FIFTHS = 9
"""Keys have a signature of so many sharps or flats at most: two more than are written, for passing through."""
_SIGNATURES = range(-_MOST_FIFTHS, _MOST_FIFTHS + 1)
_WIDTH = len(_SIGNATURES)
_STATES = tuple((signature, minor) for minor in (0, 1) for signature in _SIGNATURES)
"""Keys: the signature, and whether the key is minor."""

_NAMES = range(-15, 20)
"""From F double flat to B double sharp."""
_FROM = -8
_IN_KEY = (
    (950, 907, 950, 797, 543, 567, 486, 216, 164, 158, 205, 262, 188, 243, 423, 501, 536, 598, 776, 970, 1190, 1080,
     1190),
    (1115, 1005, 954, 1005, 686, 714, 547, 280, 205, 398, 228, 169, 147, 204, 405, 474, 241, 397, 584, 748, 683, 858,
     858),
)
"""What a note costs in a major and in a minor key, by how many fifths it lies above the note of the signature that is
a major key's tonic: from eight below it to fourteen above."""
_FAR = 1250
"""What any note further away costs."""

_CHANGE, _PER_FIFTH, _TO_PARALLEL = 900, 250, 200
"""What a change of key costs: at all, and for each fifth between the signatures; from major to the minor key on the
same tonic, or back, instead of its three fifths."""
_AT_FIRST, _AT_FIRST_ASKED = 15, 300
"""What each fifth costs that the first key lies from C, or from a key that was asked for."""
_NEAR, _BEYOND = 4, 50
"""Within how many fifths of the main key all keys cost the same, and what each further fifth costs at each moment."""


def _name_cost(place: int, signature: int, minor: int) -> int:
    number = place - signature - _FROM
    costs = _IN_KEY[minor]
    return costs[number] if 0 <= number < len(costs) else _FAR


_OF_KEY = tuple(tuple(place for place in _NAMES if (place - 7 * semitone) % 12 == 0) for semitone in range(12))
"""For each of the twelve notes its names."""
_COSTS = tuple({place: _name_cost(place, *state) for place in _NAMES} for state in _STATES)
_CHEAPEST = tuple(
    tuple(min(costs[place] for place in names) for costs in _COSTS) for names in _OF_KEY
)
"""For each of the twelve notes what its best name costs in each key."""


def spell(moments: Sequence[Simultaneity], key: Mode | None = None) -> list[list[Pitch]]:
    """Names for every note; a key that is given is where the notes begin and what they stay near."""
    if not moments:
        return []
    states = _keys(moments, key)
    asked = {} if key is None else {degree.semitone: fifths(degree) for degree in key.degrees}
    names: list[list[Pitch]] = [[Pitch(0, 0)] * len(moment) for moment in moments]
    voices: dict[Hashable, list[tuple[int, int]]] = {}
    for number, moment in enumerate(moments):
        for place, (voice, _) in enumerate(moment):
            voices.setdefault(voice, []).append((number, place))
    for notes in voices.values():
        keys = [moments[number][place][1] for number, place in notes]
        chosen = _voice(keys, [states[number] for number, _ in notes], asked)
        for (number, place), midi, name in zip(notes, keys, chosen, strict=True):
            names[number][place] = _pitch(name, midi)
    return names


def _pitch(place: int, midi: int) -> Pitch:
    """The pitch of a name on the line of fifths that sounds as a key of the keyboard."""
    letter, alter = FIFTHS_OF_LETTER.index((place + 1) % 7 - 1), (place + 1) // 7
    return Pitch(7 * ((midi - alter - NATURAL_SEMITONES[letter]) // 12 - 1) + letter, alter)


# ------------------------------------------------------------------ keys


def _keys(moments: Sequence[Simultaneity], key: Mode | None) -> list[int]:
    """The key at each moment, by its number in _STATES."""
    known: dict[tuple[int, ...], list[int]] = {}
    costs = []
    for moment in moments:
        heard = tuple(sorted(midi % 12 for _, midi in moment))
        if heard not in known:
            rows = [_CHEAPEST[semitone] for semitone in heard]
            known[heard] = [sum(column) // len(rows) for column in zip(*rows, strict=True)]
        costs.append(known[heard])
    if key is not None:
        main = round(sum(map(fifths, key.degrees)) / len(key.degrees)) - 2
        minor = (key.degrees[2].semitone - key.tonic.semitone) % 12 == 3 if len(key.degrees) > 2 else False
        first = [_AT_FIRST_ASKED * (abs(f - main) + (m != minor)) for f, m in _STATES]
        return _path(costs, first, main)
    first = [_AT_FIRST * abs(signature) for signature, _ in _STATES]
    path = _path(costs, first, None)
    main = sorted(_STATES[state][0] for state in path)[len(path) // 2]
    if all(abs(_STATES[state][0] - main) <= _NEAR for state in path):
        return path
    return _path(costs, first, main)


def _path(costs: Sequence[Sequence[int]], first: Sequence[int], main: int | None) -> list[int]:
    """The cheapest way through the keys; near the main one, if that is known."""
    away = [0 if main is None else _BEYOND * max(0, abs(signature - main) - _NEAR) for signature, _ in _STATES]
    total = [a + b + c for a, b, c in zip(costs[0], first, away, strict=True)]
    before: list[list[int]] = []
    for cost in costs[1:]:
        reached, came = _moved(total)
        before.append(came)
        total = [a + b + c for a, b, c in zip(reached, cost, away, strict=True)]
    state = total.index(min(total))
    path = [state]
    for came in reversed(before):
        state = came[state]
        path.append(state)
    return path[::-1]


def _moved(total: list[int]) -> tuple[list[int], list[int]]:
    """For each key the least cost of being in it next, and the key that it comes from."""
    best = [place if total[place] <= total[place + _WIDTH] else place + _WIDTH for place in range(_WIDTH)]
    least = [total[state] for state in best]
    for places in (range(1, _WIDTH), range(_WIDTH - 2, -1, -1)):
        step = -1 if places.step > 0 else 1
        for place in places:
            if least[place + step] + _PER_FIFTH < least[place]:
                least[place], best[place] = least[place + step] + _PER_FIFTH, best[place + step]
    reached, came = total[:], list(range(len(total)))
    for state, cost in enumerate(total):
        place = state % _WIDTH
        if least[place] + _CHANGE < cost:
            reached[state], came[state] = least[place] + _CHANGE, best[place]
        # The parallel key: minor has three flats more.
        other = state + _WIDTH + -3 if state < _WIDTH else state - _WIDTH + 3
        if 0 <= other % _WIDTH == place + (-3 if state < _WIDTH else 3):
            parallel = total[other] + _CHANGE + _TO_PARALLEL
            if parallel < reached[state]:
                reached[state], came[state] = parallel, other
    return reached, came


# ------------------------------------------------------------------ voices

_REPEATED, _STRANGE = 300, 600
"""What it costs to repeat a note by another name, and the most that a step costs."""
_CHROMATIC_FROM_SCALE, _CHROMATIC_FROM_FOREIGN = 100, 250
"""A chromatic semitone, as F to F sharp, from a note of the scale; and from one foreign to it, which should rather
resolve by a diatonic semitone."""
_DIMINISHED_THIRD = 150
_PER_FIFTH_OF_LEAP = 35
"""What a leap costs for each fifth beyond six, as an augmented second or fifth has."""


_NOT_ASKED = 400
"""What it costs to name a degree of the key that was asked for by another name than it has there."""


def _voice(keys: Sequence[int], states: Sequence[int], asked: Mapping[int, int]) -> list[int]:
    """The cheapest names, as places on the line of fifths, for a voice whose keys of the keyboard these are.

    `asked` has the names of the degrees of a key that was asked for.
    """
    names = _OF_KEY[keys[0] % 12]
    total = [_name_in(name, states[0], asked.get(keys[0] % 12)) for name in names]
    before: list[list[int]] = []
    for number in range(1, len(keys)):
        following, degree = _OF_KEY[keys[number] % 12], asked.get(keys[number] % 12)
        semitones = abs(keys[number] - keys[number - 1])
        signature = _STATES[states[number - 1]][0]
        came, now = [], []
        for name in following:
            ways = [t + _step(old, name, semitones, signature) for t, old in zip(total, names, strict=True)]
            least = min(ways)
            came.append(ways.index(least))
            now.append(least + _name_in(name, states[number], degree))
        before.append(came)
        names, total = following, now
    place = total.index(min(total))
    chosen = [names[place]]
    for number in range(len(keys) - 1, 0, -1):
        place = before[number - 1][place]
        chosen.append(_OF_KEY[keys[number - 1] % 12][place])
    return chosen[::-1]


def _name_in(name: int, state: int, degree: int | None) -> int:
    """What a name costs in a key; `degree` is the name that was asked for, if any."""
    return _COSTS[state][name] + (_NOT_ASKED if degree is not None and degree != name else 0)


def _step(old: int, new: int, semitones: int, signature: int) -> int:
    """What it costs to go from one name to the next, so many semitones away."""
    interval = abs(new - old)
    if semitones % 12 == 0:
        return _REPEATED if interval else 0
    if semitones == 1:
        if interval == 7:
            in_scale = -1 <= old - signature <= 5
            return _CHROMATIC_FROM_SCALE if in_scale else _CHROMATIC_FROM_FOREIGN
        return 0 if interval == 5 else _STRANGE
    if semitones == 2:
        return {2: 0, 10: _DIMINISHED_THIRD}.get(interval, _STRANGE)
    return min(_STRANGE, _PER_FIFTH_OF_LEAP * max(0, interval - 6))
