% a score's heads of 32 letters
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
    indent = 15.5\mm
    short-indent = 7.0\mm
    system-separator-markup = \slashSeparator
}
...
\paper
{
    oddFooterMarkup = \markup \column { \if \on-first-page-of-part \fill-line { \abs-fontsize #9 "letters letters letters letters!" } \if \on-first-page-of-part \fill-line { \abs-fontsize #9 "letters letters letters letters!" } \fill-line { \abs-fontsize #8 "letters letters letters letters!" } }
    evenFooterMarkup = \markup \column { \if \on-first-page-of-part \fill-line { \abs-fontsize #9 "letters letters letters letters!" } \if \on-first-page-of-part \fill-line { \abs-fontsize #9 "letters letters letters letters!" } \fill-line { \abs-fontsize #8 "letters letters letters letters!" } }
}
\header
{
    dedication = \markup \pad-markup #0.40 \abs-fontsize #10 \italic \override #'(baseline-skip . 2.40) "letters letters letters letters!"
    title = \markup \pad-markup #0.40 \abs-fontsize #22 \override #'(baseline-skip . 5.28) "letters letters letters letters!"
    subtitle = \markup \pad-markup #0.40 \abs-fontsize #12 \medium \override #'(baseline-skip . 2.88) "letters letters letters letters!"
    composer = \markup \pad-markup #0.40 \abs-fontsize #11 \override #'(baseline-skip . 2.64) "letters letters letters letters!"
    poet = \markup \pad-markup #0.40 \abs-fontsize #11 \override #'(baseline-skip . 2.64) "letters letters letters letters!"
    arranger = \markup \pad-markup #0.40 \abs-fontsize #11 \override #'(baseline-skip . 2.64) "letters letters letters letters!"
    running = \markup \abs-fontsize #9 \italic "letters letters letters letters!"
    pdftitle = "letters letters letters letters!"
    pdfcomposer = "letters letters letters letters!"
    tagline = ##f
}
% a score's heads of 33 letters
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
    indent = 15.5\mm
    short-indent = 7.0\mm
    system-separator-markup = \slashSeparator
}
...
\paper
{
    oddFooterMarkup = \markup \column { \if \on-first-page-of-part \fill-line { \abs-fontsize #9 "letters letters letters letters !" } \if \on-first-page-of-part \fill-line { \abs-fontsize #9 "letters letters letters letters !" } \fill-line { \abs-fontsize #8 "letters letters letters letters !" } }
    evenFooterMarkup = \markup \column { \if \on-first-page-of-part \fill-line { \abs-fontsize #9 "letters letters letters letters !" } \if \on-first-page-of-part \fill-line { \abs-fontsize #9 "letters letters letters letters !" } \fill-line { \abs-fontsize #8 "letters letters letters letters !" } }
}
\header
{
    dedication = \markup \pad-markup #0.40 \abs-fontsize #10 \italic \override #'(baseline-skip . 2.40) "letters letters letters letters !"
    title = \markup \pad-markup #0.40 \abs-fontsize #22 \override #'(baseline-skip . 5.28) \center-column { "letters letters letters" "letters !" }
    subtitle = \markup \pad-markup #0.40 \abs-fontsize #12 \medium \override #'(baseline-skip . 2.88) "letters letters letters letters !"
    composer = \markup \pad-markup #0.40 \abs-fontsize #11 \override #'(baseline-skip . 2.64) "letters letters letters letters !"
    poet = \markup \pad-markup #0.40 \abs-fontsize #11 \override #'(baseline-skip . 2.64) "letters letters letters letters !"
    arranger = \markup \pad-markup #0.40 \abs-fontsize #11 \override #'(baseline-skip . 2.64) "letters letters letters letters !"
    running = \markup \abs-fontsize #9 \italic "letters letters letters letters !"
    pdftitle = "letters letters letters letters !"
    pdfcomposer = "letters letters letters letters !"
    tagline = ##f
}
% a score's heads of 36 letters
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
    indent = 15.5\mm
    short-indent = 7.0\mm
    system-separator-markup = \slashSeparator
}
...
\paper
{
    oddFooterMarkup = \markup \column { \if \on-first-page-of-part \fill-line { \abs-fontsize #9 "letters letters letters letters let!" } \if \on-first-page-of-part \fill-line { \abs-fontsize #9 "letters letters letters letters let!" } \fill-line { \abs-fontsize #8 "letters letters letters letters let!" } }
    evenFooterMarkup = \markup \column { \if \on-first-page-of-part \fill-line { \abs-fontsize #9 "letters letters letters letters let!" } \if \on-first-page-of-part \fill-line { \abs-fontsize #9 "letters letters letters letters let!" } \fill-line { \abs-fontsize #8 "letters letters letters letters let!" } }
}
\header
{
    dedication = \markup \pad-markup #0.40 \abs-fontsize #10 \italic \override #'(baseline-skip . 2.40) "letters letters letters letters let!"
    title = \markup \pad-markup #0.40 \abs-fontsize #22 \override #'(baseline-skip . 5.28) \center-column { "letters letters letters letters" "let!" }
    subtitle = \markup \pad-markup #0.40 \abs-fontsize #12 \medium \override #'(baseline-skip . 2.88) "letters letters letters letters let!"
    composer = \markup \pad-markup #0.40 \abs-fontsize #11 \override #'(baseline-skip . 2.64) "letters letters letters letters let!"
    poet = \markup \pad-markup #0.40 \abs-fontsize #11 \override #'(baseline-skip . 2.64) "letters letters letters letters let!"
    arranger = \markup \pad-markup #0.40 \abs-fontsize #11 \override #'(baseline-skip . 2.64) "letters letters letters letters let!"
    running = \markup \abs-fontsize #9 \italic "letters letters letters letters let!"
    pdftitle = "letters letters letters letters let!"
    pdfcomposer = "letters letters letters letters let!"
    tagline = ##f
}
% a score's heads of 37 letters
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
    indent = 15.5\mm
    short-indent = 7.0\mm
    system-separator-markup = \slashSeparator
}
...
\paper
{
    oddFooterMarkup = \markup \column { \if \on-first-page-of-part \fill-line { \abs-fontsize #9 "letters letters letters letters lett!" } \if \on-first-page-of-part \fill-line { \abs-fontsize #9 "letters letters letters letters lett!" } \fill-line { \abs-fontsize #8 "letters letters letters letters lett!" } }
    evenFooterMarkup = \markup \column { \if \on-first-page-of-part \fill-line { \abs-fontsize #9 "letters letters letters letters lett!" } \if \on-first-page-of-part \fill-line { \abs-fontsize #9 "letters letters letters letters lett!" } \fill-line { \abs-fontsize #8 "letters letters letters letters lett!" } }
}
\header
{
    dedication = \markup \pad-markup #0.40 \abs-fontsize #10 \italic \override #'(baseline-skip . 2.40) "letters letters letters letters lett!"
    title = \markup \pad-markup #0.40 \abs-fontsize #22 \override #'(baseline-skip . 5.28) \center-column { "letters letters letters letters" "lett!" }
    subtitle = \markup \pad-markup #0.40 \abs-fontsize #12 \medium \override #'(baseline-skip . 2.88) "letters letters letters letters lett!"
    composer = \markup \pad-markup #0.40 \abs-fontsize #11 \override #'(baseline-skip . 2.64) \right-column { "letters letters letters letters" "lett!" }
    poet = \markup \pad-markup #0.40 \abs-fontsize #11 \override #'(baseline-skip . 2.64) \column { "letters letters letters letters" "lett!" }
    arranger = \markup \pad-markup #0.40 \abs-fontsize #11 \override #'(baseline-skip . 2.64) \right-column { "letters letters letters letters" "lett!" }
    running = \markup \abs-fontsize #9 \italic "letters letters letters letters lett!"
    pdftitle = "letters letters letters letters lett!"
    pdfcomposer = "letters letters letters letters lett!"
    tagline = ##f
}
% a score's heads of 64 letters
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
    indent = 15.5\mm
    short-indent = 7.0\mm
    system-separator-markup = \slashSeparator
}
...
\paper
{
    oddFooterMarkup = \markup \column { \if \on-first-page-of-part \fill-line { \abs-fontsize #9 "letters letters letters letters letters letters letters letters!" } \if \on-first-page-of-part \fill-line { \abs-fontsize #9 "letters letters letters letters letters letters letters letters!" } \fill-line { \abs-fontsize #8 "letters letters letters letters letters letters letters letters!" } }
    evenFooterMarkup = \markup \column { \if \on-first-page-of-part \fill-line { \abs-fontsize #9 "letters letters letters letters letters letters letters letters!" } \if \on-first-page-of-part \fill-line { \abs-fontsize #9 "letters letters letters letters letters letters letters letters!" } \fill-line { \abs-fontsize #8 "letters letters letters letters letters letters letters letters!" } }
}
\header
{
    dedication = \markup \pad-markup #0.40 \abs-fontsize #10 \italic \override #'(baseline-skip . 2.40) "letters letters letters letters letters letters letters letters!"
    title = \markup \pad-markup #0.40 \abs-fontsize #22 \override #'(baseline-skip . 5.28) \center-column { "letters letters letters letters" "letters letters letters letters!" }
    subtitle = \markup \pad-markup #0.40 \abs-fontsize #12 \medium \override #'(baseline-skip . 2.88) "letters letters letters letters letters letters letters letters!"
    composer = \markup \pad-markup #0.40 \abs-fontsize #11 \override #'(baseline-skip . 2.64) \right-column { "letters letters letters letters" "letters letters letters letters!" }
    poet = \markup \pad-markup #0.40 \abs-fontsize #11 \override #'(baseline-skip . 2.64) \column { "letters letters letters letters" "letters letters letters letters!" }
    arranger = \markup \pad-markup #0.40 \abs-fontsize #11 \override #'(baseline-skip . 2.64) \right-column { "letters letters letters letters" "letters letters letters letters!" }
    running = \markup \abs-fontsize #9 \italic "letters letters letters letters letters letters letters letters!"
    pdftitle = "letters letters letters letters letters letters letters letters!"
    pdfcomposer = "letters letters letters letters letters letters letters letters!"
    tagline = ##f
}
% a score's heads of 65 letters
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
    indent = 15.5\mm
    short-indent = 7.0\mm
    system-separator-markup = \slashSeparator
}
...
\paper
{
    oddFooterMarkup = \markup \column { \if \on-first-page-of-part \fill-line { \abs-fontsize #9 "letters letters letters letters letters letters letters letters !" } \if \on-first-page-of-part \fill-line { \abs-fontsize #9 "letters letters letters letters letters letters letters letters !" } \fill-line { \abs-fontsize #8 "letters letters letters letters letters letters letters letters !" } }
    evenFooterMarkup = \markup \column { \if \on-first-page-of-part \fill-line { \abs-fontsize #9 "letters letters letters letters letters letters letters letters !" } \if \on-first-page-of-part \fill-line { \abs-fontsize #9 "letters letters letters letters letters letters letters letters !" } \fill-line { \abs-fontsize #8 "letters letters letters letters letters letters letters letters !" } }
}
\header
{
    dedication = \markup \pad-markup #0.40 \abs-fontsize #10 \italic \override #'(baseline-skip . 2.40) \center-column { "letters letters letters letters letters letters letters" "letters !" }
    title = \markup \pad-markup #0.40 \abs-fontsize #22 \override #'(baseline-skip . 5.28) \center-column { "letters letters letters letters" "letters letters letters" "letters !" }
    subtitle = \markup \pad-markup #0.40 \abs-fontsize #12 \medium \override #'(baseline-skip . 2.88) \center-column { "letters letters letters letters letters letters letters" "letters !" }
    composer = \markup \pad-markup #0.40 \abs-fontsize #11 \override #'(baseline-skip . 2.64) \right-column { "letters letters letters letters" "letters letters letters letters !" }
    poet = \markup \pad-markup #0.40 \abs-fontsize #11 \override #'(baseline-skip . 2.64) \column { "letters letters letters letters" "letters letters letters letters !" }
    arranger = \markup \pad-markup #0.40 \abs-fontsize #11 \override #'(baseline-skip . 2.64) \right-column { "letters letters letters letters" "letters letters letters letters !" }
    running = \markup \abs-fontsize #9 \italic "letters letters letters letters letters letters letters letters !"
    pdftitle = "letters letters letters letters letters letters letters letters !"
    pdfcomposer = "letters letters letters letters letters letters letters letters !"
    tagline = ##f
}
% a score's heads of 70 letters
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
    indent = 15.5\mm
    short-indent = 7.0\mm
    system-separator-markup = \slashSeparator
}
...
\paper
{
    oddFooterMarkup = \markup \column { \if \on-first-page-of-part \fill-line { \abs-fontsize #9 "letters letters letters letters letters letters letters letters lette!" } \if \on-first-page-of-part \fill-line { \abs-fontsize #9 "letters letters letters letters letters letters letters letters lette!" } \fill-line { \abs-fontsize #8 "letters letters letters letters letters letters letters letters lette!" } }
    evenFooterMarkup = \markup \column { \if \on-first-page-of-part \fill-line { \abs-fontsize #9 "letters letters letters letters letters letters letters letters lette!" } \if \on-first-page-of-part \fill-line { \abs-fontsize #9 "letters letters letters letters letters letters letters letters lette!" } \fill-line { \abs-fontsize #8 "letters letters letters letters letters letters letters letters lette!" } }
}
\header
{
    dedication = \markup \pad-markup #0.40 \abs-fontsize #10 \italic \override #'(baseline-skip . 2.40) \center-column { "letters letters letters letters letters letters letters letters" "lette!" }
    title = \markup \pad-markup #0.40 \abs-fontsize #22 \override #'(baseline-skip . 5.28) \center-column { "letters letters letters letters" "letters letters letters letters" "lette!" }
    subtitle = \markup \pad-markup #0.40 \abs-fontsize #12 \medium \override #'(baseline-skip . 2.88) \center-column { "letters letters letters letters letters letters letters letters" "lette!" }
    composer = \markup \pad-markup #0.40 \abs-fontsize #11 \override #'(baseline-skip . 2.64) \right-column { "letters letters letters letters" "letters letters letters letters" "lette!" }
    poet = \markup \pad-markup #0.40 \abs-fontsize #11 \override #'(baseline-skip . 2.64) \column { "letters letters letters letters" "letters letters letters letters" "lette!" }
    arranger = \markup \pad-markup #0.40 \abs-fontsize #11 \override #'(baseline-skip . 2.64) \right-column { "letters letters letters letters" "letters letters letters letters" "lette!" }
    running = \markup \abs-fontsize #9 \italic "letters letters letters letters letters letters letters letters lette!"
    pdftitle = "letters letters letters letters letters letters letters letters lette!"
    pdfcomposer = "letters letters letters letters letters letters letters letters lette!"
    tagline = ##f
}
% a score's heads of 71 letters
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
    indent = 15.5\mm
    short-indent = 7.0\mm
    system-separator-markup = \slashSeparator
}
...
\paper
{
    oddFooterMarkup = \markup \column { \if \on-first-page-of-part \fill-line { \abs-fontsize #9 "letters letters letters letters letters letters letters letters letter!" } \if \on-first-page-of-part \fill-line { \abs-fontsize #9 "letters letters letters letters letters letters letters letters letter!" } \fill-line { \abs-fontsize #8 "letters letters letters letters letters letters letters letters letter!" } }
    evenFooterMarkup = \markup \column { \if \on-first-page-of-part \fill-line { \abs-fontsize #9 "letters letters letters letters letters letters letters letters letter!" } \if \on-first-page-of-part \fill-line { \abs-fontsize #9 "letters letters letters letters letters letters letters letters letter!" } \fill-line { \abs-fontsize #8 "letters letters letters letters letters letters letters letters letter!" } }
}
\header
{
    dedication = \markup \pad-markup #0.40 \abs-fontsize #10 \italic \override #'(baseline-skip . 2.40) \center-column { "letters letters letters letters letters letters letters letters" "letter!" }
    title = \markup \pad-markup #0.40 \abs-fontsize #22 \override #'(baseline-skip . 5.28) \center-column { "letters letters letters letters" "letters letters letters letters" "letter!" }
    subtitle = \markup \pad-markup #0.40 \abs-fontsize #12 \medium \override #'(baseline-skip . 2.88) \center-column { "letters letters letters letters letters letters letters letters" "letter!" }
    composer = \markup \pad-markup #0.40 \abs-fontsize #11 \override #'(baseline-skip . 2.64) \right-column { "letters letters letters letters" "letters letters letters letters" "letter!" }
    poet = \markup \pad-markup #0.40 \abs-fontsize #11 \override #'(baseline-skip . 2.64) \column { "letters letters letters letters" "letters letters letters letters" "letter!" }
    arranger = \markup \pad-markup #0.40 \abs-fontsize #11 \override #'(baseline-skip . 2.64) \right-column { "letters letters letters letters" "letters letters letters letters" "letter!" }
    running = \markup \abs-fontsize #9 \italic "letters letters letters letters letters letters letters letters…"
    pdftitle = "letters letters letters letters letters letters letters letters letter!"
    pdfcomposer = "letters letters letters letters letters letters letters letters letter!"
    tagline = ##f
}
% a score's heads of 110 letters
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
    indent = 15.5\mm
    short-indent = 7.0\mm
    system-separator-markup = \slashSeparator
}
...
\paper
{
    oddFooterMarkup = \markup \column { \if \on-first-page-of-part \fill-line { \abs-fontsize #9 "letters letters letters letters letters letters letters letters letters letters letters letters letters lette!" } \if \on-first-page-of-part \fill-line { \abs-fontsize #9 "letters letters letters letters letters letters letters letters letters letters letters letters letters lette!" } \fill-line { \abs-fontsize #8 "letters letters letters letters letters letters letters letters letters letters letters letters letters lette!" } }
    evenFooterMarkup = \markup \column { \if \on-first-page-of-part \fill-line { \abs-fontsize #9 "letters letters letters letters letters letters letters letters letters letters letters letters letters lette!" } \if \on-first-page-of-part \fill-line { \abs-fontsize #9 "letters letters letters letters letters letters letters letters letters letters letters letters letters lette!" } \fill-line { \abs-fontsize #8 "letters letters letters letters letters letters letters letters letters letters letters letters letters lette!" } }
}
\header
{
    dedication = \markup \pad-markup #0.40 \abs-fontsize #10 \italic \override #'(baseline-skip . 2.40) \center-column { "letters letters letters letters letters letters letters letters" "letters letters letters letters letters lette!" }
    title = \markup \pad-markup #0.40 \abs-fontsize #22 \override #'(baseline-skip . 5.28) \center-column { "letters letters letters letters" "letters letters letters letters" "letters letters letters letters" "letters lette!" }
    subtitle = \markup \pad-markup #0.40 \abs-fontsize #12 \medium \override #'(baseline-skip . 2.88) \center-column { "letters letters letters letters letters letters letters letters" "letters letters letters letters letters lette!" }
    composer = \markup \pad-markup #0.40 \abs-fontsize #11 \override #'(baseline-skip . 2.64) \right-column { "letters letters letters letters" "letters letters letters letters" "letters letters letters letters" "letters lette!" }
    poet = \markup \pad-markup #0.40 \abs-fontsize #11 \override #'(baseline-skip . 2.64) \column { "letters letters letters letters" "letters letters letters letters" "letters letters letters letters" "letters lette!" }
    arranger = \markup \pad-markup #0.40 \abs-fontsize #11 \override #'(baseline-skip . 2.64) \right-column { "letters letters letters letters" "letters letters letters letters" "letters letters letters letters" "letters lette!" }
    running = \markup \abs-fontsize #9 \italic "letters letters letters letters letters letters letters letters…"
    pdftitle = "letters letters letters letters letters letters letters letters letters letters letters letters letters lette!"
    pdfcomposer = "letters letters letters letters letters letters letters letters letters letters letters letters letters lette!"
    tagline = ##f
}
% a score's heads of 111 letters
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
    indent = 15.5\mm
    short-indent = 7.0\mm
    system-separator-markup = \slashSeparator
}
...
\paper
{
    oddFooterMarkup = \markup \column { \if \on-first-page-of-part \fill-line { \abs-fontsize #9 "letters letters letters letters letters letters letters letters letters letters letters letters letters…" } \if \on-first-page-of-part \fill-line { \abs-fontsize #9 "letters letters letters letters letters letters letters letters letters letters letters letters letters…" } \fill-line { \abs-fontsize #8 "letters letters letters letters letters letters letters letters letters letters letters letters letters…" } }
    evenFooterMarkup = \markup \column { \if \on-first-page-of-part \fill-line { \abs-fontsize #9 "letters letters letters letters letters letters letters letters letters letters letters letters letters…" } \if \on-first-page-of-part \fill-line { \abs-fontsize #9 "letters letters letters letters letters letters letters letters letters letters letters letters letters…" } \fill-line { \abs-fontsize #8 "letters letters letters letters letters letters letters letters letters letters letters letters letters…" } }
}
\header
{
    dedication = \markup \pad-markup #0.40 \abs-fontsize #10 \italic \override #'(baseline-skip . 2.40) \center-column { "letters letters letters letters letters letters letters letters" "letters letters letters letters letters letter!" }
    title = \markup \pad-markup #0.40 \abs-fontsize #22 \override #'(baseline-skip . 5.28) \center-column { "letters letters letters letters" "letters letters letters letters" "letters letters letters letters" "letters letter!" }
    subtitle = \markup \pad-markup #0.40 \abs-fontsize #12 \medium \override #'(baseline-skip . 2.88) \center-column { "letters letters letters letters letters letters letters letters" "letters letters letters letters letters letter!" }
    composer = \markup \pad-markup #0.40 \abs-fontsize #11 \override #'(baseline-skip . 2.64) \right-column { "letters letters letters letters" "letters letters letters letters" "letters letters letters letters" "letters letter!" }
    poet = \markup \pad-markup #0.40 \abs-fontsize #11 \override #'(baseline-skip . 2.64) \column { "letters letters letters letters" "letters letters letters letters" "letters letters letters letters" "letters letter!" }
    arranger = \markup \pad-markup #0.40 \abs-fontsize #11 \override #'(baseline-skip . 2.64) \right-column { "letters letters letters letters" "letters letters letters letters" "letters letters letters letters" "letters letter!" }
    running = \markup \abs-fontsize #9 \italic "letters letters letters letters letters letters letters letters…"
    pdftitle = "letters letters letters letters letters letters letters letters letters letters letters letters letters letter!"
    pdfcomposer = "letters letters letters letters letters letters letters letters letters letters letters letters letters letter!"
    tagline = ##f
}
% a part's heads of 40 letters
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
    indent = 15.5\mm
    short-indent = 7.0\mm
}
...
\paper
{
    oddFooterMarkup = \markup \column { \if \on-first-page-of-part \fill-line { \abs-fontsize #9 "letters letters letters letters letters!" } \if \on-first-page-of-part \fill-line { \abs-fontsize #9 "letters letters letters letters letters!" } \fill-line { \abs-fontsize #8 "letters letters letters letters letters!" } \fill-line { \abs-fontsize #9 \italic "letters letters letters letters letters!" } }
    evenFooterMarkup = \markup \column { \if \on-first-page-of-part \fill-line { \abs-fontsize #9 "letters letters letters letters letters!" } \if \on-first-page-of-part \fill-line { \abs-fontsize #9 "letters letters letters letters letters!" } \fill-line { \abs-fontsize #8 "letters letters letters letters letters!" } \fill-line { \abs-fontsize #9 \italic "letters letters letters letters letters!" } }
}
\header
{
    reader = \markup \abs-fontsize #14 \bold \override #'(baseline-skip . 3.36) "letters letters letters letters letters!"
    title = \markup \abs-fontsize #18 \bold \override #'(baseline-skip . 4.32) "letters letters letters letters letters!"
    subtitle = \markup \abs-fontsize #11 \override #'(baseline-skip . 2.64) "letters letters letters letters letters!"
    composer = \markup \abs-fontsize #11 \override #'(baseline-skip . 2.64) "letters letters letters letters letters!"
    poet = \markup \abs-fontsize #11 \override #'(baseline-skip . 2.64) "letters letters letters letters letters!"
    arranger = \markup \abs-fontsize #11 \override #'(baseline-skip . 2.64) "letters letters letters letters letters!"
    running = \markup \abs-fontsize #9 \italic "letters letters letters letters letters! – letters letters letters…"
    pdftitle = "letters letters letters letters letters! (letters letters letters letters letters!)"
    pdfcomposer = "letters letters letters letters letters!"
    tagline = ##f
}
% a part's heads of 41 letters
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
    indent = 15.5\mm
    short-indent = 7.0\mm
}
...
\paper
{
    oddFooterMarkup = \markup \column { \if \on-first-page-of-part \fill-line { \abs-fontsize #9 "letters letters letters letters letters !" } \if \on-first-page-of-part \fill-line { \abs-fontsize #9 "letters letters letters letters letters !" } \fill-line { \abs-fontsize #8 "letters letters letters letters letters !" } \fill-line { \abs-fontsize #9 \italic "letters letters letters letters letters !" } }
    evenFooterMarkup = \markup \column { \if \on-first-page-of-part \fill-line { \abs-fontsize #9 "letters letters letters letters letters !" } \if \on-first-page-of-part \fill-line { \abs-fontsize #9 "letters letters letters letters letters !" } \fill-line { \abs-fontsize #8 "letters letters letters letters letters !" } \fill-line { \abs-fontsize #9 \italic "letters letters letters letters letters !" } }
}
\header
{
    reader = \markup \abs-fontsize #14 \bold \override #'(baseline-skip . 3.36) "letters letters letters letters letters !"
    title = \markup \abs-fontsize #18 \bold \override #'(baseline-skip . 4.32) "letters letters letters letters letters !"
    subtitle = \markup \abs-fontsize #11 \override #'(baseline-skip . 2.64) "letters letters letters letters letters !"
    composer = \markup \abs-fontsize #11 \override #'(baseline-skip . 2.64) \right-column { "letters letters letters letters" "letters !" }
    poet = \markup \abs-fontsize #11 \override #'(baseline-skip . 2.64) \column { "letters letters letters letters" "letters !" }
    arranger = \markup \abs-fontsize #11 \override #'(baseline-skip . 2.64) \right-column { "letters letters letters letters" "letters !" }
    running = \markup \abs-fontsize #9 \italic "letters letters letters letters letters ! – letters letters letters…"
    pdftitle = "letters letters letters letters letters ! (letters letters letters letters letters !)"
    pdfcomposer = "letters letters letters letters letters !"
    tagline = ##f
}
% a part's heads of 48 letters
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
    indent = 15.5\mm
    short-indent = 7.0\mm
}
...
\paper
{
    oddFooterMarkup = \markup \column { \if \on-first-page-of-part \fill-line { \abs-fontsize #9 "letters letters letters letters letters letters!" } \if \on-first-page-of-part \fill-line { \abs-fontsize #9 "letters letters letters letters letters letters!" } \fill-line { \abs-fontsize #8 "letters letters letters letters letters letters!" } \fill-line { \abs-fontsize #9 \italic "letters letters letters letters letters letters!" } }
    evenFooterMarkup = \markup \column { \if \on-first-page-of-part \fill-line { \abs-fontsize #9 "letters letters letters letters letters letters!" } \if \on-first-page-of-part \fill-line { \abs-fontsize #9 "letters letters letters letters letters letters!" } \fill-line { \abs-fontsize #8 "letters letters letters letters letters letters!" } \fill-line { \abs-fontsize #9 \italic "letters letters letters letters letters letters!" } }
}
\header
{
    reader = \markup \abs-fontsize #14 \bold \override #'(baseline-skip . 3.36) "letters letters letters letters letters letters!"
    title = \markup \abs-fontsize #18 \bold \override #'(baseline-skip . 4.32) "letters letters letters letters letters letters!"
    subtitle = \markup \abs-fontsize #11 \override #'(baseline-skip . 2.64) "letters letters letters letters letters letters!"
    composer = \markup \abs-fontsize #11 \override #'(baseline-skip . 2.64) \right-column { "letters letters letters letters letters" "letters!" }
    poet = \markup \abs-fontsize #11 \override #'(baseline-skip . 2.64) \column { "letters letters letters letters letters" "letters!" }
    arranger = \markup \abs-fontsize #11 \override #'(baseline-skip . 2.64) \right-column { "letters letters letters letters letters" "letters!" }
    running = \markup \abs-fontsize #9 \italic "letters letters letters letters letters letters! – letters letters…"
    pdftitle = "letters letters letters letters letters letters! (letters letters letters letters letters letters!)"
    pdfcomposer = "letters letters letters letters letters letters!"
    tagline = ##f
}
% a part's heads of 49 letters
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
    indent = 15.5\mm
    short-indent = 7.0\mm
}
...
\paper
{
    oddFooterMarkup = \markup \column { \if \on-first-page-of-part \fill-line { \abs-fontsize #9 "letters letters letters letters letters letters !" } \if \on-first-page-of-part \fill-line { \abs-fontsize #9 "letters letters letters letters letters letters !" } \fill-line { \abs-fontsize #8 "letters letters letters letters letters letters !" } \fill-line { \abs-fontsize #9 \italic "letters letters letters letters letters letters !" } }
    evenFooterMarkup = \markup \column { \if \on-first-page-of-part \fill-line { \abs-fontsize #9 "letters letters letters letters letters letters !" } \if \on-first-page-of-part \fill-line { \abs-fontsize #9 "letters letters letters letters letters letters !" } \fill-line { \abs-fontsize #8 "letters letters letters letters letters letters !" } \fill-line { \abs-fontsize #9 \italic "letters letters letters letters letters letters !" } }
}
\header
{
    reader = \markup \abs-fontsize #14 \bold \override #'(baseline-skip . 3.36) \column { "letters letters letters letters letters" "letters !" }
    title = \markup \abs-fontsize #18 \bold \override #'(baseline-skip . 4.32) "letters letters letters letters letters letters !"
    subtitle = \markup \abs-fontsize #11 \override #'(baseline-skip . 2.64) "letters letters letters letters letters letters !"
    composer = \markup \abs-fontsize #11 \override #'(baseline-skip . 2.64) \right-column { "letters letters letters letters letters" "letters !" }
    poet = \markup \abs-fontsize #11 \override #'(baseline-skip . 2.64) \column { "letters letters letters letters letters" "letters !" }
    arranger = \markup \abs-fontsize #11 \override #'(baseline-skip . 2.64) \right-column { "letters letters letters letters letters" "letters !" }
    running = \markup \abs-fontsize #9 \italic "letters letters letters letters letters letters ! – letters letters…"
    pdftitle = "letters letters letters letters letters letters ! (letters letters letters letters letters letters !)"
    pdfcomposer = "letters letters letters letters letters letters !"
    tagline = ##f
}
% a part's heads of 50 letters
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
    indent = 15.5\mm
    short-indent = 7.0\mm
}
...
\paper
{
    oddFooterMarkup = \markup \column { \if \on-first-page-of-part \fill-line { \abs-fontsize #9 "letters letters letters letters letters letters l!" } \if \on-first-page-of-part \fill-line { \abs-fontsize #9 "letters letters letters letters letters letters l!" } \fill-line { \abs-fontsize #8 "letters letters letters letters letters letters l!" } \fill-line { \abs-fontsize #9 \italic "letters letters letters letters letters letters l!" } }
    evenFooterMarkup = \markup \column { \if \on-first-page-of-part \fill-line { \abs-fontsize #9 "letters letters letters letters letters letters l!" } \if \on-first-page-of-part \fill-line { \abs-fontsize #9 "letters letters letters letters letters letters l!" } \fill-line { \abs-fontsize #8 "letters letters letters letters letters letters l!" } \fill-line { \abs-fontsize #9 \italic "letters letters letters letters letters letters l!" } }
}
\header
{
    reader = \markup \abs-fontsize #14 \bold \override #'(baseline-skip . 3.36) \column { "letters letters letters letters letters" "letters l!" }
    title = \markup \abs-fontsize #18 \bold \override #'(baseline-skip . 4.32) "letters letters letters letters letters letters l!"
    subtitle = \markup \abs-fontsize #11 \override #'(baseline-skip . 2.64) "letters letters letters letters letters letters l!"
    composer = \markup \abs-fontsize #11 \override #'(baseline-skip . 2.64) \right-column { "letters letters letters letters letters" "letters l!" }
    poet = \markup \abs-fontsize #11 \override #'(baseline-skip . 2.64) \column { "letters letters letters letters letters" "letters l!" }
    arranger = \markup \abs-fontsize #11 \override #'(baseline-skip . 2.64) \right-column { "letters letters letters letters letters" "letters l!" }
    running = \markup \abs-fontsize #9 \italic "letters letters letters letters letters letters l! – letters letters…"
    pdftitle = "letters letters letters letters letters letters l! (letters letters letters letters letters letters l!)"
    pdfcomposer = "letters letters letters letters letters letters l!"
    tagline = ##f
}
% a part's heads of 51 letters
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
    indent = 15.5\mm
    short-indent = 7.0\mm
}
...
\paper
{
    oddFooterMarkup = \markup \column { \if \on-first-page-of-part \fill-line { \abs-fontsize #9 "letters letters letters letters letters letters le!" } \if \on-first-page-of-part \fill-line { \abs-fontsize #9 "letters letters letters letters letters letters le!" } \fill-line { \abs-fontsize #8 "letters letters letters letters letters letters le!" } \fill-line { \abs-fontsize #9 \italic "letters letters letters letters letters letters le!" } }
    evenFooterMarkup = \markup \column { \if \on-first-page-of-part \fill-line { \abs-fontsize #9 "letters letters letters letters letters letters le!" } \if \on-first-page-of-part \fill-line { \abs-fontsize #9 "letters letters letters letters letters letters le!" } \fill-line { \abs-fontsize #8 "letters letters letters letters letters letters le!" } \fill-line { \abs-fontsize #9 \italic "letters letters letters letters letters letters le!" } }
}
\header
{
    reader = \markup \abs-fontsize #14 \bold \override #'(baseline-skip . 3.36) \column { "letters letters letters letters letters" "letters le!" }
    title = \markup \abs-fontsize #18 \bold \override #'(baseline-skip . 4.32) \center-column { "letters letters letters letters letters" "letters le!" }
    subtitle = \markup \abs-fontsize #11 \override #'(baseline-skip . 2.64) "letters letters letters letters letters letters le!"
    composer = \markup \abs-fontsize #11 \override #'(baseline-skip . 2.64) \right-column { "letters letters letters letters letters" "letters le!" }
    poet = \markup \abs-fontsize #11 \override #'(baseline-skip . 2.64) \column { "letters letters letters letters letters" "letters le!" }
    arranger = \markup \abs-fontsize #11 \override #'(baseline-skip . 2.64) \right-column { "letters letters letters letters letters" "letters le!" }
    running = \markup \abs-fontsize #9 \italic "letters letters letters letters letters letters le! – letters letters…"
    pdftitle = "letters letters letters letters letters letters le! (letters letters letters letters letters letters le!)"
    pdfcomposer = "letters letters letters letters letters letters le!"
    tagline = ##f
}
% a part's heads of 70 letters
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
    indent = 15.5\mm
    short-indent = 7.0\mm
}
...
\paper
{
    oddFooterMarkup = \markup \column { \if \on-first-page-of-part \fill-line { \abs-fontsize #9 "letters letters letters letters letters letters letters letters lette!" } \if \on-first-page-of-part \fill-line { \abs-fontsize #9 "letters letters letters letters letters letters letters letters lette!" } \fill-line { \abs-fontsize #8 "letters letters letters letters letters letters letters letters lette!" } \fill-line { \abs-fontsize #9 \italic "letters letters letters letters letters letters letters letters lette!" } }
    evenFooterMarkup = \markup \column { \if \on-first-page-of-part \fill-line { \abs-fontsize #9 "letters letters letters letters letters letters letters letters lette!" } \if \on-first-page-of-part \fill-line { \abs-fontsize #9 "letters letters letters letters letters letters letters letters lette!" } \fill-line { \abs-fontsize #8 "letters letters letters letters letters letters letters letters lette!" } \fill-line { \abs-fontsize #9 \italic "letters letters letters letters letters letters letters letters lette!" } }
}
\header
{
    reader = \markup \abs-fontsize #14 \bold \override #'(baseline-skip . 3.36) \column { "letters letters letters letters letters letters" "letters letters lette!" }
    title = \markup \abs-fontsize #18 \bold \override #'(baseline-skip . 4.32) \center-column { "letters letters letters letters letters letters" "letters letters lette!" }
    subtitle = \markup \abs-fontsize #11 \override #'(baseline-skip . 2.64) "letters letters letters letters letters letters letters letters lette!"
    composer = \markup \abs-fontsize #11 \override #'(baseline-skip . 2.64) \right-column { "letters letters letters letters letters" "letters letters letters lette!" }
    poet = \markup \abs-fontsize #11 \override #'(baseline-skip . 2.64) \column { "letters letters letters letters letters" "letters letters letters lette!" }
    arranger = \markup \abs-fontsize #11 \override #'(baseline-skip . 2.64) \right-column { "letters letters letters letters letters" "letters letters letters lette!" }
    running = \markup \abs-fontsize #9 \italic "letters letters letters letters letters letters letters letters lette…"
    pdftitle = "letters letters letters letters letters letters letters letters lette! (letters letters letters letters letters letters letters letters lette!)"
    pdfcomposer = "letters letters letters letters letters letters letters letters lette!"
    tagline = ##f
}
% a part's heads of 71 letters
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
    indent = 15.5\mm
    short-indent = 7.0\mm
}
...
\paper
{
    oddFooterMarkup = \markup \column { \if \on-first-page-of-part \fill-line { \abs-fontsize #9 "letters letters letters letters letters letters letters letters letter!" } \if \on-first-page-of-part \fill-line { \abs-fontsize #9 "letters letters letters letters letters letters letters letters letter!" } \fill-line { \abs-fontsize #8 "letters letters letters letters letters letters letters letters letter!" } \fill-line { \abs-fontsize #9 \italic "letters letters letters letters letters letters letters letters letter!" } }
    evenFooterMarkup = \markup \column { \if \on-first-page-of-part \fill-line { \abs-fontsize #9 "letters letters letters letters letters letters letters letters letter!" } \if \on-first-page-of-part \fill-line { \abs-fontsize #9 "letters letters letters letters letters letters letters letters letter!" } \fill-line { \abs-fontsize #8 "letters letters letters letters letters letters letters letters letter!" } \fill-line { \abs-fontsize #9 \italic "letters letters letters letters letters letters letters letters letter!" } }
}
\header
{
    reader = \markup \abs-fontsize #14 \bold \override #'(baseline-skip . 3.36) \column { "letters letters letters letters letters letters" "letters letters letter!" }
    title = \markup \abs-fontsize #18 \bold \override #'(baseline-skip . 4.32) \center-column { "letters letters letters letters letters letters" "letters letters letter!" }
    subtitle = \markup \abs-fontsize #11 \override #'(baseline-skip . 2.64) \center-column { "letters letters letters letters letters letters letters letters" "letter!" }
    composer = \markup \abs-fontsize #11 \override #'(baseline-skip . 2.64) \right-column { "letters letters letters letters letters" "letters letters letters letter!" }
    poet = \markup \abs-fontsize #11 \override #'(baseline-skip . 2.64) \column { "letters letters letters letters letters" "letters letters letters letter!" }
    arranger = \markup \abs-fontsize #11 \override #'(baseline-skip . 2.64) \right-column { "letters letters letters letters letters" "letters letters letters letter!" }
    running = \markup \abs-fontsize #9 \italic "letters letters letters letters letters letters letters letters…"
    pdftitle = "letters letters letters letters letters letters letters letters letter! (letters letters letters letters letters letters letters letters letter!)"
    pdfcomposer = "letters letters letters letters letters letters letters letters letter!"
    tagline = ##f
}
% a part that tells its pages
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
    indent = 15.5\mm
    short-indent = 7.0\mm
}
...
\paper
{
    oddFooterMarkup = \markup \column { \if \on-first-page-of-part \fill-line { \abs-fontsize #9 "letters letters let!" } \if \on-first-page-of-part \fill-line { \abs-fontsize #9 "letters letters let!" } \fill-line { \abs-fontsize #8 "letters letters let!" } }
    evenFooterMarkup = \markup \column { \if \on-first-page-of-part \fill-line { \abs-fontsize #9 "letters letters let!" } \if \on-first-page-of-part \fill-line { \abs-fontsize #9 "letters letters let!" } \fill-line { \abs-fontsize #8 "letters letters let!" } }
}
\header
{
    title = \markup \abs-fontsize #18 \bold \override #'(baseline-skip . 4.32) "letters letters let!"
    subtitle = \markup \abs-fontsize #11 \override #'(baseline-skip . 2.64) "letters letters let!"
    composer = \markup \abs-fontsize #11 \override #'(baseline-skip . 2.64) "letters letters let!"
    poet = \markup \abs-fontsize #11 \override #'(baseline-skip . 2.64) "letters letters let!"
    arranger = \markup \abs-fontsize #11 \override #'(baseline-skip . 2.64) "letters letters let!"
    running = \markup \abs-fontsize #9 \italic "letters letters let!"
    pdftitle = "letters letters let! ()"
    pdfcomposer = "letters letters let!"
    tagline = ##f
}
% a page of 28 letters before a part that begins on the left
\bookpart
{
    \paper
    {
        top-margin = 74.2\mm
        bookTitleMarkup = ##f
        oddFooterMarkup = ##f
    }
    \markup \column
    {
        \fill-line { \abs-fontsize #16 "letters letters letters let!" } \vspace #2
        \fill-line { \abs-fontsize #26 \bold "letters letters letters let!" } \vspace #2
        \fill-line { \abs-fontsize #14 "letters letters letters let!" } \vspace #2
        \fill-line { \abs-fontsize #20 \bold "letters letters letters let!" } \vspace #2
    }
}
% a page of 29 letters before a part that begins on the left
\bookpart
{
    \paper
    {
        top-margin = 74.2\mm
        bookTitleMarkup = ##f
        oddFooterMarkup = ##f
    }
    \markup \column
    {
        \fill-line { \abs-fontsize #16 "letters letters letters lett!" } \vspace #2
        \fill-line { \abs-fontsize #26 \bold \center-column { "letters letters letters" "lett!" } } \vspace #2
        \fill-line { \abs-fontsize #14 "letters letters letters lett!" } \vspace #2
        \fill-line { \abs-fontsize #20 \bold "letters letters letters lett!" } \vspace #2
    }
}
% a page of 36 letters before a part that begins on the left
\bookpart
{
    \paper
    {
        top-margin = 74.2\mm
        bookTitleMarkup = ##f
        oddFooterMarkup = ##f
    }
    \markup \column
    {
        \fill-line { \abs-fontsize #16 "letters letters letters letters let!" } \vspace #2
        \fill-line { \abs-fontsize #26 \bold \center-column { "letters letters letters" "letters let!" } } \vspace #2
        \fill-line { \abs-fontsize #14 "letters letters letters letters let!" } \vspace #2
        \fill-line { \abs-fontsize #20 \bold "letters letters letters letters let!" } \vspace #2
    }
}
% a page of 37 letters before a part that begins on the left
\bookpart
{
    \paper
    {
        top-margin = 74.2\mm
        bookTitleMarkup = ##f
        oddFooterMarkup = ##f
    }
    \markup \column
    {
        \fill-line { \abs-fontsize #16 "letters letters letters letters lett!" } \vspace #2
        \fill-line { \abs-fontsize #26 \bold \center-column { "letters letters letters" "letters lett!" } } \vspace #2
        \fill-line { \abs-fontsize #14 "letters letters letters letters lett!" } \vspace #2
        \fill-line { \abs-fontsize #20 \bold \center-column { "letters letters letters letters" "lett!" } } \vspace #2
    }
}
% a page of 54 letters before a part that begins on the left
\bookpart
{
    \paper
    {
        top-margin = 74.2\mm
        bookTitleMarkup = ##f
        oddFooterMarkup = ##f
    }
    \markup \column
    {
        \fill-line { \abs-fontsize #16 \center-column { "letters letters letters letters letters" "letters lette!" } } \vspace #2
        \fill-line { \abs-fontsize #26 \bold \center-column { "letters letters letters" "letters letters letters" "lette!" } } \vspace #2
        \fill-line { \abs-fontsize #14 "letters letters letters letters letters letters lette!" } \vspace #2
        \fill-line { \abs-fontsize #20 \bold \center-column { "letters letters letters letters" "letters letters lette!" } } \vspace #2
    }
}
% a page of 55 letters before a part that begins on the left
\bookpart
{
    \paper
    {
        top-margin = 74.2\mm
        bookTitleMarkup = ##f
        oddFooterMarkup = ##f
    }
    \markup \column
    {
        \fill-line { \abs-fontsize #16 \center-column { "letters letters letters letters letters" "letters letter!" } } \vspace #2
        \fill-line { \abs-fontsize #26 \bold \center-column { "letters letters letters" "letters letters letters" "letter!" } } \vspace #2
        \fill-line { \abs-fontsize #14 \center-column { "letters letters letters letters letters letters" "letter!" } } \vspace #2
        \fill-line { \abs-fontsize #20 \bold \center-column { "letters letters letters letters" "letters letters letter!" } } \vspace #2
    }
}
% without names
\version "2.24.0"
\language "english"
#(set-global-staff-size 12)
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
...
\paper
{
    oddFooterMarkup = ##f
    evenFooterMarkup = ##f
}
\header
{
    title = \markup \pad-markup #1.33 \abs-fontsize #22 \override #'(baseline-skip . 8.80) "T"
    running = \markup \abs-fontsize #9 \italic "T – Horn"
    pdftitle = "T"
    pdfcomposer = ""
    tagline = ##f
}
% on A3
\version "2.24.0"
\language "english"
#(set-global-staff-size 12)
\paper
{
    paper-width = 297\mm
    paper-height = 420\mm
    two-sided = ##t
    inner-margin = 18\mm
    outer-margin = 13\mm
    indent = 15.5\mm
    short-indent = 0\mm
}
...
\paper
{
    oddFooterMarkup = \markup \column { \if \on-first-page-of-part \fill-line { \abs-fontsize #9 "letters letters letters letters lett!" } \if \on-first-page-of-part \fill-line { \abs-fontsize #9 "letters letters letters letters lett!" } \fill-line { \abs-fontsize #8 "letters letters letters letters lett!" } }
    evenFooterMarkup = \markup \column { \if \on-first-page-of-part \fill-line { \abs-fontsize #9 "letters letters letters letters lett!" } \if \on-first-page-of-part \fill-line { \abs-fontsize #9 "letters letters letters letters lett!" } \fill-line { \abs-fontsize #8 "letters letters letters letters lett!" } }
}
\header
{
    dedication = \markup \pad-markup #1.33 \abs-fontsize #10 \italic \override #'(baseline-skip . 4.00) "letters letters letters letters lett!"
    title = \markup \pad-markup #1.33 \abs-fontsize #22 \override #'(baseline-skip . 8.80) "letters letters letters letters lett!"
    subtitle = \markup \pad-markup #1.33 \abs-fontsize #12 \medium \override #'(baseline-skip . 4.80) "letters letters letters letters lett!"
    composer = \markup \pad-markup #1.33 \abs-fontsize #11 \override #'(baseline-skip . 4.40) "letters letters letters letters lett!"
    poet = \markup \pad-markup #1.33 \abs-fontsize #11 \override #'(baseline-skip . 4.40) "letters letters letters letters lett!"
    arranger = \markup \pad-markup #1.33 \abs-fontsize #11 \override #'(baseline-skip . 4.40) "letters letters letters letters lett!"
    running = \markup \abs-fontsize #9 \italic "letters letters letters letters lett!"
    pdftitle = "letters letters letters letters lett!"
    pdfcomposer = "letters letters letters letters lett!"
    tagline = ##f
}
% very long titles
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
    indent = 15.5\mm
    short-indent = 7.0\mm
    system-separator-markup = \slashSeparator
}
...
\paper
{
    oddFooterMarkup = \markup \column { \if \on-first-page-of-part \fill-line { \abs-fontsize #9 "letters letters letters letters letters letters letters letters letters letters letters letters letters…" } \if \on-first-page-of-part \fill-line { \abs-fontsize #9 "letters letters letters letters letters letters letters letters letters letters letters letters letters…" } \fill-line { \abs-fontsize #8 "letters letters letters letters letters letters letters letters letters letters letters letters letters…" } }
    evenFooterMarkup = \markup \column { \if \on-first-page-of-part \fill-line { \abs-fontsize #9 "letters letters letters letters letters letters letters letters letters letters letters letters letters…" } \if \on-first-page-of-part \fill-line { \abs-fontsize #9 "letters letters letters letters letters letters letters letters letters letters letters letters letters…" } \fill-line { \abs-fontsize #8 "letters letters letters letters letters letters letters letters letters letters letters letters letters…" } }
}
\header
{
    dedication = \markup \pad-markup #0.40 \abs-fontsize #10 \italic \override #'(baseline-skip . 2.40) \center-column { "letters letters letters letters letters letters letters letters" "letters letters letters letters letters letters letters letters" "letters letters letters letters letters letters letters letters" "letters letters letters letters letters letters letters letters…" }
    title = \markup \pad-markup #0.40 \abs-fontsize #22 \override #'(baseline-skip . 5.28) \center-column { "letters letters letters letters" "letters letters letters letters" "letters letters letters letters" "letters letters letters letters…" }
    subtitle = \markup \pad-markup #0.40 \abs-fontsize #12 \medium \override #'(baseline-skip . 2.88) \center-column { "letters letters letters letters letters letters letters letters" "letters letters letters letters letters letters letters letters" "letters letters letters letters letters letters letters letters" "letters letters letters letters letters letters letters letters…" }
    composer = \markup \pad-markup #0.40 \abs-fontsize #11 \override #'(baseline-skip . 2.64) \right-column { "letters letters letters letters" "letters letters letters letters" "letters letters letters letters" "letters letters letters letters…" }
    poet = \markup \pad-markup #0.40 \abs-fontsize #11 \override #'(baseline-skip . 2.64) \column { "letters letters letters letters" "letters letters letters letters" "letters letters letters letters" "letters letters letters letters…" }
    arranger = \markup \pad-markup #0.40 \abs-fontsize #11 \override #'(baseline-skip . 2.64) \right-column { "letters letters letters letters" "letters letters letters letters" "letters letters letters letters" "letters letters letters letters…" }
    running = \markup \abs-fontsize #9 \italic "letters letters letters letters letters letters letters letters…"
    pdftitle = "letters letters letters letters letters letters letters letters letters letters letters letters letters letters letters letters letters letters letters letters letters letters letters letters letters "
    pdfcomposer = "letters letters letters letters letters letters letters letters letters letters letters letters letters letters letters letters letters letters letters letters letters letters letters letters letters "
    tagline = ##f
}
% feet {}
\paper
{
    oddFooterMarkup = ##f
    evenFooterMarkup = ##f
}
% feet {'copyright': '(c)'}
\paper
{
    oddFooterMarkup = \markup \if \on-first-page-of-part \fill-line { \abs-fontsize #9 "(c)" }
    evenFooterMarkup = \markup \if \on-first-page-of-part \fill-line { \abs-fontsize #9 "(c)" }
}
% feet {'publisher': 'P'}
\paper
{
    oddFooterMarkup = \markup \if \on-first-page-of-part \fill-line { \abs-fontsize #9 "P" }
    evenFooterMarkup = \markup \if \on-first-page-of-part \fill-line { \abs-fontsize #9 "P" }
}
% feet {'number': 'N'}
\paper
{
    oddFooterMarkup = \markup \fill-line { \abs-fontsize #8 "N" }
    evenFooterMarkup = \markup \fill-line { \abs-fontsize #8 "N" }
}
% feet {'foot': 'F'}
\paper
{
    oddFooterMarkup = \markup \fill-line { \abs-fontsize #9 \italic "F" }
    evenFooterMarkup = \markup \fill-line { \abs-fontsize #9 \italic "F" }
}
% feet {'proof': True}
\paper
{
    oddFooterMarkup = ##f
    evenFooterMarkup = ##f
}
\layout
{
    \context
    {
        \Score
        barNumberVisibility = #all-bar-numbers-visible
        \override BarNumber.break-visibility = #end-of-line-invisible
    }
}
% feet {'copyright': '(c)', 'foot': 'F'}
\paper
{
    oddFooterMarkup = \markup \column { \if \on-first-page-of-part \fill-line { \abs-fontsize #9 "(c)" } \fill-line { \abs-fontsize #9 \italic "F" } }
    evenFooterMarkup = \markup \column { \if \on-first-page-of-part \fill-line { \abs-fontsize #9 "(c)" } \fill-line { \abs-fontsize #9 \italic "F" } }
}
% settings for staves of 20 points

% settings for staves of 18 points

% settings for staves of 16 points
\layout
{
    \context
    {
        \Score
        \override MetronomeMark.font-size = #0.2
        \override RehearsalMark.font-size = #2.2
        \override BarNumber.font-size = #-1.8
    }
}
% settings for staves of 14 points
\layout
{
    \context
    {
        \Score
        \override MetronomeMark.font-size = #1.4
        \override RehearsalMark.font-size = #3.4
        \override BarNumber.font-size = #-0.6
    }
}
% settings for staves of 12 points
\layout
{
    \context
    {
        \Score
        \override MetronomeMark.font-size = #2.7
        \override RehearsalMark.font-size = #4.7
        \override BarNumber.font-size = #0.7
    }
    \context
    {
        \Staff
        \override InstrumentName.font-size = #0.5
    }
    \context
    {
        \RhythmicStaff
        \override InstrumentName.font-size = #0.5
    }
    \context
    {
        \PianoStaff
        \override InstrumentName.font-size = #0.5
    }
}
% settings for staves of 10.5 points
\layout
{
    \context
    {
        \Score
        \override MetronomeMark.font-size = #3.8
        \override RehearsalMark.font-size = #5.8
        \override BarNumber.font-size = #1.8
    }
    \context
    {
        \Staff
        \override InstrumentName.font-size = #1.7
    }
    \context
    {
        \RhythmicStaff
        \override InstrumentName.font-size = #1.7
    }
    \context
    {
        \PianoStaff
        \override InstrumentName.font-size = #1.7
    }
}
% settings for staves of 9 points
\layout
{
    \context
    {
        \Score
        \override MetronomeMark.font-size = #5.2
        \override RehearsalMark.font-size = #7.2
        \override BarNumber.font-size = #3.2
    }
    \context
    {
        \Staff
        \override InstrumentName.font-size = #3
    }
    \context
    {
        \RhythmicStaff
        \override InstrumentName.font-size = #3
    }
    \context
    {
        \PianoStaff
        \override InstrumentName.font-size = #3
    }
}
% settings for staves of 8 points
\layout
{
    \context
    {
        \Score
        \override MetronomeMark.font-size = #6.2
        \override RehearsalMark.font-size = #8.2
        \override BarNumber.font-size = #4.2
    }
    \context
    {
        \Staff
        \override InstrumentName.font-size = #4
    }
    \context
    {
        \RhythmicStaff
        \override InstrumentName.font-size = #4
    }
    \context
    {
        \PianoStaff
        \override InstrumentName.font-size = #4
    }
}
% a sheet that is joined
\paper
{
    two-sided = ##f
    left-margin = 18\mm
    right-margin = 13\mm
    #(for-each
      (lambda (name)
       (let ((heading (ly:parser-lookup name)))
        (if (markup? heading) (module-define! (current-module) name (make-transparent-markup heading)))))
      '(oddHeaderMarkup evenHeaderMarkup oddFooterMarkup evenFooterMarkup))
}
\paper
{
    two-sided = ##f
    left-margin = 18\mm
    right-margin = 13\mm
    #(for-each
      (lambda (name)
       (let ((heading (ly:parser-lookup name)))
        (if (markup? heading) (module-define! (current-module) name (make-transparent-markup heading)))))
      '(oddHeaderMarkup evenHeaderMarkup oddFooterMarkup evenFooterMarkup))
    bookTitleMarkup = ##f
    oddHeaderMarkup = \markup \transparent \fill-line { \fromproperty #'header:running \abs-fontsize #10 "8" }
    evenHeaderMarkup = \oddHeaderMarkup
}
% empty pages
\bookpart
{
    \paper { bookTitleMarkup = ##f }
    \markup \null
}
\bookpart
{
    \paper { bookTitleMarkup = ##f }
    \markup \null
    \pageBreak
    \markup \null
    \pageBreak
    \markup \null
}
% a silent movement's heading of 50 letters
\markup \column { \vspace #1 \fill-line { \abs-fontsize #14 \bold "letters letters letters letters letters letters l!" } \vspace #0.3 \fill-line { \abs-fontsize #12 \italic "tacet" } \vspace #0.5 }
% a silent movement's heading of 51 letters
\markup \column { \vspace #1 \fill-line { \abs-fontsize #14 \bold \center-column { "letters letters letters letters letters" "letters le!" } } \vspace #0.3 \fill-line { \abs-fontsize #12 \italic "tacet" } \vspace #0.5 }
