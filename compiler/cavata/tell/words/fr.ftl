# Les mots avec lesquels on parle d’une œuvre, en français. Le fichier est expliqué dans en.ftl.

## Lists

list-and = et

## The forms of a name

form-retrograde = à rebours
form-inversion = en renversement
form-chord = en accord
form-broken-chord = en accord brisé
form-woven = lettre à lettre avec un autre nom
form-canon = en canon
form-hocket = en hoquet
form-dialogue = en dialogue
form-over-bass = sur une pédale ou un ostinato
form-harmonized = harmonisé
form-augmentation = en augmentation
form-diminution = en diminution
form-rhythm = dans un rythme nouveau
form-transposed = transposé
form-expanded = avec des intervalles élargis
form-in-part = en partie
form-rotated = à partir d’une autre note
form-sequence = en marche
form-figured = avec des notes de passage ou des broderies
form-prime = forme originale

## Places of the piece

place-bar = mesure { $bar }
place-free = en temps libre

## The map

map-title = Carte de { $title }
map-about = Le temps va de gauche à droite, les parties sont l’une sous l’autre, et chaque nom a dans chaque partie sa propre rangée. Une marque est une apparition d’un nom. En haut on voit combien de notes commencent à chaque instant, celles qui viennent des noms en gris plus foncé.
map-length = durée { $clock }
map-density = notes par seconde
map-most = { $notes } au plus
map-lane = { $name }, { $place }
map-linked = Chaque marque mène à sa ligne du script.
map-nameless = notes qu’aucun nom n’a données
map-place = { $number ->
    [1] rangée du haut
    [2] deuxième rangée
    [3] troisième rangée
    [4] quatrième rangée
    [5] cinquième rangée
    [6] sixième rangée
    [7] septième rangée
   *[other] rangée { $number } depuis le haut
}
map-shape-solid = forme originale
map-shape-retrograde = rétrograde
map-shape-inversion = renversement
map-shape-both = rétrograde du renversement
map-shape-chord = accord
map-shape-broken = accord brisé
map-shape-woven = lettre à lettre, ou en hoquet
map-shape-part = deux fois moins haut : une partie des lettres

## Numbers, notes, intervals and lengths

number = { $count ->
    [2] deux
    [3] trois
    [4] quatre
    [5] cinq
    [6] six
    [7] sept
    [8] huit
    [9] neuf
    [10] dix
    [11] onze
    [12] douze
   *[other] { $count }
}
number-point = ,
note-letter = { $letter ->
    [C] do
    [D] ré
    [E] mi
    [F] fa
    [G] sol
    [A] la
   *[B] si
}
note = { $alter ->
    [-2] { note-letter } double bémol
    [-1] { note-letter } bémol
    [1] { note-letter } dièse
    [2] { note-letter } double dièse
   *[0] { note-letter }
}
mode = { $kind ->
    [major] { $tonic } majeur
    [minor] { $tonic } mineur
   *[other] le mode « { $name } »
}
interval-quality = { $quality ->
    [P] juste
    [M] majeure
    [m] mineure
    [aug] augmentée
   *[dim] diminuée
}
interval-size = { $size ->
    [1] une prime
    [2] une seconde
    [3] une tierce
    [4] une quarte
    [5] une quinte
    [6] une sixte
    [7] une septième
    [8] une octave
    [9] une neuvième
    [10] une dixième
    [11] une onzième
    [12] une douzième
    [13] une treizième
    [14] une quatorzième
   *[15] une double octave
}
interval = { $name ->
    [P1] un unisson
    [P8] une octave
    [P15] deux octaves
   *[other] { interval-size } { interval-quality }
}
interval-octaves = { number } octaves
interval-other = l’intervalle { $name }
value-one = { $unit ->
    [1] ronde
    [2] blanche
    [4] noire
    [8] croche
    [16] double croche
    [32] triple croche
    [64] quadruple croche
    [128] quintuple croche
   *[256] sextuple croche
}
value-many = { $unit ->
    [1] rondes
    [2] blanches
    [4] noires
    [8] croches
    [16] doubles croches
    [32] triples croches
    [64] quadruples croches
    [128] quintuples croches
   *[256] sextuples croches
}
value-a = une { value-one }
value-of = d’{ value-a }
length = { $count ->
    [1] { $dots ->
        [1] une { value-one } pointée
        [2] une { value-one } doublement pointée
       *[0] { value-a }
    }
   *[other] { $dots ->
        [1] { number } { value-many } pointées
        [2] { number } { value-many } doublement pointées
       *[0] { number } { value-many }
    }
}
share = { $share ->
    [3] { $count ->
        [one] un tiers
       *[other] { number } tiers
    }
    [5] { $count ->
        [one] un cinquième
       *[other] { number } cinquièmes
    }
    [7] { $count ->
        [one] un septième
       *[other] { number } septièmes
    }
    [9] { $count ->
        [one] un neuvième
       *[other] { number } neuvièmes
    }
    [11] { $count ->
        [one] un onzième
       *[other] { number } onzièmes
    }
    [13] { $count ->
        [one] un treizième
       *[other] { number } treizièmes
    }
    [15] { $count ->
        [one] un quinzième
       *[other] { number } quinzièmes
    }
   *[other] { $count }/{ $share }
}
length-shared = { share } { value-of }
length-each = { $count ->
    [one] une note aussi longue que { $length }
   *[other] { number } notes (chacune aussi longue que { $length })
}
length-rest = un silence aussi long que { $length }

