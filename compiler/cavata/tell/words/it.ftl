# Le parole con cui si racconta un pezzo, in italiano. Il file è spiegato in en.ftl.

## Lists

list-and = e

## The forms of a name

form-retrograde = per moto retrogrado
form-inversion = per moto contrario
form-chord = come accordo
form-broken-chord = come accordo spezzato
form-woven = intrecciato lettera per lettera
form-canon = a canone
form-hocket = in hoquetus
form-dialogue = in dialogo
form-over-bass = sopra un pedale o un ostinato
form-harmonized = armonizzato
form-augmentation = per aumentazione
form-diminution = per diminuzione
form-rhythm = in un ritmo nuovo
form-transposed = trasportato
form-expanded = con intervalli allargati
form-in-part = in parte
form-rotated = a partire da un’altra nota
form-sequence = in progressione
form-figured = con note di passaggio o di volta
form-prime = forma originale

## Places of the piece

place-bar = battuta { $bar }
place-free = in tempo libero

## The map

map-title = Mappa di { $title }
map-about = Il tempo va da sinistra a destra, le parti stanno una sotto l’altra e ogni nome ha in ogni parte una fila propria. Un segno è un’apparizione di un nome. In alto si vede quante note cominciano in ogni momento, quelle nate dai nomi in grigio più scuro.
map-length = durata { $clock }
map-density = note al secondo
map-most = al massimo { $notes }
map-lane = { $name }, { $place }
map-linked = Ogni segno porta alla sua riga nello script.
map-nameless = note che nessun nome ha dato
map-place = { $number ->
    [1] fila in alto
    [2] seconda fila
    [3] terza fila
    [4] quarta fila
    [5] quinta fila
    [6] sesta fila
    [7] settima fila
   *[other] fila { $number } dall’alto
}
map-shape-solid = forma originale
map-shape-retrograde = moto retrogrado
map-shape-inversion = moto contrario
map-shape-both = moto contrario retrogrado
map-shape-chord = accordo
map-shape-broken = accordo spezzato
map-shape-woven = intrecciato, o in hoquetus
map-shape-part = alto la metà: non tutte le lettere

## Numbers, notes, intervals and lengths

number = { $count ->
    [2] due
    [3] tre
    [4] quattro
    [5] cinque
    [6] sei
    [7] sette
    [8] otto
    [9] nove
    [10] dieci
    [11] undici
    [12] dodici
   *[other] { $count }
}
number-point = ,
note-letter = { $letter ->
    [C] do
    [D] re
    [E] mi
    [F] fa
    [G] sol
    [A] la
   *[B] si
}
note = { $alter ->
    [-2] { note-letter } doppio bemolle
    [-1] { note-letter } bemolle
    [1] { note-letter } diesis
    [2] { note-letter } doppio diesis
   *[0] { note-letter }
}
mode = { $kind ->
    [major] { $tonic } maggiore
    [minor] { $tonic } minore
   *[other] il modo «{ $name }»
}
interval-quality = { $quality ->
    [P] giusta
    [M] maggiore
    [m] minore
    [aug] aumentata
   *[dim] diminuita
}
interval-size = { $size ->
    [1] una prima
    [2] una seconda
    [3] una terza
    [4] una quarta
    [5] una quinta
    [6] una sesta
    [7] una settima
    [8] un’ottava
    [9] una nona
    [10] una decima
    [11] un’undicesima
    [12] una dodicesima
    [13] una tredicesima
    [14] una quattordicesima
   *[15] una doppia ottava
}
interval = { $name ->
    [P1] un unisono
    [P8] un’ottava
    [P15] due ottave
   *[other] { interval-size } { interval-quality }
}
interval-octaves = { number } ottave
interval-other = l’intervallo { $name }
value-one = { $unit ->
    [1] semibreve
    [2] minima
    [4] semiminima
    [8] croma
    [16] semicroma
    [32] biscroma
    [64] semibiscroma
    [128] fusa
   *[256] semifusa
}
value-many = { $unit ->
    [1] semibrevi
    [2] minime
    [4] semiminime
    [8] crome
    [16] semicrome
    [32] biscrome
    [64] semibiscrome
    [128] fuse
   *[256] semifuse
}
value-a = una { value-one }
value-of = di { value-a }
length = { $count ->
    [1] { $dots ->
        [1] una { value-one } col punto
        [2] una { value-one } col doppio punto
       *[0] { value-a }
    }
   *[other] { $dots ->
        [1] { number } { value-many } col punto
        [2] { number } { value-many } col doppio punto
       *[0] { number } { value-many }
    }
}
share = { $share ->
    [3] { $count ->
        [one] un terzo
       *[other] { number } terzi
    }
    [5] { $count ->
        [one] un quinto
       *[other] { number } quinti
    }
    [7] { $count ->
        [one] un settimo
       *[other] { number } settimi
    }
    [9] { $count ->
        [one] un nono
       *[other] { number } noni
    }
    [11] { $count ->
        [one] un undicesimo
       *[other] { number } undicesimi
    }
    [13] { $count ->
        [one] un tredicesimo
       *[other] { number } tredicesimi
    }
    [15] { $count ->
        [one] un quindicesimo
       *[other] { number } quindicesimi
    }
   *[other] { $count }/{ $share }
}
length-shared = { share } { value-of }
length-each = { $count ->
    [one] una nota lunga quanto { $length }
   *[other] { number } note (ognuna lunga quanto { $length })
}
length-rest = una pausa lunga quanto { $length }

