"""Test sheets with the line on: energize, settings read back, controls, uncoupled run."""

from __future__ import annotations

from collections.abc import Iterator

from binder.engineering.figure import display
from binder.engineering.motor import no_load_current_band_a
from binder.engineering.ranges import OutOfRangeError
from binder.engineering.tables import load
from binder.field.bench import MEMORY, PRACTICE, Bench, check, measured, plain, slug
from binder.field.energies import has_bypass
from binder.field.sheets import TestLine
from binder.field.sweep import poles_of
from binder.field.tests_dead import Item, months_without_power, reforming
from binder.field.tests_schemes import CONTROLS, UNCOUPLED, scheme_lines
from binder.inventory.counting import counted
from binder.settings.functions import FUNCTIONS
from binder.wiring.expected import SUPPLY_TOLERANCE_V, SUPPLY_V

#: Earthings of which a single phase is taken between a line and the neutral.
_NEUTRAL = frozenset({"TN-S", "TN-C", "TN-C-S", "TT"})
_TO_EARTH = {
    "solid wye": "three equal, line volts over 1.73",
    "TN-S": "three equal, line volts over 1.73",
    "TN-C": "three equal, line volts over 1.73",
    "TN-C-S": "three equal, line volts over 1.73",
    "TT": "three equal, line volts over 1.73",
    "corner grounded delta": "one near 0, two at line volts",
    "center-tapped single-phase": "two at half the line volts",
    "center-tapped delta": "two at half the line volts, one high",
    "IT": "wandering: not earthed",
    "ungrounded delta": "wandering: not earthed",
    "high-resistance grounded": "about equal, and moving",
    "low-resistance grounded": "three equal, line volts over 1.73",
}


def unbalance_limits() -> tuple[float, float]:
    """Voltage unbalance without derating, and above which a motor shall not run. [%]"""
    facts = load("nema_mg1_facts")
    return (
        facts.number("value", key="voltage_unbalance_no_derating_max"),
        facts.number("value", key="voltage_unbalance_operation_not_recommended_above"),
    )


def energize(bench: Bench) -> Iterator[Item]:
    """First energization, motor cables off or coupling apart."""
    yield from _line_volts(bench)
    earthing = bench.supply.earthing if bench.supply else ""
    one_line = bench.supply is not None and bench.supply.phases == 1 and earthing in _NEUTRAL
    for phase in bench.line_phases:
        yield measured(
            f"E2.L{phase}",
            f"Line L{phase} to earth",
            "V",
            expected="one at line volts, the neutral near 0"
            if one_line
            else _TO_EARTH.get(earthing, "pattern tells the earthing"),
            limit="record; compare with jumper line W7",
        )
    yield check(
        "E3",
        "Close the drive's supply",
        "display comes up, no trip, no smell, fan as the manual says",
        condition=f"capacitors first: {reforming(months_without_power(bench))}",
        severity="A",
    )
    bus = bench.figures.number("bus.no_load")
    yield measured(
        "E4.DC",
        "DC bus, no load",
        "V",
        low=None if bus is None else 0.95 * bus,
        high=None if bus is None else 1.05 * bus,
        expected="" if bus is None else f"{display(bus)} V at nominal line",
        source=f"line volts times 1.414 ±5 %, {PRACTICE}",
        why="judged against the line volts read, when E1 is filled",
    )
    if bench.terminal("P24") or bench.control("external 24 V"):
        yield measured(
            "E4.24",
            f"Control supply at {bench.terminal('P24') or '24 V'}",
            "V",
            low=SUPPLY_V - SUPPLY_TOLERANCE_V,
            high=SUPPLY_V + SUPPLY_TOLERANCE_V,
            expected=f"{SUPPLY_V:g} V",
            condition="all inputs and relays on",
            source=f"24 V ±5 %, {PRACTICE}, as on sheet V",
        )
    else:
        yield "E4.24 control supply: the model has no such terminal in the inventory"
    if bench.terminal("R10"):
        yield measured(
            "E4.10",
            f"Reference supply at {bench.terminal('R10')}",
            "V",
            low=9.8,
            high=10.2,
            expected="10 V",
            source=f"10 V ±2 %, {PRACTICE}",
        )
    else:
        yield "E4.10 reference supply: the model has no such terminal in the inventory"
    yield check(
        "E5",
        "Fault list, hours, starts, software version",
        f"software {bench.drive.software}; all copied down" if bench.drive.software else "all copied down",
        condition="before anything is cleared",
    )
    if has_bypass(bench):
        yield check(
            "E7",
            "Phase order at the line terminals of drive and bypass",
            "as the motor's direction in bypass needs (line U2); the drive itself does not care",
            condition="phase-order meter",
        )
    else:
        yield "E7 phase order at the line: no bypass in the inventory, and a drive does not care"
    yield measured("E6", "Soak 15 to 30 min: heatsink above ambient", "K", high=10, condition="energized, not running")


