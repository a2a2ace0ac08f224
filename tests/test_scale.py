"""What keeps large sites quick, told by counts and sizes and never by a clock; see tests/benchmarks for times."""

from __future__ import annotations

import cProfile
import io
import pickle
import pstats
import re
import subprocess
import sys
from collections.abc import Callable
from functools import partial
from pathlib import Path

import pikepdf
import pytest

sys.path.insert(0, str(Path(__file__).parent / "benchmarks"))
from plants import make_plant

from binder.checking import site_findings
from binder.inventory.reader import read_workbook
from binder.publishing.packet import Job, compile_document, finish
from binder.publishing.press import Press
from binder.reissue.current import binder_of, findings_of, study_of
from binder.study import study_site

TOP = Path(__file__).resolve().parents[1]


@pytest.fixture(scope="module")
def plants(tmp_path_factory: pytest.TempPathFactory) -> tuple[Path, Path]:
    """Two plants, the second three times as large."""
    folder = tmp_path_factory.mktemp("plants")
    return make_plant(folder / "small", 11), make_plant(folder / "large", 33)


def _calls(work: Callable[[], object]) -> int:
    profile = cProfile.Profile()
    profile.runcall(work)
    return int(pstats.Stats(profile, stream=io.StringIO()).total_calls)


@pytest.fixture(scope="module")
def calls(plants: tuple[Path, Path]) -> dict[str, tuple[int, int]]:
    """Calls of functions that each stage takes, for the small plant and for the large one."""
    counts: dict[str, list[int]] = {"reading": [], "checking": [], "studying": []}
    for project in plants:
        inventory = read_workbook(project / "inventory.xlsx")
        counts["reading"].append(_calls(partial(read_workbook, project / "inventory.xlsx")))
        counts["checking"].append(_calls(partial(site_findings, inventory, jobs=1)))
        counts["studying"].append(_calls(partial(study_site, inventory)))
    return {stage: (small, large) for stage, (small, large) in counts.items()}


@pytest.mark.parametrize("stage", ["reading", "checking", "studying"])
def test_work_grows_no_faster_than_the_drives(calls: dict[str, tuple[int, int]], stage: str) -> None:
    small, large = calls[stage]
    assert large < 3.2 * small


def test_a_check_costs_little_more_than_half_a_study(calls: dict[str, tuple[int, int]]) -> None:
    assert calls["checking"][1] < 0.7 * calls["studying"][1]


def test_a_check_finds_what_a_study_finds_in_however_many_processes(plants: tuple[Path, Path]) -> None:
    assert findings_of(plants[0]) == study_of(plants[0]).findings
    demo = read_workbook(TOP / "demo_site" / "inventory.xlsx")  # with readings
    assert site_findings(demo, jobs=2) == site_findings(demo, jobs=1) == study_site(demo).findings


@pytest.mark.parametrize("module", ["binder.cli", "binder.checking"])
def test_a_check_loads_nothing_that_makes_pages(module: str) -> None:
    heavy = "{'matplotlib', 'schemdraw', 'sphinx', 'typst', 'pikepdf', 'pandas'}"
    code = f"import sys, {module}; print(*sorted({heavy} & set(sys.modules)))"
    told = subprocess.run([sys.executable, "-c", code], cwd=TOP, capture_output=True, text=True, check=True)
    assert told.stdout.strip() == ""


@pytest.fixture(scope="module")
def packet(plants: tuple[Path, Path], tmp_path_factory: pytest.TempPathFactory) -> Job:
    """The job of one drive's packet."""
    binder = binder_of(plants[0])
    folder = tmp_path_factory.mktemp("press")
    press = Press(binder, folder, pages=None, jobs=1, progress=lambda _what, _done, _of: None)
    job, _ = press._job(next(d for d in binder.documents if d.kind == "packet"))
    assert job is not None
    return job


def test_a_packet_is_small_and_its_tags_are_thin(packet: Job) -> None:
    made, sidecar = finish(compile_document(packet), packet.number)
    assert len(made) < 20_000 * sidecar.pages  # with fonts and fields; in a volume a third less
    with pikepdf.open(io.BytesIO(made)) as pdf:
        elements = [o for o in pdf.objects if isinstance(o, pikepdf.Dictionary) and "/S" in o and "/P" in o]
        told = b" ".join(bytes(e.A.unparse()) for e in elements if "/A" in e)
        assert len(elements) < 300 * sidecar.pages
    assert not re.search(rb"Background|Border|Headers", told)
    assert b"/Scope" in told


@pytest.mark.skipif(not Path("/proc/self/statm").exists(), reason="memory is read from /proc")
def test_a_typesetting_process_forgets_each_packet(packet: Job, tmp_path: Path) -> None:
    code = """
import dataclasses, pickle, sys
from pathlib import Path
from binder.publishing.packet import make_packet
job = pickle.loads(Path(sys.argv[1]).read_bytes())
for n in range(3):
    make_packet(dataclasses.replace(job, out=Path(sys.argv[2]) / f"{n}.pdf"))
    print(int(Path("/proc/self/statm").read_text().split()[1]))
"""
    (tmp_path / "job").write_bytes(pickle.dumps(packet))
    told = subprocess.run(
        [sys.executable, "-c", code, str(tmp_path / "job"), str(tmp_path)],
        cwd=TOP, capture_output=True, text=True, check=True,
    ).stdout  # fmt: skip
    first, *_, last = map(int, told.split())
    assert last < 1.3 * first
