"""A small invented binder that uses every block, with cell texts chosen to do harm."""

from __future__ import annotations

import hashlib
from dataclasses import replace
from pathlib import Path
from typing import Any

from docutils import nodes

from binder.documents import blocks as b
from binder.documents.document import Binder, Document
from binder.inventory.findings import Finding, Grade
from binder.inventory.records import Site

#: The conf.py of a project folder that shows this binder.
CONF = 'extensions = ["binder.publishing.extension"]\nbinder_source = "invented_binder:binder_of"\n'

HOSTILE = (
    ".. include:: x",
    "<script>alert(1)</script>",
    "#panic()",
    "*bold* _it_ `code` |sub| [1]_",
    '], read("file"), [',
    "$x$ @ref <label> // comment /* c */",
    "\\ \" ' -- --- ...",
    "{{ 7*7 }} %s %(x)s ${PATH}",
    "=cmd|' /C calc'!A0",
    "javascript:alert(1)",
    "&amp; &lt; ]]>",
)

SITE = Site(
    name="Ostermark Water Works",
    document_prefix="OWW",
    code_basis="NEC",
    code_edition="2023",
    paper="A4",
    binder_title="Drive commissioning binder",
    address="1 Weir Lane, Ostermark",
    owner="Ostermark District",
    contractor="Halden Field Services",
    job_number="J-2041",
    invented=True,
    prepared_by="A. Example",
    checked_by="B. Example",
    status="for review",
    revision="B",
    disclaimer="Computed figures are no approval. The engineer in charge decides.",
)

SVG = """<svg xmlns="http://www.w3.org/2000/svg" width="260mm" height="140mm" viewBox="0 0 260 140"
 font-family="Liberation Sans, Arial, Helvetica, sans-serif" font-size="4">
<rect x="90" y="10" width="60" height="120" fill="none" stroke="black"/>
<text x="120" y="18" text-anchor="middle" font-weight="bold">{tag} drive</text>
<g id="wires" stroke="black" stroke-width=".4"><path d="M20 40H90M20 60H90M150 40H220"/></g>
<text x="22" y="38">W101-11</text><text x="22" y="58">W101-12</text><text x="94" y="41">24</text>
<text x="94" y="61">DI1</text><text x="200" y="38">X2:1 4–20 mA</text><text x="10" y="100">{hostile}</text></svg>"""

GROUPS = {
    "Motor data": [
        ("Motor rated power", "3.0", "11.0", "kW"),
        ("Motor rated voltage", "400", "400", "V"),
        ("Motor rated current", "7.4", "21.0", "A"),
        ("Motor rated speed", "1450", "1465", "rpm"),
        ("Stator resistance, from identification run", "0.00", "record", "Ω"),
    ],
    "Limits": [
        ("Lower frequency limit", "0.0", "20.0", "Hz"),
        ("Skip band 1, centre", "0.0", "31.5", "Hz"),
        ("Current limit, motoring", "150", "110", "%"),
        ("Maximum output frequency", "60.0", "52.0", "Hz"),
    ],
    "Command source": [
        ("Source of run command, location 1", "panel", "terminal 11", ""),
        ("Source of speed reference, location 2", "panel", "preset 1", ""),
        ("Start lockout after power return", "off", "on", ""),
        ("Stop mode", "ramp", "ramp", ""),
    ],
    "Inputs and outputs": [
        (f"Terminal {n} function", "none", text, "")
        for n, text in enumerate(
            ["run, closed = run", "location 1/2", "EXTERNAL_INTERLOCK_CLOSED_NORMALLY", "reset", "none", "none"], 11
        )
    ],
}


def settings_table() -> nodes.Node:
    """A settings table with groups, revisions and boxes to write in."""
    columns = (
        b.Column("No.", 0.8, "code", header=True),
        b.Column("Setting", 3),
        b.Column("Default", 1),
        b.Column("As found", 1.2, "write"),
        b.Column("Required", 1.6),
        b.Column("As left", 1.2, "write"),
        b.Column("Unit", 0.6),
        b.Column("Source", 1.2),
    )
    rows = []
    for group, (title, lines) in enumerate(GROUPS.items(), 1):
        rows.append(b.Row((title,), f"g{group}", "group"))
        for n, (name, default, required, unit) in enumerate(lines, 1):
            number = f"{group:02}.{n:02}"
            rows.append(
                b.Row(
                    (
                        number,
                        name,
                        default,
                        "",
                        b.Cell(required, bold=required != default),
                        "",
                        unit,
                        b.Cell("test 9", document="OWW-P-101", anchor="tests") if "record" in required else "plate",
                    ),
                    number,
                    revision="B" if name.startswith("Skip") else "",
                )
            )
    return b.data_table(columns, rows, "Write from the top", id="settings-table")