def _line_volts(bench: Bench) -> Iterator[Item]:
    low, high, source = line_limits(bench)
    nominal = str(bench.supply.voltage) if bench.supply and bench.supply.voltage else "not in the inventory"
    pairs = ("12",) if len(bench.line_phases) == 2 else ("12", "23", "31")
    for pair in pairs:
        yield measured(
            f"E1.L{pair}",
            f"Line L{pair[0]} to L{pair[1]}",
            "V",
            low=low,
            high=high,
            expected=nominal,
            source=source,
            condition=f"at the {bench.isolator_word}, before closing",
            severity="A",
        )
    if len(pairs) == 3:
        good, never = unbalance_limits()
        yield measured(
            "E1.U",
            "Voltage unbalance",
            "%",
            high=2 if bench.iec else 3,
            limit=f"up to {good:g} % good; above: look for the cause; above 2 % stop"
            if bench.iec
            else f"up to {good:g} % good; above: look for the cause; above 3 % stop; never above {never:g} %",
            kind="computed",
            source=f"IEC 60034-1 7.2 (1 %), IEC 60204-1 4.3.2 (2 %), {MEMORY}"
            if bench.iec
            else f"NEMA MG 1 12.45, 14.36 ({good:g} %, {never:g} %); 3 % {PRACTICE}",
            why="greatest deviation from the mean over the mean, from E1.L12, E1.L23, E1.L31",
        )
    else:
        yield "E1.U voltage unbalance: one-phase supply"


def line_limits(bench: Bench) -> tuple[float | None, float | None, str]:
    """Permitted line volts: ±10 % of nominal, cut to the drive's own band."""
    nominal = plain(bench.supply.voltage, "V") if bench.supply else None
    model = bench.model
    least, most = (plain(model.min_voltage, "V"), plain(model.max_voltage, "V")) if model else (None, None)
    if nominal is None:
        return least, most, "band of the drive, its manual"
    share = load("nema_mg1_facts").number("value", key="voltage_tolerance_at_rated_frequency") / 100
    low, high = nominal * (1 - share), nominal * (1 + share)
    rule = f"IEC 60204-1 4.3.2, {MEMORY}" if bench.iec else "NEMA MG 1 12.44.1"
    return max(low, least or low), min(high, most or high), f"±10 %, {rule}; within the drive's own band"


def settings_back(bench: Bench) -> Iterator[Item]:
    """Settings: saved, written, read back."""
    rows = bench.settings.rows
    yield check("S1", "As-found set", "saved to file and paper before the first change")
    if rows:
        yield _read_back(bench)
    else:
        yield "S2 read back: no setting in the inventory"
    if any(r.function == "parameter_lock" for r in rows):
        yield check("S3", "Lock", "locked again; code holder named, code not printed")
    named = bench.drive.backup_file or "file named"
    yield check("S4", "Backup of the set as left", f"{named}, stored twice, read back once")


