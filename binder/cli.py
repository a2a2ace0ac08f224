"""The `binder` command: parse, call, print. Results go to stdout, messages to stderr.

Exit status: 0 good, 1 open stops or bad input, 2 wrong call. `build` gives 0 when the whole binder was
built, since a binder with open stops is built all the same and says so on its cover.

What a command calls is loaded when it runs: a build with nothing to do takes less time than loading it.
"""

from __future__ import annotations

import argparse
import gc
import io
import json
import os
import sys
import tempfile
import textwrap
import traceback
from collections.abc import Callable, Sequence
from contextlib import suppress
from dataclasses import asdict
from pathlib import Path
from typing import TYPE_CHECKING

from binder import __version__
from binder.command_help import TAUGHT, epilog
from binder.errors import BinderError, OutputError, in_words
from binder.inventory.counting import counted
from binder.inventory.findings import Finding, Grade, open_stops
from binder.issue_commands import add_issue_commands
from binder.progress import Progress
from binder.project import WORKBOOK, Project, project_folder
from binder.publishing.last_build import LastBuild, Summary
from binder.workbook_commands import add_workbook_commands

if TYPE_CHECKING:
    from binder.project import BuildResult
    from binder.study import SiteStudy

GOOD, OPEN_STOPS, WRONG_CALL = 0, 1, 2

#: Records and studies live as long as the command: to look for garbage among them at the usual pace
#: takes a fifth of its time. Only pages leave some, see `publishing.build`.
_RARE_COLLECTION = (10_000_000, 20, 20)


def main(argv: Sequence[str] | None = None) -> int:
    """Run one command and return its exit status."""
    for stream in (sys.stdout, sys.stderr):
        if isinstance(stream, io.TextIOWrapper):
            stream.reconfigure(errors="backslashreplace")  # a terminal without the sign Ω still gets the text
    if not (sys.argv[1:] if argv is None else argv):
        _parser().print_help(sys.stderr)
        return WRONG_CALL
    arguments = _parser().parse_args(argv)
    gc.set_threshold(*_RARE_COLLECTION)
    try:
        status = _run(arguments)
        sys.stdout.flush()
    except BrokenPipeError:  # the reader, as `head`, has seen enough
        os.dup2(os.open(os.devnull, os.O_WRONLY), sys.stdout.fileno())
        return GOOD
    return status


def _run(arguments: argparse.Namespace) -> int:
    """Run a command; whatever goes wrong becomes words and a status."""
    command: Callable[[argparse.Namespace], int] = arguments.command
    try:
        if command is not _new and "project" in arguments:
            arguments.project = project_folder(arguments.project)
        return command(arguments)
    except BrokenPipeError:
        raise
    except (BinderError, OSError) as error:
        _tell(error)
        return WRONG_CALL
    except MemoryError:
        _say("binder: not enough memory; close other programs, or build with --html and --pdf one after the other.")
        return OPEN_STOPS
    except KeyboardInterrupt:
        _say("\nbinder: stopped by you; what stood in the output folder before still stands.")
        return OPEN_STOPS
    except Exception:
        _say(_defect())
        return OPEN_STOPS


def _defect() -> str:
    """A defect of the tool, not of the workbook: the person gets a sentence, the details go to a file."""
    details = traceback.format_exc()
    told = "binder: this is a defect of the tool, not of your workbook. Nothing was replaced."
    for folder in (Path.cwd(), Path(tempfile.gettempdir())):
        log = folder / "binder-defect.txt"
        with suppress(OSError):
            log.write_text(details, encoding="utf-8", errors="backslashreplace")
            return f"{told} Details: {log}"
    return f"{told} No file can be written; the last line: {details.strip().splitlines()[-1]}"


def _tell(error: BinderError | OSError) -> None:
    """What went wrong and what to do."""
    message, remedy = (error.message, error.remedy) if isinstance(error, BinderError) else in_words(error)
    _say(f"binder: {message}")
    if remedy:
        _say(f"        {remedy}")


def _say(text: str) -> None:
    print(text, file=sys.stderr)


