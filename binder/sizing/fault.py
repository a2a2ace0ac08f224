"""Available short-circuit current from the source to the drive, and the rating that must bear it."""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import dataclass, replace
from functools import lru_cache

from binder.engineering import short_circuit
from binder.engineering.figure import Figure, Rule, display
from binder.inventory.findings import Finding, Grade
from binder.inventory.lookup import fold, motor_of
from binder.inventory.records import Inventory, Supply
from binder.sizing.context import Context, Needs, at_least
from binder.sizing.runs import COLD_CONDUCTOR_C, Run, run_of
from binder.sizing.words import for_phases, joined

_GIVEN = Rule("as given by others", "the study named in the workbook")
_TRANSFORMER = Rule("I = S / (sqrt 3 U) / (z + S / S_primary)", "circuit theory; NEC 110.9, 110.24")
_TRANSFORMER_IEC = Rule(_TRANSFORMER.text, "circuit theory; IEC 60909-0 without voltage factor")
_GENERATOR = Rule('I = S / (sqrt 3 U X"d)', "circuit theory; IEC 60909-0 without voltage factor")
_ALONG = Rule(
    "I = U / (sqrt 3 |Z source + Z cable|) with cold conductors, plus 4 times the current of motors on bypass",
    "circuit theory, IEC 60909-0 (20 °C); motors IEEE Std 141, from memory, check",
)
_RATING = Rule(
    "rating of the drive with its named device not below the available current",
    "NEC 110.9, 110.10; UL 508A SB",
)
_RATING_IEC = Rule(_RATING.text, "IEC 60364-4-43:2008, 434.5.1; IEC 61439-1, IEC 60947-1")


_SPLIT = "center-tapped single-phase"
#: Earthings that only a source of three phases can have.
_THREE_PHASE_ONLY = frozenset({"solid wye", "corner grounded delta", "ungrounded delta", "center-tapped delta"})


@dataclass(frozen=True, eq=False, slots=True)
class _Same:
    """An inventory told apart by identity: hashing its content would read every record."""

    inventory: Inventory

    def __hash__(self) -> int:
        return id(self.inventory)

    def __eq__(self, other: object) -> bool:
        return isinstance(other, _Same) and other.inventory is self.inventory


@lru_cache(maxsize=8)
def _bypass_motors(same: _Same) -> dict[str, float]:
    """Panel tag -> sum of plate currents of its motors that can run straight on the line."""
    found: dict[str, list[float]] = {}
    for drive in same.inventory.drives:
        motor = motor_of(same.inventory, drive)
        if drive.bypass in ("manual", "automatic") and motor is not None and motor.current is not None:
            found.setdefault(fold(drive.panel), []).append(motor.current.to("A"))
    return {panel: math.fsum(currents) for panel, currents in found.items()}


def bypass_motor_current_a(inventory: Inventory, panel_tag: str) -> float:
    """Return the sum of motor currents on a panel that can run on their bypass. [A]"""
    return _bypass_motors(_Same(inventory)).get(fold(panel_tag), 0.0)


def figures(context: Context) -> Iterator[Figure | Finding]:
    """Yield the fault current at source, panel and drive, and judge the drive's rating."""
    yield source_figure(context, "short_circuit.source")
    yield from _contradiction(context)
    yield panel_figure(context, "short_circuit.panel")
    yield _at_drive(context)
    yield from _rating(context)


def source_figure(context: Context, key: str) -> Figure:
    """Fault current at the source's terminals: given, else from transformer or generator."""
    need, supply = context.needs(), context.supply
    name = f"Available fault current at {supply.tag}" if supply is not None else "Available fault current at the source"
    phases = phases_of(context)
    if supply is not None and supply.fault_current is not None:
        given = need.of("supply", "fault_current", "kA")
        return need.figure(key, name, lambda: given, "kA", _GIVEN, note=supply.fault_study or "study not named")
    voltage = need.of("supply", "voltage", "V")
    if clash := _phases_against_earthing(supply):
        need.missing.append(f"phases and earthing that agree ({clash})")
    if supply is not None and supply.transformer_rating is None and supply.generator_rating is not None:
        rating = need.of("supply", "generator_rating", "kVA")
        reactance = need.of("supply", "generator_subtransient", "%")
        return need.figure(
            key, name,
            lambda: short_circuit.generator_fault_a(rating, voltage, reactance, phases=phases) / 1000,
            "kA", for_phases(_GENERATOR, phases),
        )  # fmt: skip
    rating = need.of("supply", "transformer_rating", "kVA")
    impedance = need.of("supply", "transformer_impedance", "%")
    primary, note = math.inf, "primary taken as infinite, as the workbook says"
    if supply is not None and supply.primary_fault != "infinite":
        if supply.primary_fault_power is not None:
            primary, note = need.of("supply", "primary_fault_power", "MVA"), ""
        else:
            note = "primary not given: taken as infinite, which gives the largest current"
    return need.figure(
        key,
        name,
        lambda: (
            short_circuit.transformer_fault_a(rating, voltage, impedance, primary_mva=primary, phases=phases) / 1000
        ),
        "kA",
        for_phases(_TRANSFORMER_IEC if context.iec else _TRANSFORMER, phases),
        note=joined(note, "impedance as on the plate, no tolerance taken", _to_the_tap(supply)),
    )


