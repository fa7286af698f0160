"""The field for one line of text: what is typed or pasted is cleaned before it is shown."""

from textual.widgets import Input

from baycompanion.text.clean import clean


class LineField(Input):
    """An input that never holds what could do more to a terminal than be shown."""

    def validate_value(self, value: str) -> str:
        """Return `value` cleaned, on one line."""
        return clean(value).replace("\n", " ")
