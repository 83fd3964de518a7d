# Las palabras con las que se habla de una obra, en español. El archivo se explica en en.ftl.

## Lists

# Before the vowel i, but not before a diphthong, as in «cobre y hierro». Source: Real Academia Española, Diccionario
# panhispánico de dudas, "y" (from memory).
list-and = { $before ->
    [i] e
   *[other] y
}

## The forms of a name

form-retrograde = en movimiento retrógrado
form-inversion = en inversión
form-chord = como acorde
form-broken-chord = como acorde quebrado
form-woven = entretejido letra por letra
form-canon = en canon
form-hocket = en hoquetus
form-dialogue = en diálogo
form-over-bass = sobre un pedal o un ostinato
form-harmonized = armonizado
form-augmentation = en aumentación
form-diminution = en disminución
form-rhythm = en un ritmo nuevo
form-transposed = transportado
form-expanded = con intervalos ensanchados
form-in-part = en parte
form-rotated = desde otra nota
form-sequence = en progresión
form-figured = con notas de paso o bordaduras
form-prime = forma original

## Places of the piece

place-bar = compás { $bar }
place-free = en tiempo libre

## The map

map-title = Mapa de { $title }
map-about = El tiempo va de izquierda a derecha, las partes están una debajo de otra y cada nombre tiene en cada parte una fila propia. Una marca es una aparición de un nombre. Arriba se ve cuántas notas comienzan en cada momento, las que nacen de nombres en gris más oscuro.
map-length = duración { $clock }
map-density = notas por segundo
map-most = { $notes } como máximo
map-lane = { $name }, { $place }
map-linked = Cada marca lleva a su línea en el guion.
map-nameless = notas que ningún nombre dio
map-place = { $number ->
    [1] fila de arriba
    [2] segunda fila
    [3] tercera fila
    [4] cuarta fila
    [5] quinta fila
    [6] sexta fila
    [7] séptima fila
   *[other] fila { $number } desde arriba
}
map-shape-solid = forma original
map-shape-retrograde = retrógrado
map-shape-inversion = inversión
map-shape-both = retrógrado de la inversión
map-shape-chord = acorde
map-shape-broken = acorde quebrado
map-shape-woven = entretejido, o en hoquetus
map-shape-part = la mitad de alto: no todas sus letras

## Numbers, notes, intervals and lengths

number = { $count ->
    [2] dos
    [3] tres
    [4] cuatro
    [5] cinco
    [6] seis
    [7] siete
    [8] ocho
    [9] nueve
    [10] diez
    [11] once
    [12] doce
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
    [-2] { note-letter } doble bemol
    [-1] { note-letter } bemol
    [1] { note-letter } sostenido
    [2] { note-letter } doble sostenido
   *[0] { note-letter }
}
mode = { $kind ->
    [major] { $tonic } mayor
    [minor] { $tonic } menor
   *[other] el modo «{ $name }»
}
interval-quality = { $quality ->
    [P] justa
    [M] mayor
    [m] menor
    [aug] aumentada
   *[dim] disminuida
}
interval-size = { $size ->
    [1] una primera
    [2] una segunda
    [3] una tercera
    [4] una cuarta
    [5] una quinta
    [6] una sexta
    [7] una séptima
    [8] una octava
    [9] una novena
    [10] una décima
    [11] una undécima
    [12] una duodécima
    [13] una decimotercera
    [14] una decimocuarta
   *[15] una doble octava
}
interval = { $name ->
    [P1] un unísono
    [P8] una octava
    [P15] dos octavas
   *[other] { interval-size } { interval-quality }
}
interval-octaves = { number } octavas
interval-other = el intervalo { $name }
value-one = { $unit ->
    [1] redonda
    [2] blanca
    [4] negra
    [8] corchea
    [16] semicorchea
    [32] fusa
    [64] semifusa
    [128] garrapatea
   *[256] semigarrapatea
}
value-many = { value-one }s
value-a = una { value-one }
value-of = de { value-a }
length = { $count ->
    [1] { $dots ->
        [1] una { value-one } con puntillo
        [2] una { value-one } con doble puntillo
       *[0] { value-a }
    }
   *[other] { $dots ->
        [1] { number } { value-many } con puntillo
        [2] { number } { value-many } con doble puntillo
       *[0] { number } { value-many }
    }
}
share = { $share ->
    [3] { $count ->
        [one] un tercio
       *[other] { number } tercios
    }
    [5] { $count ->
        [one] un quinto
       *[other] { number } quintos
    }
    [7] { $count ->
        [one] un séptimo
       *[other] { number } séptimos
    }
    [9] { $count ->
        [one] un noveno
       *[other] { number } novenos
    }
    [11] { $count ->
        [one] un onceavo
       *[other] { number } onceavos
    }
    [13] { $count ->
        [one] un treceavo
       *[other] { number } treceavos
    }
    [15] { $count ->
        [one] un quinceavo
       *[other] { number } quinceavos
    }
   *[other] { $count }/{ $share }
}
length-shared = { share } { value-of }
length-each = { $count ->
    [one] una nota tan larga como { $length }
   *[other] { number } notas (cada una tan larga como { $length })
}
length-rest = un silencio tan largo como { $length }

