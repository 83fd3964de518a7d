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
#(define (has-music? page)
  (any (lambda (line) (ly:grob? (ly:prob-property line 'system-grob #f))) (ly:prob-property page 'lines)))
% A page before the music is set by itself, and is of no account.
#(define (report-pages layout pages)
  (if (any has-music? pages)
   (begin
    (report "room" (room layout))
    (for-each
     (lambda (page)
      (for-each
       (lambda (line) (report-line (ly:prob-property page 'page-number) line))
       (ly:prob-property page 'lines)))
     pages))))
\paper
{
    page-post-process = #report-pages
}
