"""One run of `cavata trace`: what is looked for, where, and what is said of it.

In: names, notes, files and folders. Out: text for the terminal, parts of a JSON document, and the script of a sheet;
what cannot be read goes into the bag and the rest goes on.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from functools import partial
from pathlib import Path, PurePosixPath
from typing import Any

from cavata.diagnostics import Diagnostic, Diagnostics, Severity
from cavata.foreign.heard import HeardScore
from cavata.foreign.reading import read_score
from cavata.foreign.score_file import FORMATS, Unreadable
from cavata.names.folder import script_of
from cavata.names.loader import SUFFIX
from cavata.names.program import NameDefinition, Program
from cavata.pipeline import compile_script
from cavata.record import record
from cavata.score.statements import stated_names
from cavata.study.library_ciphers import offered_ciphers
from cavata.study.script_words import name_row
from cavata.text import so_many
from cavata.trace.chance import INCONCLUSIVE, NO_INTENTION, SIGNIFICANT, Weighed, corrected, verdict, weighed
from cavata.trace.corpus_index import corpus_index, music21_corpus
from cavata.trace.corpus_trace import CorpusForm, CorpusSearch, corpus_text, corpus_trace, form_json
from cavata.trace.own_score import heard_score, traced_statements
from cavata.trace.shown import (
    Judged,
    SheetStaff,
    hit_json,
    hits_text,
    names_text,
    place_of_hit,
    place_of_statement,
    statement_json,
    statements_text,
    subject_json,
    subjects_text,
    trace_script,
    weighed_json,
)
from cavata.trace.subject import FEWEST_NOTES, MOST_NOTES, Sought, sought_name, sought_notes
from cavata.trace.trace import Freedom, trace


def names_and_files(words: Sequence[str]) -> tuple[list[str], list[Path]]:
    """Names, and files or folders: what ends as a score does, has a slash in it, or is there."""
    names: list[str] = []
    places: list[Path] = []
    for word in words:
        path = Path(word)
        if word.strip() and (path.suffix.lower() in (*FORMATS, SUFFIX) or {"/", "\\"} & set(word) or path.exists()):
            places.append(path)
        else:
            names.append(word)
    return names, places


class Tracing:
    """What is gathered along the way."""

    def __init__(self, bag: Diagnostics, say: Callable[[str], None]) -> None:
        self.bag = bag
        self.say = say
        self.names: list[str] = []
        self.sought: list[Sought] = []
        self.searches: list[_Search] = []
        self.tests = 0
        self.library: tuple[Path, str | None] | None = None
        self.places: list[SheetStaff] = []
        self.refused: list[tuple[str, Diagnostic]] = []
        self.in_scripts: set[str] = set()
        self.document: dict[str, Any] = {"subjects": [], "scores": [], "corpora": []}

    def take(self, names: Sequence[str], notes: Sequence[str], by: str | None, own: Path | None) -> None:
        """Take in what is looked for."""
        self.names = list(names)
        for name in (name for name in names if not name.isprintable()):
            self.bag.error(
                "O345", None, f"the name `{name}` holds a sign that cannot be printed",
                cure="write the name in letters; a line end or a control sign belongs to no name",
            )
        ciphers = offered_ciphers(own, by, self.bag)
        if self.bag.has_errors:
            return
        for name in names:
            found = sought_name(name, ciphers, by is not None)
            if found is None:
                self._refuse(
                    name, "O310", f"no cipher gives `{name}` a note",
                    "write the name out in letters that a cipher knows, or look for `--notes`",
                )
            else:
                self._take_one(found)
        for text in notes:
            try:
                self._take_one(sought_notes(text))
            except ValueError as error:
                self.bag.error(
                    "O320", None, f"`{text}` is not a line of notes", label=str(error), cure="write notes as `Bb A C B`"
                )
        if not names and not notes:
            self.bag.error("O320", None, "there is nothing to look for", cure="give a name, or `--notes \"Bb A C B\"`")
        self.document["subjects"] = [subject_json(s) for name in self.sought for s in name.subjects]

    def _take_one(self, found: Sought) -> None:
        good = [FEWEST_NOTES <= len(subject.pitches) <= MOST_NOTES for subject in found.subjects]
        if not any(good):
            subject = found.subjects[0]
            by = f" by `{subject.cipher}`" if subject.cipher else ""
            self._refuse(
                subject.name, "O322", f"`{subject.name}`{by} has {so_many(len(subject.pitches), 'note')}",
                f"{FEWEST_NOTES} to {MOST_NOTES} notes can be traced; fewer are everywhere",
            )
        elif all(known.subjects != found.subjects for known in self.sought):
            self.sought.append(Sought(
                found.name,
                tuple(subject for subject, is_good in zip(found.subjects, good, strict=True) if is_good),
                tuple(cipher for cipher, is_good in zip(found.ciphers, good, strict=True) if is_good),
            ))  # fmt: skip

    def _refuse(self, name: str, code: str, message: str, cure: str) -> None:
        """Hold a refusal back until it is known whether a script has the name and needs no cipher for it."""
        self.refused.append((name, Diagnostic(code, Severity.ERROR, message, None, "", cure)))

    def run(
        self, places: Sequence[Path], corpus: bool, *, between: int, strict: bool, every: bool, by_ear: bool,
        library: tuple[Path, str | None] | None = None,
    ) -> str:  # fmt: skip
        """Look everywhere; the text for the terminal. `library`: the index for folders of scores, and who works."""
        self.library = library
        freedom = Freedom(between, strict)
        self.tests = len(self.sought) * (len(places) + corpus)
        blocks: list[Callable[[], str]] = []
        for place in places:
            self.say(f"reading {place.name}")
            if place.is_dir() and not any(place.glob(f"*{SUFFIX}")):
                blocks += self._corpus(place, str(place), every)
            elif place.is_dir() or place.suffix == SUFFIX:
                blocks += self._own(place, freedom, every, by_ear)
            else:
                blocks += self._foreign(place, freedom, every)
        self.bag.report_all(diagnostic for name, diagnostic in self.refused if name not in self.in_scripts)
        if corpus:
            blocks += self._corpus(music21_corpus(), "music21's corpus", every)
        self._judge()
        told = [subjects_text([s for name in self.sought for s in name.subjects])] if self.sought else []
        told += [block() for block in blocks]
        if self.searches:
            told.append(self._explained())
        pasted = [name_row(name.name, cipher) for name in self.sought if (cipher := self._cipher_of(name))]
        if pasted:
            told.append("TO PASTE\n\n" + "".join(f"    {row}\n" for row in pasted))
        return "\n".join(block for block in told if block)

    def _judge(self) -> None:
        """Correct what was found over everything in the run; nothing can be told before."""
        every = [found for search in self.searches for found in search.weighed]
        adjusted = iter(corrected([found.probability for found in every]))
        for search in self.searches:
            search.probabilities = [next(adjusted) for _ in search.weighed]

    def _explained(self) -> str:
        tests = sum(len(search.weighed) for search in self.searches)
        over = f", corrected over the {tests} searches of this run (Holm)" if tests > 1 else ""
        return (
            "p: how often a name made by chance, as long and by the same ciphers, does as well in the same score\n"
            f"by its best kind of hit{over}.\n"
            f"{SIGNIFICANT} or less is significant, more than {INCONCLUSIVE} as expected.\n"
            f"{NO_INTENTION[0].upper()}{NO_INTENTION[1:]}.\n"
        )

    def _cipher_of(self, name: Sought) -> str:
        """The cipher by which a name stands out most in the run, else its first."""
        found = [
            (probability, weighed.cipher)
            for search in self.searches
            for weighed, probability in zip(search.weighed, search.probabilities, strict=True)
            if weighed.name == name.name and weighed.cipher
        ]
        return min(found, default=(1.0, name.subjects[0].cipher), key=lambda pair: pair[0])[1]

    def sheet_script(self) -> str | None:
        """The script of the sheet, or None where nothing was found."""
        return trace_script(", ".join(name.name for name in self.sought), self.places) if self.places else None

    def _foreign(self, path: Path, freedom: Freedom, every: bool) -> list[Callable[[], str]]:
        try:
            scores = read_score(path)
        except Unreadable as reason:
            self.bag.error(reason.code, None, reason.message, cure=reason.cure)
            return []
        return [self._searched(path.name, scores, self.sought, freedom, every)]

    def _searched(
        self, file: str, scores: Sequence[HeardScore], names: Sequence[Sought], freedom: Freedom, every: bool
    ) -> Callable[[], str]:
        """Look for names in the pieces of a file; what is said of it can be told when the run is judged."""
        self.say(f"looking through {file}")
        found = trace(scores, names, freedom, self.tests)
        search = _Search([traced.weighed for traced in found])
        self.searches.append(search)

        def told() -> str:
            judged = [
                Judged(traced, probability, verdict(probability))
                for traced, probability in zip(found, search.probabilities, strict=True)
            ]
            hits = [(one, hit) for one in judged for hit in one.hits(every)]
            self.places += [place_of_hit(file, one, hit) for one, hit in hits if every or one.shows(hit)]
            self.document["scores"].append({
                "file": file,
                "names": [weighed_json(one.traced.weighed, one.probability) for one in judged],
                "hits": [hit_json(one, hit) for one, hit in hits],
            })  # fmt: skip
            return f"{file}\n\n{hits_text(judged, every)}"

        return told

    def _own(self, place: Path, freedom: Freedom, every: bool, by_ear: bool) -> list[Callable[[], str]]:
        path = script_of(place, self.bag)
        if path is None:
            return []
        compiled = compile_script(path, str(path))
        if compiled.score is None or compiled.program is None or compiled.plan is None:
            self.bag.report_all(compiled.bag.ordered())
            return []
        written = _written(compiled.program)
        known = stated_names(compiled.program, compiled.plan, compiled.score)
        blocks: list[Callable[[], str]] = []
        unknown = list(self.sought)
        for given in self.names:
            for name in known:
                letters = written.get(name.name) or "".join(letter.text for letter in name.letters)
                if given.casefold() in (name.name.casefold(), letters.casefold()):
                    found = traced_statements(compiled.score, name)
                    blocks.append(partial(statements_text, name.name, found))
                    self.places += [place_of_statement(path.name, s) for s in found]
                    self.document["scores"].append(
                        {"file": path.name, "name": name.name, "statements": [statement_json(s) for s in found]}
                    )
                    self.in_scripts.add(given)
                    unknown = [sought for sought in unknown if sought.name != given]
        sought = self.sought if by_ear else unknown
        if sought:
            blocks.append(self._searched(path.name, heard_score(compiled.score), sought, freedom, every))
        return blocks

    def _corpus(self, root: Path, shown: str, every: bool) -> list[Callable[[], str]]:
        def told(done: int, total: int) -> None:
            self.say(f"reading {shown}: {done} of {total} files")

        try:
            looked = (self._one_machine if self.library is None else self._many)(root, shown, told)
        except OSError as error:
            self.bag.error(
                "O325", None, f"what was read cannot be kept: {error.strerror or error}",
                cure="look at the cache folder's rights and room; CAVATA_CACHE names another",
            )
            return []
        if looked is None:
            return []
        if not looked.notes:
            self.bag.error("O323", None, f"there is no score in `{shown}`", cure="name a folder that holds scores")
            return []
        search = _Search(list(looked.weighed))
        self.searches.append(search)
        forms = [(form, w) for w, found in zip(looked.weighed, looked.forms, strict=True) for form in found]
        return [lambda: self._told(shown, looked, search, forms, every)]

    def _one_machine(self, root: Path, shown: str, told: Callable[[int, int], None]) -> _Looked:
        index = corpus_index(root, told)
        notes = len(index.arrays.position)
        if not notes:
            return _Looked(index.files, notes, index.failed, (), ())
        corpus, found = CorpusSearch(index.arrays), []
        for name in self.sought:
            self.say(f"looking through {shown} for {name.name}")
            found.append(weighed(corpus.sounds, name, tests=self.tests, exact=True))
        forms = tuple(tuple(f for s in name.subjects for f in corpus_trace(corpus, s)) for name in self.sought)
        return _Looked(index.files, notes, index.failed, tuple(found), forms)

    def _many(self, root: Path, shown: str, told: Callable[[int, int], None]) -> _Looked | None:
        """The same by the workers of a library; None where they cannot, which is reported."""
        assert self.library is not None
        index, where = self.library
        from cavata.trace.library.workers import Lost, workers

        try:
            from cavata.trace.library.library import ScoreLibrary  # with what keeps the index

            with workers(where) as hands:
                library = ScoreLibrary.of(root, index, hands, told)
                if not library.notes:
                    return _Looked(library.files, 0, library.failed, (), ())
                self.say(f"looking through {shown}")
                found = library.search(self.sought, self.tests)
                return _Looked(library.files, library.notes, library.failed, found.weighed, found.forms)
        except ModuleNotFoundError as missing:
            package = (missing.name or "distributed").partition(".")[0]
            self.bag.error(
                "O982", None, f"there is no index of a library here: the package {package} is not installed",
                cure='install the extra: `pip install "cavata[cluster]"`',
            )
        except Lost as lost:
            self.bag.error(
                "O983", None, lost.why,
                cure="look at the scheduler and the memory of its workers; what was read so far is in the index",
            )
        return None

    def _told(
        self, shown: str, looked: _Looked, search: _Search, forms: Sequence[tuple[CorpusForm, Weighed]], every: bool
    ) -> str:
        """What is said of a corpus."""
        rows = list(zip(search.weighed, search.probabilities, strict=True))
        self.document["corpora"].append({
            "folder": shown, "files": looked.files, "notes": looked.notes,
            "failed": [list(pair) for pair in looked.failed],
            "names": [weighed_json(*row) for row in rows], "forms": [form_json(*pair) for pair in forms],
        })  # fmt: skip
        failed = "".join(f"    {_unread(*pair)}\n" for pair in looked.failed)
        unread = f"\n{so_many(len(looked.failed), 'file')} could not be read\n{failed}" if failed else ""
        head = f"{shown}: {so_many(looked.files, 'file')}, {so_many(looked.notes, 'note')}\n\n"
        return f"{head}{names_text(rows)}\n{corpus_text(forms, every)}{unread}"


def _unread(name: str, why: str) -> str:
    """A file and why it could not be read; where the reason begins with the file itself, that is said once."""
    own = f"`{PurePosixPath(name).name}` "
    return f"{name} {why.removeprefix(own)}" if why.startswith(own) else f"{name}: {why}"


@record
class _Looked:
    """A folder of scores, looked through."""

    files: int
    notes: int
    failed: tuple[tuple[str, str], ...]
    weighed: tuple[Weighed, ...]
    """Each name."""
    forms: tuple[tuple[CorpusForm, ...], ...]
    """For each name every form by each of its ciphers."""


class _Search:
    """The names in one file or corpus, before and after the run is judged."""

    def __init__(self, weighed: list[Weighed]) -> None:
        self.weighed = weighed
        self.probabilities: list[float] = []


def _written(program: Program) -> dict[str, str]:
    """The letters of the script's names, those too that make no note."""
    return {d.identity.name: d.tree.letters.text for d in program.definitions if isinstance(d, NameDefinition)}
