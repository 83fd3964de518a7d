# Die Wörter, mit denen von einem Stück erzählt wird, auf Deutsch. Erklärt ist die Datei in en.ftl.

## Lists

list-and = und

## The forms of a name

form-retrograde = im Krebs
form-inversion = in der Umkehrung
form-chord = als Akkord
form-broken-chord = als gebrochener Akkord
form-woven = Buchstabe für Buchstabe verwoben
form-canon = im Kanon
form-hocket = als Hoquetus
form-dialogue = im Dialog
form-over-bass = über Orgelpunkt oder Ostinato
form-harmonized = harmonisiert
form-augmentation = in der Vergrößerung
form-diminution = in der Verkleinerung
form-rhythm = in einem neuen Rhythmus
form-transposed = transponiert
form-expanded = mit geweiteten Intervallen
form-in-part = in Teilen
form-rotated = von einem anderen Ton an
form-sequence = als Sequenz
form-figured = mit Durchgangs- oder Wechselnoten
form-prime = Grundgestalt

## Places of the piece

place-bar = Takt { $bar }
place-free = in freier Zeit

## The map

map-title = Karte von { $title }
map-about = Die Zeit läuft von links nach rechts, die Stimmen stehen untereinander, und jeder Name hat in jeder Stimme seine eigene Reihe. Eine Marke ist ein Erklingen eines Namens. Oben steht, wie viele Töne in jedem Augenblick beginnen, die aus Namen in dunklerem Grau.
map-length = Dauer { $clock }
map-density = Töne je Sekunde
map-most = höchstens { $notes }
map-lane = { $name }, { $place }
map-linked = Jede Marke führt zu ihrer Zeile im Skript.
map-nameless = Töne, die kein Name gab
map-place = { $number ->
    [1] oberste Reihe
    [2] zweite Reihe
    [3] dritte Reihe
    [4] vierte Reihe
    [5] fünfte Reihe
    [6] sechste Reihe
    [7] siebte Reihe
   *[other] Reihe { $number } von oben
}
map-shape-solid = Grundgestalt
map-shape-retrograde = Krebs
map-shape-inversion = Umkehrung
map-shape-both = Krebsumkehrung
map-shape-chord = Akkord
map-shape-broken = gebrochener Akkord
map-shape-woven = verwoben, oder als Hoquetus
map-shape-part = halb so hoch: nicht alle Buchstaben

## Numbers, notes, intervals and lengths

