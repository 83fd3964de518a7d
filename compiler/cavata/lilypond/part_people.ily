\paper
{
    bookTitleMarkup = \markup \column
    {
        \fill-line { \fromproperty #'header:reader \null }
        \vspace #0.6
        \fill-line { \fromproperty #'header:title }
        \vspace #0.2
        \fill-line { \fromproperty #'header:subtitle }
        \vspace #0.4
        \fill-line { \fromproperty #'header:poet \fromproperty #'header:composer }
        \fill-line { \null \fromproperty #'header:arranger }
        \vspace #0.6
    }
}
