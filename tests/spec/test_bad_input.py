"""Whatever stands in a file, the compiler ends soon, says where something is wrong, and leaves other files alone."""

from __future__ import annotations

import os
import subprocess
import sys
import time
import unicodedata
from collections.abc import Callable
from pathlib import Path

import pytest
from fake_engravers import FAILS, IS_KILLED, SLEEPS, engrave_with
from hypothesis import HealthCheck, example, given, settings
from hypothesis import strategies as st
from message_pages import SHOWN, codes_in_source
from rounds import rounds

from cavata.child import ChildLimits
from cavata.cli.main import main
from cavata.diagnostics import Diagnostic, Severity, as_text, messages_json
from cavata.pipeline import Compiled, compile_script

SOON = 20.0
"""Seconds of the processor that any script may take, on a slow machine too; how busy it is does not count."""
FORCES = "forces\n    flute = flute\n    oboe = oboe\n"
MOVEMENT = f"{FORCES}movement first\n"
TIDE = "motif tide = notes(1/4 D5)\n"
DEEP = 5_000


def check(script: str | bytes, folder: Path) -> Compiled:
    """Compile a script, in time."""
    path = folder / SHOWN
    path.write_bytes(script if isinstance(script, bytes) else script.encode("utf-8"))
    began = time.process_time()
    result = compile_script(path, SHOWN)
    assert time.process_time() - began < SOON
    return result


def errors(result: Compiled) -> list[Diagnostic]:
    return [message for message in result.bag.ordered() if message.severity is Severity.ERROR]


def well_said(result: Compiled) -> None:
    """Every message can be shown, its place lies in its source, and a score comes only without errors."""
    found = result.bag.ordered()
    assert (result.score is None) == bool(errors(result)) or result.loaded is None
    for message in found:
        assert message.code in CODES
        assert message.message
        for span in ([message.span] if message.span else []) + [span for span, _ in message.also]:
            assert 0 <= span.start < span.end <= max(1, len(span.source.text)), message
    messages_json(found)
    for sign in as_text(found).replace("\n", ""):  # by the Unicode Character Database, as Python's library has it
        assert unicodedata.category(sign) not in ("Cc", "Cs", "Zl", "Zp")
        assert unicodedata.bidirectional(sign) not in REORDERING


CODES = codes_in_source()
REORDERING = frozenset(["LRE", "RLE", "LRO", "RLO", "PDF", "LRI", "RLI", "FSI", "PDI"])


# ------------------------------------------------------------------ bytes and lines


BYTES: dict[str, tuple[bytes, str]] = {
    "not UTF-8": (b"language 2\nname x = \"REN\xc9E\" by y\n", "S100"),
    "not UTF-8 after a byte order mark": (b"\xef\xbb\xbflanguage 2\n\xff", "S100"),
    "UTF-16": ("language 2\n".encode("utf-16"), "S100"),
    "NUL bytes": (b"language 2\n\0\0\0\n", "S112"),
    "a NUL byte in a string": (b'language 2\nuse "a\0b.cavata"\n', "S112"),
    "a tab for indentation": (b"language 2\nforces\n\tflute = flute\n", "S102"),
    "a tab in a row": (b"language 2\nforces\n    flute\t= flute\n", "S102"),
    "10 MB": (b"-- ten megabytes\n" * 600_000, "N107"),
    "a very long line": (b"language 2\nmotif a = " + b"b + " * 100_000 + b"b\n", "S107"),
    "20,000 sums": (b"language 2\nmotif a = notes(1/4 D5)\nmotif b = a" + b"+a" * 20_000 + b"\n", "N212"),
    "20,000 lines of sums": (b"language 2\nmotif a = notes(1/4 D5)\nmotif b = a" + b"\n+a" * 20_000 + b"\n", "N212"),
    "an open string at the end": (b'language 2\npiece "Three', "S104"),
    "an open string that ends in a backslash": (b'language 2\npiece "Three\\', "S104"),
    "an open bracket at the end": (b"language 2\nmotif a = notes(1/4 D5", "S105"),
    "only a bracket": (b"(", "S105"),
    "only a closing bracket": (b")", "S110"),
    "only a quote": (b'"', "S104"),
    "brackets": (b"language 2\nmotif a = " + b"(" * DEEP + b"b" + b")" * DEEP + b"\n", "S106"),
    "combinations": (b"language 2\nmotif a = " + b"weave(" * DEEP + b"b" + b")" * DEEP + b"\n", "S106"),
    "open brackets": (b"language 2\nmotif a = " + b"(" * DEEP, "S106"),
    "indentation": (
        b"language 2\n" + b"".join(b" " * n + b"movement m\n" for n in range(1500)), "S109",
    ),
    "spaces before a line": (b"language 2\nforces\n" + b" " * 100_000 + b"flute = flutte\n", "I101"),
    "other line ends": (b"language 2\x0bpiece\x0c\x85\xe2\x80\xa8", "S100"),
}  # fmt: skip


