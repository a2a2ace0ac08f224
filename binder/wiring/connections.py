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
    signal: str = ""  # of an analog terminal: 'voltage', 'current', 'either'
    claimed_by: str = ""  # key of the scheme row that uses it; keeps the binding over a revision


@dataclass(frozen=True, slots=True)
class Contact:
    """One contact of a device: its two terminals and form 'NO' or 'NC'."""

    terminals: tuple[str, str]
    form: str


@dataclass(frozen=True, slots=True)
class Device:
    """A device outside the drive: selector, button, potentiometer, controller card, ...

    Every operable device has `states` (those of a selector are its `positions`); `closed_in` says
    per contact and state whether the contact is closed. Its first state is the drawn one, without
    power and not actuated, except for selectors, which rest in `rest`.
    """

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
    states: tuple[str, ...] = ()
    closed_in: tuple[tuple[bool, ...], ...] = ()
    rest: str = ""  # the state it is left in: 'OFF', 'released', 'healthy'
    key: str = ""  # scheme row and part, keeps a proposed tag over a revision
    scheme: str = ""
    uses: tuple[tuple[str, str], ...] = ()  # terminal -> what it is for, where several schemes share the device


@dataclass(frozen=True, slots=True)
class Strip:
    """Something in the enclosure that conductors land on and that has no symbol of its own.

    `kind` is 'terminal strip' (one terminal a field core), 'earth bar' (one terminal a screen) or
    'control supply' (stands on the power drawing; conductors to it are drawn one-ended).
    """

    tag: str
    place: str
    kind: str
    terminals: tuple[str, ...] = ()


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
    length: str = ""  # as typed, with its unit
    size: str = ""
    key: str = ""  # places, class and owner; keeps the tag over a revision


@dataclass(frozen=True, slots=True)
class Connection:
    """Two ends joined. `id` is made from the ends and never from the order of building.

    `a` is the end nearer to the drive. A screen's `a` is the cable itself ('-W1:SH1' at the
    enclosure, '-W1:SH2' at the far end); its `b` is a terminal of the earth bar, or
    '-W1:insulated' where that end is meant to stay open.
    """

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
    status: str = ""  # '' computed, 'added' or 'as found' by the sheet Wires
    reason: str = ""


@dataclass(frozen=True, slots=True)
class Mode:
    """An operating mode: who commands, who sets speed, who permits."""

    name: str
    command_owner: str
    reference_owner: str
    permissives: tuple[str, ...] = ()
    selected_by: str = ""  # '-S1 in HAND'
    command_device: str = ""  # '-S1', '-K1'
    reference_device: str = ""  # '-R1'


@dataclass(frozen=True, slots=True)
class Demand:
    """A setting that the wiring asks for: function, what it applies to, value in our vocabulary."""

    function: str
    applies_to: str
    value: str
    reason: str


#: Share of the value from which a tolerance is told as a band. Common practice, no source.
_WIDE = 0.25


@dataclass(frozen=True, slots=True)
class Expected:
    """What a meter should show between two points in one state.

    `compare` is 'about' (value and tolerance), 'at least' or 'at most'. A current is read with
    the meter in series, an ohm reading with the conductors lifted and the power off.
    """

    between: tuple[str, str]  # '-T1:13', '-T1:11'
    state: str  # 'S1 in HAND', 'reference 50 %'
    value: float
    unit: str
    tolerance: float
    connection: str = ""  # id of the conductor this proves, '' when a terminal reading only
    compare: str = "about"
    potential: str = ""  # wire number that is read

    @property
    def low(self) -> float | None:
        """Lowest reading that passes; None when only the highest counts."""
        return None if self.compare == "at most" else self.value - self.tolerance

    @property
    def high(self) -> float | None:
        """Highest reading that passes; None when only the lowest counts."""
        return None if self.compare == "at least" else self.value + self.tolerance

    @property
    def is_band(self) -> bool:
        """A wide band has no middle that anybody would look for."""
        return self.compare == "about" and self.tolerance > _WIDE * self.value > 0

    @property
    def nominal(self) -> str:
        """The reading aimed at, where its limits stand beside it; '' where the limits say all."""
        return "" if self.is_band or self.compare != "about" else f"{self.value:g} {self.unit}"

    def text(self) -> str:
        """Return the reading as printed on a check sheet.

        Examples
        --------
        >>> Expected(("-T1:13", "-T1:11"), "-S1 in HAND", 24, "V", 1.2).text()
        '24 V ± 1.2'
        >>> Expected(("-T1:21", "-T1:22"), "healthy", 1, "Ω", 0, compare="at most").text()
        'at most 1 Ω'
        >>> Expected(("-T1:31", "-T1:32"), "cold", 405, "Ω", 345).text()
        '60 to 750 Ω'
        """
        if self.compare != "about":
            return f"{self.compare} {self.value:g} {self.unit}"
        if self.is_band:
            return f"{self.low:g} to {self.high:g} {self.unit}"
        return f"{self.value:g} {self.unit} ± {self.tolerance:g}"


@dataclass(frozen=True, slots=True)
class Hazard:
    """A single fault on one conductor and what the drive then does."""

    connection: str
    fault: str  # 'open', 'short to 0 V', 'short to +24 V', 'short to the other wire'
    effect: str
    noticed: str  # who or what notices, '' when nobody does
    dangerous: bool = False
    result: str = ""  # one word for what `effect` says: 'stops', 'starts', 'full speed', 'zero speed', ...


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
    strips: tuple[Strip, ...] = ()
    inside: tuple[str, ...] = ()  # places reached by loose wires, the enclosure first, then its door
    logic: str = ""  # 'positive' or 'negative' as drawn
    supply: str = ""  # 'internal' or 'external' as drawn
    stops: tuple[tuple[str, str], ...] = ()  # scheme -> how it stops, stop category where it has one
    notes: tuple[tuple[str, str], ...] = ()  # scheme -> what must be decided or watched
    retired: tuple[tuple[str, str], ...] = ()  # (what, number) once issued and now free for ever

    def device(self, tag: str) -> Device | None:
        """Return the device with this tag, or None."""
        return next((d for d in self.devices if d.tag == tag), None)

    def terminal(self, function: str) -> DriveTerminal | None:
        """Return the drive terminal that carries this function, or None."""
        return next((t for t in self.terminals if t.function == function), None)
