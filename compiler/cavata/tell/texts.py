"""The texts of a language, as Fluent reads them: whatever is filled in, they choose by number and case themselves.

In: a file of words. Out: its texts. Loaded by `language.py` once a text is needed, since the library takes a moment.
"""

from __future__ import annotations

from collections.abc import Mapping

from fluent.runtime import FluentBundle, FluentResource
from fluent.runtime.types import fluent_number


class Texts:
    """The messages of one file."""

    def __init__(self, code: str, source: str) -> None:
        # Without signs that part scripts of two directions: typst and terminals would show them.
        self._bundle = FluentBundle([code], use_isolating=False)
        self._bundle.add_resource(FluentResource(source))

    def __contains__(self, key: object) -> bool:
        return isinstance(key, str) and self._bundle.has_message(key)

    def text(self, key: str, values: Mapping[str, object]) -> str:
        """A message with its blanks filled in; numbers are written without signs between thousands, as bars are.

        Raises LookupError where it is not there or a blank is not filled, which are faults of ours.
        """
        pattern = self._bundle.get_message(key).value if key in self else None
        if pattern is None:
            raise LookupError(f"there is no text `{key}`")
        given = {
            name.replace("_", "-"): fluent_number(value, useGrouping=False) if isinstance(value, int) else str(value)
            for name, value in values.items()
        }
        said, problems = self._bundle.format_pattern(pattern, given)
        if problems:
            raise LookupError(f"the text `{key}` cannot be filled in: {problems[0]}")
        return str(said)