@pytest.mark.parametrize("what", BYTES)
def test_bytes(what: str, tmp_path: Path) -> None:
    content, code = BYTES[what]
    result = check(content, tmp_path)
    well_said(result)
    assert code in {message.code for message in errors(result)}, as_text(result.bag.ordered())


@pytest.mark.parametrize(
    "content",
    [
        b"", b"\n\n", b"-- only\n  -- comments\n", b"   ", b"\xef\xbb\xbf", b"language 2",
        b"\xef\xbb\xbflanguage 2\r\n",
        b"language 2\r\nforces\r\n    flute = flute\r\nmovement first\r\n    flute: notes(1/1 D5)\r\n",
        b"language 2\rforces\r    flute = flute\rmovement first\r    flute: notes(1/1 D5)\r",
        b"language 2\n\nmotif calm = notes(1/4\n\n-- a comment\n    D5\n)   \n",
        'language 2\npiece "\u200f\u200d\U000e0001"\nforces\n    flute = flute\nmovement first\n'.encode(),
        ("language 2\n" + "".join(f"motif tune{n} = notes(1/4 D5)\n" for n in range(5_000))).encode(),
    ],
)  # fmt: skip
def test_strange_but_sound(content: bytes, tmp_path: Path) -> None:
    result = check(content, tmp_path)
    well_said(result)
    assert errors(result) == []


def test_line_ends_do_not_move_messages(tmp_path: Path) -> None:
    script = f"language 2\n{MOVEMENT}    flute: nowhere\n"
    shown = {as_text(check(script.replace("\n", end), tmp_path).bag.ordered()) for end in ("\n", "\r\n", "\r")}
    assert len(shown) == 1
    assert "example.cavata:6:12  N204" in shown.pop()


# ------------------------------------------------------------------ values, names and numbers


WRONG: dict[str, str] = {
    "V101": 'cipher c\n    A = A\nname zoe = "AZ" by c\n',
    "V102": 'use french from ciphers\nname zoe = "A😀" by french\n',
    "V103": 'use german from ciphers\nname zoe = "" by german\n',
    "V106": "cipher c\n    A = H4x\n",
    "N204": "motif a = nobody\n",
    "N206": "motif a = notes(1/4 D5) -> jump\n",
    "N208": "motif a = jumble(b)\n",
    "I101": "forces\n    flute = didgeridoodle\n",
    "S201": "motif a = notes(1/4 D5) -> up P3\n",
    "S101": "motif a = notes(1/4 H4)\n",
    "S204": "motif a = notes(1/4 E#99)\n",
    "S202": "motif a = notes(0/4 D5)\n",
    "S207": "movement first\n    meter 4/7\n",
    "S209": "movement first\n    tempo 1/4 at 0\n",
    "S212": 'piece "\\x"\n',
    "P101": f"{MOVEMENT}    section a 1 bar\n        flute: notes(1/1 D5 E5)\n",
    "V301": f"{TIDE}motif a = tide x 1000000000\n",
    "V203": f"{TIDE}motif a = tide -> sharp 1000000000\n",
    "V211": f"{TIDE}motif a = tide -> up P50\n",
    "V206": f"{TIDE}motif a = tide -> augmentation 1000000000\n",
    "V219": f"{TIDE}motif a = tide {'-> augmentation 64 ' * 900}\n",
    "P108": f"{MOVEMENT}    section a 1000000000 bars\n        flute: notes(1/1 D5)\n",
}
"""For each code a mistake, one more than the page of that code shows."""