number = { $count ->
    [2] zwei
    [3] drei
    [4] vier
    [5] fünf
    [6] sechs
    [7] sieben
    [8] acht
    [9] neun
    [10] zehn
    [11] elf
    [12] zwölf
   *[other] { $count }
}
number-point = ,
note = { $letter ->
    [B] { $alter ->
        [-2] Heses
        [-1] B
        [1] His
        [2] Hisis
       *[0] H
    }
    [E] { $alter ->
        [-2] Eses
        [-1] Es
        [1] Eis
        [2] Eisis
       *[0] E
    }
    [A] { $alter ->
        [-2] Asas
        [-1] As
        [1] Ais
        [2] Aisis
       *[0] A
    }
   *[other] { $alter ->
        [-2] { $letter }eses
        [-1] { $letter }es
        [1] { $letter }is
        [2] { $letter }isis
       *[0] { $letter }
    }
}
mode = { $kind ->
    [major] { $tonic }-Dur
    [minor] { $small-tonic }-Moll
   *[other] der Tonart „{ $name }“
}
interval-quality = { $quality ->
    [P] eine reine
    [M] eine große
    [m] eine kleine
    [aug] eine übermäßige
   *[dim] eine verminderte
}
interval-size = { $size ->
    [1] Prime
    [2] Sekunde
    [3] Terz
    [4] Quarte
    [5] Quinte
    [6] Sexte
    [7] Septime
    [8] Oktave
    [9] None
    [10] Dezime
    [11] Undezime
    [12] Duodezime
    [13] Tredezime
    [14] Quartdezime
   *[15] Doppeloktave
}
interval = { $name ->
    [P1] eine Prime
    [P8] eine Oktave
    [P15] zwei Oktaven
   *[other] { interval-quality } { interval-size }
}
interval-octaves = { number } Oktaven
interval-other = das Intervall { $name }
value-one = { $unit ->
    [1] ganze Note
    [2] halbe Note
    [4] Viertelnote
    [8] Achtelnote
    [16] Sechzehntelnote
    [32] Zweiunddreißigstelnote
    [64] Vierundsechzigstelnote
    [128] Hundertachtundzwanzigstelnote
   *[256] Zweihundertsechsundfünfzigstelnote
}
value-many = { $unit ->
    [1] ganze Noten
    [2] halbe Noten
   *[other] { value-one }n
}
value-a = eine { value-one }
value-of = { $unit ->
    [1] einer ganzen Note
    [2] einer halben Note
   *[other] einer { value-one }
}
length = { $count ->
    [1] { $dots ->
        [1] eine punktierte { value-one }
        [2] eine doppelt punktierte { value-one }
       *[0] { value-a }
    }
   *[other] { $dots ->
        [1] { number } punktierte { value-many }
        [2] { number } doppelt punktierte { value-many }
       *[0] { number } { value-many }
    }
}
share = { $share ->
    [3] { $count ->
        [one] ein Drittel
       *[other] { number } Drittel
    }
    [5] { $count ->
        [one] ein Fünftel
       *[other] { number } Fünftel
    }
    [7] { $count ->
        [one] ein Siebtel
       *[other] { number } Siebtel
    }
    [9] { $count ->
        [one] ein Neuntel
       *[other] { number } Neuntel
    }
    [11] { $count ->
        [one] ein Elftel
       *[other] { number } Elftel
    }
    [13] { $count ->
        [one] ein Dreizehntel
       *[other] { number } Dreizehntel
    }
    [15] { $count ->
        [one] ein Fünfzehntel
       *[other] { number } Fünfzehntel
    }
   *[other] { $count }/{ $share }
}
length-shared = { share } { value-of }
length-each = { $count ->
    [one] eine Note so lang wie { $length }
   *[other] { number } Noten (jede so lang wie { $length })
}
length-rest = eine Pause so lang wie { $length }

## Which notes a step speaks of

selection-last = { $case ->
    [dative] dem letzten Ton
    [nominative] der letzte Ton
   *[accusative] den letzten Ton
}
selection-note = Ton { $number }
selection-letter = { $case ->
    [dative] jedem { $letter }
   *[nominative] jedes { $letter }
}
selection-numbered-letter = Buchstabe { $number }
selection-range = { $case ->
    [dative] den Tönen { $first } bis { $last }
   *[nominative] die Töne { $first } bis { $last }
}
selection-every = { $case ->
    [dative] jedem Ton
    [nominative] jeder Ton
   *[accusative] jeden Ton
}
selection-onward = { $case ->
    [dative] jedem Ton von Ton { $first } an
    [nominative] jeder Ton von Ton { $first } an
   *[accusative] jeden Ton von Ton { $first } an
}

## Words that a step chooses from

choice-ascending = aufwärts
choice-descending = abwärts
choice-up = aufwärts
choice-down = abwärts
choice-above = darüber
choice-below = darunter
choice-thirds = Terzen
choice-sixths = Sexten
choice-triads = Dreiklänge
choice-close = eng beieinander
choice-open = weit auseinander
choice-cycle = , immer von neuem, bis Linie und Rhythmus zusammen enden

## What a step takes

thing-rhythm = { $case ->
    [dative] dem Rhythmus „{ $name }“
    [nominative] der Rhythmus „{ $name }“
   *[accusative] den Rhythmus „{ $name }“
}
thing-figure = { $case ->
    [dative] der Figur „{ $name }“
   *[nominative] die Figur „{ $name }“
}
thing-rhythm-values = diese Werte ({ $values })
thing-even = gleiche Werte, jeweils { $values },
quoted = „{ $text }“
thing-motif = „{ $name }“
thing-range = { $low } bis { $high }
thing-name = { $case ->
    [dative] dem Namen { $name }
    [nominative] der Name { $name }
   *[accusative] den Namen { $name }
}
thing-theme = { $case ->
    [dative] dem Thema „{ $name }“
   *[nominative] das Thema „{ $name }“
}
thing-form = { $what } ({ $how })
thing-notes = { $case ->
    [dative] einer Melodie, die der Komponist selbst erfunden hat
   *[nominative] eine Melodie, die der Komponist selbst erfunden hat
}
thing-chord = { $case ->
    [dative] einem Akkord, den der Komponist selbst gewählt hat
    [nominative] ein Akkord, den der Komponist selbst gewählt hat
   *[accusative] einen Akkord, den der Komponist selbst gewählt hat
}
thing-digits = { $case ->
    [dative] den Ziffern von { $text }, als Stufen einer Tonleiter gelesen
   *[nominative] die Ziffern von { $text }, als Stufen einer Tonleiter gelesen
}
thing-symbols = { $case ->
    [dative] Akkorden, die der Komponist gewählt hat
   *[nominative] Akkorde, die der Komponist gewählt hat
}
thing-letters = { $case ->
    [dative] den Buchstaben von { $text }, als Längen gelesen
   *[nominative] die Buchstaben von { $text }, als Längen gelesen
}
thing-line = { $case ->
    [dative] einer Linie, die der Komponist selbst erfunden hat
   *[nominative] eine Linie, die der Komponist selbst erfunden hat
}

