"""Zip packages with the same bytes whenever and wherever they are written."""

from __future__ import annotations

import errno
import io
import re
import tempfile
import zipfile
from typing import Any

from lxml.etree import SerialisationError

_STAMP = (1980, 1, 1, 0, 0, 0)  # the earliest time a zip entry can carry
_MODIFIED = re.compile(rb"(<dcterms:(?:modified|created)[^>]*>)[^<]*(</dcterms:)")


def book_bytes(book: Any) -> bytes:
    """A workbook of openpyxl as bytes that are always the same.

    Raises
    ------
    OSError
        There is no room for the library's intermediate files.
    """
    out = io.BytesIO()
    try:
        book.save(out)
    except SerialisationError as error:
        code = str(error).removeprefix("IO_")  # as the library under openpyxl names a refusal: 'IO_ENOSPC'
        number = getattr(errno, code, errno.EIO)
        raise OSError(number, code, f"a file in {tempfile.gettempdir()}") from error
    return same_bytes(out.getvalue())


def same_bytes(data: bytes) -> bytes:
    """Return a workbook package with fixed times, in its own order of parts.

    Parameters
    ----------
    data : bytes
        A package just written by a library, which stamps it with the clock.
    """
    out = io.BytesIO()
    with zipfile.ZipFile(io.BytesIO(data)) as source, zipfile.ZipFile(out, "w") as target:
        for name in source.namelist():
            content = source.read(name)
            if name == "docProps/core.xml":
                content = _MODIFIED.sub(rb"\g<1>2000-01-01T00:00:00Z\g<2>", content)
            entry = zipfile.ZipInfo(name, _STAMP)
            entry.compress_type = zipfile.ZIP_DEFLATED
            entry.external_attr = 0o644 << 16
            target.writestr(entry, content)
    return out.getvalue()
