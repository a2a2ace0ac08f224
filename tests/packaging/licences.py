"""Print LICENSE.libraries.md from the metadata of what is installed, by `python tests/packaging/licences.py`."""

from __future__ import annotations

import importlib.metadata
import re
import sys

from packaging.requirements import Requirement


def needed(name: str = "binder", found: dict[str, str] | None = None) -> dict[str, str]:
    """Every library that comes with the tool here -> its licence, as its author names it."""
    found = {} if found is None else found
    for text in importlib.metadata.requires(name) or ():
        need = Requirement(text)
        key = re.sub(r"[-_.]+", "-", need.name).lower()
        if key not in found and (not need.marker or need.marker.evaluate({"extra": ""})):
            found[key] = licence(need.name)
            needed(need.name, found)
    return dict(sorted(found.items()))


def licence(name: str) -> str:
    """The licence in the library's metadata: the expression, else the classifiers, else the first line."""
    data = importlib.metadata.metadata(name)
    classes = [c.rpartition(" :: ")[2] for c in data.get_all("Classifier") or () if c.startswith("License ::")]
    return data["License-Expression"] or "; ".join(classes) or (data["License"] or "not said").splitlines()[0]


#: Libraries that only older versions of others bring: pandas, sphinx.
OLDER = {"pytz": "MIT License", "roman-numerals-py": "0BSD OR CC0-1.0"}
FONTS = {
    "Arimo": "SIL Open Font License 1.1",
    "DejaVuSans": "Bitstream Vera licence; changes in the public domain",
    "SourceSans3": "SIL Open Font License 1.1",
}
HEAD = """# Licences of what comes with the tool

The tool itself: MIT, see `LICENSE`. Libraries that `pip` fetches with it, as their authors name the terms; their
compiled parts carry notices of their own. Fonts lie in `binder/publishing/fonts/`, each with its licence.

| Library or font | Licence |
| --- | --- |
"""

if __name__ == "__main__":
    rows = dict(sorted((OLDER | needed()).items())) | {f"font {name}": terms for name, terms in FONTS.items()}
    sys.stdout.write(HEAD + "".join(f"| {name} | {terms} |\n" for name, terms in rows.items()))
