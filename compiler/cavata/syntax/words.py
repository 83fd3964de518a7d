"""Words for the grammar's terminals, so that no terminal's name ever reaches a person."""

from __future__ import annotations

import re
from collections.abc import Iterable

RESERVED = frozenset(
    [
        "x", "for", "until", "rest", "in", "from", "at", "by", "as", "to", "last", "after", "about",
        "voices", "notes", "chord", "chords", "letter", "over", "held",
    ]  # fmt: skip
)
"""A declaration may not be called by these."""

ROW_WORDS = frozenset(
    [
        "tempo", "key", "meter", "section", "passage", "pickup", "attacca", "remark", "tacet", "repeated", "ending",
        "segno", "coda", "fine", "da", "dal",
    ]  # fmt: skip
)
"""A part may not be called by a word that begins a row."""

VERSION_WORDS = frozenset(
    ["without", "tempi", "title", "subtitle", "dedication", "name", "piece", "movement", "require"]
)
"""Words that begin rows of a version."""
BEHIND_A_NAME = r"[:=,.]|->|(?:at|bars|doubles|plays|within|heard|never|rest|playable)\b"
"""What follows the name of a part or of a value at the beginning of a row."""

CHANGED_WORDS: dict[str, str] = {
    "mirrored": "inverted",
    "nearest": "closest",
    "rising": "ascending",
    "falling": "descending",
    "widened": "expanded",
    "broken up": "broken ascending",
    "broken down": "broken descending",
    "pedal(": "pedal_point(",
    "pedalled": "sustain_pedal",
}
"""Words of edition 1 that are only called otherwise now, and what they are called.

The first word stands after an arrow, before a bracket (then with it, `pedal(`), or at the beginning of a row; further
ones, if any, are among what follows it there: `broken up` means the `up` after `-> broken`. Both sides have as many
words. The messages for old words and `cavata format --renew` use it.
"""

OLD_STEPS = frozenset(["lasting", "repeated", "cut", "held"])
"""Transforms of edition 1 that are none any more: what they did is said by `x`, `for`, `held` and `lengthened`."""

BRITISH: dict[str, str] = {
    "colours": "colors", "harmonised": "harmonized", "metre": "meter", "neighbours": "neighbors",
}  # fmt: skip
"""Words of the language in British spelling, which are understood, and in American, as `cavata format` writes them."""

MOST_NAMED = 5
"""A message names at most so many things that could have come instead."""

# In the order in which a message should name them. Keywords not listed stand for themselves.
DESCRIPTIONS: dict[str, str] = {
    "NAME": "a name",
    "STRING": "a text in quotes",
    "INT": "a number",
    "DECIMAL": "a number",
    "DURATION": "a duration such as `1/4`",
    "RATIO": "a ratio such as `3:2`",
    "PITCH": "a pitch such as `F#4`",
    "PITCH_CLASS": "a note name such as `F#`",
    "INTERVAL": "an interval such as `m3`",
    "CHORD_SYMBOL": "a chord symbol such as `Gm7`",
    "CALL": "a combination such as `weave(a, b)`",
    "ARROW": "`->`",
    "BAR": "`|`",
    "COMMA": "`,`",
    "COLON": "`:`",
    "EQUAL": "`=`",
    "PLUS": "`+`",
    "DOT": "`.`",
    "LPAR": "`(`",
    "RPAR": "`)`",
    "$END": "the end of the statement",
}


def describe(terminal: str, pattern: str | None) -> str:
    """A terminal in words; a keyword stands for itself."""
    if terminal in DESCRIPTIONS:
        return DESCRIPTIONS[terminal]
    return f"`{pattern}`" if pattern is not None else terminal.lower()


def one_of(described: Iterable[str]) -> str:
    """`a, b or c`, at most four, the rest left out."""
    known = list(DESCRIPTIONS.values())
    described = [text for text in described if text.strip("`") not in BRITISH]

    def rank(text: str) -> tuple[int, str]:
        return (known.index(text) if text in known else len(known), text)

    names = sorted(set(described), key=rank)
    more = len(names) > MOST_NAMED
    names = names[:MOST_NAMED]
    if len(names) == 1:
        return names[0]
    return ", ".join(names) + " ..." if more else ", ".join(names[:-1]) + " or " + names[-1]


