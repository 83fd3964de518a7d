"""What every staff shares at a bar: meter, tempo, rehearsal letter, bar line.

In: a movement and its written spans. Out: one `Frame` a span. A meter is shown where it changes, a
bar line is double before a change of key and at the end of a movement joined to the next by `attacca`,
final at the end of any other. Source: common practice.
"""

from __future__ import annotations

from bisect import bisect_left
from collections.abc import Iterator, Sequence
from fractions import Fraction
from itertools import chain, pairwise, zip_longest

from cavata.instruments.instrument import PageLanguage
from cavata.music.lengths import is_plain
from cavata.notate.written import FormWords, Frame
from cavata.record import record, replace
from cavata.score.page_words import page_words
from cavata.score.score import CODA, FINE, Cue, Meter, Movement, ScoreBar, Tempo, is_jump

# ----------------------------------------------------------------
# The written bars of a movement before any music stands in them.
#
# In: a movement of the score. Out: one `WrittenSpan` after another without gap, for each bar one, several for free
# time, so that its lines can break. Every span's written length is plain (no tuplet is cut short).


FREE_LENGTH = Fraction(2)
"""A stretch of free time is cut about this often, in whole notes."""


@record
class WrittenSpan:
    """One written bar in time."""

    bar: ScoreBar
    onset: Fraction
    end: Fraction
    lead: Fraction = Fraction(0)
    """Silence written before the onset, to make up a pickup of no plain length."""
    tail: Fraction = Fraction(0)
    """Silence written after the end, to make up free time of no plain length."""
    continues: bool = False
    """It goes on with the free time of the span before."""

    @property
    def duration(self) -> Fraction:
        """Its length as written, in whole notes."""
        return self.lead + self.end - self.onset + self.tail


def written_spans(movement: Movement) -> tuple[WrittenSpan, ...]:
    """The movement's bars, with long free time cut where every voice can be."""
    free = any(bar.meter is None for bar in movement.bars)
    busy = _sounding(movement) if free else ()
    cues = [cue for part in movement.staves for staff in part for cue in staff.cues] if free else []
    spans: list[WrittenSpan] = []
    for bar in movement.bars:
        end = bar.end
        if bar.duration == 0:
            continue
        if bar.meter is None:
            spans.extend(_free_spans(bar, end, busy, _around_cues(cues, bar.onset, end)))
        else:
            missing = _missing(bar.duration, Fraction(1, bar.meter.denominator))
            lead, tail = (missing, Fraction(0)) if bar.leads_on else (Fraction(0), missing)
            spans.append(WrittenSpan(bar, bar.onset, end, lead, tail))
    return tuple(spans)


def _missing(length: Fraction, unit: Fraction) -> Fraction:
    """What a length lacks to the next multiple of a unit, if it is not plain itself."""
    return Fraction(0) if is_plain(length) else -length % unit


def _sounding(movement: Movement) -> tuple[tuple[Fraction, Fraction], ...]:
    """Stretches in which some voice sounds one event, from its onset to its end, in order of onset."""
    cues = {(event.onset, event.end) for staff in chain(*movement.staves) for cue in staff.cues for event in cue.events}
    return tuple(sorted({(event.onset, event.end) for event in movement.events} | cues))


def _around_cues(cues: Sequence[Cue], begin: Fraction, end: Fraction) -> tuple[Fraction, ...]:
    """The moments in a stretch of free time at which a cue begins or ends: it has bars of its own."""
    return tuple(sorted({place for cue in cues for place in (cue.onset, cue.end) if begin < place < end}))


def _free_spans(
    bar: ScoreBar, end: Fraction, busy: Sequence[tuple[Fraction, Fraction]], cuts: Sequence[Fraction]
) -> Iterator[WrittenSpan]:
    start, continues = bar.onset, False
    places = [
        place for begin, stop in pairwise((bar.onset, *cuts, end)) for place in (*_free_cuts(begin, stop, busy), stop)
    ]
    for place in places:
        tail = _missing(place - start, Fraction(1, 4)) if place == end else Fraction(0)
        yield WrittenSpan(bar, start, place, tail=tail, continues=continues)
        start, continues = place, True