## Which notes a step speaks of

selection-last = la dernière note
selection-note = la note { $number }
selection-letter = chaque { $letter }
selection-numbered-letter = la lettre { $number }
selection-range = les notes { $first } à { $last }
selection-every = chaque note
selection-onward = chaque note à partir de la note { $first }

## Words that a step chooses from

choice-ascending = vers le haut
choice-descending = vers le bas
choice-up = vers le haut
choice-down = vers le bas
choice-above = au-dessus
choice-below = au-dessous
choice-thirds = des tierces
choice-sixths = des sixtes
choice-triads = des accords parfaits
choice-close = proches les unes des autres
choice-open = éloignées les unes des autres
choice-cycle = , encore et encore, jusqu’à ce que la ligne et le rythme finissent ensemble

## What a step takes

thing-rhythm = le rythme « { $name } »
thing-figure = la figure « { $name } », qui dit quand sonne chaque note d’un accord
thing-rhythm-values = ces valeurs : { $values }
thing-even = des valeurs égales, chacune { $values }
quoted = « { $text } »
thing-motif = « { $name } »
thing-range = { $low } à { $high }
thing-name = le nom { $name }
thing-theme = le thème « { $name } »
thing-form = { $what } ({ $how })
thing-notes = une mélodie que le compositeur a inventée
thing-chord = un accord que le compositeur a choisi
thing-digits = les chiffres de { $text }, lus comme degrés d’une gamme
thing-symbols = des accords que le compositeur a choisis
thing-letters = les lettres de { $text }, lues comme durées
thing-line = une ligne que le compositeur a inventée

## What each step does, for those who do not read music