# ----------------------------------------------------------------
# What people write from other habits, and what is written here instead: cures for what cannot be read.


_A_NOTE, _AN_INTERVAL = r"[A-G](##|#|b|bb)?-?\d*", r"(m|M|P|aug|dim)\d+"
_BY_TEXT: tuple[tuple[str, str], ...] = (
    (r"[HhS]\d*", "pitches run from A to G; the German H is `B`, its B is `Bb`, its S is `Eb`"),
    (_A_NOTE, "`{text}` is a note; names may not be spelled like one"),
    (_AN_INTERVAL, "`{text}` is an interval; names may not be spelled like one"),
    (r"([A-Ha-h](is|es)|[AaE]s)\d*", "a sharp is `#`, a flat is `b`: Fis is `F#`, Es is `Eb`, As is `Ab`"),
    (r"(do|ut|re|mi|fa|sol|la|si|ti)[#b]?\d*", "notes are called A to G: do is `C`, re is `D`, la is `A`"),
    (r"doubles?|doubled", "what else a player takes up is `doubling piccolo`"),
    (r"[%/#;]", "a comment begins with `--`"),
    (r"[“”„‟«»‘’‚‹›]", 'quotes are straight in a script, as in `"TAMSIN"`: a word processor bends them'),
    (r"\d+/\d+\.{3,}", "a duration has two dots at most"),
)

_BY_STATEMENT: tuple[tuple[str, str, str], ...] = (
    (r"tempo\b", r"\d+", "a tempo counts a note value: `tempo 1/4 at {text}`"),
    (r"meter\b", r"C", "its sign is asked for by `meter common time`"),
    (r"meter\b", r"cut|[Cc]|¢", "its sign is asked for by `meter alla breve`"),
    (r"meter\b", r"[^\W\d]\w*", "a meter is `3/4`, `7/8 as 2+2+3`, `common time`, `alla breve` or `none`"),
    (r"D\.?[CS]\b", r".*", "it is written in full: `da capo al fine`, `dal segno al coda`"),
    (r"rest\b", r".*", "a rest stands in a part's line, as `violin: 1 bar rest, hail`"),
    (r"meter\s+\d+\s*\+", r"\d+", "groups stand after the meter, as `meter 5/8 as 2+3`"),
    (r"\d+\.?\s*(st|nd|rd)?\s+(ending|time)\b", r"\d+",
     "it is written `ending {text} bar 8`, or `ending {text} bars 7 to 8`"),
    (r"key\b", r"[A-G](#|b)?(m|maj|min)", "name the mode in full, as `key D minor`"),
    (r"key\b", r"[a-g][#b]?", "write the key with a capital, as `key A minor`"),
)

