"""Wirings for the drawing tests: a small router of its own, one full example, random schemes with fixed seeds."""

from __future__ import annotations

import random
from collections.abc import Sequence
from dataclasses import dataclass, field

from binder.inventory.records import Drive, Inventory, Site
from binder.wiring.connections import (
    Connection,
    Contact,
    Core,
    Device,
    DriveTerminal,
    End,
    Kind,
    Signal,
    Strip,
    WireCable,
    Wiring,
)
from binder.wiring.rows import nets

CORE_COLOURS = ("BN", "BU", "BK", "GY", "WH", "RD", "YE", "GN", "VT", "PK", "OG", "TQ")

#: Terminals of an invented drive: (number, label, role).
FULL = (
    ("10", "+24 V", "P24"), ("11", "0 V", "N24"), ("12", "DI COM", "DIC"), ("13", "DI1", "DI"), ("14", "DI2", "DI"),
    ("15", "DI3", "DI"), ("16", "DI4", "DI"), ("17", "DI5", "DI"), ("20", "+10 V", "R10"), ("21", "AI1", "AI"),
    ("22", "AI2", "AI"), ("23", "A GND", "A0"), ("24", "AO1", "AO"), ("25", "A GND", "A0"),
    ("31", "R1 C", "RO1.C"), ("32", "R1 NO", "RO1.NO"), ("33", "R1 NC", "RO1.NC"),
    ("34", "R2 C", "RO2.C"), ("35", "R2 NO", "RO2.NO"), ("36", "R2 NC", "RO2.NC"),
    ("41", "S1+", "STOS"), ("42", "STO1", "STO1"), ("43", "S2+", "STOS"), ("44", "STO2", "STO2"),
    ("18", "DI6", "DI"), ("19", "DI7", "DI"), ("26", "AO2", "AO"), ("27", "A GND", "A0"), ("51", "P1", "PTC+"),
    ("52", "P2", "PTC-"), ("56", "DO1", "DO"), ("61", "A", "BUS.A"), ("62", "B", "BUS.B"), ("63", "REF", "BUS.REF"),
    ("64", "SH", "BUS.SH"), ("65", "ENC A", "ENC.A"), ("66", "ENC B", "ENC.B"), ("37", "R3 C", "RO3.C"),
    ("38", "R3 NO", "RO3.NO"), ("39", "R3 NC", "RO3.NC"),
)  # fmt: skip
INSIDE = ("+MCC1", "+MCC1.D")
FIELD = ("+F1", "+BMS1", "+F2")

DRIVE = Drive("P-101", panel="MCC1")


def inventory(symbols: str = "IEC") -> Inventory:
    """An inventory that only chooses the symbols."""
    return Inventory(Site("Invented works", "IW", "IEC", symbols=symbols))


