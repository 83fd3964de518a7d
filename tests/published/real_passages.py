"""Passages of real works for winds and voices, as rows of a script at concert pitch, with slurs, trills and words.

Source: encodings of the Mutopia Project, of public-domain works, at the bars that are named; graces and dynamics are
left out. Tempi are usual ones, from memory.
"""

from __future__ import annotations

PASSAGES: tuple[tuple[str, str, int, str], ...] = (
    ("K 191 i 35-58", "bassoon", 126,
     "notes(1/4 Bb3, 1/2 Bb3, 3/16 D4, 1/16 Bb3, 1/4 F3, 1/2 F3, 3/16 D3, 1/16 Bb2, 1/4 F2, 1/2 Eb4, 1/4 Eb4 Eb4 "
     "D4 rest, 1/8 F4, 1/16 Eb4 D4, 1/4 C4, 1/2 Bb3, 1/4 A3, 1/16 Bb3 F3 G3 A3 Bb3 C4 D4 Eb4 F4 F4 E4 F4, 1/8 F4, "
     "1/16 Eb4 D4 D4 C4 Eb4 C4, 1/2 Bb3, 1/4 A3 Bb3 rest, 1/2 rest, 1/1 rest rest, 1/4 F3, 5/16 F3, 1/16 F2 A2 C3 "
     "F3 A2 C3 F3 A3 C3 F3 A3 C4 F3 A3 C4, 1/8 F4 E4 D4 C4 C4 B3, 3/4 B3, 1/4 Bb3, 1/2 C2, 3/8 G4, 1/4 E4 C4, 1/8 "
     "G3 A3 Bb3, 1/4 Bb3 A3, 1/8 rest C4, 3/16 C4, 1/32 Bb3 C4, 1/16 D4 Bb3 Bb3 Bb3, 1/4 Bb3, 1/16 F3 Bb3 Bb3 Bb3 "
     "D3 Bb3 Bb3 Bb3 Bb2 Bb3 Bb3 Bb3, 1/4 Bb3, 1/16 D4 Bb3 Bb3 Bb3 F4 D4 D4 D4 E4 C4 C4 C4, 1/4 C4, 1/16 G3 C4 C4 "
     "C4 E3 C4 C4 C4 C3 C4 C4 C4, 1/4 C4, 1/16 E4 C4 C4 C4 G4 E4 E4 E4, 1/4 F4, 1/2 C4, 1/4 C#4, 3/8 D4, 1/16 E4 "
     "F4, 1/8 E4 D4 C4 B3, 3/8 C4, 1/8 D4, 1/4 F3 E3 F3 rest, 1/2 rest rest, 1/4 C4, 1/8 A3, 1/16 G3 F3, 1/4 Bb3, "
     "1/8 G3, 1/16 F3 E3, 1/8 F3 A3, 1/4 C4 Bb3, 1/8 G3, 1/16 F3 E3, 1/8 F3 A3 C4 Eb4 D4 Bb2 A2 C4 Bb3 G2 F2 A3 G3 "
     "E2 D2 F3, 1/4 E3 D4 C4 F4 D4 Bb3, 1/16 A3 Bb3 C4 Bb3 C4 A3 G3 F3, 1/2 G3, 1/8 F3, 1/16 G3 A3 Bb3 C4 D4 E4 F4 "
     "C4 A3 F3, 3/16 Eb3, 1/32 D3 Eb3, 1/16 D3 E3 F3 E3 F3 F#3 G3 F#3 G3 A3 Bb3 A3 Bb3 C#4 D4 C#4 D4 E4 F4 E4 F4 "
     "E4 F4 E4 F4 E4 D4 C4 Bb3 A3 G3 F3, 1/1 C3 G4, 1/4 F4 rest, 1/2 rest) -> trill 12 74 77 84 97 110 123 192 204 "
     "240 -> slurred 18..19 29..31 35..38 59..62 63..64 71..73 133..134 135..141 144..145"),
    ("K 581 iv 17-32", "clarinet in C", 132,
     "notes(1/8 G5 E5, 3/8 C6, 1/8 B5 A5 G5 G5 F5, 3/8 F5, 1/8 D5 B4 G4 C5 G4 C4 E5 D5 G4 G3 F5 E5 C5 G5 E5 D5 E5 "
     "F5 F#5 G5 E5, 3/8 C6, 1/8 B5 A5 G5 G5 F5, 3/8 D6, 1/8 B5 G5 F5 E5 C4 B5 C6 D5 F3 G#5 A5 G3 F5 D5 B4, 1/4 C5 "
     "rest, 1/8 F5 G3, 3/8 B5, 1/8 C6 E5 A5, 1/4 G5, 1/8 F5, 1/16 E5 F5, 1/4 E5 rest, 1/8 F5 G3, 3/8 B5, 1/8 C6 E5 "
     "F5 F#5 G5 A5 G5 D5 E5 F5 F#5 G5 C4, 3/8 C6, 1/8 C5 D5 E5 F5 D4, 3/8 D6, 1/8 B4 C5 D5 E5 F5 F#5 G5 G#5 A5 B5 "
     "C6 D5, 1/16 F5 E5 G5 F5 A5 G5, 1/4 C5 rest) -> trill 61 -> slurred 1..2 4..6 7..8 9..12 21..24 25..28 29..30 "
     "32..34 35..36 37..40 43..44 47..48 50..52 56..59 60..64 67..70 71..74 75..78 82..84 88..90 91..94 95..98 "
     "99..101 102..105"),
    ("K 581 iv 65-84", "clarinet in C", 132,
     "notes(1/16 C4 E4 G4 C5 E4 G4 C5 E5 G5 E5 C5 G4 E4 G4 E4 C4 G3 B3 D4 F4 G4 B4 D5 F5 G5 F5 D5 B4 G4 D4 B3 G3 "
     "C4 G4 E4 G4 C4 G4 E4 G4 G3 D4 B3 D4 G3 D4 B3 D4 C4 G4 E4 G4 C4 G4 E4 C4 G3 B3 D4 G4, 1/8 G3 rest, 4/1 rest, "
     "1/8 F3 rest, 1/2 B5, 1/4 C6 G5, 1/8 F5, 1/16 E5 F5, 1/4 E5 rest, 1/8 F3 rest, 1/2 B5, 1/8 C6 E5, 3/8 G5, 1/8 "
     "E5, 1/4 D5 rest, 1/16 C4 E4 G4 C5 E4 G4 C5 E5 G5 E5 C5 G4 E4 G4 E4 C4 G3 B3 D4 F4 G4 B4 D5 F5 G5 F5 D5 B4 G4 "
     "D4 B3 G3 A3 C4 B3 C4 A3 C4 B3 C4 F3 D4 A3 D4 F3 D4 A3 D4 G3 D4 B3 D4 G3 D4 B3 D4 C4 E4 G4 C5, 1/8 C4 rest, "
     "1/16 E3 G3 C4 E4, 1/8 E3 rest, 1/16 F3 A3 C4 F4, 1/8 F3 rest, 1/16 F#3 A3 D4 F#4, 1/8 F#3 rest, 1/16 G3 B3 "
     "D4 G4, 1/8 G3 rest, 1/2 rest, 1/4 rest, 1/8 rest G4 F4 D4 B3 G3, 1/2 F3) -> trill 66 -> slurred 63..64 "
     "65..68 72..73 74..76 158..163"),
    ("Brahms op. 40 ii 13-77", "horn", 240,
     "notes(9/8 G4, 3/8 G3 G4 F4 Bb4 Bb3, 1/1 Eb4, 1/4 Eb4 Eb4, 1/1 Eb4, 1/4 D4 Eb4, 1/1 Eb4, 1/4 Eb4 Eb4, 1/1 "
     "Eb4, 1/4 Eb4 F4, 3/4 Gb4 F4 Eb4, 1/4 Bb3 Bb4 Bb4, 3/4 Gb4 F4 Eb4, 1/4 Bb3 F4 F4, 3/4 F4 Ab4 Bb4, 1/4 F4 F4 "
     "F4, 3/4 F4 Ab4, 1/4 Bb4, 1/2 Bb4 Bb4, 1/4 Bb4 F4 F4, 1/1 F4, 1/4 F4 F4, 1/1 F4, 1/4 F4 F4, 1/1 F4, 1/2 F4 F4 "
     "F4, 9/8 Eb4, 3/8 F4, 3/4 Bb3 A3 A3 Eb4, 3/2 D4 C4 Bb3, 3/4 Db4 Gb4, 1/2 Bb4, 1/4 Gb4, 1/2 F4, 1/4 E4, 3/4 "
     "F4, 1/2 Bb3, 1/4 rest, 3/4 F4, 1/2 C4, 1/4 rest, 3/4 Db4 Gb4, 1/2 Bb4, 1/4 Gb4, 1/2 F4, 1/4 E4, 3/4 F4, 1/2 "
     "Bb3, 1/4 rest, 1/1 F4, 1/4 Eb4 C4, 3/4 Bb3) -> slurred 3..4 55..56 57..58 59..63 64..65 66..67 68..69 70..71 "
     "72..73 74..75 76..77 78..79 80..81"),
    ("K 447 iii 1-16 and 104-110", "horn", 240,
     "notes(1/8 F4 Bb4 Bb4 Bb4 Bb4 Bb4 Bb4, 1/4 Bb4, 1/8 B4 C5 rest F4 C5 C5 C5 C5 C5 C5, 1/4 C5, 1/8 C#5 D5 rest "
     "Bb4 Bb4 C5 D5 Eb5 F5 G5 F5 D5 Bb4, 1/4 Bb4, 1/8 C5, 1/4 D5, 1/8 C5, 1/4 D5, 1/8 Eb5, 3/8 D5, 1/8 C5 rest "
     "rest rest F4 F4 Bb4 D5 F4 Bb4 D5 F4 Bb4 D5 F4 Bb4 Bb3 Bb3 Bb3 Bb3 Bb3 Bb3 Bb3 Bb3 Bb3 Bb3 Bb3, 1/4 Bb2, 1/8 "
     "rest Bb3 C4 D4, 1/4 C4, 1/8 F4 Bb3 C4 D4, 1/4 C4, 1/8 rest, 1/4 rest, 1/8 rest, 1/4 rest, 1/8 rest Bb3 C4 "
     "D4, 1/4 C4, 1/8 F4 Bb3 C4 D4 C4 F4 E4 D4 C4 Bb3 A3 D4 C4 Bb3 A3 G3, 1/4 F3, 1/8 rest, 1/4 rest, 1/8 rest, "
     "3/4 rest, 1/8 rest F3 F3 F3 A3 A3 A3 C4 C4 C4 F4 F4, 7/8 F4, 1/8 G4 F4 Eb4 D4 C4) -> slurred 8..10 18..20 "
     "22..23 28..29 33..34 35..36 37..38 41..42 44..45 47..48 66..67 75..76 80..81 86..87 95..96 98..99 101..102"),
    ("Beethoven WoO 30 iii, first trombone", "trombone", 80,
     "notes(1/2 D4 D4 rest F4 F4 rest G4, 3/4 G4, 1/4 G4, 3/2 F#4, 1/4 G4 rest, 1/2 rest rest G4 G4 rest Gb4 Gb4 "
     "rest Gb4, 3/4 F4, 1/4 F4, 1/2 F4, 3/4 F4, 1/4 F4 F4 rest, 1/2 rest rest rest, 1/4 rest G4 Bb4 G4, 3/4 C5, "
     "1/4 Eb4 Gb4 Eb4, 3/4 F4, 1/4 F4 F4 F4, 1/2 F4 G4 rest, 1/4 rest G4, 1/2 F4 F4, 3/2 F4)"),
    ("Schubert D 965, 330-347", "clarinet in C", 132,
     "notes(1/8 C5 rest D5, 1/16 C5 B4, 1/8 C5, 1/16 B4 C5, 1/8 D5, 1/16 C5 B4, 1/8 C5, 1/16 D5 E5, 1/8 F5, 1/16 "
     "E5 D5, 1/8 E5, 1/16 D5 E5, 1/8 F5, 1/16 E5 D5, 1/4 E5 rest, 1/16 rest F#4 A4 C5 Eb5 F#5 A5 C6, 1/2 Eb6, 1/16 "
     "Eb6 D6 C6 B5 A5 G5 F5 E5 D5 C5 B4 A4 G4 F4 E4 D4 C4 E4 G4 C5 B4 G5 F5 D5 C5 G5 E5 D5 C#5 A5 G5 E5 D5 A5 F5 "
     "D5 E5 C6 Bb5 G5 E5 C6 Bb5 G5 E5 C#6 Bb5 G5 F5 A5 D6 F6 D6 A5 F5 D5 A4 D5 F4 A4 D4 F4 A3 C4, 1/8 B3, 1/16 C4 "
     "D4 E4 F4 G4 A4 B4 C5 D5 E5 F5 G5 A5 B5, 1/4 C6 rest) -> slurred 31..32"),
)  # fmt: skip
"""The work with its bars, the instrument, quarters a minute, and what the player has. A clarinet in A is written as
one in C, so that what is pressed is the same."""
SONGS: tuple[tuple[str, str, int, str], ...] = (
    ("Schubert D 547, 3-19", "soprano", 96,
     "notes(1/4 rest A4 D5 D5, 3/4 F#4, 1/4 B4, 3/8 D4, 1/8 D4 F#4 E4 D4 E4, 1/4 F#4 D4, 1/2 rest, 1/4 rest A4 "
     "B4 B4, 3/8 C#4, 1/8 C#4, 3/8 D4, 1/8 D4 F#4 E4 D4 E4, 1/2 F#4, 1/1 rest, 1/4 rest D5, 3/8 E5, 1/8 G4, 1/4 "
     "F#4, 1/2 A4, 1/8 B4 C#5, 3/8 D5, 1/8 F#5 E5 C#5 A4 G4, 1/4 F#4 F#4 rest A4, 3/8 B4, 1/8 B4, 1/4 B4, 1/8 "
     "C#5 D5, 3/8 D5, 1/8 D5, 3/8 F#5, 1/8 E5, 1/2 D5, 1/8 rest B4 C#5 D5, 1/4 D5, 1/8 F#4 F#4, 1/4 A4, 1/8 C#4 "
     "C#4, 1/2 D4 rest) -> sung \"Du hol- de Kunst, in wie- viel grau- _ en _ Stun- den, Wo mich des Le- bens "
     "wil- der Kreis _ um- _ strickt, Hast du mein Herz _ zu _ war- mer Lieb _ ent- _ zun- den, Hast mich in ei- "
     "ne _ beß- re Welt ent- rückt, in ei- ne beß- _ re Welt _ ent- rückt.\""),
    ("Schubert D 965, 63-77", "soprano", 96,
     "notes(1/8 rest Bb4, 3/16 Bb4, 1/16 Ab4, 3/16 Bb4, 1/16 Ab4, 3/16 Bb4, 1/16 Cb5, 1/2 Db5, 1/8 rest Bb4, "
     "3/16 Cb5, 1/16 Bb4, 3/16 Cb5, 1/16 Db5, 3/16 Eb5, 1/16 F5, 1/2 Gb5, 1/8 rest Eb5 Db5 Cb5, 1/4 Db4, 1/8 "
     "rest Eb5 Db5 Bb4, 1/4 Db4, 1/8 rest Bb4, 3/16 Bb4, 1/16 Ab4, 3/16 Bb4, 1/16 Ab4, 3/16 Bb4, 1/16 Cb5, 1/2 "
     "Db5, 1/8 rest Bb4, 3/16 Cb5, 1/16 Bb4, 3/16 Cb5, 1/16 Db5, 3/16 Eb5, 1/16 F5, 1/2 Gb5, 1/8 rest Bb4 Cb5 "
     "Eb5, 1/4 Ab4, 1/8 rest A4 Bb4 Db5, 1/4 Gb4, 1/8 rest) -> sung \"Je wei- ter mei- ne Stim- me dringt, je "
     "hel- ler sie mir wie- der- klingt von un- _ ten, von un- _ ten. Mein Lieb- chen wohnt so weit von mir, "
     "drum sehn ich mich so heiß nach ihr hin- ü- _ ber, hin- ü- _ ber,\""),
    ("Schubert D 965, 314-339", "soprano", 132,
     "notes(1/2 rest, 1/4 rest, 1/8 rest F4, 1/16 F4 G4 A4 Bb4 C5 D5 Eb5 F5, 1/4 D5, 1/8 rest F4, 1/16 F4 G4 A4 "
     "Bb4 C5 D5 Eb5 F5, 1/4 D5, 1/8 rest Bb4, 1/16 Bb4 C5 D5 Eb5 F5 G5 A5 Bb5, 1/4 G5, 1/8 F5 Eb5, 1/4 D5 C5 "
     "Bb4, 1/8 rest F4, 1/16 F4 G4 A4 Bb4 C5 D5 Eb5 F5, 1/4 D5, 1/8 rest F4, 1/16 F4 G4 A4 Bb4 C5 D5 Eb5 F5, 1/4 "
     "D5, 1/8 rest Bb4 Bb4, 1/16 C5 D5 Eb5 F5 G5 A5, 1/8 Bb5 G5 Eb5 C5, 3/8 F5, 1/8 A4 Bb4 D5, 3/16 Eb5, 1/16 "
     "D5, 3/16 Eb5, 1/16 D5, 3/16 Eb5, 1/16 D5, 3/16 Eb5, 1/16 D5, 3/16 G5, 1/16 F5, 3/16 G5, 1/16 F5, 3/16 G5, "
     "1/16 F5, 1/8 G5 F5 rest F5, 5/8 Bb5, 1/8 G5 G5 G5, 3/4 F5, 1/4 A4 Bb4 rest) -> sung \"Je wei- _ _ _ _ _ _ "
     "_ ter die Stim- _ _ _ _ _ me _ dringt, je hel- _ _ _ _ _ _ _ _ ler sie wie- der- klingt, je wei- _ _ _ _ _ "
     "_ _ ter die Stim- _ _ _ _ _ me _ dringt, je hel- _ _ _ _ _ _ _ _ ler sie wie- der- klingt, je wei- ter "
     "mei- ne Stim- me dringt, je hel- ler sie mir wie- der- klingt, _ je hel- _ ler sie wie- der- klingt.\""),
)  # fmt: skip
"""The same of songs, with their words."""
