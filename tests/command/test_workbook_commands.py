"""`binder upgrade` and `binder models` from the command line."""

from __future__ import annotations

import json
import shutil
from pathlib import Path

import pytest
from openpyxl import load_workbook

from binder.cli import main
from binder.inventory.blank import write_blank, write_workbook
from binder.inventory.reader import read_workbook

DEMO = Path(__file__).parents[2] / "demo_site" / "inventory.xlsx"


@pytest.fixture
def project(tmp_path: Path) -> Path:
    write_blank(tmp_path / "inventory.xlsx")
    return tmp_path


def test_upgrade_writes_a_copy_and_never_over_a_file(project: Path, capsys: pytest.CaptureFixture[str]) -> None:
    book = load_workbook(project / "inventory.xlsx")
    del book["Wires"]
    book.save(project / "inventory.xlsx")
    kept = (project / "inventory.xlsx").read_bytes()
    assert main(["upgrade", str(project)]) == 0
    assert capsys.readouterr().out == "Wires (new sheet)\n"
    assert (project / "inventory.xlsx").read_bytes() == kept
    assert "Wires" in load_workbook(project / "inventory.upgraded.xlsx").sheetnames
    assert main(["upgrade", str(project)]) == 2
    assert "exists already" in capsys.readouterr().err


def test_all_models_of_the_demo_in_one_command(project: Path, capsys: pytest.CaptureFixture[str]) -> None:
    shutil.copy(DEMO, project / "other.xlsx")
    call = ["models", str(project), "--from", str(project / "other.xlsx")]
    assert main(call) == 0
    mine, demo = read_workbook(project / "inventory.xlsx"), read_workbook(DEMO)
    assert [m.model for m in mine.models] == [m.model for m in demo.models]
    assert len(mine.settings) == len(demo.settings)
    assert "Taken: " in capsys.readouterr().out
    assert main(call) == 1
    assert "is in this project already" in capsys.readouterr().out


def test_a_workbook_that_is_not_there_is_named(project: Path, capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["models", str(project), "--from", str(project / "missing.xlsx")]) == 2
    told = capsys.readouterr().err
    assert f"there is no file {project / 'missing.xlsx'}" in told
    assert "--from" in told and "binder new" not in told


def test_settings_are_told_function_by_function(capsys: pytest.CaptureFixture[str]) -> None:
    main(["figures", str(DEMO.parent), "--settings"])
    lines = [line.split() for line in capsys.readouterr().out.splitlines()]
    block = lines[lines.index(["VFD-101", "Invented", "C-105"]) + 1 :]
    current = next(words for words in block if words[2:4] == ["motor", "current"])
    assert current[4:7] == ["85.6", "A", "plate:"]
    limit = next(words for words in block if words[2:4] == ["current", "limit"])
    assert limit[6:9] == ["left", "at", "default:"]


def test_connections_are_told_wire_by_wire_and_as_json(capsys: pytest.CaptureFixture[str]) -> None:
    main(["figures", str(DEMO.parent), "--connections"])
    lines = capsys.readouterr().out.splitlines()
    main(["figures", str(DEMO.parent), "--connections", "--json"])
    data = json.loads(capsys.readouterr().out)
    assert len(data) == 11
    assert sum(len(d["connections"]) for d in data.values()) == sum(line.startswith("  ") for line in lines)
    first = data["VFD-101"]["connections"][0]
    joined = "{device}:{terminal}".format(**first["from"]) + " to " + "{device}:{terminal}".format(**first["to"])
    block = lines[next(n for n, line in enumerate(lines) if line.startswith("VFD-101 ")) + 1 :]
    assert block[0].split()[0] == first["number"]
    assert joined in block[0]


def test_a_drive_without_connections_says_why(project: Path, capsys: pytest.CaptureFixture[str]) -> None:
    write_workbook(project / "inventory.xlsx", {"Drives": [{"tag": "VFD-1"}]})
    main(["figures", str(project), "--connections"])
    assert "no connection: the sheet Controls has no row of it" in capsys.readouterr().out
