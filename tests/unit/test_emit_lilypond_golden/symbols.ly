% C
\markup \concat { "C" }
% Cm
\markup \concat { "C" "m" }
% C7
\markup \concat { "C" \hspace #0.1 \raise #0.6 \fontsize #-2 \concat { "7" } }
% Cmaj7
\markup \concat { "C" \hspace #0.1 \raise #0.6 \fontsize #-2 \concat { "maj7" } }
% Cm7
\markup \concat { "C" "m" \hspace #0.1 \raise #0.6 \fontsize #-2 \concat { "7" } }
% Cmmaj7
\markup \concat { "C" "m" \hspace #0.1 \raise #0.6 \fontsize #-2 \concat { "maj7" } }
% Cdim
\markup \concat { "C" \hspace #0.1 \raise #0.6 \fontsize #-2 \concat { "dim" } }
% Cdim7
\markup \concat { "C" \hspace #0.1 \raise #0.6 \fontsize #-2 \concat { "dim7" } }
% Cm7b5
\markup \concat { "C" "m" \hspace #0.1 \raise #0.6 \fontsize #-2 \concat { "7" \hspace #0.3 \raise #0.5 \fontsize #-2 \flat \hspace #0.1 "5" } }
% Caug
\markup \concat { "C" \hspace #0.1 \raise #0.6 \fontsize #-2 \concat { "aug" } }
% Csus2
\markup \concat { "C" \hspace #0.1 \raise #0.6 \fontsize #-2 \concat { "sus2" } }
% Csus4
\markup \concat { "C" \hspace #0.1 \raise #0.6 \fontsize #-2 \concat { "sus4" } }
% C6
\markup \concat { "C" \hspace #0.1 \raise #0.6 \fontsize #-2 \concat { "6" } }
% Cm6
\markup \concat { "C" "m" \hspace #0.1 \raise #0.6 \fontsize #-2 \concat { "6" } }
% C9
\markup \concat { "C" \hspace #0.1 \raise #0.6 \fontsize #-2 \concat { "9" } }
% Cmaj9
\markup \concat { "C" \hspace #0.1 \raise #0.6 \fontsize #-2 \concat { "maj9" } }
% Cm9
\markup \concat { "C" "m" \hspace #0.1 \raise #0.6 \fontsize #-2 \concat { "9" } }
% Cadd9
\markup \concat { "C" \hspace #0.1 \raise #0.6 \fontsize #-2 \concat { "add9" } }
% F#m7
\markup \concat { "F" \hspace #0.1 \raise #0.6 \fontsize #-3 \sharp "m" \hspace #0.1 \raise #0.6 \fontsize #-2 \concat { "7" } }
% Bb
\markup \concat { "B" \hspace #0.1 \raise #0.6 \fontsize #-3 \flat }
% C##
\markup \concat { "C" \hspace #0.1 \raise #0.6 \fontsize #-3 \doublesharp }
% Ebb
\markup \concat { "E" \hspace #0.1 \raise #0.6 \fontsize #-3 \doubleflat }
% C/E
\markup \concat { "C" "/" "E" }
% F#m7b5/A
\markup \concat { "F" \hspace #0.1 \raise #0.6 \fontsize #-3 \sharp "m" \hspace #0.1 \raise #0.6 \fontsize #-2 \concat { "7" \hspace #0.3 \raise #0.5 \fontsize #-2 \flat \hspace #0.1 "5" } "/" "A" }
% C/Bb
\markup \concat { "C" "/" "B" \hspace #0.1 \raise #0.6 \fontsize #-3 \flat }
