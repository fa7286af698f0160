"""What somebody typed, as a sentence that others may follow."""


def sentence(words: str) -> str:
    """Return `words` with a mark at their end: their own, or a full stop; nothing stays nothing."""
    said = words.rstrip()
    return said if not said or said[-1] in ".?!…" else f"{said}."