step-up-interval = Tout est joué { $interval } plus haut.
step-down-interval = Tout est joué { $interval } plus bas.
step-step-up-count-in-mode = Chaque note monte { $count ->
    [one] d’un degré
   *[other] de { $count } degrés
}, en { $mode }.
step-step-down-count-in-mode = Chaque note descend { $count ->
    [one] d’un degré
   *[other] de { $count } degrés
}, en { $mode }.
step-inverted-about-pitch = Tout est renversé autour de la note { $pitch } : ce qui montait descend d’autant.
step-inverted-in-mode-about-pitch = Tout est renversé, en { $mode }, autour de la note { $pitch } : ce qui montait descend d’autant de degrés.
step-from-pitch = Tout change d’octave, pour commencer par la note { $pitch }, plus haut ou plus bas.
step-within-range = Tout change d’octave, jusqu’à se trouver entre ces limites : { $range }.
step-closest = Les octaves sont choisies à nouveau : chaque note près de la précédente.
step-ascending = Les octaves sont choisies à nouveau : chaque note au-dessus de la précédente.
step-descending = Les octaves sont choisies à nouveau : chaque note au-dessous de la précédente.
step-expanded-count = Chaque distance à la première note { $count ->
    [one] reste la même
   *[other] devient { $count } fois plus grande
}.
step-sharp-notes = Le compositeur met un dièse devant { $notes }.
step-flat-notes = Le compositeur met un bémol devant { $notes }.
step-natural-notes = Le compositeur enlève l’altération devant { $notes }.
step-raised-notes = Le compositeur hausse { $notes } d’un demi-ton.
step-lowered-notes = Le compositeur baisse { $notes } d’un demi-ton.
step-respelled-simply-in-mode = Sur le papier, les notes portent maintenant les noms qui vont avec { $mode } ; le son est le même.
step-respelled-simply = Sur le papier, les notes portent maintenant des noms plus simples ; le son est le même.
step-respelled-notes-as-class = Sur le papier, { $class } remplace { $notes } ; le son est le même.
step-retrograde = Tout est joué à rebours, de la dernière note à la première.
step-rotated-count = Cela commence ailleurs : { $count ->
    [one] une note passe
   *[other] { $count } notes passent
} du début à la fin.
step-first-count = On ne prend que { $count ->
    [one] la première note
   *[other] les { $count } premières notes
}.
step-last-count = On ne prend que { $count ->
    [one] la dernière note
   *[other] les { $count } dernières notes
}.
step-notes-notes = On n’en prend que ceci : { $notes }.
step-without-notes = On joue sans { $notes }.
step-sequence-count-by-interval-up-down = On l’entend { $count } fois, chaque fois plus loin { $choice }, de cet intervalle : { $interval }.
step-diminution-ratio = Tout va { $ratio ->
    [two] deux
   *[other] { $ratio }
} fois plus vite.
step-augmentation-ratio = Tout devient { $ratio ->
    [two] deux
   *[other] { $ratio }
} fois plus long.
step-in-rhythm-cycle = Les notes prennent { $rhythm }{ $cycle }.
step-tied-notes = Les notes qui se répètent sont tenues au lieu d’être rejouées.
step-lengthened-notes-to-duration = Cela tient { $notes } aussi longtemps : { $duration }.
step-as-chord = Toutes les notes sonnent ensemble, en accord.
step-broken-ascending-descending = L’accord est brisé : ses notes se suivent, { $choice }.
step-bass = De chaque accord on n’entend que la note la plus grave.
step-top = De chaque accord on n’entend que la note la plus aiguë.
step-upper = De chaque accord il manque la note la plus grave.
step-inner = De chaque accord on n’entend que les notes intérieures, sans la plus grave ni la plus aiguë.
step-voice-count = De chaque accord on n’entend que la note numéro { $count }, comptée depuis la plus grave.
step-voiced-close-open = Les notes de l’accord sont { $choice }.
step-doubled-at-interval-above-below = Une deuxième note accompagne chaque note, { $choice }, à cet intervalle : { $interval }.
step-harmonized-in-mode-with-thirds-sixths-triads-above-below = À chaque note s’ajoutent { $choice } { $choice2 }, en { $mode }.
step-harmonized-with-motif = Chaque note repose sur un accord de { $motif }.
step-voiced-across-parts-below-motif = Les accords sont partagés entre les musiciens, tous sous cette mélodie : { $motif }.
step-voiced-across-parts = Les accords sont partagés entre les musiciens, de sorte que chacun bouge peu.
step-neighbors-in-mode = Les notes longues vont à la note voisine supérieure et reviennent, en { $mode }.
step-passing-in-mode = Là où un saut fait une tierce, la note intermédiaire le remplit, en { $mode }.
step-marked-notes-markings = Le compositeur ajoute : { $markings }.
step-crescendo-notes-dynamic-dynamic = Cela grandit de { $dynamic } à { $dynamic2 }.
step-diminuendo-notes-dynamic-dynamic = Cela décroît de { $dynamic } à { $dynamic2 }.
step-sung-notes-text-unslurred = C’est chanté sur ces paroles : { $text }.
step-sung-notes-verse-count-text-unslurred = La strophe { $count } est chantée sur ces paroles : { $text }.
step-spoken-notes-text = Ces paroles sont dites sans hauteur : { $text }.
step-spoken-notes-verse-count-text = Dans la strophe { $count }, ces paroles sont dites sans hauteur : { $text }.
step-chant-notes = C’est chanté librement, comme le plain-chant.
step-division-notes-quarter-half-full-double = On respire après { $notes }.
step-figured-notes-text = Dessous, des chiffres pour qui joue les accords : { $text }.
step-labeled-notes-text = Des mots accompagnent les notes : { $text }.
step-optional-notes = Le musicien peut laisser cela de côté : { $notes }.
step-slurred-notes = Les notes sont liées en un souffle ou un coup d’archet.
step-trill-notes-to-interval = Un trille orne { $notes }, avec la note située plus haut, à cet intervalle : { $interval }.
step-trill-notes = Un trille orne { $notes }.
step-turn-notes = Un gruppetto tourne autour : { $notes }.
step-mordent-notes = Un mordant orne { $notes } : vite à la note inférieure, et retour.
step-tremolo-notes-duration = Chaque note est répétée vite ; la valeur en est { $duration }.
step-tremolo-notes = Chaque note est répétée aussi vite que possible.
step-rolled-notes = Les accords sont arpégés depuis la note la plus grave.
step-glissando-notes = De là on glisse jusqu’à la note suivante : { $notes }.
step-graced-notes-by-motif = Des notes rapides de { $motif } mènent à ceci : { $notes }.
step-fermata-notes-by-duration = On s’arrête sur { $notes }, d’autant plus longtemps : { $duration }.
step-fermata-notes = On s’arrête sur { $notes }.
step-symbols-of-motif = Au-dessus se lisent les noms des accords de { $motif }.
step-without-symbols = Les noms des accords ne sont pas imprimés.
step-harmonic-notes-touching-interval = Un doigt effleure seulement la corde, et l’on entend un son harmonique.
step-harmonic-notes-on-class = La corde à vide { $class } est seulement effleurée, et l’on entend un son harmonique.
step-sul-notes-class = C’est joué sur la corde { $class }.
step-played-notes-on-string-count = C’est joué sur la corde { $count }, comptée depuis la plus aiguë.
step-sustain-pedal-notes = La pédale laisse résonner.
step-on-instrument = Pour cela, le musicien change d’instrument : { $instrument }.
step-x-count = On l’entend { $count ->
    [one] une fois
   *[other] { $count } fois
}.
step-for-duration = On l’entend encore et encore, jusqu’à remplir ce temps : { $duration }.
step-held-duration = Cela dure maintenant { $duration }.
inflecting = { $by ->
    [1] Le compositeur hausse { $notes } d’un demi-ton.
    [-1] Le compositeur baisse { $notes } d’un demi-ton.
    [2] Le compositeur hausse { $notes } d’un ton.
   *[-2] Le compositeur baisse { $notes } d’un ton.
}

