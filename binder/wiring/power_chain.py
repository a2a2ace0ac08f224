"""The main circuit of one drive as a chain of stages with their ratings, before anything is drawn."""

from __future__ import annotations

import re
from collections.abc import Mapping, Sequence
from dataclasses import dataclass, field, replace

from binder.engineering.figure import Figure
from binder.inventory.lookup import (
    cable_of,
    isolators_of,
    model_of,
    motor_of,
    panel_of,
    supply_of,
    terminals_of,
)
from binder.inventory.quantities import Measure
from binder.inventory.records import Cable, Drive, DriveModel, Inventory, Isolator, Motor, Panel, Supply
from binder.wiring.connections import Device, Wiring

NOT_GIVEN = "rating not given"


@dataclass(frozen=True, slots=True)
class Stage:
    """One thing in the path of the energy.

    Parameters
    ----------
    kind : str
        'supply', 'disconnect', 'breaker', 'fuses', 'contactor', 'overload', 'reactor', 'filter', 'drive',
        'motor isolator', 'motor'.
    tag : str
    above : tuple of str
        Lines below the tag: what it is.
    below : tuple of str
        Lines below the symbol: ratings, fitted and computed.
    line, load : tuple of str
        Terminal marks, protective conductor last where it has one.
    cable : tuple of str
        Lines about the cable that leaves it.
    screened : bool or None
        Of that cable; None when the inventory does not say.
    tap : str
        Where a second conductor goes from its load side.
    """

    kind: str
    tag: str
    above: tuple[str, ...] = ()
    below: tuple[str, ...] = ()
    line: tuple[str, ...] = ()
    load: tuple[str, ...] = ()
    cable: tuple[str, ...] = ()
    screened: bool | None = None
    tap: str = ""


@dataclass(frozen=True, slots=True)
class MainCircuit:
    """Chains of stages: the drive's own first, then the bypass and further motors."""

    chains: tuple[tuple[Stage, ...], ...]
    brake: Stage | None = None
    brake_marks: tuple[str, ...] = ()
    heater: tuple[str, ...] = ()
    notes: tuple[str, ...] = field(default=())


class _Tags:
    """Designations that the wiring does not use already, and the marks that go with the symbols."""

    def __init__(self, wiring: Wiring, north_american: bool) -> None:
        self._taken = {d.tag for d in wiring.devices} | {s.tag for s in wiring.strips}
        self._dash = "" if north_american else "-"
        self.north_american = north_american

    def take(self, letters: str, american: str) -> str:
        """The next free designation."""
        stem = f"{self._dash}{letters}" if self._dash else american
        number = next(n for n in range(1, 1000) if f"{stem}{n}" not in self._taken)
        self._taken.add(f"{stem}{number}")
        return f"{stem}{number}"


def main_circuit(
    inventory: Inventory, drive: Drive, figures: Mapping[str, Figure], wiring: Wiring, *, north_american: bool
) -> MainCircuit:
    """Collect the stages of one drive from supply to motor.

    Parameters
    ----------
    inventory : Inventory
    drive : Drive
    figures : mapping of str to Figure
        Computed figures; those of 'line.*' are printed beside what is fitted.
    wiring : Wiring
        For contactors, overloads and heaters that control schemes bring.
    north_american : bool
        Decides proposed designations.

    Returns
    -------
    MainCircuit
    """
    tags = _Tags(wiring, north_american)
    poles = _poles(inventory, drive)
    model, motor = model_of(inventory, drive), motor_of(inventory, drive)
    before = _before(inventory, drive, figures, wiring, tags=tags, poles=poles)
    bypass = _bypass(wiring, drive, tags)
    if bypass:
        before[-1] = replace(before[-1], tap=bypass[0].tag)
    line, load, link = _drive_marks(inventory, model, poles)
    ratings = _drive_ratings(drive, model, figures)
    drive_stage = Stage("drive", wiring.designation, _drive_words(drive, motor), ratings, line, load)
    chain = [*before, drive_stage, *_after(drive, wiring, tags, bypass)]
    cable = cable_of(inventory, drive, "motor")
    chain[-1] = replace(chain[-1], cable=_cable_words(cable), screened=cable.shielded if cable else None)
    motors = _motors(drive, motor, wiring, north_american)
    isolators = _motor_isolators(inventory, drive, wiring, north_american=north_american)
    each = len(motors) > 1 and len(isolators) == len(motors)
    if not each:
        chain += [replace(i, cable=_onward(cable, inventory), screened=chain[-1].screened) for i in isolators]
    if len(motors) == 1:
        chains = [(*chain, motors[0])]
    else:
        shared = Stage("terminals", tags.take("X", "TB"), ("motor terminals",), (), load, load)
        own = isolators if each else []
        chains = [(*chain, shared), *_branches(motors, own, wiring, north_american)]
    if bypass:
        chains.append(tuple(bypass))
    brake = _brake(drive, tags)
    return MainCircuit(tuple(chains), brake, link if brake else (), _heater(motor, wiring), _notes(inventory, drive))


