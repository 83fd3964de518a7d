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
        % What it prints is placed by the staff below it alone, and does not keep itself on the page.
        stavesFound = #'()
        keepAliveInterfaces = #'()
        \override VerticalAxisGroup.staff-affinity = #DOWN
        \override VerticalAxisGroup.nonstaff-relatedstaff-spacing.padding = #0.8
    }
    \context
    {
        \Score
        \accepts MarksAbove
        % Beside the tip of the bracket, which reaches over the staff.
        \override BarNumber.X-offset = #(lambda (grob) (+ 1.5 (self-alignment-interface::self-aligned-on-breakable grob)))
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
