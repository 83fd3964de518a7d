# The words in which a piece is told of, in English. Another language is a file like this one under its own code.
#
# Each text is a message of Fluent, whose syntax is told on https://projectfluent.org/fluent/guide/. In braces stand what
# is filled in, and choices: by number, as `{ $count -> [one] … *[other] … }`, and by case, as `{ $case -> [dative] … }`.
# A language may choose where English does not, leave out what is filled in, and use it in any order. Whatever is filled in
# and has cases is also there as `$notes-nominative`, `$notes-dative` and so on; `$notes` alone is in the accusative.

## Lists

# $before is `i` before a word that begins with that vowel, as Isolde does.
list-and = and

## The forms of a name

form-retrograde = in retrograde
form-inversion = in inversion
form-chord = as a chord
form-broken-chord = as a broken chord
form-woven = woven letter by letter
form-canon = in canon
form-hocket = in hocket
form-dialogue = in dialogue
form-over-bass = over a pedal point or an ostinato
form-harmonized = harmonized
form-augmentation = in augmentation
form-diminution = in diminution
form-rhythm = in a new rhythm
form-transposed = transposed
form-expanded = with expanded intervals
form-in-part = in part
form-rotated = rotated
form-sequence = in sequence
form-figured = with passing or neighbor notes
form-prime = prime

## Places of the piece

place-bar = bar { $bar }
place-free = in free time

## The map

map-title = Map of { $title }
map-about = Time goes across, parts stand one below another, and each name has a row of its own in every part. A mark is one statement of a name. Above stands how many notes begin in each moment, those from names in the darker gray.
map-length = { $clock } long
map-density = notes a second
map-most = { $notes } at most
map-lane = { $name }, { $place }
map-linked = Each mark leads to its line in the script.
map-nameless = notes that no name gave
# Where the row of a name lies in each part.
map-place = { $number ->
    [1] top row
    [2] second row
    [3] third row
    [4] fourth row
    [5] fifth row
    [6] sixth row
    [7] seventh row
   *[other] row { $number } from the top
}
map-shape-solid = original form
map-shape-retrograde = retrograde
map-shape-inversion = inversion
map-shape-both = retrograde inversion
map-shape-chord = chord
map-shape-broken = broken chord
map-shape-woven = woven, or in hocket
map-shape-part = half as high: not all its letters

## Numbers, notes, intervals and lengths

