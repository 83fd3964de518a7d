"""Hard passages of real works, and what handbooks warn of: most were written down before any was tried.

All from memory, the works after their parts as well as they are remembered; so they are no figure of anything. Beside
each real one stand the kinds of what is said of it, as it was found right when it was looked through, and nothing else
may be said; nothing is impossible.
"""

from __future__ import annotations

REAL: dict[str, tuple[tuple[str, int, str, str, str], ...]] = {
    "bowed": (
        ("violin", 66,
         "p: notes(1/4 G3 chord(G3 D4 Bb4 G5), 1/8 rest Bb4, 1/4 chord(D4 C5 A5), 1/2 chord(G3 D4 Bb4 G5)) "
         "-> marked ff",
         "Bruch, violin concerto i", ""),
        ("violins", 168,
         "p: notes(1/16 rest E4 F#4 G#4 A4 B4 C#5 D#5 E5 F#5 G#5 A5 B5 C#6 D#6 E6, 1/4 G#6) -> marked ff",
         "Strauss, Don Juan", "speed of strings"),
        ("violin", 104,
         "p: notes(1/8 chord(D5 F#5), 1/16 chord(F#5 A5) chord(E5 G5) chord(D5 F#5) chord(C#5 E5), 1/8 "
         "chord(B4 D5) chord(D5 F#5), 1/16 chord(A4 C#5) chord(B4 D5), 1/4 chord(D5 F#5)) -> marked f",
         "Brahms, violin concerto iii", ""),
        ("violins", 168,
         "p: notes(1/8 F4 G4 A4 Bb4 C5 D5 C5 Bb4 A4 G4 F4 E4 D4 E4 F4 G4) x 24 -> marked pizzicato -> marked "
         "p",
         "Tchaikovsky, Symphony 4 iii", ""),
        ("cello", 60,
         "p: notes(1/2 chord(E2 B2 G3 E4), 1/4 chord(E2 C3 G3 E4) chord(E2 B2 G3 E4)) -> marked ff",
         "Elgar, cello concerto i", "fifth"),
        ("double basses", 288,
         "meter 3/4"
         "\np: notes(1/4 rest G1 C2) , notes(1/8 B1 C2 D2 C2 B1 A1, 1/4 G1 A1 B1, 1/4 C2 A1 F2, 1/8 E2 F2 G2 "
         "F2 E2 D2, 1/4 C2 D2 E2) -> marked f",
         "Beethoven, Symphony 5 iii", ""),
        ("violin", 50,
         "p: notes(1/1 A6, 2/1 A6, 1/1 E6) -> marked harmonic -> marked pp",
         "Wagner, Lohengrin, prelude", ""),
        ("double basses", 50, "p: chord(Eb1) held 30 bars", "Wagner, Das Rheingold, prelude", "extension"),
        ("violin", 60,
         "p: notes(1/4 D5 C5, 1/8 Bb4 C5 D5 Eb5, 1/2 D5, 1/4 G5) -> sul 1..8 G -> marked f",
         "Ravel, Tzigane", "position"),
        ("violin", 150,
         "p: notes(1/16 A4 E5 A5 C6 B5 A5 G#5 A5 G5 F5 E5 D5 C5 B4 A4 G#4) -> marked f",
         "Paganini, Caprice 5", ""),
        ("double basses", 300,
         "p: notes(1/8 D2 E2 F#2 G2 A2 G2 F#2 E2 D2 C#2 D2 E2 F#2 D2 E2 F#2) -> marked f",
         "Mozart, K 385 iv", ""),
        ("violin", 140,
         "p: notes(1/16 B3 G4 E5 G5 E5 G4 B3 G4 E5 G5 E5 G4 B3 F#4 D#5 A5) -> slurred 1..4 5..8 9..12 13..16 "
         "-> marked p",
         "Mendelssohn, violin concerto i", ""),
        ("violin", 60,
         "p: notes(1/2 chord(G4 D5), 1/2 chord(A4 E5)) -> trill -> marked f",
         "Tartini, The Devil's Trill", ""),
        ("cello", 140,
         "p: notes(1/4 chord(C2 G2 E3 C4), 1/8 chord(C2 G2 E3 C4) chord(C2 G2 E3 C4)) -> marked pizzicato -> "
         "marked ff",
         "Bartók, quartet 4", ""),
        ("double bass, soloist", 72,
         "p: notes(1/8 D4 F#4 A4 D5, 1/4 C#5, 1/8 B4 A4) -> slurred",
         "Bottesini, concerto", "position, range"),
        ("violin", 160,
         "p: notes(1/16 D5 G5 F#5 G5 A5 G5 F#5 G5 D5 G5 F#5 G5 A5 G5 F#5 G5) x 4 -> marked pp",
         "Mendelssohn, octet, scherzo", "speed of strings"),
        ("cello", 70, "p: notes(1/4 D4 A4 D5 F#5) -> harmonic on D", "a melody of one string's harmonics", ""),
    ),
    "harp": (
        ("harp", 80,
         "p.right: notes(1/4 chord(D5 F5 A5 D6) chord(C5 E5 G5 C6) chord(D5 F5 A5 D6) chord(E5 G5 B5 E6))"
         "\np.left: notes(1/4 chord(D4 F4 A4) chord(C4 E4 G4) chord(D4 F4 A4) chord(E4 G4 B4))",
         "Debussy, Danse sacrée", ""),
        ("harp", 50,
         "p.left: notes(1/4 F2, 1/8 A3 C4 F4 C4 A3 C4)"
         "\np.right: notes(1/4 rest, 1/8 rest rest rest C5 A4 F4)",
         "Mahler, Symphony 5 iv", ""),
        ("harp", 150,
         "p.right: notes(1/8 A4 C#5 E5 A5 C#6 E6 A6 rest)"
         "\np.left: notes(1/8 A2 C#3 E3 A3 C#4 E4 A4 rest)",
         "Berlioz, Symphonie fantastique ii", ""),
        ("harp", 66, "p.right: notes(1/2 C4 C7) -> glissando 1", "Ravel, Daphnis et Chloé", ""),
        ("harp", 100,
         "p.right: notes(1/4 chord(D5 F5 A5 D6) rest chord(Bb4 D5 F5 Bb5) rest)"
         "\np.left: notes(1/4 chord(D3 A3 D4 F4) rest chord(Bb2 F3 Bb3 D4) rest)",
         "Britten, The Young Person's Guide", ""),
        ("harp", 60,
         "p.right: notes(1/32 C#5 Db5 C#5 Db5 C#5 Db5 C#5 Db5)",
         "Debussy, two strings that murmur", ""),
        ("harp", 60,
         "p.left: notes(1/2 chord(Gb2 Db3 Bb3) chord(Eb2 Bb2 Gb3))",
         "Ravel, Introduction et allegro", ""),
        ("harp", 120,
         "p.left: notes(1/32 C2 E2 G2 C3 rest rest rest rest C4 E4 G4 C5 rest rest rest rest)"
         "\np.right: notes(1/32 rest rest rest rest E3 G3 C4 E4 rest rest rest rest E5 G5 C6 E6)",
         "an arpeggio of both hands in turn", ""),
        ("harp", 60,
         "p.right: notes(1/2 C4 C6) -> glissando 1"
         "\np.left: notes(1/2 A3 A5) -> glissando 1",
         "a glissando of both hands", ""),
        ("harp", 90,
         "p.left: notes(1/4 chord(C2 C3) chord(F2 F3) chord(G2 G3) chord(C2 C3))",
         "a bass in octaves", ""),
    ),
    "woodwind": (
        ("flute", 66,
         "meter 9/8"
         "\np: notes(1/4. C#5, 1/16 B4 A4, 1/8 G4, 1/16 A4 B4, 1/4. C#5, 1/16 B4 A4, 1/8 G4, 1/16 A4 B4, 1/4 "
         "C#5 D#5, 1/8 G#5, 1/4. E5 G#4, 1/2 B4) -> slurred -> marked p",
         "Debussy, Prélude à l'après-midi d'un faune", ""),
        ("flute", 152,
         "p: notes(1/8 D6 E6 F#6 G6 A6 B6 C#7 D7, 1/4 D7) -> marked f",
         "Prokofiev, Symphony 1 iv", ""),
        ("oboe", 132,
         "p: notes(1/16 C5 D5 E5 F5 G5 E5 C5 E5 G5 E5 C5 E5 G5 F5 E5 D5) -> marked p",
         "Rossini, La scala di seta", ""),
        ("oboe", 138,
         "meter 12/16"
         "\np: notes(1/16 E5 D5 E5 G5 E5 D5 E5 D5 B4 E5 D5 B4) x 8 -> slurred 1..12 13..24 25..36 37..48 "
         "49..60 61..72 73..84 85..96 -> marked p",
         "Ravel, Le tombeau de Couperin", ""),
        ("clarinet", 80,
         "p: notes(1/4 F3, 1/16 G3 A3 Bb3 C4 D4 Eb4 F4 G4, 1/4 A4, 1/2 Bb5) -> glissando 10 -> marked f",
         "Gershwin, Rhapsody in Blue", "glissando of keys"),
        ("clarinet", 176,
         "p: notes(1/16 D3 F3 A3 D4 F4 A4 D5 F5 A5 F5 D5 A4 F4 D4 A3 F3) -> slurred -> marked f",
         "Prokofiev, Peter and the Wolf", ""),
        ("clarinet", 132,
         "meter 3/8"
         "\np: notes(1/16 D5 E5 F5 G5 A5 Bb5 A5 G5 F5 E5 D5 C5 Bb4 A4 G4 F4 E4 D4) -> marked staccato -> "
         "marked p",
         "Mendelssohn, A Midsummer Night's Dream", ""),
        ("bassoon", 50,
         "p: notes(1/2 C5, 1/8 B4 C5 G4 E4 B4 A4, 1/4 C5, 1/8 D5 C5) -> slurred -> marked mf",
         "Stravinsky, Le sacre du printemps", ""),
        ("bassoon", 288,
         "p: notes(1/8 D3 C#3 D3 C#3 D3 E3 F#3 E3 D3 C#3 B2 A2 B2 C#3 D3 A2) -> slurred -> marked pp",
         "Mozart, Le nozze di Figaro", ""),
        ("bassoon", 50, "p: notes(1/4 A2 G2 F#2, 1/2 D2) -> marked pppp", "Tchaikovsky, Symphony 6 i", "register"),
        ("contrabassoon", 132,
         "meter 3/4"
         "\np: notes(3/4 Bb1, 1/4 A1 Ab1 G1, 1/2. F1, 1/4 E1 F1 Gb1) -> slurred 1..4 5..8 -> marked p",
         "Ravel, Ma mère l'oye", ""),
        ("clarinet in A", 120,
         "p: notes(1/8 E3 C5 E3 D5, 1/4 C6, 1/4 F3, 1/8 A5 F3 C5 A3) -> slurred 1..2 3..4 -> marked mf",
         "Mozart, K 622 i", ""),
        ("flute", 80,
         "p: notes(1/32 C6 C6 D6 D6 E6 E6 D6 D6 C6 C6 B5 B5 A5 A5 G5 G5) x 6 -> marked p",
         "Saint-Saëns, Volière", ""),
        ("clarinet in D", 150,
         "meter 6/8"
         "\np: notes(1/8 C5 F5 A5 C6 F6 A6, 1/4. Ab6) -> marked ff",
         "Strauss, Till Eulenspiegel", ""),
        ("clarinet", 50,
         "p: notes(1/32 A4 B4 D5 F#5 A5 F#5 D5 B4 A4 B4 D5 F#5 A5 F#5 D5 B4) x 8 -> slurred 1..32 33..64 "
         "65..96 97..128 -> marked pp",
         "Ravel, Daphnis et Chloé", ""),
        ("clarinet", 120,
         "p: notes(1/8 F6 E6 D6 C6, 1/4 G6, 1/8 F6 E6) -> marked f",
         "Copland, clarinet concerto", ""),
    ),
    "brass": (
        ("horn", 120,
         "meter 6/8"
         "\np: notes(1/8 C4 F4 G4 G#4, 1/4 A4, 1/8 C4 F4 G4 G#4, 1/4 A4, 1/8 C4 F4 G4 G#4 A4 C5 F5 C5 A4 F4 C4 "
         "A3 F3 C3 F2) -> marked f",
         "Strauss, Till Eulenspiegel", ""),
        ("horn", 156,
         "meter 6/8"
         "\np: notes(1/8. E5, 1/16 E5, 1/8 E5, 1/8. C#5, 1/16 E5, 1/8 A4, 1/4. E5 A5) -> marked ff",
         "Beethoven, Symphony 7 i", "range"),
        ("horn", 92,
         "p: notes(1/4 F3, 1/8 E3 F3, 1/4 G3 C3, 1/2 A2, 1/4 C3 F2) -> marked f",
         "Shostakovich, Symphony 5 i", ""),
        ("trumpet", 116,
         "p: notes(1/16 G4 G4, 1/8 Bb4 Eb5 G5, 1/16 Ab5 G5 F5 Eb5, 1/8 Bb5 G5) -> marked staccato -> marked "
         "p",
         "Stravinsky, Petrushka", ""),
        ("trumpet", 50,
         "p: notes(1/24 Db5 Db5 Db5 Db5 Db5 Db5 Db5 Db5 Db5, 1/16 F5 Eb5, 1/24 Db5 Db5 Db5 Db5 C5 Db5, 1/8 "
         "Bb4) -> marked muted -> marked f",
         "Mussorgsky and Ravel, Pictures, Schmuÿle", ""),
        ("trumpet in C", 52,
         "p: notes(1/2 C4 G4, 1/1 C5) -> marked p, notes(1/2 G5, 1/1 C6) -> marked ff",
         "Strauss, Also sprach Zarathustra", ""),
        ("trombone", 216,
         "p: notes(1/4 E3, 1/8 E3 F#3 G3 A3 B3 C4, 1/4 B3, 1/8 B2 C3 D3 E3 F#3 G3, 1/4 E3) -> marked ff",
         "Rossini, Guillaume Tell", ""),
        ("tuba", 60,
         "meter 2/4"
         "\np: notes(1/8 G#3 D#4, 1/4 E4, 1/8 D#4 C#4 D#4 G#4, 1/4 F#4, 1/2 G#4) -> marked mf",
         "Mussorgsky and Ravel, Pictures, Bydło", "range"),
        ("tuba", 104,
         "p: notes(1/4. C3, 1/8 G2, 1/8 C3 D3 E3 F3, 1/4 G3 E3, 1/2 B2) -> trill last to m2 -> marked f",
         "Wagner, Die Meistersinger", ""),
        ("horn", 76,
         "p: notes(1/4 A4 G4 F4) -> marked f, 1/4 rest, notes(1/4 A4 G4 F4) -> marked stopped -> marked p",
         "Rimsky-Korsakov, Capriccio espagnol", ""),
        ("horn", 132,
         "p: notes(1/4 F5, 1/8 C5 A4, 1/4 F4 C5, 1/4 A5 G5 F5 E5, 1/2 F5) -> marked f",
         "Schumann, Konzertstück", "range"),
        ("trombone", 72,
         "meter 3/4"
         "\np: notes(1/2. Bb4, 1/8 Db5 Bb4 Ab4 F4, 1/4 G4) -> marked mf",
         "Ravel, Boléro", ""),
        ("horn", 132,
         "meter 6/8"
         "\np: notes(1/4. F4, 1/8 F4 G4 A4, 1/4. C5, 1/8 C5 F5 C5, 1/4. A4 F4, 1/4. F5) -> marked f",
         "Wagner, Siegfried", ""),
        ("horn", 120,
         "p: notes(1/4 Eb3 G3 Bb3 Eb4, 1/8 Bb4 G4, 1/4 Eb5, 1/4. D5, 1/8 C5, 1/4 Bb4 G4) -> marked f",
         "Strauss, Ein Heldenleben", ""),
        ("trumpet in C", 116,
         "p: notes(1/16 G5 G5 D5 D5 E5 E5 D5 D5 B4 B4 D5 D5 E5 E5 G5 G5) -> marked f",
         "Ravel, piano concerto in G", ""),
        ("trumpet", 180,
         "p: notes(1/16 Bb4 Bb4 Bb4 Bb4 Bb4 Bb4, 1/8 Bb4) x 4 -> marked f",
         "Rimsky-Korsakov, Scheherazade", ""),
        ("trumpet", 88,
         "p: notes(1/12 E4 A4 B4, 1/4 C#5 D5) -> marked straight_mute -> marked pp, 4 bars rest, notes(1/4 "
         "C#5 D5) -> marked unmuted -> marked ff",
         "Debussy, Fêtes", ""),
    ),
    "percussion": (
        ("xylophone", 124,
         "p: notes(1/16 D#6 E6 D#6 B5 G#5 B5 D#6 B5 E6 F#6 E6 C#6 A5 C#6 E6 C#6) x 4 -> marked f",
         "Gershwin, Porgy and Bess", ""),
        ("glockenspiel", 126,
         "p: notes(1/8 F6 Ab6 C7 Ab6 F6 Ab6 Bb6 G6) -> marked f",
         "Dukas, L'apprenti sorcier", ""),
        ("snare drum", 72,
         "meter 3/4"
         "\np: notes(1/8 C4, 1/24 C4, 1/24 C4, 1/24 C4, 1/8 C4, 1/24 C4, 1/24 C4, 1/24 C4, 1/8 C4, 1/8 C4) x "
         "40 -> marked pp",
         "Ravel, Boléro", ""),
        ("cymbals", 160,
         "p: notes(1/4 C4, 1/4 C4, 1/4 C4, 1/4 C4, 1/8 C4, 1/8 C4, 1/8 C4, 1/8 C4, 1/2 C4) -> marked ff",
         "Tchaikovsky, Symphony 4 iv", ""),
        ("tubular bells", 60, "p: notes(1/1 C5 C5 G4) -> marked f", "Berlioz, Symphonie fantastique v", ""),
        ("tambourine", 128,
         "p: notes(1/16 C4, 1/16 C4, 1/8 C4, 1/16 C4, 1/16 C4, 1/8 C4, 1/8 C4, 1/8 C4) x 4 -> marked f",
         "Bizet, Carmen", ""),
        ("triangle", 88,
         "p: notes(1/4 C4, 1/16 C4, 1/16 C4, 1/16 C4, 1/16 C4, 1/4 C4, 1/4 C4) -> marked p",
         "Liszt, piano concerto 1", ""),
        ("xylophone", 168, "p: notes(1/4 C5 C7) -> glissando 1 -> marked f", "Stravinsky, L'oiseau de feu", ""),
        ("xylophone", 184,
         "p: notes(1/8 E6 E6 E6 E6 E6 E6 E6 E6, 1/16 E6 D#6 E6 F6 E6 D#6 E6 D#6) -> marked ff",
         "Khachaturian, Gayaneh", "speed"),
        ("glockenspiel", 100,
         "p: notes(1/8 chord(G6 B6) chord(A6 C7) chord(B6 D7) chord(C7 E7)) -> marked f",
         "Mozart, Die Zauberflöte", ""),
    ),
    "timpani": (
        ("timpani", 348,
         "meter 3/4"
         "\np: notes(1/4. F3, 1/8 F3, 1/4 F3, 1/2. rest, 1/4. F2, 1/8 F2, 1/4 F2) -> marked f",
         "Beethoven, Symphony 9 ii", ""),
        ("timpani", 80,
         "p: notes(1/4 A2 D3 A2 D3 A2 D3 A2 D3) x 6 -> marked ff",
         "Shostakovich, Symphony 5 iv", ""),
        ("timpani", 150, "meter 6/8\np: notes(1/8 C3) x 48 -> marked f", "Brahms, Symphony 1 i", ""),
        ("timpani", 112,
         "p: notes(1/4 Bb2, 1/8 Eb3 F3, 1/4 Ab2 Db3, 1/4 Eb3 Ab2 Bb2 Eb3) -> marked mf",
         "Bartók, Concerto for Orchestra iv", "drum tuning"),
        ("timpani", 60, "p: notes(2/1 Eb3) -> tremolo -> marked f", "Haydn, Symphony 103", ""),
        ("timpani", 160, "meter 3/4\np: notes(1/4 D3, 1/8 E3 F3, 1/4 E3 A2) -> marked p", "Strauss, Burleske", ""),
        ("timpani", 72, "p: notes(1/8 Ab2 Eb3 Ab2 Eb3, 1/4 Bb2 Eb3) x 4 -> marked ff", "Janáček, Sinfonietta", ""),
        ("timpani", 132,
         "p: notes(1/8 E3 G3 B2 E3 G3 B2 E3 B2, 1/4 E3, 1/8 B2 G2, 1/4 E3) -> marked f",
         "Mahler, Symphony 7 v", ""),
        ("timpani", 230, "p: notes(1/4 C3 G2 Eb3 C3 G2 Eb3 C3 G2) -> marked f", "Elgar, Enigma, Troyte", ""),
    ),
    "keyboard": (
        ("piano", 176,
         "p.right: notes(1/16 C4 G4 C5 E5 C5 G5 C6 E6 C6 G6 C7 E7 E7 C7 G6 C6)"
         "\np.left: notes(1/1 chord(C2 C3))",
         "Chopin op. 10/1", ""),
        ("piano", 138,
         "p.right: notes(1/16 chord(D#5 F#5) chord(E5 G5) chord(D#5 F#5) chord(E5 G5) chord(D#5 F#5) "
         "chord(E5 G5) chord(D#5 F#5) chord(E5 G5)) x 2",
         "Chopin op. 25/6", ""),
        ("piano", 60,
         "p.right: notes(1/2 chord(C4 F4 Ab4 C5), 1/2 chord(C4 F4 G4 C5))"
         "\np.left: notes(1/4 F1 chord(C3 Ab3) F1 chord(Db3 Bb3))",
         "Rachmaninoff, piano concerto 2 i", ""),
        ("piano", 176,
         "p.right: notes(1/2 chord(G5 G6) chord(G3 G4)) -> glissando 1 -> marked pp",
         "Beethoven op. 53 iii", "key glissando"),
        ("celesta", 80,
         "meter 2/4"
         "\np.right: notes(1/8 rest, 1/16 G6 E6, 1/8 G6 F#6 D#6 E6, 1/16 D6 D6 D6, 1/8 C#6)"
         "\np.left: notes(1/8 E5 B5 E5 B5 E5 B5 E5 B5)",
         "Tchaikovsky, The Nutcracker", ""),
        ("piano", 144,
         "p.right: notes(1/12 chord(F#4 F#5) chord(G4 G5) chord(G#4 G#5) chord(A4 A5) chord(A#4 A#5) "
         "chord(B4 B5)) x 2 -> marked ff"
         "\np.left: notes(1/12 chord(F#2 F#3) chord(G2 G3) chord(G#2 G#3) chord(A2 A3) chord(A#2 A#3) chord(B2 "
         "B3)) x 2",
         "Chopin op. 25/10", ""),
        ("piano", 140,
         "p.right: notes(1/16 D4 rest D4 rest D4 rest D4 rest D4 rest D4 rest D4 rest D4 rest)"
         "\np.left: notes(1/16 rest D4 rest D4 rest D4 rest D4 rest D4 rest D4 rest D4 rest D4)",
         "Prokofiev op. 11", ""),
        ("harpsichord", 120,
         "meter 3/4"
         "\np.right: notes(1/16 D5 C5 B4 A4 G4 F#4 E4 D4 C4 B3 A3 G3)"
         "\np.left: notes(1/4 G2 B5 D6)",
         "Bach, BWV 988, 5", "crossing hands"),
        ("piano", 100,
         "meter 6/8"
         "\np.right: notes(1/16 D#5 D#7 D#5 D#7 C#5 C#7 B4 D#7 A#4 D#7 B4 D#7) -> marked p",
         "Liszt, La campanella", "hand leap"),
        ("piano", 138,
         "p.right: notes(1/24 E7 A6 Eb7 A6 D7 C7 C#7 E6 C7 A6 B6 A6) -> marked ff"
         "\np.left: notes(1/4. chord(A2 E3 C4), 1/8 chord(A2 E3 C4))",
         "Chopin op. 25/11", "hand span, speed"),
        ("piano", 276,
         "p.left: notes(1/8 Bb1, 1/4 chord(D3 F3 Bb3), 1/8 chord(D3 F3 Bb3))"
         "\np.right: notes(1/8 rest, 1/4 chord(D5 F5 Bb5 D6), 1/8 chord(F5 Bb5 D6))",
         "Beethoven op. 106 i", "hand leap"),
        ("piano", 195,
         "p.right: notes(1/16 D4 rest D4 rest D4 rest D4 rest D4 rest D4 rest D4 rest D4 rest)"
         "\np.left: notes(1/16 rest D4 rest D4 rest D4 rest D4 rest D4 rest D4 rest D4 rest D4)",
         "a key that the hands strike in turn", ""),
        ("piano", 92,
         "meter 6/8"
         "\np.right: notes(1/24 F#5 F#5 F#5 F#5 F#5 F#5 F#5 F#5 F#5 G5 G5 G5)",
         "Ravel, Alborada del gracioso", ""),
    ),
    "organ": (
        ("organ", 118,
         "p.right: notes(1/16 F5 C5 A5 C5 F5 C5 A5 C5 F5 C5 A5 C5 F5 C5 A5 C5)"
         "\np.left: notes(1/8 chord(A3 C4 F4) rest chord(A3 C4 F4) chord(A3 C4 F4) rest chord(A3 C4 F4) "
         "chord(A3 C4 F4) rest)"
         "\np.pedal: notes(1/2 chord(F2 F3) chord(E2 E3))",
         "Widor, Symphony 5 v", ""),
        ("organ", 84,
         "p.pedal: notes(1/16 D2 E2 F#2 G2 A2 B2 C#3 D3, 1/4 D3, 1/16 D3 A2 B2 F#2 G2 D2 E2 C#2, 1/4 D2)",
         "Bach, BWV 532", ""),
        ("organ", 120,
         "meter 3/8"
         "\np.pedal: notes(1/16 F2 C3 A2 C3 F3 C3 A3 F3 C4 A3 F4 C4, 1/8 F3 C3 F2)",
         "Bach, BWV 540", "organ pedals"),
        ("organ", 60,
         "p.right: notes(1/2 chord(A4 E5 C6) chord(G4 E5 B5))"
         "\np.left: notes(1/2 chord(A2 E3 C4) chord(E3 B3 G4))"
         "\np.pedal: notes(1/1 A2)",
         "Franck, Choral 3", "hand span"),
        ("organ", 100,
         "p.pedal: notes(1/2 chord(G2 Bb2 D3 G3) chord(F2 A2 C3))",
         "Dupré, pedal chords", "organ feet"),
        ("organ", 84,
         "p.right: notes(1/8 Eb5, 1/16 D5 Eb5, 1/8 Bb4 Eb5, 1/16 F5 Eb5 D5 C5, 1/8 D5 Bb4)"
         "\np.left: notes(1/2 rest, 1/8 Bb4, 1/16 A4 Bb4, 1/8 F4 Bb4)"
         "\np.pedal: notes(1/8 Eb3 Eb2 G2 Bb2 Bb2 D3 Bb2 D2)",
         "Bach, BWV 525", ""),
        ("organ", 72,
         "meter 3/4"
         "\np.pedal: notes(1/4 C3, 1/2 G3, 1/4 Eb3, 1/2 F3, 1/4 G3, 1/2 Ab3, 1/4 F3, 1/2 G3, 1/4 D3, 1/2 Eb3, "
         "1/4 B2, 1/2 C3, 1/4 F2, 1/2 G2, 1/2. C2)",
         "Bach, BWV 582", ""),
        ("organ", 60,
         "p.right: notes(1/4 C5 D5 E5 F5) -> marked swell_manual -> crescendo p f"
         "\np.pedal: notes(1/1 C2)",
         "Franck, a swell box", ""),
        ("organ", 160,
         "p.right: notes(1/8 chord(Eb5 G5 Bb5) chord(F5 A5 C6) chord(Eb5 G5 Bb5) chord(C5 Eb5 G5) chord(Bb4 "
         "D5 F5))"
         "\np.left: notes(1/8 chord(Eb4 G4 Bb4) chord(F4 A4 C5) chord(Eb4 G4 Bb4) chord(C4 Eb4 G4) chord(Bb3 "
         "D4 F4))",
         "Alain, Litanies", ""),
    ),
    "guitar": (
        ("guitar", 132,
         "p: notes(1/16 B3 E3 B3 F#3 B3 G3 B3 F#3 B3 G3 B3 A3 B3 F#3 B3 G3)",
         "Albéniz, Asturias", ""),
        ("guitar", 132,
         "p: notes(1/16 E2 B2 E3 B3 G3 E4 B3 E4 B3 E4 G3 B3 E3 B3 B2 E3)",
         "Villa-Lobos, study 1", ""),
        ("guitar", 252,
         "meter 6/8"
         "\np: notes(1/4 chord(D3 A3 D4 F#4), 1/8 chord(D3 A3 D4 F#4), 1/16 chord(D3 A3 D4 F#4) chord(D3 A3 D4 "
         "F#4), 1/8 chord(D3 A3 D4 F#4) chord(D3 A3 D4 F#4))",
         "Rodrigo, Concierto de Aranjuez i", "plucking"),
        ("guitar", 150,
         "meter 6/8"
         "\np: notes(1/16 B2 F#3 B3 D4 F#4 D4 B2 G3 B3 D4 G4 D4)",
         "Barrios, La catedral", ""),
        ("guitar", 168,
         "p: notes(1/16 D4 E4 F#4 G4 A4 B4 C#5 D5 C#5 B4 A4 G4 F#4 E4 D4 C#4)",
         "Rodrigo, Concierto de Aranjuez i", "plucking"),
        ("guitar", 80,
         "meter 3/4"
         "\np: notes(1/4 E2, 1/8 chord(E3 G3 B3) chord(E3 G3 B3), 1/4 B2, 1/8 chord(E3 G3 B3) chord(E3 G3 B3), "
         "1/4 E3)",
         "Villa-Lobos, prelude 1", ""),
        ("guitar, tuned D2 A2 D3 G3 B3 E4", 80,
         "p: notes(1/2 chord(D2 A2 D3 A3 D4 F#4))",
         "Domeniconi, Koyunbaba", ""),
        ("guitar", 120,
         "p: notes(1/8 chord(A3 C4 E4) chord(Ab3 B3 Eb4) chord(G3 Bb3 D4) chord(Ab3 B3 Eb4))",
         "Villa-Lobos, study 12", ""),
        ("mandolin", 80, "p: notes(1/2 F5, 1/4 A5, 1/4 E5) -> tremolo -> marked p", "Mahler, Symphony 7 iv", ""),
    ),
    "voice": (
        ("soprano, soloist", 140,
         'p: notes(1/8 C6 C6 C6 C6 C6 C6 C6 C6, 1/8 A5 C6 F6, 1/4 rest) -> sung 1..1 "ah" -> marked staccato',
         "Mozart, K 620, Queen of the Night", "range"),
        ("tenor, soloist", 120,
         "meter 3/4"
         '\np: notes(1/4 G4 C5, 1/4 rest G4 C5, 1/4 rest A4 C5, 1/4 G4) -> sung "Pour mon a- me quel des- tin"',
         "Donizetti, La fille du régiment", ""),
        ("bass voice, soloist", 60,
         'p: notes(1/4 B2 G#2 E3 B2, 1/2 F#2, 1/4 G#2 A2, 1/2 F2) -> sung "In die- sen heil- gen Hal- len '
         'kennt" -> marked p',
         "Mozart, K 620, Sarastro", ""),
        ("sopranos", 76,
         'p: notes(1/2 B5 Bb5, 1/4 A5 G5 F5 G5, 1/1 A5) -> sung "vi- tam ven- tu- ri sae- cu" -> marked ff',
         "Beethoven, Missa solemnis", "range, vowel"),
        ("bass voices", 50,
         'p: notes(1/4 F2 Eb2 Db2 C2, 1/1 Bb1) -> sung "ny- ne ot- pu- scha" -> marked pp',
         "Rachmaninoff, All-Night Vigil", "range"),
        ("soprano, soloist", 60,
         'p: notes(1/2 F5, 1/1 Bb5) -> sung "re- qui" -> marked pppp',
         "Verdi, Requiem", "vowel"),
        ("sopranos", 80,
         "p: notes(1/16 B4 C5 D5 E5 D5 C5 B4 C5 A4 B4 C5 D5 C5 B4 A4 B4 G4 A4 B4 C5 B4 A4 G4 A4, 1/4 F#4) -> "
         'sung "born"',
         "Handel, Messiah", ""),
        ("soprano, soloist", 60,
         'p: notes(1/2 G5, 1/4 A5 B5, 1/1 C6, 1/4 B5 A5, 1/2 G5) -> sung "mi- se- re- re me- i De" -> marked '
         "p",
         "Allegri, Miserere", "vowel"),
        ("baritone, soloist", 140,
         'p: notes(1/16 E4 E4 E4 D4 E4 E4 E4 D4 E4 E4 D4 C4 B3 C4 D4 B3) -> sung "I am the ve- ry mo- del of '
         'a mo- dern ma- jor ge- ne-"',
         "Sullivan, The Pirates of Penzance", "words"),
        ("soprano, soloist", 60,
         'p: notes(1/4 Bb4 Eb5, 1/2 G5, 1/4 Bb5 Ab5 G5 F5) -> sung "per- che per- che Si- gno- re" -> marked '
         "f",
         "Puccini, Tosca", ""),
    ),
}  # fmt: skip
"""Of each family: the instrument, quarters a minute, rows, the work, and the kinds that are told."""

