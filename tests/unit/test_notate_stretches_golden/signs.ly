% cuts [(3, 5)]
% away (0, 1)
{
    \context Score = "Score"
    <<
        \context Devnull = "Global"
        {
            \set Score.currentBarNumber = #1
            \time 4/4
            \set Timing.measureLength = #(ly:make-moment 1/1)
            \tempo 4 = 72
            \grace { s16*2 }
            s1 * 1/1
            s1 * 1/1
            \grace { s16*2 }
            s1 * 1/1
            \pageBreak
            s1 * 1/1
            \bar "|."
            \noBreak
        }
        \context Staff = "P1S1"
        \with
        {
            instrumentName = \markup "Flute"
            shortInstrumentName = \markup "Fl."
        }
        {
            \context Voice = "P1S1V1"
            {
                \clef "treble"
                \key f \major
                \grace { s16*2 }
                d''4
                \fp
                e''4
                - \staccato
                f''4
                - \accent
                - \tenuto
                g''4
                - \staccatissimo
                | % 1
                a''8
                [
                (
                b''!8
                c'''8
                b''8
                )
                ]
                a''4
                - \marcato
                g''4
                ^ \markup \concat { \musicglyph "scripts.trill" \hspace #0.3 \raise #0.6 \fontsize #-4 \flat }
                \breathe
                | % 2
                \slashedGrace { e''8 }
                f''4
                e''8
                - \turn
                [
                f''8
                - \mordent
                ]
                \grace { e''16[ fs''!16 gs''!16] }
                g''!2
                | % 3
                a''2
                :32
                \glissando
                d''2
                - \fermata
                | % 4
            }
        }
        \context Staff = "P2S1O"
        \with
        {
            \magnifyStaff #2/3
            \override VerticalAxisGroup.staff-staff-spacing = #'((basic-distance . 6) (minimum-distance . 5) (padding . 0.8) (stretchability . 2))
            \override TimeSignature.stencil = ##f
            \override VerticalAxisGroup.remove-empty = ##t
            \override VerticalAxisGroup.remove-first = ##t
            explicitClefVisibility = #begin-of-line-visible
            explicitKeySignatureVisibility = #begin-of-line-visible
        }
        <<
            \context Voice = "P2S1OL"
            {
                \stopStaff
                \omit Staff.Clef
                \omit Staff.KeySignature
                \grace { s16*2 }
                s1 * 1/1
                \startStaff
                \undo \omit Staff.Clef
                \undo \omit Staff.KeySignature
                s1 * 1/1
                \stopStaff
                \omit Staff.Clef
                \omit Staff.KeySignature
                \grace { s16*2 }
                s1 * 2/1
            }
            \context Voice = "P2S1OV1"
            {
                \clef "treble"
                \key af \major
                \grace { s16*2 }
                s1 * 1/1
                | % 1
                \clef "treble"
                g''2
                ^ \markup \italic "ossia"
                \tuplet 3/2
                {
                    af''4
                    bf''4
                    c'''4
                }
                | % 2
                \grace { s16*2 }
                s1 * 1/1
                | % 3
                s1 * 1/1
                | % 4
            }
        >>
        \context Staff = "P2S1"
        \with
        {
            instrumentName = \markup "Clarinet in A"
            shortInstrumentName = \markup "Cl. (A)"
        }
        <<
            \context Voice = "P2S1V1"
            {
                \clef "treble"
                \key af \major
                \voiceOne
                \dynamicUp
                \grace { s16*2 }
                g''4
                \p
                af''8
                [
                bf''8
                ]
                c'''2
                | % 1
                \dynamicNeutral
                g''4
                \p
                \<
                af''8
                [
                bf''8
                ]
                c'''2
                \f
                | % 2
                \oneVoice
                \grace { s16*2 }
                \tweak color "#0072B2"
                af'8
                [
                \tweak color "#0072B2"
                c''8
                ]
                \tweak color "#0072B2"
                af'4
                \tweak color "#0072B2"
                g'8
                [
                \tweak color "#0072B2"
                d'!8
                ]
                \tweak color "#0072B2"
                bf4
                | % 3
                \tweak color "#D55E00"
                c''8
                [
                \tweak color "#D55E00"
                g'8
                ]
                \tweak color "#D55E00"
                f'4
                \tweak color "#D55E00"
                f'8
                [
                \tweak color "#D55E00"
                c'8
                ]
                r4
                | % 4
            }
            \context Voice = "P2S1V2"
            {
                \voiceTwo
                \grace { s16*2 }
                ef''2
                \f
                f''4
                g''4
                | % 1
                \tuplet 3/2
                {
                    ef''8
                    [
                    f''8
                    ef''8
                    ]
                }
                r4
                f''4
                g''4
                | % 2
                \oneVoice
                \grace { s16*2 }
                s1 * 1/1
                | % 3
                s1 * 1/1
                | % 4
            }
        >>
        \new Lyrics \lyricmode
        {
            \set associatedVoice = "P2S1V1"
            \skip 1 * 2/1
            "T" 1 * 1/8
            "A" 1 * 1/8
            "M" 1 * 1/4
            "S" 1 * 1/8
            "I" 1 * 1/8
            "N" 1 * 1/4
            "H" 1 * 1/8
            "E" 1 * 1/8
            "D" 1 * 1/4
            "D" 1 * 1/8
            "A" 1 * 3/8
        }
        \context PianoStaff = "P3"
        \with
        {
            connectArpeggios = ##t
            instrumentName = \markup "Piano"
            shortInstrumentName = \markup "Pno."
        }
        <<
            \context Staff = "P3S1"
            <<
                \context Voice = "P3S1V1"
                {
                    \clef "treble"
                    \key f \major
                    \oneVoice
                    \grace { s16*2 }
                    <d'' f''>2
                    - \arpeggio
                    <c'' e''>2
                    - \arpeggio
                    | % 1
                    \once \override DynamicText.self-alignment-X = #LEFT
                    \once \override DynamicText.extra-spacing-width = #'(0 . 0.5)
                    \once \override DynamicText.extra-spacing-height = #'(-10 . 2)
                    <d'' f''>4
                    - \arpeggio
                    \mp
                    <d'' fs''!>4
                    g''2
                    | % 2
                    \grace { s16*2 }
                    e'''8
                    [
                    f'''8
                    g'''8
                    a'''8
                    ]
                    b'''!8
                    [
                    c''''8
                    b'''8
                    a'''8
                    ]
                    | % 3
                    \voiceOne
                    d''4
                    e''8
                    - \accent
                    [
                    f''8
                    ]
                    g''2
                    | % 4
                }
                \context Voice = "P3S1V2"
                {
                    \oneVoice
                    \grace { s16*2 }
                    s1 * 1/1
                    | % 1
                    s1 * 1/1
                    | % 2
                    \grace { s16*2 }
                    s1 * 1/1
                    | % 3
                    \voiceTwo
                    b'!2
                    a'4
                    - \tenuto
                    g'4
                    | % 4
                }
            >>
            \context Staff = "P3S2"
            {
                \context Voice = "P3S2V1"
                {
                    \clef "bass"
                    \key f \major
                    \grace { s16*2 }
                    <d a>2
                    - \arpeggio
                    <d a>2
                    - \arpeggio
                    | % 1
                    d4
                    <d, a,>4
                    d4
                    a,4
                    | % 2
                    \grace { s16*2 }
                    c8
                    [
                    c,8
                    \ottava #-1
                    a,,8
                    g,,8
                    ]
                    f,,8
                    [
                    e,,8
                    d,,8
                    c,,8
                    ]
                    | % 3
                    \ottava #0
                    c''2
                    g'2
                    | % 4
                }
            }
            \new Dynamics \with
            {
                \override VerticalAxisGroup.staff-affinity = #UP
            }
            {
                s1 * 1/1
                s1 * 1/2 \sustainOn
                s1 * 1/2 \sustainOff \sustainOn
                s1 * 2/1 \sustainOff
            }
        >>
        \context Staff = "P4S1"
        \with
        {
            instrumentName = \markup "Violin"
            shortInstrumentName = \markup "Vln."
        }
        <<
            \context Voice = "P4S1V1"
            {
                \clef "treble"
                \key f \major
                \oneVoice
                \grace { s16*2 }
                d''4
                - \markup "Scordatura: G–D–A–D"
                (
                - \tweak bound-details.left.text \markup \italic "sul A " \startTextSpan
                e''4
                f''4
                g''4
                )
                \stopTextSpan
                | % 1
                <
                    d'
                    \tweak NoteHead.style #'harmonic
                    g'
                >4
                \p
                (
                <
                    e'
                    \tweak NoteHead.style #'harmonic
                    a'
                >4
                <
                    f'
                    \tweak NoteHead.style #'harmonic
                    bf'
                >2
                )
                | % 2
                \grace { s16*2 }
                \tweak NoteHead.style #'harmonic
                e'''4
                - \upbow
                ^ \markup "pizz."
                ^ \markup \italic "sul D"
                \tweak NoteHead.style #'harmonic
                a'4
                - \upbow
                ^ \markup \italic "sul D"
                \tweak NoteHead.style #'harmonic
                e'''4
                - \upbow
                ^ \markup \italic "sul D"
                r4
                | % 3
                a''4
                ^ \markup "arco, con sord."
                d''4
                ^ \markup \italic "sul A"
                <d'' b''!>2
                - \downbow
                | % 4
            }
            \context Voice = "P4S1V2"
            {
                \oneVoice
                \grace { s16*2 }
                s1 * 1/1
                | % 1
                s1 * 1/1
                | % 2
                \grace { s16*2 }
                s1 * 1/1
                | % 3
                s1 * 1/1
                | % 4
            }
        >>
        \context Staff = "P5S1"
        \with
        {
            instrumentName = \markup "Guitar"
            shortInstrumentName = \markup "Gtr."
        }
        {
            \context Voice = "P5S1V1"
            {
                \clef "treble"
                \key f \major
                \grace { s16*2 }
                a'4
                c''4
                \3
                d''4
                e''4
                \2
                | % 1
                <e' b'! e''>2
                - \arpeggio
                \laissezVibrer
                <a' e''>2
                - \arpeggio
                \laissezVibrer
                | % 2
                \grace { s16*2 }
                \tweak NoteHead.style #'harmonic
                a4
                \6
                \tweak NoteHead.style #'harmonic
                g4
                \6
                \tweak NoteHead.style #'harmonic
                e'2
                \6
                | % 3
                <
                    d'
                    \tweak NoteHead.style #'harmonic
                    a'
                >2
                \3
                e''2
                \1
                | % 4
            }
        }
        \context RhythmicStaff = "P6S1"
        \with
        {
            instrumentName = \markup "Snare drum"
            shortInstrumentName = \markup "S. D."
        }
        {
            \context Voice = "P6S1V1"
            {
                \clef "percussion"
                \slashedGrace { b'8 }
                b'4
                - \accent
                \f
                _ \markup \small "R"
                \grace { b'16[ b'16] }
                b'8
                - \accent
                _ \markup \small "L"
                [
                b'8
                - \accent
                _ \markup \small "R"
                ]
                \tuplet 3/2
                {
                    b'8
                    - \accent
                    _ \markup \small "L"
                    [
                    b'8
                    - \accent
                    b'8
                    - \accent
                    ]
                }
                b'4
                - \accent
                | % 1
                b'2
                :32
                b'2
                :32
                | % 2
                \grace { s16*2 }
                R1 * 1/1
                | % 3
                R1 * 1/1
                | % 4
            }
        }
        \context Staff = "P7S1"
        \with
        {
            instrumentName = \markup "Cello"
            shortInstrumentName = \markup "Vc."
        }
        {
            \context Voice = "P7S1V1"
            {
                \clef "bass"
                \key f \major
                \grace { s16*2 }
                c1
                \p
                | % 1
                c4
                d4
                a'2
                | % 2
                \clef "treble"
                \grace { s16*2 }
                c''8
                [
                d''8
                e''8
                f''8
                ]
                e''8
                [
                d''8
                c''8
                d''8
                ]
                | % 3
                e''4
                f''4
                e''4
                d''4
                | % 4
            }
        }
    >>
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
            \set Score.currentBarNumber = #3
            \time 4/4
            \set Timing.measureLength = #(ly:make-moment 1/1)
            \grace { s16*2 }
            s1 * 1/1
            \pageBreak
            s1 * 1/1
            s1 * 1/1
            \pageBreak
            s1 * 1/1
            \noBreak
            s1 * 1/1
            \bar "|."
            \noBreak
        }
        \context Staff = "P1S1"
        \with
        {
            instrumentName = \markup "Fl."
            shortInstrumentName = \markup "Fl."
        }
        {
            \context Voice = "P1S1V1"
            {
                \clef "treble"
                \key f \major
                \slashedGrace { e''8 }
                f''4
                e''8
                - \turn
                [
                f''8
                - \mordent
                ]
                \grace { e''16[ fs''!16 gs''!16] }
                g''!2
                | % 3
                a''2
                :32
                \glissando
                d''2
                - \fermata
                | % 4
                \after 1*7/8 \f
                e''1
                \p
                \<
                | % 5
                \after 1*7/8 \!
                e''1
                - \tweak circled-tip ##t \>
                | % 6
                e''4
                ^ \markup "double tongue"
                - \tweak circled-tip ##t \<
                f''4
                g''4
                a''4
                \f
                | % 7
            }
        }
        \new Lyrics \with
        {
            \override VerticalAxisGroup.staff-affinity = #DOWN
            \override LyricText.font-size = #0
            \override LyricText.self-alignment-X = #LEFT
            \override LyricSpace.minimum-distance = #0.8
        }
        \lyricmode
        {
            \skip 1 * 2/1
            \markup \concat { "F" "m" } 1 * 1/12
            \markup \concat { "B" \hspace #0.1 \raise #0.6 \fontsize #-3 \flat "m" } 1 * 1/12
            \markup \concat { "C" "m" } 1 * 11/6
            \markup \concat { "F" "m" } 1 * 1/4
            \markup \concat { "D" \hspace #0.1 \raise #0.6 \fontsize #-3 \flat \hspace #0.1 \raise #0.6 \fontsize #-2 \concat { "7" } } 1 * 1/2
            \markup \concat { "E" \hspace #0.1 \raise #0.6 \fontsize #-3 \flat \hspace #0.1 \raise #0.6 \fontsize #-2 \concat { "add9" } } 1 * 1/4
        }
        \context Staff = "P2S1"
        \with
        {
            instrumentName = \markup "Cl. (A)"
            shortInstrumentName = \markup "Cl. (A)"
        }
        <<
            \context Voice = "P2S1V1"
            {
                \clef "treble"
                \key af \major
                \oneVoice
                \grace { s16*2 }
                \tweak color "#0072B2"
                af'8
                [
                \tweak color "#0072B2"
                c''8
                ]
                \tweak color "#0072B2"
                af'4
                \tweak color "#0072B2"
                g'8
                [
                \tweak color "#0072B2"
                d'!8
                ]
                \tweak color "#0072B2"
                bf4
                | % 3
                \tweak color "#D55E00"
                c''8
                [
                \tweak color "#D55E00"
                g'8
                ]
                \tweak color "#D55E00"
                f'4
                \tweak color "#D55E00"
                f'8
                [
                \tweak color "#D55E00"
                c'8
                ]
                r4
                | % 4
                \tuplet 3/2
                {
                    \tweak color "#0072B2"
                    af'8
                    _ \markup \small "x"
                    [
                    \tweak color "#0072B2"
                    c''8
                    \tweak color "#0072B2"
                    af'8
                    ]
                }
                \tuplet 5/4
                {
                    \tweak color "#0072B2"
                    g'8
                    [
                    \set stemLeftBeamCount = #2
                    \set stemRightBeamCount = #1
                    \tweak color "#0072B2"
                    d'!16
                    \tweak color "#0072B2"
                    bf8
                    ]
                }
                r2
                | % 5
                f''4
                - \trill
                f''4
                ^ \markup \concat { \musicglyph "scripts.trill" \hspace #0.3 \raise #0.6 \fontsize #-4 \sharp }
                f''4
                :16
                f''4
                \laissezVibrer
                | % 6
                f''8
                _ \markup \small "a"
                [
                g''8
                _ \markup \small "b"
                ]
                af''2
                _ \markup \small "c"
                f''8
                [
                f''8
                ]
                | % 7
            }
            \context Voice = "P2S1V2"
            {
                \oneVoice
                \grace { s16*2 }
                s1 * 1/1
                | % 3
                s1 * 1/1
                | % 4
                s1 * 1/1
                | % 5
                s1 * 1/1
                | % 6
                s1 * 1/1
                | % 7
            }
        >>
        \new FiguredBass \figuremode
        {
            \set figuredBassAlterationDirection = #LEFT
            \skip 1 * 25/12
            <6> 1 * 1/12
            <4> 1 * 1/24
            <3> 1 * 61/24
            <6 4> 1 * 1/16
            <5 3> 1 * 3/16
        }
        \new Lyrics \lyricmode
        {
            \set associatedVoice = "P2S1V1"
            "T" 1 * 1/8
            "A" 1 * 1/8
            "M" 1 * 1/4
            "S" 1 * 1/8
            "I" 1 * 1/8
            "N" 1 * 1/4
            "H" 1 * 1/8
            "E" 1 * 1/8
            "D" 1 * 1/4
            "D" 1 * 1/8
            "A" 1 * 3/8
            "T" 1 * 1/12
            "A" 1 * 1/12
            "M" 1 * 1/12
            "S" 1 * 1/10
            "I" 1 * 1/20
            "N" 1 * 13/5
        }
        \context PianoStaff = "P3"
        \with
        {
            connectArpeggios = ##t
            instrumentName = \markup "Pno."
            shortInstrumentName = \markup "Pno."
        }
        <<
            \context Staff = "P3S1"
            <<
                \context Voice = "P3S1V1"
                {
                    \clef "treble"
                    \key f \major
                    \oneVoice
                    \grace { s16*2 }
                    e'''8
                    [
                    f'''8
                    g'''8
                    a'''8
                    ]
                    b'''!8
                    [
                    c''''8
                    b'''8
                    a'''8
                    ]
                    | % 3
                    \voiceOne
                    d''4
                    e''8
                    - \accent
                    [
                    f''8
                    ]
                    g''2
                    | % 4
                    \tuplet 3/2
                    {
                        \oneVoice
                        d''8
                        [
                        e''8
                        f''8
                        ]
                    }
                    g''4
                    \tuplet 5/4
                    {
                        d''16
                        [
                        e''16
                        \tuplet 3/2
                        {
                            f''32
                            g''32
                            f''32
                        }
                        e''16
                        d''16
                        ]
                    }
                    c''4
                    | % 5
                    d''16
                    \f
                    [
                    \>
                    e''16
                    f''16
                    g''16
                    ]
                    a''8.
                    [
                    g''16
                    ]
                    \tuplet 5/4
                    {
                        f''16
                        [
                        e''16
                        d''16
                        c''16
                        b'!16
                        ]
                    }
                    \tuplet 3/2
                    {
                        a'8
                        r8
                        b'8
                        \p
                    }
                    | % 6
                    R1 * 1/1
                    | % 7
                }
                \context Voice = "P3S1V2"
                {
                    \oneVoice
                    \grace { s16*2 }
                    s1 * 1/1
                    | % 3
                    \voiceTwo
                    b'!2
                    a'4
                    - \tenuto
                    g'4
                    | % 4
                    \oneVoice
                    s1 * 1/1
                    | % 5
                    s1 * 1/1
                    | % 6
                    s1 * 1/1
                    | % 7
                }
            >>
            \context Staff = "P3S2"
            {
                \context Voice = "P3S2V1"
                {
                    \clef "bass"
                    \key f \major
                    \grace { s16*2 }
                    c8
                    [
                    c,8
                    \ottava #-1
                    a,,8
                    g,,8
                    ]
                    f,,8
                    [
                    e,,8
                    d,,8
                    c,,8
                    ]
                    | % 3
                    \ottava #0
                    c''2
                    g'2
                    | % 4
                    <c g>2
                    \p
                    (
                    \<
                    <c a>2
                    \f
                    )
                    | % 5
                    R1 * 1/1
                    | % 6
                    R1 * 1/1
                    | % 7
                }
            }
            \new Dynamics \with
            {
                \override VerticalAxisGroup.staff-affinity = #UP
            }
            {
                s1 * 25/12
                s1 * 7/15 \sustainOn
                s1 * 49/20 \sustainOff
            }
        >>
        \context Staff = "P4S1"
        \with
        {
            instrumentName = \markup "Vln."
            shortInstrumentName = \markup "Vln."
        }
        <<
            \context Voice = "P4S1V1"
            {
                \clef "treble"
                \key f \major
                \oneVoice
                \grace { s16*2 }
                \tweak NoteHead.style #'harmonic
                e'''4
                - \upbow
                ^ \markup "pizz."
                ^ \markup \italic "sul D"
                \tweak NoteHead.style #'harmonic
                a'4
                - \upbow
                ^ \markup \italic "sul D"
                \tweak NoteHead.style #'harmonic
                e'''4
                - \upbow
                ^ \markup \italic "sul D"
                r4
                | % 3
                a''4
                ^ \markup "arco, con sord."
                d''4
                ^ \markup \italic "sul A"
                <d'' b''!>2
                - \downbow
                | % 4
                \once \override TextScript.extra-spacing-width = #'(0 . 0.3)
                g''1
                :32
                ^ \markup \italic "poco a poco"
                ^ \markup \italic "sempre"
                | % 5
                \voiceOne
                \tweak color "#0072B2"
                g''8
                [
                \tweak color "#0072B2"
                b''!8
                \tweak color "#0072B2"
                g''8
                \tweak color "#0072B2"
                fs''!8
                ]
                \tweak color "#0072B2"
                b'!8
                [
                \tweak color "#0072B2"
                g'8
                ]
                r4
                | % 6
                \oneVoice
                R1 * 1/1
                | % 7
            }
            \context Voice = "P4S1V2"
            {
                \oneVoice
                \grace { s16*2 }
                s1 * 1/1
                | % 3
                s1 * 1/1
                | % 4
                s1 * 1/1
                | % 5
                \tuplet 3/2
                {
                    \voiceTwo
                    \tweak color "#D55E00"
                    a'8
                    [
                    \tweak color "#D55E00"
                    e'8
                    \tweak color "#D55E00"
                    d'8
                    ]
                }
                \tweak color "#D55E00"
                d'4
                \tuplet 3/2
                {
                    \tweak color "#D55E00"
                    a8
                    r4
                }
                r4
                | % 6
                \oneVoice
                s1 * 1/1
                | % 7
            }
        >>
        \new Lyrics \lyricmode
        {
            \set associatedVoice = "P4S1V1"
            \skip 1 * 3/1
            "T" 1 * 1/8
            "A" 1 * 1/8
            "M" 1 * 1/8
            "S" 1 * 1/8
            "I" 1 * 1/8
            "N" 1 * 11/8
        }
        \new Lyrics \lyricmode
        {
            \set associatedVoice = "P4S1V2"
            \skip 1 * 3/1
            "H" 1 * 1/12
            "E" 1 * 1/12
            "D" 1 * 1/12
            "D" 1 * 1/4
            "A" 1 * 3/2
        }
        \context Staff = "P5S1"
        \with
        {
            instrumentName = \markup "Gtr."
            shortInstrumentName = \markup "Gtr."
        }
        {
            \context Voice = "P5S1V1"
            {
                \clef "treble"
                \key f \major
                \grace { s16*2 }
                \tweak NoteHead.style #'harmonic
                a4
                \6
                \tweak NoteHead.style #'harmonic
                g4
                \6
                \tweak NoteHead.style #'harmonic
                e'2
                \6
                | % 3
                <
                    d'
                    \tweak NoteHead.style #'harmonic
                    a'
                >2
                \3
                e''2
                \1
                | % 4
                R1 * 1/1
                | % 5
                R1 * 1/1
                | % 6
                R1 * 1/1
                | % 7
            }
        }
        \context RhythmicStaff = "P6S1"
        \with
        {
            instrumentName = \markup "S. D."
            shortInstrumentName = \markup "S. D."
        }
        {
            \context Voice = "P6S1V1"
            {
                \clef "percussion"
                \grace { s16*2 }
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
            }
        }
        \context Staff = "P7S1"
        \with
        {
            instrumentName = \markup "Vc."
            shortInstrumentName = \markup "Vc."
        }
        {
            \context Voice = "P7S1V1"
            {
                \clef "bass"
                \key f \major
                \clef "treble"
                \grace { s16*2 }
                c''8
                [
                d''8
                e''8
                f''8
                ]
                e''8
                [
                d''8
                c''8
                d''8
                ]
                | % 3
                e''4
                f''4
                e''4
                d''4
                | % 4
                \clef "bass"
                c,1
                | % 5
                cs!2
                - \tweak bound-details.left.text \markup \italic "sul C " \startTextSpan
                c!2
                | % 6
                cs!4
                \stopTextSpan
                cf'!4
                bs!4
                c'!4
                | % 7
            }
        }
    >>
    \layout
    {
        indent = 17.0\mm
    }
}

% away (1, 0)
{
    \context Score = "Score"
    <<
        \context Devnull = "Global"
        {
            \set Score.currentBarNumber = #5
            \time 4/4
            \set Timing.measureLength = #(ly:make-moment 1/1)
            s1 * 1/1
            \pageBreak
            s1 * 1/1
            s1 * 1/1
            s1 * 1/1
            \bar "|."
        }
        \context Staff = "P1S1"
        \with
        {
            instrumentName = \markup "Fl."
            shortInstrumentName = \markup "Fl."
        }
        {
            \context Voice = "P1S1V1"
            {
                \clef "treble"
                \key f \major
                \after 1*7/8 \f
                e''1
                \p
                \<
                | % 5
                \after 1*7/8 \!
                e''1
                - \tweak circled-tip ##t \>
                | % 6
                e''4
                ^ \markup "double tongue"
                - \tweak circled-tip ##t \<
                f''4
                g''4
                a''4
                \f
                | % 7
                e''4
                \<
                -#(make-dynamic-script "rf p")
                \once \set fontSize = #-3
                f''4
                _\markup \dynamic "sfz"
                \once \set fontSize = #-3
                g''4
                \ff
                a''4
                \caesura
                | % 8
            }
        }
        \new Lyrics \with
        {
            \override VerticalAxisGroup.staff-affinity = #DOWN
            \override LyricText.font-size = #0
            \override LyricText.self-alignment-X = #LEFT
            \override LyricSpace.minimum-distance = #0.8
        }
        \lyricmode
        {
            \markup \concat { "F" "m" } 1 * 1/12
            \markup \concat { "B" \hspace #0.1 \raise #0.6 \fontsize #-3 \flat "m" } 1 * 1/12
            \markup \concat { "C" "m" } 1 * 11/6
            \markup \concat { "F" "m" } 1 * 1/4
            \markup \concat { "D" \hspace #0.1 \raise #0.6 \fontsize #-3 \flat \hspace #0.1 \raise #0.6 \fontsize #-2 \concat { "7" } } 1 * 1/2
            \markup \concat { "E" \hspace #0.1 \raise #0.6 \fontsize #-3 \flat \hspace #0.1 \raise #0.6 \fontsize #-2 \concat { "add9" } } 1 * 5/4
        }
        \context Staff = "P2S1"
        \with
        {
            instrumentName = \markup "Cl. (A)"
            shortInstrumentName = \markup "Cl. (A)"
        }
        <<
            \context Voice = "P2S1V1"
            {
                \tuplet 3/2
                {
                    \clef "treble"
                    \key af \major
                    \oneVoice
                    \tweak color "#0072B2"
                    af'8
                    _ \markup \small "x"
                    [
                    \tweak color "#0072B2"
                    c''8
                    \tweak color "#0072B2"
                    af'8
                    ]
                }
                \tuplet 5/4
                {
                    \tweak color "#0072B2"
                    g'8
                    [
                    \set stemLeftBeamCount = #2
                    \set stemRightBeamCount = #1
                    \tweak color "#0072B2"
                    d'!16
                    \tweak color "#0072B2"
                    bf8
                    ]
                }
                r2
                | % 5
                f''4
                - \trill
                f''4
                ^ \markup \concat { \musicglyph "scripts.trill" \hspace #0.3 \raise #0.6 \fontsize #-4 \sharp }
                f''4
                :16
                f''4
                \laissezVibrer
                | % 6
                f''8
                _ \markup \small "a"
                [
                g''8
                _ \markup \small "b"
                ]
                af''2
                _ \markup \small "c"
                f''8
                [
                f''8
                ]
                | % 7
                R1 * 1/1
                | % 8
            }
            \context Voice = "P2S1V2"
            {
                \oneVoice
                s1 * 1/1
                | % 5
                s1 * 1/1
                | % 6
                s1 * 1/1
                | % 7
                s1 * 1/1
                | % 8
            }
        >>
        \new FiguredBass \figuremode
        {
            \set figuredBassAlterationDirection = #LEFT
            \skip 1 * 1/12
            <6> 1 * 1/12
            <4> 1 * 1/24
            <3> 1 * 61/24
            <6 4> 1 * 1/16
            <5 3> 1 * 19/16
        }
        \new Lyrics \lyricmode
        {
            \set associatedVoice = "P2S1V1"
            "T" 1 * 1/12
            "A" 1 * 1/12
            "M" 1 * 1/12
            "S" 1 * 1/10
            "I" 1 * 1/20
            "N" 1 * 18/5
        }
        \context PianoStaff = "P3"
        \with
        {
            connectArpeggios = ##t
            instrumentName = \markup "Pno."
            shortInstrumentName = \markup "Pno."
        }
        <<
            \context Staff = "P3S1"
            <<
                \context Voice = "P3S1V1"
                {
                    \tuplet 3/2
                    {
                        \clef "treble"
                        \key f \major
                        \oneVoice
                        d''8
                        [
                        e''8
                        f''8
                        ]
                    }
                    g''4
                    \tuplet 5/4
                    {
                        d''16
                        [
                        e''16
                        \tuplet 3/2
                        {
                            f''32
                            g''32
                            f''32
                        }
                        e''16
                        d''16
                        ]
                    }
                    c''4
                    | % 5
                    d''16
                    \f
                    [
                    \>
                    e''16
                    f''16
                    g''16
                    ]
                    a''8.
                    [
                    g''16
                    ]
                    \tuplet 5/4
                    {
                        f''16
                        [
                        e''16
                        d''16
                        c''16
                        b'!16
                        ]
                    }
                    \tuplet 3/2
                    {
                        a'8
                        r8
                        b'8
                        \p
                    }
                    | % 6
                    R1 * 1/1
                    | % 7
                    R1 * 1/1
                    | % 8
                }
                \context Voice = "P3S1V2"
                {
                    \oneVoice
                    s1 * 1/1
                    | % 5
                    s1 * 1/1
                    | % 6
                    s1 * 1/1
                    | % 7
                    s1 * 1/1
                    | % 8
                }
            >>
            \context Staff = "P3S2"
            {
                \context Voice = "P3S2V1"
                {
                    \clef "bass"
                    \key f \major
                    <c g>2
                    \p
                    (
                    \<
                    <c a>2
                    \f
                    )
                    | % 5
                    R1 * 1/1
                    | % 6
                    R1 * 1/1
                    | % 7
                    R1 * 1/1
                    | % 8
                }
            }
            \new Dynamics \with
            {
                \override VerticalAxisGroup.staff-affinity = #UP
            }
            {
                s1 * 1/12
                s1 * 7/15 \sustainOn
                s1 * 69/20 \sustainOff
            }
        >>
        \context Staff = "P4S1"
        \with
        {
            instrumentName = \markup "Vln."
            shortInstrumentName = \markup "Vln."
        }
        <<
            \context Voice = "P4S1V1"
            {
                \clef "treble"
                \key f \major
                \oneVoice
                \once \override TextScript.extra-spacing-width = #'(0 . 0.3)
                g''1
                :32
                ^ \markup \italic "poco a poco"
                ^ \markup \italic "sempre"
                | % 5
                \voiceOne
                \tweak color "#0072B2"
                g''8
                [
                \tweak color "#0072B2"
                b''!8
                \tweak color "#0072B2"
                g''8
                \tweak color "#0072B2"
                fs''!8
                ]
                \tweak color "#0072B2"
                b'!8
                [
                \tweak color "#0072B2"
                g'8
                ]
                r4
                | % 6
                \oneVoice
                R1 * 1/1
                | % 7
                R1 * 1/1
                | % 8
            }
            \context Voice = "P4S1V2"
            {
                \oneVoice
                s1 * 1/1
                | % 5
                \tuplet 3/2
                {
                    \voiceTwo
                    \tweak color "#D55E00"
                    a'8
                    [
                    \tweak color "#D55E00"
                    e'8
                    \tweak color "#D55E00"
                    d'8
                    ]
                }
                \tweak color "#D55E00"
                d'4
                \tuplet 3/2
                {
                    \tweak color "#D55E00"
                    a8
                    r4
                }
                r4
                | % 6
                \oneVoice
                s1 * 1/1
                | % 7
                s1 * 1/1
                | % 8
            }
        >>
        \new Lyrics \lyricmode
        {
            \set associatedVoice = "P4S1V1"
            \skip 1 * 1/1
            "T" 1 * 1/8
            "A" 1 * 1/8
            "M" 1 * 1/8
            "S" 1 * 1/8
            "I" 1 * 1/8
            "N" 1 * 19/8
        }
        \new Lyrics \lyricmode
        {
            \set associatedVoice = "P4S1V2"
            \skip 1 * 1/1
            "H" 1 * 1/12
            "E" 1 * 1/12
            "D" 1 * 1/12
            "D" 1 * 1/4
            "A" 1 * 5/2
        }
        \context Staff = "P5S1"
        \with
        {
            instrumentName = \markup "Gtr."
            shortInstrumentName = \markup "Gtr."
        }
        {
            \context Voice = "P5S1V1"
            {
                \clef "treble"
                \key f \major
                R1 * 1/1
                | % 5
                R1 * 1/1
                | % 6
                R1 * 1/1
                | % 7
                R1 * 1/1
                | % 8
            }
        }
        \context RhythmicStaff = "P6S1"
        \with
        {
            instrumentName = \markup "S. D."
            shortInstrumentName = \markup "S. D."
        }
        {
            \context Voice = "P6S1V1"
            {
                \clef "percussion"
                R1 * 1/1
                | % 5
                R1 * 1/1
                | % 6
                R1 * 1/1
                | % 7
                R1 * 1/1
                | % 8
            }
        }
        \context Staff = "P7S1"
        \with
        {
            instrumentName = \markup "Vc."
            shortInstrumentName = \markup "Vc."
        }
        {
            \context Voice = "P7S1V1"
            {
                \clef "treble"
                \key f \major
                \clef "bass"
                c,1
                | % 5
                cs!2
                - \tweak bound-details.left.text \markup \italic "sul C " \startTextSpan
                c!2
                | % 6
                cs!4
                \stopTextSpan
                cf'!4
                bs!4
                c'!4
                | % 7
                R1 * 1/1
                | % 8
            }
        }
    >>
    \layout
    {
        indent = 17.0\mm
    }
}

