"""Columns of control: schemes on drives, changed wires, isolation points, networks."""

from __future__ import annotations

from binder.inventory.columns_equipment import LOSS_OF_REFERENCE
from binder.inventory.declarations import Column, Sheet
from binder.inventory.records import Control, Isolator, NetworkNode, WireChange

#: Control schemes that a drive can have.
SCHEMES = (
    "two-wire run", "three-wire start-stop", "jog", "forward-reverse", "hand-off-auto", "local-remote",
    "speed potentiometer", "0-10 V reference", "2-10 V reference", "4-20 mA reference", "4-20 mA transmitter",
    "increase-decrease", "preset speeds", "process control", "fault relay", "run relay", "ready relay",
    "at speed relay", "in auto relay", "analog output", "fault reset", "stop button", "permissive string",
    "safe torque off", "thermistor", "thermal switch", "mechanical brake", "brake resistor thermal switch",
    "motor isolator contact", "bypass", "lead-lag", "network", "encoder",
    "fire mode", "damper proof", "interposing relay", "external 24 V", "space heater", "several motors",
    "pulse reference", "second set select", "motor fan",
)  # fmt: skip

_DRIVE = Column("drive", "Drive", "reference", required=True, target="Drives", help="Drive it belongs to.",
                example="VFD-101")  # fmt: skip

CONTROLS = Sheet(
    "Controls", Control, "controls",
    (
        _DRIVE,
        Column("scheme", "Scheme", "choice", required=True, choices=SCHEMES, help="One of the Lists sheet.",
               example="two-wire run"),
        Column("mode", "Mode", "choice", choices=("hand", "auto", "local", "remote"),
               help="Operating mode it belongs to; blank: always."),
        Column("place", "Place", help="Where its devices are.", example="local panel"),
        Column("devices", "Devices", "remark", help="Tags of its devices: S=SS-101; K=K3.",
               effect="Devices are numbered by the tool."),
        Column("terminals", "Terminals", "remark", help="Your own binding: run forward=DI2; run reverse=DI3.",
               effect="Terminals are chosen by the tool."),
        Column("value", "Value", "any", help="What the scheme needs, with its unit: 10 kΩ, 30 Hz."),
        Column("length", "Length", "length", "m", help="Routed cable length."),
        Column("cable", "Cable", "tag", help="Cable number.", effect="Cables are numbered by the tool."),
        Column("description", "Description", "remark", help="In words."),
    ),
    key="drive", help="One row a control scheme on a drive.",
)  # fmt: skip

WIRES = Sheet(
    "Wires", WireChange, "wire_changes",
    (
        _DRIVE,
        Column("action", "Action", "choice", required=True, choices=("add", "remove", "as found"),
               help="What is done to the connection."),
        Column("from_end", "From", "code", required=True, help="Device and terminal, for example -S1:13."),
        Column("to_end", "To", "code", required=True, help="Device and terminal, for example -T1:12."),
        Column("size", "Size", "conductor", help="With AWG or mm²."),
        Column("colour", "Colour", "code", help="As fitted.", aliases=("Color",)),
        Column("reason", "Reason", "remark", help="Why it differs from the scheme."),
    ),
    key="drive", help="One row a connection that differs from the schemes.",
)  # fmt: skip

ISOLATION = Sheet(
    "Isolation", Isolator, "isolators",
    (
        Column("tag", "Isolation point", "tag", required=True, help="Designation on the device.",
               aliases=("Isolator",), example="DS-101"),
        Column("kind", "Kind", help="Disconnect switch, valve, breaker, block, ...", example="disconnect switch"),
        Column("place", "Place", help="Where a person finds it."),
        Column("energy", "Energy", help="Which energy it cuts: electrical, water pressure, gravity, ...",
               example="electrical"),
        Column("drives", "Drives", "references", target="Drives", help="Drives it serves; separate with ;",
               example="VFD-101"),
        Column("voltage", "Voltage", "voltage", "V", help="That it cuts."),
        Column("lockable", "Lockable", "yes/no", help="Takes a padlock in the off position."),
        Column("early_break_contact", "Early break contact", "yes/no", help="Stops the drive before it opens."),
        Column("method", "Method", "remark", help="How it is cut and held."),
        Column("proof", "Proof", "remark", help="How one proves that the energy is gone."),
    ),
    key="tag", unique=("tag",), help="One row a point where energy can be cut and locked.", aliases=("Isolators",),
)  # fmt: skip

NETWORKS = Sheet(
    "Networks", NetworkNode, "networks",
    (
        _DRIVE,
        Column("network", "Network", "code", help="Name of the segment."),
        Column("protocol", "Protocol", help="As the controller calls it."),
        Column("address", "Address", "code", help="Node address.", example="11"),
        Column("speed", "Speed", "code", help="For example 19200."),
        Column("parity", "Parity", "choice", choices=("none", "even", "odd"), help="Of the serial line."),
        Column("ip_address", "IP address", "ip address", help="For example 192.168.10.21."),
        Column("mask", "Mask", "ip address", help="For example 255.255.255.0."),
        Column("gateway", "Gateway", "ip address", help="Blank when there is none."),
        Column("timeout", "Timeout", "time", "s", low="0", high="3600", help="Until loss is noticed."),
        Column("loss_reaction", "Reaction to loss", "choice", choices=LOSS_OF_REFERENCE,
               help="What the drive shall do."),
        Column("terminated", "Terminated", "yes/no", help="A terminating resistor is fitted here."),
    ),
    key="drive", help="One row a drive on a network.",
)  # fmt: skip