@dataclass
class Maker:
    """Routes joints by places, as a panel builder would."""

    terminals: Sequence[tuple[str, str, str]] = FULL[:24]
    drive: str = "-T1"
    size: str = "0.75 mm²"
    devices: dict[str, Device] = field(default_factory=dict)
    records: list[Connection] = field(default_factory=list)
    cables: dict[tuple[str, Signal], list[Core]] = field(default_factory=dict)
    tags: dict[tuple[str, Signal], str] = field(default_factory=dict)
    strip_count: dict[str, int] = field(default_factory=dict)
    screens: list[str] = field(default_factory=list)
    names: dict[str, str] = field(default_factory=dict)

    def device(self, tag: str, kind: str, place: str, text: str = "", *, contacts: str = "", terminals: str = "",
               positions: str = "", chart: str = "") -> str:
        """Add a device; contacts as '13-14 NO, 23-24 NC'."""
        made = []
        for item in filter(None, (c.strip() for c in contacts.split(","))):
            pair, form = item.split()
            upper, lower = pair.split("-")
            made.append(Contact((upper, lower), form))
        marks = (*terminals.split(), *(t for c in made for t in c.terminals))
        rows = tuple(tuple(x == "x" for x in row) for row in chart.split())
        self.devices[tag] = Device(tag, kind, place, text, marks, tuple(made), tuple(positions.split()), rows)
        return tag

    def of(self, role: str) -> list[str]:
        """Ends of the drive terminals of a role, in strip order."""
        return [f"{self.drive}:{n}" for n, _, r in self.terminals if r == role]

    def place(self, end: End) -> str:
        """Where an end stands."""
        return INSIDE[0] if end.device == self.drive or end.device.startswith("-X") else self.devices[end.device].place

    def add(self, a: End, b: End, kind: Kind, signal: Signal, core: Core | None = None) -> None:
        """Add one record."""
        colour = core.colour if core else "BU" if signal is Signal.DIGITAL else "RD" if signal is Signal.RELAY else "WH"
        self.records.append(Connection(f"{a}={b}", a, b, kind, signal, "", colour, self.size, core))

    def core(self, place: str, signal: Signal) -> Core:
        """The next core of the cable for a place and class."""
        key = (place, signal)
        if key not in self.tags:
            self.tags[key] = f"-W{11 + len(self.tags)}"
            self.cables[key] = []
        cores = self.cables[key]
        core = Core(self.tags[key], str(len(cores) + 1), CORE_COLOURS[len(cores) % 12])
        cores.append(core)
        return core

    def strip(self, signal: Signal) -> End:
        """The next free strip terminal."""
        name = "-X3" if signal is Signal.RELAY else "-X1"
        self.strip_count[name] = self.strip_count.get(name, 0) + 1
        return End(name, str(self.strip_count[name]))

    def join(self, a: str, b: str, signal: Signal = Signal.DIGITAL, *, direct: bool = False) -> None:
        """Join two ends 'device:terminal' by way of strips and cables."""
        ends = [End(*x.rsplit(":", 1)) for x in (a, b)]
        ends.sort(key=lambda e: self.place(e) not in INSIDE)
        near, far = ends
        inside = [self.place(e) in INSIDE for e in ends]
        if all(inside):
            self.add(near, far, Kind.LINK if near.device == far.device == self.drive else Kind.WIRE, signal)
        elif inside[0]:
            core = self.core(self.place(far), signal)
            if direct:
                self.add(near, far, Kind.CORE, signal, core)
                return
            strip = self.strip(signal)
            self.add(near, strip, Kind.WIRE, signal)
            self.add(strip, far, Kind.CORE, signal, core)
        elif self.place(near) == self.place(far):
            self.add(near, far, Kind.JUMPER, signal)
        else:
            one, two = self.strip(signal), self.strip(signal)
            self.add(near, one, Kind.CORE, signal, self.core(self.place(near), signal))
            self.add(one, two, Kind.BRIDGE, signal)
            self.add(two, far, Kind.CORE, signal, self.core(self.place(far), signal))

    def wiring(self) -> Wiring:
        """The finished record; wire numbers by what is joined, screens for analog cables."""
        cables = []
        for key, tag in self.tags.items():
            place, signal = key
            screened = signal in (Signal.ANALOG, Signal.NETWORK, Signal.SENSOR)
            cables.append(WireCable(tag, INSIDE[0], place, signal, tuple(self.cables[key]), screened, screened, 18.0,
                                    self.size))  # fmt: skip
            if screened:
                shield = End(tag, "SH1")
                self.records.append(
                    Connection(f"{tag}.SH1", shield, End("-PE", str(len(cables))), Kind.SCREEN, signal, "PE")
                )
                far = End(tag, "SH2")
                self.records.append(
                    Connection(f"{tag}.SH2", far, End(tag, "insulated"), Kind.SCREEN, signal, "")
                )
        net = nets(self.records)
        numbers: dict[End, str] = {}
        records = []
        for r in self.records:
            number = "" if r.kind is Kind.SCREEN else numbers.setdefault(net[r.a], str(101 + len(numbers)))
            records.append(Connection(r.id, r.a, r.b, r.kind, r.signal, number, r.colour, r.size, r.core))
        terminals = tuple(
            DriveTerminal(n, label, role, i, self.names.get(n, "")) for i, (n, label, role) in enumerate(self.terminals)
        )
        strips = [Strip(x, INSIDE[0], "terminal strip") for x in self.strip_count]
        strips += [Strip("-PE", INSIDE[0], "earth bar"), Strip("-X2", INSIDE[0], "control supply")]
        return Wiring("P-101", self.drive, terminals, tuple(self.devices.values()), tuple(cables), tuple(records),
                      strips=tuple(strips), inside=INSIDE)  # fmt: skip


