"""Computing values: from the bound program to motifs, and to lines ready to be placed."""
