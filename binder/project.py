"""A project folder on disk: make one, read it, build it, and never leave it half-written."""

from __future__ import annotations

import importlib.resources
import shutil
from collections.abc import Callable, Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import TYPE_CHECKING

from binder.errors import OutputError, ProjectError, in_words
from binder.inventory.files import OUTPUT, WORKBOOK
from binder.inventory.findings import Finding, Grade

if TYPE_CHECKING:
    from binder.study import SiteStudy

__all__ = ["WORKBOOK", "BuildResult", "Project", "project_folder", "template_folder"]

Step = Callable[[str, int, int], None]


@dataclass(frozen=True, slots=True)
class BuildResult:
    """What a build made: named outputs, the study they were made from, what a person should know besides.

    `read` names files that pages include or show, seen from the project folder.
    """

    study: SiteStudy
    document_count: int
    page_count: int
    outputs: tuple[tuple[str, Path], ...]
    read: frozenset[str] = frozenset()
    told: str = ""


class Project:
    """One project folder.

    Parameters
    ----------
    folder : Path

    Raises
    ------
    ProjectError
        The folder does not exist.
    """

    def __init__(self, folder: Path) -> None:
        self.folder = project_folder(folder)

    @property
    def workbook(self) -> Path:
        """The inventory of this project."""
        return self.folder / WORKBOOK

    @property
    def output(self) -> Path:
        """Where a binder is put that is to go nowhere else."""
        return self.folder / OUTPUT

    @classmethod
    def create(cls, folder: Path) -> Project:
        """Make a project from the template, with a blank workbook.

        Raises
        ------
        ProjectError
            The folder exists and is not empty.
        OutputError
            It cannot be written; nothing is left of it.
        """
        try:
            if folder.exists() and (not folder.is_dir() or any(folder.iterdir())):
                raise ProjectError(f"{folder} exists and is not empty", "name a new folder; nothing was changed")
            _fill(folder)
        except OSError as error:
            message, remedy = in_words(error)
            raise OutputError(f"no project was made: {message}", remedy) from error
        return cls(folder)

    def study(self) -> SiteStudy:
        """Read the workbook and work out every drive."""
        from binder.reissue.current import study_of  # all that reads and judges loads only when it is needed

        return study_of(self.folder)

    def findings(self) -> tuple[Finding, ...]:
        """Read the workbook and judge it, without keeping what only a binder shows."""
        from binder.reissue.current import findings_of

        return findings_of(self.folder)

    def mark(self, findings: Sequence[Finding], out: Path) -> None:
        """Write a copy of the workbook with each finding as a note on its cell."""
        from binder.inventory.results import mark_copy

        mark_copy(self.workbook, findings, out)

    def build(self, *, html: bool, pdf: bool, out: Path | None, progress: Step) -> BuildResult:
        """Build the binder and put it in place of the former one only when it is whole.

        Raises
        ------
        OutputError
            The workbook says nothing that a binder could be made of, or an output cannot be written.
        """
        from binder.issuing import carried_files
        from binder.publishing.build import build_binder
        from binder.reissue.current import binder_of, digest_of

        study = self.study()
        if not study.inventory.drives:
            raise OutputError(
                f"no drive could be read from the workbook, so no binder was built{_why(study)}",
                f"what stood in the output folder still stands; see: binder check {self.folder}",
            )
        binder = binder_of(self.folder)
        standing = [(d.number, d.revision) for d in binder.documents if not d.status.startswith("draft")]
        issued = carried_files(self.folder, standing) if pdf else {}
        built = build_binder(self.folder, binder, out=out, html=html, pdf=pdf, issued=issued, progress=progress)
        outputs: list[tuple[str, Path]] = []
        if built.html:
            outputs.append(("HTML", built.html))
        if built.pdf:
            outputs += [("PDF", path) for path in built.pdf.joined]
        told = "" if digest_of(self.workbook) == study.inventory.workbook_digest else _SAVED
        sheets = built.pdf.pages if built.pdf else 0
        return BuildResult(study, len(binder.documents), sheets, tuple(outputs), frozenset(built.read), told)


_SAVED = f"{WORKBOOK} was saved while the binder was built; it shows what was saved before. Build again."


def project_folder(place: Path) -> Path:
    """The project folder that a person means: its workbook may be named as well.

    Raises
    ------
    ProjectError
        There is no such folder, or a file of another name.
    """
    if place.is_dir():
        return place
    if place.is_file() and place.name == WORKBOOK:
        return place.parent
    if place.is_file():
        raise ProjectError(
            f"{place} is a file; a project is a folder that holds {WORKBOOK}",
            f"name the folder; for another workbook make one with: binder new DIR, and save it there as {WORKBOOK}",
        )
    raise ProjectError(f"there is no folder {place}", f"make one with: binder new {place}")


def _fill(folder: Path) -> None:
    """Template and blank workbook; a folder that cannot take all of it is left as it was."""
    from binder.inventory.blank import write_blank

    was_there = folder.exists()
    folder.mkdir(parents=True, exist_ok=True)
    try:
        shutil.copytree(template_folder(), folder, dirs_exist_ok=True, ignore=shutil.ignore_patterns("__pycache__"))
        write_blank(folder / WORKBOOK)
    except BaseException:
        for path in folder.iterdir():
            shutil.rmtree(path) if path.is_dir() else path.unlink()
        if not was_there:
            folder.rmdir()
        raise


def _why(study: SiteStudy) -> str:
    """The workbook's own trouble, if it is one with the whole file."""
    of_file = [f for f in study.findings if f.grade is Grade.STOP and f.sheet == WORKBOOK]
    return f": {of_file[0].found}" if of_file else ""


def template_folder() -> Path:
    """Where the project template lies: inside the installed package, or beside it in a checkout."""
    inside = Path(str(importlib.resources.files("binder"))) / "project_template"
    return inside if inside.is_dir() else inside.parent.parent / "project_template"