def hand_off_auto(size: str = "0.75 mm²") -> Wiring:
    """A pump drive: hand-off-auto, controller contact, reset on the door, thermostat, references, relays, STO."""
    m = Maker(size=size)
    m.names = {"13": "run_forward", "14": "reference_select", "15": "fault_reset", "16": "external_fault",
               "21": "hand_reference", "22": "speed_reference", "24": "output_frequency", "31": "fault", "34": "run",
               "42": "safe_torque_off_1", "44": "safe_torque_off_2"}  # fmt: skip
    m.device("-S1", "selector", "+F1", "hand - off - auto", contacts="13-14 NO,23-24 NO", positions="HAND OFF AUTO",
             chart="x-- --x")  # fmt: skip
    m.device("-K1", "contact", "+BMS1", "run request from controller", contacts="13-14 NO")
    m.device("-S2", "pushbutton", "+MCC1.D", "fault reset", contacts="13-14 NO")
    m.device("-S3", "thermal switch", "+BMS1", "freeze protection thermostat", contacts="11-12 NC")
    m.device("-R1", "potentiometer", "+F1", "speed potentiometer", terminals="1 2 3")
    m.device("-B1", "transmitter", "+BMS1", "pressure transmitter 0-10 bar, 4-20 mA", terminals="+ -")
    m.device("-P1", "meter", "+MCC1.D", "speed meter 0-10 V", terminals="+ -")
    m.device("-P2", "lamp", "+MCC1.D", "drive fault, red lens", terminals="X1 X2")
    m.device("-K2", "controller", "+BMS1", "building controller", terminals="DIC DI3")
    m.device("-S4", "emergency stop", "+F1", "emergency stop, two channels", contacts="11-12 NC,21-22 NC")
    m.join("-T1:11", "-T1:12")
    m.join("-T1:10", "-S1:13")
    m.join("-S1:14", "-T1:13")
    m.join("-S1:13", "-S1:23")
    m.join("-S1:24", "-K1:13")
    m.join("-K1:14", "-T1:14")
    m.join("-T1:10", "-S2:13")
    m.join("-S2:14", "-T1:15")
    m.join("-T1:10", "-S3:11")
    m.join("-S3:12", "-T1:16")
    for a, b in (("20", "1"), ("21", "2"), ("23", "3")):
        m.join(f"-T1:{a}", f"-R1:{b}", Signal.ANALOG)
    m.join("-T1:10", "-B1:+", Signal.ANALOG)
    m.join("-T1:22", "-B1:-", Signal.ANALOG)
    m.join("-T1:24", "-P1:+", Signal.ANALOG)
    m.join("-T1:23", "-P1:-", Signal.ANALOG)
    m.join("-X2:L", "-T1:31", Signal.RELAY)
    m.join("-T1:32", "-P2:X1", Signal.RELAY)
    m.join("-X2:N", "-P2:X2", Signal.RELAY)
    m.join("-T1:34", "-K2:DIC", Signal.RELAY)
    m.join("-T1:35", "-K2:DI3", Signal.RELAY)
    for a, b in (("41", "11"), ("42", "12"), ("43", "21"), ("44", "22")):
        m.join(f"-T1:{a}", f"-S4:{b}", Signal.SAFETY)
    return m.wiring()