_NOTE = r"[A-G](##|#|bb|b)?"
_DRESS = "marked|slurred|fermata|crescendo|diminuendo|sung|spoken|tremolo|trill|optional|harmonic|sul"
_BEHIND_AN_ITEM = r"^[^:]+:.*\S\s+$"
_BEHIND_A_VALUE = rf"{_BEHIND_AN_ITEM}|^motif\s.*=\s*\S.*\s$"
_FASTER = "the ratio stands after `x`: ten percent faster is `tempi x 1.1`, ten percent slower `tempi x 0.9`"
_MOVED = "a version moves everything by `piece -> down M2`, one part by `horn -> down M2`"
_IN_LINES = "bars and `until end` stand in score lines only; write a duration"
_TEXTS = "title|subtitle|composer|dedication|poet|arranger|copyright|publisher|number|note|library"
_MOVING = "up|down|from|within|inverted|retrograde|diminution|augmentation|step"
_COMMAS = "parts have commas between them, as `violin, viola`"
_COLON = "a colon stands behind the part, as `violin: hail`"
_ITEMS = "items have commas between them, as `violin: hail, reply`"
_TIMES = "how often stands after `x`, as `hail x 3`; how long after `for`, as `hail for 3 bars`"
_DEFINING, _HEADING = "name|motif|rhythm|figure|mode|group|staff", "movement|cadenza|section"
_AFTER: tuple[tuple[str, str, str], ...] = (
    (r"\b(canon|stretto|dialogue|pedal_point|ostinato)\([^()]*\s$", r"at|after|by|voices|in",
     "what a combination is given has commas between, as `canon(hail, at P5 below, after 1 bar)`"),
    (rf"^({_DEFINING}|{_HEADING})\s+\w+$", r"-\w*", "what it is called has no hyphen, but may have `_`, as `my_tune`"),
    (rf"^({_HEADING})\s*$", r'\d+|".*"|', "it is called by a word of yours, as `movement first`"),
    (r"^use\s+\w[\w\s,]*$", r"", "say from where, as `use french from ciphers`"),
    (rf"^({_TEXTS})\s*$", r":", 'the text follows in quotes, without a colon'),
    (r"^name\b.*\bby\s+\w+\s+$", r"written", 'it stands before `by`, as `"Dmitri" written "DSCH" by german`'),
    (r"^\w+\s*=\s*[A-Za-z ]+,?\s*$", r"\d+",
     "each player has a row; those of one instrument are numbered by themselves"),
    (r"^\w+\s*=\s*[A-Za-z ]+,\s*$", r"solo", "it is written `soloist`"),
    (r"^(?!letters\b|other\b)\w+\s*$", r"->", "a letter is given its notes by `=`, as `A = C`"),
    (r"^letters\s+[\w\s.]+$", r"", "name the notes too, as `letters A..G onto C D E`"),
    (r"^(passage|movement|cadenza|section|piece|forces|require|version|cipher)\b.*$", r":",
     "no colon stands here: what belongs to it follows below it, indented"),
    (r"^$", r"[^\W\d]\w*\(", "a passage is placed by `passage {text}...)`"),
    (r"^motif\b.*[\w)]\s*$", r",", "one value after another is joined by `+`"),
    (r"^transform\s+$", r"[^\W\d]\w*", "it names what it changes: `transform {text}(m) = m -> up M2`"),
    (r"^key\s+$", r"[A-G]", "name the mode in full, as `key C# minor`"),
    (r"^pickup\s+$", r"\d+", "its length is a duration, as `pickup 1/4`"),
    (r"^length\s+(of\s+\w+\s+)?\d+$", r"", "name the unit, as `5 min`"),
    (r"^length\s+(of\s+\w+\s+)?$", r"\d+:\d+", "minutes and seconds are written `5 min 30 s`"),
    (r"^paper\s+\w+\s+$", r"portrait|upright", "a page stands upright where nothing is said"),
    (r"^$", r"language", "the language of the page is said by `names in German`"),
    (rf"^key\s+{_NOTE}$", r"", "name the mode too, as `key D minor`"),
    (r"->\s*in\s+\(\s*\d+/\d+\.{0,2}\s+$", r"bass|top|inner|upper|all|-?\d+",
     "a figure has a name: `figure waltz = (1/4 bass, 1/4 upper, 1/4 upper)`, then `in waltz`"),
    (r"\bnotes\([^()]*\bchord\(\s*$", r"\d+/\d+\.{0,2}", "in `notes` a chord has the duration of its group"),
    (r"\brest\s+$", r"\d+/\d+\.{0,2}", "the duration stands before the rest, as `{text} rest`"),
    (r"\brest\s+$", r"-?\d+", "the duration stands before the rest, as `{text} bars rest`"),
    (r"^(motif|rhythm|transform)\b.*\b(for|held)\s+$", r"\d+|until", _IN_LINES),
    (r"^(motif|rhythm|transform)\b[^:]*\s$", r"until", _IN_LINES),
    (r"^(motif|rhythm|transform)\b[^:]*\bheld\s+until\s+$", r"end", _IN_LINES),
    (r"\bnotes\(([^()]|\([^()]*\))*,\s*$", rf"({_NOTE}-?\d+|rest)",
     "after a comma a duration is needed; without the comma `{text}` has the one before"),
    (r"\bchords\([^()]*,\s*$", rf"({_NOTE}\S*|rest)",
     "after a comma a duration is needed; without the comma `{text}` has the one before"),
    (r"\bchords\(\s*$", rf"{_NOTE}\S*", "a duration goes first, as `chords(1/2 Dm, 1/4 Gm7 A7)`"),
    (r"\bchord\([^()]+$", r"\d+/\d+\.{0,2}", "the duration of a chord goes first, as `chord({text} D4 F4)`"),
    (r"^[^:]+:(.*,)?\s*\d+/\d+\.{0,2}\s+$", rf"{_NOTE}\d?", "notes stand in brackets, as `notes(1/4 D4 E4)`"),
    (r"^[^:]+:(.*,)?\s*rest$", r"", "the duration goes before the rest, as `1 bar rest`"),
    (r"^[^:]+:(.*,)?\s*(\S+\s+rest|-?\d+\s+bars?\s+rest|rest\s+to\s+bar\s+\d+)\s+$", r"->",
     "there is no note in a rest: take the transform away, or put it after the notes that it is meant for"),
    (r"^[^:]+:(.*,)?\s*(\S+|-?\d+\s+bars?)\s+rest\s+$", r"\+", "a comma stands between a rest and what follows it"),
    (r"\b(for|held)\s+-?\d+$", r"", "name bars, as `2 bars`, or a duration, as `1/2`"),
    (r"\bnotes\(\s*$", rf"{_NOTE}\d?", "a duration goes first, as `notes(1/4 D4 E4, 1/2 F4)`"),
    (r"\bnotes\(([^()]|\([^()]*\))*$", r"\d+/\d+\.{0,2}",
     "a comma begins the next duration, as `notes(1/4 D4 E4, 1/2 F4)`"),
    (r"\b(notes|chord)\([^()]*$", _NOTE, "give it an octave, as `{text}4`"),
    (r"\b(until\s+end|(for|held)\s+\d+\s+bars?)\s*$", r"->",
     "transforms go before that, as `hail -> marked p until end`"),
    (r"\b(until\s+end|(for|held)\s+\d+\s+bars?)\s*$", r"\+", "that ends an item; the next one begins after a comma"),
    (r"->[^,]*\d\s+$", r"to", "numbers of notes are written `2..4`"),
    (r"->[^,]*\blast\s*$", r"\.\.", "a range leads up to the last note, as `2..last`"),
    (r"\bchord\([^()]*$", r",", "the notes of a chord have spaces between them, as `chord(D4 F4 A4)`"),
    (_BEHIND_AN_ITEM, r"-", "a transform begins with `->`, without a space in it"),
    (_BEHIND_A_VALUE,
     rf"(up|down|in|from|within|without|as|inverted|retrograde|ascending|descending|broken|tied|figured|graced|{_DRESS})",
     "a transform stands after an arrow, as `-> {text}`"),
    (_BEHIND_AN_ITEM, r"at|after", "the place stands before the colon, as `violin at bar 2: hail`"),
    (_BEHIND_A_VALUE, r"canon|stretto|dialogue|hocket|weave|together|ostinato|pedal_point",
     "it goes before its lines, which stand in brackets, as `{text}(hail, ...)`"),
    (r"^[^:]+:\s*ossia\s+$", r"[^\W\d]\w*", "it is a row of its own: `violin at bar 3 ossia: {text}`"),
    (r"^\w[^:]*\bbars\s+\d+\s+to\s+\d+\s+$", r"[^\W\d]\w*", "a colon stands before it, as `bars 2 to 3: {text}`"),
    (r"\bnotes\([^()]*$", r"\d+:\d+", "a tuplet is said by its durations: `1/12` in a triplet of eighths, `1/20` in a "
     "quintuplet of sixteenths"),
    (r"^tempo\b.*=\s*\d+/\d+\.*\s+$", r"\+", "both sides are single note values: `1/4` and `1/8` together are `1/4.`"),
    (r"^[^:]+\bat\s+$", r"beat", "name the bar too, as `at bar 1 beat 3`"),
    (r"^[^:,]+\s$", r"from", "a line begins `at bar 2`"),
    (r"\bheard\s+in\s+\w+\s+$", r"movement", "it is written `heard in every movement`"),
    (r"^repeated\s+\d+$", r"", "count the times, as `repeated 2 times`"),
    (rf"^([^:]+:\s*)?({_DRESS})\s+$", r".+",
     "it stands after an arrow, as `hail -> fermata last`, or over bars, as `horn bars 2 to 3: marked p`"),
    (r"\bbars\s+\d+\s*$", r":|-\d*|[–—,]", "name the first bar and the last, as `bars 2 to 3`, or `bars 2 to 2`"),
    (r"^(segno|coda|fine|to coda|da capo|dal segno)\b.*\s$", r"at|after|bars?",
     "it stands in a section, `segno` and `coda` for its beginning, the others for its end: begin a section there"),
    (r"\b(weave|together|hocket|ostinato)\([^(),]*\s$", r"[^\W\d]\w*",
     "values have commas between them, as `weave(a, b)`"),
    (r"^(key|meter|tempo)\s.*\s$", r"at|from", "the place stands before a colon, as `meter at bar 2: 3/4`"),
    (r"^(marked\s+)?(caesura|breath)\b", r".*", "it stands after a note, as `violin bars 2 to 2: marked caesura`"),
    (r"^tempo\b.*\bat\s+[\d.]+\s+$", r'".*"', "words stand after a comma, as `tempo 1/4 at 60, {text}`"),
    (r'^tempo\b[^:]*"\s+$', r"\d+/\d+\.*", 'words stand last, as `tempo {text} at 60, "Slowly"`'),
    (r"^tempo\b.*\bto\s+\S+\s+at\s+\S+\s+$", r"until|in|for|during|by", "it has a length, as `over 2 bars`"),
    (r"^length\s+of\s+\w+\s+$", r"[a-z]+", "a length is `5 min`, or from one to another, as `4 min to 6 min`"),
    (r"^\w+\s+$", r"not|never|below|above|under|over|between", "what keeps to a range is `voice within C4..A5`"),
    (r"^tempo\b.*\bat\s+[\d.]+,\s*$", r"fixed", "it stands right after the number, as `tempo 1/4 at 72 fixed`"),
    (r"^tempo\s+$", r"x", "in a version all tempi are multiplied by `tempi x 9:8`"),
    (r"^tempi\s+(of\s+\w+\s+)?$", r"\d+(:\d+|\.\d+)", "the ratio stands after `x`, as `tempi x {text}`"),
    (r"^tempi\s+(of\s+\w+\s+)?$", r"[*×]|faster|slower|\d+", _FASTER),
    (r"^tempi\s+(of\s+\w+\s+)?x\s+\S+\s*$", r"%|percent", _FASTER),
    (r"^(piece|transposed?)\s+$", r"up|down|by", _MOVED),
    (r"^(up|down)\s+$", r"(m|M|P|aug|dim)\d+", _MOVED),
    (rf"^(name\s+\w+\s*=|piece|{_TEXTS})\s*$", r"[^\W\d]\w*", 'a text stands in quotes, as `"{text}"`'),
    (r"^\w+\s+$", r"leaves|omitted", "what a version leaves out is `without horn`"),
    (r"^motif\s+$", rf"(?!({_A_NOTE}|{_AN_INTERVAL})$)\w+",
     "a motif is defined at the left margin; a version gives a name other letters"),
    (r"^$", r"words|lyrics", 'who wrote the words is said by `poet "..."`'),
    (r"^$", r"duration", "the length that was asked for is `length 6 min`"),
    (r"^$", r"instructions?|notes", 'a note on performance is `note "..."`'),
    (r"^(movement|cadenza|section)\s.*\s$", r"(up|down|step|inverted|raised|lowered)",
     "what a heading takes through a transform says it after an arrow, as `-> {text}`"),
    (r"^(omit|drop|skip|minus|leave)\s+$", r"\w+", "what a version leaves out is `without {text}`"),
    (r"^without\s+[^:]*\w\s+$", r"in|from",
     "a version leaves a part out of all movements; in one, a section made from another has `tacet`"),
    (r"^\w+\s*=[\w\s,]*\w$", r"-\w*", "an instrument's name has spaces, as `mezzo soprano`"),
    (r"^\w+\s+$", r"is", "a part is given its instrument by `=`, as `solo = cello`"),
    (r"->\s*$", r"[a-z]+\(", "no transform has brackets: lines are combined as `{text}hail, ...)`"),
    (r"^[^:]+$", r"bar", "a line begins `at bar 2`, a marking goes over `bars 2 to 3`"),
    (r"^section\s.*\s$", r"\d+/\d+", "the length of a section is a number of bars, as `section one 12 bars`"),
    (r"\bat\s+$", r"[Mm]easures?", "a measure is called a bar here, as `at bar 3`"),
    (rf"^[^:]+:(.*,)?\s*({_MOVING})\s+$", r".*", "a transform stands behind a value and an arrow, as `hail -> up P5`"),
    (rf"^passage\s+\w+\([^()]*\b({_MOVING})\s+$", r".*",
     "a transform stands behind the passage, as `passage call(violin) -> up P4`"),
    (r"^[^:]+:(.*,)?\s*$", rf"{_NOTE}\d", "notes stand in brackets, with a duration, as `notes(1/4 {text})`"),
    (r"\bnotes\(\s*\d+/\d+\.*\s*$", r"\)", "a part without pitch plays durations, as `(1/4 1/8 1/8)`"),
    (r"\bnotes\(([^()]*,)?\s*$", r"[whqesWHQES]", "durations are fractions of a whole note: a quarter is `1/4`"),
    (r"\bnotes\([^()]*\d\s*$", r"\.+", "the dot stands at the duration, as `1/4. D4`"),
    (r"(->\s*in\s*|^rhythm\b.*=\s*)\([^()]*$", r",",
     "durations in a rhythm have only spaces between them, as `(1/4 1/8)`"),
    (rf"\bwithin\s+({_NOTE}-?\d+\s*)?$", r"[-–—]|to|(-|[-–—]).*",
     "a range is written with two dots, as `within C4..C5`"),
    (r"^repeated\s+$", r"[^\W\d]\w*", "count the times, as `repeated 2 times`"),
    (r"^ending\s+[\d,\s]+$", r"", "name its bars, as `ending 2 bars 7 to 8`"),
    (r"^attacca$", r"", "it is a row of the movement or cadenza, before its sections"),
    (r"^section\s+$", r"[^\W\d]\w*", "no section is a part of another: begin it as far left as the one before"),
    (r"\buntil\s+$", r"[^\W\d]\w*|\d+\S*", "`until end` goes to the end of the section; for less write `for 3 bars`"),
    (r"^require\s+$", r".*", "promises stand in a block `require` of their own, at the left margin"),
    (r"^[\w., ]+\s$", r"plays", "it is a row of a version; in a movement a part goes along with another by `doubles`"),
    (r"^[^:]+:.*,\s*$", r"", "take the last comma away, or go on behind it"),
    (r"->\s*$", r"", "name a transform behind the arrow, or take the arrow away"),
    (_BEHIND_AN_ITEM, r"[*×]", _TIMES),
    (r"^[^:]+:.*\w\s+$", r"\d+", _TIMES),
    (r"^[^:]+:(.*,)?\s*\d+\s+$", r"x|times|[*×]", _TIMES),
    (_BEHIND_AN_ITEM, r"[>=→⇒➔–—]", "a transform begins with `->`"),
    (r"^\w+\s+$", r"in", "a line names the part as it is called under `forces`, as `horn: hail`"),
    (r"\bat\s+bar\s+\d+\s+$", r"to",
     "a line begins at one place, as `at bar 2`; bars are marked by `bars 2 to 3: marked p`"),
    (r"^[\w., ]+$", r";", _COLON),
    (r"^[^:]+:.*\S\s*$", r";", _ITEMS),
    (r"^[^:]+:.*\+\s*$", r"\d+/\d+\.*|rest", "a rest stands behind a comma, as `hail, 1/4 rest`"),
    (r"^[^:]+:(.*,)?\s*$", r'".*"', "a value stands without quotes, as `violin: hail`"),
    (r"^(group|staff|staves)\b.*=\s*[\w,\s]*\w\s+$", r"[^\W\d]\w*", _COMMAS),
    (r"^\w+\s+plays\s+[\w., ]*\w\s+$", r"[^\W\d]\w*", _COMMAS),
    (r"^(tacet|without)\s+[\w., ]*\w\s+$", r"(?!in$|from$)[^\W\d]\w*", _COMMAS),
    (r"^\w+\s*=.*,\s*doubling\s+[\w\s]+,\s*$", r"[^\W\d]\w*",
     "each has a `doubling` of its own, as `flute, doubling piccolo, doubling alto flute`"),
)
"""What stands before the word, the word, and the cure."""


