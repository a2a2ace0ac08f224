"""Columns of people, instruments, what was read and left, and what the papers need."""

from __future__ import annotations

from binder.inventory.declarations import Column, Sheet
from binder.inventory.records import (
    AsLeft,
    Defeat,
    DocumentOption,
    Instrument,
    MaintenanceTask,
    Override,
    Person,
    PunchItem,
    Reading,
    Revision,
    Signature,
    Spare,
    Training,
    Waiver,
    Warranty,
)

_DRIVE = Column("drive", "Drive", "reference", required=True, target="Drives", help="Drive it belongs to.",
                example="VFD-101")  # fmt: skip
_OPTIONAL_DRIVE = Column("drive", "Drive", "reference", target="Drives", help="Blank: the site.")
_DRIVES = Column("drives", "Drives", "references", target="Drives", help="Those it serves, separated by ; or: all.")
_DATE = Column("date", "Date", "date", help="Year-month-day, for example 2026-03-14.")
_INITIALS = Column("initials", "Initials", "code", help="As on the People sheet.")

PEOPLE = Sheet(
    "People", Person, "people",
    (
        Column("name", "Name", required=True, help="First and last name.", example="A. Example"),
        Column("initials", "Initials", "code", help="As signed on sheets; unique.", example="AE",
               effect="Initials on test sheets cannot be told."),
        Column("role", "Role", help="Electrician, commissioning engineer, owner, witness, ..."),
        Column("employer", "Employer", help="Company."),
        Column("licence", "Licence", "code", help="Number of a licence or certificate.", aliases=("License",)),
        Column("telephone", "Telephone", "code", help="With area code."),
        Column("email", "E-mail", "code", help="Address.", aliases=("Email",)),
    ),
    key="name", unique=("name",), help="One row a person who signs or may be called.",
)  # fmt: skip

INSTRUMENTS = Sheet(
    "Instruments", Instrument, "instruments",
    (
        Column("tag", "Instrument", "tag", required=True, help="Your own number for it.", aliases=("Instrument tag",)),
        Column("kind", "Kind", help="Multimeter, insulation tester, tachometer, ..."),
        Column("serial", "Serial number", "code", help="From its plate.", aliases=("Serial",)),
        Column("category", "Category", "code", help="For example CAT III 1000 V."),
        Column("calibration_due", "Calibration due", "date", help="From its label.",
               effect="Whether a reading may count is not judged."),
    ),
    key="tag", unique=("tag",), help="One row a test instrument.",
)  # fmt: skip

OVERRIDES = Sheet(
    "Overrides", Override, "overrides",
    (
        _DRIVE,
        Column("setting", "Setting", "setting number", required=True, help="Function word or setting number."),
        Column("value", "Value", "display", required=True, help="As the display shows it."),
        Column("reason", "Reason", "remark", required=True, help="Why the computed value is not taken."),
        Column("by", "By", required=True, help="Name of the person who decides."),
        _DATE,
    ),
    key="drive", unique=("drive", "setting"),
    help="One row a required value that a person sets against the computed one.",
)  # fmt: skip

AS_LEFT = Sheet(
    "As left", AsLeft, "as_left",
    (
        _DRIVE,
        Column("setting", "Setting", "setting number", required=True, help="Setting number."),
        Column("as_found", "As found", "display", help="What the display showed before."),
        Column("as_left", "As left", "display", help="What the display shows now."),
        _DATE, _INITIALS,
        Column("reason", "Reason", "remark", help="Why it differs from the required value."),
    ),
    key="drive", help="One row a setting and a visit. Earlier visits stay as they are.",
)  # fmt: skip

READINGS = Sheet(
    "Readings", Reading, "readings",
    (
        _DRIVE,
        Column("test", "Test", "code", required=True, help="Line printed on the test sheet, for example E3.U-V."),
        Column("value", "Value", "reading", required=True, help="What was read; >2000 and OL are readings too."),
        Column("unit", "Unit", "code", help="As on the instrument."),
        Column("condition", "Condition", help="What the plant was doing."),
        Column("instrument", "Instrument", "reference", target="Instruments", help="Instrument used.",
               effect="The reading cannot be traced to a calibrated instrument."),
        _DATE, _INITIALS,
        Column("remark", "Remark", "remark", help="Anything else."),
    ),
    key="drive", help="One row a reading. Each visit adds rows.",
)  # fmt: skip

WAIVERS = Sheet(
    "Waivers", Waiver, "waivers",
    (
        Column("code", "Finding", "code", required=True, help="Code of the stop that is waived, for example E120.",
               aliases=("Code",)),
        Column("tag", "Tag", "tag", help="Drive, motor or other tag of the finding; blank: the code at all tags."),
        Column("name", "Name", required=True, help="Who waives it."),
        Column("reason", "Reason", "remark", required=True, help="Why. It is printed."),
        Column("date", "Date", "date", required=True, help="Year-month-day, for example 2026-03-14."),
    ),
    key="code", unique=("code", "tag"), help="One row a stop that somebody takes on himself, by name.",
)  # fmt: skip