def wire_names(chain: Sequence[Stage], *, first: bool) -> dict[str, tuple[str, ...]]:
    """Wire numbers behind each stage: 1L1, 2L1 ... up to the drive, U V W behind it; a bypass counts with B.

    Parameters
    ----------
    chain : sequence of Stage
    first : bool
        The drive's own chain.

    Returns
    -------
    dict
        Tag -> names of the conductors at the stage's load side.
    """
    names: dict[str, tuple[str, ...]] = {}
    poles: tuple[str, ...] = chain[0].load[:-1] if first else ("L1", "L2", "L3")
    behind = not first and any(s.kind == "motor" for s in chain)
    number = 0
    for stage in chain:
        if stage.kind == "drive":
            behind, number = True, 0
        number += 1
        if behind:
            count = "" if number == 1 else str(number)
            names[stage.tag] = tuple(f"{count}{m}" for m in ("U", "V", "W"))
        else:
            names[stage.tag] = tuple(f"{number if first else 'B'}{m}" for m in poles)
    return names


def _poles(inventory: Inventory, drive: Drive) -> tuple[str, ...]:
    """Names of the live conductors of the supply; two lines where a single phase is earthed at its middle."""
    supply, model = supply_of(inventory, drive), model_of(inventory, drive)
    phases = (supply.phases if supply else None) or (model.input_phases if model else None)
    if phases != 1:
        return ("L1", "L2", "L3")
    return ("L1", "L2") if supply is not None and supply.earthing == "center-tapped single-phase" else ("L", "N")


def _marks(poles: Sequence[str], north_american: bool) -> tuple[tuple[str, ...], tuple[str, ...]]:
    """Marks of switching devices: 1 3 5 and 2 4 6 (IEC 60947-1 annex L), or L1 and T1 (NEMA ICS 5); from memory."""
    if north_american:
        return tuple(f"L{i + 1}" for i in range(len(poles))), tuple(f"T{i + 1}" for i in range(len(poles)))
    return tuple(str(2 * i + 1) for i in range(len(poles))), tuple(str(2 * i + 2) for i in range(len(poles)))