## Which notes a step speaks of

selection-last = l’ultima nota
selection-note = la nota { $number }
selection-letter = ogni { $letter }
selection-numbered-letter = la lettera { $number }
selection-range = le note da { $first } a { $last }
selection-every = ogni nota
selection-onward = ogni nota a partire dalla nota { $first }

## Words that a step chooses from

choice-ascending = verso l’alto
choice-descending = verso il basso
choice-up = verso l’alto
choice-down = verso il basso
choice-above = sopra
choice-below = sotto
choice-thirds = terze
choice-sixths = seste
choice-triads = triadi
choice-close = vicine l’una all’altra
choice-open = lontane l’una dall’altra
choice-cycle = , sempre da capo, finché linea e ritmo finiscono insieme

## What a step takes

thing-rhythm = il ritmo «{ $name }»
thing-figure = la figura «{ $name }», che dice quando suona ogni nota di un accordo
thing-rhythm-values = questi valori: { $values }
thing-even = valori uguali, ognuno { $values }
quoted = «{ $text }»
thing-motif = «{ $name }»
thing-range = { $low } e { $high }
thing-name = il nome { $name }
thing-theme = il tema «{ $name }»
thing-form = { $what } ({ $how })
thing-notes = una melodia inventata dal compositore
thing-chord = un accordo scelto dal compositore
thing-digits = le cifre di { $text }, lette come gradi di una scala
thing-symbols = accordi scelti dal compositore
thing-letters = le lettere di { $text }, lette come durate
thing-line = una linea inventata dal compositore

## What each step does, for those who do not read music