MORE_WRONG: tuple[tuple[str, str], ...] = (
    ("S202", "motif a = notes(1/0 D5)\n"),
    ("S202", "motif a = notes(1/999999999999999999999 D5)\n"),
    ("S202", "motif a = notes(1/17 D5)\n"),
    ("S202", f"motif a = notes({'9' * 5000}/4 D5)\n"),
    ("S202", "motif a = notes(1/4 D5) held 1001/1\n"),
    ("S203", "motif a = notes(1/4 D5) -> augmentation 0:1\n"),
    ("S203", f"motif a = notes(1/4 D5) x {'9' * 5000}\n"),
    ("S203", f"profile slow\n    stretch {'9' * 5000}.5 semitones\n"),
    ("S204", f"motif a = notes(1/4 E{'9' * 5000})\n"),
    ("S204", "motif a = notes(1/4 C-1)\n"),
    ("S201", f"motif a = notes(1/4 D5) -> up P{'1' * 5000}\n"),
    ("S201", "motif a = notes(1/4 D5) -> up P0\n"),
    ("S207", "movement first\n    meter 0/4\n"),
    ("S207", "movement first\n    meter 4/0\n"),
    ("S207", "movement first\n    meter 3/4.\n"),
    ("S207", "movement first\n    meter 99999999999/4\n"),
    ("S209", f"movement first\n    tempo 1/4 at {'9' * 5000}\n"),
    ("S206", f"{MOVEMENT}    flute at bar -1: notes(1/1 D5)\n"),
    ("S206", f"{MOVEMENT}    flute: notes(1/1 D5) x 0\n"),
    ("V301", f"{MOVEMENT}    flute: notes(1/4 D5) x 1000000000\n"),
    ("V301", f"{MOVEMENT}    flute: {', '.join(['notes(1/4 D5) x 100000'] * 3000)}\n"),
    ("P108", f"{MOVEMENT}    flute: 1000000000 bars rest\n"),
    ("P108", f"{MOVEMENT}    flute at bar 1000000000: notes(1/4 D5)\n"),
    ("P108", f"{MOVEMENT}    flute: rest to bar 1000000000\n"),
    ("P108", f"{MOVEMENT}    section a\n        flute: {', '.join(['1000/1 rest'] * 100)}, notes(1/1 D5)\n"),
    ("P108", f"{MOVEMENT}    section a 2 bars\n        flute: notes(1/1 D5) for 10000 bars, "
     "notes(1/1 D5) held 10000 bars\n"),
    ("P101", f"{MOVEMENT}    section a 2 bars\n        flute: notes(1/1 D5) held 9999 bars, notes(1000/1 D5)\n"),
    ("P117", f"{MOVEMENT}    flute: notes(1/1 D5)\n    flute bars 1 to 1000000000: slurred\n"),
    ("P117", f"{MOVEMENT}    flute: notes(1/1 D5)\n    tempo at bar 9000: 1/4 at 60\n"),
    ("P108", f"{MOVEMENT}    flute: notes(1/1 D5)\n    tempo at bar 1000000000: 1/4 at 60\n"),
    ("V214", f"{MOVEMENT}    flute: notes(1/1 D5)\n    flute bars 1 to 1: crescendo f f\n"),
    ("V203", f"{MOVEMENT}    flute: notes(1/1 D5)\n    flute bars 1 to 1: marked 9 f\n"),
    ("V206", "motif a = notes(1/4 D5 E5 F5) -> sharp 3..2\n"),
    ("V209", f"{TIDE}motif a = tide -> without 1 -> from C4\n"),
    ("V209", f"{TIDE}motif a = tide -> without 1\nmotif b = weave(a, tide)\n"),
    ("V209", f"{TIDE}motif a = tide -> in (1/4 rest)\n"),
    ("P113", f"{TIDE}motif a = tide -> without 1\n{MOVEMENT}    flute: tide, a for 1 bar\n"),
    ("V205", f"{TIDE}motif a = tide -> within C5..C4\n"),
    ("V205", f"{TIDE}motif a = tide -> within B9..B9\n"),
    ("V211", "motif a = notes(1/4 B9 C4) -> ascending\n"),
    ("V211", f"{TIDE}motif a = tide -> step up 1000000000 in D minor\n"),
    ("N205", "rhythm r = (1/4)\nname zoe = \"A\" by r\n"),
    ("N207", "transform t(m) = m\nmotif a = t()\n"),
    ("N215", "cipher a = b\ncipher b = a\n"),
    ("N215", "motif a = a\n"),
    ("N215", "transform a(m) = m -> b\ntransform b(m) = m -> a\n"),
    ("N215", "".join(f"motif a{n} = a{(n + 1) % 1000} -> up m3\n" for n in range(1000))),
    ("S105", "motif a = notes(1/4 D5\nforces\n    flute = flute\n"),
    ("P110", "forces\n    flute = flute\ncadenza a\n    flute at bar 2: notes(1/4 D5)\n"),
    ("P124", f"{MOVEMENT}    section a 3 bars\n        meter at bar 2: none\n        flute: notes(1/1 D5)\n"),
    ("P123", "movement first\n    meter none\n    pickup 1/4\n"),
    ("N101", "language 7\n"),
    ("S210", 'piece "x"\n    length 0 min\nmovement a\n'),
    ("S211", "cipher c\n    letters \"AB\"..Z onto A\n"),
    ("V301", "".join(f"motif a{n + 1} = a{n} + a{n}\n" for n in range(60)) + "motif a0 = notes(1/4 D5)\n"),
    ("V302", "transform t0(m) = m -> up P1\n"
     + "".join(f"transform t{n + 1}(m) = m -> t{n} -> t{n}\n" for n in range(50))
     + "motif a = notes(1/4 D5) x 100 -> t50\n"),
    ("P118", f"{MOVEMENT}    flute: notes(1/4 D5) {'-> diminution 7 ' * 4}\n"),
    ("P104", f"{TIDE}{MOVEMENT}    flute: together({', '.join(['tide'] * 300)})\n"),
    ("N222", "forces\n" + "".join(f"    p{n} = flute\n" for n in range(1_000))),
)  # fmt: skip
CASES = [
    pytest.param(code, script, id=f"{code}-{n}", marks=[pytest.mark.slow] * (code == "V302"))
    for n, (code, script) in enumerate((*WRONG.items(), *MORE_WRONG))
]
"""One needs much before anybody can say that it is too much."""


