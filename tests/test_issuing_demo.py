"""Three reissues of the whole demo plant: what each touches, in documents, tests and signatures."""

from __future__ import annotations

from collections.abc import Sequence
from pathlib import Path

import pytest
from issuing_site import SORTED, copy_demo, issued, other_motor_and_wire, reorder, respell, slower_ramp

from binder.issuing import Issued, IssueRefusedError
from binder.reissue.compare import Change
from binder.reissue.current import present_state
from binder.reissue.words import lines_of, needs

pytestmark = pytest.mark.slow


@pytest.fixture(scope="module")
def story(tmp_path_factory: pytest.TempPathFactory) -> tuple[Path, dict[str, Issued]]:
    """The demo issued at A, with one slower ramp at B, with another motor and a moved wire at C."""
    project = copy_demo(tmp_path_factory.mktemp("story") / "site", quick=False)
    made = {"A": issued(project, "A", "First issue", "2026-05-18")}
    slower_ramp(project)
    made["B"] = issued(project, "B", "Slower ramp on VFD-201", "2026-06-01")
    other_motor_and_wire(project)
    made["C"] = issued(project, "C", "Motor M-602 exchanged, fault relay of VFD-502 moved", "2026-06-15")
    return project, made


def subjects(made: Issued) -> set[str]:
    """The changed documents by the first word of their titles."""
    return {d.title.split()[0] for d in made.plan.changed}


def void(changes: Sequence[Change]) -> dict[str, set[str]]:
    """Statements that fall, by drive."""
    found: dict[str, set[str]] = {}
    for change in changes:
        if change.consequence.signatures:
            found.setdefault(change.tag, set()).update(change.consequence.signatures)
    return found


def test_a_is_everything(story: tuple[Path, dict[str, Issued]]) -> None:
    made = story[1]["A"]
    assert not made.plan.carried
    assert len(made.plan.changed) == len(made.record.documents) >= 21
    assert set(made.typeset) == {d.number for d in made.plan.changed}


def test_b_is_one_ramp(story: tuple[Path, dict[str, Issued]]) -> None:
    made = story[1]["B"]
    assert subjects(made) == {"Front", "Findings", "VFD-201", "Handover:"}
    assert void(made.changes) == {"VFD-201": {"may be loaded", "accepted", "design check"}}
    tests, labels, site = needs(made.changes)
    assert "ramps" in tests
    assert "test C4.UP" in tests
    assert labels == site == ()


def test_c_is_one_motor_and_one_wire(story: tuple[Path, dict[str, Issued]]) -> None:
    made = story[1]["C"]
    assert subjects(made) == {"Front", "Findings", "VFD-502", "VFD-602", "Equipment", "Labels", "Handover:"}
    fallen = void(made.changes)
    assert set(fallen) == {"VFD-502", "VFD-602"}
    assert fallen["VFD-602"] >= {"design check", "may be energized", "may turn", "may be loaded", "accepted"}
    assert fallen["VFD-502"] == {"may be energized", "may turn", "accepted"}
    tests, labels, _ = needs([c for c in made.changes if c.tag == "VFD-502"])
    assert "point-to-point of wire 109" in tests
    assert "wire marker 109" in labels
    moved = next(c.words for c in made.changes if c.kind == "moved")
    assert moved.startswith("wire 109 moved from VFD1:51 to VFD1:54")
    tests, labels, site = needs([c for c in made.changes if c.tag == "VFD-602"])
    assert {"winding resistance", "insulation", "direction", "no-load current"} <= set(tests)
    assert "motor nameplate label" in labels
    assert "short-circuit summary" in site


def test_many_changes_read_as_few_lines(story: tuple[Path, dict[str, Issued]]) -> None:
    changes = story[1]["C"].changes
    assert len(changes) > 50
    assert len(lines_of(changes)) < 30


def test_d_is_nothing(story: tuple[Path, dict[str, Issued]]) -> None:
    project, _ = story
    reorder(project, *SORTED)
    respell(project)
    assert not present_state(project).moved
    with pytest.raises(IssueRefusedError, match="no document changed since revision C: there is nothing to issue"):
        issued(project, "D")
    assert not (project / "issues" / "D").exists()


def test_every_document_may_be_asked_for(story: tuple[Path, dict[str, Issued]]) -> None:
    from binder.issuing import issue

    project, _ = story
    made = issue(project, revision="D", reason="As built", by="A. Ferrow", date="2026-07-01", every=True)
    assert not made.plan.carried
    assert {d.revision for d in made.record.documents} == {"D"}