def _free_cuts(begin: Fraction, end: Fraction, busy: Sequence[tuple[Fraction, Fraction]]) -> Iterator[Fraction]:
    """Plain places that no sound goes through, the first after every two whole notes; no short end is cut off."""
    last = covered = begin
    for onset, until in busy[bisect_left(busy, (begin, Fraction(0))) :]:
        if onset >= end:
            return
        far = onset - last >= FREE_LENGTH and end - onset >= FREE_LENGTH / 2
        if far and onset >= covered and is_plain(onset - last):
            yield onset
            last = onset
        covered = max(covered, until)


# ----------------------------------------------------------------
# How fast the music goes where nothing is printed: for programs that play the page.
#
# In: the tempi of a movement. Out: moments, and the seconds of a whole note from each on. A tempo that only goes on
# from
# the movement before is among them, and a change of tempo is a stair whose steps take just as long as the change.
# Fermatas are left to who plays.


STEP = Fraction(1, 8)
"""How often the tempo is set anew while it changes, in whole notes."""


def sounding_tempi(tempi: Sequence[Tempo], end: Fraction) -> Iterator[tuple[Fraction, Fraction]]:
    """Onset and seconds of a whole note, in order, up to the end of the movement."""
    onsets = [*(tempo.onset for tempo in tempi), end]
    for tempo, (onset, following) in zip(tempi, pairwise(onsets), strict=True):
        arrives = min(tempo.until or onset, following)
        now = onset
        while now < arrives:
            after = min(now + STEP, arrives)
            yield now, (tempo.seconds_at(now) + tempo.seconds_at(after)) / 2
            now = after
        if now < following:
            yield now, tempo.seconds_at(now)


# ----------------------------------------------------------------

_USUAL_TIMES = 2
"""A repeat sign alone means so many times."""


def frames(
    movement: Movement, spans: Sequence[WrittenSpan], is_last: bool, language: PageLanguage
) -> tuple[Frame, ...]:
    """The movement's frames; the language is that of the page."""
    marks = _rehearsal_marks(movement)
    sections = {section.first_bar: section for section in movement.sections}
    indices = {id(bar): index for index, bar in enumerate(movement.bars)}
    paces = tuple(sounding_tempi(movement.tempi, movement.duration))
    tempi = [_in_words(tempo, language) for tempo in movement.tempi if tempo.printed]
    dashes = tuple(_bends(movement))
    shown: Meter | None = None
    result = []
    for place, span in enumerate(spans):
        bar = span.bar
        opening = None if span.continues else sections.get(indices[id(bar)])
        letter = marks.get(indices[id(bar)], "") if opening else ""
        result.append(Frame(
            bar.number, span.duration, bar.meter, _shows(bar.meter, shown), _tempi(tempi, span),
            opening.title if opening else "", letter,
            bar.number == 0 or bar.before > 0, _barline(spans, place, movement, is_last), bar.key,
            movement.section_of(bar), bar.bar_in_section,
            bar.repeat_begins, bar.repeat_ends, _times(bar, language),
            *_endings(movement.bars, indices[id(bar)]), bool(bar.ending),
            opens=() if span.continues else bar.opens,
            closes=_form_words(bar, language) if _ends_bar(spans, place) else (),
            paces=_paces(paces, span), shows_number=bool(opening and letter and bar.number > 1),
            dashes=_dashes(dashes, spans, place),
        ))  # fmt: skip
        shown = bar.meter
    return tuple(result)


def _in_words(tempo: Tempo, language: PageLanguage) -> Tempo:
    """A tempo as the page says it: a keyword in its language, the composer's words as they are."""
    return replace(tempo, words=page_words(language, "tempo", tempo.words)) if tempo.keyword else tempo


def _times(bar: ScoreBar, language: PageLanguage) -> str:
    """How often a repeat is played, where the signs and endings do not tell it."""
    if bar.repeat_ends <= _USUAL_TIMES or bar.ending:
        return ""
    return page_words(language, "playing", "times", count=bar.repeat_ends)


_JUMPS = {"da capo": "D.C.", "dal segno": "D.S.", "al fine": "al Fine", "al coda": "al Coda"}
"""Source: common practice; the same in every language."""


def _form_words(bar: ScoreBar, language: PageLanguage) -> tuple[FormWords, ...]:
    """The words at the end of a bar for the order of playing."""
    return tuple(FormWords(sign, _in_print(sign, language)) for sign in bar.closes)


def _in_print(sign: str, language: PageLanguage) -> str:
    if not is_jump(sign):
        return "Fine" if sign == FINE else page_words(language, "playing", "to_coda")
    return " ".join(printed for said, printed in _JUMPS.items() if said in sign)