def _to_the_tap(supply: Supply | None) -> str:
    """Say that a fault to the centre tap is larger: half the voltage, less than half the impedance."""
    if supply is None or supply.earthing != _SPLIT:
        return ""
    return (
        "from line to line; from one line to the centre tap up to 1.5 times as much at the terminals "
        "(hand method of the trade, from memory, check)"
    )


def _phases_against_earthing(supply: Supply | None) -> str:
    """Say how number of phases and earthing contradict each other, '' where they do not."""
    if supply is None:
        return ""
    if supply.phases == 3 and supply.earthing == _SPLIT:
        return f"3 phases, earthing {supply.earthing}"
    if supply.phases == 1 and supply.earthing in _THREE_PHASE_ONLY:
        return f"1 phase, earthing {supply.earthing}"
    return ""


def panel_figure(context: Context, key: str, *, source: str = "short_circuit.source") -> Figure:
    """Fault current at the panel: given, else from the source along the feeder, with motors on bypass."""
    need, panel = context.needs(), context.panel
    name = f"Available fault current at {panel.tag}" if panel is not None else "Available fault current at the panel"
    if panel is not None and panel.fault_current is not None:
        given = need.of("panel", "fault_current", "kA")
        return need.figure(key, name, lambda: given, "kA", _GIVEN)
    start = need.figure_of(source)
    motors = bypass_motor_current_a(context.inventory, panel.tag) if panel is not None else 0.0
    if motors:
        need.state("motors on bypass", motors, "A", "Motors")
    if panel is None or panel.feeder_size is None:
        if panel is None:
            need.word("panel", "tag")
        added = short_circuit.motor_contribution_a(motors) / 1000
        return need.figure(
            key,
            name,
            lambda: start + added,
            "kA",
            _ALONG,
            note="no feeder in the workbook: current at the source's terminals counts, which is never less",
        )
    voltage, frequency = need.of("supply", "voltage", "V"), need.of("supply", "frequency", "Hz")
    run, ratio, words = run_of(need, "panel", prefix="feeder_"), *_x_over_r(need)
    return need.figure(
        key,
        name,
        lambda: (
            _end_ka(start, voltage, run, frequency, ratio, phases_of(context))
            + short_circuit.motor_contribution_a(motors) / 1000
        ),
        "kA",
        for_phases(_ALONG, phases_of(context)),
        note=f"{run.words()}; {words}",
    )


def _contradiction(context: Context) -> Iterator[Finding]:
    """Stop where a source is said to have one phase and three at once."""
    clash = _phases_against_earthing(context.supply)
    if clash:
        yield context.finding(
            "E223",
            Grade.STOP,
            ("supply", "earthing"),
            found=f"{clash}: one of the two is wrong, and the figures of this source count by the phases",
            accepted=f"'{_SPLIT}' with 1 phase (120/240 V three-wire); a wye or delta with 3 phases",
            remedy="read phases and earthing from the transformer's plate, and correct the cell that is wrong",
        )


def _x_over_r(need: Needs) -> tuple[float | None, str]:
    supply = need.context.supply
    if supply is not None and supply.transformer_x_over_r is not None and supply.fault_current is None:
        return need.of("supply", "transformer_x_over_r"), "source split by its X/R"
    return None, "source taken as all reactance: largest current"


def phases_of(context: Context) -> int:
    """Return 1 on a single-phase supply, else 3."""
    return 1 if context.supply is not None and context.supply.phases == 1 else 3


