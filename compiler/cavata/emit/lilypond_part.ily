#(define (height-of line)
  (let ((extent (ly:stencil-extent (ly:prob-property line 'stencil (ly:make-stencil '())) Y)))
   (if (interval-sane? extent) (interval-length extent) 0)))
#(define report
  (let ((number 0))
   (lambda (what . values)
    (set! number (1+ number))
    (ly:warning "layout ~a ~a ~a" number what (string-join (map object->string values) " ")))))
#(define (report-line page line)
  (let ((system (ly:prob-property line 'system-grob #f)))
   (if (ly:grob? system)
    (let ((columns (ly:grob-array->list (ly:grob-object system 'columns))))
     (report "system" page
      (ly:moment-main (ly:grob-property (car columns) 'when))
      (ly:moment-main (ly:grob-property (last columns) 'when))
      (height-of line)))
    (report "words" page (height-of line)))))
#(define (room layout)
  (- (ly:output-def-lookup layout 'paper-height)
     (ly:output-def-lookup layout 'top-margin)
     (ly:output-def-lookup layout 'bottom-margin)
     6))
#(define (report-pages layout pages)
  (report "room" (room layout))
  (for-each
   (lambda (page)
    (for-each
     (lambda (line) (report-line (ly:prob-property page 'page-number) line))
     (ly:prob-property page 'lines)))
   pages))
\paper
{
    page-post-process = #report-pages
    system-system-spacing.basic-distance = #14
    system-system-spacing.padding = #2.5
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
    }
    \context
    {
        \CueVoice
        autoBeaming = ##f
        fontSize = #-3
        \override TextScript.font-size = #2
        \override TextScript.font-shape = #'upright
    }
}