# A number in words up to twelve.
number = { $count ->
    [2] two
    [3] three
    [4] four
    [5] five
    [6] six
    [7] seven
    [8] eight
    [9] nine
    [10] ten
    [11] eleven
    [12] twelve
   *[other] { $count }
}
number-point = .
# $letter is A to G in the English way, $alter how many semitones the accidental raises it.
note = { $alter ->
    [-2] { $letter } double flat
    [-1] { $letter } flat
    [1] { $letter } sharp
    [2] { $letter } double sharp
   *[0] { $letter }
}
# $small-tonic begins with a small letter.
mode = { $kind ->
    [major] { $tonic } major
    [minor] { $tonic } minor
   *[other] the mode ‘{ $name }’
}
# $name is as in `m3`: $quality is `m`, $size is 3. Those of three names have no quality in words.
interval-quality = { $quality ->
    [P] a perfect
    [M] a major
    [m] a minor
    [aug] an augmented
   *[dim] a diminished
}
interval-size = { $size ->
    [1] unison
    [2] second
    [3] third
    [4] fourth
    [5] fifth
    [6] sixth
    [7] seventh
    [8] octave
    [9] ninth
    [10] tenth
    [11] eleventh
    [12] twelfth
    [13] thirteenth
    [14] fourteenth
   *[15] double octave
}
interval = { $name ->
    [P1] a unison
    [P8] an octave
    [P15] two octaves
   *[other] { interval-quality } { interval-size }
}
interval-octaves = { number } octaves
interval-other = the interval { $name }
# A note value alone, several of it, one with its article, and one of which there is a share.
value-one = { $unit ->
    [1] whole note
    [2] half note
    [4] quarter note
    [8] eighth note
    [16] sixteenth note
    [32] thirty-second note
    [64] sixty-fourth note
    [128] hundred-and-twenty-eighth note
   *[256] two-hundred-and-fifty-sixth note
}
value-many = { value-one }s
value-a = { $unit ->
    [8] an { value-one }
   *[other] a { value-one }
}
value-of = { value-a }
# $count notes of a value with $dots dots.
length = { $count ->
    [1] { $dots ->
        [1] a dotted { value-one }
        [2] a double-dotted { value-one }
       *[0] { value-a }
    }
   *[other] { $dots ->
        [1] { number } dotted { value-many }
        [2] { number } double-dotted { value-many }
       *[0] { number } { value-many }
    }
}
# $count parts of the $share into which a note value is divided.
share = { $share ->
    [3] { $count ->
        [one] a third
       *[other] { number } thirds
    }
    [5] { $count ->
        [one] a fifth
       *[other] { number } fifths
    }
    [7] { $count ->
        [one] a seventh
       *[other] { number } sevenths
    }
    [9] { $count ->
        [one] a ninth
       *[other] { number } ninths
    }
    [11] { $count ->
        [one] an eleventh
       *[other] { number } elevenths
    }
    [13] { $count ->
        [one] a thirteenth
       *[other] { number } thirteenths
    }
    [15] { $count ->
        [one] a fifteenth
       *[other] { number } fifteenths
    }
   *[other] { $count }/{ $share }
}
length-shared = { share } of { value-of }
# $count notes of a length that is no single note value.
length-each = { $count ->
    [one] a note of { $length }
   *[other] { number } notes of { $length } each
}
length-rest = a rest of { $length }

## Which notes a step speaks of

selection-last = the last note
selection-note = note { $number }
selection-letter = each { $letter }
selection-numbered-letter = letter { $number }
selection-range = notes { $first } to { $last }
selection-every = every note
selection-onward = every note from note { $first } on

## Words that a step chooses from

choice-ascending = upward
choice-descending = downward
choice-up = upward
choice-down = downward
choice-above = above
choice-below = below
choice-thirds = thirds
choice-sixths = sixths
choice-triads = triads
choice-close = close together
choice-open = far apart
choice-cycle = , again and again, until line and rhythm end together

## What a step takes

thing-rhythm = the rhythm ‘{ $name }’
thing-figure = the figure ‘{ $name }’, which says when each note of a chord sounds
thing-rhythm-values = a rhythm of { $values }
thing-even = even notes, each { $values }
quoted = “{ $text }”
thing-motif = ‘{ $name }’
thing-range = { $low } to { $high }
thing-name = the name { $name }
thing-theme = the theme ‘{ $name }’
thing-form = { $what } ({ $how })
thing-notes = a tune of the composer’s own
thing-chord = a chord of the composer’s own
thing-digits = the digits of { $text }, taken as steps of a scale
thing-symbols = chords that the composer chose
thing-letters = the letters of { $text }, taken as lengths
thing-line = a line of the composer’s own

## What each step does, for those who do not read music