def _parser() -> argparse.ArgumentParser:
    parser = argparse.ArgumentParser(
        prog="binder",
        description="Make a commissioning binder (HTML and PDF) from one inventory workbook of drives and motors.",
        epilog="A first binder:\n  binder new my_site      then fill my_site/inventory.xlsx; its first sheet says how\n"
        "  binder check my_site    what is missing or cannot be, with the cell\n"
        "  binder build my_site    HTML and PDF\n\n"
        "Each command explains itself, with examples: binder build --help",
        formatter_class=argparse.RawDescriptionHelpFormatter,
    )
    parser.add_argument("--version", action="version", version=f"binder {__version__}")
    commands = parser.add_subparsers(title="commands", required=True, metavar="COMMAND")

    new = _command(commands, "new", _new, "start a project: a folder with a blank inventory workbook")
    new.add_argument("project", type=Path, metavar="DIR", help="folder to make; must not exist or be empty")

    check = _command(commands, "check", _check, "read the workbook and list every finding, with cell and remedy")
    _project(check)
    check.add_argument("--json", action="store_true", help="findings as JSON on stdout")
    check.add_argument(
        "--mark", type=Path, metavar="FILE", help="also write a copy of the workbook with notes on cells"
    )

    figures = _command(commands, "figures", _figures, "print every computed figure with unit, rule and inputs")
    _project(figures)
    figures.add_argument("--json", action="store_true", help="figures as JSON on stdout")
    instead = figures.add_mutually_exclusive_group()
    instead.add_argument("--settings", action="store_true", help="each setting instead: value, reason, and its origin")
    instead.add_argument("--connections", action="store_true", help="each conductor instead: number, ends, core, size")

    build = _command(commands, "build", _build, "build the binder; HTML and PDF unless one is named")
    _project(build)
    build.add_argument("--html", action="store_true", help="HTML only, or with --pdf both")
    build.add_argument("--pdf", action="store_true", help="PDF only, or with --html both")
    build.add_argument("--out", type=Path, metavar="DIR", help="where to put it (default: DIR/build/binder)")
    build.add_argument("--watch", action="store_true", help="build again each time the workbook is saved")

    record = _command(commands, "record", _record, "bring readings and as-left values from the field into the workbook")
    _project(record)
    record.add_argument("files", type=Path, nargs="+", metavar="FILE", help="returned CSV file or workbook")

    forms = _command(commands, "forms", _forms, "write blank rows for chosen drives, a small CSV file for the field")
    _project(forms)
    forms.add_argument("--drives", default="", metavar="TAG,...", help="drives to write rows for (default: all)")
    forms.add_argument("--settings", action="store_true", help="as-found and as-left rows instead of readings")
    forms.add_argument("--every", action="store_true", help="also lines that are done already, for a retest")
    forms.add_argument("--out", type=Path, metavar="FILE.csv", help="file to write (default: print)")

    export = _command(commands, "export", _export, "write the site's lists as CSV files and one workbook")
    _project(export)
    export.add_argument("--out", type=Path, metavar="DIR", help="where to put them (default: DIR/build/exports)")
    for add_further in (add_workbook_commands, add_issue_commands):
        add_further(lambda name, run, text: _command(commands, name, run, text))
    return parser


def _command(
    commands: argparse._SubParsersAction[argparse.ArgumentParser],
    name: str,
    run: Callable[[argparse.Namespace], int],
    text: str,
) -> argparse.ArgumentParser:
    taught = f"{text[0].upper()}{text[1:]}. {TAUGHT[name][0] if name in TAUGHT else ''}"
    parser = commands.add_parser(
        name,
        help=text,
        description=textwrap.fill(taught, 96),
        epilog=epilog(name),
        formatter_class=argparse.RawDescriptionHelpFormatter,  # keeps the examples line by line
    )
    parser.set_defaults(command=run)
    return parser


def _project(parser: argparse.ArgumentParser) -> None:
    parser.add_argument("project", type=Path, metavar="DIR", help=f"project folder, holds {WORKBOOK}")


def _status(findings: Sequence[Finding]) -> int:
    return OPEN_STOPS if open_stops(findings) else GOOD


def _new(arguments: argparse.Namespace) -> int:
    project = Project.create(arguments.project)
    print(f"Made {project.folder}. Now fill {project.workbook}, then run: binder check {project.folder}")
    _say(f"First steps are told in {project.folder / 'README.md'}")
    return GOOD


def _check(arguments: argparse.Namespace) -> int:
    from binder.report import findings_text

    project = Project(arguments.project)
    findings = project.findings()
    if arguments.json:
        print(json.dumps([f.as_dict() for f in findings], indent=2, ensure_ascii=False))
    else:
        print(findings_text(findings, project.workbook.name))
    if arguments.mark:
        project.mark(findings, arguments.mark)
        _say(f"Marked copy: {arguments.mark}")
    return _status(findings)


def _figures(arguments: argparse.Namespace) -> int:
    from binder.report import connections_text, settings_text

    study = Project(arguments.project).study()
    if arguments.settings:
        print(_settings_json(study) if arguments.json else settings_text(study))
        return _status(study.findings)
    if arguments.connections:
        print(_connections_json(study) if arguments.json else connections_text(study))
        return _status(study.findings)
    tables = {"site": study.figures, **{d.drive.tag: d.figures for d in study.drives}}
    if arguments.json:
        data = {tag: [f.as_dict() for f in table.values()] for tag, table in tables.items()}
        print(json.dumps(data, indent=2, ensure_ascii=False))
        return _status(study.findings)
    for tag, table in tables.items():
        print(f"\n{tag}")
        for figure in table.values():
            print(f"  {figure.name:<44} {figure.text():>16}  {figure.limit:<24} {figure.rule.source}")
    return _status(study.findings)


