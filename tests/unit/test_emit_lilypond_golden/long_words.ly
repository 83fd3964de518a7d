% letters of 40
            "letterletterletterletterletterletterxxxx" 1 * 1/1
            "letterletterletterletterletterletterxxxx" 1 * 1/1
% words of 40
                ^ \markup \italic "letters letters letters letters letters!"
                ^ \markup \italic "letters letters letters letters letters!"
% who of 40
                - \markup "letters letters letters letters letters!"
                - \markup "letters letters letters letters letters!"
% a section of 40
            \mark \markup \fontsize #-2 \italic "letters letters letters letters letters!"
% letters of 41
            "letterletterletterletterletterletterxxxx" 1 * 1/1
            "letterletterletterletterletterletterxxxx" 1 * 1/1
% words of 41
                ^ \markup \italic \column { "letters letters letters letters" "letters !" }
                ^ \markup \italic \column { "letters letters letters letters" "letters !" }
% who of 41
                - \markup \column { "letters letters letters letters" "letters !" }
                - \markup \column { "letters letters letters letters" "letters !" }
% a section of 41
            \mark \markup \fontsize #-2 \italic \column { "letters letters letters letters" "letters !" }
% a syllable of 80
            "letterletterletterletterletterletterletterletterletterletterletterletterletterxx" 1 * 1/1
            "letterletterletterletterletterletterletterletterletterletterletterletterletterxx" 1 * 1/1
% a syllable of 81
            "letterletterletterletterletterletterletterletterletterletterletterletterletterxx" 1 * 1/1
            "letterletterletterletterletterletterletterletterletterletterletterletterletterxx" 1 * 1/1
% a rehearsal mark of 20
            \mark \markup \bold \box \pad-markup #0.2 "letterslettersxxxxxx"
% a rehearsal mark of 21
            \mark \markup \bold \box \pad-markup #0.2 "letterslettersxxxxxx"
% a title of 50
    \header { piece = \markup "letters letters letters letters letters letters l!" }
% a title of 51
    \header { piece = \markup \center-column { "letters letters letters letters letters" "letters le!" } }
% a title of 150
    \header { piece = \markup \center-column { "letters letters letters letters letters letters" "letters letters letters letters letters letters" "letters letters letters letters letters letters…" } }
% a title of 151
    \header { piece = \markup \center-column { "letters letters letters letters letters letters" "letters letters letters letters letters letters" "letters letters letters letters letters letters…" } }
% a section of 120
            \mark \markup \fontsize #-2 \italic \column { "letters letters letters letters letters" "letters letters letters letters letters" "letters letters letters letters letters!" }
% a section of 121
            \mark \markup \fontsize #-2 \italic \column { "letters letters letters letters letters" "letters letters letters letters letters" "letters letters letters letters…" }
% words of 160
                - \markup \column { "letters letters letters letters letters" "letters letters letters letters letters" "letters letters letters letters letters" "letters letters letters letters letters!" }
                ^ \markup \italic \column { "letters letters letters letters letters" "letters letters letters letters letters" "letters letters letters letters letters" "letters letters letters letters letters!" }
                - \markup \column { "letters letters letters letters letters" "letters letters letters letters letters" "letters letters letters letters letters" "letters letters letters letters letters!" }
                ^ \markup \italic \column { "letters letters letters letters letters" "letters letters letters letters letters" "letters letters letters letters letters" "letters letters letters letters letters!" }
% words of 161
                - \markup \column { "letters letters letters letters letters" "letters letters letters letters letters" "letters letters letters letters letters" "letters letters letters letters…" }
                ^ \markup \italic \column { "letters letters letters letters letters" "letters letters letters letters letters" "letters letters letters letters letters" "letters letters letters letters…" }
                - \markup \column { "letters letters letters letters letters" "letters letters letters letters letters" "letters letters letters letters letters" "letters letters letters letters…" }
                ^ \markup \italic \column { "letters letters letters letters letters" "letters letters letters letters letters" "letters letters letters letters letters" "letters letters letters letters…" }
% a name of 16
            instrumentName = \markup "letters letters!"
            shortInstrumentName = \markup "letters letters!"
            instrumentName = \markup "letters letters!"
            shortInstrumentName = \markup "letters letters!"
% a group of 16
            instrumentName = \markup "letters letters!"
            shortInstrumentName = \markup "letters letters!"
% a name of 17
            instrumentName = \markup \center-column { "letters" "letters !" }
            shortInstrumentName = \markup \center-column { "letters" "letters !" }
            instrumentName = \markup \center-column { "letters" "letters !" }
            shortInstrumentName = \markup \center-column { "letters" "letters !" }
% a group of 17
            instrumentName = \markup \center-column { "letters" "letters !" }
            shortInstrumentName = \markup \center-column { "letters" "letters !" }
% a name of 48
            instrumentName = \markup \center-column { "letters letters" "letters letters" "letters letters!" }
            shortInstrumentName = \markup \center-column { "letters letters" "letters letters" "letters letters!" }
            instrumentName = \markup \center-column { "letters letters" "letters letters" "letters letters!" }
            shortInstrumentName = \markup \center-column { "letters letters" "letters letters" "letters letters!" }
% a group of 48
            instrumentName = \markup \center-column { "letters letters" "letters letters" "letters letters!" }
            shortInstrumentName = \markup \center-column { "letters letters" "letters letters" "letters letters!" }
% a name of 49
            instrumentName = \markup \center-column { "letters letters" "letters letters" "letters…" }
            shortInstrumentName = \markup \center-column { "letters letters" "letters letters" "letters…" }
            instrumentName = \markup \center-column { "letters letters" "letters letters" "letters…" }
            shortInstrumentName = \markup \center-column { "letters letters" "letters letters" "letters…" }
% a group of 49
            instrumentName = \markup \center-column { "letters letters" "letters letters" "letters…" }
            shortInstrumentName = \markup \center-column { "letters letters" "letters letters" "letters…" }
% a string
                ^ \markup \small "letters"
                ^ \markup \small "letters"
% a line of the script
                ^ \markup \with-color #(x11-color "grey50") \abs-fontsize #6 \sans "letters 12"
                ^ \markup \with-color #(x11-color "grey50") \abs-fontsize #6 \sans "letters 12"
