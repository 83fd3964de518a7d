"""The way through the house: every pass by name, in order, from a script to the files that a build writes.

Used by the commands and by the tests; each stage can be had on its own. A check goes as far as the score and must
answer while one types, so what comes after it is imported where it is asked for.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping
from contextlib import AbstractContextManager, nullcontext
from fractions import Fraction
from pathlib import Path
from typing import TYPE_CHECKING

from cavata.diagnostics import Diagnostic, Diagnostics, Severity
from cavata.evaluate.evaluate import evaluate
from cavata.evaluate.kept import KeptValues
from cavata.evaluate.plan import Plan
from cavata.files import Content
from cavata.names.leavings import staves_left_out, without_leavings
from cavata.names.loader import NOTHING_ELSE, Loaded, load
from cavata.names.paper import Paper
from cavata.names.program import Program
from cavata.names.resolve import report_unused, resolve
from cavata.names.versions import report_no_version, rewritten, said_of_version, versions_of, written_for_others
from cavata.place.place import KeptMovements, place
from cavata.playing.playing import KeptLooks, report_impossible
from cavata.record import record, replace
from cavata.require.promises import look_at
from cavata.score.score import SURELY_WRITTEN, CopyKind, Score
from cavata.syntax.kept import KeptFiles
from cavata.syntax.tree import Version
from cavata.text import backticked

if TYPE_CHECKING:
    from cavata.draft.engravers import Engraver
    from cavata.edition.copies import WantedCopies
    from cavata.kept_outputs import KeptOutputs
    from cavata.lilypond.copies import Engravers
    from cavata.lilypond.engraving import Engraving, Failure
    from cavata.musicxml.staves import Staves
    from cavata.musicxml.whole import Documents
    from cavata.notate.written import WrittenScore
    from cavata.sound.audio import Rendering

FORMATS = ("pdf", "svg", "png", "musicxml", "mxl", "midi", "wav", "mp3", "ly")
PICTURES = frozenset(["pdf", "svg", "png"])
EXCHANGED = frozenset(["musicxml", "mxl"])
"""What other programs for notation open: MusicXML, plain and packed."""
SOUNDS = frozenset(["wav", "mp3"])
"""What can be listened to."""


@record
class Compiled:
    """What each pass made; None from the first pass on that could not run."""

    bag: Diagnostics
    loaded: Loaded | None = None
    program: Program | None = None
    plan: Plan | None = None
    score: Score | None = None


class KeptPasses:
    """What was computed and placed of a piece, or of a version of it, for when it is compiled again."""

    def __init__(self) -> None:
        self.values, self.movements = KeptValues(), KeptMovements()
        self.playing = KeptLooks()
        """What no player of a movement can do."""


class Kept:
    """What the passes made of a piece, for a compiler that stays while the piece is edited; each is kept by content."""

    def __init__(self) -> None:
        self.files = KeptFiles()
        self._passes: dict[str, KeptPasses] = {}

    def passes(self, version: str) -> KeptPasses:
        """What is kept of a version, which is about to be compiled; of the piece itself under no name."""
        passes = self._passes.setdefault(version, KeptPasses())
        passes.values.next_round()
        passes.movements.next_round()
        passes.playing.next_round()
        return passes


def compile_script(
    path: Path, shown: str | None = None, text: str | None = None, library: Path | None = None,
    texts: Mapping[str, str] = NOTHING_ELSE, version: str = "", broken: Diagnostics | None = None,
    kept: Kept | None = None, placed: Callable[[Score], None] | None = None,
) -> Compiled:
    """A script, from its text to the score; the score is there only if nothing was wrong.

    `texts` stand in for the contents of the files at these paths. With the name of a version it is that one. What the
    piece requires of itself and does not keep goes into `broken`, where that is given; there is a score all the same.
    What is `kept` from the time before is not made again. `placed` is told a score that can be written, before it is
    looked for what nobody can play in it: who waits for its page can begin.

    Every pass runs as far as the ones before it allow, so that one run shows every mistake.
    """
    bag = Diagnostics()
    loaded = load(path, shown or path.name, bag, text, library, texts, kept.files if kept else None)
    return Compiled(bag) if loaded is None else compile_loaded(loaded, version, bag, broken, kept, placed)


def compile_versions(compiled: Compiled, kept: Kept | None = None) -> None:
    """Compile each version of a piece as well; what is wrong in it and not in the piece itself is added to the bag."""
    if compiled.loaded is None:
        return
    bag = compiled.bag
    known = {(message.code, message.span, message.message) for message in bag.ordered()}
    found: dict[tuple[object, ...], Diagnostic] = {}
    for version in versions_of(compiled.loaded.modules[compiled.loaded.main]):
        for message in compile_loaded(compiled.loaded, version.name.text, Diagnostics(), kept=kept).bag.ordered():
            key = (message.code, message.span, message.message)
            if key not in known:
                found[key] = said_of_version(found.get(key, message), version.span)
    bag.report_all(found.values())


def compile_loaded(
    loaded: Loaded, version: str, bag: Diagnostics, broken: Diagnostics | None = None, kept: Kept | None = None,
    placed: Callable[[Score], None] | None = None,
) -> Compiled:  # fmt: skip
    """The piece whose files were read, or a version of it, up to the score.

    What it requires of itself and does not keep goes into `broken`, where that is given; there is a score all the same.
    `placed` is told the score of the piece itself, as by `compile_script`.
    """
    passes = kept.passes(version) if kept else None
    if not version:
        return _compiled(loaded, resolve(loaded, bag), bag, broken, kept=passes, placed=placed)
    main = loaded.modules[loaded.main]
    wanted = next((each for each in versions_of(main) if each.name.text == version), None)
    if wanted is None:
        report_no_version(version, main, bag)
        return Compiled(bag, loaded)
    written = rewritten(main, wanted, bag)
    loaded = replace(loaded, modules={**loaded.modules, loaded.main: written})
    program = resolve(loaded, bag, staves_left_out(wanted))
    program = without_leavings(program, written, wanted, bag)
    return _compiled(loaded, program, bag, broken, wanted, passes)


def _compiled(
    loaded: Loaded, program: Program, bag: Diagnostics, broken: Diagnostics | None = None,
    version: Version | None = None, kept: KeptPasses | None = None, placed: Callable[[Score], None] | None = None,
) -> Compiled:
    """Every pass from the bound program on, of the piece or a version of it."""
    plan = evaluate(program, bag, kept.values if kept else None)
    score = place(plan, bag, kept.movements if kept else None)
    if program.profiles:
        from cavata.playing.profiles import profiles_of

        profiles_of(program.profiles, bag)
    if program.promises and not bag.has_errors:
        told = bag if broken is None else broken
        look_at(program.promises, plan.values, score, told, version is not None, program.profiles)
    if score.shared and not bag.has_errors:
        from cavata.edition.shared_staves import report_unreadable

        report_unreadable(score, bag)
    if not bag.has_errors and any(movement.divisions > SURELY_WRITTEN for movement in score.movements):
        from cavata.notate.shortest import report_too_short

        report_too_short(score, bag)
    if placed is not None and not bag.has_errors:
        placed(score)
    if not bag.has_errors:
        others = frozenset[str]() if version is None else written_for_others(version)
        report_impossible(score, bag, kept.playing if kept else None, others)
    if not bag.has_errors:
        report_unused(program, bag)
    return Compiled(bag, loaded, program, plan, None if bag.has_errors else score)


def written(score: Score) -> WrittenScore:
    """The score on the page."""
    from cavata.notate.notate import notate

    return notate(score)


# ---------------------------------------------------------------- from the score to files


@record
class Practice:
    """Sound to practice a part with."""

    part: str
    section: str = ""
    """Only this one; empty for the whole."""
    slower: Fraction = Fraction(1)
    """How many times as long every beat is."""


@record
class Build:
    """What a build is asked for. Its copies and formats say which files there are."""

    formats: tuple[str, ...]
    copies: WantedCopies
    stem: str
    """What the names of its files begin with: that of the script."""
    movement: str | None = None
    """Only this one."""
    paper: Paper | None = None
    """Instead of the one that the script names."""
    concert: bool | None = None
    """The score as it sounds, or as players read it, whatever the script says."""
    proof: bool = False
    at_once: int | None = None
    """How many sheets are engraved side by side; None for the usual number."""
    fresh: bool = False
    """Nothing that was kept is used."""
    strict_time: bool = False
    """MIDI and sound are just as the score says, not performed."""
    practice: Practice | None = None
    """Nothing but sound to practice with."""
    engraver: str = "auto"
    """`lilypond`, `verovio`, or the first that is here."""


NO_ENGRAVER = "O201"
"""The code of the one error in spite of which files are written: those that need no engraver."""


def may_write_files(bag: Diagnostics) -> bool:
    """Whether nothing is wrong, or only that nothing here draws pages."""
    return all(message.code == NO_ENGRAVER for message in bag.ordered() if message.severity is Severity.ERROR)


def build_file(
    path: Path, shown: str, order: Build, say: Callable[[str], None], watched: bool = False,
    library: Path | None = None, version: str = "",
) -> tuple[Mapping[str, Content], Diagnostics]:
    """Every file that is asked for of a script, by its name, and what is to be said; nothing is written.

    Where all that is read for it is as it was before, nothing is computed again. See `compile_script` and `build`.
    """
    from cavata.kept_outputs import KeptBuild

    bag = Diagnostics()
    loaded = load(path, shown, bag, library=library)
    if loaded is None:
        return {}, bag
    asked = repr((version, replace(order, at_once=None, fresh=False)))
    kept = KeptBuild(loaded, asked, _drawn_with(order), bool(SOUNDS.intersection(order.formats)), bag)
    files = None if order.fresh else kept.files()
    if files is None:
        with _engravers(order, say, watched) as engravers:
            if engravers is not None:
                engravers.start()
            files = _built(compile_loaded(loaded, version, bag), order, bag, say, engravers)
        kept.keep(files)
    return files, bag


def _engravers(
    order: Build, say: Callable[[str], None], watched: bool
) -> AbstractContextManager[Engravers | None]:
    """Who runs LilyPond; None where it draws nothing."""
    pictures = PICTURES.intersection(order.formats)
    if not pictures or order.practice is not None:
        return nullcontext()
    from cavata.draft.engravers import Engraver, engraver_for

    if engraver_for(order.engraver) is not Engraver.LILYPOND:
        return nullcontext()
    from cavata.lilypond.copies import Engravers
    from cavata.lilypond.press import usual_at_once

    return Engravers(pictures, order.at_once or usual_at_once(), order.fresh, say if watched else None)


def _drawn_with(order: Build) -> bytes:
    """What decides how the pages look that are asked for, and what is said of who draws them."""
    if not PICTURES.intersection(order.formats):
        return b""
    from cavata.draft.engravers import Engraver, drawn_with, engraver_for
    from cavata.lilypond.engrave import find_lilypond
    from cavata.lilypond.kept import surroundings

    chosen, found = engraver_for(order.engraver), find_lilypond()
    around = surroundings(found) if isinstance(found, str) and chosen is Engraver.LILYPOND else drawn_with()
    return repr((chosen, found)).encode("utf-8", "backslashreplace") + around


def build(
    compiled: Compiled, order: Build, bag: Diagnostics, say: Callable[[str], None]
) -> Mapping[str, Content]:
    """Every file that is asked for, by its name; nothing is written. What cannot be made is reported.

    `say` is told what is being done.
    """
    with _engravers(order, say, watched=False) as engravers:
        return _built(compiled, order, bag, say, engravers)


def _built(
    compiled: Compiled, order: Build, bag: Diagnostics, say: Callable[[str], None], engravers: Engravers | None
) -> Mapping[str, Content]:
    score = None if compiled.score is None else _as_asked(compiled.score, compiled.plan, order, bag)
    if score is None:
        return {}
    from cavata.kept_outputs import KeptOutputs

    with KeptOutputs(order.fresh) as kept:
        if order.practice is not None:
            return dict(_to_practice(score, order, order.practice, kept, bag, say))
        return _files(score, order, kept, bag, say, engravers)


def _as_asked(score: Score, plan: Plan | None, order: Build, bag: Diagnostics) -> Score | None:
    """The score, or one movement of it, with what the order changes of its header."""
    if not score.movements:
        bag.error(
            "O107", None, "the script has no movement to build", cure="add a movement, or build the piece that uses it"
        )
        return None
    header = score.header
    if order.movement is not None:
        found = tuple(m for m in score.movements if m.name == order.movement)
        if not found:
            cure = "movements are " + backticked(m.name for m in score.movements)
            bag.error("O108", None, f"there is no movement `{order.movement}`", cure=cure)
            return None
        score, header = replace(score, movements=found), replace(header, title_page=False)
    if order.paper is not None:
        header = replace(header, paper=order.paper)
    if order.concert is not None:
        header = replace(header, concert_score=order.concert)
    score = replace(score, header=header)
    if not order.proof or plan is None:
        return score
    from cavata.edition.proof import proof_copy, report_bare_entries

    score = proof_copy(score, plan)
    report_bare_entries(score, bag)
    return score


def _files(
    score: Score, order: Build, kept: KeptOutputs, bag: Diagnostics, say: Callable[[str], None],
    engravers: Engravers | None,
) -> dict[str, Content]:  # fmt: skip
    """Every file by its name."""
    if engravers is not None:
        return _with_lilypond(score, order, kept, bag, say, engravers)
    from cavata.draft.engravers import engraver_for

    chosen = engraver_for(order.engraver) if PICTURES.intersection(order.formats) else None
    return _without_lilypond(score, order, chosen, kept, bag, say)


def _with_lilypond(
    score: Score, order: Build, kept: KeptOutputs, bag: Diagnostics, say: Callable[[str], None], engravers: Engravers
) -> dict[str, Content]:
    """While LilyPond runs, the other files are made."""
    from cavata.lilypond.part_pages import begin_again

    files: dict[str, Content] = {}
    stem = _stem(order)
    pages = [(*copy, engravers.order(copy[0])) for copy in _notated(score, order, bag, say)]
    files.update(_sounding(score, stem, order, kept, bag, say))
    for page, _, ordered in pages:
        if page.header.kind is CopyKind.PART:
            begin_again(page, engravers.deliver(ordered), engravers.order)
    for page, suffix, ordered in pages:
        files.update(translated(page, suffix, stem, order.stem, order.formats, say, kept.musicxml))
        if not bag.has_errors:
            files.update(_engraved(page, engravers.deliver(ordered), engravers, f"{stem}{suffix}", bag))
    return files


def _without_lilypond(
    score: Score, order: Build, chosen: Engraver | Failure | None, kept: KeptOutputs, bag: Diagnostics,
    say: Callable[[str], None],
) -> dict[str, Content]:  # fmt: skip
    """What needs no engraver, and drafts of pages where these can be drawn."""
    from cavata.lilypond.engraving import Failure
    from cavata.lilypond.reports import engraved_files

    stem = _stem(order)
    files: dict[str, Content] = dict(_sounding(score, stem, order, kept, bag, say))
    drafts = None
    if chosen is not None and not isinstance(chosen, Failure):
        from cavata.draft.copies import Drafts

        drafts = Drafts(PICTURES.intersection(order.formats), order.fresh, kept.musicxml)
    for page, suffix in _notated(score, order, bag, say):
        document = kept.musicxml if drafts is None else drafts.document
        files.update(translated(page, suffix, stem, order.stem, order.formats, say, document))
        if drafts is not None and not bag.has_errors:
            say("drawing a draft of the pages")
            files.update(engraved_files(drafts.draw(page), f"{stem}{suffix}", bag))
    if isinstance(chosen, Failure):
        files.update(engraved_files(chosen, stem, bag))
    elif drafts is not None:
        from cavata.draft.engravers import report_draft

        report_draft(bag)
    return files


def _stem(order: Build) -> str:
    return order.stem if order.movement is None else f"{order.stem}-{order.movement}"


def _notated(
    score: Score, order: Build, bag: Diagnostics, say: Callable[[str], None]
) -> Iterator[tuple[WrittenScore, str]]:
    """Each copy on the page, and what its files' names end in."""
    if not set(order.formats) - SOUNDS - {"midi"}:
        return
    from cavata.edition.copies import copies
    from cavata.edition.proof import SUFFIX

    for copy in copies(score, order.copies, bag):
        say("notating")
        page = written(copy.score)
        if PICTURES.intersection(order.formats):
            report_small_staves(page, bag)
        yield page, copy.suffix + (SUFFIX if score.header.proof else "")