def packet(number: str, tag: str, other: str, note: str) -> list[nodes.Node]:
    """The sections of one drive's packet."""
    hostile = b.data_table(
        [b.Column("No.", 1, "code", header=True), b.Column("Typed text", 4), b.Column("Tick", 1, "tick")],
        [b.Row((str(n), text, "x" if n == 1 else ""), f"h{n}") for n, text in enumerate(HOSTILE, 1)],
        HOSTILE[1],
    )
    tests = b.data_table(
        [
            b.Column("No.", 0.6, "code", header=True),
            b.Column("Test", 3),
            b.Column("Limit", 1.2),
            b.Column("Reading", 1.2, "write"),
            b.Column("Result", 1, "passfail"),
            b.Column("Initials", 0.8, "write"),
        ],
        [
            b.Row(
                (
                    "1",
                    "Insulation resistance, motor cable and motor, 1000 V DC, drive disconnected",
                    "≥ 100 MΩ",
                    "",
                    "",
                    "",
                ),
                "t1",
            ),
            b.Row(
                ("2", "Protective conductor continuity, drive to motor frame", "≤ 0.10 Ω", "0.04", "pass", "A.E."), "t2"
            ),
            b.Row(("3", "Supply voltage L1–L2", "380–420 V", "431", "fail", "A.E."), "t3", tone="stop"),
            b.Row(("4", "Withdrawn at revision B", "", "", "", ""), "t4", "removed", "B"),
        ],
        "Test lines",
        id="test-lines",
    )
    return [
        b.section(
            "Data sheet",
            b.key_values(
                [
                    ("Rated power", "11 kW"),
                    ("Voltage, connection", "400 V Δ"),
                    ("Current", "21.0 A"),
                    ("Frequency", "50 Hz"),
                    ("Speed", "1465 rpm"),
                    ("Serial number", b.Cell("M100000", mark="note")),
                ]
            ),
            b.paragraph(
                "Duty: centrifugal pump. Standby unit: ",
                b.cross_reference("settings of " + other, other, "settings"),
                ". Terminal ",
                b.literal("DI1"),
                " starts it; ",
                b.emphasis("see"),
                " the ",
                b.strong("drawing"),
                ". ",
                note,
            ),
            b.plot(SVG.format(tag=tag, hostile="plot"), "Torque over speed", "Torque over speed"),
            id="data",
        ),
        b.section(
            "Lockout card",
            b.caution(
                "danger",
                "Stored charge: wait and measure",
                "Isolate and lock Q1 at MCC-1. Wait 5 min. Measure below 50 V DC between DC+ and DC−.",
                b.bullets(["A safe torque off input is not isolation.", ["Use ", b.strong("two"), " testers."]]),
            ),
            b.caution("warning", "Starts by itself", "Location 2 may start this motor at any time."),
            b.steps(["Open Q1.", ["Lock it with ", b.literal("your own"), " lock."], "Prove dead."]),
            id="lockout",
        ),
        b.section(
            "Settings, in writing order",
            b.paragraph("A bar in the margin marks a changed row."),
            settings_table(),
            id="settings",
        ),
        b.section(
            "Wiring",
            b.drawing(
                SVG.format(tag=tag, hostile="&lt;script&gt;#panic()"),
                "Control wiring of " + tag,
                "Control drawing 1 of 1",
            ),
            b.paragraph("Contacts are shown de-energized."),
            id="wiring",
        ),
        b.section(
            "Tests",
            tests,
            b.write_box("Instruments used (type, serial number, calibration due)", 2),
            b.sign_off(
                [
                    "Tester",
                    b.Signature("Witness", "B. Example", "2026-03-02", "valid"),
                    b.Signature("Owner", "C. Example", "2026-03-03", "void"),
                ],
                title="May be energized",
                statement="All lines above pass.",
                digest="3fa91c",
            ),
            id="tests",
        ),
        b.section(
            "As typed",
            b.paragraph(*HOSTILE[:2]),
            hostile,
            b.caution("note", HOSTILE[2], HOSTILE[3]),
            b.page_break(),
            b.qr("OWW-P-101", "Document OWW-P-101"),
            id="typed",
        ),
        b.section("Findings", b.paragraph("As the findings of the site."), id="findings"),
    ]