@pytest.mark.parametrize(("code", "script"), CASES)
def test_mistake_has_its_message(code: str, script: str, tmp_path: Path) -> None:
    result = check("language 2\n" + script, tmp_path)
    well_said(result)
    found = errors(result)
    assert {message.code for message in found} == {code}, as_text(found[:5])
    assert all(message.label or message.cure for message in found)
    assert all(message.span is not None for message in found)


def test_one_mistake_is_said_once(tmp_path: Path) -> None:
    """What hangs on a mistake is silent: no line of the cadenza or section that could not be had is missed."""
    script = (
        f"language 2\nmotif a = nowhere\nmotif b = a -> up m3\n{MOVEMENT}    flute: b\n"
        "    flute bars 1 to 1: marked f\n"
        "cadenza alone\n    flute: a, b\n"
    )
    assert [message.code for message in check(script, tmp_path).bag.ordered()] == ["N204"]


def test_a_hundred_messages_are_enough(tmp_path: Path) -> None:
    result = check("language 2\n" + "motif a = (\n" * 5_000, tmp_path)
    well_said(result)
    assert 1 <= len(result.bag.ordered()) <= 101


# ------------------------------------------------------------------ files that are used


@pytest.mark.parametrize(
    ("used", "code"),
    [
        ("../x.cavata", "N104"),
        ("/dev/zero", "N104"),
        ("/dev/../dev/zero", "N104"),
        ("../../../../../../dev/zero", "N104"),
        ("zero.cavata", "N104"),
        ("out.cavata", "N104"),
        ("folder.cavata", "N106"),
        ("loop.cavata", "N106"),
        ("nothing.cavata", "N106"),
        ("pipe.cavata", "N106"),
        ("", "N105"),
        (".", "N105"),
        ("house.txt", "N105"),
        ("a" * 5000 + ".cavata", "N106"),
        ("large.cavata", "N107"),
        ("latin.cavata", "S100"),
    ],
)
@pytest.mark.skipif(os.name != "posix", reason="links, pipes and devices of POSIX")
def test_use_opens_only_scripts_of_its_folder(used: str, code: str, tmp_path: Path) -> None:
    folder = tmp_path / "piece"
    folder.mkdir()
    (tmp_path / "x.cavata").write_text("language 2\n")
    (folder / "zero.cavata").symlink_to("/dev/zero")
    (folder / "out.cavata").symlink_to("../x.cavata")
    (folder / "loop.cavata").symlink_to("loop.cavata")
    (folder / "folder.cavata").mkdir()
    os.mkfifo(folder / "pipe.cavata")
    (folder / "house.txt").write_text("language 2\n")
    (folder / "large.cavata").write_bytes(b"-- much\n" * 300_000)
    (folder / "latin.cavata").write_bytes(b"-- \xe9\n")
    result = check(f'language 2\nuse "{used}"\n', folder)
    well_said(result)
    assert [message.code for message in errors(result)] == [code], as_text(result.bag.ordered())


