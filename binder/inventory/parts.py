"""Which part of the package is which sheet."""

from __future__ import annotations

import posixpath
from collections.abc import Callable
from xml.etree import ElementTree

_REL = "{http://schemas.openxmlformats.org/officeDocument/2006/relationships}id"
_PACKAGE_REL = "{http://schemas.openxmlformats.org/package/2006/relationships}Relationship"
WORKBOOK = "xl/workbook.xml"


def sheet_parts(read: Callable[[str], bytes]) -> dict[str, str]:
    """Return sheet name -> part name.

    Parameters
    ----------
    read : callable
        Gives the bytes of a part of a package already checked for declarations.

    Raises
    ------
    KeyError
        The package keeps its workbook elsewhere than spreadsheet programs do.
    xml.etree.ElementTree.ParseError
        A part is broken.
    """
    related = ElementTree.fromstring(read("xl/_rels/workbook.xml.rels"))
    targets = {
        r.get("Id", ""): posixpath.normpath(posixpath.join("xl", r.get("Target", "")))
        if not r.get("Target", "").startswith("/")
        else r.get("Target", "")[1:]
        for r in related.iter(_PACKAGE_REL)
    }
    book = ElementTree.fromstring(read(WORKBOOK))
    sheets = (e for e in book.iter() if e.tag.endswith("}sheet") and e.get(_REL))
    return {e.get("name", ""): targets[e.get(_REL, "")] for e in sheets if e.get(_REL, "") in targets}