def _settings_json(study: SiteStudy) -> str:
    tables = {d.drive.tag: [asdict(r) for r in (*d.settings.rows, *d.settings.untouched)] for d in study.drives}
    return json.dumps(tables, indent=2, ensure_ascii=False)


def _connections_json(study: SiteStudy) -> str:
    from binder.wiring.as_json import connection_data

    tables = {d.drive.tag: connection_data(d.wiring) for d in study.drives}
    return json.dumps(tables, indent=2, ensure_ascii=False)


def _build(arguments: argparse.Namespace) -> int:
    if not arguments.watch:
        _build_once(arguments)
        return GOOD  # a binder with open stops is built all the same; its cover and every header say so
    from binder.watching import watch

    folder = Project(arguments.project).folder  # a wrong call is told at once, not watched
    watch(folder, lambda: _build_for_watch(arguments), _say)
    return GOOD


def _build_for_watch(arguments: argparse.Namespace) -> None:
    try:
        _build_once(arguments)
    except (BinderError, OSError):
        raise
    except Exception:
        _say(_defect())


def _build_once(arguments: argparse.Namespace) -> None:
    """Build, unless nothing would change; say what stands and what is still open."""
    project = Project(arguments.project)
    both = arguments.html == arguments.pdf
    wanted = {"html": arguments.html or both, "pdf": arguments.pdf or both}
    out = arguments.out or project.output
    last = LastBuild(project.folder, out, **wanted)
    summary = last.summary()
    if summary is not None:
        _say("Nothing has changed since the last build.")
    else:
        result = project.build(out=out, progress=Progress(), **wanted)
        if result.told:
            _say(f"binder: {result.told}")
        summary = _summary(result, out)
        last.keep(summary, result.read)
    for name, place in summary.outputs:
        print(f"{name:<6} {out / place}", flush=True)
    _say(summary.said)


def _summary(result: BuildResult, out: Path) -> Summary:
    from binder.report import count_text, open_text

    sheets = f", {counted(result.page_count, 'sheet')}" if result.page_count else ""
    counts = f"{counted(len(result.study.drives), 'drive')}, {counted(result.document_count, 'document')}{sheets}"
    return Summary(
        tuple((name, path.relative_to(out).as_posix()) for name, path in result.outputs),
        f"{open_text(result.study)}\n{counts}. {count_text(result.study.findings)}",
    )


def _record(arguments: argparse.Namespace) -> int:
    from binder import returning
    from binder.report import findings_text

    project = Project(arguments.project)
    study = project.study()
    taken = returning.take(study, arguments.files)
    if taken.findings:
        print(findings_text(taken.findings, ""))
    try:
        returning.write(project.workbook, taken, expected_digest=study.inventory.workbook_digest)
    except OutputError as error:  # the rows are kept aside: bad input, not a wrong call
        _say(f"binder: {error}\n        {error.remedy}")
        return OPEN_STOPS
    print(taken.count_text())
    if taken.rows:
        _say(f"Written to {project.workbook}; as it was before: {project.workbook.name}.bak")
    return OPEN_STOPS if any(f.grade is not Grade.NOTE for f in taken.findings) else GOOD


def _forms(arguments: argparse.Namespace) -> int:
    from binder import returning

    tags = [tag.strip() for tag in arguments.drives.split(",") if tag.strip()]
    study = Project(arguments.project).study()
    text = returning.form_text(study, tags, settings=arguments.settings, every=arguments.every)
    if not arguments.out:
        print(text, end="")
        return GOOD
    try:
        with arguments.out.open("x", encoding="utf-8-sig", newline="") as file:
            file.write(text)
    except OSError as error:
        message, remedy = in_words(error)
        if isinstance(error, FileExistsError):
            message, remedy = f"{arguments.out} is there already", "Name another file; it may hold readings."
        else:
            with suppress(OSError):
                arguments.out.unlink()  # half of a form
        raise OutputError(f"no form was written: {message}", remedy) from error
    rows = text.count("\n") - 1
    _say(f"{arguments.out}: {rows} rows. Back from the field: binder record {arguments.project} FILE")
    return GOOD


def _export(arguments: argparse.Namespace) -> int:
    from binder.export_files import write_exports  # pandas loads only when it is needed
    from binder.exports import site_exports
    from binder.report import count_text

    study = Project(arguments.project).study()
    exports = site_exports(study)
    for path in write_exports(study, exports, arguments.out or arguments.project / "build" / "exports"):
        print(path)
    rows = counted(sum(len(e.frame) for e in exports), "row")
    _say(f"{counted(len(exports), 'table')}, {rows}. {count_text(study.findings)}")
    return GOOD


if __name__ == "__main__":
    raise SystemExit(main())
