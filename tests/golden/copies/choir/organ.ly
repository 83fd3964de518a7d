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
    indent = 0\mm
    short-indent = 0\mm
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
    bookTitleMarkup = \markup \column
    {
        \fill-line { \fromproperty #'header:reader \null }
        \vspace #0.6
        \fill-line { \fromproperty #'header:title }
        \vspace #0.2
        \fill-line { \fromproperty #'header:subtitle }
        \vspace #0.4
        \fill-line { \fromproperty #'header:poet \fromproperty #'header:composer }
        \fill-line { \null \fromproperty #'header:arranger }
        \vspace #0.6
    }
}
\paper
{
    oddFooterMarkup = \markup \column { \if \on-first-page-of-part \fill-line { \abs-fontsize #9 "(c) E." } \if \on-first-page-of-part \fill-line { \abs-fontsize #9 "F. & Co." } \fill-line { \abs-fontsize #8 "F 12" } }
    evenFooterMarkup = \markup \column { \if \on-first-page-of-part \fill-line { \abs-fontsize #9 "(c) E." } \if \on-first-page-of-part \fill-line { \abs-fontsize #9 "F. & Co." } \fill-line { \abs-fontsize #8 "F 12" } }
}
\header
{
    reader = \markup \abs-fontsize #14 \bold \override #'(baseline-skip . 3.36) "Orgel"
    title = \markup \abs-fontsize #18 \bold \override #'(baseline-skip . 4.32) "Choir"
    subtitle = \markup \abs-fontsize #11 \override #'(baseline-skip . 2.64) "for voices"
    composer = \markup \abs-fontsize #11 \override #'(baseline-skip . 2.64) "A. Composer"
    poet = \markup \abs-fontsize #11 \override #'(baseline-skip . 2.64) "B. Poet"
    arranger = \markup \abs-fontsize #11 \override #'(baseline-skip . 2.64) "arr. C. Arranger"
    running = \markup \abs-fontsize #9 \italic "Choir – Orgel"
    pdftitle = "Choir (Orgel)"
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
            \tempo "So" 2. = 41
            s1 * 1/1
            s1 * 1/1
            s1 * 2/1
            s1 * 1/1
            \bar "|."
        }
        <<
            \context PianoStaff = "P1"
            \with
            {
                instrumentName = ""
                shortInstrumentName = ""
            }
            <<
                \context Staff = "P1S1"
                {
                    \context Voice = "P1S1V1"
                    {
                        \clef "treble"
                        \key g \major
                        <d' fs'>2
                        <d' g'>2
                        | % 1
                        <d' fs'>1
                        | % 2
                        R1 * 2/1
                        | % 4
                        <d a d' fs'>1
                        | % 5
                    }
                }
                \context Staff = "P1S2"
                {
                    \context Voice = "P1S2V1"
                    {
                        \clef "bass"
                        \key g \major
                        b2
                        a2
                        | % 1
                        a1
                        | % 2
                        R1 * 2/1
                        | % 4
                        R1 * 1/1
                        | % 5
                    }
                }
                \new FiguredBass \figuremode
                {
                    \set figuredBassAlterationDirection = #LEFT
                    <6> 1 * 1/2
                    <4 3> 1 * 1/6
                    <6> 1 * 1/6
                    <5> 1 * 1/6
                    <_+> 1 * 4/1
                }
            >>
            \context Staff = "P1S3"
            \with
            {
                instrumentName = ""
                shortInstrumentName = ""
            }
            {
                \context Voice = "P1S3V1"
                {
                    \clef "bass"
                    \key g \major
                    d2
                    \f
                    a,2
                    | % 1
                    d1
                    | % 2
                    R1 * 2/1
                    | % 4
                    R1 * 1/1
                    | % 5
                }
            }
        >>
    >>
    \header { piece = \markup "Of all voices" }
    \layout
    {
        ragged-last = ##t
    }
}

\markup \column { \vspace #1 \fill-line { \abs-fontsize #14 \bold "2. Satz" } \vspace #0.3 \fill-line { \abs-fontsize #12 \italic "tacet, attacca" } \vspace #0.5 }