## What each step does, for those who do not read music

step-up-interval = Alles rückt um { $interval } nach oben.
step-down-interval = Alles rückt um { $interval } nach unten.
step-step-up-count-in-mode = Jeder Ton steigt { $count ->
    [one] eine Stufe
   *[other] { $count } Stufen
} in { $mode }.
step-step-down-count-in-mode = Jeder Ton fällt { $count ->
    [one] eine Stufe
   *[other] { $count } Stufen
} in { $mode }.
step-inverted-about-pitch = Alles wird um den Ton { $pitch } umgekehrt: Was stieg, fällt nun ebenso weit.
step-inverted-in-mode-about-pitch = Alles wird in { $mode } um den Ton { $pitch } umgekehrt: Was stieg, fällt nun ebenso viele Stufen.
step-from-pitch = Alles rückt um ganze Oktaven, sodass es mit einem höheren oder tieferen { $pitch } beginnt.
step-within-range = Alles rückt um ganze Oktaven, bis es in { $range } liegt.
step-closest = Die Oktaven werden neu gewählt: jeder Ton nahe bei dem davor.
step-ascending = Die Oktaven werden neu gewählt: jeder Ton über dem davor.
step-descending = Die Oktaven werden neu gewählt: jeder Ton unter dem davor.
step-expanded-count = Jeder Abstand vom ersten Ton { $count ->
    [one] bleibt so weit
   *[other] wird { $count }-mal so weit
}.
step-sharp-notes = Der Komponist setzt ein Kreuz vor { $notes }.
step-flat-notes = Der Komponist setzt ein b vor { $notes }.
step-natural-notes = Der Komponist nimmt das Vorzeichen weg, und zwar für { $notes }.
step-raised-notes = Der Komponist erhöht { $notes } um einen Halbton.
step-lowered-notes = Der Komponist erniedrigt { $notes } um einen Halbton.
step-respelled-simply-in-mode = In den Noten stehen die Töne nun unter den Namen, die zu { $mode } passen; es klingt gleich.
step-respelled-simply = In den Noten stehen die Töne nun unter einfacheren Namen; es klingt gleich.
step-respelled-notes-as-class = In den Noten steht { $class } für { $notes }; es klingt gleich.
step-retrograde = Alles erklingt im Krebs, vom letzten Ton zum ersten.
step-rotated-count = Es beginnt anderswo: { $count ->
    [one] Ein Ton wandert
   *[other] { $count } Töne wandern
} vom Anfang ans Ende.
step-first-count = Genommen { $count ->
    [one] wird nur der erste Ton
   *[other] werden nur die ersten { $count } Töne
}.
step-last-count = Genommen { $count ->
    [one] wird nur der letzte Ton
   *[other] werden nur die letzten { $count } Töne
}.
step-notes-notes = Genommen wird davon nur: { $notes-nominative }.
step-without-notes = Es erklingt ohne { $notes }.
step-sequence-count-by-interval-up-down = Es erklingt { $count }-mal, jedes Mal um { $interval } { $choice } gerückt.
step-diminution-ratio = Es geht { $ratio ->
    [two] doppelt
   *[other] { $ratio }-mal
} so schnell.
step-augmentation-ratio = Es wird auf das { $ratio ->
    [two] Doppelte
   *[other] { $ratio }-Fache
} seiner Länge gedehnt.
step-in-rhythm-cycle = Die Töne nehmen { $rhythm } an{ $cycle }.
step-tied-notes = Wiederkehrende Töne werden gehalten statt neu angeschlagen.
step-lengthened-notes-to-duration = Es hält { $notes } so lang: { $duration }.
step-as-chord = Alle Töne erklingen zugleich, als Akkord.
step-broken-ascending-descending = Der Akkord wird gebrochen: Seine Töne folgen einander, { $choice }.
step-bass = Von jedem Akkord erklingt nur der tiefste Ton.
step-top = Von jedem Akkord erklingt nur der höchste Ton.
step-upper = Von jedem Akkord fehlt der tiefste Ton.
step-inner = Von jedem Akkord erklingen nur die Töne im Inneren, ohne den tiefsten und den höchsten.
step-voice-count = Von jedem Akkord erklingt nur ein Ton: der { $count }., vom tiefsten an gezählt.
step-voiced-close-open = Die Töne des Akkords liegen { $choice }.
step-doubled-at-interval-above-below = Mit jedem Ton geht ein zweiter, um { $interval } { $choice }.
step-harmonized-in-mode-with-thirds-sixths-triads-above-below = Zu jedem Ton kommen { $choice } { $choice2 }, in { $mode }.
step-harmonized-with-motif = Jeder Ton liegt auf einem Akkord von { $motif-dative }.
step-voiced-across-parts-below-motif = Die Akkorde werden unter den Spielern verteilt, sodass alle unter dieser Melodie liegen: { $motif-nominative }.
step-voiced-across-parts = Die Akkorde werden unter den Spielern verteilt, sodass sich jeder wenig bewegt.
step-neighbors-in-mode = Lange Töne gehen zum nächsthöheren Ton und zurück, in { $mode }.
step-passing-in-mode = Wo ein Sprung eine Terz groß ist, füllt ihn der Ton dazwischen, in { $mode }.
step-marked-notes-markings = Der Komponist schreibt dazu: { $markings }.
step-crescendo-notes-dynamic-dynamic = Es wächst von { $dynamic } zu { $dynamic2 }.
step-diminuendo-notes-dynamic-dynamic = Es schwindet von { $dynamic } zu { $dynamic2 }.
step-sung-notes-text-unslurred = Es wird auf diese Worte gesungen: { $text }.
step-sung-notes-verse-count-text-unslurred = Strophe { $count } wird auf diese Worte gesungen: { $text }.
step-spoken-notes-text = Dazu werden ohne Tonhöhe diese Worte gesprochen: { $text }.
step-spoken-notes-verse-count-text = In Strophe { $count } werden dazu ohne Tonhöhe diese Worte gesprochen: { $text }.
step-chant-notes = Es wird frei gesungen, wie ein Choral der alten Kirche.
step-division-notes-quarter-half-full-double = Nach { $notes-dative } ist ein Atemzug.
step-figured-notes-text = Darunter stehen Ziffern für einen Akkordspieler: { $text }.
step-labeled-notes-text = An den Tönen stehen Wörter: { $text }.
step-optional-notes = Dies darf der Spieler weglassen: { $notes }.
step-slurred-notes = Die Töne sind in einem Atem oder Bogenstrich verbunden.
step-trill-notes-to-interval = Ein Triller verziert { $notes }, mit dem Ton, der um { $interval } höher liegt.
step-trill-notes = Ein Triller verziert { $notes }.
step-turn-notes = Ein Doppelschlag umspielt { $notes }.
step-mordent-notes = Ein Mordent verziert { $notes }: kurz zum Ton darunter und zurück.
step-tremolo-notes-duration = Jeder Ton wird schnell wiederholt; der Wert dafür ist { $duration }.
step-tremolo-notes = Jeder Ton wird so schnell wie möglich wiederholt.
step-rolled-notes = Die Akkorde werden vom tiefsten Ton an gebrochen.
step-glissando-notes = Von { $notes-dative } gleitet es zum nächsten Ton.
step-graced-notes-by-motif = Schnelle Töne von { $motif-dative } führen in { $notes }.
step-fermata-notes-by-duration = Es verweilt auf { $notes-dative }, um so viel länger: { $duration }.
step-fermata-notes = Es verweilt auf { $notes-dative }.
step-symbols-of-motif = Darüber stehen die Namen der Akkorde von { $motif-dative }.
step-without-symbols = Die Namen der Akkorde werden nicht gedruckt.
step-harmonic-notes-touching-interval = Ein Finger berührt die Saite nur, und es klingt ein Flageolett.
step-harmonic-notes-on-class = Die leere Saite { $class } wird nur berührt, und es klingt ein Flageolett.
step-sul-notes-class = Gespielt wird es auf der Saite { $class }.
step-played-notes-on-string-count = Gespielt wird es auf der Saite { $count }, von der höchsten an gezählt.
step-sustain-pedal-notes = Das Pedal lässt es nachklingen.
step-on-instrument = Dafür wechselt der Spieler das Instrument: { $instrument }.
step-x-count = Es erklingt { $count ->
    [one] einmal
   *[other] { $count }-mal
}.
step-for-duration = Es erklingt immer wieder, bis die Zeit voll ist, die { $duration } dauert.
step-held-duration = Es dauert nun so lang wie { $duration }.
inflecting = { $by ->
    [1] Der Komponist erhöht { $notes } um einen Halbton.
    [-1] Der Komponist erniedrigt { $notes } um einen Halbton.
    [2] Der Komponist erhöht { $notes } um einen Ganzton.
   *[-2] Der Komponist erniedrigt { $notes } um einen Ganzton.
}