## Combinations

combination-weave = Les notes sont prises tour à tour, une de chaque : { $listed }.
combination-together = Ensemble sonnent { $listed }.
combination-canon = { $capital } : on se répond à soi-même, un peu plus tard, comme dans une ronde.
combination-stretto = { $capital } : on se répond à soi-même avant d’avoir fini.
combination-dialogue = Les musiciens se relaient avec : { $listed }.
combination-hocket = Les notes sont réparties entre plusieurs musiciens, l’un après l’autre : { $listed }.
combination-pedal-point = Dessous, une seule note tenue : { $listed }.
combination-ostinato = Dessous, une figure qui revient toujours : { $listed }.

## How a theme came about

derivation-begins = Point de départ : { $what }.
derivation-own-step = Cela passe par « { $name } », un procédé du compositeur.
derivation-library-step = Cela passe par « { $name } ».
derivation-followed = Puis vient { $what }.

## Ciphers

library-cipher-french = Les lettres se rangent dans l’ordre sous les sept notes la si do ré mi fa sol, puis de nouveau à partir du la : H est encore la, I est si.
library-cipher-french-h = Les lettres se rangent dans l’ordre sous les sept notes, du la au sol, encore et encore ; mais la lettre H est le si.
library-cipher-eight = Les lettres se rangent dans l’ordre sous huit notes, de A à H à la manière allemande, puis de nouveau à partir de A.
library-cipher-alphabet = Les 26 lettres montent sur 26 touches blanches, à partir d’un la grave.
library-cipher-german = Chaque lettre qui nomme une note en allemand est cette note ; S aussi, qui est mi bémol. Les autres lettres se taisent.
library-cipher-german-names = Chaque lettre qui nomme une note en allemand est cette note, et des lettres qui en nomment une ensemble, comme As ou Es, n’en font qu’une.
library-cipher-syllables = Là où do, ré, mi, fa, sol, la ou si se trouvent dans le mot, ils deviennent ces notes.
library-cipher-german-syllables = Les lettres sont les notes qu’elles nomment en allemand, de même que les syllabes do, ré, mi, là où elles se trouvent dans le mot.
library-cipher-vowels = Les voyelles choisissent les syllabes ut, ré, mi, fa, sol, la qui ont la même voyelle, et ce sont les notes ; on faisait déjà ainsi vers 1500.
library-cipher-vowels-v = Les voyelles choisissent les syllabes ut, ré, mi, fa, sol, la qui ont la même voyelle ; V compte pour U.
library-cipher-chromatic = Les lettres se rangent dans l’ordre sous toutes les notes, naturelles, diésées et bémolisées.
library-cipher-ladder = Les 26 lettres montent par 26 demi-tons.
cipher-own = Le chiffre « { $name } » dit quelle note a chaque lettre : { $description }.
cipher-bare = Le chiffre « { $name } » dit quelle note a chaque lettre.
cipher-chosen = Là où le chiffre laisse un choix, le compositeur a pris : { $choices }.
cipher-choice = { $letter } comme { $note }