def _before(inventory: Inventory, drive: Drive, figures: Mapping[str, Figure], wiring: Wiring, *, tags: _Tags,
            poles: tuple[str, ...]) -> list[Stage]:
    """From the supply to the drive's line terminals."""
    supply, panel = supply_of(inventory, drive), panel_of(inventory, drive)
    volts = " ".join(str(x) for x in (supply.voltage, supply.frequency) if x) if supply else ""
    fault = _fault_lines(supply, panel, figures)
    words = (volts or "voltage not given", drive.panel and f"panel {drive.panel} {drive.circuit}".strip())
    cable = cable_of(inventory, drive, "line")
    about = (*_cable_words(cable), *_figure_lines(figures, "line.conductor", "line.earth"))
    stages = [Stage("supply", supply.tag if supply else drive.panel, tuple(w for w in words if w),
                    (*fault, *about), (), (*poles, "PE"))]
    line, load = _marks(poles, tags.north_american)
    isolator = next((i for i in isolators_of(inventory, drive) if i.tag == drive.isolator), None)
    rating = str(drive.disconnect_rating) if drive.disconnect_rating else NOT_GIVEN
    lock = {True: "lockable", False: "not lockable", None: ""}[isolator.lockable if isolator else None]
    kind = drive.protection_kind
    if drive.isolator or drive.disconnect_rating or "breaker" not in kind:
        about_it: tuple[str, ...] = tuple(
            x for x in ("disconnect" if tags.north_american else "switch-disconnector",
                        isolator.place if isolator else "") if x
        )
        below = (", ".join(x for x in (rating, lock) if x), *_figure_lines(figures, "line.disconnect"))
        stages.append(Stage("disconnect", drive.isolator or tags.take("Q", "DISC"), about_it, below, line, load))
    fitted = str(drive.protection_rating) if drive.protection_rating else NOT_GIVEN
    breaker = "breaker" in kind
    tag = tags.take("Q", "CB") if breaker else tags.take("F", "FU")
    stages.append(Stage("breaker" if breaker else "fuses", tag, (kind or "protection, kind not given",),
                        (fitted, *_figure_lines(figures, "line.protection")), line, load))
    stages += [
        _switch("contactor", device, "line contactor", "", line, load)
        for device in wiring.devices if device.kind == "contactor" and "line contactor" in device.text
    ]  # fmt: skip
    if drive.line_reactor and drive.line_reactor.amount > 0:
        stages.append(Stage("reactor", tags.take("R", "LR"), ("line reactor",), (str(drive.line_reactor),),
                            _pairs(poles, "1"), _pairs(poles, "2")))
    return stages


def _fault_lines(supply: Supply | None, panel: Panel | None, figures: Mapping[str, Figure]) -> tuple[str, ...]:
    """The fault current at the source and at the panel: as given by others, else as computed, and which of the two."""
    found = []
    for place, key in ((supply, "short_circuit.source"), (panel, "short_circuit.panel")):
        figure = figures.get(key)
        if place is not None and place.fault_current:
            found.append((place.tag, f"{place.fault_current}", "given"))
        elif place is not None and figure is not None and figure.value is not None:
            found.append((place.tag, figure.text(), "computed"))
    if not found:
        return ("fault current not given",)
    last = len(found) - 1
    return tuple(
        f"{'fault current' if i == 0 else 'and'} at {tag} {amount}"
        + (f", {how}" if i == last or found[last][2] != how else "")
        for i, (tag, amount, how) in enumerate(found)
    )


def _pairs(poles: Sequence[str], end: str) -> tuple[str, ...]:
    """U1 V1 W1 or U2 V2 W2."""
    return tuple(f"{'UVW'[i]}{end}" for i in range(len(poles)))


def _after(drive: Drive, wiring: Wiring, tags: _Tags, bypass: Sequence[Stage]) -> list[Stage]:
    """From the drive's motor terminals to the motor cable."""
    stages: list[Stage] = []
    three = ("U", "V", "W")
    if drive.output_filter == "reactor":
        stages.append(Stage("reactor", tags.take("R", "OR"), ("output reactor",), (NOT_GIVEN,), _pairs(three, "1"),
                            _pairs(three, "2")))
    elif drive.output_filter not in ("", "none"):
        stages.append(Stage("filter", tags.take("R", "OF"), (drive.output_filter,), (NOT_GIVEN,), _pairs(three, "1"),
                            _pairs(three, "2")))
    line, load = _marks(three, tags.north_american)
    device = next((d for d in wiring.devices if d.kind == "contactor" and "drive to motor" in d.text), None)
    if device is not None or bypass:
        stage = _switch("contactor", device, "drive to motor", "" if device else tags.take("Q", "M"), line, load)
        stages.append(replace(stage, tap=bypass[-1].tag if bypass else ""))
    return stages


def _bypass(wiring: Wiring, drive: Drive, tags: _Tags) -> list[Stage]:
    """The path round the drive: contactor and overload, interlocked with the drive's contactor."""
    contactor = next((d for d in wiring.devices if d.kind == "contactor" and "bypass" in d.text), None)
    if contactor is None and drive.bypass in ("", "none"):
        return []
    overload = next((d for d in wiring.devices if d.kind == "overload" and "bypass" in d.text), None)
    line, load = _marks(("L1", "L2", "L3"), tags.north_american)
    return [
        _switch("contactor", contactor, "bypass", tags.take("Q", "M") if contactor is None else "", line, load),
        _switch("overload", overload, "bypass", tags.take("F", "OL") if overload is None else "", line, load),
    ]  # fmt: skip