PUNCH_LIST = Sheet(
    "Punch list", PunchItem, "punch_items",
    (
        Column("number", "Number", "code", required=True, help="Running number.", aliases=("Item",)),
        _OPTIONAL_DRIVE,
        Column("text", "Text", "remark", required=True, help="What is wrong or open."),
        Column("severity", "Severity", "choice", choices=("A", "B", "C"), help="A safety, B function, C finish.",
               effect="It counts as A."),
        Column("owner", "Owner", help="Who mends it."),
        Column("due", "Due", "date", help="Until when."),
        Column("closed", "Closed", "date", help="When it was mended and tested again."),
        Column("closed_by", "Closed by", help="Who says so."),
    ),
    key="number", unique=("number",), help="One row an open item.",
)  # fmt: skip

DEFEATS = Sheet(
    "Defeats", Defeat, "defeats",
    (
        _DRIVE,
        Column("text", "What is defeated", "remark", required=True, help="Jumper, lowered trip, bypassed interlock."),
        Column("place", "Place", help="Where exactly."),
        Column("applied", "Applied", "date", required=True, help="When."),
        Column("applied_by", "Applied by", required=True, help="Who."),
        Column("cleared", "Cleared", "date", help="When.", effect="The drive cannot be accepted."),
        Column("cleared_by", "Cleared by", help="Who."),
    ),
    key="drive", help="One row a thing temporarily defeated.",
)  # fmt: skip

TRAINING = Sheet(
    "Training", Training, "training",
    (
        Column("topic", "Topic", required=True, help="What was taught."),
        _DATE,
        Column("hours", "Hours", "hours", "h", low="0", high="200", help="How long."),
        Column("instructor", "Instructor", help="Who taught."),
        Column("attendees", "Attendees", "remark", help="Who was there; separate with ;"),
        Column("material", "Material", "file", help="File inside the project folder, or title."),
    ),
    key="topic", help="One row a session.",
)  # fmt: skip

WARRANTY = Sheet(
    "Warranty", Warranty, "warranties",
    (
        Column("item", "Item", required=True, help="What is warranted."),
        Column("start", "Start", "date", help="First day."),
        Column("end", "End", "date", help="Last day."),
        Column("contact", "Contact", help="Whom to call."),
        Column("terms", "Terms", "remark", help="What it covers, what voids it."),
    ),
    key="item", unique=("item",), help="One row a warranty.",
)  # fmt: skip

SPARES = Sheet(
    "Spares", Spare, "spares",
    (
        Column("part", "Part", required=True, help="What it is."),
        _DRIVES,
        Column("quantity", "Quantity", "count", low="0", high="10000", help="On the shelf."),
        Column("supplier", "Supplier", help="Where to buy it."),
        Column("order_number", "Order number", "code", help="The supplier's number."),
        Column("lead_time", "Lead time", "code", help="For example 6 weeks."),
        Column("place", "Place", help="Where it is kept."),
        Column("last_powered", "Last powered", "date", help="Spare drives only."),
    ),
    key="part", help="One row a spare part.",
)  # fmt: skip

MAINTENANCE = Sheet(
    "Maintenance", MaintenanceTask, "maintenance",
    (
        Column("task", "Task", "remark", required=True, help="What is done."),
        _DRIVES,
        Column("interval", "Interval", "interval", "month", help="How often: 6 months, 1 year.",
               effect="It does not enter the calendar."),
        Column("craft", "Craft", help="Who does it."),
        Column("minutes", "Minutes", "time", "min", low="0", high="10000", help="How long it takes."),
    ),
    key="task", help="One row a task.",
)  # fmt: skip

DOCUMENTS = Sheet(
    "Documents", DocumentOption, "document_options",
    (
        Column("document", "Document", "code", required=True,
               help="Kind (packet, schedule, page), key, number, title or drive tag."),
        Column("include", "Include", "yes/no", help="No leaves it out."),
        Column("order", "Order", "count", low="1", high="9999", help="Place within its group."),
        Column("title", "Title", help="Another title."),
    ),
    key="document", unique=("document",), help="One row a document that shall be left out, moved or renamed.",
)  # fmt: skip

REVISIONS = Sheet(
    "Revisions", Revision, "revisions",
    (
        Column("revision", "Revision", "code", required=True, help="Letter."),
        _DATE,
        Column("reason", "Reason", "remark", help="Why it was issued."),
        Column("by", "By", help="Who made it."),
        Column("approved_by", "Approved by", help="Who approved it."),
    ),
    key="revision", unique=("revision",), help="One row an issue.",
)  # fmt: skip

SIGNATURES = Sheet(
    "Signatures", Signature, "signatures",
    (
        _OPTIONAL_DRIVE,
        Column("statement", "Signed for", required=True, help="Name of the gate or certificate, as printed.",
               example="may be energized"),
        Column("role", "Role", help="As printed beside the line."),
        Column("name", "Name", required=True, help="Who signed."),
        _DATE,
        Column("digest", "Facts digest", "code", help="The short code printed beside the signature.",
               effect="Whether the signed facts still stand is not judged."),
    ),
    key="statement", unique=("drive", "statement", "role"),
    help="One row a signature given on paper.",
)  # fmt: skip