step-up-interval = It is moved higher, by { $interval }.
step-down-interval = It is moved lower, by { $interval }.
step-step-up-count-in-mode = Every note climbs { $count ->
    [one] one step
   *[other] { $count } steps
} of { $mode }.
step-step-down-count-in-mode = Every note goes down { $count ->
    [one] one step
   *[other] { $count } steps
} of { $mode }.
step-inverted-about-pitch = It is inverted about { $pitch }: what rose now falls as far.
step-inverted-in-mode-about-pitch = It is inverted about { $pitch }, within { $mode }: what rose now falls as many steps.
step-from-pitch = It is moved by whole octaves, to begin on a higher or lower { $pitch }.
step-within-range = It is moved by whole octaves until it lies within { $range }.
step-closest = Its octaves are chosen anew, so that each note lies close to the one before.
step-ascending = Its octaves are chosen anew, so that each note lies above the one before.
step-descending = Its octaves are chosen anew, so that each note lies below the one before.
step-expanded-count = { $count ->
    [one] Every distance from its first note stays as wide.
   *[other] Every distance from its first note becomes { $count } times as wide.
}
step-sharp-notes = The composer gives { $notes } a sharp.
step-flat-notes = The composer gives { $notes } a flat.
step-natural-notes = The composer takes the accidental away from { $notes }.
step-raised-notes = The composer raises { $notes } by a semitone.
step-lowered-notes = The composer lowers { $notes } by a semitone.
step-respelled-simply-in-mode = In the score its notes are written by the names that suit { $mode }, which sound the same.
step-respelled-simply = In the score its notes are written by simpler names, which sound the same.
step-respelled-notes-as-class = In the score { $notes } is written as { $class }, which sounds the same.
step-retrograde = It is played in retrograde, from its last note to its first.
step-rotated-count = It begins elsewhere: { $count ->
    [one] one note moves
   *[other] { $count } notes move
} from its beginning to its end.
step-first-count = Only its first { $count ->
    [one] note is
   *[other] { $count } notes are
} taken.
step-last-count = Only its last { $count ->
    [one] note is
   *[other] { $count } notes are
} taken.
step-notes-notes = Of its notes only these are taken: { $notes }.
step-without-notes = It is played without { $notes }.
step-sequence-count-by-interval-up-down = It is played { $count } times, each time moved { $choice } by { $interval }.
step-diminution-ratio = It is diminished: { $ratio ->
    [two] twice
   *[other] { $ratio } times
} as fast.
step-augmentation-ratio = It is augmented: { $ratio ->
    [two] twice
   *[other] { $ratio } times
} as slow.
step-in-rhythm-cycle = It takes on { $rhythm }{ $cycle }.
step-tied-notes = Notes that come again are held instead of struck.
step-lengthened-notes-to-duration = It holds { $notes } for { $duration }.
step-as-chord = All its notes sound at once, as a chord.
step-broken-ascending-descending = The chord is broken: its notes follow one another, { $choice }.
step-bass = Of each chord only the lowest note is taken.
step-top = Of each chord only the highest note is taken.
step-upper = The lowest note of each chord is left out.
step-inner = Of each chord only the notes inside are taken, without the lowest and the highest.
step-voice-count = Of each chord only one note is taken: number { $count }, counted from the lowest.
step-voiced-close-open = The notes of the chord are laid { $choice }.
step-doubled-at-interval-above-below = Another note goes with each of its notes, { $choice } it by { $interval }.
step-harmonized-in-mode-with-thirds-sixths-triads-above-below = Each of its notes is joined by { $choice } { $choice2 }, within { $mode }.
step-harmonized-with-motif = Each of its notes lies on top of a chord from { $motif }.
step-voiced-across-parts-below-motif = Its chords are shared out among the players, all of them below { $motif }.
step-voiced-across-parts = Its chords are shared out among the players, so that each moves little.
step-neighbors-in-mode = Its long notes go to the next note above and back, within { $mode }.
step-passing-in-mode = Where it leaps by a third, the note between is filled in, within { $mode }.
step-marked-notes-markings = The composer marks it { $markings }.
step-crescendo-notes-dynamic-dynamic = It grows from { $dynamic } to { $dynamic2 }.
step-diminuendo-notes-dynamic-dynamic = It fades from { $dynamic } to { $dynamic2 }.
step-sung-notes-text-unslurred = It is sung to the words { $text }.
step-sung-notes-verse-count-text-unslurred = In verse { $count } it is sung to the words { $text }.
step-spoken-notes-text = The words { $text } are spoken to it, on no pitch.
step-spoken-notes-verse-count-text = In verse { $count } the words { $text } are spoken to it, on no pitch.
step-chant-notes = It is sung freely, as chant is.
step-division-notes-quarter-half-full-double = After { $notes } there is a breath.
step-figured-notes-text = Figures for a player of chords stand under it: { $text }.
step-labeled-notes-text = Words stand at its notes: { $text }.
step-optional-notes = Its player may leave out { $notes }.
step-slurred-notes = Its notes are joined in one breath or bow.
step-trill-notes-to-interval = There is a trill on { $notes }, with the note above it by { $interval }.
step-trill-notes = There is a trill on { $notes }.
step-turn-notes = A turn winds around { $notes }.
step-mordent-notes = A quick bite to the note below adorns { $notes }.
step-tremolo-notes-duration = Each note is repeated quickly, in the value of { $duration }.
step-tremolo-notes = Each note is repeated as fast as can be.
step-rolled-notes = Its chords are rolled from the lowest note up.
step-glissando-notes = From { $notes } it glides to the next note.
step-graced-notes-by-motif = Quick notes of { $motif } lead into { $notes }.
step-fermata-notes-by-duration = It waits on { $notes }, { $duration } longer.
step-fermata-notes = It waits on { $notes }.
step-symbols-of-motif = Above it stand the names of the chords of { $motif }.
step-without-symbols = The names of its chords are not printed.
step-harmonic-notes-touching-interval = A finger only touches the string, and { $notes } whistles as a harmonic.
step-harmonic-notes-on-class = The open string of { $class } is only touched, and { $notes } whistles as a harmonic.
step-sul-notes-class = All of it is played on the string of { $class }.
step-played-notes-on-string-count = It is played on string { $count }, counted from the highest.
step-sustain-pedal-notes = The pedal lets it ring.
step-on-instrument = Its player takes up another instrument for it: { $instrument }.
step-x-count = It is played { $count ->
    [one] once
   *[other] { $count } times
}.
step-for-duration = It is played again and again, until { $duration } is full.
step-held-duration = It is given the length of { $duration }.
# `sharp` and `flat` where all notes change by $by semitones.
inflecting = { $by ->
    [1] The composer raises { $notes } by a semitone.
    [-1] The composer lowers { $notes } by a semitone.
    [2] The composer raises { $notes } by a whole tone.
   *[-2] The composer lowers { $notes } by a whole tone.
}