def _switch(kind: str, device: Device | None, text: str, proposed: str, line: tuple[str, ...],
            load: tuple[str, ...]) -> Stage:
    rating = device.rating if device else ""
    words: tuple[str, ...] = (text, "coil: control wiring") if device and kind == "contactor" else (text,)
    return Stage(kind, device.tag if device else proposed, words, (rating or NOT_GIVEN,), line, load)


def _motor_isolators(inventory: Inventory, drive: Drive, wiring: Wiring, *, north_american: bool) -> list[Stage]:
    """Switches between drive and motor: rows of the sheet Isolation, and what the scheme of their contact brings."""
    devices = {d.tag: d for d in wiring.devices if d.kind == "isolator" and "motor isolator" in d.text}
    rows = {i.tag: i for i in isolators_of(inventory, drive) if i.tag in devices or _opens_motor(i, drive)}
    line, load = _marks(("U", "V", "W"), north_american)
    stages = []
    for tag in sorted({*devices, *rows}):
        row, device = rows.get(tag), devices.get(tag)
        rating = device.rating if device and device.rating else NOT_GIVEN
        lock = {True: "lockable", False: "not lockable", None: ""}[row.lockable if row else None]
        place = row.place if row and row.place else device.place if device else ""
        below = (", ".join(x for x in (rating, lock) if x), _early_break(row, device))
        above = tuple(x for x in ("motor isolator", place) if x)
        stages.append(Stage("motor isolator", tag, above, below, line, load))
    return stages


def _opens_motor(isolator: Isolator, drive: Drive) -> bool:
    """Whether a row of the sheet Isolation is a switch between drive and motor."""
    what = f"{isolator.kind} {isolator.energy}".casefold()
    return isolator.tag != drive.isolator and "motor" in what and not re.search("breaker|heater|fan|valve", what)


def _early_break(row: Isolator | None, device: Device | None) -> str:
    if device is not None:
        return "early-break contact: control wiring"
    known = row.early_break_contact if row else None
    return {True: "early-break contact, not wired", False: "no early-break contact",
            None: "early-break contact not given"}[known]  # fmt: skip


def _onward(cable: Cable | None, inventory: Inventory) -> tuple[str, ...]:
    """Lines about the motor cable behind the isolator."""
    screen = "shield" if inventory.site.code_basis == "NEC" else "screen"
    name = cable.tag if cable else "motor cable"
    return (f"{name} goes on", f"{screen} taken through at the isolator") if cable and cable.shielded else (
        f"{name} goes on",)  # fmt: skip


def _branches(motors: Sequence[Stage], isolators: Sequence[Stage], wiring: Wiring, north_american: bool) -> list[
    tuple[Stage, ...]
]:  # fmt: skip
    """One chain a motor, behind its own overload, and its own isolator when there is one for each."""
    line, load = _marks(("U", "V", "W"), north_american)
    return [
        (_switch("overload", device, device.text, "", line, load), *isolators[n : n + 1], motor)
        for n, (device, motor) in enumerate(zip(_motor_overloads(wiring), motors, strict=True))
    ]  # fmt: skip


def _motors(drive: Drive, motor: Motor | None, wiring: Wiring, north_american: bool) -> list[Stage]:
    """The motor, or one stage for each of several motors."""
    tag = motor.tag if motor else drive.motor or "-M1"
    marks = ("T1", "T2", "T3", "PE") if north_american else ("U1", "V1", "W1", "PE")
    ratings: tuple[str, ...] = ("plate not given",)
    if motor is not None:
        given: list[Measure | None] = [motor.power, motor.voltage, motor.current, motor.frequency, motor.speed]
        texts = [str(m) for m in given if m is not None]
        ratings = (", ".join(texts[:3]), ", ".join(texts[3:])) if texts else ratings
    one = Stage("motor", tag, tuple(x for x in (drive.feeds,) if x), tuple(x for x in ratings if x), marks)
    count = len(_motor_overloads(wiring))
    if count < 2:
        return [one]
    return [Stage("motor", f"{tag}.{n}", (), (), marks) for n in range(1, count + 1)]