## Combinations

combination-weave = Die Töne werden abwechselnd genommen, je einer von jedem: { $listed }.
combination-together = Zugleich erklingen { $listed }.
combination-canon = { $capital } erhält von sich selbst Antwort, ein wenig später, wie in einem Rundgesang.
combination-stretto = { $capital } erhält von sich selbst Antwort, bevor es zu Ende ist.
combination-dialogue = Die Spieler wechseln sich ab mit: { $listed }.
combination-hocket = Die Töne werden auf mehrere Spieler verteilt, einer nach dem anderen: { $listed }.
combination-pedal-point = Darunter liegt ein einziger Ton: { $listed }.
combination-ostinato = Darunter kreist eine Figur: { $listed }.

## How a theme came about

derivation-begins = Am Anfang steht { $what }.
derivation-own-step = Es geht durch „{ $name }“, einen Kunstgriff des Komponisten.
derivation-library-step = Es geht durch „{ $name }“.
derivation-followed = Dann folgt { $what }.

## Ciphers

library-cipher-french = Die Buchstaben stehen der Reihe nach unter den sieben Tönen A H C D E F G, und wenn diese verbraucht sind, wieder von A an: H ist wieder A, I ist H.
library-cipher-french-h = Die Buchstaben stehen der Reihe nach unter den sieben Tönen von A bis G, immer wieder; der Buchstabe H aber ist der Ton H.
library-cipher-eight = Die Buchstaben stehen der Reihe nach unter acht Tönen, A bis H, und wenn diese verbraucht sind, wieder von A an.
library-cipher-alphabet = Die 26 Buchstaben steigen auf 26 weißen Tasten, von einem tiefen A an.
library-cipher-german = Jeder Buchstabe, der einen Ton benennt, ist dieser Ton; auch S, das Es ist. Andere Buchstaben bleiben stumm.
library-cipher-german-names = Jeder Buchstabe, der einen Ton benennt, ist dieser Ton, und Buchstaben, die zusammen einen benennen, wie As oder Es, sind ein einziger.
library-cipher-syllables = Wo do, re, mi, fa, sol, la oder si im Wort stehen, werden sie zu diesen Tönen.
library-cipher-german-syllables = Buchstaben sind die Töne, die sie benennen, und ebenso die Silben do, re, mi, wo sie im Wort stehen.
library-cipher-vowels = Die Vokale wählen die Silben ut, re, mi, fa, sol, la mit dem gleichen Vokal, und das sind die Töne; so tat man es schon um 1500.
library-cipher-vowels-v = Die Vokale wählen die Silben ut, re, mi, fa, sol, la mit dem gleichen Vokal; V gilt als U.
library-cipher-chromatic = Die Buchstaben stehen der Reihe nach unter allen Stammtönen, erhöhten und erniedrigten Tönen.
library-cipher-ladder = Die 26 Buchstaben steigen in 26 Halbtönen.
cipher-own = Die Chiffre „{ $name }“ sagt, welchen Ton jeder Buchstabe hat: { $description }.
cipher-bare = Die Chiffre „{ $name }“ sagt, welchen Ton jeder Buchstabe hat.
cipher-chosen = Wo die Chiffre eine Wahl lässt, hat der Komponist gewählt: { $choices }.
cipher-choice = { $letter } als { $note }