def _end_ka(start_ka: float, voltage: float, run: Run, frequency: float, ratio: float | None, phases: int) -> float:
    cable = run.impedance_ohm(temperature_c=COLD_CONDUCTOR_C, frequency_hz=frequency)
    return short_circuit.fault_at_end_a(1000 * start_ka, voltage, cable, x_over_r=ratio, phases=phases) / 1000


def _at_drive(context: Context) -> Figure:
    key, name = "short_circuit.available", "Available fault current at the drive"
    need = context.needs()
    start = need.figure_of("short_circuit.panel")
    if context.line_cable is None:
        return need.figure(
            key, name, lambda: start, "kA", _ALONG, note="no line cable in the workbook: current at the panel counts"
        )
    voltage, frequency = need.of("supply", "voltage", "V"), need.of("supply", "frequency", "Hz")
    run = run_of(need, "line_cable")
    reached: list[str] = []

    def at_end() -> float:
        reached.append(_by_hand(start, voltage, run, frequency, phases_of(context)))
        return _end_ka(start, voltage, run, frequency, None, phases_of(context))

    figure = need.figure(key, name, at_end, "kA", for_phases(_ALONG, phases_of(context)))
    if not reached:
        return figure
    words = f"{run.words()}; current at the panel taken as all reactance: largest current; {reached[0]}"
    return replace(figure, note=words)


def _by_hand(start_ka: float, voltage: float, run: Run, frequency: float, phases: int) -> str:
    """Say what the point-to-point method gives, which adds impedances as numbers."""
    per_foot = abs(run.ohm_per_km(temperature_c=75.0, frequency_hz=frequency)) * 0.3048 / 1000
    found = short_circuit.point_to_point(
        1000 * start_ka, run.length_m / 0.3048, 1 / per_foot, voltage, parallel=run.sets, phases=phases
    )
    return (
        f"point to point by hand: C {1 / per_foot:.0f}, f {found.factor:.3f}, M {found.multiplier:.3f}, "
        f"{display(found.current_a / 1000)} kA"
    )


def _rating(context: Context) -> Iterator[Figure | Finding]:
    need = context.needs()
    rating = need.of("model", "fault_rating", "kA")
    available = need.figure_of("short_circuit.available")
    device = context.model.fault_rating_device if context.model is not None else ""
    figure = need.figure(
        "short_circuit.rating",
        "Short-circuit rating of the drive",
        lambda: rating,
        "kA",
        _RATING_IEC if context.iec else _RATING,
        limit=at_least(available, "kA"),
        within=lambda has: has >= available,
        note=f"holds only with: {device}" if device else "the device it holds with is not in the workbook",
    )
    yield figure
    if figure.verdict == "outside":
        yield context.finding(
            "E220",
            Grade.STOP,
            ("model", "fault_rating"),
            found=f"rated {figure.text()}, {display(available)} kA available at the drive",
            accepted=f"{display(available)} kA or more",
            remedy=_remedy(context, rating),
        )
    yield from _named_device(context, device)


def _remedy(context: Context, rating_ka: float) -> str:
    """Say how much reactance would bring the fault down to the rating."""
    supply = context.supply
    if supply is None or supply.voltage is None or rating_ka <= 0:
        return "choose a drive or device with a higher rating, or limit the fault current"
    available = context.number("short_circuit.available") or rating_ka
    volts = supply.voltage.to("V")
    one = phases_of(context) == 1
    added = volts / (1.0 if one else math.sqrt(3)) / 1000 * (1 / rating_ka - 1 / available)
    return (
        "choose a device combination with a higher rating, or add at least "
        f"{display(1000 * added)} mΩ {'in the loop' if one else 'a phase'} ahead of the drive (reactor, transformer)"
    )


def _named_device(context: Context, device: str) -> Iterator[Finding]:
    """Caution when the fitted device is plainly not the kind that the rating names."""
    kind = context.drive.protection_kind
    if not device or not kind:
        return
    fitted = {word for word in ("fuse", "breaker") if word in kind}
    named = {word for word in ("fuse", "breaker") if word in device.casefold()}
    if named and not fitted & named:
        yield context.finding(
            "E221",
            Grade.STOP,
            ("drive", "protection_kind"),
            found=f"{kind} fitted; the drive's short-circuit rating holds with: {device}",
            accepted=device,
            remedy=f"fit {device}, or ask for a rating with a {kind}",
        )