def test_circle_of_files_is_said_once(tmp_path: Path) -> None:
    for name, other in (("a", "b"), ("b", "c"), ("c", "a")):
        (tmp_path / f"{name}.cavata").write_text(f'language 2\nuse "{other}.cavata"\nmotif {name} = notes(1/4 D5)\n')
    result = check('language 2\nuse "a.cavata"\n', tmp_path)
    well_said(result)
    assert [message.code for message in errors(result)] == ["N108"]


def test_long_chain_of_files(tmp_path: Path) -> None:
    for n in range(300):
        more = f'use "f{n + 1}.cavata"\n' if n < 299 else ""
        (tmp_path / f"f{n}.cavata").write_text(f"language 2\n{more}motif tune{n} = notes(1/4 D5)\n")
    assert errors(check('language 2\nuse "f0.cavata"\n', tmp_path)) == []


@pytest.mark.skipif(os.name != "posix", reason="devices of POSIX")
@pytest.mark.parametrize("given", ["/dev/zero", "nothing.cavata", "x" * 5000, "folder.cavata/deeper"])
def test_command_is_given_no_script(
    given: str, tmp_path: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    monkeypatch.chdir(tmp_path)
    (tmp_path / "folder.cavata").mkdir()
    assert main(["check", given]) == 1
    assert "N106" in capsys.readouterr().err


# ------------------------------------------------------------------ as a command, and with no luck at engraving


SOUND = f"language 2\n{MOVEMENT}    flute: notes(1/1 D5)\n"


@pytest.fixture
def built(tmp_path: Path, monkeypatch: pytest.MonkeyPatch) -> Path:
    """A sound script beside an earlier score of it."""
    monkeypatch.chdir(tmp_path)
    (tmp_path / "lantern.cavata").write_text(SOUND)
    for name in ("lantern.pdf", "lantern.mid", "lantern-first.musicxml"):
        (tmp_path / name).write_bytes(b"as it was before")
    return tmp_path


def contents(folder: Path) -> dict[str, bytes]:
    return {path.name: path.read_bytes() for path in folder.iterdir() if path.name != "lilypond"}


@pytest.mark.skipif(os.name != "posix", reason="the stand-ins for LilyPond are shell scripts")
@pytest.mark.parametrize(
    ("commands", "code"), [(SLEEPS, "O202"), (IS_KILLED, "O203"), (FAILS, "O204"), ("exit 0\n", "O204")]
)
def test_failed_engraving_leaves_every_file(
    commands: str, code: str, built: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    engrave_with(commands, built, monkeypatch)
    # Whatever ends by itself has time for it, however busy the machine is.
    monkeypatch.setattr(
        "cavata.lilypond.engrave.ChildLimits", lambda: ChildLimits(seconds=0.5 if commands == SLEEPS else 300)
    )
    before = contents(built)
    assert main(["build", "lantern.cavata", "--to", "pdf,midi"]) == 1
    told = capsys.readouterr()
    assert told.out == "" and code in told.err and "Traceback" not in told.err
    assert contents(built) == before


def test_missing_engraver_leaves_the_pages_and_writes_the_rest(
    built: Path, monkeypatch: pytest.MonkeyPatch, capsys: pytest.CaptureFixture[str]
) -> None:
    monkeypatch.setenv("CAVATA_LILYPOND", str(built / "no-such-program"))
    before = contents(built)
    assert main(["build", "lantern.cavata"]) == 1
    assert "O201" in capsys.readouterr().err
    now = contents(built)
    assert now.keys() == before.keys() and now["lantern.pdf"] == before["lantern.pdf"]
    assert now["lantern.mid"].startswith(b"MThd") and now["lantern-first.musicxml"].startswith(b"<?xml")


@pytest.mark.parametrize("damage", [lambda s: s + "motif a = (", lambda s: s.replace("D5", "H5"), lambda s: "\0" + s])
def test_mistakes_leave_every_file(
    damage: Callable[[str], str], built: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    (built / "lantern.cavata").write_text(damage(SOUND))
    before = contents(built)
    assert main(["build", "lantern.cavata"]) == 1
    assert capsys.readouterr().out == ""
    assert contents(built) == before


NO_SCRIPTS = (b"\xff\xfe\x00", b"(" * 100_000, b"\0" * 1000, ("é" * 50_000).encode(), b'"' * 9999)


@pytest.mark.slow
def test_command_ends_with_a_message_and_no_traceback(tmp_path: Path) -> None:
    """Three commands for each, one after another in a process whose terminal has no letters but those of ASCII."""
    commands = []
    for number, content in enumerate(NO_SCRIPTS):
        (tmp_path / f"{number}.cavata").write_bytes(content)
        for words in (["check"], ["check", "--json"], ["show", "score"]):
            commands.append([*words, f"{number}.cavata"])
    program = f"from cavata.cli.main import main\nfor c in {commands}: print(f'\\f{{main(c)}}\\f', flush=True)"
    run = subprocess.run(
        [sys.executable, "-c", program], cwd=tmp_path, timeout=600, stdout=subprocess.PIPE, stderr=subprocess.STDOUT,
        env={**os.environ, "PYTHONIOENCODING": "ascii"}, check=True,
    )  # fmt: skip
    *told, end = run.stdout.split(b"\f")
    assert told[1::2] == [b"1"] * len(commands) and not end.strip()
    for said in told[::2]:
        assert said.strip() and b"Traceback" not in said and b"X001" not in said and b"\x1b" not in said


# ------------------------------------------------------------------ any text at all


REAL = '''\
language 2

piece "Three Watches"
    subtitle   "for bassoon, harp and strings"
    composer   "A. Composer"
    dedication "for the keepers of the lamp"
    length     3 min to 5 min                   -- what was asked for

use french, german from ciphers                 -- the standard library
use summons from rhythms                        -- (1/4. 1/8 1/4)

name tamsin = "TAMSIN" by french                -- F A F E B G
    remark "always falls home"
name corwen = "CORWEN" by french                -- C A D B E G
name hedda  = "HEDDA"  by german                -- B E D D A

rhythm rocking = (1/4 1/8)

motif hail    = tamsin -> sharp 1 -> flat last -> from F#3 -> in summons
motif reply   = corwen -> inverted about A3 -> in summons
motif ground  = hedda -> from B2 -> in (1/2 1/4)
motif mingled = weave(tamsin, corwen)           -- F C A A F D E B B E G G
motif dusk    = mingled -> first 5 -> augmentation 2 -> marked p "calm"
motif lamp    = tamsin -> as chord held 3/4
motif glint   = lamp -> broken ascending -> in (1/8)
motif tide    = notes(1/2. D5, 1/8 E5 F5 | 1/2 A5, 1/4 rest G5)   -- a tune that no name gave

transform echo(m, gap) = m + (m -> up gap -> marked pp)

forces
    bassoon = bassoon, soloist
    harp    = harp, soloist
    violin1 = violins
    violin2 = violins
    violas  = violas
    cellos  = cellos
    basses  = double basses
group strings = violin1, violin2, violas, cellos, basses

movement first "First Watch"
    meter 3/4
    key   D minor
    tempo 1/4 at 96, "With the tide"

    section hailing "two names across the water" 8 bars
        bassoon:                  hail, 2 bars rest, hail -> echo P8
        harp at bar 3:            glint, reply -> up P4
        strings at bar 5 beat 2:  lamp -> marked p x 3

    section rocking_on
        meter 6/8                               -- a section may change meter, key and tempo
        violin1:        tide -> in rocking x 3
        strings bars 2 to 4: crescendo p f      -- a marking over whatever sounds there
        cellos, basses: ground until end

cadenza alone "Alone on the gallery"            -- free time, no barlines
    bassoon: mingled -> diminution 2, 1/2 rest, dusk
'''

WORDS = sorted(
    set(REAL.split())
    | {
            "over", "until", "end", "for", "rest", "to", "bar", "bars", "beat", "at", "x", "pickup", "1/4",
            "attacca", "meter", "none", "key", "as", "2+2+3", "show", "letters", "concert", "score",
            "called", "short", "sequence", "3", "by", "M2", "up", "down", "doubled", "above", "below",
            "voiced", "open", "rotated", "-1", "expanded", "repeated", "cut", "held", "respelled", "step", "mirrored",
            "within", "C3..C5", "closest", "ascending", "descending", "natural", "slurred", "staccato", "cycle",
            "together(", "weave(", "echo(", "notes(", "chord(", ")", "(", ",", "+", "->", ":", "=", ".", "|", '"',
            "0", "1", "99999", "1/0", "0/1", "1/1000", "7:2", "P1", "M10", "dim5", "P3", "E#4", "Fb9", "C0",
            "B9", "##", "bb", "é", "日", "\\", "--", "other", "silent", "A..Z", "onto", "or", "written",
        }
)
LINES = REAL.splitlines(keepends=True)
EDITS = st.lists(
    st.tuples(
        st.integers(0, len(REAL)), st.integers(0, 12),
        st.one_of(st.sampled_from(WORDS), st.text(max_size=3), st.just("\n"))
    ),
    min_size=1,
    max_size=5,
)  # fmt: skip
GENEROUS = settings(
    max_examples=rounds(30), deadline=None,
    suppress_health_check=[HealthCheck.too_slow, HealthCheck.function_scoped_fixture],
)  # fmt: skip


def survives(text: str) -> Compiled:
    """A text without a file: a score or messages, and no exception."""
    result = compile_script(Path(SHOWN), SHOWN, text)
    well_said(result)
    return result


def test_the_real_script_compiles() -> None:
    assert survives(REAL).bag.ordered() == ()


@pytest.mark.slow
@GENEROUS
@given(st.text(max_size=200))
@example("\x0c")
@example("movement a\n \xa0")
def test_any_text(text: str) -> None:
    survives(text)


@GENEROUS
@given(st.lists(st.sampled_from([*WORDS, "\n", "\n    ", "\n        "]), max_size=60))
def test_any_words_of_the_language(words: list[str]) -> None:
    survives(" ".join(words))


@GENEROUS
@given(st.lists(st.sampled_from(LINES), max_size=40))
def test_any_lines_of_a_script(lines: list[str]) -> None:
    survives("".join(lines))


@pytest.mark.slow
@GENEROUS
@given(EDITS)
def test_any_edits_of_a_script(edits: list[tuple[int, int, str]]) -> None:
    text = REAL
    for place, gone, put in edits:
        text = text[:place] + put + text[place + gone :]
    survives(text)


# ------------------------------------------------------------------ what another file does not have


def test_a_name_that_one_file_lacks_may_come_from_another(tmp_path: Path) -> None:
    result = check("language 2\nuse summons from ciphers\nuse summons from rhythms\n", tmp_path)
    well_said(result)
    assert [message.code for message in errors(result)].count("N203") >= 1
    uses = "use french from rhythms\nuse french from ciphers\n"
    brought = check(f'language 2\n{uses}name ada = "ADA" by french\n', tmp_path)
    assert [message.code for message in errors(brought)] == ["N203"]


def test_a_module_whose_name_no_disk_can_hold_is_told(tmp_path: Path) -> None:
    result = check(f"language 2\nuse foo from {'w' * 249}\n", tmp_path)
    well_said(result)
    assert errors(result)


@pytest.mark.slow
def test_a_script_whose_name_is_no_text_is_drawn(tmp_path: Path) -> None:
    script = tmp_path / os.fsdecode(b"lan\xfftern.cavata")
    script.write_text(f"language 2\n{MOVEMENT}    flute: notes(1/1 D5)\n    oboe: notes(1/1 D5)\n")
    command = [sys.executable, "-m", "cavata.cli.main", "map", str(script)]
    run = subprocess.run(command, capture_output=True, check=False)
    assert run.returncode == 0, run.stderr


# ------------------------------------------------------------------ signs that are not seen

UNSEEN = {
    **dict.fromkeys(["\u202a", "\u202b", "\u202c", "\u202d", "\u202e", "\u2066", "\u2067", "\u2068", "\u2069"], "S112"),
    **dict.fromkeys(["\x00", "\x1b", "\x07", "\x7f", "\x9b", "\u2028"], "S112"),
    **dict.fromkeys(["\u200b", "\u00ad", "\u2060", "\ufeff"], "S113"),
    **dict.fromkeys(["\u200e", "\u200f", "\u061c", "\u200c", "\u200d", "\u00a0"], ""),
}
"""Bidirectional controls of Unicode Standard Annex 9 but for its implicit marks, controls, and signs without width."""


@pytest.mark.parametrize("where", ["-- a re{}mark", 'piece "Three {}Watches"', "motif {}a = notes(1/4 D4)"])
@pytest.mark.parametrize("sign", UNSEEN, ids=lambda sign: f"U+{ord(sign):04X}")
def test_signs_that_are_not_seen_are_told_wherever_they_stand(sign: str, where: str, tmp_path: Path) -> None:
    text = "language 2\n" + where.format(sign) + "\nmovement first\n"
    found = {message.code: message for message in check(text, tmp_path).bag.ordered()}
    code = UNSEEN[sign]
    assert found.keys() & {"S112", "S113"} == ({code} if code else set())
    if code:
        span = found[code].span
        assert span is not None and span.text == sign and f"U+{ord(sign):04X}" in found[code].message


@pytest.mark.slow
def test_no_command_lets_a_title_steer_the_terminal(tmp_path: Path) -> None:
    """A label with a C1 control is refused, and what has no script, as a file's name, is cleaned where it is shown."""
    folder = tmp_path / "a\x1b[31mb"
    folder.mkdir()
    (folder / "piece.cavata").write_text(f"language 2\n{MOVEMENT}    flute: notes(1/1 D5)\n    oboe: notes(1/1 D5)\n")
    commands = (["check"], ["timings"], ["build", "--to", "midi"], ["stats"], ["index"], ["show", "score"])
    program = f"from cavata.cli.main import main\nfor c in {commands}: assert main([*c, {str(folder)!r}]) == 0, c"
    run = subprocess.run([sys.executable, "-c", program], capture_output=True, check=False)
    assert run.returncode == 0, run.stderr
    assert run.stdout and b"\x1b" not in run.stdout + run.stderr
