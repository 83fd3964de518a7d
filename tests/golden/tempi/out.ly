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
    indent = 27.6\mm
    short-indent = 19.1\mm
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
\layout
{
    \context
    {
        \Score
        \override RehearsalMark.self-alignment-X = #LEFT
        \override RehearsalMark.X-offset = #(within-line self-alignment-interface::self-aligned-on-breakable)
        \override MetronomeMark.X-offset = #(within-line self-alignment-interface::self-aligned-on-breakable)
        \override BarNumber.font-shape = #'italic
        % To the right of the bracket, so that its tip does not touch the figure.
        \override BarNumber.self-alignment-X = #LEFT
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
        % Between the letters of two dynamics on neighboring notes a shorter one is a dot.
        \override Hairpin.minimum-length = #6
        \override TextScript.X-offset = #(within-line ly:self-alignment-interface::aligned-on-x-parent)
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
    oddFooterMarkup = ##f
    evenFooterMarkup = ##f
}
\header
{
    title = \markup \pad-markup #0.40 \abs-fontsize #22 \override #'(baseline-skip . 5.28) "Tempi"
    running = \markup \abs-fontsize #9 \italic "Tempi"
    pdftitle = "Tempi"
    pdfcomposer = ""
    tagline = ##f
}


\score
{
    \context Score = "Score"
    <<
        \context Devnull = "Global"
        {
            \set Score.currentBarNumber = #1
            \once \override Score.TimeSignature.stencil = #(lambda (grob) (grob-interpret-markup grob (markup #:musicglyph "timesig.C44")))
            \time 4/4
            \set Timing.measureLength = #(ly:make-moment 1/1)
            \mark \markup { \bold \box \pad-markup #0.2 "A" \hspace #0.5 \fontsize #-2 \italic "A first section" }
            \tempo \markup { \general-align #Y #DOWN "With the tide" \normal-text \concat { "(" \smaller \general-align #Y #DOWN \note {4} #UP " = 66.5" ")" } }
            s1 * 1/1
            s1 * 1/2
            \tempo \markup \bold "holding back"
            s1 * 1/2
            \tempo \markup \general-align #Y #DOWN \column { "Words that are longer than the fifty-six letters that" "stand in one line" } 4. = 60
            s1 * 1/1
            s1 * 1/1
            \bar ":|.|:"
            \textEndMark \markup \italic "3 volte"
            \once \override Score.TimeSignature.stencil = #(lambda (grob) (grob-interpret-markup grob (markup #:musicglyph "timesig.C22")))
            \time 2/2
            \set Timing.measureLength = #(ly:make-moment 1/1)
            \segnoMark \default
            \mark \markup \bold \box \pad-markup #0.2 "B"
            \tempo \markup \normal-text \concat { \smaller \general-align #Y #DOWN \note {2} #UP " + " \smaller \general-align #Y #DOWN \note {8} #UP " = 50" }
            s1 * 1/1
            s1 * 1/1
            s1 * 1/1
            s1 * 1/1
            \set Score.repeatCommands = #'((volta "1., 2."))
            s1 * 1/1
            \bar ":|."
            \set Score.repeatCommands = #'((volta #f) (volta "3."))
            s1 * 1/1
            \time 7/8
            \set Timing.measureLength = #(ly:make-moment 7/8)
            \set Score.repeatCommands = #'((volta #f))
            \mark \markup { \bold \box \pad-markup #0.2 "C" \hspace #0.5 \fontsize #-2 \italic "Third" }
            \tempo \markup { \general-align #Y #DOWN "Same beat" \normal-text \concat { "(" \smaller \general-align #Y #DOWN \note {4} #UP " = " \smaller \general-align #Y #DOWN \note {4.} #UP ")" } }
            s1 * 7/8
            s1 * 7/8
            \bar "||"
            \textEndMark \markup \concat { \italic "alla Coda" \hspace #0.3 \smaller \musicglyph "scripts.coda" }
            \omit Score.BarNumber
            \set Timing.measureLength = #(ly:make-moment 21/8)
            \mark \markup \bold \box \pad-markup #0.2 "D"
            \tempo \markup { \general-align #Y #DOWN "With the tide" \normal-text \concat { "(" \smaller \general-align #Y #DOWN \note {4} #UP " = 66.5" ")" } }
            s1 * 21/8
            \bar ""
            \set Score.currentBarNumber = #13
            \set Timing.measureLength = #(ly:make-moment 5/2)
            s1 * 1/1
            \bar ""
            s1 * 1/2
            \bar ""
            s1 * 1/1
            \bar ""
            \set Score.currentBarNumber = #13
            \set Timing.measureLength = #(ly:make-moment 2/1)
            s1 * 1/1
            \bar ""
            s1 * 1/1
            \undo \omit Score.BarNumber
            \time 5/4
            \set Timing.measureLength = #(ly:make-moment 5/4)
            \mark \markup \bold \box \pad-markup #0.2 "E"
            \tempo 8 = 132
            s1 * 5/4
            \tempo \markup \medium \italic "allargando"
            s1 * 5/4
            \tempo 4 = 48
            s1 * 5/4
            \time 5/4
            \set Timing.measureLength = #(ly:make-moment 5/4)
            s1 * 1/2
            \tempo "a tempo" 8 = 132
            s1 * 3/4
            \bar "||"
            \textEndMark \markup \concat { \italic "D.S. al Coda" }
            \time 9/8
            \set Timing.measureLength = #(ly:make-moment 9/8)
            \codaMark \default
            \mark \markup \bold \box \pad-markup #0.2 "F"
            \tempo 4. = 60
            s1 * 9/8
            s1 * 9/8
            s1 * 9/8
            \bar "|."
        }
        \context StaffGroup = "Group1"
        <<
            \context Staff = "P1S1"
            \with
            {
                instrumentName = \markup "Flauto"
                shortInstrumentName = \markup "Fl."
            }
            {
                \context Voice = "P1S1V1"
                {
                    \clef "treble"
                    d''4
                    e''4
                    f''4
                    g''4
                    | % 1
                    d''4
                    e''4
                    f''4
                    g''4
                    | % 2
                    d''4
                    e''4
                    f''4
                    g''4
                    | % 3
                    d''4
                    e''4
                    f''4
                    g''4
                    | % 4
                    d''4
                    e''4
                    f''4
                    g''4
                    | % 5
                    d''4
                    e''4
                    f''4
                    g''4
                    | % 6
                    R1 * 1/1
                    | % 7
                    R1 * 1/1
                    | % 8
                    R1 * 1/1
                    | % 9
                    R1 * 1/1
                    | % 10
                    R1 * 7/8
                    | % 11
                    R1 * 7/8
                    | % 12
                    d''8
                    [
                    e''8
                    ]
                    f''8
                    [
                    g''8
                    a''8
                    ]
                    g''4
                    f''2
                    e''16
                    [
                    d''16
                    e''16
                    d''16
                    ]
                    d''1
                    | % 13
                    e''1
                    r2
                    f''1
                    | % 13
                    g''1
                    a''1
                    | % 13
                    R1 * 5/4
                    | % 14
                    R1 * 5/4
                    | % 15
                    R1 * 5/4
                    | % 16
                    R1 * 5/4
                    | % 17
                    R1 * 9/8
                    | % 18
                    R1 * 9/8
                    | % 19
                    R1 * 9/8
                    | % 20
                }
            }
            \context Staff = "P2S1"
            \with
            {
                instrumentName = \markup "Oboe"
                shortInstrumentName = \markup "Ob."
            }
            {
                \context Voice = "P2S1V1"
                {
                    \clef "treble"
                    R1 * 1/1
                    | % 1
                    R1 * 1/1
                    | % 2
                    R1 * 1/1
                    | % 3
                    R1 * 1/1
                    | % 4
                    R1 * 1/1
                    | % 5
                    R1 * 1/1
                    | % 6
                    d''4
                    e''4
                    f''4
                    g''4
                    | % 7
                    d''4
                    e''4
                    f''4
                    g''4
                    | % 8
                    g'4
                    a'4
                    bf'!4
                    c''4
                    | % 9
                    d'1
                    | % 10
                    d''8
                    [
                    e''8
                    f''8
                    ]
                    d''8
                    [
                    e''8
                    ]
                    d''8
                    [
                    e''8
                    ]
                    | % 11
                    d''8
                    r8
                    f''8
                    d''4
                    r8
                    e''8
                    | % 12
                    r2
                    d''2
                    \tuplet 3/2
                    {
                        e''8
                        [
                        f''8
                        g''8
                        ]
                    }
                    a''1
                    r4.
                    | % 13
                    R1 * 5/2
                    | % 13
                    R1 * 2/1
                    | % 13
                    d''4
                    r4
                    e''4
                    f''2
                    | % 14
                    d''4
                    r4
                    e''4
                    f''2
                    | % 15
                    R1 * 5/4
                    | % 16
                    R1 * 5/4
                    | % 17
                    R1 * 9/8
                    | % 18
                    R1 * 9/8
                    | % 19
                    R1 * 9/8
                    | % 20
                }
            }
        >>
        \context Staff = "P3S1"
        \with
        {
            instrumentName = \markup "Fagotto I"
            shortInstrumentName = \markup "Fg. I"
        }
        {
            \context Voice = "P3S1V1"
            {
                \clef "bass"
                R1 * 1/1
                | % 1
                R1 * 1/1
                | % 2
                R1 * 1/1
                | % 3
                R1 * 1/1
                | % 4
                R1 * 1/1
                | % 5
                R1 * 1/1
                | % 6
                R1 * 1/1
                | % 7
                R1 * 1/1
                | % 8
                R1 * 1/1
                | % 9
                R1 * 1/1
                | % 10
                d4
                e8
                d4
                d4
                | % 11
                r4.
                d4
                r4
                | % 12
                R1 * 21/8
                | % 13
                R1 * 5/2
                | % 13
                R1 * 2/1
                | % 13
                R1 * 5/4
                | % 14
                d2.
                e2
                | % 15
                d2.
                e2
                | % 16
                d2
                ~
                d4
                e2
                | % 17
                d4.
                e4.
                \tweak text #tuplet-number::calc-fraction-text
                \tuplet 2/3
                {
                    f8
                    [
                    g8
                    ]
                }
                | % 18
                d4
                e8
                f4.
                \tweak text #tuplet-number::calc-fraction-text
                \tuplet 4/3
                {
                    g8
                    [
                    a8
                    b8
                    a8
                    ]
                }
                | % 19
                R1 * 9/8
                | % 20
            }
        }
        \context Staff = "P4S1"
        \with
        {
            instrumentName = \markup "Fagotto II"
            shortInstrumentName = \markup "Fg. II"
        }
        {
            \context Voice = "P4S1V1"
            {
                \clef "bass"
                R1 * 1/1
                | % 1
                R1 * 1/1
                | % 2
                R1 * 1/1
                | % 3
                R1 * 1/1
                | % 4
                R1 * 1/1
                | % 5
                R1 * 1/1
                | % 6
                R1 * 1/1
                | % 7
                R1 * 1/1
                | % 8
                R1 * 1/1
                | % 9
                R1 * 1/1
                | % 10
                R1 * 7/8
                | % 11
                R1 * 7/8
                | % 12
                R1 * 21/8
                | % 13
                R1 * 5/2
                | % 13
                R1 * 2/1
                | % 13
                R1 * 5/4
                | % 14
                r4
                r8
                d8
                e8
                [
                f8
                ]
                ~
                f4.
                r8
                | % 15
                R1 * 5/4
                | % 16
                R1 * 5/4
                | % 17
                R1 * 9/8
                | % 18
                R1 * 9/8
                | % 19
                d4
                r8
                r4.
                e4.
                | % 20
            }
        }
    >>
    \header { piece = \markup \center-column { "With a very long title that goes on and on until" "it needs another line of the page" } }
    \layout
    {
    }
}

\score
{
    \context Score = "Score"
    <<
        \context Devnull = "Global"
        {
            \set Score.currentBarNumber = #1
            \once \omit Score.TimeSignature
            \omit Score.BarNumber
            \set Timing.measureLength = #(ly:make-moment 13/8)
            s1 * 1/2
            \tempo \markup \medium \italic "stringendo"
            s1 * 1/8
            \bar ""
            s1 * 3/8
            \tempo 4 = 120
            s1 * 5/8
            \bar "|."
        }
        \context Staff = "P1S1"
        \with
        {
            instrumentName = \markup "Ob."
            shortInstrumentName = \markup "Ob."
        }
        {
            \context Voice = "P1S1V1"
            {
                \clef "treble"
                d''8
                e''4
                f''8
                [
                g''8
                ]
                a''1
                | % 1
            }
        }
    >>
    \header { piece = \markup "Alone" }
    \layout
    {
        indent = 19.1\mm
        ragged-last = ##t
    }
}

\score
{
    \context Score = "Score"
    <<
        \context Devnull = "Global"
        {
            \set Score.currentBarNumber = #1
            \time 2/2
            \set Timing.measureLength = #(ly:make-moment 1/1)
            \tempo "Tempo primo" 2 = 60
            s1 * 1/1
            s1 * 1/1
            \bar "|."
            \textEndMark \markup \italic attacca
        }
        \context Staff = "P1S1"
        \with
        {
            instrumentName = \markup "Fg. I"
            shortInstrumentName = \markup "Fg. I"
        }
        {
            \context Voice = "P1S1V1"
            {
                \clef "bass"
                \key g \major
                a2
                b2
                | % 1
                c'1
                | % 2
            }
        }
        \context Staff = "P2S1"
        \with
        {
            instrumentName = \markup "Fg. II"
            shortInstrumentName = \markup "Fg. II"
        }
        {
            \context Voice = "P2S1V1"
            {
                \clef "bass"
                \key g \major
                a,2
                b,2
                | % 1
                c1
                | % 2
            }
        }
    >>
    \layout
    {
        indent = 19.1\mm
        ragged-last = ##t
    }
}