PLANTED: dict[str, tuple[tuple[str, int, str, str, str, str], ...]] = {
    "bowed": (
        ("violin", 160,
         "p: notes(1/16 G3 E6 G3 E6 G3 E6) -> slurred",
         "care", "string crossing", "G and E do not lie beside each other"),
        ("violin", 160,
         "p: notes(1/8 chord(G3 D4 B4 G5) chord(A3 E4 C5 A5) chord(G3 D4 B4 G5) chord(A3 E4 C5 A5)) -> "
         "marked f",
         "care", "stops in a row", "five broken chords a second"),
        ("violin", 60,
         "p: notes(1/2 G3 G6) -> glissando 1",
         "care", "string crossing", "three octaves of one string"),
        ("cello", 60, "p: notes(1/2 G5 A5) -> sul 1..2 C", "care", "position", "beyond the fingerboard"),
        ("double bass", 60, "p: notes(1/2 chord(F1 F2))", "impossible", "reach", "a low octave"),
        ("cello", 60, "p: notes(1/4 C3 D3) -> sustain_pedal", "impossible", "technique", "a pedal"),
    ),
    "harp": (
        ("harp", 140,
         "p.right: notes(1/16 chord(C5 E5 G5 C6)) x 16",
         "impossible", "speed of the harp", "one chord nine times a second"),
        ("harp", 120, "p.left: notes(1/16 C2 D2 E2 F2 G2 F2 E2 D2)", "care", "ringing", "a low scale blurs"),
        ("harp", 60, "p.right: notes(1/2 chord(F4 F#4 E4 G4))", "impossible", "pedal", "one string each"),
        ("harp", 80,
         "p.right: chord(1/2 C4 E4 G4)"
         "\np.left: chord(1/2 C4 E4)",
         "care", "struck again", "one string for both hands"),
        ("harp", 60,
         "p.right: notes(1/2 C5) -> marked straight_mute",
         "impossible", "technique", "a mute of brass"),
    ),
    "woodwind": (
        ("oboe", 60, "p: notes(1/2 C5) -> marked flutter_tongue", "care", "technique", "the reed is in the way"),
        ("bassoon", 60, "p: notes(1/1 C3) -> marked flutter_tongue", "care", "technique", "the same"),
        ("oboe", 180, "p: notes(1/16 A4) x 8 -> marked double_tongue", "care", "technique", "not everybody has it"),
        ("flute", 60, "p: notes(1/1 D5) -> tremolo", "care", "technique", "nobody knows what is meant"),
        ("alto recorder", 60, "p: notes(1/1 G4) -> marked ff", "care", "loudness", "it has no ff"),
        ("oboe", 80, "p: notes(1/8 C5 D5 E5 F5 G5 F5 E5 D5) x 100", "tiring", "no rest", "five minutes"),
        ("contrabassoon", 144,
         "p: notes(1/16 Bb1 C2 D2 Eb2 F2 G2 A2 Bb2) x 4",
         "impossible", "tongue", "nearly ten a second"),
        ("bassoon", 60, "p: 30 bars rest, notes(1/1 Bb1) -> marked pp", "care", "entry", "low, soft and cold"),
        ("bassoon", 120, "p: notes(1/16 Bb1 C2 D2 Eb2 D2 C2 Bb1 C2)", "care", "fingers", "one thumb for four keys"),
    ),
    "brass": (
        ("horn", 160, "p: notes(1/16 F2 G2 A2 Bb2 C3 Bb2 A2 G2) x 4", "care", "fingers", "they speak slowly"),
        ("trumpet", 225, "p: notes(1/16 C5) x 64", "care", "tongue", "fifteen a second for long"),
        ("tuba", 210, "p: notes(1/16 F2) x 32", "impossible", "tongue", "fourteen a second for long"),
        ("trumpet", 60, "p: 30 bars rest, notes(1/1 Bb5) -> marked f", "care", "entry", "high and cold"),
        ("trombone", 60, "p: notes(1/2 G2 D3) -> glissando 1", "impossible", "glissando", "a fifth"),
        ("horn", 140,
         "p: notes(1/16 C4) -> marked stopped, notes(1/16 C4) -> marked open",
         "care", "stopped", "the hand in a sixteenth"),
    ),
    "percussion": (
        ("xylophone", 60, "p: notes(2/1 C6)", "care", "dry note", "a stroke, or a roll"),
        ("marimba", 60, "p: notes(2/1 C5)", "care", "dry note", "the same"),
        ("snare drum", 60, "p: (1/1)", "care", "dry note", "the same"),
        ("cymbals", 150, "p: (1/16 1/16 1/16 1/16) x 4", "impossible", "speed", "ten clashes a second"),
        ("tubular bells", 140,
         "p: notes(1/16 C5 D5 E5 F5 G4 A4 B4 C5) x 2",
         "impossible", "speed", "nine notes a second"),
    ),
    "timpani": (
        ("timpani", 60, "p: notes(1/4 D2 G2 C3 F3 B3)", "care", "drums", "a fifth drum"),
        ("timpani", 120, "p: notes(1/16 F2 G2 A2 Bb2 C3 D3 E3 F3)", "impossible", "drum tuning", "eight pitches"),
        ("timpani", 60, "p: notes(1/2 F2 F3) -> glissando 1", "impossible", "drum glissando", "an octave"),
    ),
    "keyboard": (
        ("piano", 176,
         "p.right: notes(1/2 chord(G5 G6) chord(G3 G4)) -> glissando 1",
         "care", "key glissando", "in octaves"),
        ("piano", 120,
         "p.right: notes(1/32 C3 C7 C3 C7 C3 C7)",
         "impossible", "hand leap", "four octaves in 0.06 s"),
        ("piano", 270,
         "p.right: notes(1/16 D4 rest) x 4"
         "\np.left: notes(1/16 rest D4) x 4",
         "care", "repeated key", "eighteen strokes of both hands"),
        ("harpsichord", 60, "p.right: notes(1/1 C5) -> crescendo p f", "care", "swell pedal", "plucked alike"),
    ),
    "organ": (
        ("organ", 120,
         "p.pedal: notes(1/32 C2 D2 E2 F2 G2 A2 B2 C3 D3 E3 F3 G3)",
         "impossible", "organ pedals", "sixteen pedals a second"),
        ("organ", 60,
         "p.pedal: notes(1/2 C2) -> marked manual_2",
         "impossible", "technique", "a manual for the feet"),
        ("organ", 120,
         "p.right: notes(1/16 C5) -> marked manual_1, notes(1/16 D5) -> marked manual_2",
         "care", "manual", "two manuals in a sixteenth"),
    ),
    "guitar": (
        ("guitar", 160,
         "p: notes(1/16 chord(F2 C3 F3 A3 C4 F4) chord(B2 F#3 B3 D#4 F#4))",
         "impossible", "move on frets", "full hands in 0.09 s"),
        ("guitar", 60,
         "p: notes(1/4 chord(F2 C3 F3 A3 C4 F4) chord(F2 C3 F3 Ab3 C4 F4)) x 30",
         "tiring", "barre", "a minute under a barre"),
        ("guitar", 60, "p: notes(1/2 E2 D5) -> glissando 1", "care", "slur on frets", "no string has both"),
    ),
    "voice": (
        ("tenor", 60, "p: notes(1/2 C4) -> tremolo", "care", "technique", "nobody knows what is meant"),
        ("soprano", 60, 'p: notes(1/1 B5) -> sung "see"', "care", "vowel", "every vowel is open there"),
        ("altos", 240, 'p: notes(1/16 C5 D5 E5 F5) x 8 -> sung "ah"', "impossible", "run", "sixteen a second"),
    ),
}  # fmt: skip
"""Of each family: the instrument, quarters a minute, rows, the degree and the kind, and why."""
