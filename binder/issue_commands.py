"""The commands around an issue: make one, compare two, take a project back out of its PDF."""

from __future__ import annotations

import argparse
import datetime as dt
import json
import sys
from collections.abc import Callable
from pathlib import Path
from string import ascii_uppercase
from typing import TYPE_CHECKING

from binder.inventory.counting import counted
from binder.progress import Progress

if TYPE_CHECKING:
    from binder.issuing import Issued
    from binder.reissue.record import IssueRecord

#: Name of the present workbook where a revision letter is asked for.
NOW = "now"

AddCommand = Callable[[str, Callable[[argparse.Namespace], int], str], argparse.ArgumentParser]


def add_issue_commands(add: AddCommand) -> None:
    """Add the commands of this module to the program's own."""
    made = add("issue", _issue, "issue the binder: freeze a record, stamp and typeset what changed")
    made.add_argument("project", type=Path, metavar="DIR", help="project folder")
    made.add_argument("--revision", required=True, metavar="LETTER", help="the next revision letter")
    made.add_argument("--reason", required=True, help="why, for the revision record")
    made.add_argument("--by", required=True, metavar="NAME", help="who issues")
    made.add_argument("--date", type=_date, metavar="YYYY-MM-DD", help="date of issue (default: today)")
    made.add_argument(
        "--skip", type=_letters, metavar="LETTERS", help="revision letters never used (default: I and O; '' for none)"
    )
    made.add_argument("--all", action="store_true", help="give every document the new letter, changed or not")

    taken = add("unpack", _unpack, "take the project out of the PDF of an issue, and verify it")
    taken.add_argument("pdf", type=Path, metavar="FILE.pdf", help="binder.pdf of an issue, or its first volume")
    taken.add_argument("folder", type=Path, metavar="DIR", help="project folder to make; must not exist or be empty")

    told = add("compare", _compare, "say what changed between two issues, or an issue and now")
    told.add_argument("project", type=Path, metavar="DIR", help="project folder")
    told.add_argument("before", metavar="A", help="revision letter of an issue")
    told.add_argument("after", metavar="B", nargs="?", default=NOW, help=f"a later issue, or '{NOW}' (default)")
    told.add_argument("--json", action="store_true", help="changes as JSON on stdout")


def _date(text: str) -> str:
    try:
        return dt.date.fromisoformat(text).isoformat()
    except ValueError as error:
        raise argparse.ArgumentTypeError(f"{text!r} is no date like 2026-03-14") from error


def _letters(text: str) -> str:
    if text.upper().strip(ascii_uppercase) or len(set(text.upper())) > 20:
        raise argparse.ArgumentTypeError(f"{text!r}: letters such as IOQSXZ, or '' for none")
    return "".join(sorted(set(text.upper())))


def _say(text: str) -> None:
    print(text, file=sys.stderr)


def _issue(arguments: argparse.Namespace) -> int:
    from binder.issuing import IssueRefusedError, issue  # Sphinx and Typst load only when a binder is made

    try:
        made = issue(
            arguments.project,
            revision=arguments.revision,
            reason=arguments.reason,
            by=arguments.by,
            date=arguments.date or dt.date.today().isoformat(),
            every=arguments.all,
            skip=arguments.skip,
            progress=Progress(),
        )
    except IssueRefusedError as refused:
        _say("binder: nothing was issued, because")
        for reason in refused.reasons:
            _say(f"  - {reason}")
        return 1
    _told(made, arguments.project)
    return 0


def _told(made: Issued, project: Path) -> None:
    """What was issued, for the terminal."""
    from binder.reissue.current import ISSUES
    from binder.reissue.words import changes_text

    for line in made.said:
        _say(f"binder: {line}")
    revision = made.record.revision
    if made.changes:
        print(changes_text(made.changes))
    print(f"\nIssued revision {revision} of {made.record.date}:")
    for d in made.plan.changed:
        print(f"  {d.number:<24} {d.revision:<3} {d.sheets:>4} sheets  {d.title}")
    carried = len(made.plan.carried)
    if carried:
        print(f"  Unchanged, at the revision as before: {counted(carried, 'document')}.")
    if made.superseded:
        told = f"{counted(len(made.superseded), 'document')} put out of force"
        print(f"  {told}: stamped in {made.superseded[0].parent}")
    _say(
        f"{counted(len(made.plan.changed), 'document')}, {counted(made.pages, 'sheet')}, "
        f"in {project / ISSUES / revision}. "
        f"For the whole binder at revision {revision}: binder build {project}"
    )


def _unpack(arguments: argparse.Namespace) -> int:
    from binder.project_in_pdf import unpack

    record = unpack(arguments.pdf, arguments.folder)
    print(f"Revision {record.revision} of {record.date}, issued by {record.by}: {record.reason}")
    _say(
        f"{arguments.folder}: workbook, {counted(len(record.documents), 'document')} and all issue records are "
        f"as issued. Build it with: binder build {arguments.folder}"
    )
    return 0


def _compare(arguments: argparse.Namespace) -> int:
    from binder.reissue.compare import compare
    from binder.reissue.words import changes_text

    old, new = _records(arguments.project, arguments.before, arguments.after)
    changes = compare(old, new)
    if arguments.json:
        print(json.dumps([c.as_dict() for c in changes], indent=2, ensure_ascii=False))
    else:
        print(changes_text(changes))
    _say(f"{counted(len(changes), 'change')} from revision {old.revision} to {arguments.after}.")
    return 0


def _records(project: Path, before: str, after: str) -> tuple[IssueRecord, IssueRecord]:
    """The two records to compare.

    Raises
    ------
    RecordError
        There is no such issue, or they stand in the other order.
    """
    from binder.reissue.current import present_state
    from binder.reissue.record import RecordError

    state = present_state(project)
    letters = {r.revision: r for r in state.records}
    order = [*letters, NOW]
    for letter in (before, after):
        if letter not in order:
            raise RecordError(f"there is no issue {letter}", f"issues so far: {', '.join(letters) or 'none'}")
    if order.index(before) >= order.index(after):
        raise RecordError(f"{after} does not come after {before}", "name the earlier issue first")
    return letters[before], state.draft if after == NOW else letters[after]
