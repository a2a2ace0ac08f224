"""What the last whole build was made from and left behind, so that one with nothing to do ends at once.

In any doubt the binder is built. Nothing that makes pages is loaded here.
"""

from __future__ import annotations

import ast
import hashlib
import json
import os
import sys
from collections.abc import Collection
from contextlib import suppress
from dataclasses import dataclass
from pathlib import Path

from binder.inventory.files import put_in_place
from binder.publishing.identity import fonts_digest, sha256, software_digest
from binder.publishing.page_memory import files_in
from binder.publishing.place import sole_use
from binder.publishing.stubs import FOLDER, MARKER

RECORD = "last_build.json"

#: At the top of a project: what is built, the folder of stubs, what keeps versions. All else counts as read.
_NOT_READ = frozenset({"build", ".git", ".hg", ".svn"})
_NOTES = ("~$", ".~")  # of a program that has a file open
#: What conf.py may set; more could ask the clock, or files elsewhere.
_PLAIN_SETTINGS = frozenset({"author", "exclude_patterns", "extensions", "language", "project"})
_ONLY_EXTENSION = ["binder.publishing.extension"]


class _DoubtError(ValueError):
    """Something that the record cannot vouch for."""


@dataclass(frozen=True, slots=True)
class Summary:
    """What the command says at the end of a build.

    Parameters
    ----------
    outputs : tuple of (str, str)
        Kind, and place seen from the output folder.
    said : str
        What is still open, and the counts.
    """

    outputs: tuple[tuple[str, str], ...]
    said: str


class LastBuild:
    """The record of a project's last whole build, held against the project as it is now.

    Parameters
    ----------
    project, out : Path
        Project folder and output folder.
    html, pdf : bool
        What is to be built.
    """

    def __init__(self, project: Path, out: Path, *, html: bool, pdf: bool) -> None:
        self._project, self._out, self._work = project, out, project / "build" / "work"
        self._parts = [name for name, wanted in (("html", html), ("pdf", pdf)) if wanted]
        self._before: dict[str, str] | None = None

    def summary(self) -> Summary | None:
        """What the last build said, when this one would change nothing; None in any doubt."""
        with suppress(OSError, ValueError, SyntaxError):
            self._before = self._inputs()
            if not (self._work / RECORD).is_file():
                return None
            with sole_use(self._work):
                digest, _, body = (self._work / RECORD).read_text("utf-8").partition("\n")
                if digest == sha256(body) and (kept := json.loads(body))["state"] == self._state():
                    return Summary(tuple((name, place) for name, place in kept["outputs"]), kept["said"])
        return None

    def keep(self, summary: Summary, read: Collection[str]) -> None:
        """Write the record, last of all; not when something moved meanwhile.

        Parameters
        ----------
        summary : Summary
        read : collection of str
            Files that pages include or show, seen from the project: others than its own cannot be vouched for.
        """
        with suppress(OSError, ValueError, SyntaxError), sole_use(self._work):
            if self._before is not None and self._before == self._inputs() and self._before.keys() >= set(read):
                body = json.dumps({"state": self._state(), "outputs": summary.outputs, "said": summary.said})
                put_in_place(self._work / RECORD, f"{sha256(body)}\n{body}".encode())

    def _state(self) -> str:
        """Digest of all that decides what a build makes, and of what the last one left."""
        made = [sorted(files_in(self._out / part, part)) for part in self._parts]
        kept = sorted(entry for entry in files_in(self._work, "") if entry[0] not in (f"/{RECORD}", "/lock"))
        beside = sorted(p.name for p in self._out.iterdir())  # half a copy, or the folder of a PDF that pages link to
        options = (self._parts, os.path.relpath(self._out, self._project))
        inputs = sorted(self._before.items()) if self._before else []
        return sha256(repr((_made_by(), options, inputs, made, kept, beside)))

    def _inputs(self) -> dict[str, str]:
        """File of the project -> digest of its content, folder -> ''; without the stubs that builds write."""
        found = {FOLDER: ""}
        out = self._out.resolve()
        folders = [self._project]
        while folders:
            for path in folders.pop().iterdir():
                name = path.relative_to(self._project).as_posix()
                if name in _NOT_READ or path.name.startswith(_NOTES) or (path.is_dir() and path.resolve() == out):
                    continue
                if path.is_dir() and not path.is_symlink():
                    found[name] = ""
                    folders.append(path)
                elif path.is_file():
                    found |= _digest(name, path.read_bytes())
                else:
                    raise _DoubtError(f"{name} is a link to a folder, or no file")
        return found


def _digest(name: str, data: bytes) -> dict[str, str]:
    """The file with its digest, nothing for a stub.

    Raises
    ------
    _DoubtError
        It is a conf.py that could ask clock or network.
    """
    if name == "conf.py":
        _check_settings(data)
    return {} if data.startswith(MARKER.encode()) else {name: hashlib.sha256(data).hexdigest()}


def _check_settings(source: bytes) -> None:
    """Let a conf.py pass that only gives plain values, and none that could ask clock or network.

    Raises
    ------
    _DoubtError
        It does more.
    """
    for line in ast.parse(source).body:
        if isinstance(line, ast.Expr) and isinstance(line.value, ast.Constant):
            continue
        if not (isinstance(line, ast.Assign) and isinstance(line.targets[0], ast.Name) and len(line.targets) == 1):
            raise _DoubtError("conf.py computes something")
        name, value = line.targets[0].id, ast.literal_eval(line.value)
        if name not in _PLAIN_SETTINGS or (name == "extensions" and value != _ONLY_EXTENSION):
            raise _DoubtError(f"conf.py sets {name}")


def _made_by() -> tuple[object, ...]:
    """The tool, its fonts, the Python that runs it, and every library that is installed."""
    libraries = sorted({found.name for place in sys.path for found in Path(place).glob("*-info")})
    return software_digest(), fonts_digest(), sys.version, os.environ.get("SOURCE_DATE_EPOCH", ""), libraries