_IN_VERSIONS: tuple[tuple[str, str, str], ...] = (
    (r"^[\w., ]+$", r":",
     "a version has no lines of its own: a part moves by `horn -> down M2`, or has another's by `violin plays viola`"),
    (r"^tempo\s+$", r"\d+/\d+\.*|at", "a version multiplies its tempi, as `tempi x 9:8`"),
)
"""The same for the rows of a version."""


def habit(text: str, statement: str, before: str, in_version: bool = False) -> str:
    """The cure for a word that cannot stand where it does in its statement; empty where none is known.

    No word is the end of the statement; `before` is what could be read of it.
    """
    for behind, pattern, cure in (*(_IN_VERSIONS if in_version else ()), *_AFTER):
        if re.search(behind, before) and re.fullmatch(pattern, text):
            return cure.replace("{text}", text)
    if not text:
        return ""
    for begins, pattern, cure in _BY_STATEMENT:
        if re.match(begins, statement) and re.fullmatch(pattern, text):
            return cure.replace("{text}", text)
    if re.fullmatch(r"[a-g][#b]?\d", text):
        return f"pitches have capital letters: `{text[0].upper()}{text[1:]}`"
    for pattern, cure in _BY_TEXT:
        if re.fullmatch(pattern, text):
            return cure.replace("{text}", text)
    return ""