## Which notes a step speaks of

selection-last = la última nota
selection-note = la nota { $number }
selection-letter = cada { $letter }
selection-numbered-letter = la letra { $number }
selection-range = las notas { $first } a { $last }
selection-every = cada nota
selection-onward = cada nota desde la nota { $first }

## Words that a step chooses from

choice-ascending = hacia arriba
choice-descending = hacia abajo
choice-up = hacia arriba
choice-down = hacia abajo
choice-above = por encima
choice-below = por debajo
choice-thirds = terceras
choice-sixths = sextas
choice-triads = tríadas
choice-close = cerca unas de otras
choice-open = lejos unas de otras
choice-cycle = , una y otra vez, hasta que línea y ritmo terminan juntos

## What a step takes

thing-rhythm = el ritmo «{ $name }»
thing-figure = la figura «{ $name }», que dice cuándo suena cada nota de un acorde
thing-rhythm-values = estos valores: { $values }
thing-even = valores iguales, cada uno { $values }
quoted = «{ $text }»
thing-motif = «{ $name }»
thing-range = { $low } y { $high }
thing-name = el nombre { $name }
thing-theme = el tema «{ $name }»
thing-form = { $what } ({ $how })
thing-notes = una melodía inventada por el compositor
thing-chord = un acorde elegido por el compositor
thing-digits = las cifras de { $text }, leídas como grados de una escala
thing-symbols = acordes elegidos por el compositor
thing-letters = las letras de { $text }, leídas como duraciones
thing-line = una línea inventada por el compositor

## What each step does, for those who do not read music

