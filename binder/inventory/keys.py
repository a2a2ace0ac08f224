"""Row keys: the name of a row that survives sorting and renaming.

A row without a key gets one made from what names it now. The same key is what a write-back
puts into the sheet, so pages keep their names when the key column is filled for the first time.
"""

from __future__ import annotations

import base64
import hashlib
from collections.abc import Sequence

#: Key of the example row of a blank sheet; such a row is passed over while it is unchanged.
#: Typed over, it keeps the word before its own key as long as it still shows example values.
EXAMPLE_KEY = "example"


def unmarked(text: str) -> str:
    """The row key out of its cell, without the word of the example row.

    Examples
    --------
    >>> unmarked("example kq3v8x2a"), unmarked("kq3v8x2a"), unmarked("example")
    ('kq3v8x2a', 'kq3v8x2a', '')
    """
    word, _, key = text.strip().partition(" ")
    return key.strip() if word == EXAMPLE_KEY else text.strip()


def row_key(sheet: str, words: Sequence[str], *, taken: frozenset[str] | set[str] = frozenset()) -> str:
    """Make the key of a row that has none.

    Parameters
    ----------
    sheet : str
        Sheet name.
    words : sequence of str
        What names the row: its tag, or all its cells where no tag is unique.
    taken : set of str
        Keys in use on the sheet; they are not given again.

    Returns
    -------
    str
        'k' and seven letters or figures.

    Examples
    --------
    >>> row_key("Drives", ["P-312"]) == row_key("Drives", ["P-312"])
    True
    """
    attempt = 0
    while True:
        text = "\0".join([sheet, *(w.casefold() for w in words), *([str(attempt)] if attempt else [])])
        digest = hashlib.sha256(text.encode("utf-8", "surrogatepass")).digest()
        key = "k" + base64.b32encode(digest)[:7].decode("ascii").lower()
        if key not in taken:
            return key
        attempt += 1
