% Has `ink.scm`, compiled, tell where the ink of every page lies.
#(load-compiled "ink.go")
\paper
{
    page-post-process =
    #(lambda (layout pages)
      (if (defined? 'report-pages) (report-pages layout pages))
      (tell-pages layout pages))
}