step-up-interval = Todo sube { $interval }.
step-down-interval = Todo baja { $interval }.
step-step-up-count-in-mode = Cada nota sube { $count ->
    [one] un grado
   *[other] { $count } grados
}, en { $mode }.
step-step-down-count-in-mode = Cada nota baja { $count ->
    [one] un grado
   *[other] { $count } grados
}, en { $mode }.
step-inverted-about-pitch = Todo se invierte en torno a la nota { $pitch }: lo que subía baja otro tanto.
step-inverted-in-mode-about-pitch = Todo se invierte, en { $mode }, en torno a la nota { $pitch }: lo que subía baja otros tantos grados.
step-from-pitch = Todo cambia de octava, para comenzar en la nota { $pitch }, más arriba o más abajo.
step-within-range = Todo cambia de octava, hasta quedar entre { $range }.
step-closest = Las octavas se eligen de nuevo: cada nota cerca de la anterior.
step-ascending = Las octavas se eligen de nuevo: cada nota por encima de la anterior.
step-descending = Las octavas se eligen de nuevo: cada nota por debajo de la anterior.
step-expanded-count = Cada distancia desde la primera nota { $count ->
    [one] queda igual
   *[other] se hace { $count } veces mayor
}.
step-sharp-notes = El compositor pone un sostenido ante { $notes }.
step-flat-notes = El compositor pone un bemol ante { $notes }.
step-natural-notes = El compositor quita la alteración ante { $notes }.
step-raised-notes = El compositor sube un semitono { $notes }.
step-lowered-notes = El compositor baja un semitono { $notes }.
step-respelled-simply-in-mode = En el papel las notas llevan ahora los nombres que van con { $mode }; suena igual.
step-respelled-simply = En el papel las notas llevan ahora nombres más sencillos; suena igual.
step-respelled-notes-as-class = En el papel { $class } sustituye esto: { $notes }; suena igual.
step-retrograde = Todo suena en movimiento retrógrado, de la última nota a la primera.
step-rotated-count = Comienza en otro lugar: { $count ->
    [one] una nota pasa
   *[other] { $count } notas pasan
} del principio al final.
step-first-count = { $count ->
    [one] Se toma solo la primera nota
   *[other] Se toman solo las primeras { $count } notas
}.
step-last-count = { $count ->
    [one] Se toma solo la última nota
   *[other] Se toman solo las últimas { $count } notas
}.
step-notes-notes = De ello se toma solo esto: { $notes }.
step-without-notes = Suena sin { $notes }.
step-sequence-count-by-interval-up-down = Suena { $count } veces, cada vez más allá { $choice }, por este intervalo: { $interval }.
step-diminution-ratio = Todo va { $ratio ->
    [two] dos
   *[other] { $ratio }
} veces más rápido.
step-augmentation-ratio = Todo se hace { $ratio ->
    [two] dos
   *[other] { $ratio }
} veces más largo.
step-in-rhythm-cycle = Las notas toman { $rhythm }{ $cycle }.
step-tied-notes = Las notas que se repiten se mantienen en vez de tocarse de nuevo.
step-lengthened-notes-to-duration = Se mantiene { $notes } este tiempo: { $duration }.
step-as-chord = Todas las notas suenan a la vez, como acorde.
step-broken-ascending-descending = El acorde se quiebra: sus notas se siguen, { $choice }.
step-bass = De cada acorde suena solo la nota más grave.
step-top = De cada acorde suena solo la nota más aguda.
step-upper = A cada acorde le falta la nota más grave.
step-inner = De cada acorde suenan solo las notas interiores, sin la más grave ni la más aguda.
step-voice-count = De cada acorde suena solo la nota número { $count }, contada desde la más grave.
step-voiced-close-open = Las notas del acorde están { $choice }.
step-doubled-at-interval-above-below = Una segunda nota acompaña a cada nota, { $choice }, a este intervalo: { $interval }.
step-harmonized-in-mode-with-thirds-sixths-triads-above-below = A cada nota se añaden { $choice } { $choice2 }, en { $mode }.
step-harmonized-with-motif = Cada nota descansa sobre un acorde de { $motif }.
step-voiced-across-parts-below-motif = Los acordes se reparten entre los intérpretes, todos por debajo de esta melodía: { $motif }.
step-voiced-across-parts = Los acordes se reparten entre los intérpretes, de modo que cada uno se mueve poco.
step-neighbors-in-mode = Las notas largas van a la nota vecina superior y vuelven, en { $mode }.
step-passing-in-mode = Donde un salto es de tercera, lo llena la nota intermedia, en { $mode }.
step-marked-notes-markings = El compositor añade: { $markings }.
step-crescendo-notes-dynamic-dynamic = Crece de { $dynamic } a { $dynamic2 }.
step-diminuendo-notes-dynamic-dynamic = Disminuye de { $dynamic } a { $dynamic2 }.
step-sung-notes-text-unslurred = Se canta con estas palabras: { $text }.
step-sung-notes-verse-count-text-unslurred = La estrofa { $count } se canta con estas palabras: { $text }.
step-spoken-notes-text = Estas palabras se dicen sin altura: { $text }.
step-spoken-notes-verse-count-text = En la estrofa { $count } estas palabras se dicen sin altura: { $text }.
step-chant-notes = Se canta libremente, como el canto llano.
step-division-notes-quarter-half-full-double = Se respira después de { $notes }.
step-figured-notes-text = Debajo hay cifras para quien toca los acordes: { $text }.
step-labeled-notes-text = Junto a las notas hay palabras: { $text }.
step-optional-notes = El intérprete puede omitir esto: { $notes }.
step-slurred-notes = Las notas se ligan en un aliento o en un golpe de arco.
step-trill-notes-to-interval = Un trino adorna { $notes }, con la nota más aguda por este intervalo: { $interval }.
step-trill-notes = Un trino adorna { $notes }.
step-turn-notes = Un grupeto gira en torno a { $notes }.
step-mordent-notes = Un mordente adorna { $notes }: un instante a la nota inferior, y de vuelta.
step-tremolo-notes-duration = Cada nota se repite deprisa; el valor es { $duration }.
step-tremolo-notes = Cada nota se repite tan deprisa como se puede.
step-rolled-notes = Los acordes se arpegian desde la nota más grave.
step-glissando-notes = Desde aquí se desliza hasta la nota siguiente: { $notes }.
step-graced-notes-by-motif = Notas rápidas de { $motif } llevan a esto: { $notes }.
step-fermata-notes-by-duration = Se detiene en { $notes }, y tanto más tiempo: { $duration }.
step-fermata-notes = Se detiene en { $notes }.
step-symbols-of-motif = Encima están los nombres de los acordes de { $motif }.
step-without-symbols = Los nombres de los acordes no se imprimen.
step-harmonic-notes-touching-interval = Un dedo solo roza la cuerda, y suena un armónico.
step-harmonic-notes-on-class = La cuerda al aire { $class } solo se roza, y suena un armónico.
step-sul-notes-class = Se toca en la cuerda { $class }.
step-played-notes-on-string-count = Se toca en la cuerda { $count }, contada desde la más aguda.
step-sustain-pedal-notes = El pedal deja que resuene.
step-on-instrument = Para esto el intérprete cambia de instrumento: { $instrument }.
step-x-count = Suena { $count ->
    [one] una vez
   *[other] { $count } veces
}.
step-for-duration = Suena una y otra vez, hasta llenar este tiempo: { $duration }.
step-held-duration = Ahora dura { $duration }.
inflecting = { $by ->
    [1] El compositor sube un semitono { $notes }.
    [-1] El compositor baja un semitono { $notes }.
    [2] El compositor sube un tono { $notes }.
   *[-2] El compositor baja un tono { $notes }.
}