## Combinations

combination-weave = The notes of { $listed } are taken in turn, one from each.
combination-together = { $capital } sound at the same time.
combination-canon = { $capital } is answered by itself, a little later, as in a round.
combination-stretto = { $capital } is answered by itself before it is done.
combination-dialogue = { $listed } is passed between the players, who take turns.
combination-hocket = The notes of { $listed } are dealt out among several players, one after another.
combination-pedal-point = Under { $listed } one note is held, a pedal point.
combination-ostinato = Under { $listed } a figure is repeated throughout, an ostinato.

## How a theme came about

derivation-begins = It begins as { $what }.
derivation-own-step = It goes through ‘{ $name }’, a device of the composer’s.
derivation-library-step = It goes through ‘{ $name }’.
derivation-followed = Then follows { $what }.

## Ciphers

library-cipher-french = The letters are written out under the seven notes A B C D E F G, and again from A when these are used up: H is A once more, I is B.
library-cipher-french-h = The letters are written out under the seven notes from A to G, over and over; but H is the note B, as Germans call it.
library-cipher-eight = The letters are written out under eight notes, A to H in the German way, and again from A when these are used up.
library-cipher-alphabet = The 26 letters climb 26 steps of the white keys, from a low A.
library-cipher-german = Each letter that names a note in German is that note: H is the note B, B is B flat, S is E flat. Other letters are silent.
library-cipher-german-names = Each letter that names a note in German is that note, and letters that name one together, as As or Es, are a single note.
library-cipher-syllables = Where do, re, mi, fa, sol, la or si stand in the word, they become these notes.
library-cipher-german-syllables = Letters are the notes that they name in German, and so are the syllables do, re, mi where they stand in the word.
library-cipher-vowels = The vowels choose the syllables ut, re, mi, fa, sol, la that have the same vowel, and those are the notes; it was done so in 1500.
library-cipher-vowels-v = The vowels choose the syllables ut, re, mi, fa, sol, la that have the same vowel; V counts as a U.
library-cipher-chromatic = The letters are written out under every natural, sharp and flat, in turn.
library-cipher-ladder = The 26 letters climb 26 semitones.
cipher-own = The cipher ‘{ $name }’ says which note each letter has: { $description }.
cipher-bare = The cipher ‘{ $name }’ says which note each letter has.
cipher-chosen = Where the cipher leaves a choice, the composer chose: { $choices }.
cipher-choice = { $letter } as { $note }

