"""The commands that bring a workbook up to date: a newer layout, and drive models from another project."""

from __future__ import annotations

import argparse
import sys
from pathlib import Path

from binder.errors import OutputError
from binder.inventory.counting import counted
from binder.inventory.findings import Grade
from binder.issue_commands import AddCommand
from binder.project import Project


def add_workbook_commands(add: AddCommand) -> None:
    """Add the commands of this module to the program's own."""
    newer = add("upgrade", _upgrade, "copy the workbook with every sheet, column and line of the present layout")
    newer.add_argument("project", type=Path, metavar="DIR", help="project folder")
    newer.add_argument("--out", type=Path, metavar="FILE", help="the copy (default: DIR/inventory.upgraded.xlsx)")

    models = add("models", _models, "take drive models with terminals, settings and derating from another workbook")
    models.add_argument("project", type=Path, metavar="DIR", help="project folder")
    models.add_argument("--from", type=Path, required=True, metavar="OTHER.xlsx", dest="source", help="that workbook")
    models.add_argument("--model", action="append", default=[], metavar="NAME", help="one model, may be repeated")


def _upgrade(arguments: argparse.Namespace) -> int:
    from binder.inventory.upgrading import upgrade

    workbook = Project(arguments.project).workbook
    out = arguments.out or workbook.with_name(f"{workbook.stem}.upgraded{workbook.suffix}")
    if out.exists():
        raise OutputError(f"{out} exists already", "Name another file with --out, or delete that one.")
    added = upgrade(workbook, out)
    for line in added:
        print(line)
    told = counted(len(added), "addition") if added else "nothing was missing"
    after = f"{workbook.name} is as it was; put the copy in its place when you have looked at it."
    print(f"{out}: {told}. {after}", file=sys.stderr)
    return 0


def _models(arguments: argparse.Namespace) -> int:
    from binder.inventory.model_maps import import_models
    from binder.report import findings_text

    workbook = Project(arguments.project).workbook
    if not arguments.source.exists():
        raise OutputError(f"there is no file {arguments.source}", "Name with --from the workbook that has the models.")
    taken = import_models(workbook, arguments.source, arguments.model)
    if taken.findings:
        print(findings_text(taken.findings, arguments.source.name))
    print(taken.count_text())
    if taken.models:
        print(f"Written to {workbook}; as it was before: {workbook.name}.bak", file=sys.stderr)
    return 1 if any(f.grade is not Grade.NOTE for f in taken.findings) else 0