step-up-interval = Tutto sale di { $interval }.
step-down-interval = Tutto scende di { $interval }.
step-step-up-count-in-mode = Ogni nota sale di { $count ->
    [one] un grado
   *[other] { $count } gradi
}, in { $mode }.
step-step-down-count-in-mode = Ogni nota scende di { $count ->
    [one] un grado
   *[other] { $count } gradi
}, in { $mode }.
step-inverted-about-pitch = Tutto si rovescia intorno alla nota { $pitch }: quel che saliva scende altrettanto.
step-inverted-in-mode-about-pitch = Tutto si rovescia, in { $mode }, intorno alla nota { $pitch }: quel che saliva scende di altrettanti gradi.
step-from-pitch = Tutto cambia ottava, per cominciare dalla nota { $pitch }, più in alto o più in basso.
step-within-range = Tutto cambia ottava, fino a trovarsi tra { $range }.
step-closest = Le ottave si scelgono di nuovo: ogni nota vicina alla precedente.
step-ascending = Le ottave si scelgono di nuovo: ogni nota sopra la precedente.
step-descending = Le ottave si scelgono di nuovo: ogni nota sotto la precedente.
step-expanded-count = Ogni distanza dalla prima nota { $count ->
    [one] resta la stessa
   *[other] diventa { $count } volte più grande
}.
step-sharp-notes = Il compositore mette un diesis davanti a questo: { $notes }.
step-flat-notes = Il compositore mette un bemolle davanti a questo: { $notes }.
step-natural-notes = Il compositore toglie l’alterazione davanti a questo: { $notes }.
step-raised-notes = Il compositore alza di un semitono { $notes }.
step-lowered-notes = Il compositore abbassa di un semitono { $notes }.
step-respelled-simply-in-mode = Sulla carta le note portano ora i nomi che vanno con { $mode }; il suono è lo stesso.
step-respelled-simply = Sulla carta le note portano ora nomi più semplici; il suono è lo stesso.
step-respelled-notes-as-class = Sulla carta { $class } sostituisce { $notes }; il suono è lo stesso.
step-retrograde = Tutto suona per moto retrogrado, dall’ultima nota alla prima.
step-rotated-count = Si comincia altrove: { $count ->
    [one] una nota passa
   *[other] { $count } note passano
} dall’inizio alla fine.
step-first-count = { $count ->
    [one] Si prende soltanto la prima nota
   *[other] Si prendono soltanto le prime { $count } note
}.
step-last-count = { $count ->
    [one] Si prende soltanto l’ultima nota
   *[other] Si prendono soltanto le ultime { $count } note
}.
step-notes-notes = Se ne prende soltanto questo: { $notes }.
step-without-notes = Si suona senza { $notes }.
step-sequence-count-by-interval-up-down = Si sente { $count } volte, ogni volta più in là { $choice }, di questo intervallo: { $interval }.
step-diminution-ratio = Tutto va { $ratio ->
    [two] due
   *[other] { $ratio }
} volte più veloce.
step-augmentation-ratio = Tutto diventa { $ratio ->
    [two] due
   *[other] { $ratio }
} volte più lungo.
step-in-rhythm-cycle = Le note prendono { $rhythm }{ $cycle }.
step-tied-notes = Le note che si ripetono sono tenute invece che ribattute.
step-lengthened-notes-to-duration = Si tiene { $notes } per questo tempo: { $duration }.
step-as-chord = Tutte le note suonano insieme, come accordo.
step-broken-ascending-descending = L’accordo è spezzato: le sue note si seguono, { $choice }.
step-bass = Di ogni accordo si sente soltanto la nota più bassa.
step-top = Di ogni accordo si sente soltanto la nota più alta.
step-upper = Di ogni accordo manca la nota più bassa.
step-inner = Di ogni accordo si sentono soltanto le note interne, senza la più bassa e la più alta.
step-voice-count = Di ogni accordo si sente soltanto la nota numero { $count }, contata dalla più bassa.
step-voiced-close-open = Le note dell’accordo stanno { $choice }.
step-doubled-at-interval-above-below = Una seconda nota accompagna ogni nota, { $choice }, a questo intervallo: { $interval }.
step-harmonized-in-mode-with-thirds-sixths-triads-above-below = A ogni nota si aggiungono { $choice } { $choice2 }, in { $mode }.
step-harmonized-with-motif = Ogni nota poggia su un accordo di { $motif }.
step-voiced-across-parts-below-motif = Gli accordi sono divisi fra gli esecutori, tutti sotto questa melodia: { $motif }.
step-voiced-across-parts = Gli accordi sono divisi fra gli esecutori, in modo che ognuno si muova poco.
step-neighbors-in-mode = Le note lunghe vanno alla nota vicina superiore e tornano, in { $mode }.
step-passing-in-mode = Dove un salto è di terza, lo riempie la nota intermedia, in { $mode }.
step-marked-notes-markings = Il compositore aggiunge: { $markings }.
step-crescendo-notes-dynamic-dynamic = Cresce da { $dynamic } a { $dynamic2 }.
step-diminuendo-notes-dynamic-dynamic = Diminuisce da { $dynamic } a { $dynamic2 }.
step-sung-notes-text-unslurred = Si canta su queste parole: { $text }.
step-sung-notes-verse-count-text-unslurred = La strofa { $count } si canta su queste parole: { $text }.
step-spoken-notes-text = Queste parole si dicono senza altezza: { $text }.
step-spoken-notes-verse-count-text = Nella strofa { $count } queste parole si dicono senza altezza: { $text }.
step-chant-notes = Si canta liberamente, come il canto piano.
step-division-notes-quarter-half-full-double = Si respira dopo questo: { $notes }.
step-figured-notes-text = Sotto stanno cifre per chi suona gli accordi: { $text }.
step-labeled-notes-text = Accanto alle note stanno parole: { $text }.
step-optional-notes = L’esecutore può tralasciare questo: { $notes }.
step-slurred-notes = Le note sono legate in un respiro o in un’arcata.
step-trill-notes-to-interval = Un trillo orna { $notes }, con la nota più alta di questo intervallo: { $interval }.
step-trill-notes = Un trillo orna { $notes }.
step-turn-notes = Un gruppetto gira intorno: { $notes }.
step-mordent-notes = Un mordente orna { $notes }: un attimo alla nota inferiore, e ritorno.
step-tremolo-notes-duration = Ogni nota è ripetuta in fretta; il valore è { $duration }.
step-tremolo-notes = Ogni nota è ripetuta quanto più in fretta possibile.
step-rolled-notes = Gli accordi sono arpeggiati dalla nota più bassa.
step-glissando-notes = Da qui si scivola fino alla nota seguente: { $notes }.
step-graced-notes-by-motif = Note rapide di { $motif } portano a questo: { $notes }.
step-fermata-notes-by-duration = Ci si ferma su questo: { $notes }; e di tanto più a lungo: { $duration }.
step-fermata-notes = Ci si ferma su questo: { $notes }.
step-symbols-of-motif = Sopra stanno i nomi degli accordi di { $motif }.
step-without-symbols = I nomi degli accordi non sono stampati.
step-harmonic-notes-touching-interval = Un dito sfiora soltanto la corda, e si sente un armonico.
step-harmonic-notes-on-class = La corda vuota { $class } è soltanto sfiorata, e si sente un armonico.
step-sul-notes-class = Si suona sulla corda { $class }.
step-played-notes-on-string-count = Si suona sulla corda { $count }, contata dalla più alta.
step-sustain-pedal-notes = Il pedale lascia risonare.
step-on-instrument = Per questo l’esecutore cambia strumento: { $instrument }.
step-x-count = Si sente { $count ->
    [one] una volta
   *[other] { $count } volte
}.
step-for-duration = Si sente sempre da capo, fino a riempire questo tempo: { $duration }.
step-held-duration = Ora dura { $duration }.
inflecting = { $by ->
    [1] Il compositore alza di un semitono { $notes }.
    [-1] Il compositore abbassa di un semitono { $notes }.
    [2] Il compositore alza di un tono { $notes }.
   *[-2] Il compositore abbassa di un tono { $notes }.
}

