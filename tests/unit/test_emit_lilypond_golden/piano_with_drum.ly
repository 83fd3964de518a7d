\version "2.24.0"
\language "english"
#(set-global-staff-size 20)
\paper
{
    paper-width = 210\mm
    paper-height = 297\mm
    two-sided = ##t
    inner-margin = 18\mm
    outer-margin = 13\mm
    indent = 25.5\mm
    short-indent = 14.8\mm
}
\paper
{
    top-margin = 12\mm
    bottom-margin = 12\mm
    oddHeaderMarkup = \markup \fill-line
    {
        \null
        \unless \on-first-page-of-part \fromproperty #'header:running
        \unless \on-first-page-of-part \abs-fontsize #10 \fromproperty #'page:page-number-string
    }
    evenHeaderMarkup = \markup \fill-line
    {
        \unless \on-first-page-of-part \abs-fontsize #10 \fromproperty #'page:page-number-string
        \unless \on-first-page-of-part \fromproperty #'header:running
        \null
    }
    % A last page that is filled like the others draws systems to it, so that none stands there alone; what it lacks
    % lies mostly at its foot.
    ragged-last-bottom = ##f
    top-system-spacing.padding = #2
    last-bottom-spacing.stretchability = #120
    system-system-spacing.basic-distance = #12
    system-system-spacing.padding = #2
    markup-system-spacing.stretchability = #6
    score-system-spacing.stretchability = #30
    scoreTitleMarkup = \markup \column
    {
        \vspace #0.5
        \fill-line { \abs-fontsize #14 \bold \fromproperty #'header:piece }
        \vspace #0.3
    }
}
#(define ((within-line offset) grob)
  (let* ((x (offset grob))
         (system (ly:grob-system grob))
         (column (ly:grob-parent grob X))
         (extent (ly:grob-property grob 'X-extent))
         (width (ly:output-def-lookup (ly:grob-layout grob) 'line-width)))
   (if (and (ly:grob? system) (interval-sane? extent))
    (min x (- width (cdr extent) (ly:grob-relative-coordinate column system X)))
    x)))
% What ends the line is so far off that its words, and two dashes, stand before it: they would be left out where the
% line has no length, or reach over the end of the staff. The words are known only when it is asked for.
#(define (room-for-words line)
  (let ((words (assoc-get 'text (assoc-get 'left (ly:grob-property line 'bound-details) '()))))
   (if (markup? words) (+ 4 (interval-length (ly:stencil-extent (grob-interpret-markup line words) X))) 0)))
% More than a letter shows, so that no tempo touches it.
#(define (wider-outline mark)
  (let ((drawn (ly:grob-property mark 'stencil)))
   (ly:skylines-for-stencil
    (make-filled-box-stencil (interval-widen (ly:stencil-extent drawn X) 0.8) (ly:stencil-extent drawn Y))
    X)))
% The dashed line after the words of a change of tempo stands over the score as those words do. Players' own lines of
% text, as over notes on one string, are events without this id.
#(define (Tempo_dashes_engraver context)
  (let ((line #f) (begins #f) (ends #f))
   (define (finish engraver)
    (if line
     (begin
      (ly:spanner-set-bound! line RIGHT (ly:context-property context 'currentCommandColumn))
      (ly:engraver-announce-end-grob engraver line line)
      (set! line #f))))
   (make-engraver
    (listeners
     ((text-span-event engraver event)
      (if (eq? 'tempo (ly:event-property event 'spanner-id))
       (if (= START (ly:event-property event 'span-direction)) (set! begins event) (set! ends event)))))
    ((process-music engraver)
     (if (or ends begins) (finish engraver))
     (if begins
      (begin
       (set! line (ly:engraver-make-grob engraver 'TextSpanner begins))
       (ly:grob-set-property! line 'after-line-breaking ly:side-position-interface::move-to-extremal-staff)
       (ly:grob-set-property! line 'outside-staff-priority 1300)
       (ly:grob-set-property! line 'direction UP)
       (ly:grob-set-nested-property! line '(bound-details left-broken text) #f)
       (ly:grob-set-nested-property! line '(bound-details right padding) 1.5)
       (ly:grob-set-property! line 'minimum-length room-for-words)
       (ly:grob-set-property! line 'springs-and-rods ly:spanner::set-spacing-rods)
       (ly:spanner-set-bound! line LEFT (ly:context-property context 'currentMusicalColumn)))))
    ((stop-translation-timestep engraver) (set! begins #f) (set! ends #f))
    ((finalize engraver) (finish engraver)))))
% A chord with one step in two inflections, and seconds beside them, has more columns than the two on the sides of its
% stem: each head stands in the first in which it touches no other. Where two voices meet LilyPond moves whole chords
% by its own two columns, and fails if there are others.
#(define (heads-in-columns stem)
  (let* ((done (ly:stem::calc-positioning-done stem))
         (way (ly:grob-property stem 'direction))
         (place (lambda (head) (* way (ly:grob-staff-position head))))
         (x (lambda (head) (ly:grob-relative-coordinate head (ly:grob-parent head X) X)))
         (all (ly:grob-object stem 'note-heads))
         (heads (stable-sort (if (ly:grob-array? all) (ly:grob-array->list all) '())
                 (lambda (one other) (< (place one) (place other)))))
         (places (map place heads)))
   (if (and (< (length (delete-duplicates places)) (length places))
        (not (eq? 'NoteCollision (grob::name (ly:grob-parent (ly:grob-parent (car heads) X) X)))))
    (let* ((beside (apply (if (> way 0) min max) (map x heads)))
           (width (interval-length (ly:grob-extent (car heads) (car heads) X)))
           (step (apply max (- width 0.1) (map (lambda (head) (abs (- (x head) beside))) heads)))
           (from-stem (lambda (column) (if (zero? column) 0 (+ step (* width (1- column)))))))
     (fold
      (lambda (head set)
       (let ((column (let free ((column 0))
                      (if (any (lambda (other) (and (= column (car other)) (<= (- (place head) (cdr other)) 1))) set)
                       (free (1+ column))
                       column))))
        (ly:grob-translate-axis! head (- (+ beside (* way (from-stem column))) (x head)) X)
        (cons (cons column (place head)) set)))
      '() heads)))
   done))
% A tie that goes on through a whole line has no head on it, and LilyPond would leave it out: it is drawn there at the
% height at which it begins.
#(define (through-a-line tie)
  (if (not (any (lambda (side) (memq 'note-head-interface (ly:grob-interfaces (ly:spanner-bound tie side)))) '(-1 1)))
   (let* ((begin (first (ly:spanner-broken-into (ly:grob-original tie))))
          (column (ly:grob-parent tie Y))
          (ties (ly:grob-object column 'ties))
          (edge (lambda (side)
                 (let* ((bound (ly:spanner-bound tie side))
                        (extent (ly:grob-extent bound (ly:grob-system tie) X)))
                  (- (if (interval-sane? extent) ((if (= side LEFT) cdr car) extent)
                      (ly:grob-relative-coordinate bound (ly:grob-system tie) X))
                   (ly:grob-relative-coordinate tie (ly:grob-system tie) X))))))
    (if (ly:grob-array? ties)
     (ly:grob-set-object! column 'ties (ly:grob-list->grob-array (delq tie (ly:grob-array->list ties)))))
    (ly:grob-set-property! tie 'direction (lambda (tie) (ly:grob-property begin 'direction)))
    (ly:grob-set-property! tie 'control-points
     (lambda (tie)
      (let* ((shape (ly:grob-property begin 'control-points))
             (low (cdr (first shape)))
             (high (cdr (second shape)))
             (bend (- (car (second shape)) (car (first shape))))
             (left (+ (edge LEFT) 0.3))
             (right (- (edge RIGHT) 0.1)))
       (list (cons left low) (cons (+ left bend) high) (cons (- right bend) high) (cons right low))))))))
% The number of a tuplet goes out, with its bracket, as far as an accidental beside it needs.
#(define (clear-of-accidentals bracket)
  (let* ((number (ly:grob-object bracket 'tuplet-number))
         (way (ly:grob-property bracket 'direction))
         (system (ly:grob-system bracket))
         (columns (ly:grob-object bracket 'note-columns))
         (within (lambda (array) (if (ly:grob-array? array) (ly:grob-array->list array) '())))
         (heads (append-map (lambda (column) (within (ly:grob-object column 'note-heads))) (within columns)))
         (signs (filter ly:grob? (map (lambda (head) (ly:grob-object head 'accidental-grob)) heads))))
   (if (and (ly:grob? number) (pair? signs) (interval-sane? (ly:grob-extent number system X)))
    (let* ((place (interval-widen (ly:grob-extent number system X) 0.2))
           (lacking
            (lambda (sign)
             (let ((common (ly:grob-common-refpoint sign number Y)))
              (if (interval-sane? (interval-intersection place (ly:grob-extent sign system X)))
               (+ 0.25 (* way (- (interval-bound (ly:grob-extent sign common Y) way)
                               (interval-bound (ly:grob-extent number common Y) (- way)))))
               0)))))
     (ly:grob-translate-axis! bracket (* way (apply max 0 (map lacking signs))) Y)))))
% How high a bracket will be, over or under its notes and the brackets inside it, for the breaking of pages: LilyPond
% itself reckons with none there, and presses systems with brackets on pages on which they have no room.
#(define room-of-bracket 1.9)
#(define (height-before-breaking bracket start end)
  (let* ((staff (ly:grob-parent bracket Y))
         (way (ly:grob-property bracket 'direction))
         (within (lambda (name)
                  (let ((found (ly:grob-object bracket name #f)))
                   (if (ly:grob-array? found) (ly:grob-array->list found) '()))))
         (stems (map (lambda (column) (ly:grob-object column 'stem #f)) (within 'note-columns)))
         (there? (lambda (grob)
                  (let ((ranks (ly:grob-spanned-column-rank-interval grob)))
                   (and (<= start (cdr ranks)) (<= (car ranks) end)
                    (eq? staff (ly:grob-common-refpoint bracket grob Y))))))
         (height (lambda (grob) (ly:grob-pure-height grob staff start end)))
         (inside (filter interval-sane?
                  (map height (filter there? (append (filter ly:grob? stems) (within 'tuplets)))))))
   (if (pair? inside)
    (let ((all (reduce interval-union #f inside)))
     (if (= way UP) (cons (car all) (+ (cdr all) room-of-bracket)) (cons (- (car all) room-of-bracket) (cdr all))))
    empty-interval)))
% The rest of one of two voices gives way to the notes of the other, up or down: no accidental stands there.
#(define (giving-way rest)
  (let ((way (ly:grob-property rest 'direction 0)))
   (cons (if (eqv? way DOWN) -8 0) (if (eqv? way UP) 8 0))))
% A mark over a stem keeps off its beam too, which may rise from there.
#(define (clear-of-beam script)
  (let ((support (ly:grob-object script 'side-support-elements)))
   (if (ly:grob-array? support)
    (for-each
     (lambda (stem)
      (let ((beam (ly:grob-object stem 'beam)))
       (if (and (ly:grob? beam) (not (ly:grob-property beam 'cross-staff #f)))
        (ly:pointer-group-interface::add-grob script 'side-support-elements beam))))
     (ly:grob-array->list support)))))
\layout
{
    \context
    {
        \Score
        \consists #Tempo_dashes_engraver
        \override RehearsalMark.self-alignment-X = #LEFT
        \override RehearsalMark.X-offset = #(within-line self-alignment-interface::self-aligned-on-breakable)
        % Both stand where their section begins, also in the first bar of a movement or of a line.
        \override SegnoMark.break-visibility = #end-of-line-invisible
        \override CodaMark.break-visibility = #end-of-line-invisible
        \override MetronomeMark.X-offset = #(within-line self-alignment-interface::self-aligned-on-breakable)
        \override BarNumber.font-shape = #'italic
        % To the right of the bracket, so that its tip does not touch the figure.
        \override BarNumber.self-alignment-X = #LEFT
        % Inside a line over the dynamics of singers, not between them and the staff, and clear of them.
        \override BarNumber.outside-staff-priority = #260
        \override BarNumber.outside-staff-padding = #(lambda (number) (if (= RIGHT (ly:item-break-dir number)) 0.46 1.1))
        \override DynamicLineSpanner.padding = #0.9
        % Above where no other voice decides; a lower one has them below.
        \override TextScript.direction = #UP
    }
    \context
    {
        \StaffGroup
        \override StaffGrouper.staffgroup-staff-spacing.stretchability = #6
    }
    \context
    {
        \PianoStaff
        \override StaffGrouper.staffgroup-staff-spacing.stretchability = #6
    }
    \context
    {
        \Staff
        \RemoveEmptyStaves
        \override VerticalAxisGroup.remove-empty = ##f
        \numericTimeSignature
        % Two voices that rest at one moment have one rest between them.
        \consists Merge_rests_engraver
        autoAccidentals = #'(Staff)
        autoCautionaries = #'()
        extraNatural = ##f
    }
    \context
    {
        \RhythmicStaff
        \numericTimeSignature
        \consists Clef_engraver
        \RemoveEmptyStaves
        \override VerticalAxisGroup.remove-empty = ##f
        \numericTimeSignature
    }
    \context
    {
        \Voice
        autoBeaming = ##f
        % Lines end only at bar lines and where free time may break, for a note that sounds on there too.
        \remove Forbid_line_break_engraver
        \override Tie.after-line-breaking = #through-a-line
        \override Script.before-line-breaking = #clear-of-beam
        \override Rest.extra-spacing-height = #giving-way
        \override TupletBracket.after-line-breaking = #clear-of-accidentals
        \override TupletBracket.Y-extent = #(ly:make-unpure-pure-container ly:grob::stencil-height height-before-breaking)
        % Between the letters of two dynamics on neighboring notes a shorter one is a dot.
        \override Hairpin.minimum-length = #6
        \override Stem.positioning-done = #heads-in-columns
        % A slur goes over an accidental as it goes over a note, and its ends may stand higher for it.
        \override Slur.details.accidental-collision = #40
        \override Slur.details.region-size = #7
        % A glissando from each note to the next would hold all bars on one line.
        \override Glissando.breakable = ##t
        \override TextScript.X-offset = #(within-line ly:self-alignment-interface::aligned-on-x-parent)
    }
    \context
    {
        \Dynamics
        % The sign of one pedal does not run into the next.
        \override SustainPedal.extra-spacing-width = #'(-0.3 . 0.3)
    }
    \context
    {
        \Lyrics
        \override LyricText.font-family = #'sans
        \override LyricText.font-size = #-2.5
        % Letters of neighboring chords do not run together.
        \override LyricText.extra-spacing-width = #'(-0.3 . 0.3)
    }
}
\paper
{
    % A page is filled down to its foot, by its staves as much as by its systems.
    last-bottom-spacing.stretchability = #4
    system-system-spacing.stretchability = #15
}
\layout
{
    % Letters and tempi once more, above a staff inside the system; there only if a staff of its group is.
    \context
    {
        \name MarksAbove
        \type Engraver_group
        \consists Axis_group_engraver
        \consists Mark_engraver
        \consists Metronome_mark_engraver
        \consists Text_spanner_engraver
        \override TextSpanner.direction = #DOWN
        \override TextSpanner.bound-details.left-broken.text = ##f
        % What it prints is placed by the staff below it alone, and does not keep itself on the page.
        stavesFound = #'()
        keepAliveInterfaces = #'()
        \override VerticalAxisGroup.staff-affinity = #DOWN
        \override VerticalAxisGroup.nonstaff-relatedstaff-spacing.padding = #0.8
        % All letters on one line, tempi under them.
        \override RehearsalMark.outside-staff-priority = ##f
        \override RehearsalMark.Y-offset = #0
        \override MetronomeMark.direction = #DOWN
        % A time signature that is not seen, since tempi begin above one.
        \consists Time_signature_engraver
        \override TimeSignature.transparent = ##t
        \override TimeSignature.Y-extent = ##f
    }
    % The voice of what all staves share is a line of its own above the top staff, on which all letters stand. It has no
    % width, so that tempi belong to the staff below it.
    \context
    {
        \Devnull
        \consists Axis_group_engraver
        \consists Mark_engraver
        stavesFound = #'()
        \override VerticalAxisGroup.staff-affinity = #DOWN
        \override VerticalAxisGroup.X-extent = #empty-interval
        % Where it is empty it is not there, or nothing would hold apart what is above and below it.
        \override VerticalAxisGroup.remove-empty = ##t
        \override VerticalAxisGroup.remove-first = ##t
        keepAliveInterfaces = #'(mark-interface)
        \override VerticalAxisGroup.nonstaff-relatedstaff-spacing =
            #'((basic-distance . 0) (minimum-distance . 0) (padding . 1.6) (stretchability . 0))
        \override RehearsalMark.vertical-skylines = #wider-outline
        \override RehearsalMark.outside-staff-priority = ##f
        \override RehearsalMark.Y-offset = #0
        % No letter reaches the next.
        \override RehearsalMark.extra-spacing-width = #'(0 . 1)
        \override RehearsalMark.extra-spacing-height = #'(20 . 20)
    }
    \context
    {
        \Score
        \accepts MarksAbove
        \remove Mark_engraver
        \override MetronomeMark.outside-staff-horizontal-padding = #0.8
        % Beside the tip of the bracket, which reaches over the staff.
        \override BarNumber.X-offset = #(lambda (grob) (+ 1.5 (self-alignment-interface::self-aligned-on-breakable grob)))
    }
    \context
    {
        \Voice
        % Words keep off the bar lines between staves where they ask for room, and interrupt one where they do not.
        \override TextScript.extra-spacing-height = #'(-20 . 0)
        \override TextScript.whiteout = #1
    }
    \context
    {
        \ChoirStaff
        \accepts MarksAbove
    }
    \context
    {
        \StaffGroup
        \accepts MarksAbove
    }
}
\paper
{
    oddFooterMarkup = ##f
    evenFooterMarkup = ##f
}
\header
{
    title = \markup \pad-markup #0.40 \abs-fontsize #22 \override #'(baseline-skip . 5.28) "Rocking"
    running = \markup \abs-fontsize #9 \italic "Rocking"
    pdftitle = "Rocking"
    pdfcomposer = ""
    tagline = ##f
}

\paper
{
    ragged-last-bottom = ##t
}

\score
{
    \context Score = "Score"
    <<
        \context Devnull = "Global"
        {
            \set Score.currentBarNumber = #0
            \time 6/8
            \set Timing.measureLength = #(ly:make-moment 1/8)
            \tempo "Rocking" 4. = 60
            s1 * 1/8
            \set Timing.measureLength = #(ly:make-moment 3/4)
            s1 * 3/4
            s1 * 3/4
            s1 * 3/4
            s1 * 3/4
            \bar "||"
            \time 3/4
            \set Timing.measureLength = #(ly:make-moment 3/4)
            s1 * 3/4
            s1 * 3/4
            \bar "|."
        }
        \context RhythmicStaff = "P1S1"
        \with
        {
            instrumentName = \markup "Side Drum"
            shortInstrumentName = \markup "S.D."
        }
        {
            \context Voice = "P1S1V1"
            {
                \clef "percussion"
                R1 * 1/8
                | % 0
                b'4
                \p
                b'8
                b'8
                [
                b'8
                b'8
                ]
                | % 1
                R1 * 3/4
                | % 2
                b'16
                [
                b'16
                b'16
                b'16
                ]
                r8
                b'4.
                | % 3
                R1 * 3/4
                | % 4
                R1 * 3/4
                | % 5
                R1 * 3/4
                | % 6
            }
        }
        \new Lyrics \lyricmode
        {
            \set associatedVoice = "P1S1V1"
            \skip 1 * 1/8
            "H" 1 * 9/2
        }
        \context PianoStaff = "P2"
        \with
        {
            instrumentName = \markup "Piano"
            shortInstrumentName = \markup "Pno."
        }
        <<
            \context Staff = "P2S1"
            <<
                \context Voice = "P2S1V1"
                {
                    \clef "treble"
                    \key a \major
                    \oneVoice
                    g'8
                    \mf
                    | % 0
                    cs''8
                    [
                    d''8
                    e''8
                    ]
                    \tuplet 3/2
                    {
                        c''16
                        [
                        d''16
                        e''16
                        ]
                    }
                    r8
                    r8
                    | % 1
                    \tuplet 2/3
                    {
                        c''8
                        [
                        d''8
                        ]
                    }
                    <cs'' e'' a''>4.
                    | % 2
                    c''!16
                    [
                    d''16
                    e''16
                    \set stemRightBeamCount = #1
                    f''16
                    \set stemLeftBeamCount = #1
                    e''16
                    d''16
                    ]
                    a'8.
                    [
                    \set stemLeftBeamCount = #2
                    \set stemRightBeamCount = #1
                    b'16
                    cs''?8
                    ]
                    | % 3
                    \voiceOne
                    a''4.
                    gs''4.
                    | % 4
                    \tuplet 5/4
                    {
                        \oneVoice
                        c''8
                        [
                        d''8
                        ]
                        \tuplet 3/2
                        {
                            e''8
                            f''8
                            g''8
                        }
                        a''8
                    }
                    r4
                    | % 5
                    \tweak text #tuplet-number::calc-fraction-text
                    \tuplet 11/8
                    {
                        c''16
                        [
                        d''16
                        d''16
                        d''16
                        d''16
                        d''16
                        d''16
                        d''16
                        d''16
                        d''16
                        c''16
                        ]
                    }
                    r4
                    | % 6
                }
                \context Voice = "P2S1V2"
                {
                    \oneVoice
                    s1 * 1/8
                    | % 0
                    s1 * 3/4
                    | % 1
                    s1 * 3/4
                    | % 2
                    s1 * 3/4
                    | % 3
                    \voiceTwo
                    cs''8
                    [
                    e''8
                    cs''8
                    ]
                    d''4.
                    | % 4
                    \oneVoice
                    s1 * 3/4
                    | % 5
                    s1 * 3/4
                    | % 6
                }
            >>
            \context Staff = "P2S2"
            {
                \context Voice = "P2S2V1"
                {
                    \clef "bass"
                    \key a \major
                    r8
                    | % 0
                    a,4.
                    e4.
                    ~
                    | % 1
                    \clef "treble"
                    e4.
                    \clef "bass"
                    a'4.
                    | % 2
                    R1 * 3/4
                    | % 3
                    <a, e a>2.
                    - \marcato
                    - \staccato
                    \sfz
                    | % 4
                    R1 * 3/4
                    | % 5
                    R1 * 3/4
                    | % 6
                }
            }
        >>
    >>
    \layout
    {
    }
}
