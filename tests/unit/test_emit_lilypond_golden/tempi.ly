% 1/4 = 60
\tempo 4 = 60
\tempo "So" 4 = 60
% 1/4 = 185/2
\tempo \markup \normal-text \concat { \smaller \general-align #Y #DOWN \note {4} #UP " = 92.5" }
\tempo \markup { \general-align #Y #DOWN "So" \normal-text \concat { "(" \smaller \general-align #Y #DOWN \note {4} #UP " = 92.5" ")" } }
% 1/4 = 1000/3
\tempo \markup \normal-text \concat { \smaller \general-align #Y #DOWN \note {4} #UP " = 333.3" }
\tempo \markup { \general-align #Y #DOWN "So" \normal-text \concat { "(" \smaller \general-align #Y #DOWN \note {4} #UP " = 333.3" ")" } }
% 1/4 = 599/10
\tempo \markup \normal-text \concat { \smaller \general-align #Y #DOWN \note {4} #UP " = 59.9" }
\tempo \markup { \general-align #Y #DOWN "So" \normal-text \concat { "(" \smaller \general-align #Y #DOWN \note {4} #UP " = 59.9" ")" } }
% 1/4 = 6001/100
\tempo \markup \normal-text \concat { \smaller \general-align #Y #DOWN \note {4} #UP " = 60" }
\tempo \markup { \general-align #Y #DOWN "So" \normal-text \concat { "(" \smaller \general-align #Y #DOWN \note {4} #UP " = 60" ")" } }
% 1/4 = 1199/20
\tempo \markup \normal-text \concat { \smaller \general-align #Y #DOWN \note {4} #UP " = 60" }
\tempo \markup { \general-align #Y #DOWN "So" \normal-text \concat { "(" \smaller \general-align #Y #DOWN \note {4} #UP " = 60" ")" } }
% 3/8 = 60
\tempo 4. = 60
\tempo "So" 4. = 60
% 3/8 = 185/2
\tempo \markup \normal-text \concat { \smaller \general-align #Y #DOWN \note {4.} #UP " = 92.5" }
\tempo \markup { \general-align #Y #DOWN "So" \normal-text \concat { "(" \smaller \general-align #Y #DOWN \note {4.} #UP " = 92.5" ")" } }
% 7/16 = 60
\tempo 4.. = 60
\tempo "So" 4.. = 60
% 7/16 = 185/2
\tempo \markup \normal-text \concat { \smaller \general-align #Y #DOWN \note {4..} #UP " = 92.5" }
\tempo \markup { \general-align #Y #DOWN "So" \normal-text \concat { "(" \smaller \general-align #Y #DOWN \note {4..} #UP " = 92.5" ")" } }
% 1/16 = 60
\tempo 16 = 60
\tempo "So" 16 = 60
% 1/16 = 185/2
\tempo \markup \normal-text \concat { \smaller \general-align #Y #DOWN \note {16} #UP " = 92.5" }
\tempo \markup { \general-align #Y #DOWN "So" \normal-text \concat { "(" \smaller \general-align #Y #DOWN \note {16} #UP " = 92.5" ")" } }
% 2 = 60
\tempo \markup \normal-text \concat { \smaller \general-align #Y #DOWN \note {1} #UP " + " \smaller \general-align #Y #DOWN \note {1} #UP " = 60" }
\tempo \markup { \general-align #Y #DOWN "So" \normal-text \concat { "(" \smaller \general-align #Y #DOWN \note {1} #UP " + " \smaller \general-align #Y #DOWN \note {1} #UP " = 60" ")" } }
% 2 = 185/2
\tempo \markup \normal-text \concat { \smaller \general-align #Y #DOWN \note {1} #UP " + " \smaller \general-align #Y #DOWN \note {1} #UP " = 92.5" }
\tempo \markup { \general-align #Y #DOWN "So" \normal-text \concat { "(" \smaller \general-align #Y #DOWN \note {1} #UP " + " \smaller \general-align #Y #DOWN \note {1} #UP " = 92.5" ")" } }
% 3/2 = 60
\tempo 1. = 60
\tempo "So" 1. = 60
% 3/2 = 185/2
\tempo \markup \normal-text \concat { \smaller \general-align #Y #DOWN \note {1.} #UP " = 92.5" }
\tempo \markup { \general-align #Y #DOWN "So" \normal-text \concat { "(" \smaller \general-align #Y #DOWN \note {1.} #UP " = 92.5" ")" } }
% 3 = 60
\tempo \markup \normal-text \concat { "3" " = 60" }
\tempo \markup { \general-align #Y #DOWN "So" \normal-text \concat { "(" "3" " = 60" ")" } }
% 3 = 185/2
\tempo \markup \normal-text \concat { "3" " = 92.5" }
\tempo \markup { \general-align #Y #DOWN "So" \normal-text \concat { "(" "3" " = 92.5" ")" } }
% 5/8 = 60
\tempo \markup \normal-text \concat { \smaller \general-align #Y #DOWN \note {2} #UP " + " \smaller \general-align #Y #DOWN \note {8} #UP " = 60" }
\tempo \markup { \general-align #Y #DOWN "So" \normal-text \concat { "(" \smaller \general-align #Y #DOWN \note {2} #UP " + " \smaller \general-align #Y #DOWN \note {8} #UP " = 60" ")" } }
% 5/8 = 185/2
\tempo \markup \normal-text \concat { \smaller \general-align #Y #DOWN \note {2} #UP " + " \smaller \general-align #Y #DOWN \note {8} #UP " = 92.5" }
\tempo \markup { \general-align #Y #DOWN "So" \normal-text \concat { "(" \smaller \general-align #Y #DOWN \note {2} #UP " + " \smaller \general-align #Y #DOWN \note {8} #UP " = 92.5" ")" } }
% 9/8 = 60
\tempo \markup \normal-text \concat { \smaller \general-align #Y #DOWN \note {1} #UP " + " \smaller \general-align #Y #DOWN \note {8} #UP " = 60" }
\tempo \markup { \general-align #Y #DOWN "So" \normal-text \concat { "(" \smaller \general-align #Y #DOWN \note {1} #UP " + " \smaller \general-align #Y #DOWN \note {8} #UP " = 60" ")" } }
% 9/8 = 185/2
\tempo \markup \normal-text \concat { \smaller \general-align #Y #DOWN \note {1} #UP " + " \smaller \general-align #Y #DOWN \note {8} #UP " = 92.5" }
\tempo \markup { \general-align #Y #DOWN "So" \normal-text \concat { "(" \smaller \general-align #Y #DOWN \note {1} #UP " + " \smaller \general-align #Y #DOWN \note {8} #UP " = 92.5" ")" } }
% 1/12 = 60
\tempo \markup \normal-text \concat { "1/12" " = 60" }
\tempo \markup { \general-align #Y #DOWN "So" \normal-text \concat { "(" "1/12" " = 60" ")" } }
% 1/12 = 185/2
\tempo \markup \normal-text \concat { "1/12" " = 92.5" }
\tempo \markup { \general-align #Y #DOWN "So" \normal-text \concat { "(" "1/12" " = 92.5" ")" } }
% 15/16 = 60
\tempo \markup \normal-text \concat { \smaller \general-align #Y #DOWN \note {2} #UP " + " \smaller \general-align #Y #DOWN \note {4..} #UP " = 60" }
\tempo \markup { \general-align #Y #DOWN "So" \normal-text \concat { "(" \smaller \general-align #Y #DOWN \note {2} #UP " + " \smaller \general-align #Y #DOWN \note {4..} #UP " = 60" ")" } }
% 15/16 = 185/2
\tempo \markup \normal-text \concat { \smaller \general-align #Y #DOWN \note {2} #UP " + " \smaller \general-align #Y #DOWN \note {4..} #UP " = 92.5" }
\tempo \markup { \general-align #Y #DOWN "So" \normal-text \concat { "(" \smaller \general-align #Y #DOWN \note {2} #UP " + " \smaller \general-align #Y #DOWN \note {4..} #UP " = 92.5" ")" } }
% 1 = 60
\tempo 1 = 60
\tempo "So" 1 = 60
% 1 = 185/2
\tempo \markup \normal-text \concat { \smaller \general-align #Y #DOWN \note {1} #UP " = 92.5" }
\tempo \markup { \general-align #Y #DOWN "So" \normal-text \concat { "(" \smaller \general-align #Y #DOWN \note {1} #UP " = 92.5" ")" } }
% 11/8 = 60
\tempo \markup \normal-text \concat { \smaller \general-align #Y #DOWN \note {1} #UP " + " \smaller \general-align #Y #DOWN \note {4.} #UP " = 60" }
\tempo \markup { \general-align #Y #DOWN "So" \normal-text \concat { "(" \smaller \general-align #Y #DOWN \note {1} #UP " + " \smaller \general-align #Y #DOWN \note {4.} #UP " = 60" ")" } }
% 11/8 = 185/2
\tempo \markup \normal-text \concat { \smaller \general-align #Y #DOWN \note {1} #UP " + " \smaller \general-align #Y #DOWN \note {4.} #UP " = 92.5" }
\tempo \markup { \general-align #Y #DOWN "So" \normal-text \concat { "(" \smaller \general-align #Y #DOWN \note {1} #UP " + " \smaller \general-align #Y #DOWN \note {4.} #UP " = 92.5" ")" } }
% words of 56 letters
\tempo "letters letters letters letters letters letters letters!" 4 = 60
\tempo \markup { \general-align #Y #DOWN "letters letters letters letters letters letters letters!" \normal-text \concat { "(" \smaller \general-align #Y #DOWN \note {4} #UP " = 60.5" ")" } }
\tempo \markup \bold "letters letters letters letters letters letters letters!"
\tempo \markup \medium \italic "letters letters letters letters letters letters letters!"
\tempo \markup { \general-align #Y #DOWN "letters letters letters letters letters letters letters!" \normal-text \concat { "(" \smaller \general-align #Y #DOWN \note {4.} #UP " = " \smaller \general-align #Y #DOWN \note {4} #UP ")" } }
% words of 57 letters
\tempo \markup \general-align #Y #DOWN \column { "letters letters letters letters letters letters" "letters !" } 4 = 60
\tempo \markup { \general-align #Y #DOWN \column { "letters letters letters letters letters letters" "letters !" } \normal-text \concat { "(" \smaller \general-align #Y #DOWN \note {4} #UP " = 60.5" ")" } }
\tempo \markup \bold \column { "letters letters letters letters letters letters" "letters !" }
\tempo \markup \medium \italic \column { "letters letters letters letters letters letters" "letters !" }
\tempo \markup { \general-align #Y #DOWN \column { "letters letters letters letters letters letters" "letters !" } \normal-text \concat { "(" \smaller \general-align #Y #DOWN \note {4.} #UP " = " \smaller \general-align #Y #DOWN \note {4} #UP ")" } }
% words of 112 letters
\tempo \markup \general-align #Y #DOWN \column { "letters letters letters letters letters letters letters" "letters letters letters letters letters letters letters!" } 4 = 60
\tempo \markup { \general-align #Y #DOWN \column { "letters letters letters letters letters letters letters" "letters letters letters letters letters letters letters!" } \normal-text \concat { "(" \smaller \general-align #Y #DOWN \note {4} #UP " = 60.5" ")" } }
\tempo \markup \bold \column { "letters letters letters letters letters letters letters" "letters letters letters letters letters letters letters!" }
\tempo \markup \medium \italic \column { "letters letters letters letters letters letters letters" "letters letters letters letters letters letters letters!" }
\tempo \markup { \general-align #Y #DOWN \column { "letters letters letters letters letters letters letters" "letters letters letters letters letters letters letters!" } \normal-text \concat { "(" \smaller \general-align #Y #DOWN \note {4.} #UP " = " \smaller \general-align #Y #DOWN \note {4} #UP ")" } }
% words of 168 letters
\tempo \markup \general-align #Y #DOWN \column { "letters letters letters letters letters letters letters" "letters letters letters letters letters letters letters" "letters letters letters letters letters letters letters!" } 4 = 60
\tempo \markup { \general-align #Y #DOWN \column { "letters letters letters letters letters letters letters" "letters letters letters letters letters letters letters" "letters letters letters letters letters letters letters!" } \normal-text \concat { "(" \smaller \general-align #Y #DOWN \note {4} #UP " = 60.5" ")" } }
\tempo \markup \bold \column { "letters letters letters letters letters letters letters" "letters letters letters letters letters letters letters" "letters letters letters letters letters letters letters!" }
\tempo \markup \medium \italic \column { "letters letters letters letters letters letters letters" "letters letters letters letters letters letters letters" "letters letters letters letters letters letters letters!" }
\tempo \markup { \general-align #Y #DOWN \column { "letters letters letters letters letters letters letters" "letters letters letters letters letters letters letters" "letters letters letters letters letters letters letters!" } \normal-text \concat { "(" \smaller \general-align #Y #DOWN \note {4.} #UP " = " \smaller \general-align #Y #DOWN \note {4} #UP ")" } }
% words of 169 letters
\tempo \markup \general-align #Y #DOWN \column { "letters letters letters letters letters letters letters" "letters letters letters letters letters letters letters" "letters letters letters letters letters letters…" } 4 = 60
\tempo \markup { \general-align #Y #DOWN \column { "letters letters letters letters letters letters letters" "letters letters letters letters letters letters letters" "letters letters letters letters letters letters…" } \normal-text \concat { "(" \smaller \general-align #Y #DOWN \note {4} #UP " = 60.5" ")" } }
\tempo \markup \bold \column { "letters letters letters letters letters letters letters" "letters letters letters letters letters letters letters" "letters letters letters letters letters letters…" }
\tempo \markup \medium \italic \column { "letters letters letters letters letters letters letters" "letters letters letters letters letters letters letters" "letters letters letters letters letters letters…" }
\tempo \markup { \general-align #Y #DOWN \column { "letters letters letters letters letters letters letters" "letters letters letters letters letters letters letters" "letters letters letters letters letters letters…" } \normal-text \concat { "(" \smaller \general-align #Y #DOWN \note {4.} #UP " = " \smaller \general-align #Y #DOWN \note {4} #UP ")" } }
% an equation alone
\tempo \markup \normal-text \concat { "(" \smaller \general-align #Y #DOWN \note {2} #UP " + " \smaller \general-align #Y #DOWN \note {8} #UP " = " \smaller \general-align #Y #DOWN \note {4} #UP ")" }
