"""A packet follows what the site says of its drive, wherever the cause stands."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

import pytest

from binder.documents.assemble import assemble
from binder.documents.contents import Page, document_set, own_page, unplaced
from binder.documents.document import Document
from binder.inventory.findings import open_stops
from binder.inventory.quantities import measure
from binder.inventory.records import DocumentOption
from binder.reissue.current import study_of
from binder.study import FindingsByDrive, SiteStudy, study_site


@pytest.fixture(scope="module")
def study() -> SiteStudy:
    return study_of(Path(__file__).parents[2] / "demo_site")


def packet(study: SiteStudy, tag: str) -> Document:
    return next(d for d in document_set(study) if d.subject == tag)


def test_a_finding_that_another_drive_causes_is_in_the_digest(study: SiteStudy) -> None:
    """VFD-201 is told to differ from its like, VFD-202: a new ramp there is new words here."""
    drives = tuple(
        replace(d, acceleration_time=measure(33, "s")) if d.tag == "VFD-202" else d for d in study.inventory.drives
    )
    slower = study_site(replace(study.inventory, drives=drives))
    pages, digests = [], []
    for site in (study, slower):
        document = packet(site, "VFD-201")
        pages.append([node.pformat() for node in assemble(site).body(document)])
        digests.append(document.digest)
    assert pages[0] != pages[1]
    assert digests[0] != digests[1]
    assert packet(study, "VFD-101").digest == packet(slower, "VFD-101").digest


def test_a_packet_counts_the_open_stops_of_its_drive(study: SiteStudy) -> None:
    counts = {d.subject: d.open_stops for d in document_set(study) if d.subject}
    findings = FindingsByDrive(study)
    assert counts == {s.drive.tag: len(open_stops(findings.of(s))) for s in study.drives}
    assert any(counts.values())
    assert not all(counts.values())


def test_the_supply_tells_the_finding_on_its_distortion(study: SiteStudy) -> None:
    """Its limit hangs on a cell of the Site sheet; the page must not say that nothing concerns it."""
    assert {f.code for f in study.findings if f.sheet == "Site"} == {"E241"}
    supply = next(d for d in document_set(study) if d.key == "supply")
    text = " ".join(node.pformat() for node in assemble(study).body(supply))
    assert "E241" in text
    assert "No finding concerns" not in text


def test_each_site_has_findings_of_its_own(study: SiteStudy) -> None:
    """What was asked of one study stands in no other's way."""
    quiet = FindingsByDrive(replace(study, findings=()))
    findings = FindingsByDrive(study)
    assert [quiet.of(s) for s in study.drives] == [[] for _ in study.drives]
    assert all({f.code for f in s.findings} <= {f.code for f in findings.of(s)} for s in study.drives)


def test_a_section_takes_no_number_and_no_option(study: SiteStudy) -> None:
    pages = (own_page("roof", ".. place: in safety\n\nRoof\n====\n", "a"), Page("yard", "Yard", "b"))
    numbers = [d.number for d in document_set(study, pages=pages) if d.kind == "page"]
    prefix = study.inventory.site.document_prefix
    assert numbers == [f"{prefix}-951"]
    options = tuple(DocumentOption(name) for name in ("951", "Yard", "952", "Roof"))
    told = unplaced(replace(study.inventory, document_options=options), pages)
    assert [f.tag for f in told] == ["952", "Roof"]