## Combinations

combination-weave = Le note si prendono a turno, una da ciascuno: { $listed }.
combination-together = Insieme suonano { $listed }.
combination-canon = { $capital }: la risposta è lui stesso, un poco più tardi, come in un girotondo.
combination-stretto = { $capital }: la risposta è lui stesso, prima che abbia finito.
combination-dialogue = Gli esecutori si danno il cambio con: { $listed }.
combination-hocket = Le note sono divise fra più esecutori, uno dopo l’altro: { $listed }.
combination-pedal-point = Sotto sta una sola nota tenuta: { $listed }.
combination-ostinato = Sotto gira una figura che ritorna sempre: { $listed }.

## How a theme came about

derivation-begins = Punto di partenza: { $what }.
derivation-own-step = Passa per «{ $name }», un artificio del compositore.
derivation-library-step = Passa per «{ $name }».
derivation-followed = Poi viene { $what }.

## Ciphers

library-cipher-french = Le lettere stanno in ordine sotto le sette note la si do re mi fa sol, e poi di nuovo a partire dal la: H è ancora la, I è si.
library-cipher-french-h = Le lettere stanno in ordine sotto le sette note, dal la al sol, sempre da capo; ma la lettera H è il si.
library-cipher-eight = Le lettere stanno in ordine sotto otto note, da A a H alla tedesca, e poi di nuovo a partire da A.
library-cipher-alphabet = Le 26 lettere salgono su 26 tasti bianchi, a partire da un la grave.
library-cipher-german = Ogni lettera che in tedesco nomina una nota è quella nota; anche S, che è mi bemolle. Le altre lettere tacciono.
library-cipher-german-names = Ogni lettera che in tedesco nomina una nota è quella nota, e le lettere che insieme ne nominano una, come As o Es, sono una sola.
library-cipher-syllables = Dove nella parola stanno do, re, mi, fa, sol, la o si, diventano queste note.
library-cipher-german-syllables = Le lettere sono le note che nominano in tedesco, e così le sillabe do, re, mi, dove stanno nella parola.
library-cipher-vowels = Le vocali scelgono le sillabe ut, re, mi, fa, sol, la con la stessa vocale, e queste sono le note; così si faceva già intorno al 1500.
library-cipher-vowels-v = Le vocali scelgono le sillabe ut, re, mi, fa, sol, la con la stessa vocale; V vale come U.
library-cipher-chromatic = Le lettere stanno in ordine sotto tutte le note, naturali, con diesis e con bemolle.
library-cipher-ladder = Le 26 lettere salgono per 26 semitoni.
cipher-own = La cifra «{ $name }» dice quale nota ha ogni lettera: { $description }.
cipher-bare = La cifra «{ $name }» dice quale nota ha ogni lettera.
cipher-chosen = Dove la cifra lascia una scelta, il compositore ha preso: { $choices }.
cipher-choice = { $letter } come { $note }