def _motor_overloads(wiring: Wiring) -> list[Device]:
    """Overload relays of several motors on one drive."""
    return [d for d in wiring.devices if d.kind == "overload" and re.search(r"motor \d", d.text)]


def _drive_marks(inventory: Inventory, model: DriveModel | None, poles: tuple[str, ...]) -> tuple[
    tuple[str, ...], tuple[str, ...], tuple[str, ...]
]:  # fmt: skip
    """Printed marks of the power terminals: line, motor, and those of the link or brake resistor."""
    printed: dict[str, str] = {}
    for terminal in terminals_of(inventory, model):
        printed.setdefault(terminal.role, terminal.label or terminal.terminal)
    line = tuple(printed.get(role, role) for role in ("L1", "L2", "L3")[: len(poles)])
    motor = tuple(printed.get(role, role) for role in ("U", "V", "W"))
    earth = printed.get("PE", "PE")
    brake = tuple(printed.get(role, role) for role in ("DC+", "BR"))
    return (*line, earth), (*motor, earth), brake


def _drive_words(drive: Drive, motor: Motor | None) -> tuple[str, ...]:
    size = f"for {motor.power}" if motor and motor.power else ""
    return tuple(x for x in (drive.tag, f"{drive.model} {size}".strip()) if x)


def _drive_ratings(drive: Drive, model: DriveModel | None, figures: Mapping[str, Figure]) -> tuple[str, ...]:
    current = None
    if model is not None:
        current = model.output_current_heavy if drive.duty == "heavy" else model.output_current_light
    rated = f"{current} out, {drive.duty or 'light'} duty" if current else "output current not given"
    carrier = f"carrier {drive.carrier_frequency}" if drive.carrier_frequency else ""
    return tuple(x for x in (rated, carrier, *_figure_lines(figures, "overload.setting")) if x)


def _cable_words(cable: Cable | None) -> tuple[str, ...]:
    """Two lines about a power cable: what it is, and how long."""
    if cable is None:
        return ("cable not given",)
    sets = f"{cable.sets} × " if cable.sets and cable.sets > 1 else ""
    size = f"{sets}{cable.size}" if cable.size else "size not given"
    earth = f"earth {cable.earth_size}" if cable.earth_size else "earth size not given"
    kind = " ".join(x for x in (cable.material, cable.insulation) if x)
    length = f"{cable.length}" if cable.length else "length not given"
    return (f"{cable.tag}: {size}, {earth}", ", ".join(x for x in (kind, cable.raceway, length) if x))


def _figure_lines(figures: Mapping[str, Figure], *keys: str) -> tuple[str, ...]:
    """Computed figures beside what is fitted, named so that nobody takes them for an approval."""
    return tuple(f"{figures[k].name}: {figures[k].text()}" for k in keys if k in figures)


def _brake(drive: Drive, tags: _Tags) -> Stage | None:
    if drive.brake_resistance is None and drive.brake_power is None:
        return None
    ratings = ", ".join(str(x) for x in (drive.brake_resistance, drive.brake_power) if x)
    return Stage("brake resistor", tags.take("R", "BR"), ("brake resistor",), (ratings,))


def _heater(motor: Motor | None, wiring: Wiring) -> tuple[str, ...]:
    """Tag and words of a space heater: another source that stays live."""
    if motor is None or motor.space_heater_voltage is None:
        return ()
    device = next((d for d in wiring.devices if d.kind == "heater"), None)
    cut = f"cut at {motor.space_heater_isolator}" if motor.space_heater_isolator else "isolator not given"
    return (device.tag if device else "heater", f"space heater {motor.space_heater_voltage}", f"other source, {cut}")


def _notes(inventory: Inventory, drive: Drive) -> tuple[str, ...]:
    cable = cable_of(inventory, drive, "motor")
    screen = "shield" if inventory.site.code_basis == "NEC" else "screen"
    if cable is None or cable.shielded is None:
        return (f"whether the motor cable has a {screen} is not given",)
    if cable.shielded:
        return (f"motor cable {screen} bonded all round at both ends",)
    return ()