## The short version, for a printed program

program-title = For the program
program-facts = The piece lasts about { $clock } and is written for { $forces }.
program-practice = By an old practice the letters of a name become notes.
program-here = { $count ->
    [one] Here { $listed } is heard.
   *[other] Here { $listed } are heard.
}
program-name = { $name } becomes { $notes }; it is first heard in { $movement }, at { $clock }.
# Where names are many.
program-name-brief = { $name } becomes { $notes }.
program-times = In all, the names sound { $count } times.
program-theme = The theme { $theme } is made of { $listed }.

## The guide

guide-title = A guide to { $title }
guide-by = by { $composer }
guide-words-by = Words by { $name }
guide-arranged-by = Arranged by { $name }
guide-contents = On this page
guide-piece = The piece
guide-names = The names
guide-themes = The themes
guide-tunes = Tunes that no name gave
guide-forces = The performers: { $listed }.
guide-length = { $estimated ->
    [none] It lasts about { $clock }.
    [all] It lasts about { $clock }; that is an estimate, since the players decide.
   *[part] It lasts about { $clock }; { $part } of that is an estimate, since the players decide there.
}
guide-movements = Its movements, and when each begins:
guide-movement = { $title }, { $begins }, { $length } long
guide-no-names = No name became notes in this piece. What follows are its tunes.
guide-letters = Letters and notes
guide-silent = silent
guide-is = is
guide-first-heard = First heard at { $clock }, in { $movement }, { $place } ({ $parts }).
guide-heard = { $count ->
    [one] Heard once.
    [2] Heard twice.
   *[other] Heard { $count } times.
}
guide-heard-repeated = { $count ->
    [2] Heard twice, repeats counted.
   *[other] Heard { $count } times, repeats counted.
}
guide-heard-as = { $form }: { $count }
guide-original = in its original form
guide-forms = How it is heard:
guide-inflected = Some of its letters are also heard inflected, at the composer’s discretion: { $listed }.
guide-inflection = { $letter } { $how }
guide-remark = The composer: “{ $remark }”
guide-example-name = { $name } as notes: { $notes }.
guide-example-theme = { $name }, step { $number }: { $notes }.
guide-example-tune = The tune { $name }: { $notes }.
guide-cut = The example shows its beginning.
guide-chord = together { $notes }
guide-lettered = { $letter } is { $note }
guide-listen = Listen to { $what }
guide-follow = Follow the notes of { $what }
guide-whole = Every step of { $what }, one after another
guide-made-of = Made of { $listed }.
guide-estimate = Times are reckoned from the score; performers will take their own.
guide-footer = Made from the score by Cavata.
guide-skip = To the text

## Letters that are heard inflected

inflection-raised = raised
inflection-lowered = lowered
inflection-sharp = given a sharp
inflection-flat = given a flat
inflection-natural = without its accidental
inflection-respelled = written by another name

## Material for a talk

talk-title = Speaker’s notes: { $title }
talk-about = Each number stands for one picture, one sound and one sentence in this folder.
talk-tune = This is a tune that no name gave.
talk-heading = { $number }. { $title }
talk-step = { $title }, step { $number }
talk-place = { $clock }, { $movement }, { $place }
talk-places = To be heard in the piece at:
talk-more = and { $count ->
    [one] once more
   *[other] { $count } times more
}
