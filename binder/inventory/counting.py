"""Numbers together with the word they count."""

from __future__ import annotations


def counted(number: int, word: str, many: str = "") -> str:
    """Return a number with its word in the right number.

    Parameters
    ----------
    number : int
    word : str
        In the singular.
    many : str
        In the plural, where an s is not enough.

    Examples
    --------
    >>> counted(1, "cell"), counted(3, "cell"), counted(2, "entry", "entries")
    ('1 cell', '3 cells', '2 entries')
    """
    return f"{number} {word if number == 1 else many or f'{word}s'}"
