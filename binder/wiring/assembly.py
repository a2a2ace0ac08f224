"""What is decided of a drive's wiring before routing: bindings, devices, and which end is joined to which."""

from __future__ import annotations

from dataclasses import dataclass, field

from binder.inventory.findings import Finding
from binder.inventory.records import Drive, DriveModel, Inventory, ModelTerminal
from binder.wiring.binding import Place
from binder.wiring.connections import Device, DriveTerminal, End, Signal
from binder.wiring.kinds import Designations
from binder.wiring.ownership import Ownership
from binder.wiring.scheme_rows import SchemeRow

#: Function shown at a terminal that has one by construction.
_FIXED = {"EN": "enable", "STO1": "safe_torque_off_1", "STO2": "safe_torque_off_2", "PTC+": "thermistor"}


@dataclass(frozen=True, slots=True)
class Route:
    """How the conductor at a device's end travels: class, and whose cable."""

    signal: Signal
    cable: str = ""  # tag given by the user
    own: str = ""  # row key when the scheme shares its cable with no other
    star: bool = False
    both_ends: bool = False  # screen landed at both ends


@dataclass(slots=True)
class Assembly:
    """Everything decided before routing."""

    inventory: Inventory
    drive: Drive
    model: DriveModel | None
    style: Designations
    logic: str
    supply: str
    inside: tuple[str, str]
    rows: tuple[SchemeRow, ...]
    ownership: Ownership
    source: tuple[ModelTerminal, ...]
    bound: dict[str, Place] = field(default_factory=dict)
    ties: list[tuple[End, End, str]] = field(default_factory=list)  # with the scheme's name
    routes: dict[End, Route] = field(default_factory=dict)
    devices: tuple[Device, ...] = ()
    used_roles: set[str] = field(default_factory=set)
    fault_bound: dict[str, str] = field(default_factory=dict)  # row key -> claim key of its own fault input
    permits: tuple[str, ...] = ()  # tags in the permissive string
    findings: list[Finding] = field(default_factory=list)

    def numbers(self, role: str) -> tuple[str, ...]:
        """Return the printed numbers of all terminals of a role."""
        return tuple(t.terminal for t in self.source if t.role == role)

    def has(self, role: str) -> bool:
        """Return whether the drive has a terminal of this role."""
        return any(t.role == role for t in self.source)

    def end(self, role: str) -> End | None:
        """Return the first drive terminal of a role as an end."""
        found = self.numbers(role)
        return End(self.style.drive, found[0]) if found else None

    def holds(self, row: SchemeRow, condition: str) -> bool:
        """Return whether a condition of a recipe holds: 'H and no PTC+', parts, roles or facts of the drive."""
        return all(self._holds(row, word.strip()) for word in condition.split(" and ") if word.strip())

    def _holds(self, row: SchemeRow, condition: str) -> bool:
        word, wanted = (condition[3:], False) if condition.startswith("no ") else (condition, True)
        part = next((p for p in row.recipe.parts if p.key == word), None)
        if part:
            return (not part.optional or word in row.tags) is wanted
        return (self.has(word) or word in self.ownership.flags) is wanted

    def claim_key(self, row: SchemeRow, role: str, function: str) -> str:
        """Return what binds a function: the function alone, or with its row where rows may not share."""
        if role != "DI" or function.startswith("preset_"):
            return f"{function}/{row.key}"
        return self.fault_bound.get(row.key, function) if function == "external_fault" else function

    def place_bound(self, row: SchemeRow, role: str, function: str) -> Place | None:
        """Return the terminal that a row's function got."""
        return self.bound.get(self.claim_key(row, role, function))

    def terminals(self) -> tuple[DriveTerminal, ...]:
        """Return the drive's control terminals with their functions."""
        carried: dict[str, tuple[str, str]] = {}
        for key, place in self.bound.items():
            carried.update({t.terminal: (key.split("/")[0], key) for t in place.terminals})
        made = []
        for order, t in enumerate(self.source):
            function, key = carried.get(t.terminal, ("", ""))
            if not function and t.role in self.used_roles:
                function = _FIXED.get(t.role, "")
            made.append(DriveTerminal(
                t.terminal, t.label or t.terminal, t.role, order, function,
                2 if t.max_conductors is None else t.max_conductors,  # two a screw: common practice, no source
                t.page, t.signal, key,
            ))  # fmt: skip
        return tuple(made)
