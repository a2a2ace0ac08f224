"""One drive with everything that decides its settings."""

from __future__ import annotations

from dataclasses import dataclass, field
from decimal import Decimal
from functools import cached_property

from binder.engineering.figure import Figures
from binder.inventory.lookup import (
    controls_of,
    machine_of,
    model_of,
    motor_of,
    networks_of,
    supply_of,
)
from binder.inventory.records import (
    Control,
    Drive,
    DriveModel,
    Inventory,
    Machine,
    Motor,
    NetworkNode,
    Supply,
)
from binder.wiring.connections import Demand, Wiring

#: Drives have two sets of sources; manuals call them hand and auto, or local and remote.
_SETS = {"local": "hand", "remote": "auto"}


def source_set(mode: str) -> str:
    """The set of sources that serves a mode: 'hand' also serves local, 'auto' also remote.

    Examples
    --------
    >>> source_set("local"), source_set("auto"), source_set("DI1")
    ('hand', 'auto', 'DI1')
    """
    return _SETS.get(mode, mode)


@dataclass(frozen=True, slots=True)
class Decision:
    """A value with its reason.

    Parameters
    ----------
    value : Decimal or str
    unit : str
        Unit of a number; '' for words and counts.
    reason : str
        One sentence, in the trade's words.
    source : str
        'plate', 'sheet', 'figure <key>', 'wiring', 'map' or 'override'.
    instead : tuple of str
        Words that serve as well where the model lacks the first one, best first.
    """

    value: Decimal | str
    unit: str
    reason: str
    source: str
    instead: tuple[str, ...] = ()


@dataclass(frozen=True)
class Situation:
    """One drive with everything that decides its settings."""

    inventory: Inventory
    drive: Drive
    figures: Figures
    wiring: Wiring
    motor: Motor | None = None
    machine: Machine | None = None
    model: DriveModel | None = None
    supply: Supply | None = None
    network: NetworkNode | None = None
    controls: tuple[Control, ...] = field(default=())

    @cached_property
    def schemes(self) -> frozenset[str]:
        """Control schemes in use."""
        return frozenset(self.wiring.schemes) | {c.scheme for c in self.controls}

    @cached_property
    def terminal_functions(self) -> dict[str, str]:
        """Terminal label -> function given to it by the wiring ('' when unused)."""
        return {t.label: t.function for t in self.wiring.terminals if t.label}

    @cached_property
    def demands(self) -> dict[tuple[str, str], Demand]:
        """What the wiring asks for, by function and what it applies to; the first one stands."""
        found: dict[tuple[str, str], Demand] = {}
        for demand in self.wiring.demands:
            found.setdefault((demand.function, source_set(demand.applies_to)), demand)
        return found

    def demand(self, function: str, applies_to: str) -> Demand | None:
        """What the wiring asks of one function for a terminal or mode, else of it always."""
        return self.demands.get((function, source_set(applies_to))) or self.demands.get((function, ""))

    @cached_property
    def demands_by_function(self) -> dict[str, tuple[Demand, ...]]:
        """The same, by function."""
        found: dict[str, tuple[Demand, ...]] = {}
        for demand in self.wiring.demands:
            found[demand.function] = (*found.get(demand.function, ()), demand)
        return found


def situation(inventory: Inventory, drive: Drive, figures: Figures, wiring: Wiring) -> Situation:
    """Gather what decides the settings of one drive.

    Parameters
    ----------
    inventory : Inventory
    drive : Drive
    figures : Figures
    wiring : Wiring

    Returns
    -------
    Situation
    """
    return Situation(
        inventory,
        drive,
        figures,
        wiring,
        motor=motor_of(inventory, drive),
        machine=machine_of(inventory, drive),
        model=model_of(inventory, drive),
        supply=supply_of(inventory, drive),
        network=next(iter(networks_of(inventory, drive)), None),
        controls=tuple(controls_of(inventory, drive)),
    )
