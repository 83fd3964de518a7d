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
    short-indent = 17.0\mm
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
    system-system-spacing.basic-distance = #14
    system-system-spacing.padding = #2.5
    % A last page that is not full leaves its room at the foot, and not between its systems.
    system-system-spacing.stretchability = #15
    score-markup-spacing.stretchability = #25
    score-markup-spacing.padding = #2.5
    % Words above a system turn out higher than is reckoned when pages are broken: this leaves room for them.
    page-breaking-system-system-spacing.padding = #5
    bookTitleMarkup = \markup \column
    {
        \fill-line { \fromproperty #'header:reader \null }
        \vspace #0.6
        \fill-line { \fromproperty #'header:title }
        \vspace #0.2
        \fill-line { \fromproperty #'header:subtitle }
        \vspace #0.4
        \fill-line { \null \fromproperty #'header:composer }
        \vspace #0.6
    }
}
\layout
{
    \context
    {
        \Score
        skipBars = ##t
        \override MultiMeasureRest.expand-limit = #1
        % Room for the words above a rest, and a bar that is wide enough to be seen as many.
        \override MultiMeasureRest.minimum-length = #12
        \override BarNumber.break-visibility = ##(#f #f #t)
    }
    \context
    {
        \CueVoice
        autoBeaming = ##f
        fontSize = #-3
        \override TextScript.font-size = #2
        \override TextScript.font-shape = #'upright
    }
}
\paper
{
    oddFooterMarkup = ##f
    evenFooterMarkup = ##f
}
\header
{
    reader = \markup \abs-fontsize #14 \bold \override #'(baseline-skip . 3.36) "Snare drum, Bass drum"
    title = \markup \abs-fontsize #18 \bold \override #'(baseline-skip . 4.32) "Desks"
    subtitle = \markup \abs-fontsize #11 \override #'(baseline-skip . 2.64) "for a few"
    composer = \markup \abs-fontsize #11 \override #'(baseline-skip . 2.64) "A. Composer"
    running = \markup \abs-fontsize #9 \italic "Desks – Snare drum, Bass drum"
    pdftitle = "Desks (Snare drum, Bass drum)"
    pdfcomposer = "A. Composer"
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
            \set Score.currentBarNumber = #1
            \time 4/4
            \set Timing.measureLength = #(ly:make-moment 1/1)
            \mark \markup { \bold \box \pad-markup #0.2 "A" \hspace #0.5 \fontsize #-2 \italic "All" }
            \tempo 4 = 60
            \grace { s16*2 }
            s1 * 1/1
            s1 * 1/1
            s1 * 1/1
            s1 * 9/1
            \mark \markup { \bold \box \pad-markup #0.2 "B" \hspace #0.5 \fontsize #-2 \italic "Two" }
            s1 * 5/1
            s1 * 1/1
            s1 * 1/1
            s1 * 1/1
            \time 3/4
            \set Timing.measureLength = #(ly:make-moment 3/4)
            s1 * 3/2
            \bar "|."
        }
        \context Staff = "P1S1"
        \with
        {
            \override Beam.beam-thickness = 0.24
            \override Beam.length-fraction = 0.5
            \override StaffSymbol.line-count = 2
            \override StaffSymbol.staff-space = 2
            \override Stem.length-fraction = 0.5
            \override StemTremolo.beam-thickness = 0.24
            \override StemTremolo.length-fraction = 0.5
            instrumentName = \markup \override #'(baseline-skip . 2) \small \right-column { "S. D." "B. D." }
            shortInstrumentName = \markup \override #'(baseline-skip . 2) \small \right-column { "S. D." "B. D." }
        }
        <<
            \context Voice = "P1S1V1"
            {
                \clef "percussion"
                \set Staff.middleCPosition = #-3
                \set Staff.middleCClefPosition = #-3
                \voiceOne
                \slashedGrace { c''8 }
                g'8
                [
                g'8
                ]
                g'4
                g'2
                | % 1
                g'8
                [
                g'8
                ]
                g'4
                g'2
                | % 2
                \dynamicUp
                g'4
                \f
                \tuplet 3/2
                {
                    g'8
                    [
                    g'8
                    g'8
                    ]
                }
                g'2
                | % 3
                \oneVoice
                \dynamicNeutral
                R1 * 9/1
                | % 12
                R1 * 5/1
                | % 17
                \voiceTwo
                R1 * 1/1
                | % 18
                R1 * 1/1
                | % 19
                \oneVoice
                e'1
                \p
                | % 20
                R1 * 3/2
                | % 22
            }
            \context Voice = "P1S1V2"
            {
                \voiceTwo
                \grace { s16*2 }
                r4
                e'4
                e'2
                | % 1
                r4
                e'4
                e'2
                | % 2
                e'4
                \p
                e'4
                e'2
                | % 3
                \oneVoice
                s1 * 9/1
                | % 12
                s1 * 5/1
                | % 17
                s1 * 1/1
                | % 18
                s1 * 1/1
                | % 19
                s1 * 1/1
                | % 20
                s1 * 3/2
                | % 22
            }
            \context CueVoice = "P1S1Cue"
            {
                \grace { s16*2 }
                s1 * 17/1
                \voiceOne
                b'1
                ^ \markup \italic "Vla."
                | % 18
                b'1
                | % 19
                s1 * 5/2
            }
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
            s1 * 3/2
            s1 * 3/4
            \bar "|."
        }
        \context Staff = "P1S1"
        \with
        {
            \override Beam.beam-thickness = 0.24
            \override Beam.length-fraction = 0.5
            \override StaffSymbol.line-count = 2
            \override StaffSymbol.staff-space = 2
            \override Stem.length-fraction = 0.5
            \override StemTremolo.beam-thickness = 0.24
            \override StemTremolo.length-fraction = 0.5
            instrumentName = \markup \override #'(baseline-skip . 2) \small \right-column { "S. D." "B. D." }
            shortInstrumentName = \markup \override #'(baseline-skip . 2) \small \right-column { "S. D." "B. D." }
        }
        {
            \context Voice = "P1S1V1"
            {
                \clef "percussion"
                \set Staff.middleCPosition = #-3
                \set Staff.middleCClefPosition = #-3
                R1 * 3/2
                | % 2
                g'4
                g'4
                g'4
                | % 3
            }
        }
    >>
    \layout
    {
        ragged-last = ##t
    }
}

\markup \column { \vspace #1 \fill-line { \abs-fontsize #14 \bold "Third" } \vspace #0.3 \fill-line { \abs-fontsize #12 \italic "tacet, attacca" } \vspace #0.5 }