def _read_back(bench: Bench) -> TestLine:
    """Read-back compared row by row on the sheet As left; no reading is typed for it."""
    rows = bench.settings.rows
    asked = [r for r in rows if r.function not in FUNCTIONS or FUNCTIONS[r.function].kind not in ("action", "code")]
    blank = [r.number for r in asked if not r.as_left_verdict]
    wrong = [r.number for r in asked if r.as_left_verdict == "differs"]
    verdict = "fail" if wrong else "" if blank else "pass"
    other = f"{len(wrong) or 'none'} {'differs' if len(wrong) == 1 else 'differ'}"
    reading = f"{len(asked) - len(blank)} of {len(asked)} read back, {other}" if len(blank) < len(asked) else ""
    return TestLine(
        "S2",
        "Every required value read back",
        "after a power cycle",
        f"{counted(len(asked), 'value')} equal",
        "no difference without a reason",
        PRACTICE,
        reading=reading,
        verdict=verdict,
        kind="computed",
        why=f"differs: {', '.join(wrong[:6])}" if wrong else "compared on the sheet As left",
    )


#: The drive stays live for this reading, and others feed the circuit: an ohmmeter must meet neither.
_OHMS = "both wires lifted and proved dead, then ohms"


def controls(bench: Bench) -> Iterator[Item]:
    """Control checks before the motor turns: real device, real place, drive's own monitors."""
    relays = {f"{bench.wiring.designation}:{t.number}" for t in bench.wiring.terminals if t.role.startswith("RO")}
    for e in bench.wiring.expected:
        ohms = e.unit.endswith("Ω") and not relays.isdisjoint(e.between)
        name = "/".join(slug(p.removeprefix(f"{bench.wiring.designation}:")) for p in e.between)
        yield measured(
            f"V1.{name}.{slug(e.state)}",
            f"{e.between[0]} to {e.between[1]}",
            e.unit,
            low=e.low,
            high=e.high,
            condition=f"{e.state}; {_OHMS}" if ohms else e.state,
            expected=e.nominal,
            source="computed from the wiring record",
            proves=(e.connection,) if e.connection else (),
        )
    if not bench.wiring.expected:
        yield "V1 volts at the terminals: the wiring record expects none"
    for mode in bench.wiring.modes:
        stem = slug(mode.name) or "run"
        yield check(
            f"V2.{stem}",
            f"Mode {mode.name or 'only one'}: start and stop",
            f"run command from {mode.command_owner} alone, speed from {mode.reference_owner} alone",
            condition=mode.selected_by,
            source="wiring record",
            proves=("command_source", "reference_source"),
        )
        for word in mode.permissives:
            yield check(
                f"V3.{stem}.{slug(word)}",
                f"Mode {mode.name or 'only one'}: open {word}",
                "no start; a running drive stops",
                source="wiring record",
                severity="A",
            )
    yield from _restart(bench)
    yield from _presets(bench)
    yield from scheme_lines(bench, CONTROLS)
    yield from _hazards(bench)


def _restart(bench: Bench) -> Iterator[Item]:
    if "two-wire run" in bench.schemes or "hand-off-auto" in bench.schemes:
        policy = bench.setting_words("power_return")
        answer = {True: "starts again: label fitted, people clear", False: "stays stopped", None: ""}.get(
            bench.drive.restart_on_power_return
        )
        yield check(
            "V4",
            "Power off and on with the run contact closed",
            policy or answer or "policy not in the inventory: agree it first",
            source=f"{'IEC 60204-1' if bench.iec else 'NFPA 79'} 7.5, {MEMORY}",
            severity="A",
            proves=("power_return",),
        )
    else:
        yield "V4 return of power with a closed run contact: no maintained contact in the inventory"
    if "three-wire start-stop" in bench.schemes:
        yield check(
            "V5",
            "Start and stop held together; then stop wire lifted",
            "never starts; stops",
            severity="A",
            proves=("start_method",),
        )
    if "forward-reverse" in bench.schemes:
        yield check(
            "V6", "Forward and reverse together", "as the manual says: write it down", proves=("direction_enable",)
        )
    if "jog" in bench.schemes:
        yield check("V7", "Jog", "runs at jog speed, stops at release, never latches", proves=("jog_frequency",))


