"""Connection records: the one source of drawings, wire lists, terminal plans and check sheets.

A record says that two ends are joined. Ids come from the two ends, numbers (wire, strip
terminal, core) are carried on from issue to issue, so adding a device renumbers nothing else.
"""

from __future__ import annotations

from dataclasses import dataclass, field
from enum import StrEnum

from binder.inventory.findings import Finding


class Kind(StrEnum):
    """How a connection is made."""

    WIRE = "wire"  # loose conductor inside the enclosure
    CORE = "core"  # core of a cable
    BRIDGE = "bridge"  # strip piece between two strip terminals
    LINK = "link"  # piece between two terminals of one device
    JUMPER = "jumper"  # loose conductor outside, within one place
    SCREEN = "screen"  # one landed end of a cable screen


class Signal(StrEnum):
    """Signal class; classes never share a cable."""

    DIGITAL = "24 V digital"
    ANALOG = "analog"
    RELAY = "relay"
    SAFETY = "safety"
    SENSOR = "motor sensor"
    NETWORK = "network"
    POWER = "power"


@dataclass(frozen=True, slots=True, order=True)
class End:
    """One end of a conductor: device designation and terminal mark, printed '-S1:13'."""

    device: str
    terminal: str

    def __str__(self) -> str:
        return f"{self.device}:{self.terminal}"


@dataclass(frozen=True, slots=True)
class DriveTerminal:
    """A terminal of this drive with the function it is given."""

    number: str
    label: str
    role: str
    order: int
    function: str = ""  # key of the terminal-function vocabulary, '' when unused
    max_conductors: int = 2
    page: str = ""


@dataclass(frozen=True, slots=True)
class Contact:
    """One contact of a device: its two terminals and form 'NO' or 'NC'."""

    terminals: tuple[str, str]
    form: str


@dataclass(frozen=True, slots=True)
class Device:
    """A device outside the drive: selector, button, potentiometer, controller card, ..."""

    tag: str
    kind: str  # 'selector', 'pushbutton', 'emergency stop', 'potentiometer', 'controller', 'lamp', ...
    place: str
    text: str = ""
    terminals: tuple[str, ...] = ()
    contacts: tuple[Contact, ...] = ()
    positions: tuple[str, ...] = ()  # of a selector, left to right
    chart: tuple[tuple[bool, ...], ...] = ()  # per contact, per position: closed?
    legend: str = ""  # engraved legend plate
    rating: str = ""


@dataclass(frozen=True, slots=True)
class Core:
    cable: str
    mark: str
    colour: str


@dataclass(frozen=True, slots=True)
class WireCable:
    """A control cable as allocated from the records."""

    tag: str
    from_place: str
    to_place: str
    signal: Signal
    cores: tuple[Core, ...]
    screened: bool
    paired: bool = False
    length_m: float | None = None
    size: str = ""


@dataclass(frozen=True, slots=True)
class Connection:
    """Two ends joined. `id` is made from the ends and never from the order of building."""

    id: str
    a: End
    b: End
    kind: Kind
    signal: Signal
    potential: str = ""  # wire number: equal on everything joined
    colour: str = ""
    size: str = ""
    core: Core | None = None
    scheme: str = ""


@dataclass(frozen=True, slots=True)
class Mode:
    """An operating mode: who commands, who sets speed, who permits."""

    name: str
    command_owner: str
    reference_owner: str
    permissives: tuple[str, ...] = ()
    selected_by: str = ""  # 'S1 in HAND'


@dataclass(frozen=True, slots=True)
class Demand:
    """A setting that the wiring asks for: function, what it applies to, value in our vocabulary."""

    function: str
    applies_to: str
    value: str
    reason: str


@dataclass(frozen=True, slots=True)
class Expected:
    """What a meter should show between two points in one state."""

    between: tuple[str, str]  # '-T1:13', '-T1:11'
    state: str  # 'S1 in HAND', 'reference 50 %'
    value: float
    unit: str
    tolerance: float
    connection: str = ""  # id of the conductor this proves, '' when a terminal reading only


@dataclass(frozen=True, slots=True)
class Hazard:
    """A single fault on one conductor and what the drive then does."""

    connection: str
    fault: str  # 'open', 'short to 0 V', 'short to +24 V'
    effect: str
    noticed: str  # who or what notices, '' when nobody does
    dangerous: bool = False


@dataclass(frozen=True, slots=True)
class Wiring:
    """Everything known of one drive's control wiring."""

    drive: str
    designation: str  # of the drive on its drawings, '-T1'
    terminals: tuple[DriveTerminal, ...] = ()
    devices: tuple[Device, ...] = ()
    cables: tuple[WireCable, ...] = ()
    connections: tuple[Connection, ...] = ()
    modes: tuple[Mode, ...] = ()
    demands: tuple[Demand, ...] = ()
    expected: tuple[Expected, ...] = ()
    hazards: tuple[Hazard, ...] = ()
    switches: tuple[tuple[str, str], ...] = ()  # hardware switch or jumper -> position
    schemes: tuple[str, ...] = ()
    findings: tuple[Finding, ...] = field(default=())
