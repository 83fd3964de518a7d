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
        % Rests are as wide as what stands over them, and no letter or tempo reaches the next.
        \override RehearsalMark.extra-spacing-width = #'(0 . 1)
        \override RehearsalMark.extra-spacing-height = #'(4 . 4)
        \override MetronomeMark.extra-spacing-width = #'(0 . 1)
        \override MetronomeMark.extra-spacing-height = #'(4 . 4)
        \override MetronomeMark.outside-staff-horizontal-padding = #0.8
        % What stands at the end of a bar does not touch the letter at the next one.
        \override TextMark.X-offset =
            #(lambda (mark) (- (self-alignment-interface::self-aligned-on-breakable mark) 0.6))
        \remove Mark_engraver
    }
    % The voice of what all staves share is a line of its own above the staff, on which all letters stand. It has no
    % width, so that tempi belong to the staff below it; a letter has more than it shows, so that none touches it.
    \context
    {
        \Devnull
        \consists Axis_group_engraver
        \consists Mark_engraver
        \override VerticalAxisGroup.staff-affinity = #DOWN
        \override VerticalAxisGroup.X-extent = #empty-interval
        % Where it is empty it is not there, or nothing would hold apart what is above and below it.
        \override VerticalAxisGroup.remove-empty = ##t
        \override VerticalAxisGroup.remove-first = ##t
        keepAliveInterfaces = #'(mark-interface)
        \override VerticalAxisGroup.nonstaff-relatedstaff-spacing =
            #'((basic-distance . 0) (minimum-distance . 0) (padding . 0.6) (stretchability . 0))
        \override VerticalAxisGroup.nonstaff-nonstaff-spacing =
            #'((basic-distance . 0) (minimum-distance . 0) (padding . 0.6) (stretchability . 0))
        \override RehearsalMark.vertical-skylines = #wider-outline
        \override RehearsalMark.outside-staff-priority = ##f
        \override RehearsalMark.Y-offset = #0
    }
    \context
    {
        \CueVoice
        autoBeaming = ##f
        fontSize = #-3
        % A flag is nearly as long as the stem of so small a note.
        \override Stem.length-fraction = #0.8
        \override TextScript.font-size = #2
        \override TextScript.font-shape = #'upright
    }
}