def _presets(bench: Bench) -> Iterator[Item]:
    if "preset speeds" not in bench.schemes:
        yield "V8 preset speeds: none in the inventory"
        return
    every = (*bench.settings.rows, *bench.settings.untouched)
    for row in (r for r in every if r.function == "preset_speed"):
        code = format(int(row.applies_to), "03b") if row.applies_to.isdigit() else row.applies_to
        yield check(
            f"V8.{slug(row.applies_to)}",
            f"Preset {row.applies_to}, code {code}",
            f"{row.required} {row.unit}".strip(),
            source=f"setting {row.number}",
            proves=("preset_speed",),
        )


def _hazards(bench: Bench) -> Iterator[Item]:
    """Broken wires that are dangerous: lifted once, on purpose, with the motor off. Shorts are not tried."""
    wires = {c.id: c for c in bench.wiring.connections}
    told: set[tuple[str, str]] = set()
    for h in bench.wiring.hazards:
        wire = wires.get(h.connection)
        same = (wire.potential if wire and wire.potential else h.connection, h.effect)
        if h.dangerous and h.fault == "open" and same not in told:
            told.add(same)
            where = f"Wire {wire.potential} at {wire.a}" if wire else f"Wire {h.connection}"
            seen = f"noticed by {h.noticed}" if h.noticed else "nobody notices: decide whether that is safe"
            yield check(
                f"V9.{h.connection}.{slug(h.fault)}",
                f"Wire {h.connection}: {h.fault}",
                f"{h.effect}; {seen}",
                condition="motor cannot turn; on the defeat list until undone",
                source="wiring record",
                severity="A",
                defeat=f"{where} lifted: land it again",
            )


def no_load_band(bench: Bench) -> tuple[float | None, float | None]:
    """Expected no-load current at base speed. [A]"""
    motor = bench.motor
    poles = poles_of(bench)
    if motor is None or motor.current is None or motor.power is None or motor.power_factor is None or poles is None:
        return None, None
    try:
        return no_load_current_band_a(motor.current.to("A"), motor.power.to("kW"), poles, float(motor.power_factor))
    except OutOfRangeError:  # an impossible plate has its finding elsewhere
        return None, None


def uncoupled(bench: Bench) -> Iterator[Item]:
    """Direction and no-load run, coupling apart or belts off."""
    arrow = bench.machine.rotation if bench.machine else ""
    yield check(
        "U1",
        "Bump at 3 to 5 Hz, 1 to 2 s: direction",
        f"{arrow}, as the arrow" if arrow else "as the arrow on the machine",
        severity="A",
        condition="wrong: swap two leads at the motor side; the line side changes nothing",
    )
    if has_bypass(bench):
        yield check(
            "U2",
            "Direction in bypass",
            "as in drive mode",
            severity="A",
            condition=f"drive right, bypass wrong: swap two line conductors at the {bench.isolator_word}",
        )
    else:
        yield "U2 direction in bypass: no bypass in the inventory"
    run = bench.setting_words("identification_run")
    if run and run != "off":
        yield check(
            "U3",
            f"Identification run, {run}",
            "done; stator ohms within 10 % of line R3",
            proves=("identification_run",),
        )
    else:
        yield "U3 identification run: not asked for by the settings"
    low, high = no_load_band(bench)
    source = f"share of plate current usual for the size, {PRACTICE}"
    for phase in "UVW":
        yield measured(
            f"U4.{phase}",
            f"No-load current {phase} at base speed",
            "A",
            low=low,
            high=high,
            source=source,
            condition="half or double: check the links in the box",
        )
    yield measured(
        "U4.S",
        "Spread of the three",
        "%",
        high=10,
        limit="up to 5 % good, above 10 % stop",
        kind="computed",
        why="greatest deviation from the mean, from U4.U, U4.V, U4.W",
        source=f"trade article on unbalanced current; {PRACTICE}",
    )
    yield measured("U5", "Bearing above ambient, settled", "K", high=40, condition="1 h small, 4 h large")
    yield measured("U6", "Vibration at its worst speed", "mm/s", condition="rms, 10 to 1000 Hz; baseline")
    yield from scheme_lines(bench, UNCOUPLED)
