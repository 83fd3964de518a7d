"""How the help of the commands is laid out. Nothing is loaded here that compiles: every command begins with it."""

from __future__ import annotations

import argparse
import re

from cavata.text import folded


class LaidOut(argparse.RawDescriptionHelpFormatter):
    """Help whose lists stay lists: only lines at the margin are one paragraph, and what is too long goes on where its
    last column begins."""

    def _fill_text(self, text: str, width: int, indent: str) -> str:
        lines: list[str] = []
        for line in text.splitlines():
            if lines and all(each and not each.startswith(" ") for each in (lines[-1], line)):
                lines[-1] += f" {line}"
            else:
                lines.append(line)
        made: list[str] = []
        for line in lines:
            margin = max(found.end() for found in re.finditer(r"^ *|  +", line))
            if line.startswith("cavata ", margin):  # to be copied
                made.append(line)
                continue
            first, *rest = folded(line[margin:], max(width - margin, 20))
            made += [line[:margin] + first, *(" " * margin + each for each in rest)]
        return "\n".join(indent + line for line in made)
