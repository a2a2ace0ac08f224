"""A room imports only earlier rooms, and each library is known to the rooms that need it."""

from __future__ import annotations

import ast
import importlib
import subprocess
import sys
from collections.abc import Iterator
from graphlib import TopologicalSorter
from pathlib import Path

import pytest

TOP = Path(__file__).resolve().parents[1]

#: Earlier first; a module at the top of the package is a room of its own.
ORDER = (
    "errors", "inventory", "engineering", "sizing", "wiring", "settings", "field", "study", "checking",
    "documents", "reissue",
    "publishing", "progress", "report", "watching", "exports", "export_files", "returning", "project_in_pdf",
    "issuing", "project", "issue_commands", "workbook_commands", "command_help", "cli", "__main__",
)  # fmt: skip

#: Library -> what may import it, as the start of a module's name.
KNOWN_TO = {
    "pint": ("binder.inventory.quantities", "binder.settings.encode"),  # the latter for its error alone
    "openpyxl": ("binder.inventory.", "binder.export_files"),
    "lxml": ("binder.inventory.", "binder.documents.drawing_marks", "binder.publishing."),
    "pandas": ("binder.exports", "binder.export_files"),
    "schemdraw": ("schemdraw_parts.",),
    "schemdraw_parts": ("binder.wiring.drawing", "binder.wiring.power", "schemdraw_parts"),
    "matplotlib": ("binder.documents.plots",),
    "docutils": ("binder.documents.", "binder.reissue.transmittal", "binder.publishing."),
    "sphinx": ("binder.publishing.",),
    "typst": ("binder.publishing.",),
    "pikepdf": ("binder.publishing.",),
    "fontTools": ("binder.publishing.",),
    "segno": ("binder.publishing.",),
}

MODULES = {
    ".".join(path.relative_to(TOP).with_suffix("").parts).removesuffix(".__init__"): path
    for package in ("binder", "schemdraw_parts")
    for path in sorted((TOP / package).rglob("*.py"))
}


def _imports(tree: ast.Module) -> Iterator[tuple[str, bool]]:
    """Every module that is imported, and whether loading this one imports it at once."""
    at_once = {id(n) for n in tree.body}
    for node in ast.walk(tree):
        if isinstance(node, ast.Import):
            yield from ((a.name, id(node) in at_once) for a in node.names)
        elif isinstance(node, ast.ImportFrom):
            assert node.level == 0, "imports are written in full"
            for a in node.names:
                whole = f"{node.module}.{a.name}"
                yield (whole if whole in MODULES else node.module or ""), id(node) in at_once


IMPORTS = {name: tuple(_imports(ast.parse(path.read_text("utf-8")))) for name, path in MODULES.items()}


def _room(module: str) -> str:
    return module.split(".")[1] if "." in module else ""


def test_every_room_has_its_place() -> None:
    assert {_room(m) for m in MODULES if m.startswith("binder")} == {"", *ORDER}


@pytest.mark.parametrize("room", ORDER)
def test_a_room_imports_only_earlier_rooms(room: str) -> None:
    allowed = {"", *ORDER[: ORDER.index(room) + 1]}
    upward = [
        f"{module} imports {name}"
        for module in MODULES
        if module.startswith("binder.") and _room(module) == room
        for name, _ in IMPORTS[module]
        if name.partition(".")[0] == "binder" and _room(name) not in allowed
    ]
    assert upward == []


def test_drawing_parts_know_nothing_of_binders() -> None:
    parts = [m for m in MODULES if m.startswith("schemdraw_parts")]
    assert [m for m in parts for name, _ in IMPORTS[m] if name.startswith("binder")] == []


@pytest.mark.parametrize("library", KNOWN_TO)
def test_a_library_is_known_where_it_is_needed(library: str) -> None:
    users = {m for m in MODULES for name, _ in IMPORTS[m] if name.partition(".")[0] == library}
    assert users, "a library that nobody uses"
    assert [m for m in sorted(users) if not m.startswith(KNOWN_TO[library])] == []


def test_no_two_modules_import_each_other() -> None:
    """So every module imports alone, whichever comes first."""
    graph = {m: {n for n, at_once in IMPORTS[m] if at_once and n in MODULES and n != m} for m in MODULES}
    assert len(tuple(TopologicalSorter(graph).static_order())) == len(MODULES)


@pytest.mark.parametrize("module", sorted(MODULES))
def test_every_module_imports(module: str) -> None:
    if not module.endswith("__main__"):  # it is the command
        found = importlib.import_module(module)
        assert found.__doc__ or not MODULES[module].read_text("utf-8"), "a module says what it holds"


#: Rooms -> libraries that loading them must not bring in, whatever they import.
KEPT_OUT = {
    ("engineering",): {
        "openpyxl", "pandas", "lxml", "schemdraw", "matplotlib", "docutils", "sphinx", "typst", "pikepdf",
    },
    ("inventory", "sizing", "settings", "field", "study"): {
        "pandas", "schemdraw", "matplotlib", "docutils", "sphinx", "typst", "pikepdf",
    },
    ("documents", "reissue"): {"pandas", "sphinx", "typst", "pikepdf"},
}  # fmt: skip


@pytest.mark.parametrize("rooms", KEPT_OUT, ids=" ".join)
def test_a_room_loads_without_what_it_may_not_use(rooms: tuple[str, ...]) -> None:
    modules = [m for m in MODULES if m.startswith("binder") and _room(m) in rooms]
    program = (
        "import importlib, sys\n"
        f"for blocked in {sorted(KEPT_OUT[rooms])!r}: sys.modules[blocked] = None\n"
        f"for module in {modules!r}: importlib.import_module(module)\n"
    )
    done = subprocess.run([sys.executable, "-c", program], cwd=TOP, capture_output=True, text=True, check=False)
    assert done.returncode == 0, done.stderr