def _ends_bar(spans: Sequence[WrittenSpan], place: int) -> bool:
    """Whether the bar of a span ends with it."""
    return place + 1 == len(spans) or not spans[place + 1].continues


def _endings(bars: Sequence[ScoreBar], index: int) -> tuple[tuple[int, ...], tuple[int, ...]]:
    """The ending that begins with a bar, and the one that stops with it."""
    ending = bars[index].ending
    before = bars[index - 1].ending if index else ()
    after = bars[index + 1].ending if index + 1 < len(bars) else ()
    return (ending if ending != before else ()), (ending if ending != after else ())


def _shows(meter: Meter | None, shown: Meter | None) -> bool:
    if meter is None:
        return False
    if shown is None or (meter.numerator, meter.denominator) != (shown.numerator, shown.denominator):
        return True
    return meter.sign != shown.sign or (meter.as_given and meter.groups != shown.groups)


def _tempi(tempi: Sequence[Tempo], span: WrittenSpan) -> tuple[tuple[Fraction, Tempo], ...]:
    start = span.onset - span.lead
    return tuple((tempo.onset - start if tempo.onset > span.onset else Fraction(0), tempo)
                 for tempo in tempi if span.onset <= tempo.onset < span.end)  # fmt: skip


def _bends(movement: Movement) -> Iterator[tuple[Fraction, Fraction]]:
    """From and to of each printed change of tempo: until it arrives, or until another tempo cuts it short."""
    printed = [tempo for tempo in movement.tempi if tempo.printed]
    for tempo, following in zip_longest(printed, printed[1:]):
        if tempo.until is not None:
            end = min(tempo.until, movement.duration)
            yield tempo.onset, end if following is None else min(end, following.onset)


def _dashes(
    bends: Sequence[tuple[Fraction, Fraction]], spans: Sequence[WrittenSpan], place: int
) -> tuple[tuple[Fraction, bool], ...]:
    """Where the dashed lines after words of a change begin and end in a bar, ends before beginnings.

    One that ends with the movement ends in its last bar, any other where what follows it stands.
    """
    span = spans[place]
    start, is_last = span.onset - span.lead, place + 1 == len(spans)
    found = [
        (moment - start if moment > span.onset else Fraction(0), begins)
        for begin, end in bends if begin < end for moment, begins in ((end, False), (begin, True))
        if span.onset <= moment < span.end or (is_last and moment == span.end)
    ]  # fmt: skip
    return tuple(sorted(found))


def _paces(paces: Sequence[tuple[Fraction, Fraction]], span: WrittenSpan) -> tuple[tuple[Fraction, Fraction], ...]:
    start = span.onset - span.lead
    return tuple(
        (onset - start if onset > span.onset else Fraction(0), seconds)
        for onset, seconds in paces if span.onset <= onset < span.end
    )  # fmt: skip


def _rehearsal_marks(movement: Movement) -> dict[int, str]:
    """A, B, C ... by the bar a section begins with; none where the movement is a single section."""
    if not movement.letters:
        return {}
    begins = sorted({section.first_bar for section in movement.sections})
    return {bar: _letters(place) for place, bar in enumerate(begins, movement.letters_before)}


def _letters(place: int) -> str:
    """A to Z, then AA, AB and so on."""
    return (_letters(place // 26 - 1) if place >= 26 else "") + chr(ord("A") + place % 26)


def _barline(spans: Sequence[WrittenSpan], place: int, movement: Movement, is_last: bool) -> str:
    if movement.playing and (signs := _repeat_signs(spans, place)):
        return signs
    if place + 1 == len(spans):
        return "double" if movement.attacca and not is_last else "final"
    bar, following = spans[place].bar, spans[place + 1].bar
    if (bar.closes and not spans[place + 1].continues) or CODA in following.opens:
        return "double"
    if spans[place + 1].continues or (bar.meter is None and following.meter is None):
        return "none"
    # C major after no key changes the signatures of transposing instruments only, but the bar line is one for all.
    changes = bar.fifths != following.fifths or (bar.key is None) is not (following.key is None)
    return "double" if changes else "single"


def _repeat_signs(spans: Sequence[WrittenSpan], place: int) -> str:
    ends = bool(spans[place].bar.repeat_ends)
    begins = place + 1 < len(spans) and spans[place + 1].bar.repeat_begins
    return {(True, True): "repeat ends and begins", (True, False): "repeat ends", (False, True): "repeat begins"}.get(
        (ends, begins), ""
    )
