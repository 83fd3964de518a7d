"""What was found in a corpus, as tables for the terminal."""

from __future__ import annotations

from collections.abc import Sequence

from cavata.discover.text_table import text_table
from cavata.trace.corpus_trace import CorpusForm, CorpusPlace

MOST_PLACES = 100


def corpus_text(found: Sequence[CorpusForm], every: bool) -> str:
    """Counts of each form; then the places, those spelled as the name first, at most a hundred unless `every`."""
    counts = text_table(
        ("name", "form", "steps", "found", "no rest within", "spelled so", "chance expects", "p"),
        [
            (f.subject.name, " = ".join(form.value for form in (f.form, *f.also)),
             " ".join(f"{step:+d}" if step else "0" for step in f.steps), str(len(f.places)), str(f.strict),
             str(sum(place.spelled for place in f.places)), f"{f.expected:.4g}", f"{f.probability:.2g}")
            for f in found
        ],
        frozenset({3, 4, 5, 6, 7}),
    )  # fmt: skip
    places = [(f, place) for f in found for place in f.places]
    places.sort(key=lambda pair: not pair[1].spelled)
    shown = places if every else places[:MOST_PLACES]
    if not shown:
        return counts
    table = text_table(
        ("name", "form", "file", "part", "bars", "notes", ""),
        [
            (f.subject.name, f.form.value, " ".join(filter(None, (p.address.file, p.address.title[:30]))), _part(p),
             bars_text(p), " ".join(map(str, p.pitches)), _note(p))
            for f, p in shown
        ],
    )  # fmt: skip
    more = f"\nand {len(places) - len(shown)} more (`--all` shows them)\n" if len(shown) < len(places) else ""
    return f"{counts}\n{table}{more}"


def bars_text(place: CorpusPlace) -> str:
    """`13`, or `1-2`."""
    return place.first_bar if place.first_bar == place.last_bar else f"{place.first_bar}-{place.last_bar}"


def _part(place: CorpusPlace) -> str:
    return place.address.part if place.address.voice == 1 else f"{place.address.part}, voice {place.address.voice}"


def _note(place: CorpusPlace) -> str:
    return ", ".join(("spelled so",) * place.spelled + ("across a rest",) * place.across_rest)
