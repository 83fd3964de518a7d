"""One run of `cavata trace`: what is looked for, where, and what is said of it.

In: names, notes, files and folders. Out: text for the terminal, parts of a JSON document, and the script of a sheet;
what cannot be read goes into the bag and the rest goes on.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from pathlib import Path
from typing import Any

from cavata.diagnostics import Diagnostic, Diagnostics, Severity
from cavata.names.loader import SUFFIX
from cavata.names.program import NameDefinition, Program
from cavata.pipeline import compile_script
from cavata.score.statements import stated_names
from cavata.study.library_ciphers import offered_ciphers
from cavata.study.reading import Reading, read
from cavata.study.script_words import name_row
from cavata.trace.corpus_index import corpus_index, music21_corpus
from cavata.trace.corpus_trace import CorpusSearch, corpus_text, corpus_trace, form_json
from cavata.trace.foreign_score import read_foreign
from cavata.trace.own_score import heard_score, traced_statements
from cavata.trace.score_file import FORMATS, Unreadable
from cavata.trace.shown import (
    Place,
    hit_json,
    hits_text,
    place_of_hit,
    place_of_statement,
    statement_json,
    statements_text,
    subject_json,
    subjects_text,
    trace_script,
)
from cavata.trace.subject import FEWEST_NOTES, MOST_NOTES, Subject, subject_of_notes, subject_of_reading, usual_reading
from cavata.trace.trace import Freedom, Weighed, trace


def divided(words: Sequence[str]) -> tuple[list[str], list[Path]]:
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
        self.subjects: list[Subject] = []
        self.places: list[Place] = []
        self.refused: list[tuple[str, Diagnostic]] = []
        self.in_scripts: set[str] = set()
        self.document: dict[str, Any] = {"subjects": [], "scores": [], "corpora": []}

    def take(self, names: Sequence[str], notes: Sequence[str], by: str | None, own: Path | None) -> None:
        """Take in what is looked for."""
        self.names = list(names)
        for name in (name for name in names if not name.isprintable()):
            self.bag.error(
                "O345", None, f"the name `{name}` holds a sign that cannot be printed", "",
                "write the name in letters; a line end or a control sign belongs to no name",
            )
        ciphers = offered_ciphers(own, by, self.bag)
        if self.bag.has_errors:
            return
        for name in names:
            if by is None:
                usual = usual_reading(name, ciphers)
                readings = [usual] if usual is not None else []
            else:
                tried = [read(name, offered) for offered in ciphers]
                readings = [r for r in tried if isinstance(r, Reading)]
            if not readings:
                self._refuse(
                    name, "O310", f"no cipher gives `{name}` a note",
                    "write the name out in letters that a cipher knows, or look for `--notes`",
                )
            for reading in readings:
                self._take_one(subject_of_reading(reading))
        for text in notes:
            try:
                self._take_one(subject_of_notes(text))
            except ValueError as error:
                self.bag.error(
                    "O320", None, f"`{text}` is not a line of notes", str(error), "write notes as `Bb A C B`"
                )
        if not names and not notes:
            self.bag.error("O320", None, "there is nothing to look for", "", "give a name, or `--notes \"Bb A C B\"`")
        self.document["subjects"] = [subject_json(subject) for subject in self.subjects]

    def _take_one(self, subject: Subject) -> None:
        if not FEWEST_NOTES <= len(subject.pitches) <= MOST_NOTES:
            by = f" by `{subject.cipher}`" if subject.cipher else ""
            self._refuse(
                subject.name, "O322", f"`{subject.name}`{by} has {_counted(len(subject.pitches))}",
                f"{FEWEST_NOTES} to {MOST_NOTES} notes can be traced; fewer are everywhere",
            )
        elif all(known.pitches != subject.pitches for known in self.subjects):
            self.subjects.append(subject)

    def _refuse(self, name: str, code: str, message: str, cure: str) -> None:
        """Hold a refusal back until it is known whether a script has the name and needs no cipher for it."""
        self.refused.append((name, Diagnostic(code, Severity.ERROR, message, None, "", cure)))

    def run(
        self, places: Sequence[Path], corpus: bool, *, between: int, strict: bool, every: bool, by_ear: bool
    ) -> str:
        """Look everywhere; the text for the terminal."""
        freedom = Freedom(between, strict)
        blocks = [subjects_text(self.subjects)] if self.subjects else []
        for place in places:
            self.say(f"reading {place.name}")
            if place.suffix == SUFFIX or (place.is_dir() and any(place.glob(f"*{SUFFIX}"))):
                blocks.append(self._own(place, freedom, every, by_ear))
            elif place.is_dir():
                blocks.append(self._corpus(place, str(place), every))
            else:
                blocks.append(self._foreign(place, freedom, every))
        for name, diagnostic in self.refused:
            if name not in self.in_scripts:
                self.bag.report(diagnostic)
        if corpus:
            blocks.append(self._corpus(music21_corpus(), "music21's corpus", every))
        pasted = [name_row(s.name, s.cipher) for s in self.subjects if s.cipher]
        if pasted:
            blocks.append("TO PASTE\n\n" + "".join(f"    {row}\n" for row in pasted))
        return "\n".join(block for block in blocks if block)

    def sheet_script(self) -> str | None:
        """The script of the sheet, or None where nothing was found."""
        return trace_script(", ".join(s.name for s in self.subjects), self.places) if self.places else None

    def _foreign(self, path: Path, freedom: Freedom, every: bool) -> str:
        try:
            scores = read_foreign(path)
        except Unreadable as reason:
            self.bag.error(reason.code, None, reason.message, "", reason.cure)
            return ""
        self.say(f"looking through {path.name}")
        return self._weighed(path.name, trace(scores, self.subjects, freedom), every)

    def _weighed(self, name: str, found: tuple[Weighed, ...], every: bool) -> str:
        self.places += [place_of_hit(name, w) for w in found if every or w.chance.verdict != "chance"]
        self.document["scores"].append({"file": name, "hits": [hit_json(w) for w in found]})
        return f"{name}\n\n{hits_text(found, every)}"

    def _own(self, place: Path, freedom: Freedom, every: bool, by_ear: bool) -> str:
        path = script_of(place)
        compiled = compile_script(path, str(path))
        if compiled.score is None or compiled.program is None or compiled.plan is None:
            for diagnostic in compiled.bag.ordered():
                self.bag.report(diagnostic)
            return ""
        written = _written(compiled.program)
        known = stated_names(compiled.program, compiled.plan, compiled.score)
        blocks = []
        unknown = list(self.subjects)
        for given in self.names:
            for name in known:
                letters = written.get(name.name) or "".join(letter.text for letter in name.letters)
                if given.casefold() in (name.name.casefold(), letters.casefold()):
                    found = traced_statements(compiled.score, name)
                    blocks.append(statements_text(name.name, found))
                    self.places += [place_of_statement(path.name, s) for s in found]
                    self.document["scores"].append(
                        {"file": path.name, "name": name.name, "statements": [statement_json(s) for s in found]}
                    )
                    self.in_scripts.add(given)
                    unknown = [subject for subject in unknown if subject.name != given]
        sought = self.subjects if by_ear else unknown
        if sought:
            self.say(f"looking through {path.name}")
            blocks.append(self._weighed(path.name, trace(heard_score(compiled.score), sought, freedom), every))
        return "\n".join(blocks)

    def _corpus(self, root: Path, shown: str, every: bool) -> str:
        try:
            index = corpus_index(root, lambda done, total: self.say(f"reading {shown}: {done} of {total} files"))
        except OSError as error:
            self.bag.error(
                "O325", None, f"what was read cannot be kept: {error.strerror or error}", "",
                "look at the cache folder's rights and room; CAVATA_CACHE names another",
            )
            return ""
        if not index.arrays.lines:
            self.bag.error("O323", None, f"there is no score in `{shown}`", "", "name a folder that holds scores")
            return ""
        self.say(f"looking through {shown}")
        search = CorpusSearch(index.arrays)
        found = [form for subject in self.subjects for form in corpus_trace(search, subject)]
        failed = "".join(f"    {name}: {why}\n" for name, why in index.failed)
        self.document["corpora"].append(
            {
                "folder": shown, "files": index.files, "notes": len(index.arrays.position),
                "failed": [list(pair) for pair in index.failed], "forms": [form_json(form) for form in found],
            }
        )  # fmt: skip
        head = f"{shown}: {index.files} files, {len(index.arrays.position)} notes\n\n"
        unread = f"\n{len(index.failed)} files could not be read\n{failed}" if failed else ""
        return head + corpus_text(found, every) + unread


def _counted(notes: int) -> str:
    return f"{notes} note" if notes == 1 else f"{notes} notes"


def _written(program: Program) -> dict[str, str]:
    """The letters of the script's names, those too that make no note."""
    return {d.identity.name: d.tree.letters.text for d in program.definitions if isinstance(d, NameDefinition)}


# ----------------------------------------------------------------
# Which script a folder stands for.


def script_of(place: Path) -> Path:
    """The script itself; of a folder the one called like it, else its first by name."""
    if not place.is_dir():
        return place
    named = place / (place.resolve().name + SUFFIX)
    return named if named.is_file() else sorted(place.glob(f"*{SUFFIX}"))[0]