## The short version, for a printed program

program-title = Für das Programmheft
program-facts = Das Stück dauert etwa { $clock } und ist geschrieben für { $forces }.
program-practice = Nach altem Brauch werden die Buchstaben eines Namens zu Tönen.
program-here = { $count ->
    [one] Hier erklingt { $listed }.
   *[other] Hier erklingen { $listed }.
}
program-name = Aus { $name } { $count ->
    [one] wird
   *[other] werden
} { $notes }; zuerst zu hören in { $movement }, bei { $clock }.
program-name-brief = Aus { $name } { $count ->
    [one] wird
   *[other] werden
} { $notes }.
program-times = Insgesamt erklingen die Namen { $count }-mal.
program-theme = Das Thema { $theme } ist aus { $listed } gemacht.

## The guide

guide-title = Ein Begleiter zu { $title }
guide-by = von { $composer }
guide-words-by = Text von { $name }
guide-arranged-by = Bearbeitet von { $name }
guide-contents = Auf dieser Seite
guide-piece = Das Stück
guide-names = Die Namen
guide-themes = Die Themen
guide-tunes = Melodien, die kein Name gab
guide-forces = Besetzung: { $listed }.
guide-length = { $estimated ->
    [none] Es dauert etwa { $clock }.
    [all] Es dauert etwa { $clock }; das ist geschätzt, denn darüber entscheiden die Spieler.
   *[part] Es dauert etwa { $clock }; davon sind { $part } geschätzt, denn dort entscheiden die Spieler.
}
guide-movements = Die Sätze, und wann jeder beginnt:
guide-movement = { $title }, { $begins }, Dauer { $length }
guide-no-names = In diesem Stück wurde kein Name zu Tönen. Hier stehen seine Melodien.
guide-letters = Buchstaben und Töne
guide-silent = stumm
guide-is = ist
guide-first-heard = Zuerst zu hören: { $clock }, { $movement }, { $place } ({ $parts }).
guide-heard = { $count ->
    [one] Einmal zu hören.
   *[other] { $count }-mal zu hören.
}
guide-heard-repeated = { $count }-mal zu hören, Wiederholungen mitgezählt.
guide-heard-as = { $form }: { $count }
guide-original = in der Grundgestalt
guide-forms = So ist er zu hören:
guide-inflected = Einige seiner Buchstaben sind auch verändert zu hören, nach dem Ermessen des Komponisten: { $listed }.
guide-inflection = { $letter } { $how }
guide-remark = Der Komponist: „{ $remark }“
guide-example-name = { $name } in Tönen: { $notes }.
guide-example-theme = { $name }, Schritt { $number }: { $notes }.
guide-example-tune = Die Melodie { $name }: { $notes }.
guide-cut = Das Beispiel zeigt den Anfang.
guide-chord = zugleich { $notes }
guide-lettered = { $letter } ist { $note }
guide-listen = { $what } anhören
guide-follow = Die Töne verfolgen: { $what }
guide-whole = Alle Schritte nacheinander: { $what }
guide-made-of = Gemacht aus { $listed }.
guide-estimate = Die Zeiten sind aus der Partitur errechnet; die Ausführenden nehmen sich ihre eigenen.
guide-footer = Mit Cavata aus der Partitur gemacht.
guide-skip = Zum Text

## Letters that are heard inflected

inflection-raised = erhöht
inflection-lowered = erniedrigt
inflection-sharp = mit einem Kreuz
inflection-flat = mit einem b
inflection-natural = ohne Vorzeichen
inflection-respelled = anders geschrieben

## Material for a talk

talk-title = Notizen für den Vortrag: { $title }
talk-about = Jede Nummer steht für ein Bild, einen Klang und einen Satz in diesem Ordner.
talk-tune = Dies ist eine Melodie, die kein Name gab.
talk-heading = { $number }. { $title }
talk-step = { $title }, Schritt { $number }
talk-place = { $clock }, { $movement }, { $place }
talk-places = Im Stück zu hören um:
talk-more = und noch { $count ->
    [one] einmal
   *[other] { $count }-mal
}