def report_small_staves(page: WrittenScore, bag: Diagnostics) -> None:
    """Warn of a score whose staves are smaller than can be read at a desk, and name a paper on which they are not."""
    from cavata.notate.paper.page import READABLE, millimeters, readable_paper

    staves, size = page.page.staves, page.page.staff_size
    if size >= READABLE:
        return
    fitting = readable_paper(staves)
    bag.warning(
        "O130", None,
        f"{staves} staves on {page.header.paper.name} are {float(millimeters(size)):.1f} mm high each",
        label=f"from {float(millimeters(READABLE)):.1f} mm on they can be read at a desk",
        cure=f"say `paper {fitting}` under `piece`, or build with `--paper {fitting}`" if fitting else
        "let players of a kind share a staff, with `staff NAME = PART, PART`",
    )  # fmt: skip


def _engraved(
    page: WrittenScore, made: Engraving | Failure, engravers: Engravers, stem: str, bag: Diagnostics
) -> Iterator[tuple[str, bytes]]:
    """The pages of a copy; those of a part once more where one could not be turned."""
    from cavata.lilypond.part_pages import part_engraved
    from cavata.lilypond.reports import engraved_files

    if page.header.kind is CopyKind.PART:
        made = part_engraved(page, made, lambda planned: engravers.deliver(engravers.order(planned)), bag)
    return engraved_files(made, stem, bag)