## The short version, for a printed program

program-title = Per il programma di sala
program-facts = Il pezzo dura circa { $clock } ed è scritto per { $forces }.
program-practice = Secondo un’antica usanza, le lettere di un nome diventano note.
program-here = { $count ->
    [one] Qui si sente { $listed }.
   *[other] Qui si sentono { $listed }.
}
program-name = { $name } diventa { $notes }; si sente per la prima volta in { $movement } ({ $clock }).
program-name-brief = { $name } diventa { $notes }.
program-times = In tutto, i nomi suonano { $count } volte.
program-theme = All’origine del tema { $theme }: { $listed }.

## The guide

guide-title = Una guida a { $title }
guide-by = di { $composer }
guide-words-by = Testo di { $name }
guide-arranged-by = Arrangiamento di { $name }
guide-contents = In questa pagina
guide-piece = Il pezzo
guide-names = I nomi
guide-themes = I temi
guide-tunes = Le melodie che nessun nome ha dato
guide-forces = Gli esecutori: { $listed }.
guide-length = { $estimated ->
    [none] Dura circa { $clock }.
    [all] Dura circa { $clock }; è una stima, perché decidono gli esecutori.
   *[part] Dura circa { $clock }; di questo tempo { $part } sono stimati, perché lì decidono gli esecutori.
}
guide-movements = I movimenti, e quando comincia ciascuno:
guide-movement = { $title }, { $begins }, durata { $length }
guide-no-names = In questo pezzo nessun nome è diventato musica. Ecco le sue melodie.
guide-letters = Lettere e note
guide-silent = muta
guide-is = è
guide-first-heard = Si sente per la prima volta al minuto { $clock }, { $movement }, { $place } ({ $parts }).
guide-heard = { $count ->
    [one] Si sente una volta.
   *[other] Si sente { $count } volte.
}
guide-heard-repeated = Si sente { $count } volte, contando le ripetizioni.
guide-heard-as = { $form }: { $count }
guide-original = nella forma originale
guide-forms = Ecco come:
guide-inflected = Alcune delle sue lettere si sentono anche alterate, a discrezione del compositore: { $listed }.
guide-inflection = { $letter } { $how }
guide-remark = Il compositore: «{ $remark }»
guide-example-name = { $name } in note: { $notes }.
guide-example-theme = { $name }, passo { $number }: { $notes }.
guide-example-tune = La melodia { $name }: { $notes }.
guide-cut = L’esempio mostra l’inizio.
guide-chord = insieme { $notes }
guide-lettered = { $letter } è { $note }
guide-listen = Ascolta { $what }
guide-follow = Segui le note di { $what }
guide-whole = Tutti i passi di { $what }, uno dopo l’altro
guide-made-of = All’origine: { $listed }.
guide-estimate = I tempi sono calcolati dalla partitura; gli esecutori si prendono i loro.
guide-footer = Realizzato con Cavata dalla partitura.
guide-skip = Vai al testo

## Letters that are heard inflected

inflection-raised = alzata
inflection-lowered = abbassata
inflection-sharp = con un diesis
inflection-flat = con un bemolle
inflection-natural = senza alterazione
inflection-respelled = scritta altrimenti

## Material for a talk

talk-title = Appunti per la presentazione: { $title }
talk-about = Ogni numero sta per un’immagine, un suono e una frase in questa cartella.
talk-tune = Questa è una melodia che nessun nome ha dato.
talk-heading = { $number }. { $title }
talk-step = { $title }, passo { $number }
talk-place = { $clock }, { $movement }, { $place }
talk-places = Nel pezzo si sente ai minuti:
talk-more = e { $count ->
    [one] un’altra volta
   *[other] altre { $count } volte
}
