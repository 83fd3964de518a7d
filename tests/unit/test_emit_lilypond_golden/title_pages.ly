% titles of 20 letters
\bookpart
{
    \paper
    {
        top-margin = 49.5\mm
        bookTitleMarkup = ##f
        oddHeaderMarkup = ##f
        evenHeaderMarkup = ##f
        oddFooterMarkup = \markup \abs-fontsize #10 \column { \fill-line { "letters letters let!" } \fill-line { "letters letters let!" } \fill-line { "letters letters let!" } }
        evenFooterMarkup = \markup \abs-fontsize #10 \column { \fill-line { "letters letters let!" } \fill-line { "letters letters let!" } \fill-line { "letters letters let!" } }
        print-page-number = ##f
    }
    \markup \column
    {
        \fill-line { \abs-fontsize #12 \italic "letters letters let!" }
        \vspace #2.00
        \fill-line { \abs-fontsize #16 "letters letters let!" }
        \vspace #2.50
        \fill-line { \abs-fontsize #30 \bold "letters letters let!" }
        \vspace #1.00
        \fill-line { \abs-fontsize #14 "letters letters let!" }
        \vspace #3.00
    }
}
% titles of 24 letters
\bookpart
{
    \paper
    {
        top-margin = 49.5\mm
        bookTitleMarkup = ##f
        oddHeaderMarkup = ##f
        evenHeaderMarkup = ##f
        oddFooterMarkup = \markup \abs-fontsize #10 \column { \fill-line { "letters letters letters!" } \fill-line { "letters letters letters!" } \fill-line { "letters letters letters!" } }
        evenFooterMarkup = \markup \abs-fontsize #10 \column { \fill-line { "letters letters letters!" } \fill-line { "letters letters letters!" } \fill-line { "letters letters letters!" } }
        print-page-number = ##f
    }
    \markup \column
    {
        \fill-line { \abs-fontsize #12 \italic "letters letters letters!" }
        \vspace #2.00
        \fill-line { \abs-fontsize #16 "letters letters letters!" }
        \vspace #2.50
        \fill-line { \abs-fontsize #30 \bold "letters letters letters!" }
        \vspace #1.00
        \fill-line { \abs-fontsize #14 "letters letters letters!" }
        \vspace #3.00
    }
}
% titles of 25 letters
\bookpart
{
    \paper
    {
        top-margin = 49.5\mm
        bookTitleMarkup = ##f
        oddHeaderMarkup = ##f
        evenHeaderMarkup = ##f
        oddFooterMarkup = \markup \abs-fontsize #10 \column { \fill-line { "letters letters letters !" } \fill-line { "letters letters letters !" } \fill-line { "letters letters letters !" } }
        evenFooterMarkup = \markup \abs-fontsize #10 \column { \fill-line { "letters letters letters !" } \fill-line { "letters letters letters !" } \fill-line { "letters letters letters !" } }
        print-page-number = ##f
    }
    \markup \column
    {
        \fill-line { \abs-fontsize #12 \italic "letters letters letters !" }
        \vspace #2.00
        \fill-line { \abs-fontsize #16 "letters letters letters !" }
        \vspace #2.50
        \fill-line { \abs-fontsize #30 \bold \center-column { "letters letters" "letters !" } }
        \vspace #1.00
        \fill-line { \abs-fontsize #14 "letters letters letters !" }
        \vspace #3.00
    }
}
% titles of 44 letters
\bookpart
{
    \paper
    {
        top-margin = 49.5\mm
        bookTitleMarkup = ##f
        oddHeaderMarkup = ##f
        evenHeaderMarkup = ##f
        oddFooterMarkup = \markup \abs-fontsize #10 \column { \fill-line { "letters letters letters letters letters let!" } \fill-line { "letters letters letters letters letters let!" } \fill-line { "letters letters letters letters letters let!" } }
        evenFooterMarkup = \markup \abs-fontsize #10 \column { \fill-line { "letters letters letters letters letters let!" } \fill-line { "letters letters letters letters letters let!" } \fill-line { "letters letters letters letters letters let!" } }
        print-page-number = ##f
    }
    \markup \column
    {
        \fill-line { \abs-fontsize #12 \italic "letters letters letters letters letters let!" }
        \vspace #2.00
        \fill-line { \abs-fontsize #16 "letters letters letters letters letters let!" }
        \vspace #2.50
        \fill-line { \abs-fontsize #30 \bold \center-column { "letters letters letters" "letters letters let!" } }
        \vspace #1.00
        \fill-line { \abs-fontsize #14 "letters letters letters letters letters let!" }
        \vspace #3.00
    }
}
% titles of 45 letters
\bookpart
{
    \paper
    {
        top-margin = 49.5\mm
        bookTitleMarkup = ##f
        oddHeaderMarkup = ##f
        evenHeaderMarkup = ##f
        oddFooterMarkup = \markup \abs-fontsize #10 \column { \fill-line { "letters letters letters letters letters lett!" } \fill-line { "letters letters letters letters letters lett!" } \fill-line { "letters letters letters letters letters lett!" } }
        evenFooterMarkup = \markup \abs-fontsize #10 \column { \fill-line { "letters letters letters letters letters lett!" } \fill-line { "letters letters letters letters letters lett!" } \fill-line { "letters letters letters letters letters lett!" } }
        print-page-number = ##f
    }
    \markup \column
    {
        \fill-line { \abs-fontsize #12 \italic "letters letters letters letters letters lett!" }
        \vspace #2.00
        \fill-line { \abs-fontsize #16 \center-column { "letters letters letters letters letters" "lett!" } }
        \vspace #2.50
        \fill-line { \abs-fontsize #30 \bold \center-column { "letters letters letters" "letters letters lett!" } }
        \vspace #1.00
        \fill-line { \abs-fontsize #14 "letters letters letters letters letters lett!" }
        \vspace #3.00
    }
}
% titles of 54 letters
\bookpart
{
    \paper
    {
        top-margin = 49.5\mm
        bookTitleMarkup = ##f
        oddHeaderMarkup = ##f
        evenHeaderMarkup = ##f
        oddFooterMarkup = \markup \abs-fontsize #10 \column { \fill-line { "letters letters letters letters letters letters lette!" } \fill-line { "letters letters letters letters letters letters lette!" } \fill-line { "letters letters letters letters letters letters lette!" } }
        evenFooterMarkup = \markup \abs-fontsize #10 \column { \fill-line { "letters letters letters letters letters letters lette!" } \fill-line { "letters letters letters letters letters letters lette!" } \fill-line { "letters letters letters letters letters letters lette!" } }
        print-page-number = ##f
    }
    \markup \column
    {
        \fill-line { \abs-fontsize #12 \italic "letters letters letters letters letters letters lette!" }
        \vspace #2.00
        \fill-line { \abs-fontsize #16 \center-column { "letters letters letters letters letters" "letters lette!" } }
        \vspace #2.50
        \fill-line { \abs-fontsize #30 \bold \center-column { "letters letters letters" "letters letters letters" "lette!" } }
        \vspace #1.00
        \fill-line { \abs-fontsize #14 "letters letters letters letters letters letters lette!" }
        \vspace #3.00
    }
}
% titles of 55 letters
\bookpart
{
    \paper
    {
        top-margin = 49.5\mm
        bookTitleMarkup = ##f
        oddHeaderMarkup = ##f
        evenHeaderMarkup = ##f
        oddFooterMarkup = \markup \abs-fontsize #10 \column { \fill-line { "letters letters letters letters letters letters letter!" } \fill-line { "letters letters letters letters letters letters letter!" } \fill-line { "letters letters letters letters letters letters letter!" } }
        evenFooterMarkup = \markup \abs-fontsize #10 \column { \fill-line { "letters letters letters letters letters letters letter!" } \fill-line { "letters letters letters letters letters letters letter!" } \fill-line { "letters letters letters letters letters letters letter!" } }
        print-page-number = ##f
    }
    \markup \column
    {
        \fill-line { \abs-fontsize #12 \italic "letters letters letters letters letters letters letter!" }
        \vspace #2.00
        \fill-line { \abs-fontsize #16 \center-column { "letters letters letters letters letters" "letters letter!" } }
        \vspace #2.50
        \fill-line { \abs-fontsize #30 \bold \center-column { "letters letters letters" "letters letters letters" "letter!" } }
        \vspace #1.00
        \fill-line { \abs-fontsize #14 \center-column { "letters letters letters letters letters letters" "letter!" } }
        \vspace #3.00
    }
}
% titles of 60 letters
\bookpart
{
    \paper
    {
        top-margin = 49.5\mm
        bookTitleMarkup = ##f
        oddHeaderMarkup = ##f
        evenHeaderMarkup = ##f
        oddFooterMarkup = \markup \abs-fontsize #10 \column { \fill-line { "letters letters letters letters letters letters letters let!" } \fill-line { "letters letters letters letters letters letters letters let!" } \fill-line { "letters letters letters letters letters letters letters let!" } }
        evenFooterMarkup = \markup \abs-fontsize #10 \column { \fill-line { "letters letters letters letters letters letters letters let!" } \fill-line { "letters letters letters letters letters letters letters let!" } \fill-line { "letters letters letters letters letters letters letters let!" } }
        print-page-number = ##f
    }
    \markup \column
    {
        \fill-line { \abs-fontsize #12 \italic "letters letters letters letters letters letters letters let!" }
        \vspace #2.00
        \fill-line { \abs-fontsize #16 \center-column { "letters letters letters letters letters" "letters letters let!" } }
        \vspace #2.50
        \fill-line { \abs-fontsize #30 \bold \center-column { "letters letters letters" "letters letters letters" "letters let!" } }
        \vspace #1.00
        \fill-line { \abs-fontsize #14 \center-column { "letters letters letters letters letters letters" "letters let!" } }
        \vspace #3.00
    }
}
% titles of 61 letters
\bookpart
{
    \paper
    {
        top-margin = 49.5\mm
        bookTitleMarkup = ##f
        oddHeaderMarkup = ##f
        evenHeaderMarkup = ##f
        oddFooterMarkup = \markup \abs-fontsize #10 \column { \fill-line { "letters letters letters letters letters letters letters lett!" } \fill-line { "letters letters letters letters letters letters letters lett!" } \fill-line { "letters letters letters letters letters letters letters lett!" } }
        evenFooterMarkup = \markup \abs-fontsize #10 \column { \fill-line { "letters letters letters letters letters letters letters lett!" } \fill-line { "letters letters letters letters letters letters letters lett!" } \fill-line { "letters letters letters letters letters letters letters lett!" } }
        print-page-number = ##f
    }
    \markup \column
    {
        \fill-line { \abs-fontsize #12 \italic \center-column { "letters letters letters letters letters letters letters" "lett!" } }
        \vspace #2.00
        \fill-line { \abs-fontsize #16 \center-column { "letters letters letters letters letters" "letters letters lett!" } }
        \vspace #2.50
        \fill-line { \abs-fontsize #30 \bold \center-column { "letters letters letters" "letters letters letters" "letters lett!" } }
        \vspace #1.00
        \fill-line { \abs-fontsize #14 \center-column { "letters letters letters letters letters letters" "letters lett!" } }
        \vspace #3.00
    }
}
% 1 lines of forces
\bookpart
{
    \paper
    {
        top-margin = 49.5\mm
        bookTitleMarkup = ##f
        oddHeaderMarkup = ##f
        evenHeaderMarkup = ##f
        oddFooterMarkup = ##f
        evenFooterMarkup = ##f
        print-page-number = ##f
    }
    \markup \column
    {
        \fill-line { \abs-fontsize #30 \bold "T" }
        \vspace #1.25
        \vspace #3.75
        \fill-line { \abs-fontsize #10.5 \line { \override #'(baseline-skip . 3.05) \left-column { "Player 0" } } }
        \vspace #1.25
    }
}
% 9 lines of forces
\bookpart
{
    \paper
    {
        top-margin = 49.5\mm
        bookTitleMarkup = ##f
        oddHeaderMarkup = ##f
        evenHeaderMarkup = ##f
        oddFooterMarkup = ##f
        evenFooterMarkup = ##f
        print-page-number = ##f
    }
    \markup \column
    {
        \fill-line { \abs-fontsize #30 \bold "T" }
        \vspace #1.25
        \vspace #3.75
        \fill-line { \abs-fontsize #10.5 \line { \override #'(baseline-skip . 3.05) \left-column { "Player 0" "Player 1" "Player 2" "Player 3" "Player 4" "Player 5" "Player 6" "Player 7" "Player 8" } } }
        \vspace #1.25
    }
}
% 10 lines of forces
\bookpart
{
    \paper
    {
        top-margin = 49.5\mm
        bookTitleMarkup = ##f
        oddHeaderMarkup = ##f
        evenHeaderMarkup = ##f
        oddFooterMarkup = ##f
        evenFooterMarkup = ##f
        print-page-number = ##f
    }
    \markup \column
    {
        \fill-line { \abs-fontsize #30 \bold "T" }
        \vspace #1.25
        \vspace #3.75
        \fill-line { \abs-fontsize #10.5 \line { \override #'(baseline-skip . 3.05) \left-column { "Player 0" "Player 1" "Player 2" "Player 3" "Player 4" } \hspace #6 \override #'(baseline-skip . 3.05) \left-column { "Player 5" "Player 6" "Player 7" "Player 8" "Player 9" } } }
        \vspace #1.25
    }
}
% 11 lines of forces
\bookpart
{
    \paper
    {
        top-margin = 49.5\mm
        bookTitleMarkup = ##f
        oddHeaderMarkup = ##f
        evenHeaderMarkup = ##f
        oddFooterMarkup = ##f
        evenFooterMarkup = ##f
        print-page-number = ##f
    }
    \markup \column
    {
        \fill-line { \abs-fontsize #30 \bold "T" }
        \vspace #1.25
        \vspace #3.75
        \fill-line { \abs-fontsize #10.5 \line { \override #'(baseline-skip . 3.05) \left-column { "Player 0" "Player 1" "Player 2" "Player 3" "Player 4" "Player 5" } \hspace #6 \override #'(baseline-skip . 3.05) \left-column { "Player 6" "Player 7" "Player 8" "Player 9" "Player 10" } } }
        \vspace #1.25
    }
}
% a list of 56 letters
\bookpart
{
    \paper
    {
        top-margin = 49.5\mm
        bookTitleMarkup = ##f
        oddHeaderMarkup = ##f
        evenHeaderMarkup = ##f
        oddFooterMarkup = ##f
        evenFooterMarkup = ##f
        print-page-number = ##f
    }
    \markup \column
    {
        \fill-line { \abs-fontsize #30 \bold "T" }
        \vspace #1.00
        \vspace #3.00
        \fill-line { \abs-fontsize #10.5 \line { \override #'(baseline-skip . 2.44) \left-column { "letters letters letters letters letters letters letters!" } } }
        \vspace #1.00
        \vspace #1.00
        \fill-line { \abs-fontsize #11 \line { \override #'(baseline-skip . 2.44) \left-column { "letters letters letters letters letters letters letters!" } \hspace #4 \italic \override #'(baseline-skip . 2.44) \left-column { "1 min" } } }
    }
}
% a list of 57 letters
\bookpart
{
    \paper
    {
        top-margin = 49.5\mm
        bookTitleMarkup = ##f
        oddHeaderMarkup = ##f
        evenHeaderMarkup = ##f
        oddFooterMarkup = ##f
        evenFooterMarkup = ##f
        print-page-number = ##f
    }
    \markup \column
    {
        \fill-line { \abs-fontsize #30 \bold "T" }
        \vspace #1.00
        \vspace #3.00
        \fill-line { \abs-fontsize #10.5 \line { \override #'(baseline-skip . 2.44) \left-column { "letters letters letters letters letters letters" "letters !" } } }
        \vspace #1.00
        \vspace #1.00
        \fill-line { \abs-fontsize #11 \line { \override #'(baseline-skip . 2.44) \left-column { "letters letters letters letters letters letters…" } \hspace #4 \italic \override #'(baseline-skip . 2.44) \left-column { "1 min" } } }
    }
}
% a list of 112 letters
\bookpart
{
    \paper
    {
        top-margin = 49.5\mm
        bookTitleMarkup = ##f
        oddHeaderMarkup = ##f
        evenHeaderMarkup = ##f
        oddFooterMarkup = ##f
        evenFooterMarkup = ##f
        print-page-number = ##f
    }
    \markup \column
    {
        \fill-line { \abs-fontsize #30 \bold "T" }
        \vspace #1.00
        \vspace #3.00
        \fill-line { \abs-fontsize #10.5 \line { \override #'(baseline-skip . 2.44) \left-column { "letters letters letters letters letters letters letters" "letters letters letters letters letters letters letters!" } } }
        \vspace #1.00
        \vspace #1.00
        \fill-line { \abs-fontsize #11 \line { \override #'(baseline-skip . 2.44) \left-column { "letters letters letters letters letters letters letters…" } \hspace #4 \italic \override #'(baseline-skip . 2.44) \left-column { "1 min" } } }
    }
}
% a list of 113 letters
\bookpart
{
    \paper
    {
        top-margin = 49.5\mm
        bookTitleMarkup = ##f
        oddHeaderMarkup = ##f
        evenHeaderMarkup = ##f
        oddFooterMarkup = ##f
        evenFooterMarkup = ##f
        print-page-number = ##f
    }
    \markup \column
    {
        \fill-line { \abs-fontsize #30 \bold "T" }
        \vspace #1.00
        \vspace #3.00
        \fill-line { \abs-fontsize #10.5 \line { \override #'(baseline-skip . 2.44) \left-column { "letters letters letters letters letters letters letters" "letters letters letters letters letters letters" "letters !" } } }
        \vspace #1.00
        \vspace #1.00
        \fill-line { \abs-fontsize #11 \line { \override #'(baseline-skip . 2.44) \left-column { "letters letters letters letters letters letters letters…" } \hspace #4 \italic \override #'(baseline-skip . 2.44) \left-column { "1 min" } } }
    }
}
% a list of 168 letters
\bookpart
{
    \paper
    {
        top-margin = 49.5\mm
        bookTitleMarkup = ##f
        oddHeaderMarkup = ##f
        evenHeaderMarkup = ##f
        oddFooterMarkup = ##f
        evenFooterMarkup = ##f
        print-page-number = ##f
    }
    \markup \column
    {
        \fill-line { \abs-fontsize #30 \bold "T" }
        \vspace #1.00
        \vspace #3.00
        \fill-line { \abs-fontsize #10.5 \line { \override #'(baseline-skip . 2.44) \left-column { "letters letters letters letters letters letters letters" "letters letters letters letters letters letters letters" "letters letters letters letters letters letters letters!" } } }
        \vspace #1.00
        \vspace #1.00
        \fill-line { \abs-fontsize #11 \line { \override #'(baseline-skip . 2.44) \left-column { "letters letters letters letters letters letters letters…" } \hspace #4 \italic \override #'(baseline-skip . 2.44) \left-column { "1 min" } } }
    }
}
% a list of 169 letters
\bookpart
{
    \paper
    {
        top-margin = 49.5\mm
        bookTitleMarkup = ##f
        oddHeaderMarkup = ##f
        evenHeaderMarkup = ##f
        oddFooterMarkup = ##f
        evenFooterMarkup = ##f
        print-page-number = ##f
    }
    \markup \column
    {
        \fill-line { \abs-fontsize #30 \bold "T" }
        \vspace #1.00
        \vspace #3.00
        \fill-line { \abs-fontsize #10.5 \line { \override #'(baseline-skip . 2.44) \left-column { "letters letters letters letters letters letters letters" "letters letters letters letters letters letters letters" "letters letters letters letters letters letters…" } } }
        \vspace #1.00
        \vspace #1.00
        \fill-line { \abs-fontsize #11 \line { \override #'(baseline-skip . 2.44) \left-column { "letters letters letters letters letters letters letters…" } \hspace #4 \italic \override #'(baseline-skip . 2.44) \left-column { "1 min" } } }
    }
}
% everything
\bookpart
{
    \paper
    {
        top-margin = 49.5\mm
        bookTitleMarkup = ##f
        oddHeaderMarkup = ##f
        evenHeaderMarkup = ##f
        oddFooterMarkup = \markup \abs-fontsize #10 \column { \italic \column { \fill-line { "How to read it." } \fill-line { "letters letters letters letters letters letters letters letters lette!" } } \fill-line { "letters letters let!" } \fill-line { "letters letters let!" } \fill-line { "letters letters let!" } }
        evenFooterMarkup = \markup \abs-fontsize #10 \column { \italic \column { \fill-line { "How to read it." } \fill-line { "letters letters letters letters letters letters letters letters lette!" } } \fill-line { "letters letters let!" } \fill-line { "letters letters let!" } \fill-line { "letters letters let!" } }
        print-page-number = ##f
    }
    \markup \column
    {
        \fill-line { \abs-fontsize #12 \italic "letters letters let!" }
        \vspace #2.00
        \fill-line { \abs-fontsize #16 "letters letters let!" }
        \vspace #2.50
        \fill-line { \abs-fontsize #30 \bold "letters letters let!" }
        \vspace #1.00
        \fill-line { \abs-fontsize #14 "letters letters let!" }
        \vspace #1.00
        \fill-line { \abs-fontsize #12 "Words: B. Poet" }
        \vspace #1.00
        \fill-line { \abs-fontsize #12 "letters letters letters letters letters letters letters let!" }
        \vspace #3.00
        \fill-line { \abs-fontsize #12 "2.2.2.2 - str" }
        \vspace #1.00
        \fill-line { \abs-fontsize #10.5 \line { \override #'(baseline-skip . 2.44) \left-column { "Player 0 of letters letters letters letters letters" "letters!" "Player 1 of letters letters letters letters letters" "letters!" "Player 2 of letters letters letters letters letters" "letters!" "Player 3 of letters letters letters letters letters" "letters!" "Player 4 of letters letters letters letters letters" "letters!" } \hspace #6 \override #'(baseline-skip . 2.44) \left-column { "Player 5 of letters letters letters letters letters" "letters!" "Player 6 of letters letters letters letters letters" "letters!" "Player 7 of letters letters letters letters letters" "letters!" "Player 8 of letters letters letters letters letters" "letters!" "Player 9 of letters letters letters letters letters" "letters!" } } }
        \vspace #1.00
        \fill-line { \abs-fontsize #11 "About 3 min" }
        \vspace #1.00
        \vspace #1.00
        \fill-line { \abs-fontsize #11 \line { \override #'(baseline-skip . 2.44) \left-column { "One" "letters letters letters letters letters letters letters…" } \hspace #4 \italic \override #'(baseline-skip . 2.44) \left-column { "1 min" "2 min" } } }
    }
}
% everything for small staves on A3
\bookpart
{
    \paper
    {
        top-margin = 70.0\mm
        bookTitleMarkup = ##f
        oddHeaderMarkup = ##f
        evenHeaderMarkup = ##f
        oddFooterMarkup = \markup \abs-fontsize #10 \column { \italic \column { \fill-line { "How to read it." } \fill-line { "letters letters letters letters letters letters letters letters lette!" } } \fill-line { "letters letters let!" } \fill-line { "letters letters let!" } \fill-line { "letters letters let!" } }
        evenFooterMarkup = \markup \abs-fontsize #10 \column { \italic \column { \fill-line { "How to read it." } \fill-line { "letters letters letters letters letters letters letters letters lette!" } } \fill-line { "letters letters let!" } \fill-line { "letters letters let!" } \fill-line { "letters letters let!" } }
        print-page-number = ##f
    }
    \markup \column
    {
        \fill-line { \abs-fontsize #12 \italic "letters letters let!" }
        \vspace #3.33
        \fill-line { \abs-fontsize #16 "letters letters let!" }
        \vspace #4.17
        \fill-line { \abs-fontsize #30 \bold "letters letters let!" }
        \vspace #1.67
        \fill-line { \abs-fontsize #14 "letters letters let!" }
        \vspace #1.67
        \fill-line { \abs-fontsize #12 "Words: B. Poet" }
        \vspace #1.67
        \fill-line { \abs-fontsize #12 "letters letters letters letters letters letters letters let!" }
        \vspace #5.00
        \fill-line { \abs-fontsize #12 "2.2.2.2 - str" }
        \vspace #1.67
        \fill-line { \abs-fontsize #10.5 \line { \override #'(baseline-skip . 4.06) \left-column { "Player 0 of letters letters letters letters letters" "letters!" "Player 1 of letters letters letters letters letters" "letters!" "Player 2 of letters letters letters letters letters" "letters!" "Player 3 of letters letters letters letters letters" "letters!" "Player 4 of letters letters letters letters letters" "letters!" } \hspace #6 \override #'(baseline-skip . 4.06) \left-column { "Player 5 of letters letters letters letters letters" "letters!" "Player 6 of letters letters letters letters letters" "letters!" "Player 7 of letters letters letters letters letters" "letters!" "Player 8 of letters letters letters letters letters" "letters!" "Player 9 of letters letters letters letters letters" "letters!" } } }
        \vspace #1.67
        \fill-line { \abs-fontsize #11 "About 3 min" }
        \vspace #1.67
        \vspace #1.67
        \fill-line { \abs-fontsize #11 \line { \override #'(baseline-skip . 4.06) \left-column { "One" "letters letters letters letters letters letters letters…" } \hspace #4 \italic \override #'(baseline-skip . 4.06) \left-column { "1 min" "2 min" } } }
    }
}
% notes of 84 letters
\bookpart
{
    \paper
    {
        top-margin = 49.5\mm
        bookTitleMarkup = ##f
        oddHeaderMarkup = ##f
        evenHeaderMarkup = ##f
        oddFooterMarkup = ##f
        evenFooterMarkup = ##f
        print-page-number = ##f
        ragged-bottom = ##t
        ragged-last-bottom = ##t
    }
    \markup \column
    {
        \fill-line { \abs-fontsize #30 \bold "T" }
        \vspace #1.00
        \vspace #3.00
    }
    \markup \vspace #1.00
    \markup \abs-fontsize #11 "letters letters letters letters letters letters letters letters letters letters let!"
    \markup \vspace #1.00
    \markup \abs-fontsize #11 "so"
}
% rights of 84 letters
\bookpart
{
    \paper
    {
        top-margin = 49.5\mm
        bookTitleMarkup = ##f
        oddHeaderMarkup = ##f
        evenHeaderMarkup = ##f
        oddFooterMarkup = \markup \abs-fontsize #10 \column { \fill-line { "letters letters letters letters letters letters letters letters letters letters let!" } }
        evenFooterMarkup = \markup \abs-fontsize #10 \column { \fill-line { "letters letters letters letters letters letters letters letters letters letters let!" } }
        print-page-number = ##f
    }
    \markup \column
    {
        \fill-line { \abs-fontsize #30 \bold "T" }
        \vspace #1.00
        \vspace #3.00
    }
}
% notes of 85 letters
\bookpart
{
    \paper
    {
        top-margin = 49.5\mm
        bookTitleMarkup = ##f
        oddHeaderMarkup = ##f
        evenHeaderMarkup = ##f
        oddFooterMarkup = ##f
        evenFooterMarkup = ##f
        print-page-number = ##f
        ragged-bottom = ##t
        ragged-last-bottom = ##t
    }
    \markup \column
    {
        \fill-line { \abs-fontsize #30 \bold "T" }
        \vspace #1.00
        \vspace #3.00
    }
    \markup \vspace #1.00
    \markup \abs-fontsize #11 "letters letters letters letters letters letters letters letters letters letters"
    \markup \abs-fontsize #11 "lett!"
    \markup \vspace #1.00
    \markup \abs-fontsize #11 "so"
}
% rights of 85 letters
\bookpart
{
    \paper
    {
        top-margin = 49.5\mm
        bookTitleMarkup = ##f
        oddHeaderMarkup = ##f
        evenHeaderMarkup = ##f
        oddFooterMarkup = \markup \abs-fontsize #10 \column { \fill-line { "letters letters letters letters letters letters letters letters letters letters…" } }
        evenFooterMarkup = \markup \abs-fontsize #10 \column { \fill-line { "letters letters letters letters letters letters letters letters letters letters…" } }
        print-page-number = ##f
    }
    \markup \column
    {
        \fill-line { \abs-fontsize #30 \bold "T" }
        \vspace #1.00
        \vspace #3.00
    }
}
% notes of 168 letters
\bookpart
{
    \paper
    {
        top-margin = 49.5\mm
        bookTitleMarkup = ##f
        oddHeaderMarkup = ##f
        evenHeaderMarkup = ##f
        oddFooterMarkup = ##f
        evenFooterMarkup = ##f
        print-page-number = ##f
        ragged-bottom = ##t
        ragged-last-bottom = ##t
    }
    \markup \column
    {
        \fill-line { \abs-fontsize #30 \bold "T" }
        \vspace #1.00
        \vspace #3.00
    }
    \markup \vspace #1.00
    \markup \abs-fontsize #11 "letters letters letters letters letters letters letters letters letters letters"
    \markup \abs-fontsize #11 "letters letters letters letters letters letters letters letters letters letters"
    \markup \abs-fontsize #11 "letters!"
    \markup \vspace #1.00
    \markup \abs-fontsize #11 "so"
}
% rights of 168 letters
\bookpart
{
    \paper
    {
        top-margin = 49.5\mm
        bookTitleMarkup = ##f
        oddHeaderMarkup = ##f
        evenHeaderMarkup = ##f
        oddFooterMarkup = \markup \abs-fontsize #10 \column { \fill-line { "letters letters letters letters letters letters letters letters letters letters…" } }
        evenFooterMarkup = \markup \abs-fontsize #10 \column { \fill-line { "letters letters letters letters letters letters letters letters letters letters…" } }
        print-page-number = ##f
    }
    \markup \column
    {
        \fill-line { \abs-fontsize #30 \bold "T" }
        \vspace #1.00
        \vspace #3.00
    }
}
% notes of 169 letters
\bookpart
{
    \paper
    {
        top-margin = 49.5\mm
        bookTitleMarkup = ##f
        oddHeaderMarkup = ##f
        evenHeaderMarkup = ##f
        oddFooterMarkup = ##f
        evenFooterMarkup = ##f
        print-page-number = ##f
        ragged-bottom = ##t
        ragged-last-bottom = ##t
    }
    \markup \column
    {
        \fill-line { \abs-fontsize #30 \bold "T" }
        \vspace #1.00
        \vspace #3.00
    }
    \markup \vspace #1.00
    \markup \abs-fontsize #11 "letters letters letters letters letters letters letters letters letters letters"
    \markup \abs-fontsize #11 "letters letters letters letters letters letters letters letters letters letters"
    \markup \abs-fontsize #11 "letters !"
    \markup \vspace #1.00
    \markup \abs-fontsize #11 "so"
}
% rights of 169 letters
\bookpart
{
    \paper
    {
        top-margin = 49.5\mm
        bookTitleMarkup = ##f
        oddHeaderMarkup = ##f
        evenHeaderMarkup = ##f
        oddFooterMarkup = \markup \abs-fontsize #10 \column { \fill-line { "letters letters letters letters letters letters letters letters letters letters…" } }
        evenFooterMarkup = \markup \abs-fontsize #10 \column { \fill-line { "letters letters letters letters letters letters letters letters letters letters…" } }
        print-page-number = ##f
    }
    \markup \column
    {
        \fill-line { \abs-fontsize #30 \bold "T" }
        \vspace #1.00
        \vspace #3.00
    }
}
% titles of 144 letters
\bookpart
{
    \paper
    {
        top-margin = 49.5\mm
        bookTitleMarkup = ##f
        oddHeaderMarkup = ##f
        evenHeaderMarkup = ##f
        oddFooterMarkup = \markup \abs-fontsize #10 \column { \fill-line { "letters letters letters letters letters letters letters letters letters letters…" } \fill-line { "letters letters letters letters letters letters letters letters letters letters…" } \fill-line { "letters letters letters letters letters letters letters letters letters letters…" } }
        evenFooterMarkup = \markup \abs-fontsize #10 \column { \fill-line { "letters letters letters letters letters letters letters letters letters letters…" } \fill-line { "letters letters letters letters letters letters letters letters letters letters…" } \fill-line { "letters letters letters letters letters letters letters letters letters letters…" } }
        print-page-number = ##f
    }
    \markup \column
    {
        \fill-line { \abs-fontsize #12 \italic \center-column { "letters letters letters letters letters letters letters" "letters letters letters letters letters letters letters" "letters letters letters letters!" } }
        \vspace #2.00
        \fill-line { \abs-fontsize #16 \center-column { "letters letters letters letters letters" "letters letters letters letters letters" "letters letters letters letters letters" "letters letters letters!" } }
        \vspace #2.50
        \fill-line { \abs-fontsize #30 \bold \center-column { "letters letters letters" "letters letters letters" "letters letters letters" "letters letters letters" "letters letters letters" "letters letters letters!" } }
        \vspace #1.00
        \fill-line { \abs-fontsize #14 \center-column { "letters letters letters letters letters letters" "letters letters letters letters letters letters" "letters letters letters letters letters letters!" } }
        \vspace #1.00
        \fill-line { \abs-fontsize #12 \center-column { "letters letters letters letters letters letters letters" "letters letters letters letters letters letters letters" "letters letters letters letters!" } }
        \vspace #3.00
        \fill-line { \abs-fontsize #12 \center-column { "letters letters letters letters letters letters letters letters letters letters" "letters letters letters letters letters letters letters letters letters letters" "letters letters letters letters letters letters letters letters letters letters" "letters letters letters letters letters letters!" } }
        \vspace #1.00
    }
}
% titles of 145 letters
\bookpart
{
    \paper
    {
        top-margin = 49.5\mm
        bookTitleMarkup = ##f
        oddHeaderMarkup = ##f
        evenHeaderMarkup = ##f
        oddFooterMarkup = \markup \abs-fontsize #10 \column { \fill-line { "letters letters letters letters letters letters letters letters letters letters…" } \fill-line { "letters letters letters letters letters letters letters letters letters letters…" } \fill-line { "letters letters letters letters letters letters letters letters letters letters…" } }
        evenFooterMarkup = \markup \abs-fontsize #10 \column { \fill-line { "letters letters letters letters letters letters letters letters letters letters…" } \fill-line { "letters letters letters letters letters letters letters letters letters letters…" } \fill-line { "letters letters letters letters letters letters letters letters letters letters…" } }
        print-page-number = ##f
    }
    \markup \column
    {
        \fill-line { \abs-fontsize #12 \italic \center-column { "letters letters letters letters letters letters letters" "letters letters letters letters letters letters letters" "letters letters letters letters !" } }
        \vspace #2.00
        \fill-line { \abs-fontsize #16 \center-column { "letters letters letters letters letters" "letters letters letters letters letters" "letters letters letters letters letters" "letters letters letters !" } }
        \vspace #2.50
        \fill-line { \abs-fontsize #30 \bold \center-column { "letters letters letters" "letters letters letters" "letters letters letters" "letters letters letters" "letters letters letters" "letters letters…" } }
        \vspace #1.00
        \fill-line { \abs-fontsize #14 \center-column { "letters letters letters letters letters letters" "letters letters letters letters letters letters" "letters letters letters letters letters letters !" } }
        \vspace #1.00
        \fill-line { \abs-fontsize #12 \center-column { "letters letters letters letters letters letters letters" "letters letters letters letters letters letters letters" "letters letters letters letters !" } }
        \vspace #3.00
        \fill-line { \abs-fontsize #12 \center-column { "letters letters letters letters letters letters letters letters letters letters" "letters letters letters letters letters letters letters letters letters letters" "letters letters letters letters letters letters letters letters letters letters" "letters letters letters letters letters letters l!" } }
        \vspace #1.00
    }
}
% titles of 176 letters
\bookpart
{
    \paper
    {
        top-margin = 49.5\mm
        bookTitleMarkup = ##f
        oddHeaderMarkup = ##f
        evenHeaderMarkup = ##f
        oddFooterMarkup = \markup \abs-fontsize #10 \column { \fill-line { "letters letters letters letters letters letters letters letters letters letters…" } \fill-line { "letters letters letters letters letters letters letters letters letters letters…" } \fill-line { "letters letters letters letters letters letters letters letters letters letters…" } }
        evenFooterMarkup = \markup \abs-fontsize #10 \column { \fill-line { "letters letters letters letters letters letters letters letters letters letters…" } \fill-line { "letters letters letters letters letters letters letters letters letters letters…" } \fill-line { "letters letters letters letters letters letters letters letters letters letters…" } }
        print-page-number = ##f
    }
    \markup \column
    {
        \fill-line { \abs-fontsize #12 \italic \center-column { "letters letters letters letters letters letters letters" "letters letters letters letters letters letters letters" "letters letters letters letters letters letters letters" "letters!" } }
        \vspace #2.00
        \fill-line { \abs-fontsize #16 \center-column { "letters letters letters letters letters" "letters letters letters letters letters" "letters letters letters letters letters" "letters letters letters letters letters…" } }
        \vspace #2.50
        \fill-line { \abs-fontsize #30 \bold \center-column { "letters letters letters" "letters letters letters" "letters letters letters" "letters letters letters" "letters letters letters" "letters letters letters…" } }
        \vspace #1.00
        \fill-line { \abs-fontsize #14 \center-column { "letters letters letters letters letters letters" "letters letters letters letters letters letters" "letters letters letters letters letters letters" "letters letters letters letters!" } }
        \vspace #1.00
        \fill-line { \abs-fontsize #12 \center-column { "letters letters letters letters letters letters letters" "letters letters letters letters letters letters letters" "letters letters letters letters letters letters letters" "letters!" } }
        \vspace #3.00
        \fill-line { \abs-fontsize #12 \center-column { "letters letters letters letters letters letters letters letters letters letters" "letters letters letters letters letters letters letters letters letters letters" "letters letters letters letters letters letters letters letters letters letters" "letters letters letters letters letters letters letters letters letters letters…" } }
        \vspace #1.00
    }
}
% titles of 177 letters
\bookpart
{
    \paper
    {
        top-margin = 49.5\mm
        bookTitleMarkup = ##f
        oddHeaderMarkup = ##f
        evenHeaderMarkup = ##f
        oddFooterMarkup = \markup \abs-fontsize #10 \column { \fill-line { "letters letters letters letters letters letters letters letters letters letters…" } \fill-line { "letters letters letters letters letters letters letters letters letters letters…" } \fill-line { "letters letters letters letters letters letters letters letters letters letters…" } }
        evenFooterMarkup = \markup \abs-fontsize #10 \column { \fill-line { "letters letters letters letters letters letters letters letters letters letters…" } \fill-line { "letters letters letters letters letters letters letters letters letters letters…" } \fill-line { "letters letters letters letters letters letters letters letters letters letters…" } }
        print-page-number = ##f
    }
    \markup \column
    {
        \fill-line { \abs-fontsize #12 \italic \center-column { "letters letters letters letters letters letters letters" "letters letters letters letters letters letters letters" "letters letters letters letters letters letters letters" "letters !" } }
        \vspace #2.00
        \fill-line { \abs-fontsize #16 \center-column { "letters letters letters letters letters" "letters letters letters letters letters" "letters letters letters letters letters" "letters letters letters letters letters…" } }
        \vspace #2.50
        \fill-line { \abs-fontsize #30 \bold \center-column { "letters letters letters" "letters letters letters" "letters letters letters" "letters letters letters" "letters letters letters" "letters letters letters…" } }
        \vspace #1.00
        \fill-line { \abs-fontsize #14 \center-column { "letters letters letters letters letters letters" "letters letters letters letters letters letters" "letters letters letters letters letters letters" "letters letters letters letters !" } }
        \vspace #1.00
        \fill-line { \abs-fontsize #12 \center-column { "letters letters letters letters letters letters letters" "letters letters letters letters letters letters letters" "letters letters letters letters letters letters letters" "letters !" } }
        \vspace #3.00
        \fill-line { \abs-fontsize #12 \center-column { "letters letters letters letters letters letters letters letters letters letters" "letters letters letters letters letters letters letters letters letters letters" "letters letters letters letters letters letters letters letters letters letters" "letters letters letters letters letters letters letters letters letters letters…" } }
        \vspace #1.00
    }
}
% titles of 216 letters
\bookpart
{
    \paper
    {
        top-margin = 49.5\mm
        bookTitleMarkup = ##f
        oddHeaderMarkup = ##f
        evenHeaderMarkup = ##f
        oddFooterMarkup = \markup \abs-fontsize #10 \column { \fill-line { "letters letters letters letters letters letters letters letters letters letters…" } \fill-line { "letters letters letters letters letters letters letters letters letters letters…" } \fill-line { "letters letters letters letters letters letters letters letters letters letters…" } }
        evenFooterMarkup = \markup \abs-fontsize #10 \column { \fill-line { "letters letters letters letters letters letters letters letters letters letters…" } \fill-line { "letters letters letters letters letters letters letters letters letters letters…" } \fill-line { "letters letters letters letters letters letters letters letters letters letters…" } }
        print-page-number = ##f
    }
    \markup \column
    {
        \fill-line { \abs-fontsize #12 \italic \center-column { "letters letters letters letters letters letters letters" "letters letters letters letters letters letters letters" "letters letters letters letters letters letters letters" "letters letters letters letters letters letters!" } }
        \vspace #2.00
        \fill-line { \abs-fontsize #16 \center-column { "letters letters letters letters letters" "letters letters letters letters letters" "letters letters letters letters letters" "letters letters letters letters letters…" } }
        \vspace #2.50
        \fill-line { \abs-fontsize #30 \bold \center-column { "letters letters letters" "letters letters letters" "letters letters letters" "letters letters letters" "letters letters letters" "letters letters letters…" } }
        \vspace #1.00
        \fill-line { \abs-fontsize #14 \center-column { "letters letters letters letters letters letters" "letters letters letters letters letters letters" "letters letters letters letters letters letters" "letters letters letters letters letters letters…" } }
        \vspace #1.00
        \fill-line { \abs-fontsize #12 \center-column { "letters letters letters letters letters letters letters" "letters letters letters letters letters letters letters" "letters letters letters letters letters letters letters" "letters letters letters letters letters letters!" } }
        \vspace #3.00
        \fill-line { \abs-fontsize #12 \center-column { "letters letters letters letters letters letters letters letters letters letters" "letters letters letters letters letters letters letters letters letters letters" "letters letters letters letters letters letters letters letters letters letters" "letters letters letters letters letters letters letters letters letters letters…" } }
        \vspace #1.00
    }
}
% titles of 217 letters
\bookpart
{
    \paper
    {
        top-margin = 49.5\mm
        bookTitleMarkup = ##f
        oddHeaderMarkup = ##f
        evenHeaderMarkup = ##f
        oddFooterMarkup = \markup \abs-fontsize #10 \column { \fill-line { "letters letters letters letters letters letters letters letters letters letters…" } \fill-line { "letters letters letters letters letters letters letters letters letters letters…" } \fill-line { "letters letters letters letters letters letters letters letters letters letters…" } }
        evenFooterMarkup = \markup \abs-fontsize #10 \column { \fill-line { "letters letters letters letters letters letters letters letters letters letters…" } \fill-line { "letters letters letters letters letters letters letters letters letters letters…" } \fill-line { "letters letters letters letters letters letters letters letters letters letters…" } }
        print-page-number = ##f
    }
    \markup \column
    {
        \fill-line { \abs-fontsize #12 \italic \center-column { "letters letters letters letters letters letters letters" "letters letters letters letters letters letters letters" "letters letters letters letters letters letters letters" "letters letters letters letters letters letters !" } }
        \vspace #2.00
        \fill-line { \abs-fontsize #16 \center-column { "letters letters letters letters letters" "letters letters letters letters letters" "letters letters letters letters letters" "letters letters letters letters letters…" } }
        \vspace #2.50
        \fill-line { \abs-fontsize #30 \bold \center-column { "letters letters letters" "letters letters letters" "letters letters letters" "letters letters letters" "letters letters letters" "letters letters letters…" } }
        \vspace #1.00
        \fill-line { \abs-fontsize #14 \center-column { "letters letters letters letters letters letters" "letters letters letters letters letters letters" "letters letters letters letters letters letters" "letters letters letters letters letters letters…" } }
        \vspace #1.00
        \fill-line { \abs-fontsize #12 \center-column { "letters letters letters letters letters letters letters" "letters letters letters letters letters letters letters" "letters letters letters letters letters letters letters" "letters letters letters letters letters letters !" } }
        \vspace #3.00
        \fill-line { \abs-fontsize #12 \center-column { "letters letters letters letters letters letters letters letters letters letters" "letters letters letters letters letters letters letters letters letters letters" "letters letters letters letters letters letters letters letters letters letters" "letters letters letters letters letters letters letters letters letters letters…" } }
        \vspace #1.00
    }
}
% titles of 240 letters
\bookpart
{
    \paper
    {
        top-margin = 49.5\mm
        bookTitleMarkup = ##f
        oddHeaderMarkup = ##f
        evenHeaderMarkup = ##f
        oddFooterMarkup = \markup \abs-fontsize #10 \column { \fill-line { "letters letters letters letters letters letters letters letters letters letters…" } \fill-line { "letters letters letters letters letters letters letters letters letters letters…" } \fill-line { "letters letters letters letters letters letters letters letters letters letters…" } }
        evenFooterMarkup = \markup \abs-fontsize #10 \column { \fill-line { "letters letters letters letters letters letters letters letters letters letters…" } \fill-line { "letters letters letters letters letters letters letters letters letters letters…" } \fill-line { "letters letters letters letters letters letters letters letters letters letters…" } }
        print-page-number = ##f
    }
    \markup \column
    {
        \fill-line { \abs-fontsize #12 \italic \center-column { "letters letters letters letters letters letters letters" "letters letters letters letters letters letters letters" "letters letters letters letters letters letters letters" "letters letters letters letters letters letters letters…" } }
        \vspace #2.00
        \fill-line { \abs-fontsize #16 \center-column { "letters letters letters letters letters" "letters letters letters letters letters" "letters letters letters letters letters" "letters letters letters letters letters…" } }
        \vspace #2.50
        \fill-line { \abs-fontsize #30 \bold \center-column { "letters letters letters" "letters letters letters" "letters letters letters" "letters letters letters" "letters letters letters" "letters letters letters…" } }
        \vspace #1.00
        \fill-line { \abs-fontsize #14 \center-column { "letters letters letters letters letters letters" "letters letters letters letters letters letters" "letters letters letters letters letters letters" "letters letters letters letters letters letters…" } }
        \vspace #1.00
        \fill-line { \abs-fontsize #12 \center-column { "letters letters letters letters letters letters letters" "letters letters letters letters letters letters letters" "letters letters letters letters letters letters letters" "letters letters letters letters letters letters letters…" } }
        \vspace #3.00
        \fill-line { \abs-fontsize #12 \center-column { "letters letters letters letters letters letters letters letters letters letters" "letters letters letters letters letters letters letters letters letters letters" "letters letters letters letters letters letters letters letters letters letters" "letters letters letters letters letters letters letters letters letters letters…" } }
        \vspace #1.00
    }
}
% titles of 241 letters
\bookpart
{
    \paper
    {
        top-margin = 49.5\mm
        bookTitleMarkup = ##f
        oddHeaderMarkup = ##f
        evenHeaderMarkup = ##f
        oddFooterMarkup = \markup \abs-fontsize #10 \column { \fill-line { "letters letters letters letters letters letters letters letters letters letters…" } \fill-line { "letters letters letters letters letters letters letters letters letters letters…" } \fill-line { "letters letters letters letters letters letters letters letters letters letters…" } }
        evenFooterMarkup = \markup \abs-fontsize #10 \column { \fill-line { "letters letters letters letters letters letters letters letters letters letters…" } \fill-line { "letters letters letters letters letters letters letters letters letters letters…" } \fill-line { "letters letters letters letters letters letters letters letters letters letters…" } }
        print-page-number = ##f
    }
    \markup \column
    {
        \fill-line { \abs-fontsize #12 \italic \center-column { "letters letters letters letters letters letters letters" "letters letters letters letters letters letters letters" "letters letters letters letters letters letters letters" "letters letters letters letters letters letters letters…" } }
        \vspace #2.00
        \fill-line { \abs-fontsize #16 \center-column { "letters letters letters letters letters" "letters letters letters letters letters" "letters letters letters letters letters" "letters letters letters letters letters…" } }
        \vspace #2.50
        \fill-line { \abs-fontsize #30 \bold \center-column { "letters letters letters" "letters letters letters" "letters letters letters" "letters letters letters" "letters letters letters" "letters letters letters…" } }
        \vspace #1.00
        \fill-line { \abs-fontsize #14 \center-column { "letters letters letters letters letters letters" "letters letters letters letters letters letters" "letters letters letters letters letters letters" "letters letters letters letters letters letters…" } }
        \vspace #1.00
        \fill-line { \abs-fontsize #12 \center-column { "letters letters letters letters letters letters letters" "letters letters letters letters letters letters letters" "letters letters letters letters letters letters letters" "letters letters letters letters letters letters letters…" } }
        \vspace #3.00
        \fill-line { \abs-fontsize #12 \center-column { "letters letters letters letters letters letters letters letters letters letters" "letters letters letters letters letters letters letters letters letters letters" "letters letters letters letters letters letters letters letters letters letters" "letters letters letters letters letters letters letters letters letters letters…" } }
        \vspace #1.00
    }
}
% nothing
\bookpart
{
    \paper
    {
        top-margin = 49.5\mm
        bookTitleMarkup = ##f
        oddHeaderMarkup = ##f
        evenHeaderMarkup = ##f
        oddFooterMarkup = ##f
        evenFooterMarkup = ##f
        print-page-number = ##f
    }
    \markup \column
    {
        \vspace #3.00
    }
}
% forces in short
\bookpart
{
    \paper
    {
        top-margin = 49.5\mm
        bookTitleMarkup = ##f
        oddHeaderMarkup = ##f
        evenHeaderMarkup = ##f
        oddFooterMarkup = ##f
        evenFooterMarkup = ##f
        print-page-number = ##f
    }
    \markup \column
    {
        \fill-line { \abs-fontsize #30 \bold "T" }
        \vspace #1.00
        \vspace #3.00
        \fill-line { \abs-fontsize #12 "str" }
        \vspace #1.00
        \fill-line { \abs-fontsize #11 "Long" }
        \vspace #1.00
    }
}
% length
\bookpart
{
    \paper
    {
        top-margin = 49.5\mm
        bookTitleMarkup = ##f
        oddHeaderMarkup = ##f
        evenHeaderMarkup = ##f
        oddFooterMarkup = ##f
        evenFooterMarkup = ##f
        print-page-number = ##f
    }
    \markup \column
    {
        \fill-line { \abs-fontsize #30 \bold "T" }
        \vspace #1.00
        \vspace #3.00
        \fill-line { \abs-fontsize #11 "Long" }
        \vspace #1.00
    }
}
% notes on reading
\bookpart
{
    \paper
    {
        top-margin = 49.5\mm
        bookTitleMarkup = ##f
        oddHeaderMarkup = ##f
        evenHeaderMarkup = ##f
        oddFooterMarkup = \markup \abs-fontsize #10 \italic \column { \fill-line { "One." } }
        evenFooterMarkup = \markup \abs-fontsize #10 \italic \column { \fill-line { "One." } }
        print-page-number = ##f
    }
    \markup \column
    {
        \fill-line { \abs-fontsize #30 \bold "T" }
        \vspace #1.00
        \vspace #3.00
    }
}
