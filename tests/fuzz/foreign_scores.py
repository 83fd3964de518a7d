"""Foreign scores with something broken in them, for the readers of `trace`.

The whole ones are made here: small pieces in MusicXML, compressed MusicXML, MIDI, ABC and kern. A number makes a
broken one, the same one always.
"""

from __future__ import annotations

import zipfile
from functools import lru_cache
from io import BytesIO
from pathlib import Path
from random import Random

from cavata.pipeline import compile_script, written

ABC = """X:1
T:A Small Tune
M:6/8
L:1/8
K:Dm
|:D2E F2G|A3 d3|[DFA]2 z (3efg _B|=c>A ^F/2G/2 A3:|
V:2
[1 D6 :|[2 D3 z3 |]

X:2
T:Another
M:C|
K:A mixolydian
A,4 E2 F2 | "A7"A8 |]
"""
KERN = """!!!OTL: A small tune
**kern\t**kern
*clefF4\t*clefG2
*k[b-]\t*k[b-]
*M3/4\t*M3/4
=1\t=1
4D\t4dd
8A\t8.ff
8G#\t.
.\t16ee
4r\t[4aa
=2\t=2
2.D 2.F\t2aa]
.\t4b-
==\t==
*-\t*-
"""
SCRIPT = """language 2
use french from ciphers
name tamsin = "TAMSIN" by french
piece "Small"
forces
    clarinet = clarinet in A
    piano = piano
movement first
    meter 3/4
    key D minor
    clarinet: tamsin -> in (1/4 1/12 1/12 1/12 1/8 1/8) -> slurred -> marked f
    piano.left: tamsin -> as chord -> from G3 held 3/4
"""
_RUNS = (b"0", b"9" * 12, b"-1", b"65536", b"1e99", b"", b"\xff" * 4, b"\0", b"<", b"&", b"]]>", b"[", b"{", b"*", b"/")


@lru_cache(maxsize=1)
def whole() -> tuple[tuple[str, bytes], ...]:
    """A name and the content of each whole score."""
    from cavata.musicxml.document import musicxml_bytes
    from cavata.sound.midi import midi_bytes

    score = compile_script(Path("small.cavata"), text=SCRIPT).score
    assert score is not None
    document = musicxml_bytes(written(score), "first")
    return (
        ("tune.musicxml", document), ("tune.mxl", packed(document)), ("tune.mid", midi_bytes(score)),
        ("tune.abc", ABC.encode()), ("tune.krn", KERN.encode()),
    )  # fmt: skip


def packed(document: bytes) -> bytes:
    """A compressed MusicXML file of a document."""
    made = BytesIO()
    container = b'<?xml version="1.0"?><container><rootfiles><rootfile full-path="a.xml"/></rootfiles></container>'
    with zipfile.ZipFile(made, "w", zipfile.ZIP_DEFLATED) as archive:
        archive.writestr("META-INF/container.xml", container)
        archive.writestr("a.xml", document)
    return made.getvalue()


def broken_score(by: Random) -> tuple[str, bytes]:
    """The name and the bytes of a score with something changed."""
    name, content = by.choice(whole())
    if name.endswith(".mxl") and by.randrange(2):
        return name, packed(_changed(whole()[0][1], by))
    return name, _changed(content, by)


def _changed(content: bytes, by: Random) -> bytes:
    made = bytearray(content)
    for _ in range(by.choice((1, 1, 2, 4, 12))):
        place = by.randrange(len(made) + 1)
        match by.randrange(5):
            case 0:
                made[place : place + 1] = bytes([by.randrange(256)])
            case 1:
                made[place : place + by.choice((1, 4, 80))] = b""
            case 2:
                made[place : place + by.choice((0, 1, 3))] = by.choice(_RUNS)
            case 3:
                start = by.randrange(len(made) + 1)
                made[place:place] = made[start : start + by.choice((3, 40, 400))]
            case _:
                del made[place + by.randrange(1, 200) :]
    return bytes(made)
