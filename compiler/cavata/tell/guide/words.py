"""What the guide says, in the words of a language: blocks that a page of any kind sets in its own way.

In: the guide and a language. Out: chapters of blocks. HTML, PDF and the talk all read these, so that they say the same.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from fractions import Fraction
from functools import cached_property
from itertools import takewhile

from cavata.music.event import Motif, Texture
from cavata.music.pitch import PitchClass
from cavata.names import program as p
from cavata.record import record
from cavata.score.clock import clock_text
from cavata.tell.guide.derivation import Derived, Phrases, lines_of_value
from cavata.tell.guide.examples import MOST_LINES, example_events, is_cut
from cavata.tell.guide.guide import Guide, GuideLetter, GuideName, GuideTheme, made_of
from cavata.tell.language import LanguageWords, line_in_words, note_name, text_key
from cavata.tell.places import NamedPlace
from cavata.text import capital, heading, readable

MOST_WORDS = 150
"""Of the short version: about what a printed program has room for. A choice of ours."""
MOST_FORMS = 8
"""So many forms of a name are told; a listener keeps no more apart."""


@record
class Sentence:
    """A paragraph."""

    text: str


@record
class Remark:
    """What the composer says, word for word."""

    text: str


@record
class Listing:
    """Short lines below one another."""

    rows: tuple[str, ...]


@record
class LettersOverNotes:
    """A name spelled out; no note for a letter that is silent."""

    pairs: tuple[tuple[str, str], ...]
    says_silent: str
    says_is: str


@record
class Shown:
    """A short example."""

    value: Motif | Texture
    said: str
    """The notes in words."""
    caption: str
    listen: str
    """What its player is called; and, where nothing is heard, what has its notes lit."""
    follow: str


@record
class DerivationStep:
    """One step of a derivation; without an example where it sounds as before."""

    text: str
    example: Shown | None


@record
class Derivation:
    """A derivation, step by step."""

    steps: tuple[DerivationStep, ...]
    whole: str
    """What plays them one after another, or has them lit."""


Block = Sentence | Remark | Listing | LettersOverNotes | Shown | Derivation


@record
class Topic:
    """A name, theme or tune with what is told of it; without a title it belongs to the chapter itself."""

    title: str
    blocks: tuple[Block, ...]
    place: NamedPlace | None = None
    names: tuple[int, ...] = ()
    """Whose it is: names by their numbers on the map, which say their colors."""


@record
class Chapter:
    """A part of the guide."""

    key: str
    title: str
    topics: tuple[Topic, ...]


class Telling:
    """Tells a guide in a language."""

    def __init__(self, guide: Guide, language: LanguageWords) -> None:
        self.guide, self.language = guide, language
        self.phrases = Phrases(language, guide.called, guide.figures)
        numbers = {name.name: number for number, name in enumerate(guide.index.heard)}
        self._numbers = {called: numbers[identity.name] for identity, called in guide.called.items()
                         if identity.name in numbers}  # fmt: skip

    def say(self, key: str, **values: object) -> str:
        """A text of the guide."""
        return self.language.text(f"guide-{key}", **values)

    def under_the_title(self) -> Iterator[tuple[str, str]]:
        """What stands between the title and the first chapter, each with what it is: `subtitle`, `facts`, `dedication`
        or `note`."""
        header = self.guide.header
        by = self.say("by", composer=header.composer) if header.composer else ""
        words = self.say("words-by", name=header.poet) if header.poet else ""
        arranged = self.say("arranged-by", name=header.arranger) if header.arranger else ""
        rows = (
            ("subtitle", header.subtitle), ("facts", by), ("facts", words), ("facts", arranged),
            ("dedication", header.dedication), *(("note", note) for note in header.notes),
        )
        yield from ((what, said) for what, said in rows if said.strip())

    def chapters(self) -> tuple[Chapter, ...]:
        """The guide, chapters without a topic left out."""
        return self._chapters

    @cached_property
    def _chapters(self) -> tuple[Chapter, ...]:
        guide = self.guide
        found = (
            Chapter("program", self.language.text("program-title"), tuple(self._program())),
            Chapter("piece", self.say("piece"), (Topic("", tuple(self._piece())),)),
            Chapter("names", self.say("names"), tuple(self._name(name) for name in guide.names)),
            Chapter("themes", self.say("themes"), tuple(self._theme(theme) for theme in guide.themes)),
            Chapter("tunes", self.say("tunes"), tuple(self._tune(tune) for tune in guide.tunes)),
        )
        return tuple(chapter for chapter in found if chapter.topics)

    # -------------------------------------------------------------- the short version

    def _program(self) -> Iterator[Topic]:
        """The piece in so many words as a printed program has room for; nothing of a piece without names."""
        if not self.guide.names:
            return
        wanted = [*self._beginning(), *self._each_name("program-name")]
        if _count(wanted) > MOST_WORDS:
            wanted = [*self._beginning(), *self._each_name("program-name-brief")]
        said: list[str] = []
        for sentence in (*wanted, *self._more()):
            if _count([*said, sentence]) > MOST_WORDS:
                break
            said.append(sentence)
        yield Topic("", (Sentence(" ".join(said)),))

    def _beginning(self) -> Iterator[str]:
        called = [name.called for name in self.guide.names]
        clock = clock_text(self.guide.timings.taken.seconds)
        yield self.language.text("program-facts", forces=self._forces(), clock=clock)
        yield self.language.text("program-practice")
        yield self.language.text("program-here", count=len(called), listed=self.language.listed(called))

    def _each_name(self, key: str) -> Iterator[str]:
        for name in self.guide.names:
            if name.first is not None:
                notes = [note for letter in name.letters if (note := self._letter(name, letter))]
                yield self.language.text(
                    key, name=name.called, count=len(notes), notes=self.language.listed(notes),
                    movement=name.first.movement_title, clock=name.first.clock,
                )  # fmt: skip

    def _more(self) -> Iterator[str]:
        """What is told as long as there is room, the most important first."""
        guide, words = self.guide, self.language
        times = sum(count for name in guide.names for _, count in name.forms)
        if times > 1:
            yield words.text("program-times", count=times)
        for theme in guide.themes:
            listed = words.listed([name for name in theme.names if name != theme.identity.name])
            yield words.text("program-theme", theme=readable(theme.identity.name), listed=listed)

    # -------------------------------------------------------------- the piece

    def _piece(self) -> Iterator[Block]:
        guide = self.guide
        yield Sentence(self.say("forces", listed=self._forces()))
        taken = guide.timings.taken
        clock, part = clock_text(taken.seconds), clock_text(taken.uncertain)
        estimated = "none" if part == clock_text(Fraction(0)) else "all" if part == clock else "part"
        yield Sentence(self.say("length", clock=clock, part=part, estimated=estimated))
        if not guide.names:
            yield Sentence(self.say("no-names"))
        yield from (self._remark(remark) for remark in guide.remarks)
        yield Sentence(self.say("movements"))
        yield Listing(tuple(self._movements()))
        yield Sentence(self.say("estimate"))

    def _forces(self) -> str:
        """The players; parted by semicolons where some have commas of their own."""
        names = list(self.guide.forces)
        return "; ".join(names) if any("," in name for name in names) else self.language.listed(names)

    def _movements(self) -> Iterator[str]:
        for movement in self.guide.timings.movements:
            row = self.say(
                "movement", title=heading(movement.title, movement.name),
                begins=clock_text(movement.begins),
                length=clock_text(movement.taken.seconds),
            )  # fmt: skip
            remark = self.guide.movement_remarks.get(movement.name)
            yield f"{row}. {self.say('remark', remark=remark)}" if remark else row

    def _remark(self, remark: str) -> Remark:
        return Remark(self.say("remark", remark=remark))

    # -------------------------------------------------------------- names

    def _name(self, name: GuideName) -> Topic:
        return Topic(name.called, tuple(self._of_name(name)), name.first, self._marked((name.called,)))

    def _marked(self, names: Sequence[str]) -> tuple[int, ...]:
        return tuple(dict.fromkeys(self._numbers[name] for name in names if name in self._numbers))

    def _of_name(self, name: GuideName) -> Iterator[Block]:
        yield self._letters(name)
        told = self.cipher_sentence(name)
        earlier = takewhile(lambda each: each is not name, self.guide.names)
        if told not in map(self.cipher_sentence, earlier):
            yield Sentence(told)
        if name.chosen:
            choices = [
                self.language.text("cipher-choice", letter=letter, note=self._note(note))
                for letter, note in name.chosen
            ]
            yield Sentence(self.language.text("cipher-chosen", choices=self.language.listed(choices)))
        said = self.say("example-name", name=name.called, notes=self.notes(name.line))
        yield self._shown(name.line, said, name.called)
        if name.inflections:
            listed = [
                self.say("inflection", letter=letter, how=self._how(how)) for letter, how in name.inflections
            ]  # fmt: skip
            yield Sentence(self.say("inflected", listed=self.language.listed(listed)))
        if name.remark:
            yield self._remark(name.remark)
        if name.first is not None:
            yield Sentence(self._first(name.first, name.first_parts))
        yield from self._forms(name)

    def _note(self, note: PitchClass | None) -> str:
        return self.say("silent") if note is None else note_name(note, self.language)

    def _letters(self, name: GuideName) -> LettersOverNotes:
        pairs = [(letter.text, self._letter(name, letter)) for letter in name.letters]
        return LettersOverNotes(tuple(pairs), self.say("silent"), self.say("is"))

    def _letter(self, name: GuideName, letter: GuideLetter) -> str:
        """The note of a letter; empty for one that is silent."""
        heads = () if letter.motif_event is None else name.line.events[letter.motif_event].heads
        return note_name(heads[0].pitch.pitch_class, self.language) if heads else ""

    def cipher_sentence(self, name: GuideName) -> str:
        """How the cipher of a name goes, in one sentence."""
        known = self.language.known(text_key("library-cipher", name.cipher))
        if name.cipher_is_library and known is not None:
            return known
        key = "cipher-own" if name.cipher_description else "cipher-bare"
        return self.language.text(key, name=readable(name.cipher), description=name.cipher_description)

    def _how(self, how: str) -> str:
        """An inflection in words; one after another where there were several."""
        return ", ".join(self.language.known(text_key("inflection", one.split()[0])) or one for one in how.split(", "))

    def _forms(self, name: GuideName) -> Iterator[Block]:
        total = sum(count for _, count in name.forms)
        heard = self.say("heard-repeated" if name.is_repeated else "heard", count=total)
        yield Sentence(heard if total == 1 else f"{heard} {self.say('forms')}")
        if total > 1:
            rows = [
                self.say("heard-as", form=", ".join(map(self.language.form, forms)) or
                         self.say("original"), count=count)
                for forms, count in name.forms[:MOST_FORMS]
            ]  # fmt: skip
            yield Listing(tuple(rows))

    # -------------------------------------------------------------- themes

    def _theme(self, theme: GuideTheme) -> Topic:
        names = [name for name in theme.names if name != theme.identity.name]
        first = self._first(theme.first, theme.first_parts)
        of = self.say("made-of", listed=self.language.listed(names)) if names else ""
        blocks: list[Block] = [Sentence(f"{of} {first}".strip())]
        if theme.remark:
            blocks.append(self._remark(theme.remark))
        blocks.append(Derivation(tuple(self._steps(theme)), self.say("whole", what=readable(theme.identity.name))))
        return Topic(titled(theme), tuple(blocks), theme.first, self._marked(theme.names))

    def _steps(self, theme: GuideTheme) -> Iterator[DerivationStep]:
        name, number = readable(theme.identity.name), 0
        for derived in theme.steps:
            text = self.step_text(derived)
            if self.is_told_elsewhere(derived):
                yield DerivationStep(text, None)
            elif derived.changed:
                number += 1
                notes = self.notes(derived.value)
                said = self.say("example-theme", name=name, number=number, notes=notes)
                yield DerivationStep(text, self._shown(derived.value, said, name))
            elif isinstance(derived.done, p.Apply) and derived.done.transform.family == "dress":
                yield DerivationStep(text, None)

    def is_told_elsewhere(self, derived: Derived) -> bool:
        """Whether a step is a name or theme as it stands, which is shown where it is told of itself; behind another it
        is a part of something new."""
        return derived.begins and isinstance(derived.done, p.Reference)

    def step_text(self, derived: Derived) -> str:
        """What a step does, with the remark of a device that the composer made."""
        done = derived.done
        match done:
            case p.Apply():
                return self.phrases.step(done, derived.inflected_by)
            case p.ApplyOwn(to=identity) | p.CallOwn(to=identity):
                remark = self.guide.transform_remarks.get(identity)
                key = "derivation-own-step" if identity.module == self.guide.main else "derivation-library-step"
                said = self.language.text(key, name=readable(identity.name))
                return f"{said} {self.say('remark', remark=remark)}" if remark else said
            case p.Combine():
                return self.phrases.combination(done)
            case _:
                key = "derivation-begins" if derived.begins else "derivation-followed"
                return self.language.text(key, what=self.phrases.thing(done))

    def _tune(self, tune: GuideTheme) -> Topic:
        name, value = readable(tune.identity.name), tune.steps[-1].value
        of = [readable(identity.name) for identity in made_of(tune)]
        made = self.say("made-of", listed=self.language.listed(of)) if of else ""
        blocks: list[Block] = [Sentence(f"{made} {self._first(tune.first, tune.first_parts)}".strip())]
        if tune.remark:
            blocks.append(self._remark(tune.remark))
        said = self.say("example-tune", name=name, notes=self.notes(value))
        blocks.append(self._shown(value, said, name))
        return Topic(titled(tune), tuple(blocks), tune.first)

    # -------------------------------------------------------------- examples and places

    def _shown(self, value: Motif | Texture, said: str, of: str) -> Shown:
        return Shown(value, said, self.say("cut") if is_cut(value) else "", self.say("listen", what=of),
                     self.say("follow", what=of))  # fmt: skip

    def notes(self, value: Motif | Texture) -> str:
        """The notes of an example in words."""
        lines: Sequence[Motif] = lines_of_value(value)[:MOST_LINES]
        return " / ".join(line_in_words(example_events(line)[0], self.language) for line in lines)

    def _first(self, place: NamedPlace, parts: Sequence[str]) -> str:
        return self.say(
            "first-heard", clock=place.clock, movement=place.movement_title, place=self.place(place),
            parts=self.language.listed(list(parts)),
        )  # fmt: skip

    def place(self, place: NamedPlace) -> str:
        """The bar, or that it is in free time."""
        if place.bar is None:
            return self.language.text("place-free")
        return self.language.text("place-bar", bar=place.bar)


def _count(sentences: Sequence[str]) -> int:
    """How many words they have."""
    return sum(len(sentence.split()) for sentence in sentences)


def titled(theme: GuideTheme) -> str:
    """Its name as a heading."""
    return capital(readable(theme.identity.name))