def random_wiring(seed: int) -> Wiring:
    """A random scheme on a random drive: 12, 24 or 40 terminals, one in three in scrambled order."""
    rng = random.Random(seed)
    terminals = list(FULL[: rng.choice((12, 24, 40))])
    if rng.random() < 0.3:
        rng.shuffle(terminals)
    m = Maker(terminals, size=rng.choice(("0.75 mm²", "18 AWG", "1 mm²")))
    if m.of("N24") and m.of("DIC") and rng.random() < 0.8:
        m.join(m.of("N24")[0], m.of("DIC")[0])
    _random_contacts(m, rng)
    _random_signals(m, rng)
    _random_relays(m, rng)
    if m.of("STO2") and rng.random() < 0.7:
        m.device("-S90", "emergency stop", rng.choice(FIELD), "emergency stop", contacts="11-12 NC,21-22 NC")
        for a, b in (("41", "11"), ("42", "12"), ("43", "21"), ("44", "22")):
            m.join(f"-T1:{a}", f"-S90:{b}", Signal.SAFETY)
    return m.wiring()


def _anywhere(rng: random.Random) -> str:
    return rng.choice(FIELD + INSIDE[1:])


def _random_contacts(m: Maker, rng: random.Random) -> None:
    """Contacts on some digital inputs, chained in the field or fed one by one, some with a second block."""
    inputs = m.of("DI")
    feed: dict[str, str] = {}
    for count, number in enumerate(inputs[: rng.randint(1, len(inputs))], start=1):
        m.names[number.removeprefix("-T1:")] = rng.choice(("run_forward", "fault_reset", "external_fault", "preset_1"))
        kind = rng.choice(("pushbutton", "selector", "limit switch", "contact", "emergency stop", "switch"))
        second = rng.random() < 0.25
        tag = m.device(f"-S{count}", kind, _anywhere(rng), rng.choice(("stop", "freeze protection thermostat", "run")),
                       contacts="13-14 NO,23-24 NO" if second else rng.choice(("13-14 NO", "11-12 NC")),
                       positions="HAND OFF AUTO" if second else "", chart="x-- --x" if second else "")  # fmt: skip
        first, last = m.devices[tag].contacts[0].terminals
        where = m.devices[tag].place
        if where in feed and rng.random() < 0.7:
            m.join(feed[where], f"{tag}:{first}", direct=rng.random() < 0.1)
        else:
            m.join((m.of("P24") or inputs)[0], f"{tag}:{first}")
        feed[where] = f"{tag}:{first}"
        m.join(f"{tag}:{last}", number)
        if second and rng.random() < 0.7:
            m.join(f"{tag}:{first}", f"{tag}:23")
            if count > 1 and rng.random() < 0.5:
                m.join(f"{tag}:24", f"-S{count - 1}:{m.devices[f'-S{count - 1}'].contacts[0].terminals[1]}")


def _random_signals(m: Maker, rng: random.Random) -> None:
    """Potentiometers, loop transmitters, cards and meters on the analog terminals."""
    for i, number in enumerate((*m.of("AI"), *m.of("AO"))):
        if rng.random() < 0.3 or not m.of("A0"):
            continue
        ground, reads = rng.choice(m.of("A0")), number in m.of("AI")
        if reads and m.of("R10") and rng.random() < 0.4:
            tag = m.device(f"-R{i}", "potentiometer", _anywhere(rng), "speed potentiometer", terminals="1 2 3")
            ends: tuple[str, ...] = (m.of("R10")[0], number, ground)
        elif reads and m.of("P24") and rng.random() < 0.5:
            tag = m.device(f"-B{i}", "transmitter", _anywhere(rng), "pressure transmitter", terminals="+ -")
            ends = (m.of("P24")[0], number)
        else:
            kind = rng.choice(("controller", "meter"))
            tag = m.device(f"-A{i}", kind, _anywhere(rng), "card", terminals="AO1 COM")
            ends = (number, ground)
        for end, mark in zip(ends, m.devices[tag].terminals, strict=True):
            m.join(end, f"{tag}:{mark}", Signal.ANALOG, direct=rng.random() < 0.1)