_LAST: tuple[tuple[str, str, str, str], ...] = (
    (rf"({_DEFINING})\s+\w+\s+\w+\s*=|({_HEADING})\s+\w+\s+\w", r"^\w+\s+\w+\s+$", r"[^\W\d]\w*",
     "what it is called is one word, as `my_tune`"),
    (r"\w+\s+\w+\s*=", r"^\w+\s+$", r"[^\W\d]\w*", "the name of a part is one word, as `solo_viola`"),
    (r"[\w., ]+\s\w+\s*(:|\bat\b)", r"^(?!.*\b(at|bars|after)\b)[\w., ]*\w\s+$", r"[^\W\d]\w*",
     f"{_COMMAS}; the name of one is one word"),
    (r"(?!(show|names|paper|title|concert|rehearsal|letters|length)\b)\w+\s+\w+", r"^\w+\s+$", r"[^\W\d]\w*",
     _COLON),
    (r"", _BEHIND_AN_ITEM, r"[^\W\d]\w*", _ITEMS),
    (r"", r"", r"\)", "take it away: no bracket is open here"),
)
"""How the statement begins, what stands before the word, the word, and the cure: where nothing else is known."""


def last_resort(text: str, statement: str, before: str) -> str:
    """The cure for a word of the script's own that stands where it cannot; empty where none is known."""
    return _cure(_LAST, text, statement, before)


_RESERVED: tuple[tuple[str, str, str, str], ...] = (
    (r"", r"[:+,]\s*$", r"rest", "a rest has its duration and stands behind a comma, as `hail, 1/4 rest`"),
    (r"\s*at\s+bar\b", r"^\s*$", r"at", "the part stands first, as `violin at bar 2: hail`"),
)
"""The same for words that nothing can be called by, with the line in place of the statement."""


def meant_by_reserved(text: str, line: str, before: str) -> str:
    """The cure for a word of the language that stands where a name is read; empty where none is known."""
    return _cure(_RESERVED, text, line, before)


def _cure(rows: Iterable[tuple[str, str, str, str]], text: str, statement: str, before: str) -> str:
    for begins, behind, pattern, cure in rows:
        if re.match(begins, statement) and re.search(behind, before) and re.fullmatch(pattern, text):
            return cure
    return ""


def row_word(before: str, text: str) -> str:
    """The cure where a row goes on as if its first word were a name; empty where it does not."""
    word = before.strip()
    if not word.isidentifier() or not re.fullmatch(BEHIND_A_NAME, text):
        return ""
    written = ", written without a colon" if text == ":" else ""
    return f"`{word}` begins a row of its own{written}; nothing can be called that here"
