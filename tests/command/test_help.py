"""Help that teaches, and the summary after a build."""

from __future__ import annotations

import argparse
import shlex
from pathlib import Path

import pytest

from binder.cli import _parser, main
from binder.command_help import TAUGHT
from binder.reissue.current import study_of
from binder.report import open_text

DEMO = Path(__file__).parents[2] / "demo_site"


def commands() -> dict[str, argparse.ArgumentParser]:
    found = next(a for a in _parser()._actions if isinstance(a, argparse._SubParsersAction))
    return dict(found.choices)


@pytest.mark.parametrize("name", sorted(commands()))
def test_each_command_teaches_with_an_example(name: str, capsys: pytest.CaptureFixture[str]) -> None:
    with pytest.raises(SystemExit) as ended:
        main([name, "--help"])
    assert ended.value.code == 0
    told = capsys.readouterr().out
    assert "examples:" in told
    assert "Ends with 0 when" in told
    assert max(map(len, told.splitlines())) <= 100


def test_a_call_without_a_command_shows_the_first_steps(capsys: pytest.CaptureFixture[str]) -> None:
    assert main([]) == 2
    assert "binder new my_site" in capsys.readouterr().err


@pytest.mark.parametrize("line", [line for _, lines in TAUGHT.values() for line in lines])
def test_each_example_is_a_command_that_the_program_takes(line: str) -> None:
    program, *words = shlex.split(line)
    assert program == "binder"
    assert _parser().parse_args(words).command


def test_nothing_is_taught_of_a_command_that_does_not_exist() -> None:
    assert set(TAUGHT) <= set(commands())


def test_the_summary_counts_what_is_open_drive_by_drive() -> None:
    study = study_of(DEMO)
    lines = open_text(study).splitlines()
    assert len(lines) == 2 + len(study.drives) + 1
    ready = next(line for line in lines if "VFD-201" in line)
    assert ready.split() == ["VFD-201", "-", "-", "-", "-", "-"]  # the demo's finished drive
    open_one = next(s for s in study.drives if s.drive.tag == "VFD-101")
    told = next(line.split() for line in lines if "VFD-101" in line)
    assert told[2:] == [str(len(g.blocked_by) or "-") for g in open_one.field.gates]
    assert lines[-1].startswith("Nothing in the way of a signature, of 11 drives: 'may be energized' 1")


def test_a_large_site_is_cut_to_the_worst_drives() -> None:
    from dataclasses import replace

    study = study_of(DEMO)
    many = tuple(replace(s, drive=replace(s.drive, tag=f"{s.drive.tag}-{i}")) for i in range(9) for s in study.drives)
    lines = open_text(replace(study, drives=many)).splitlines()
    assert len(lines) == 2 + 20 + 2
    assert lines[-2] == "  and 79 more drives; all of them stand in the handover document"


def test_watching_a_folder_that_does_not_exist_is_a_wrong_call(tmp_path: Path) -> None:
    assert main(["build", str(tmp_path / "none"), "--watch"]) == 2