def translated(
    page: WrittenScore, suffix: str, stem: str, script_stem: str, formats: tuple[str, ...],
    say: Callable[[str], None], musicxml: Documents | None = None,
) -> Iterator[tuple[str, bytes]]:  # fmt: skip
    """The files of one copy of the score that need no engraver, by their names.

    `musicxml` has the document of each movement, where they need not be made for this alone.
    """
    if EXCHANGED.intersection(formats):
        yield from _exchanged(page, suffix, script_stem, formats, say, musicxml or _document)
    if "ly" in formats:
        from cavata.lilypond.document import lilypond_text

        say("setting the score")
        yield f"{stem}{suffix}.ly", lilypond_text(page).encode("utf-8")


def _document(page: WrittenScore, movement: str, staves: Staves | None) -> bytes:
    from cavata.musicxml.document import musicxml_bytes

    return musicxml_bytes(page, movement, staves)


def _exchanged(
    page: WrittenScore, suffix: str, stem: str, formats: tuple[str, ...], say: Callable[[str], None],
    document: Documents,
) -> Iterator[tuple[str, bytes]]:  # fmt: skip
    """A document for each movement, and where there are several one of the whole piece."""
    from cavata.musicxml.packed import mxl_archive
    from cavata.musicxml.whole import whole_bytes

    made: dict[str, bytes] = {}
    for movement in page.movements:
        say(f"writing MusicXML of {movement.name}")
        made[movement.name] = document(page, movement.name, None)
    named = {f"{stem}-{name}{suffix}": content for name, content in made.items()}
    if len(page.movements) > 1:
        say("writing MusicXML of the whole piece")
        # A movement may be called as a part is; no name of the script has two hyphens before it.
        apart = "-" if f"{stem}{suffix}" in {f"{stem}-{name}" for name in made} else ""
        named[f"{stem}{apart}{suffix}"] = whole_bytes(page, made, document)
    for name, content in named.items():
        if "musicxml" in formats:
            yield f"{name}.musicxml", content
        if "mxl" in formats:
            yield f"{name}.mxl", mxl_archive(content, f"{name}.musicxml")


