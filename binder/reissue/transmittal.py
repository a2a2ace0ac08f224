"""The transmittal of an issue: what changed, what to pull and insert, what to repeat, sign and label again."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Sequence

from docutils import nodes

from binder.documents.blocks import (
    Cell,
    Column,
    Row,
    bullets,
    caution,
    data_table,
    key_values,
    paragraph,
    section,
    sign_off,
    strong,
)
from binder.documents.document import Document
from binder.documents.packet_data import limit_signs
from binder.inventory.counting import counted
from binder.inventory.records import Signature, Site
from binder.reissue.compare import Change, compare
from binder.reissue.consequences import Consequence
from binder.reissue.record import IssuedDocument, IssueRecord
from binder.reissue.words import Line, joined, lines_of, needs

#: Key of the transmittal; no controlled document of the binder.
KEY = "transmittal"
_NEEDS = ("Tests to repeat", "Labels to replace", "Papers to look at")


def transmittal(site: Site, record: IssueRecord) -> Document:
    """The transmittal as a document of its own.

    Parameters
    ----------
    site : Site
    record : IssueRecord
    """
    return Document(
        number=f"{site.document_prefix or 'DRAFT'}-T-{record.revision}",
        title=f"Transmittal of revision {record.revision}",
        kind="schedule",
        key=KEY,
        revision=record.revision,
        status=site.status,
        issue_date=record.date,
        docname=f"documents/{KEY}",
    )


def transmittal_sections(
    site: Site,
    records: Sequence[IssueRecord],
    changes: Sequence[Change],
    *,
    void: Sequence[tuple[Signature, str]] = (),
) -> list[nodes.Node]:
    """The sections of the transmittal.

    Parameters
    ----------
    site : Site
    records : sequence of IssueRecord
        All issues, this one last.
    changes : sequence of Change
        Since the issue before.
    void : sequence of (Signature, str)
        Signatures that no longer hold, and why.

    Returns
    -------
    list of nodes
    """
    record = records[-1]
    former = records[-2] if len(records) > 1 else None
    lines = lines_of(changes)
    return [
        section("Transmittal", *_head(site, record), id="transmittal"),
        section("Sheets to pull and to insert", *_sheets(record, former), id="sheets"),
        section("What changed", *_changes(lines, former), id="changes"),
        section("What to do again", *_again(changes), id="again"),
        section("Signatures that are void", *_void(void, changes), id="void"),
        *_behind(lines),
        section("Revision record", _revisions(records), id="revisions"),
        section("Receipt", sign_off(("Sent by", "Received by"), title="Receipt", headed=True), id="receipt"),
    ]


def changes_section(record: IssueRecord, former: IssueRecord) -> nodes.section:
    """What changed at the last issue, as a section of the front matter.

    Parameters
    ----------
    record : IssueRecord
        The issue, or the draft of the next.
    former : IssueRecord
    """
    # This page must come out the same when it is made from the record as it was kept.
    lines = lines_of(compare(former, record.without_cells()))
    return section(f"Changes at revision {record.revision}", *_changes(lines, former), id="changes")


def _head(site: Site, record: IssueRecord) -> Iterator[nodes.Node]:
    carried = [d for d in record.documents if d.state == "current" and d.revision != record.revision]
    pairs = [
        ("Site", site.name),
        ("Owner", site.owner),
        ("From", site.contractor),
        ("Job", site.job_number),
        ("Revision", record.revision),
        ("Date", record.date),
        ("Reason", record.reason),
        ("Issued by", record.by),
    ]
    yield key_values([(name, value) for name, value in pairs if value])
    if carried:
        yield paragraph(
            strong(f"{len(carried)} unchanged documents remain at their revisions: "),
            ", ".join(f"{d.number} ({d.revision})" for d in carried),
            ".",
        )


def _sheets(record: IssueRecord, former: IssueRecord | None) -> Iterator[nodes.Node]:
    """What an office person does by hand: which sheets leave the folder, which go in."""
    columns = (
        Column("Document", 1.4, kind="code", header=True),
        Column("Title", 3.2),
        Column("Pull", 1.3),
        Column("Insert", 1.3),
        Column("Done", 0.6, kind="tick"),
    )
    rows = []
    for d in record.documents:
        before = former.document(d.key) if former else None
        was = before if before is not None and before.state == "current" else None
        if d.state == "withdrawn" and was is not None:
            rows.append(Row((d.number, d.title, _count(was), Cell("withdrawn", bold=True), ""), key=d.number))
        elif d.state == "current" and d.revision == record.revision:
            pulled = _count(was) if was else "nothing, new"
            rows.append(Row((d.number, d.title, pulled, _count(d), ""), key=d.number))
    yield data_table(columns, rows, caption="Documents of this package", filter=False)
    if former is not None:
        yield paragraph(
            "Pulled sheets are superseded: write the new revision letter on them and keep them in the archive. "
            f"Stamped copies stand in the folder superseded of issue {record.revision}; "
            "the files as issued stay in the folder of their letter."
        )


def _count(document: IssuedDocument) -> str:
    sheets = counted(document.sheets, "sheet") if document.sheets else "all sheets"
    return f"{document.revision}: {sheets}"


def _changes(lines: Sequence[Line], former: IssueRecord | None) -> Iterator[nodes.Node]:
    if former is None:
        yield paragraph("First issue: everything is new.")
        return
    columns = (
        Column("Drive", 1.0, kind="code", header=True),
        Column("What changed, and why", 6.0),
        Column("Voids", 2.2),
    )
    rows = [
        Row((line.tag, limit_signs(line.words), ", ".join(line.consequence.signatures) or "nothing"), key=f"{n}")
        for n, line in enumerate(lines, 1)
    ]
    if rows:
        yield data_table(columns, rows, caption=f"Changes since revision {former.revision}", filter=False)
    else:
        yield paragraph("No value changed: the documents were issued again as they stand.")


def _again(changes: Sequence[Change]) -> Iterator[nodes.Node]:
    """Tests, labels and papers, drive by drive."""
    columns = (
        Column("Drive", 1.0, kind="code", header=True),
        Column("What", 1.4),
        Column("Which", 6.4),
        Column("Done", 0.6, kind="tick"),
    )
    rows = []
    for tag in dict.fromkeys(c.tag for c in changes):
        for what, words in zip(_NEEDS, needs([c for c in changes if c.tag == tag]), strict=True):
            if words:
                rows.append(Row((tag, what, "; ".join(words), ""), key=f"{tag}-{what}"))
    if not rows:
        yield paragraph("No test, no label: presentation and papers only.")
        return
    yield data_table(columns, rows, caption="Tests, labels and papers", filter=False)
    yield caution(
        "notice",
        "The smallest set",
        "These follow from rules of common practice. The person in charge decides whether more must be repeated.",
    )


def _void(void: Sequence[tuple[Signature, str]], changes: Sequence[Change]) -> Iterator[nodes.Node]:
    of_tag: dict[str, list[Consequence]] = {}
    for change in changes:
        of_tag.setdefault(change.tag, []).append(change.consequence)
    statements = {tag: words for tag, several in of_tag.items() if (words := joined(several).signatures)}
    if void:
        columns = (
            Column("Drive", 0.9, kind="code", header=True),
            Column("Statement", 1.4),
            Column("Signed by", 1.6),
            Column("On", 0.9),
            Column("Void because", 4.6),
        )
        rows = [
            Row((s.drive or "Site", s.statement, s.name, s.date.isoformat() if s.date else "", why), key=f"{n}")
            for n, (s, why) in enumerate(void, 1)
        ]
        yield data_table(columns, rows, caption="Signatures that no longer hold", filter=False)
    if statements:
        yield paragraph("Statements that must be signed again before they hold, where they were signed:")
        yield bullets([[strong(f"{tag}: "), ", ".join(words)] for tag, words in statements.items()])
    elif not void:
        yield paragraph("None.")


def _behind(lines: Iterable[Line]) -> Iterator[nodes.Node]:
    """The single changes behind lines that stand for many."""
    columns = (Column("What", 2.0, kind="code", header=True), Column("Was", 3.2), Column("Is", 3.2))
    tables = [
        section(
            f"{line.tag}: {line.members[0].key[1]}",
            data_table(
                columns,
                [
                    Row((_item(c), limit_signs(c.old) or "–", limit_signs(c.new) or "–"), key=f"{c.key[2]}-{c.key[3]}")
                    for c in line.members
                ],
                caption=line.words.partition(",")[0],
                filter=False,
            ),
            id=f"behind-{n}",
        )
        for n, line in enumerate(lines, 1)
        if line.table_behind
    ]
    if tables:
        yield section("Single changes", *tables, id="behind")


def _item(change: Change) -> str:
    item, name = change.key[2].replace("_", " "), change.key[3].replace("_", " ")
    return item if name in ("value", "ends") or name.startswith(("may ", "accepted")) else f"{item} {name}"


def _revisions(records: Sequence[IssueRecord]) -> nodes.Node:
    columns = (
        Column("Rev.", 0.5, header=True),
        Column("Date", 0.9),
        Column("Reason", 4.0),
        Column("By", 1.2),
        Column("Documents", 0.9, kind="number"),
    )
    rows = []
    for r in records:
        count = sum(d.revision == r.revision and d.state == "current" for d in r.documents)
        rows.append(Row((r.revision, r.date, r.reason, r.by, str(count)), key=r.revision))
    return data_table(columns, rows, caption="Issues of this binder", filter=False)
