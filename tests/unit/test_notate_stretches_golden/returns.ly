% cuts [(11, 22)]
% away (0, 1)
{
    \context Score = "Score"
    <<
        \context Devnull = "Global"
        {
            \set Score.currentBarNumber = #0
            \time 3/4
            \set Timing.measureLength = #(ly:make-moment 1/4)
            \mark \markup { \bold \box \pad-markup #0.2 "A" \hspace #0.5 \fontsize #-2 \italic "Theme" }
            \tempo 4 = 96
            s1 * 1/4
            \bar ".|:"
            \set Timing.measureLength = #(ly:make-moment 3/4)
            s1 * 3/4
            s1 * 3/4
            s1 * 3/4
            s1 * 3/4
            \set Score.repeatCommands = #'((volta "1."))
            s1 * 3/4
            s1 * 3/4
            \bar ":|."
            \set Score.repeatCommands = #'((volta #f) (volta "2."))
            s1 * 3/4
            s1 * 3/4
            \bar "||"
            \set Score.repeatCommands = #'((volta #f))
            \once \override Score.BarNumber.break-visibility = #end-of-line-invisible
            \mark \markup { \bold \box \pad-markup #0.2 "B" \hspace #0.5 \fontsize #-2 \italic "I" }
            s1 * 3/4
            s1 * 3/4
            \pageBreak
            s1 * 3/4
            \bar "|."
            \noBreak
        }
        \context Staff = "P1S1"
        \with
        {
            instrumentName = \markup "Oboe"
            shortInstrumentName = \markup "Ob."
        }
        {
            \context Voice = "P1S1V1"
            {
                \clef "treble"
                \key f \major
                a'4
                \mf
                | % 0
                f''4.
                \p
                a''8
                f''4
                | % 1
                e''4.
                b'!8
                gs'!4
                | % 2
                R1 * 3/4
                | % 3
                R1 * 3/4
                | % 4
                f''4.
                \p
                a''8
                f''4
                | % 5
                e''4.
                b'!8
                gs'!4
                | % 6
                g'?2.
                (
                | % 7
                e'2
                )
                gs'!4
                \mf
                | % 8
                \key e \major
                e''4.
                \p
                gs''8
                e''4
                | % 9
                ds''4.
                as'!8
                fss'!4
                | % 10
                R1 * 3/4
                | % 11
            }
        }
        \new Lyrics \lyricmode
        {
            \set associatedVoice = "P1S1V1"
            \skip 1 * 1/4
            "T" 1 * 3/8
            "A" 1 * 1/8
            "M" 1 * 1/4
            "S" 1 * 3/8
            "I" 1 * 1/8
            "N" 1 * 7/4
            "T" 1 * 3/8
            "A" 1 * 1/8
            "M" 1 * 1/4
            "S" 1 * 3/8
            "I" 1 * 1/8
            "N" 1 * 7/4
            "T" 1 * 3/8
            "A" 1 * 1/8
            "M" 1 * 1/4
            "S" 1 * 3/8
            "I" 1 * 1/8
            "N" 1 * 1/1
        }
        \context Staff = "P2S1"
        \with
        {
            instrumentName = \markup "Bassoon"
            shortInstrumentName = \markup "Bsn."
        }
        {
            \context Voice = "P2S1V1"
            {
                \clef "bass"
                \key f \major
                r4
                | % 0
                R1 * 3/4
                | % 1
                R1 * 3/4
                | % 2
                b,!4.
                \f
                ^ \markup \italic "nearer"
                e8
                d4
                | % 3
                d4.
                a,8
                r4
                | % 4
                R1 * 3/4
                | % 5
                R1 * 3/4
                | % 6
                R1 * 3/4
                | % 7
                R1 * 3/4
                | % 8
                \key e \major
                R1 * 3/4
                | % 9
                R1 * 3/4
                | % 10
                as,!4.
                \f
                ^ \markup \italic "nearer"
                ds8
                cs4
                | % 11
            }
        }
        \new Lyrics \lyricmode
        {
            \set associatedVoice = "P2S1V1"
            \skip 1 * 7/4
            "H" 1 * 3/8
            "E" 1 * 1/8
            "D" 1 * 1/4
            "D" 1 * 3/8
            "A" 1 * 39/8
            "H" 1 * 3/8
            "E" 1 * 1/8
            "D" 1 * 1/4
        }
        \context Staff = "P3S1"
        \with
        {
            instrumentName = \markup "Cello"
            shortInstrumentName = \markup "Vc."
        }
        {
            \context Voice = "P3S1V1"
            {
                \clef "bass"
                \key f \major
                r4
                | % 0
                d2.
                | % 1
                a,2.
                | % 2
                bf,2.
                | % 3
                a,2.
                | % 4
                d2.
                | % 5
                a,2.
                | % 6
                bf,2.
                | % 7
                d2.
                | % 8
                \key e \major
                cs2.
                | % 9
                gs,2.
                | % 10
                a,2.
                | % 11
            }
        }
        \context RhythmicStaff = "P4S1"
        \with
        {
            instrumentName = \markup "Snare drum"
            shortInstrumentName = \markup "S. D."
        }
        {
            \context Voice = "P4S1V1"
            {
                \clef "percussion"
                r4
                | % 0
                b'4
                b'8
                [
                b'8
                ]
                b'4
                | % 1
                b'4
                b'8
                [
                b'8
                ]
                b'4
                | % 2
                b'4
                b'8
                [
                b'8
                ]
                b'4
                | % 3
                b'4
                b'8
                [
                b'8
                ]
                b'4
                | % 4
                b'4
                b'8
                [
                b'8
                ]
                b'4
                | % 5
                b'4
                b'8
                [
                b'8
                ]
                b'4
                | % 6
                b'4
                b'8
                [
                b'8
                ]
                b'4
                | % 7
                b'4
                b'8
                [
                b'8
                ]
                b'4
                | % 8
                R1 * 3/4
                | % 9
                R1 * 3/4
                | % 10
                R1 * 3/4
                | % 11
            }
        }
    >>
    \header { piece = \markup "Theme and Variations" }
    \layout
    {
    }
}

% away (1, 1)
{
    \context Score = "Score"
    <<
        \context Devnull = "Global"
        {
            \set Score.currentBarNumber = #10
            \time 3/4
            \set Timing.measureLength = #(ly:make-moment 3/4)
            s1 * 3/4
            \pageBreak
            s1 * 3/4
            s1 * 3/4
            s1 * 3/4
            s1 * 3/4
            s1 * 3/4
            s1 * 3/4
            \bar ".|:"
            \once \override Score.BarNumber.break-visibility = #end-of-line-invisible
            \mark \markup { \bold \box \pad-markup #0.2 "C" \hspace #0.5 \fontsize #-2 \italic "II" }
            s1 * 3/4
            s1 * 3/4
            s1 * 3/4
            s1 * 3/4
            s1 * 3/4
            \pageBreak
            s1 * 3/4
            \noBreak
            s1 * 3/4
            \noBreak
            s1 * 3/4
            \bar ":|."
            \noBreak
            \textEndMark \markup { \italic "3 times" \hspace #0.5 }
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
                \key e \major
                ds''4.
                as'!8
                fss'!4
                | % 10
                R1 * 3/4
                | % 11
                R1 * 3/4
                | % 12
                e''4.
                \p
                gs''8
                e''4
                | % 13
                ds''4.
                as'!8
                fss'!4
                | % 14
                fs'?2.
                (
                | % 15
                ds'2
                )
                a'4
                - \staccato
                \mf
                | % 16
                \key f \major
                gs'!4
                - \staccato
                \p
                b'!8
                - \staccato
                [
                e''8
                ]
                ~
                e''4
                - \staccato
                | % 17
                f''4
                - \staccato
                a''8
                - \staccato
                [
                f''8
                ]
                ~
                f''4
                - \staccato
                | % 18
                R1 * 3/4
                | % 19
                R1 * 3/4
                | % 20
                gs'!4
                - \staccato
                \p
                b'!8
                - \staccato
                [
                e''8
                ]
                ~
                e''4
                - \staccato
                | % 21
                f''4
                - \staccato
                a''8
                - \staccato
                [
                f''8
                ]
                ~
                f''4
                - \staccato
                | % 22
                d''4
                c''4
                a'4
                | % 23
                e'2
                a'8
                \mf
                r8
                | % 24
            }
        }
        \new Lyrics \lyricmode
        {
            \set associatedVoice = "P1S1V1"
            "S" 1 * 3/8
            "I" 1 * 1/8
            "N" 1 * 7/4
            "T" 1 * 3/8
            "A" 1 * 1/8
            "M" 1 * 1/4
            "S" 1 * 3/8
            "I" 1 * 1/8
            "N" 1 * 7/4
            "N" 1 * 1/4
            "I" 1 * 1/8
            "S" 1 * 3/8
            "M" 1 * 1/4
            "A" 1 * 1/8
            "T" 1 * 15/8
            "N" 1 * 1/4
            "I" 1 * 1/8
            "S" 1 * 3/8
            "M" 1 * 1/4
            "A" 1 * 1/8
            "T" 1 * 15/8
        }
        \context Staff = "P2S1"
        \with
        {
            instrumentName = \markup "Bsn."
            shortInstrumentName = \markup "Bsn."
        }
        {
            \context Voice = "P2S1V1"
            {
                \clef "bass"
                \key e \major
                R1 * 3/4
                | % 10
                as,!4.
                \f
                ^ \markup \italic "nearer"
                ds8
                cs4
                | % 11
                cs4.
                gs,8
                r4
                | % 12
                R1 * 3/4
                | % 13
                R1 * 3/4
                | % 14
                R1 * 3/4
                | % 15
                R1 * 3/4
                | % 16
                \key f \major
                R1 * 3/4
                | % 17
                R1 * 3/4
                | % 18
                a,8
                - \staccato
                \f
                ^ \markup \italic "nearer"
                [
                d8
                ]
                ~
                d4
                - \staccato
                d4
                - \staccato
                | % 19
                e8
                - \staccato
                [
                b,!8
                ]
                ~
                b,4
                - \staccato
                r4
                | % 20
                b,!4.
                e8
                d4
                | % 21
                d4.
                a,8
                r4
                | % 22
                R1 * 3/4
                | % 23
                R1 * 3/4
                | % 24
            }
        }
        \new Lyrics \lyricmode
        {
            \set associatedVoice = "P2S1V1"
            \skip 1 * 3/4
            "H" 1 * 3/8
            "E" 1 * 1/8
            "D" 1 * 1/4
            "D" 1 * 3/8
            "A" 1 * 39/8
            "A" 1 * 1/8
            "D" 1 * 3/8
            "D" 1 * 1/4
            "E" 1 * 1/8
            "H" 1 * 5/8
            "H" 1 * 3/8
            "E" 1 * 1/8
            "D" 1 * 1/4
            "D" 1 * 3/8
            "A" 1 * 15/8
        }
        \context Staff = "P3S1"
        \with
        {
            instrumentName = \markup "Vc."
            shortInstrumentName = \markup "Vc."
        }
        {
            \context Voice = "P3S1V1"
            {
                \clef "bass"
                \key e \major
                gs,2.
                | % 10
                a,2.
                | % 11
                gs,2.
                | % 12
                cs2.
                | % 13
                gs,2.
                | % 14
                a,2.
                | % 15
                cs2.
                | % 16
                \key f \major
                d,2.
                ~
                | % 17
                d,2.
                ~
                | % 18
                d,2.
                ~
                | % 19
                d,2.
                ~
                | % 20
                d,2.
                ~
                | % 21
                d,2.
                ~
                | % 22
                d,2.
                ~
                | % 23
                d,2.
                | % 24
            }
        }
        \context RhythmicStaff = "P4S1"
        \with
        {
            instrumentName = \markup "S. D."
            shortInstrumentName = \markup "S. D."
        }
        {
            \context Voice = "P4S1V1"
            {
                \clef "percussion"
                R1 * 3/4
                | % 10
                R1 * 3/4
                | % 11
                R1 * 3/4
                | % 12
                R1 * 3/4
                | % 13
                R1 * 3/4
                | % 14
                R1 * 3/4
                | % 15
                R1 * 3/4
                | % 16
                b'4
                b'8
                [
                b'8
                ]
                b'4
                | % 17
                b'4
                b'8
                [
                b'8
                ]
                b'4
                | % 18
                b'4
                b'8
                [
                b'8
                ]
                b'4
                | % 19
                b'4
                b'8
                [
                b'8
                ]
                b'4
                | % 20
                b'4
                b'8
                [
                b'8
                ]
                b'4
                | % 21
                b'4
                b'8
                [
                b'8
                ]
                b'4
                | % 22
                b'4
                b'8
                [
                b'8
                ]
                b'4
                | % 23
                b'4
                b'8
                [
                b'8
                ]
                b'4
                | % 24
            }
        }
    >>
    \layout
    {
        indent = 15.3\mm
    }
}

% away (1, 0)
{
    \context Score = "Score"
    <<
        \context Devnull = "Global"
        {
            \set Score.currentBarNumber = #17
            \time 3/4
            \set Timing.measureLength = #(ly:make-moment 3/4)
            \once \override Score.BarNumber.break-visibility = #end-of-line-invisible
            \mark \markup { \bold \box \pad-markup #0.2 "C" \hspace #0.5 \fontsize #-2 \italic "II" }
            s1 * 3/4
            \noBreak
            s1 * 3/4
            \noBreak
            s1 * 3/4
            \noBreak
            s1 * 3/4
            \noBreak
            s1 * 3/4
            \pageBreak
            s1 * 3/4
            s1 * 3/4
            s1 * 3/4
            \bar ":|."
            \textEndMark \markup { \italic "3 times" \hspace #0.5 }
            \once \override Score.BarNumber.break-visibility = #end-of-line-invisible
            \mark \markup { \bold \box \pad-markup #0.2 "D" \hspace #0.5 \fontsize #-2 \italic "III" }
            s1 * 3/4
            s1 * 3/4
            s1 * 3/4
            s1 * 3/4
            s1 * 3/4
            s1 * 3/4
            s1 * 3/4
            s1 * 3/4
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
                \key f \major
                gs'!4
                - \staccato
                \p
                b'!8
                - \staccato
                [
                e''8
                ]
                ~
                e''4
                - \staccato
                | % 17
                f''4
                - \staccato
                a''8
                - \staccato
                [
                f''8
                ]
                ~
                f''4
                - \staccato
                | % 18
                R1 * 3/4
                | % 19
                R1 * 3/4
                | % 20
                gs'!4
                - \staccato
                \p
                b'!8
                - \staccato
                [
                e''8
                ]
                ~
                e''4
                - \staccato
                | % 21
                f''4
                - \staccato
                a''8
                - \staccato
                [
                f''8
                ]
                ~
                f''4
                - \staccato
                | % 22
                d''4
                c''4
                a'4
                | % 23
                e'2
                a'8
                \mf
                r8
                | % 24
                f''8.
                \p
                [
                a''16
                ]
                f''8
                [
                e''8
                ]
                ~
                e''16
                [
                b'!16
                gs'!8
                ]
                | % 25
                R1 * 3/4
                | % 26
                R1 * 3/4
                | % 27
                R1 * 3/4
                | % 28
                f''8.
                \p
                [
                a''16
                ]
                f''8
                [
                e''8
                ]
                ~
                e''16
                [
                b'!16
                gs'!8
                ]
                | % 29
                R1 * 3/4
                | % 30
                g'4.
                (
                e'4
                )
                r8
                | % 31
                R1 * 3/4
                | % 32
            }
        }
        \new Lyrics \lyricmode
        {
            \set associatedVoice = "P1S1V1"
            "N" 1 * 1/4
            "I" 1 * 1/8
            "S" 1 * 3/8
            "M" 1 * 1/4
            "A" 1 * 1/8
            "T" 1 * 15/8
            "N" 1 * 1/4
            "I" 1 * 1/8
            "S" 1 * 3/8
            "M" 1 * 1/4
            "A" 1 * 1/8
            "T" 1 * 15/8
            "T" 1 * 3/16
            "A" 1 * 1/16
            "M" 1 * 1/8
            "S" 1 * 3/16
            "I" 1 * 1/16
            "N" 1 * 19/8
            "T" 1 * 3/16
            "A" 1 * 1/16
            "M" 1 * 1/8
            "S" 1 * 3/16
            "I" 1 * 1/16
            "N" 1 * 19/8
        }
        \context Staff = "P2S1"
        \with
        {
            instrumentName = \markup "Bsn."
            shortInstrumentName = \markup "Bsn."
        }
        {
            \context Voice = "P2S1V1"
            {
                \clef "bass"
                \key f \major
                R1 * 3/4
                | % 17
                R1 * 3/4
                | % 18
                a,8
                - \staccato
                \f
                ^ \markup \italic "nearer"
                [
                d8
                ]
                ~
                d4
                - \staccato
                d4
                - \staccato
                | % 19
                e8
                - \staccato
                [
                b,!8
                ]
                ~
                b,4
                - \staccato
                r4
                | % 20
                b,!4.
                e8
                d4
                | % 21
                d4.
                a,8
                r4
                | % 22
                R1 * 3/4
                | % 23
                R1 * 3/4
                | % 24
                R1 * 3/4
                | % 25
                R1 * 3/4
                | % 26
                b,!8.
                \f
                ^ \markup \italic "nearer"
                [
                e16
                ]
                d8
                [
                d8
                ]
                ~
                d16
                [
                a,16
                ]
                r8
                | % 27
                R1 * 3/4
                | % 28
                R1 * 3/4
                | % 29
                R1 * 3/4
                | % 30
                R1 * 3/4
                | % 31
                R1 * 3/4
                | % 32
            }
        }
        \new Lyrics \lyricmode
        {
            \set associatedVoice = "P2S1V1"
            \skip 1 * 3/2
            "A" 1 * 1/8
            "D" 1 * 3/8
            "D" 1 * 1/4
            "E" 1 * 1/8
            "H" 1 * 5/8
            "H" 1 * 3/8
            "E" 1 * 1/8
            "D" 1 * 1/4
            "D" 1 * 3/8
            "A" 1 * 27/8
            "H" 1 * 3/16
            "E" 1 * 1/16
            "D" 1 * 1/8
            "D" 1 * 3/16
            "A" 1 * 63/16
        }
        \context Staff = "P3S1"
        \with
        {
            instrumentName = \markup "Vc."
            shortInstrumentName = \markup "Vc."
        }
        {
            \context Voice = "P3S1V1"
            {
                \clef "bass"
                \key f \major
                d,2.
                ~
                | % 17
                d,2.
                ~
                | % 18
                d,2.
                ~
                | % 19
                d,2.
                ~
                | % 20
                d,2.
                ~
                | % 21
                d,2.
                ~
                | % 22
                d,2.
                ~
                | % 23
                d,2.
                | % 24
                b,!4.
                e8
                d4
                | % 25
                d4.
                a,8
                b,!4
                ~
                | % 26
                b,8
                [
                e8
                ]
                d4
                d4
                ~
                | % 27
                d8
                [
                a,8
                ]
                b,!4.
                e8
                | % 28
                d4
                d4.
                a,8
                | % 29
                b,!4.
                e8
                d4
                | % 30
                d4.
                a,8
                b,!4
                ~
                | % 31
                b,8
                [
                e8
                ]
                d4
                d4
                | % 32
            }
        }
        \new Lyrics \lyricmode
        {
            \set associatedVoice = "P3S1V1"
            \skip 1 * 6/1
            "H" 1 * 3/8
            "E" 1 * 1/8
            "D" 1 * 1/4
            "D" 1 * 3/8
            "A" 1 * 1/8
            "H" 1 * 3/8
            "E" 1 * 1/8
            "D" 1 * 1/4
            "D" 1 * 3/8
            "A" 1 * 1/8
            "H" 1 * 3/8
            "E" 1 * 1/8
            "D" 1 * 1/4
            "D" 1 * 3/8
            "A" 1 * 1/8
            "H" 1 * 3/8
            "E" 1 * 1/8
            "D" 1 * 1/4
            "D" 1 * 3/8
            "A" 1 * 1/8
            "H" 1 * 3/8
            "E" 1 * 1/8
            "D" 1 * 1/4
            "D" 1 * 1/4
        }
        \context RhythmicStaff = "P4S1"
        \with
        {
            instrumentName = \markup "S. D."
            shortInstrumentName = \markup "S. D."
        }
        {
            \context Voice = "P4S1V1"
            {
                \clef "percussion"
                b'4
                b'8
                [
                b'8
                ]
                b'4
                | % 17
                b'4
                b'8
                [
                b'8
                ]
                b'4
                | % 18
                b'4
                b'8
                [
                b'8
                ]
                b'4
                | % 19
                b'4
                b'8
                [
                b'8
                ]
                b'4
                | % 20
                b'4
                b'8
                [
                b'8
                ]
                b'4
                | % 21
                b'4
                b'8
                [
                b'8
                ]
                b'4
                | % 22
                b'4
                b'8
                [
                b'8
                ]
                b'4
                | % 23
                b'4
                b'8
                [
                b'8
                ]
                b'4
                | % 24
                b'8
                [
                b'16
                b'16
                ]
                b'8
                [
                b'8
                ]
                b'16
                [
                b'16
                b'8
                ]
                | % 25
                b'8
                [
                b'16
                b'16
                ]
                b'8
                [
                b'8
                ]
                b'16
                [
                b'16
                b'8
                ]
                | % 26
                b'8
                [
                b'16
                b'16
                ]
                b'8
                [
                b'8
                ]
                b'16
                [
                b'16
                b'8
                ]
                | % 27
                b'8
                [
                b'16
                b'16
                ]
                b'8
                [
                b'8
                ]
                b'16
                [
                b'16
                b'8
                ]
                | % 28
                b'8
                [
                b'16
                b'16
                ]
                b'8
                [
                b'8
                ]
                b'16
                [
                b'16
                b'8
                ]
                | % 29
                b'8
                [
                b'16
                b'16
                ]
                b'8
                [
                b'8
                ]
                b'16
                [
                b'16
                b'8
                ]
                | % 30
                b'8
                [
                b'16
                b'16
                ]
                b'8
                [
                b'8
                ]
                b'16
                [
                b'16
                b'8
                ]
                | % 31
                b'8
                [
                b'16
                b'16
                ]
                b'8
                [
                b'8
                ]
                b'16
                [
                b'16
                b'8
                ]
                | % 32
            }
        }
    >>
    \layout
    {
        indent = 15.3\mm
    }
}