## Combinations

combination-weave = Las notas se toman por turno, una de cada: { $listed }.
combination-together = A la vez suenan { $listed }.
combination-canon = { $capital }: la respuesta es lo mismo, un poco más tarde, como en una ronda.
combination-stretto = { $capital }: la respuesta es lo mismo, antes de que haya terminado.
combination-dialogue = Los intérpretes se turnan con: { $listed }.
combination-hocket = Las notas se reparten entre varios intérpretes, uno tras otro: { $listed }.
combination-pedal-point = Debajo queda una sola nota: { $listed }.
combination-ostinato = Debajo gira una figura que siempre vuelve: { $listed }.

## How a theme came about

derivation-begins = Punto de partida: { $what }.
derivation-own-step = Pasa por «{ $name }», un recurso del compositor.
derivation-library-step = Pasa por «{ $name }».
derivation-followed = Luego viene { $what }.

## Ciphers

library-cipher-french = Las letras se ponen en orden bajo las siete notas la si do re mi fa sol, y después de nuevo a partir del la: H vuelve a ser la, I es si.
library-cipher-french-h = Las letras se ponen en orden bajo las siete notas, del la al sol, una y otra vez; pero la letra H es el si.
library-cipher-eight = Las letras se ponen en orden bajo ocho notas, de A a H a la manera alemana, y después de nuevo desde A.
library-cipher-alphabet = Las 26 letras suben por 26 teclas blancas, desde un la grave.
library-cipher-german = Cada letra que en alemán nombra una nota es esa nota; también S, que es mi bemol. Las demás letras callan.
library-cipher-german-names = Cada letra que en alemán nombra una nota es esa nota, y las letras que juntas nombran una, como As o Es, son una sola.
library-cipher-syllables = Donde en la palabra están do, re, mi, fa, sol, la o si, se convierten en esas notas.
library-cipher-german-syllables = Las letras son las notas que nombran en alemán, y lo mismo las sílabas do, re, mi, donde están en la palabra.
library-cipher-vowels = Las vocales eligen las sílabas ut, re, mi, fa, sol, la que tienen la misma vocal, y esas son las notas; así se hacía ya hacia 1500.
library-cipher-vowels-v = Las vocales eligen las sílabas ut, re, mi, fa, sol, la que tienen la misma vocal; V cuenta como U.
library-cipher-chromatic = Las letras se ponen en orden bajo todas las notas, naturales, con sostenido y con bemol.
library-cipher-ladder = Las 26 letras suben por 26 semitonos.
cipher-own = La cifra «{ $name }» dice qué nota tiene cada letra: { $description }.
cipher-bare = La cifra «{ $name }» dice qué nota tiene cada letra.
cipher-chosen = Donde la cifra deja elegir, el compositor ha tomado: { $choices }.
cipher-choice = { $letter } como { $note }