## The short version, for a printed program

program-title = Pour le programme
program-facts = L’œuvre, qui dure environ { $clock }, est écrite pour { $forces }.
program-practice = Selon une vieille coutume, les lettres d’un nom deviennent des notes.
program-here = On entend ici { $listed }.
program-name = { $name } devient { $notes } ; on l’entend pour la première fois dans { $movement } ({ $clock }).
program-name-brief = { $name } devient { $notes }.
program-times = En tout, les noms se font entendre { $count } fois.
program-theme = À l’origine du thème { $theme } : { $listed }.

## The guide

guide-title = Un guide pour { $title }
guide-by = par { $composer }
guide-words-by = Texte de { $name }
guide-arranged-by = Arrangement de { $name }
guide-contents = Sur cette page
guide-piece = L’œuvre
guide-names = Les noms
guide-themes = Les thèmes
guide-tunes = Les mélodies qu’aucun nom n’a données
guide-forces = Les musiciens : { $listed }.
guide-length = { $estimated ->
    [none] Cela dure environ { $clock }.
    [all] Cela dure environ { $clock } ; c’est une estimation, car les musiciens en décident.
   *[part] Cela dure environ { $clock } ; de ce temps, { $part } sont estimés, car les musiciens en décident.
}
guide-movements = Les mouvements, et quand chacun commence :
guide-movement = { $title }, { $begins }, durée { $length }
guide-no-names = Dans cette œuvre, aucun nom n’est devenu musique. Voici ses mélodies.
guide-letters = Lettres et notes
guide-silent = muette
guide-is = est
guide-first-heard = On l’entend pour la première fois à { $clock }, { $movement }, { $place } ({ $parts }).
guide-heard = { $count ->
    [one] On l’entend une fois.
   *[other] On l’entend { $count } fois.
}
guide-heard-repeated = On l’entend { $count } fois, reprises comprises.
guide-heard-as = { $form } : { $count }
guide-original = sous sa forme originale
guide-forms = Voici comment :
guide-inflected = Quelques-unes de ses lettres s’entendent aussi altérées, au gré du compositeur : { $listed }.
guide-inflection = { $letter } { $how }
guide-remark = Le compositeur : « { $remark } »
guide-example-name = { $name } en notes : { $notes }.
guide-example-theme = { $name }, étape { $number } : { $notes }.
guide-example-tune = La mélodie { $name } : { $notes }.
guide-cut = L’exemple montre le début.
guide-chord = ensemble { $notes }
guide-lettered = { $letter } est { $note }
guide-listen = Écouter { $what }
guide-follow = Suivre les notes de { $what }
guide-whole = Toutes les étapes de { $what }, l’une après l’autre
guide-made-of = À l’origine : { $listed }.
guide-estimate = Les temps sont calculés d’après la partition ; les musiciens prennent les leurs.
guide-footer = Fait avec Cavata d’après la partition.
guide-skip = Aller au texte

## Letters that are heard inflected

inflection-raised = haussée
inflection-lowered = baissée
inflection-sharp = avec un dièse
inflection-flat = avec un bémol
inflection-natural = sans altération
inflection-respelled = écrite autrement

## Material for a talk

talk-title = Notes pour la présentation : { $title }
talk-about = Chaque numéro désigne une image, un son et une phrase dans ce dossier.
talk-tune = Voici une mélodie qu’aucun nom n’a donnée.
talk-heading = { $number }. { $title }
talk-step = { $title }, étape { $number }
talk-place = { $clock }, { $movement }, { $place }
talk-places = Dans l’œuvre, on l’entend à :
talk-more = et encore { $count ->
    [one] une fois
   *[other] { $count } fois
}