def _sounding(
    score: Score, stem: str, order: Build, kept: KeptOutputs, bag: Diagnostics, say: Callable[[str], None]
) -> Iterator[tuple[str, Content]]:
    """What is heard, if it is asked for: the MIDI file and each sound that is wanted.

    Where one file has too few channels, each family has one besides the whole; what is listened to has a channel for
    each part.
    """
    if not (order.copies.score and SOUNDS.union(("midi",)).intersection(order.formats)):
        return
    from cavata.sound.channels import families

    say("writing the MIDI file")
    if "midi" in order.formats:
        yield f"{stem}.mid", _midi(score, order, kept)
        for family, parts in families(score.parts).items():
            yield f"{stem}.{family}.mid", _midi(score, order, kept, only=parts)
    if SOUNDS.intersection(order.formats):
        yield from _rendered(_midi(score, order, kept, apart=True), stem, order.formats, kept, bag, say)


def _midi(
    score: Score, order: Build, kept: KeptOutputs, apart: bool = False, only: frozenset[int] | None = None
) -> bytes:
    """A MIDI file of the score; see `midi_bytes`."""
    from cavata.sound.midi import midi_of

    return midi_of(score, not order.strict_time, kept.sounding, apart, only)


def _to_practice(
    score: Score, order: Build, wanted: Practice, kept: KeptOutputs, bag: Diagnostics, say: Callable[[str], None]
) -> Iterator[tuple[str, Content]]:
    """The files to practice a part with; a part or a section that is not there is reported."""
    from cavata.edition.copies import report_unknown_part
    from cavata.sound.practice import practice_bytes, practice_stretches

    names = [part.name for part in score.parts]
    if wanted.part not in names:
        report_unknown_part(wanted.part, names, bag)
        return
    played = practice_stretches(score, wanted.section)
    if not played:
        known = dict.fromkeys(s.name for movement in score.movements for s in movement.sections if s.name)
        cure = "sections are " + backticked(known) if known else "no section has a name"
        bag.error("O143", None, f"there is no section `{wanted.section}`", cure=cure)
        return
    whole = _midi(score, order, kept, apart=True)
    midi = practice_bytes(whole, names.index(wanted.part), played, wanted.slower)
    stem = "-".join((_stem(order), "practice", wanted.part, *filter(None, (wanted.section,))))
    if "midi" in order.formats:
        yield f"{stem}.mid", midi
    if SOUNDS.intersection(order.formats):
        yield from _rendered(midi, stem, order.formats, kept, bag, say)


def _rendered(
    midi: bytes, stem: str, formats: tuple[str, ...], kept: KeptOutputs, bag: Diagnostics, say: Callable[[str], None]
) -> Iterator[tuple[str, Content]]:
    """A MIDI file played, in each form of sound that is wanted."""
    from cavata.sound.soundfont import AudioFault, report_fault

    sounds: list[Rendering] = []

    def rendered() -> Rendering:
        from cavata.sound.audio import Rendering

        if not sounds:
            sounds.append(Rendering(midi, watch=lambda share: say(f"playing it, {share:.0%}")))
        return sounds[0]

    try:
        for kind in ("mp3", "wav"):
            if kind in formats:
                say(f"writing the {kind.upper()} file")
                yield f"{stem}.{kind}", kept.sound(midi, kind, rendered)
    except AudioFault as fault:
        report_fault(fault, bag)