## The short version, for a printed program

program-title = Para el programa de mano
program-facts = La obra dura alrededor de { $clock } y está escrita para { $forces }.
program-practice = Según una vieja costumbre, las letras de un nombre se convierten en notas.
program-here = { $count ->
    [one] Aquí se oye { $listed }.
   *[other] Aquí se oyen { $listed }.
}
program-name = { $name } se convierte en { $notes }; se oye por primera vez en { $movement } ({ $clock }).
program-name-brief = { $name } se convierte en { $notes }.
program-times = En total, los nombres suenan { $count } veces.
program-theme = El tema { $theme } tiene su origen en { $listed }.

## The guide

guide-title = Una guía para { $title }
guide-by = de { $composer }
guide-words-by = Texto de { $name }
guide-arranged-by = Arreglo de { $name }
guide-contents = En esta página
guide-piece = La obra
guide-names = Los nombres
guide-themes = Los temas
guide-tunes = Las melodías que ningún nombre dio
guide-forces = Intérpretes: { $listed }.
guide-length = { $estimated ->
    [none] Dura alrededor de { $clock }.
    [all] Dura alrededor de { $clock }; es una estimación, porque deciden los intérpretes.
   *[part] Dura alrededor de { $clock }; de ese tiempo, { $part } se estiman, porque ahí deciden los intérpretes.
}
guide-movements = Los movimientos, y cuándo comienza cada uno:
guide-movement = { $title }, { $begins }, duración { $length }
guide-no-names = En esta obra ningún nombre se convirtió en música. Estas son sus melodías.
guide-letters = Letras y notas
guide-silent = muda
guide-is = es
guide-first-heard = Se oye por primera vez en el minuto { $clock }, { $movement }, { $place } ({ $parts }).
guide-heard = { $count ->
    [one] Se oye una vez.
   *[other] Se oye { $count } veces.
}
guide-heard-repeated = Se oye { $count } veces, contando las repeticiones.
guide-heard-as = { $form }: { $count }
guide-original = en su forma original
guide-forms = Así se oye:
guide-inflected = Algunas de sus letras se oyen también alteradas, a discreción del compositor: { $listed }.
guide-inflection = { $letter } { $how }
guide-remark = El compositor: «{ $remark }»
guide-example-name = { $name } en notas: { $notes }.
guide-example-theme = { $name }, paso { $number }: { $notes }.
guide-example-tune = La melodía { $name }: { $notes }.
guide-cut = El ejemplo muestra el comienzo.
guide-chord = a la vez { $notes }
guide-lettered = { $letter } es { $note }
guide-listen = Escuchar { $what }
guide-follow = Seguir las notas de { $what }
guide-whole = Todos los pasos de { $what }, uno tras otro
guide-made-of = Tiene su origen en { $listed }.
guide-estimate = Los tiempos se calculan a partir de la partitura; cada intérprete se toma los suyos.
guide-footer = Hecho con Cavata a partir de la partitura.
guide-skip = Ir al texto

## Letters that are heard inflected

inflection-raised = subida
inflection-lowered = bajada
inflection-sharp = con un sostenido
inflection-flat = con un bemol
inflection-natural = sin alteración
inflection-respelled = escrita de otro modo

## Material for a talk

talk-title = Notas para la presentación: { $title }
talk-about = Cada número designa una imagen, un sonido y una frase en esta carpeta.
talk-tune = Esta es una melodía que ningún nombre dio.
talk-heading = { $number }. { $title }
talk-step = { $title }, paso { $number }
talk-place = { $clock }, { $movement }, { $place }
talk-places = En la obra se oye en:
talk-more = y { $count ->
    [one] otra vez
   *[other] otras { $count } veces
}
