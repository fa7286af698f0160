"""What a person types as words: cleaned, and of a bounded length."""

from typing import Annotated

from pydantic import AfterValidator

from baycompanion.text.clean import clean, clean_line
from baycompanion.text.to_model import wrong

LONGEST_WORDS = 10_000
"""The longest entry accepted, in characters."""


def check_words(text: str) -> str:
    """Return `text` cleaned, or refuse it where it is too long."""
    if len(text) > LONGEST_WORDS:
        raise wrong(f"This is longer than {LONGEST_WORDS:,} characters", "Shorten it")
    return clean(text).strip()


Words = Annotated[str, AfterValidator(check_words)]
"""Free text over any number of lines, cleaned; may be empty."""

Entry = Annotated[str, AfterValidator(check_words), AfterValidator(clean_line)]
"""Free text on one line, cleaned; may be empty."""
