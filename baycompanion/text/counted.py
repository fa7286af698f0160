"""How many of something, in words: one job, two jobs."""


def counted(number: int, word: str) -> str:
    """Return `number` with `word`, which takes an s where it is not one."""
    return f"{number} {word}" if number == 1 else f"{number:,} {word}s"
