"""What keeps the store from doing what was asked, in one sentence for the person at the bench."""

from baycompanion.text.clean import clean_sentence


class StoreTrouble(Exception):
    """A file or folder that cannot be read or written; the message says which, why, and what to do.

    Nothing was lost: what was durable before still is, and what was asked can be asked again.
    """

    def __init__(self, sentence: str) -> None:
        """Say `sentence`, cleaned: the names of files in it can be anything."""
        super().__init__(clean_sentence(sentence))


def because(error: OSError) -> str:
    """Return the system's own words for `error`, without its number and path."""
    return (error.strerror or type(error).__name__).lower()
