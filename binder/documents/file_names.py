"""Names of the documents' files."""

from __future__ import annotations

import hashlib

_LONGEST_NAME = 120  # signs of a file name, so that it fits with folder and ending on every system
#: Names that mean a device on Windows, whatever their ending.
_DEVICES = frozenset({"", "CON", "PRN", "AUX", "NUL", *(f"{port}{n}" for port in ("COM", "LPT") for n in range(10))})


def file_name(number: str) -> str:
    """File name of a document: its number; signs that file systems dislike are replaced, and told by a digest.

    >>> file_name("OWW-P-101"), file_name("OWW/P 101"), file_name("OWW-泵")
    ('OWW-P-101.pdf', 'OWW-P-101-2450c8.pdf', 'OWW---e0b8df.pdf')
    """
    safe = "".join(sign if sign.isascii() and (sign.isalnum() or sign in "-_.") else "-" for sign in number)
    safe = safe.strip(".")[:_LONGEST_NAME]
    if safe != number or safe.upper().partition(".")[0] in _DEVICES:
        mark = hashlib.sha256(number.encode("utf-8", "surrogatepass")).hexdigest()[:6]
        safe = f"{safe}-{mark}"
    return f"{safe}.pdf"
