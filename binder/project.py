"""A project folder on disk: make one, read it, build it, and never leave it half-written."""

from __future__ import annotations

import importlib.resources
import shutil
from collections.abc import Callable, Sequence
from dataclasses import dataclass
from pathlib import Path

from binder.errors import OutputError, ProjectError
from binder.inventory.blank import write_blank
from binder.inventory.findings import Finding
from binder.inventory.results import mark_copy
from binder.issuing import carried_files
from binder.reissue.current import WORKBOOK, binder_of, study_of
from binder.study import SiteStudy

__all__ = ["WORKBOOK", "BuildResult", "Project", "template_folder"]

Step = Callable[[str, int, int], None]


@dataclass(frozen=True, slots=True)
class BuildResult:
    """What a build made: named outputs, and the study they were made from."""

    study: SiteStudy
    document_count: int
    page_count: int
    outputs: tuple[tuple[str, Path], ...]


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
        if not folder.is_dir():
            raise ProjectError(f"there is no folder {folder}", f"make one with: binder new {folder}")
        self.folder = folder

    @property
    def workbook(self) -> Path:
        """The inventory of this project."""
        return self.folder / WORKBOOK

    @classmethod
    def create(cls, folder: Path) -> Project:
        """Make a project from the template, with a blank workbook.

        Raises
        ------
        ProjectError
            The folder exists and is not empty.
        """
        if folder.exists() and (not folder.is_dir() or any(folder.iterdir())):
            raise ProjectError(f"{folder} exists and is not empty", "name a new folder; nothing was changed")
        shutil.copytree(template_folder(), folder, dirs_exist_ok=True, ignore=shutil.ignore_patterns("__pycache__"))
        write_blank(folder / WORKBOOK)
        return cls(folder)

    def study(self) -> SiteStudy:
        """Read the workbook and work out every drive."""
        return study_of(self.folder)

    def mark(self, findings: Sequence[Finding], out: Path) -> None:
        """Write a copy of the workbook with each finding as a note on its cell."""
        mark_copy(self.workbook, findings, out)

    def build(self, *, html: bool, pdf: bool, out: Path | None, progress: Step) -> BuildResult:
        """Build the binder and put it in place of the former one only when it is whole.

        Raises
        ------
        OutputError
            The workbook says nothing that a binder could be made of, or an output cannot be written.
        """
        from binder.publishing.build import build_binder  # Sphinx and Typst load only when a binder is built

        study = self.study()
        if not study.inventory.drives:
            raise OutputError(
                "no drive could be read from the workbook, so no binder was built",
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
        return BuildResult(study, len(binder.documents), built.pdf.pages if built.pdf else 0, tuple(outputs))


def template_folder() -> Path:
    """Where the project template lies: inside the installed package, or beside it in a checkout."""
    inside = Path(str(importlib.resources.files("binder"))) / "project_template"
    return inside if inside.is_dir() else inside.parent.parent / "project_template"
