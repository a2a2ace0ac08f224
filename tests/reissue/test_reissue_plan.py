"""Plan an issue: letters, numbers that are never used again, renamed and deleted drives, own pages."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

import pytest

from binder.documents.contents import Page
from binder.inventory.findings import open_stops
from binder.inventory.reader import read_workbook
from binder.inventory.records import Inventory
from binder.reissue.compare import compare
from binder.reissue.current import renamed
from binder.reissue.facts import Fact
from binder.reissue.gather import facts_of
from binder.reissue.plan import Imprint, freeze, plan_issue
from binder.reissue.record import IssueRecord, dumps, loads
from binder.study import SiteStudy, study_site

WORKBOOK = Path(__file__).parents[2] / "demo_site" / "inventory.xlsx"
A, B, C = (Imprint(letter, "2026-05-18", "A. Ferrow", "test") for letter in "ABC")


@pytest.fixture(scope="module")
def inventory() -> Inventory:
    whole = read_workbook(WORKBOOK)
    kept = tuple(d for d in whole.drives if d.tag in {"VFD-201", "VFD-602", "VFD-603"})
    return replace(whole, drives=kept)


@pytest.fixture(scope="module")
def study(inventory: Inventory) -> SiteStudy:
    return study_site(inventory)


@pytest.fixture(scope="module")
def first(study: SiteStudy) -> IssueRecord:
    return freeze(study, imprint=A)


def without(inventory: Inventory, tag: str) -> Inventory:
    return replace(inventory, drives=tuple(d for d in inventory.drives if d.tag != tag))


def changed(record: IssueRecord) -> set[str]:
    return {d.key for d in record.documents if d.revision == record.revision and d.state == "current"}


def test_a_record_of_the_demo_reads_back(first: IssueRecord) -> None:
    assert dumps(loads(dumps(first))) == dumps(first)


def test_nothing_changed_keeps_every_letter(study: SiteStudy, first: IssueRecord) -> None:
    again = freeze(study, imprint=B, former=first)
    assert changed(again) == set()
    assert compare(first, again) == ()
    refusals = plan_issue(study, again, first).refusals
    assert any("nothing to issue" in r for r in refusals)


def test_the_next_letter_follows_what_the_binder_skips(study: SiteStudy, first: IssueRecord) -> None:
    eighth = replace(first, revision="H", skip="")
    assert freeze(study, imprint=B, former=eighth).skip == ""
    nine = plan_issue(study, freeze(study, imprint=replace(B, revision="I"), former=eighth), eighth)
    assert not any("next revision" in r for r in nine.refusals)
    again = plan_issue(study, freeze(study, imprint=replace(B, revision="I", skip="IO"), former=eighth), eighth)
    assert any("the next revision is J, not I" in r for r in again.refusals)


def test_open_stops_refuse(study: SiteStudy, first: IssueRecord) -> None:
    stops = open_stops(study.findings)
    head, *lines = plan_issue(study, first, None).refusals[0].splitlines()
    assert head.startswith(f"{len(stops)} open stop")
    assert [line.split("  ")[-1] for line in lines] == [f"{s.code}: {s.found}" for s in stops]
    assert lines[0].strip().startswith(f"{stops[0].sheet}!{stops[0].cell}  {stops[0].tag}")


def test_of_many_open_stops_twenty_are_named(study: SiteStudy, first: IssueRecord) -> None:
    stop = next(iter(open_stops(study.findings)))
    many = replace(study, findings=tuple(replace(stop, cell=f"F{n}") for n in range(23)))
    lines = next(iter(plan_issue(many, first, None).refusals)).splitlines()
    assert len(lines) == 22
    assert lines[-1].strip() == "and 3 more, see: binder check"


def test_every_document_on_demand(study: SiteStudy, first: IssueRecord) -> None:
    assert len(changed(freeze(study, imprint=B, former=first, every=True))) == len(first.documents)


def test_a_deleted_drive_is_withdrawn_and_its_number_never_used_again(
    inventory: Inventory, study: SiteStudy, first: IssueRecord
) -> None:
    second = freeze(study_site(without(inventory, "VFD-603")), imprint=B, former=first)
    gone = next(d for d in second.documents if d.state == "withdrawn")
    assert (gone.number, gone.revision) == ("QB26-VFD-603", "A")
    assert "front" in changed(second)
    drive = next(d for d in inventory.drives if d.tag == "VFD-603")
    other = replace(drive, origin=replace(drive.origin, key="kanother"))
    new = replace(inventory, drives=(*without(inventory, "VFD-603").drives, other))
    third = freeze(study_site(new), imprint=C, former=second)
    assert third.document("kanother").number == "QB26-VFD-603-2"
    assert next(d for d in third.documents if d.state == "withdrawn").number == "QB26-VFD-603"


def test_a_drive_that_comes_back_takes_its_own_number(
    inventory: Inventory, study: SiteStudy, first: IssueRecord
) -> None:
    second = freeze(study_site(without(inventory, "VFD-603")), imprint=B, former=first)
    third = freeze(study, imprint=C, former=second)
    back = next(d for d in third.documents if d.number == "QB26-VFD-603")
    assert (back.revision, back.state) == ("C", "current")


def test_formerly_gives_a_lost_key_back(inventory: Inventory, first: IssueRecord) -> None:
    drive = next(d for d in inventory.drives if d.tag == "VFD-603")
    key = drive.origin.key
    lost = replace(drive, tag="VFD-699", formerly="VFD-603", origin=replace(drive.origin, key="klost"))
    cables = tuple(replace(c, drive="VFD-699") if c.drive == "VFD-603" else c for c in inventory.cables)
    controls = tuple(replace(c, drive="VFD-699") if c.drive == "VFD-603" else c for c in inventory.controls)
    changed_tag = replace(
        inventory, drives=(*without(inventory, "VFD-603").drives, lost), cables=cables, controls=controls
    )
    known = renamed(changed_tag, first)
    assert {d.tag: d.origin.key for d in known.drives}["VFD-699"] == key
    second = freeze(study_site(known), imprint=B, former=first)
    assert second.document(key).number == "QB26-VFD-603"
    kinds = [c.kind for c in compare(first, second)]
    assert kinds[0] == "renamed"
    assert "removed" not in {c.kind for c in compare(first, second) if c.key[1] == "drive"}


def test_an_own_page_takes_a_letter_of_its_own(study: SiteStudy) -> None:
    page = Page("narrative", "Site narrative", "1" * 64)
    one = freeze(study, (page,), imprint=A)
    two = freeze(study, (replace(page, digest="2" * 64),), imprint=B, former=one)
    assert changed(two) == {"front", "page-narrative"}


def test_status_stays_with_the_letter(inventory: Inventory, first: IssueRecord) -> None:
    built = replace(inventory, site=replace(inventory.site, status="as built"))
    second = freeze(study_site(built), imprint=B, former=first)
    statuses = {d.status for d in second.documents if d.revision == "A"}
    assert statuses == {inventory.site.status}
    assert {d.status for d in second.documents if d.revision == "B"} == {"as built"}


def test_digits_on_the_edge_of_rounding_stay(study: SiteStudy) -> None:
    facts = facts_of(study)
    key, fact = next(
        (k, f) for k, f in facts.items() if k[1] == "figure" and k[3] == "value" and f.value[-1:] in "2345"
    )
    nudged = f"{fact.value[:-1]}{int(fact.value[-1]) + 1}"
    noisy = Fact(key, nudged, fact.show, fact.cause, fact.rule)
    whole = len(fact.value.replace(".", "").lstrip("0")) == 5
    kept = facts_of(study, former={key: noisy})[key].value
    assert kept == (nudged if whole else kept)


def test_facts_know_their_cell_but_do_not_freeze_it(study: SiteStudy, first: IssueRecord) -> None:
    fact = next(f for k, f in facts_of(study).items() if k[1:] == ("motor", "motor", "current"))
    assert fact.cell.startswith("Motors!")
    assert "Motors!" not in dumps(first)
