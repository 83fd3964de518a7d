"""`cavata` reading a folder of scores, which stands still with one group kept and the next half written.

`python stands_still.py MARKS trace NAME FOLDER`: in the folder MARKS a file `kept` says the one, `half` the other.
It then waits to be ended, however fast or busy the machine is.
"""

from __future__ import annotations

import os
import sys
import time
from pathlib import Path
from typing import Any

import cavata.trace.corpus_index as building
from cavata.cli.main import main

MARKS = Path(sys.argv[1])
put_in_place = os.replace


def only_the_first(beside: Any, path: Any) -> None:
    """Put the first group in its place; stand still before any other, the file beside it being written."""
    if Path(path).parent.name == "scores":
        try:
            (MARKS / "kept").touch(exist_ok=False)
        except FileExistsError:
            (MARKS / "half").touch()
            time.sleep(3600)
    put_in_place(beside, path)


# Not below: a process that reads for this one may import the file anew.
os.replace = only_the_first  # type: ignore[assignment]
building._GROUP_FILES = 2

if __name__ == "__main__":
    sys.exit(main(sys.argv[2:]))
