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
    indent = 17.0\mm
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
    title = \markup \pad-markup #0.40 \abs-fontsize #22 \override #'(baseline-skip . 5.28) "Desks"
    subtitle = \markup \pad-markup #0.40 \abs-fontsize #12 \medium \override #'(baseline-skip . 2.88) "for a few – Viola and a reduction, a guide for the hands"
    composer = \markup \pad-markup #0.40 \abs-fontsize #11 \override #'(baseline-skip . 2.64) "A. Composer"
    running = \markup \abs-fontsize #9 \italic "Desks – Viola"
    pdftitle = "Desks"
    pdfcomposer = "A. Composer"
    tagline = ##f
}


\score
{
    \context Score = "Score"
    <<
        \context Devnull = "Global"
        {
            \set Score.currentBarNumber = #1
            \time 4/4
            \set Timing.measureLength = #(ly:make-moment 1/1)
            \mark \markup { \bold \box \pad-markup #0.2 "A" \hspace #0.5 \fontsize #-2 \italic "All" }
            \tempo 4 = 60
            s1 * 1/1
            s1 * 1/1
            s1 * 1/1
            s1 * 1/1
            s1 * 1/1
            s1 * 1/1
            s1 * 1/1
            s1 * 1/1
            s1 * 1/1
            s1 * 1/1
            s1 * 1/1
            s1 * 1/1
            \mark \markup { \bold \box \pad-markup #0.2 "B" \hspace #0.5 \fontsize #-2 \italic "Two" }
            s1 * 1/1
            s1 * 1/1
            s1 * 1/1
            s1 * 1/1
            s1 * 1/1
            s1 * 1/1
            s1 * 1/1
            s1 * 1/1
            \time 3/4
            \set Timing.measureLength = #(ly:make-moment 3/4)
            s1 * 3/4
            s1 * 3/4
            \bar "|."
        }
        \context Staff = "P1S1"
        \with
        {
            instrumentName = \markup "Viola"
            shortInstrumentName = \markup "Vla."
        }
        {
            \context Voice = "P1S1V1"
            {
                \clef "alto"
                b4
                e'4
                d'2
                | % 1
                d'4
                a4
                r2
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
                d'8
                \mp
                [
                e'8
                f'8
                g'8
                ]
                a'2
                | % 11
                b'1
                | % 12
                d'1
                \f
                | % 13
                e'1
                | % 14
                f'1
                :32
                | % 15
                e'1
                :32
                | % 16
                d'1
                | % 17
                c'1
                | % 18
                d'1
                | % 19
                e'1
                | % 20
                d'2.
                | % 21
                d'2.
                | % 22
            }
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
                    \voiceOne
                    f''4
                    - \markup "Fl."
                    a''4
                    f''2
                    | % 1
                    <d'' f''>4
                    - \markup "Pno."
                    r4
                    <c'' e''>4
                    r4
                    | % 2
                    <d'' f''>4
                    r4
                    <c'' e''>4
                    r4
                    | % 3
                    \oneVoice
                    d'''4
                    - \markup "Fl."
                    e'''4
                    f'''2
                    | % 4
                    \voiceOne
                    <d'' f''>4
                    - \markup "Pno."
                    r4
                    <c'' e''>4
                    r4
                    | % 5
                    <d'' f''>4
                    r4
                    <c'' e''>4
                    r4
                    | % 6
                    d'4
                    \f
                    - \markup "Hn."
                    r4
                    e'4
                    r4
                    | % 7
                    \oneVoice
                    R1 * 1/1
                    | % 8
                    R1 * 1/1
                    | % 9
                    d''4
                    - \markup "Pno."
                    e''4
                    f''4
                    g''4
                    | % 10
                    a''4
                    g''4
                    f''4
                    e''4
                    | % 11
                    d'4
                    - \markup "Fl."
                    e'4
                    f'2
                    | % 12
                    R1 * 1/1
                    | % 13
                    R1 * 1/1
                    | % 14
                    R1 * 1/1
                    | % 15
                    R1 * 1/1
                    | % 16
                    R1 * 1/1
                    | % 17
                    R1 * 1/1
                    | % 18
                    R1 * 1/1
                    | % 19
                    R1 * 1/1
                    | % 20
                    d'4
                    \ff
                    - \markup "Hn."
                    e'4
                    f'4
                    | % 21
                    e''2.
                    - \markup "Fl."
                    | % 22
                }
                \context Voice = "P2S1V2"
                {
                    \voiceTwo
                    <d'' f''>4
                    r4
                    <c'' e''>4
                    r4
                    | % 1
                    e''4
                    b'4
                    g'2
                    | % 2
                    a'1
                    | % 3
                    \oneVoice
                    s1 * 1/1
                    | % 4
                    \voiceTwo
                    g'2
                    a'2
                    | % 5
                    f'2
                    ^ \markup \italic "open"
                    f'2
                    | % 6
                    c'2
                    c'2
                    | % 7
                    \oneVoice
                    s1 * 1/1
                    | % 8
                    s1 * 1/1
                    | % 9
                    s1 * 1/1
                    | % 10
                    s1 * 1/1
                    | % 11
                    s1 * 1/1
                    | % 12
                    s1 * 1/1
                    | % 13
                    s1 * 1/1
                    | % 14
                    s1 * 1/1
                    | % 15
                    s1 * 1/1
                    | % 16
                    s1 * 1/1
                    | % 17
                    s1 * 1/1
                    | % 18
                    s1 * 1/1
                    | % 19
                    s1 * 1/1
                    | % 20
                    s1 * 3/4
                    | % 21
                    s1 * 3/4
                    | % 22
                }
            >>
            \context Staff = "P2S2"
            <<
                \context Voice = "P2S2V1"
                {
                    \clef "bass"
                    \oneVoice
                    <d a>4
                    r4
                    <d a>4
                    r4
                    | % 1
                    \voiceOne
                    d'4
                    e'4
                    <d' f'>4
                    <e' g'>4
                    | % 2
                    f'2
                    e'2
                    | % 3
                    \oneVoice
                    <d a>4
                    r4
                    <d a>4
                    r4
                    | % 4
                    <d a>4
                    r4
                    <d a>4
                    r4
                    | % 5
                    <d a>4
                    r4
                    <d a>4
                    r4
                    | % 6
                    R1 * 1/1
                    | % 7
                    R1 * 1/1
                    | % 8
                    R1 * 1/1
                    | % 9
                    R1 * 1/1
                    | % 10
                    R1 * 1/1
                    | % 11
                    R1 * 1/1
                    | % 12
                    R1 * 1/1
                    | % 13
                    R1 * 1/1
                    | % 14
                    R1 * 1/1
                    | % 15
                    R1 * 1/1
                    | % 16
                    <d a d'>1
                    - \markup "Pno."
                    | % 17
                    <d a d'>1
                    | % 18
                    R1 * 1/1
                    | % 19
                    R1 * 1/1
                    | % 20
                    R1 * 3/4
                    | % 21
                    R1 * 3/4
                    | % 22
                }
                \context Voice = "P2S2V2"
                {
                    \oneVoice
                    s1 * 1/1
                    | % 1
                    \voiceTwo
                    <d a>4
                    r4
                    <d a>4
                    r4
                    | % 2
                    <d a>4
                    r4
                    <d a>4
                    r4
                    | % 3
                    \oneVoice
                    s1 * 1/1
                    | % 4
                    s1 * 1/1
                    | % 5
                    s1 * 1/1
                    | % 6
                    s1 * 1/1
                    | % 7
                    s1 * 1/1
                    | % 8
                    s1 * 1/1
                    | % 9
                    s1 * 1/1
                    | % 10
                    s1 * 1/1
                    | % 11
                    s1 * 1/1
                    | % 12
                    s1 * 1/1
                    | % 13
                    s1 * 1/1
                    | % 14
                    s1 * 1/1
                    | % 15
                    s1 * 1/1
                    | % 16
                    s1 * 1/1
                    | % 17
                    s1 * 1/1
                    | % 18
                    s1 * 1/1
                    | % 19
                    s1 * 1/1
                    | % 20
                    s1 * 3/4
                    | % 21
                    s1 * 3/4
                    | % 22
                }
            >>
        >>
    >>
    \header { piece = \markup "First" }
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
            \time 3/4
            \set Timing.measureLength = #(ly:make-moment 3/4)
            \tempo 4 = 90
            s1 * 3/4
            s1 * 3/4
            s1 * 3/4
            \bar "|."
        }
        \context Staff = "P1S1"
        \with
        {
            instrumentName = \markup "Vla."
            shortInstrumentName = \markup "Vla."
        }
        {
            \context Voice = "P1S1V1"
            {
                \clef "alto"
                \key g \major
                d'2.
                | % 1
                e'2.
                | % 2
                fs'2.
                | % 3
            }
        }
    >>
    \layout
    {
        indent = 14.8\mm
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
            \time 2/4
            \set Timing.measureLength = #(ly:make-moment 1/2)
            \tempo 4 = 120
            s1 * 1/2
            s1 * 1/2
            s1 * 1/2
            s1 * 1/2
            \bar "|."
            \textEndMark \markup \italic attacca
        }
        \context Staff = "P1S1"
        \with
        {
            instrumentName = \markup "Vla."
            shortInstrumentName = \markup "Vla."
        }
        {
            \context Voice = "P1S1V1"
            {
                \clef "alto"
                R1 * 1/2
                | % 1
                R1 * 1/2
                - \fermata
                | % 2
                R1 * 1/2
                | % 3
                d'4
                e'4
                | % 4
            }
        }
        \context PianoStaff = "P2"
        \with
        {
            instrumentName = \markup "Pno."
            shortInstrumentName = \markup "Pno."
        }
        <<
            \context Staff = "P2S1"
            <<
                \context Voice = "P2S1V1"
                {
                    \clef "treble"
                    \oneVoice
                    d''2
                    - \markup "Fl."
                    | % 1
                    \voiceOne
                    e''4
                    f''4
                    - \fermata
                    | % 2
                    \oneVoice
                    d''2
                    | % 3
                    e''4
                    f''4
                    | % 4
                }
                \context Voice = "P2S1V2"
                {
                    \oneVoice
                    s1 * 1/2
                    | % 1
                    \voiceTwo
                    d'2
                    - \fermata
                    | % 2
                    \oneVoice
                    s1 * 1/2
                    | % 3
                    s1 * 1/2
                    | % 4
                }
            >>
            \context Staff = "P2S2"
            {
                \context Voice = "P2S2V1"
                {
                    \clef "bass"
                    R1 * 1/2
                    | % 1
                    b2
                    - \fermata
                    | % 2
                    R1 * 1/2
                    | % 3
                    R1 * 1/2
                    | % 4
                }
            }
        >>
    >>
    \header { piece = \markup "Third" }
    \layout
    {
        indent = 14.8\mm
        ragged-last = ##t
    }
}