def _random_relays(m: Maker, rng: random.Random) -> None:
    """Lamps and interposing relays on the relay outputs, fed from the control supply."""
    order = [f"-T1:{n}" for n, _, _ in m.terminals]
    for i, common in enumerate(e for k in (1, 2, 3) for e in m.of(f"RO{k}.C")):
        at = order.index(common)
        if at + 1 >= len(order):
            continue
        m.join("-X2:L", common, Signal.RELAY)
        if rng.random() < 0.5:
            tag = m.device(f"-P{i}", "lamp", _anywhere(rng), "fault, red lens", terminals="X1 X2")
            m.join(order[at + 1], f"{tag}:X1", Signal.RELAY)
            m.join("-X2:N", f"{tag}:X2", Signal.RELAY)
            continue
        tag = m.device(f"-Q{i}", "relay", rng.choice(INSIDE), "interposing relay", terminals="A1 A2",
                       contacts="13-14 NO")  # fmt: skip
        m.join(order[at + 1], f"{tag}:A1", Signal.RELAY)
        m.join(f"{tag}:A2", "-X2:N", Signal.RELAY)
        if m.of("P24"):
            m.join(m.of("P24")[0], f"{tag}:13")
            m.join(f"{tag}:14", rng.choice(m.of("DI")))


def tall_card() -> Wiring:
    """A controller card with more ports than a sheet has rows, half of them on one analog common."""
    m = Maker(FULL)
    marks = " ".join(f"P{n}" for n in range(1, 45))
    m.device("-A1", "controller", "+BMS1", "controller card", terminals=marks)
    for n, (number, *_) in enumerate(FULL, start=1):
        m.join(f"-T1:{number}", f"-A1:P{n}", Signal.DIGITAL)
    for n in range(41, 45):
        m.join("-T1:11", f"-A1:P{n}", Signal.DIGITAL)
    return m.wiring()


def star(count: int) -> Wiring:
    """Contacts that each have their own core for the common, the commons bridged in the strip."""
    m = Maker(FULL)
    inputs = [n for n, _, role in FULL if role == "DI"][:count]
    last = ""
    for k, number in enumerate(inputs, start=1):
        m.device(f"-S{k}", "contact", "+F1", f"contact {k}", contacts="13-14 NO")
        feed, back = m.strip(Signal.DIGITAL), m.strip(Signal.DIGITAL)
        if last:
            m.add(End(*last.rsplit(":", 1)), feed, Kind.BRIDGE, Signal.DIGITAL)
        else:
            m.add(End("-T1", "10"), feed, Kind.WIRE, Signal.DIGITAL)
        last = str(feed)
        m.add(feed, End(f"-S{k}", "13"), Kind.CORE, Signal.DIGITAL, m.core("+F1", Signal.DIGITAL))
        m.add(back, End(f"-S{k}", "14"), Kind.CORE, Signal.DIGITAL, m.core("+F1", Signal.DIGITAL))
        m.add(End("-T1", number), back, Kind.WIRE, Signal.DIGITAL)
    return m.wiring()


def long_words(text: str = "of the second raw water pumping station") -> Wiring:
    """Long tags, functions, places, wire sizes and a chart: little room is left for words."""
    m = Maker(FULL[:24], drive="-T1PUMPHOUSE2", size="2 × 0.75 mm²")
    m.names = {"13": "reference_select", "14": "external_fault"}
    place = f"+OPERATOR-STATION-1 {text}"
    m.device("-S1PUMPHOUSE2", "selector", place, f"Hand off automatic {text}", contacts="13-14 NO,23-24 NO",
             positions="HAND-LOCAL OFF-RESET AUTOMATIC", chart="x-- --x")  # fmt: skip
    m.device("-A1PUMPHOUSE2", "controller", place, text, terminals="ANALOG-OUT-1+ ANALOG-OUT-1-")
    m.join("-T1PUMPHOUSE2:10", "-S1PUMPHOUSE2:13")
    m.join("-S1PUMPHOUSE2:14", "-T1PUMPHOUSE2:13")
    m.join("-S1PUMPHOUSE2:13", "-S1PUMPHOUSE2:23")
    m.join("-S1PUMPHOUSE2:24", "-T1PUMPHOUSE2:14")
    m.join("-T1PUMPHOUSE2:10", "-A1PUMPHOUSE2:ANALOG-OUT-1+", Signal.ANALOG)
    m.join("-T1PUMPHOUSE2:23", "-A1PUMPHOUSE2:ANALOG-OUT-1-", Signal.ANALOG)
    return m.wiring()
