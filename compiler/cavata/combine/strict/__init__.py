"""The judge of strict counterpoint in two parts.

To add a rule: a function that takes a `Scene` and gives the notes of each fault, whose docstring is the sentence of the
rule on its page; its row in `RULES` of `table`, hard only if Fux never breaks it in `tests/published/fux`, else a
license, with its source; and a planted fault in `tests/published/test_strict.py`, which `--update` puts on the page.
What the arrays of `combine/rules.py` refuse, the judge must refuse too: `tests/unit/test_combine.py` compares both.
"""