def schedule(drives: int) -> list[nodes.Node]:
    """A long schedule, for repeated heads and the filter box."""
    columns = (
        b.Column("Tag", 1, "code", header=True),
        b.Column("Power", 1, "number"),
        b.Column("Panel", 1),
        b.Column("Packet", 1),
    )
    rows = [
        b.Row(
            (f"P-{n}", f"{n / 10:.1f}", f"MCC-{n % 3 + 1}", b.Cell("packet", document="OWW-P-101")),
            f"p{n}",
            tone="caution" if n % 30 == 0 else "",
        )
        for n in range(101, 101 + drives)
    ]
    return [b.section("Drives", b.data_table(columns, rows, "All drives", id="drives"), id="list")]


def invented_binder(
    *, note: str = "", drives: int = 60, paper: str = "A4", stops: int = 1, pages: bool = False, packets: int = 2
) -> Binder:
    """Front, safety, packets and a schedule. `note` is printed in the first packet only."""
    common = {"revision": "B", "status": "for review", "issue_date": "2026-03-02"}
    numbers = [f"OWW-P-{101 + n}" for n in range(packets)]
    bodies: dict[str, list[nodes.Node]] = {}
    documents: list[Document] = []

    def add(number: str, title: str, kind: str, key: str, subject: str = "", digest: str = "", **more: Any) -> None:
        documents.append(
            Document(
                number,
                title,
                kind,
                key,
                subject=subject,
                docname=f"documents/{key}",
                digest=hashlib.sha256(f"{number}{title}{digest}".encode()).hexdigest(),
                **common,
                **more,
            )
        )

    add("OWW-B-001", "Drive commissioning binder", "front", "front", digest=f"{numbers}{stops}")
    add("OWW-S-001", "Site safety", "safety", "safety")
    for n, number in enumerate(numbers):
        add(
            number,
            f"Packet P-{101 + n} raw water pump {n + 1}",
            "packet",
            f"k{n + 31:04}",
            f"P-{101 + n}",
            (note if n == 0 else "") + numbers[(n + 1) % packets],  # it names the next packet
            open_stops=stops if n == 0 else 0,
        )
    add("OWW-X-001", "Drive schedule", "schedule", "drives", digest=str(drives), landscape=True)
    if pages:
        documents.append(Document("OWW-N-001", "Site notes", "page", "notes", docname="pages/notes", **common))

    def body(document: Document) -> list[nodes.Node]:
        if document.kind == "front":
            return [
                b.section("Contents", b.document_list(), id="contents"),
                b.section("Findings", b.caution("stop", "One stop is open", "See E101."), id="findings"),
            ]
        if document.kind == "safety":
            return [
                b.section(
                    "Rules", b.paragraph("Lock out."), b.bullets(["One lock a person.", "泵 is Chinese for pump."])
                )
            ]
        if document.kind == "schedule":
            return schedule(drives)
        n = numbers.index(document.number)
        return packet(document.number, document.subject, numbers[(n + 1) % packets], note if n == 0 else "")

    bodies.clear()
    findings = (
        Finding("E101", Grade.STOP, "Motors", "F12", "P-101", "25 A", "<= 21 A", "Choose a bigger drive"),
        Finding("B200", Grade.NOTE, "Drives", "C3", "P-102", "100% of %s", "text", "Nothing"),
    )
    return Binder(
        replace(SITE, paper=paper), tuple(documents), body, findings[: 1 if stops else 0] + findings[1:], stops
    )


def binder_of(project: Path) -> Binder:
    """The loader that the test projects name in conf.py; options stand in invented.txt."""
    options: dict[str, object] = {}
    path = project / "invented.txt"
    if path.exists():
        for line in path.read_text("utf-8").splitlines():
            name, _, value = line.partition("=")
            options[name] = int(value) if value.isdigit() else value
    return invented_binder(**options)  # type: ignore[arg-type]
