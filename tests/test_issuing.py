"""Issue, reissue, refuse, recover: on a copy of the demo plant with three packets."""

from __future__ import annotations

import datetime as dt
import hashlib
import json
import shutil
from dataclasses import replace
from pathlib import Path

import pikepdf
import pytest
from issuing_site import KEPT, SORTED, copy_demo, issued, other_motor_and_wire, put, reorder, respell, slower_ramp

from binder.cli import main
from binder.errors import OutputError, ProjectError
from binder.inventory.reader import read_workbook
from binder.inventory.results import append_rows
from binder.issuing import Issued, IssueRefusedError, issue
from binder.project import Project
from binder.project_in_pdf import unpack
from binder.publishing.attachments import attached
from binder.reissue.current import binder_of, findings_of, present_state, study_of
from binder.reissue.plan import Imprint, freeze
from binder.reissue.printed import printed
from binder.reissue.record import RecordError, load
from binder.reissue.scopes import Covered, signature_findings
from binder.reissue.store import IssueStore
from binder.study import study_site


@pytest.fixture(scope="module")
def first(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A project issued at A, with one signature on the facts of A."""
    project = copy_demo(tmp_path_factory.mktemp("first") / "site")
    study = study_of(project)
    drive = next(s for s in study.drives if s.drive.tag == "VFD-201")
    digest = Covered(present_state(project).draft.facts).digest((drive.drive.origin.key, "accepted"))
    signed = {"drive": "VFD-201", "statement": "accepted", "role": "Owner", "name": "R. Okari", "digest": digest}
    append_rows(project / "inventory.xlsx", "Signatures", [signed])
    issued(project, "A", "First issue", "2026-05-18")
    return project


@pytest.fixture(scope="module")
def second(first: Path, tmp_path_factory: pytest.TempPathFactory) -> tuple[Path, Issued]:
    """The same project with one slower ramp, issued at B after an attempt that was cut off."""
    project = tmp_path_factory.mktemp("second") / "site"
    shutil.copytree(first, project)
    slower_ramp(project)
    (project / "issues" / "B").mkdir()
    (project / "issues" / "B" / "half.pdf").write_bytes(b"%PDF")
    (project / "issues" / ".being-issued").mkdir()
    (project / "issues" / "B.tmp").write_text("{", "utf-8")
    return project, issued(project, "B", "Slower ramp")


@pytest.fixture
def project(first: Path, tmp_path: Path) -> Path:
    """A copy of the project at A to do harm to."""
    copy = tmp_path / "site"
    shutil.copytree(first, copy)
    return copy


def tree(folder: Path) -> dict[str, str]:
    """Digest of every file of a folder."""
    return {
        p.relative_to(folder).as_posix(): hashlib.sha256(p.read_bytes()).hexdigest()
        for p in sorted(folder.rglob("*"))
        if p.is_file() and p.relative_to(folder).parts[0] != "build" and p.name != "lock"
    }


def test_a_first_issue_stamps_every_document(first: Path) -> None:
    record = load(first / "issues" / "A.jsonl")
    assert {d.revision for d in record.documents} == {"A"}
    assert {d.status for d in record.documents} == {study_of(first).inventory.site.status}
    assert len([d for d in record.documents if d.key.startswith("k")]) == len(KEPT)
    for d in record.documents:
        path = first / "issues" / "A" / f"{d.number}.pdf"
        assert hashlib.sha256(path.read_bytes()).hexdigest() == d.file
        assert d.sheets == len(pikepdf.open(path).pages)


def test_after_an_issue_nothing_is_a_draft(first: Path) -> None:
    binder = binder_of(first)
    assert {(d.revision, d.issue_date) for d in binder.documents} == {("A", "2026-05-18")}
    assert not any("draft" in d.status for d in binder.documents)


def test_a_ramp_takes_its_packet_and_what_lists_it(second: tuple[Path, Issued]) -> None:
    _, made = second
    assert {d.title.split()[0] for d in made.plan.changed} == {"Front", "VFD-201", "Findings", "Handover:"}
    assert set(made.typeset) == {d.number for d in made.plan.changed}
    assert {c.tag for c in made.changes if c.key[1] != "certificate"} == {"VFD-201"}


def test_unchanged_documents_are_carried_byte_for_byte(second: tuple[Path, Issued]) -> None:
    project, made = second
    Project(project).build(html=False, pdf=True, out=None, progress=lambda *_: None)
    for d in made.plan.carried:
        built = project / "build" / "binder" / "pdf" / "documents" / f"{d.number}.pdf"
        assert built.read_bytes() == (project / "issues" / "A" / built.name).read_bytes()
        assert not (project / "issues" / "B" / built.name).exists()
    for d in made.plan.changed:
        built = project / "build" / "binder" / "pdf" / "documents" / f"{d.number}.pdf"
        assert built.read_bytes() == (project / "issues" / "B" / built.name).read_bytes()


def test_changed_rows_carry_the_letter(second: tuple[Path, Issued]) -> None:
    from binder.documents import nodes as own

    binder = binder_of(second[0])
    packet = next(d for d in binder.documents if d.subject == "VFD-201")
    tables = [t for node in binder.body(packet) for t in node.findall(own.data_table)]
    marked = {row.key for t in tables for row in t["rows"] if row.revision == "B"}
    assert "S-309" in marked
    assert "C4.UP" in marked
    untouched = next(d for d in binder.documents if d.subject == "VFD-602")
    tables = [t for node in binder.body(untouched) for t in node.findall(own.data_table)]
    assert not [row for t in tables for row in t["rows"] if row.revision]


def test_a_signature_falls_with_what_it_covers(second: tuple[Path, Issued]) -> None:
    found = [f for f in study_of(second[0]).findings if f.code == "R110"]
    assert len(found) == 1
    assert "R. Okari signed 'accepted' for VFD-201: void, since revision A" in found[0].found
    assert "drive acceleration time: 10 s -> 14 s" in found[0].found
    assert found[0].remedy.startswith("Repeat: ramps")


def test_a_signature_holds_while_its_facts_stand(first: Path) -> None:
    assert not [f for f in study_of(first).findings if f.code.startswith("R1")]


def test_the_package_holds_transmittal_and_changed_documents(second: tuple[Path, Issued]) -> None:
    project, made = second
    with pikepdf.open(project / "issues" / "B" / "package.pdf") as package:
        titles = [str(item.title) for item in package.open_outline().root]
        pages = len(package.pages)
    assert titles[0].startswith("QB26-T-B")
    assert len(titles) >= 1 + len(made.plan.changed)
    assert pages > sum(d.sheets for d in made.plan.changed)


def test_superseded_documents_are_stamped_and_kept_as_issued(second: tuple[Path, Issued]) -> None:
    project, made = second
    stamped = {path.name for path in made.superseded}
    assert stamped == {f"{d.number}-revision-A.pdf" for d in made.plan.changed}
    for d in made.plan.changed:
        before = next(b for b in load(project / "issues" / "A.jsonl").documents if b.key == d.key)
        kept = project / "issues" / "A" / f"{d.number}.pdf"
        assert hashlib.sha256(kept.read_bytes()).hexdigest() == before.file
        copy = project / "issues" / "B" / "superseded" / f"{d.number}-revision-A.pdf"
        with pikepdf.open(copy) as pdf:
            assert len(pdf.pages) == before.sheets
            with pdf.open_metadata() as metadata:
                assert metadata["dc:title"].startswith(f"SUPERSEDED: {d.number}")


def test_a_superseded_document_that_was_altered_stops_the_issue(project: Path) -> None:
    slower_ramp(project)
    path = project / "issues" / "A" / "QB26-VFD-201.pdf"
    path.write_bytes(path.read_bytes() + b"\n")
    with pytest.raises(IssueRefusedError, match=r"QB26-VFD-201 revision A: .* is not the file that was issued"):
        issued(project, "B")


def test_the_pdf_of_an_issue_is_a_3a_and_carries_its_source(second: tuple[Path, Issued]) -> None:
    path = second[0] / "issues" / "B" / "binder.pdf"
    files = attached(path)
    assert set(files) == {"inventory.xlsx", "issue-A.jsonl", "issue-B.jsonl", "project.zip"}
    assert files["inventory.xlsx"] == (second[0] / "inventory.xlsx").read_bytes()
    assert files["issue-B.jsonl"] == (second[0] / "issues" / "B.jsonl").read_bytes()
    with pikepdf.open(path) as pdf:
        with pdf.open_metadata() as metadata:
            assert (metadata["pdfaid:part"], metadata["pdfaid:conformance"]) == ("3", "A")
        assert [str(spec.AFRelationship) for spec in pdf.Root.AF] == ["/Source", "/Data", "/Data", "/Supplement"]


def test_a_project_taken_out_of_its_pdf_builds_the_same_bytes(second: tuple[Path, Issued], tmp_path: Path) -> None:
    project, _ = second
    record = unpack(project / "issues" / "B" / "binder.pdf", tmp_path / "found")
    assert record == load(project / "issues" / "B.jsonl")
    for folder in (project, tmp_path / "found"):
        shutil.rmtree(folder / "build", ignore_errors=True)
        Project(folder).build(html=True, pdf=True, out=None, progress=lambda *_: None)
    old, new = tree(project / "build" / "binder"), tree(tmp_path / "found" / "build" / "binder")
    assert new == old
    assert {"html/index.html", "pdf/binder.pdf"} <= set(old)
    assert not (tmp_path / "found" / "conf.py").exists()  # what comes out of a PDF must not run


@pytest.mark.slow
def test_sorted_rows_and_other_spellings_leave_every_byte(second: tuple[Path, Issued], tmp_path: Path) -> None:
    project = tmp_path / "site"
    shutil.copytree(second[0], project, ignore=shutil.ignore_patterns("build"))
    Project(project).build(html=True, pdf=True, out=None, progress=lambda *_: None)
    before = tree(project / "build" / "binder")
    reorder(project, *SORTED)
    respell(project)
    shutil.rmtree(project / "build")
    with pytest.raises(IssueRefusedError, match="nothing to issue"):
        issued(project, "C")
    Project(project).build(html=True, pdf=True, out=None, progress=lambda *_: None)
    assert tree(project / "build" / "binder") == before


def test_a_signed_reading_that_was_altered_voids_its_signature(project: Path) -> None:
    inventory = study_of(project).inventory
    reading = next(r for r in inventory.readings if r.drive == "VFD-201" and r.test.startswith("C4"))
    sign(project, "accepted", dt.date(2026, 5, 30))
    put(project, "Readings", reading.origin.key, remark="read again")
    (found,) = (f for f in study_of(project).findings if f.code == "R110" and "2026-05-30" in f.found)
    assert f"reading {reading.test}" in found.found
    assert f"test {reading.test}" in found.remedy or "that test" in found.remedy


def test_a_reading_added_after_the_day_of_signing_voids_nothing(project: Path) -> None:
    sign(project, "may be loaded", dt.date(2026, 5, 30))
    later = {"drive": "VFD-201", "test": "U1", "value": "right", "date": dt.date(2026, 9, 1), "initials": "AF"}
    append_rows(project / "inventory.xlsx", "Readings", [later])
    assert not [f for f in study_of(project).findings if f.code == "R110" and "2026-05-30" in f.found]


def test_a_signature_of_a_withdrawn_drive_is_kept_for_history(project: Path) -> None:
    inventory = read_workbook(project / "inventory.xlsx")
    records = IssueStore(project / "issues").records()
    left = replace(inventory, drives=tuple(d for d in inventory.drives if d.tag != "VFD-201"))
    draft = freeze(study_site(left), imprint=Imprint("B"), former=records[-1])
    (found,) = signature_findings(left, draft, records)
    assert (found.code, found.grade) == ("R113", "note")
    assert "VFD-201, no longer on this site" in found.found


def test_the_next_check_tells_of_an_interrupted_issue(project: Path) -> None:
    (project / "issues" / "B").mkdir()
    (found,) = (f for f in findings_of(project) if f.code == "R131")
    assert "B has no record" in found.found
    assert "R131" not in {f.code for f in printed(study_of(project)).findings}


def test_check_tells_an_issued_file_that_was_replaced(project: Path) -> None:
    path = project / "issues" / "A" / "QB26-901.pdf"
    path.write_bytes(path.read_bytes()[:-1] + b" ")
    (found,) = (f for f in findings_of(project) if f.code == "R132")
    assert found.grade == "stop"
    assert "QB26-901 revision A" in found.found
    path.unlink()
    (found,) = (f for f in findings_of(project) if f.code == "R132")
    assert "is missing" in found.found


def sign(project: Path, statement: str, day: dt.date) -> None:
    """Sign a statement of VFD-201 with the digest that stands beside it."""
    study = study_of(project)
    key = next(s.drive.origin.key for s in study.drives if s.drive.tag == "VFD-201")
    digest = Covered(present_state(project).draft.facts).digest((key, statement))
    row = {
        "drive": "VFD-201",
        "statement": statement,
        "role": "Owner",
        "name": "R. Okari",
        "digest": digest,
        "date": day,
    }
    append_rows(project / "inventory.xlsx", "Signatures", [row])


def test_a_changed_pdf_is_not_taken_for_the_issue(second: tuple[Path, Issued], tmp_path: Path) -> None:
    whole = second[0] / "issues" / "B" / "binder.pdf"
    with pikepdf.open(whole) as pdf:
        spec = pikepdf.AttachedFileSpec(pdf, b"another workbook", filename="inventory.xlsx")
        pdf.attachments["inventory.xlsx"] = spec
        pdf.save(tmp_path / "forged.pdf")
    with pytest.raises(OutputError, match=r"not what was issued: inventory\.xlsx"):
        unpack(tmp_path / "forged.pdf", tmp_path / "found")
    assert not (tmp_path / "found").exists()


@pytest.mark.parametrize(
    "name", ["../out.rst", "/etc/x.rst", "pages/../../x.rst", "conf.py", "pages/run.py", "C:\\x.rst"]
)
def test_a_hostile_name_inside_a_pdf_is_refused(name: str) -> None:
    from binder.project_in_pdf import _safe

    with pytest.raises(ValueError, match="no binder writes"):
        _safe(name)


def test_a_pdf_without_a_project_is_refused(second: tuple[Path, Issued], tmp_path: Path) -> None:
    with pytest.raises(ProjectError, match="carries no project"):
        unpack(second[0] / "issues" / "B" / "package.pdf", tmp_path / "found")


def test_all_reasons_come_at_once(project: Path) -> None:
    before = tree(project)
    (project / "issues" / "A" / "QB26-901.pdf").write_bytes(b"%PDF something else")
    with pytest.raises(IssueRefusedError) as refused:
        issue(project, revision="D", reason=" ", by="A. Ferrow", date="2026-06-01")
    words = " | ".join(refused.value.reasons)
    for part in (
        "next revision is B, not D",
        "no document changed",
        "QB26-901.pdf is not the file",
        "a reason must be said",
    ):
        assert part in words
    assert tree(project).keys() == before.keys()


def test_a_lost_issued_file_is_not_typeset_again(project: Path) -> None:
    (project / "issues" / "A" / "QB26-901.pdf").unlink()
    with pytest.raises(OutputError, match=r"QB26-901 revision A.*missing"):
        Project(project).build(html=False, pdf=True, out=None, progress=lambda *_: None)


def test_a_record_changed_by_hand_is_refused(project: Path) -> None:
    path = project / "issues" / "A.jsonl"
    path.write_text(path.read_text("utf-8").replace("First issue", "Other issue"), "utf-8")
    with pytest.raises(RecordError, match="changed after it was issued"):
        issued(project, "B")


@pytest.mark.slow
def test_a_workbook_saved_meanwhile_stops_the_issue(project: Path) -> None:
    slower_ramp(project)
    before = tree(project / "issues")

    def meddle(what: str, done: int, total: int) -> None:
        if what.startswith("joining") and done == total:
            slower_ramp(project, "VFD-602")

    with pytest.raises(OutputError, match="was saved while it was being issued"):
        issue(project, revision="B", reason="test", by="A. Ferrow", date="2026-06-01", progress=meddle)
    assert tree(project / "issues") == before


def test_the_same_letter_twice_is_refused(second: tuple[Path, Issued]) -> None:
    with pytest.raises(IssueRefusedError, match="the next revision is C, not B"):
        issued(second[0], "B")


def test_leftovers_of_an_interrupted_issue_are_told(second: tuple[Path, Issued]) -> None:
    project, made = second
    assert len([line for line in made.said if "interrupted" in line]) == 2
    assert not (project / "issues" / "B.tmp").exists()
    assert not (project / "issues" / "B" / "half.pdf").exists()


def test_the_commands(project: Path, capsys: pytest.CaptureFixture[str]) -> None:
    arguments = ["issue", str(project), "--reason", "x", "--by", "A. Ferrow", "--date", "2026-06-01", "--revision"]
    assert main([*arguments, "C"]) == 1
    assert "next revision is B, not C" in capsys.readouterr().err
    assert main([*arguments, "C", "--skip", "b"]) == 1  # C follows, but nothing changed
    assert "next revision" not in capsys.readouterr().err
    assert main(["compare", str(project), "A"]) == 0
    assert "Nothing changed." in capsys.readouterr().out
    other_motor_and_wire(project)
    assert main(["compare", str(project), "A", "now", "--json"]) == 0
    changes = json.loads(capsys.readouterr().out)
    assert {c["tag"] for c in changes} >= {"VFD-502", "VFD-602"}
    assert main(["compare", str(project), "now", "A"]) == 2
