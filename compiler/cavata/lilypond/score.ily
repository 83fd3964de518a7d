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
