"""`python -m cavata`: the command, or one line where this Python is too old to read the rest.

Nothing here is newer than Python 3.6.
"""

import sys

if sys.version_info < (3, 11):  # noqa: UP036  # run from a checkout, where no installer has looked
    sys.exit("Cavata needs Python 3.11 or later; this is Python " + ".".join(map(str, sys.version_info[:2])))

from cavata.cli.main import program

program()
