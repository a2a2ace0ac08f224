"""Test sheets done with everything dead: delivery, mechanical, power wiring, windings, control wires."""

from __future__ import annotations

import datetime as dt
from collections.abc import Iterator

from binder.engineering.control_supply import conductor_ohm
from binder.engineering.figure import display
from binder.engineering.insulation import (
    WINDING_SPREAD_PERCENT,
    circuit_limit,
    most_meaningful_mohm,
    raw_limit_mohm,
    winding_limit_mohm,
    winding_test_voltage_v,
)
from binder.engineering.tables import OutsideTableError
from binder.field.bench import ABSENT, MEMORY, PRACTICE, Bench, check, measured, plain, slug
from binder.field.energies import has_bypass
from binder.field.sheets import TestLine
from binder.inventory.lookup import cable_of, cables_of
from binder.inventory.records import Cable
from binder.sizing.dead_tests import CABLE_LEAST_MOHM, CABLE_SOURCE, CABLE_TEST_V
from binder.wiring.connections import Kind

#: A line, or in words a line that does not apply and why.
Item = TestLine | str

_SHELF_PAPER = "trade association paper on shelf life; sources differ, the manual decides"
#: Motors above this are tested for ten minutes; smaller ones for one. [kW]
POLARIZATION_FROM_KW = 150.0
_POLARIZATION_SIZE = f"ANSI/NETA ATS 7.15, 200 hp, {MEMORY}"
_ALUMINUM_TO_COPPER = 1.64  # resistivity ratio, IEC 60121 over IEC 60028, from memory
_LOOSE_EARTHING = (
    "IT",
    "corner grounded delta",
    "ungrounded delta",
    "center-tapped delta",
    "high-resistance grounded",
    "low-resistance grounded",
)


def months_without_power(bench: Bench) -> int | None:
    """Whole months from last power (else manufacture) to the issue date; None when a date is missing."""
    drive, today = bench.drive, bench.inventory.site.issue_date
    since = drive.last_powered or drive.manufactured
    return None if since is None or today is None else _months(since, today)


def _months(start: dt.date, end: dt.date) -> int:
    return (end.year - start.year) * 12 + end.month - start.month - (end.day < start.day)


def reforming(months: int | None) -> str:
    """What to do with the DC link capacitors before the first full voltage.

    Parameters
    ----------
    months : int or None
        Months without power.

    Returns
    -------
    str

    Examples
    --------
    >>> reforming(8)
    'none needed'

    References
    ----------
    Trade association paper on the shelf life of drives: under one year nothing, one to two years
    rated voltage without load, beyond in steps. Figures in sources differ; the manual decides.
    """
    if months is None:
        return "find the date of last power first"
    if months < 12:
        return "none needed"
    if months <= 24:
        return "rated voltage, no load, 30 to 60 min"
    minutes = 30 if months <= 36 else 120
    return f"25, 50, 75, 100 % of voltage, {minutes} min each, no load"


def delivery(bench: Bench) -> Iterator[Item]:
    """Delivery and storage: plates, age, damage."""
    drive, motor, model = bench.drive, bench.motor, bench.model
    rated = model and (model.output_current_heavy if drive.duty == "heavy" else model.output_current_light)
    yield check("D1", "Packing, shock marks, moisture, parts", "no damage, nothing missing")
    yield check(
        "D2",
        "Drive plate",
        f"model {drive.model}, {rated or 'rated current not in the inventory'}"
        f"{', ' + drive.duty + ' duty' if drive.duty else ''}",
        source="equal to the inventory",
    )
    if motor is not None:
        plate = ", ".join(
            str(v) for v in (motor.power, motor.voltage, motor.current, motor.frequency, motor.speed) if v
        )
        yield check(
            "D3",
            "Motor plate, and links in the box",
            f"{plate or 'not in the inventory'}{', ' + motor.connection if motor.connection else ''}",
            source="equal to the inventory",
        )
    else:
        yield "D3 motor plate: no motor in the inventory"
    months = months_without_power(bench)
    yield check(
        "D4",
        "Capacitors after storage",
        reforming(months),
        source=_SHELF_PAPER,
        condition=f"{months} months without power at issue" if months is not None else "date not in the inventory",
    )
    if motor is not None and motor.space_heater_voltage is not None:
        yield check("D5", "Motor stored dry, heater on", f"heater at {motor.space_heater_voltage}", source=MEMORY)
    else:
        yield "D5 space heater in storage: the motor has none"
    yield check("D6", "Photographs: plates, terminals, damage", drive.photographs or "taken and filed by tag")


def mechanical(bench: Bench) -> Iterator[Item]:
    """Mechanical state and place."""
    model, machine = bench.model, bench.machine
    ambient = plain(model.rated_ambient, "°C") if model else None
    yield check(
        "M1",
        "Air path and clearances of the drive",
        "as the manual asks; nothing above the outlet",
        source=model.manual if model and model.manual else "manual of the drive",
    )
    yield measured(
        "M2",
        "Air at the drive's inlet",
        "°C",
        high=ambient,
        source=f"rated ambient, {model.manual or 'manual'}" if model and ambient is not None else PRACTICE,
    )
    yield check("M3", "Foundation, bolts, transport lock off, grease", "sound, done")
    drive_by = machine.transmission if machine else ""
    if drive_by == "direct":
        yield measured(
            "M4",
            "Coupling offset",
            "mm",
            high=0.1,
            condition="cold, bolted down",
            limit="up to 0.05 mm good, 0.10 mm at most, at 1800 rpm",
            source=MEMORY,
        )
    elif drive_by == "belt":
        yield check("M4", "Belts: aligned, tensioned, sheaves as the inventory", _sheaves(bench))
    else:
        yield f"M4 alignment: transmission is {drive_by or 'not in the inventory'}"
    yield check("M5", "Guards", "fitted and fixed", severity="A")
    yield check("M6", "Turn the shaft by hand", "a full turn, free, no rub", condition="locked out")
    yield check("M7", "Valves, dampers, brake", "position known and written down")
    if bench.iec:
        yield check(
            "M8", "Room to work at the drive", "door opens fully, way out free", source="IEC 60364-7-729, " + MEMORY
        )
    else:
        yield check(
            "M8",
            "Room to work at the drive",
            "3, 3.5 or 4 ft deep by condition, 30 in wide, 6.5 ft high",
            source="NEC 110.26(A), 151 to 600 V to ground, " + MEMORY,
        )


def _sheaves(bench: Bench) -> str:
    machine = bench.machine
    if machine is None or machine.motor_sheave is None or machine.machine_sheave is None:
        return "sheaves not in the inventory: measure and write down"
    return f"motor {machine.motor_sheave}, machine {machine.machine_sheave}"


def power_wiring(bench: Bench) -> Iterator[Item]:
    """Power wiring, dead."""
    drive, model = bench.drive, bench.model
    yield check(
        "W1",
        "Line on the line terminals, motor on the motor terminals",
        "a second person has looked",
        severity="A",
        condition="photograph",
    )
    yield check("W2", "Every power wire against the wire list", "number, size, colour, terminal")
    yield check("W3", "Drive output", "no capacitor, surge arrester or lamp on U, V, W", severity="A")
    if "motor isolator contact" in bench.schemes:
        yield check(
            "W4",
            "Motor isolator: early contact",
            "opens before the main poles",
            severity="A",
            condition="operate slowly, meter on the contact",
        )
    else:
        yield "W4 early contact of a motor isolator: no such isolator in the inventory"
    yield check(
        "W5",
        "Motor cable: screen and earth",
        "screen clamped all round at both ends, earth in the same cable, bare metal",
    )
    yield check(
        "W6",
        "Terminal torque",
        "label's value, every joint marked; tool serial written",
        source="label of the device; NEC 110.14(D)" if not bench.iec else "label of the device",
    )
    yield _jumper(bench)
    device = " ".join(str(v) for v in (drive.protection_kind, drive.protection_rating) if v)
    yield check(
        "W8",
        "Protective device",
        device or "not in the inventory: read and write down",
        severity="A",
        source="equal to the inventory and the drive's manual",
        condition=model.fault_rating_device if model else "",
    )
    yield _earth(bench)
    yield from _brake_resistor(bench)


def _jumper(bench: Bench) -> TestLine:
    earthing = bench.supply.earthing if bench.supply else ""
    want = bench.drive.filter_jumper or (
        "removed where the manual asks" if earthing in _LOOSE_EARTHING else "as the manual asks"
    )
    return check(
        "W7",
        "Jumpers of filter and surge parts",
        want,
        condition=f"supply: {earthing or 'earthing not in the inventory'}",
        source="manual of the drive",
        severity="A" if earthing in _LOOSE_EARTHING else "B",
    )


def _earth(bench: Bench) -> TestLine:
    """Protective conductor, motor frame to panel earth: computed ohms of its length and size, 20 % more."""
    cable = cable_of(bench.inventory, bench.drive, "motor")
    length, size = (plain(cable.length, "m"), cable.earth_size) if cable else (None, None)
    if cable is None or length is None or size is None:
        return measured(
            "W9",
            "Earth, motor frame to panel",
            "Ω",
            high=0.5,
            source=f"frame to ground, {PRACTICE}",
            why="length or size of the earth conductor not in the inventory",
            severity="A",
        )
    sets = cable.sets or 1
    metal = _ALUMINUM_TO_COPPER if cable.material == "aluminum" else 1.0
    ohms = metal * conductor_ohm(length, size.area_mm2) / sets
    return measured(
        "W9",
        "Earth, motor frame to panel",
        "Ω",
        high=max(0.1, 1.2 * ohms),
        expected=f"{ohms:.3f} Ω at 20 °C",
        condition=f"{length:g} m of {size}, meter leads zeroed",
        severity="A",
        source=f"1.2 times the computed ohms, not below 0.1 Ω for the joints, {PRACTICE}",
    )


def _brake_resistor(bench: Bench) -> Iterator[Item]:
    drive, model = bench.drive, bench.model
    if drive.brake_resistance is None:
        yield "W10 brake resistor: none in the inventory"
        return
    ohms = drive.brake_resistance.to("Ω")
    least = plain(model.min_brake_resistance, "Ω") if model else None
    yield measured(
        "W10",
        "Brake resistor, cold",
        "Ω",
        low=max(0.9 * ohms, least or 0),
        high=1.1 * ohms,
        expected=str(drive.brake_resistance),
        severity="A",
        source=f"plate ±10 %, {PRACTICE}; never below the drive's minimum",
    )
    if "brake resistor thermal switch" in bench.schemes:
        yield measured("W11", "Thermal switch of the resistor", "Ω", high=1.0, severity="A", condition="closed, cold")
    else:
        yield f"W11 thermal switch of the resistor: {ABSENT}"


def winding_source(bench: Bench) -> str:
    """Which standard the insulation of a winding is judged by."""
    return f"IEC 60034-27-4:2018, {MEMORY}; IEEE 43-2013 has the same figures" if bench.iec else "IEEE 43-2013"


def windings(bench: Bench) -> Iterator[Item]:
    """Insulation and windings, drive disconnected."""
    for cable in cables_of(bench.inventory, bench.drive):
        if cable.role in ("line", "motor"):
            yield _cable_insulation(bench, cable)
    least, volts = _winding_rule(bench)
    yield measured("R2.T", "Winding temperature", "°C", condition="just before the test")
    yield measured(
        "R2.M",
        "Motor winding to frame, 1 min, as read",
        "MΩ",
        condition=f"{volts}, drive off the cable, U V W joined",
        expected=raw_needed(least),
        limit="judged at 40 °C, line R2.C",
        source=winding_source(bench),
    )
    yield measured(
        "R2.C",
        "Motor winding, corrected to 40 °C",
        "MΩ",
        low=least,
        expected="100 MΩ and more when new",
        source=f"{winding_source(bench)}; random-wound or below 1 kV, by the stricter of two corrections",
        severity="A",
        kind="computed",
        why="from R2.M and R2.T",
    )
    yield from _polarization(bench)
    for pair in ("UV", "VW", "WU"):
        yield measured(f"R3.{pair}", f"Winding resistance {pair[0]} to {pair[1]}", "Ω", condition="leads zeroed")
    yield measured(
        "R3.S",
        "Spread of the three",
        "%",
        high=WINDING_SPREAD_PERCENT,
        source="within 2 % of the mean: trade article on unbalanced current",
        kind="computed",
        why="greatest deviation from the mean, from R3.UV, R3.VW, R3.WU",
    )
    yield from _sensor(bench)
    if "several motors" in bench.schemes:
        yield check("R5", "Each motor by itself", "R2 and R3 repeated on a sheet per motor")
    control = "ohmmeter only" if bench.wiring.connections else "no control wiring in the inventory"
    yield check("R6", "Control wires", f"no insulation tester on electronics: {control}", severity="A", source=PRACTICE)


def _polarization(bench: Bench) -> Iterator[Item]:
    """Ten minutes over one, where the winding is large enough for the figure to mean something."""
    power = plain(bench.motor.power, "kW") if bench.motor else None
    if power is None:
        yield "R2.PI polarization index: power of the motor not in the inventory"
        return
    if power <= POLARIZATION_FROM_KW:
        yield (
            f"R2.PI polarization index: not meaningful for small random-wound motors ({winding_source(bench)}); none "
            f"asked up to {POLARIZATION_FROM_KW:g} kW ({PRACTICE if bench.iec else _POLARIZATION_SIZE})"
        )
        return
    letter = bench.motor.insulation_class if bench.motor else ""
    yield measured(
        "R2.10",
        "Motor winding to frame, 10 min, as read",
        "MΩ",
        condition="the same test left on, winding temperature unchanged",
        limit="judged against the 1 min reading, line R2.PI",
        source=winding_source(bench),
    )
    yield measured(
        "R2.PI",
        "Polarization index",
        "",
        low=bench.figures.number("test.polarization_index"),
        expected=f"insulation class {letter}" if letter else "insulation class not in the inventory",
        source=f"{winding_source(bench)}, by thermal class; above {display(most_meaningful_mohm())} MΩ it says "
        f"nothing; asked above {POLARIZATION_FROM_KW:g} kW: {PRACTICE if bench.iec else _POLARIZATION_SIZE}",
        kind="computed",
        why="10 min over 1 min, from R2.M and R2.10",
    )
    yield measured(
        "R2.30",
        "Motor winding to frame, 30 s, as read",
        "MΩ",
        condition="optional: the same test, read on the way to 1 min",
        limit="for the absorption ratio, line R2.DAR",
        optional=True,
    )
    yield measured(
        "R2.DAR",
        "Absorption ratio, optional",
        "",
        expected="above 1.25",
        source=f"1.25: {PRACTICE}; IEEE 43 gives least values for the polarization index alone ({MEMORY})",
        kind="computed",
        why="60 s over 30 s, from R2.30 and R2.M",
        optional=True,
    )


def _winding_rule(bench: Bench) -> tuple[float | None, str]:
    """Least insulation at 40 °C and test voltage in words, for the motor's plate voltage."""
    volts = plain(bench.motor.voltage, "V") if bench.motor else None
    if volts is None:
        return None, "test voltage for the plate voltage, which is not in the inventory"
    try:
        return winding_limit_mohm(volts), f"{winding_test_voltage_v(volts)[0]:g} V DC"
    except OutsideTableError:
        return None, "winding above 1 kV: its test voltage is outside this binder"


def raw_needed(least_mohm: float | None) -> str:
    """What the tester must show at a cold, a mild and a warm winding for the least value at 40 °C.

    Examples
    --------
    >>> raw_needed(5.0)
    'at least 40 MΩ at 10 °C, 20 MΩ at 20 °C, 10 MΩ at 30 °C'
    """
    if least_mohm is None:
        return ""
    parts = [f"{max(raw_limit_mohm(least_mohm, t)):.0f} MΩ at {t} °C" for t in (10, 20, 30)]
    return "at least " + ", ".join(parts)


def _cable_insulation(bench: Bench, cable: Cable) -> TestLine:
    what = f"{cable.role.capitalize()} cable {cable.tag}, each core to the others and earth"
    line = f"R1.{slug(cable.tag)}"
    if not bench.iec:
        return measured(
            line,
            what,
            "MΩ",
            low=CABLE_LEAST_MOHM,
            severity="A",
            condition=f"{CABLE_TEST_V:g} V DC (600 V cable), 1 min, both ends off; 500 V if a winding stays on",
            expected="over 1000 MΩ when new and short",
            source=f"{CABLE_SOURCE} {MEMORY}",
        )
    volts = plain(bench.supply.voltage, "V") if bench.supply else None
    test_v, least = circuit_limit(volts) if volts else (None, None)
    return measured(
        line,
        what,
        "MΩ",
        low=least,
        severity="A",
        condition=f"{test_v:g} V DC, 1 min, both ends off" if test_v else "supply voltage not in the inventory",
        expected="over 1000 MΩ when new",
        source="IEC 60364-6:2016 Table 6.1",
    )


def _sensor(bench: Bench) -> Iterator[Item]:
    kind = bench.motor.thermal_sensor if bench.motor else ""
    if "thermistor" in bench.schemes or kind == "thermistor":
        yield measured(
            "R4",
            "Thermistors, three in series, cold",
            "Ω",
            low=60,
            high=750,
            severity="A",
            condition="meter at or below 2.5 V a sensor; never the insulation tester",
            source="60 to 750 Ω for three: motor instructions, IEC 60034-11 class from memory",
        )
    elif "thermal switch" in bench.schemes or kind == "thermal switch":
        yield measured("R4", "Thermal switch of the motor, cold", "Ω", high=1, severity="A", condition="closed")
    elif kind in ("", "none"):
        yield "R4 winding sensor: none in the inventory"
    else:
        yield measured("R4", f"Winding sensor {kind}, cold", "Ω", condition="note the temperature")


def point_to_point(bench: Bench) -> Iterator[Item]:
    """Control wires one by one, then devices, switches and links."""
    yield from _wires(bench)
    for device in sorted(bench.wiring.devices, key=lambda d: d.tag):
        if device.contacts or device.positions:
            chart = "every position against its chart" if device.positions else "each contact opens and closes"
            what = f"Operate {device.tag}, {device.kind}"
            yield check(f"P2.{slug(device.tag)}", what, chart, condition="at its real place")
    yield from _potentiometer(bench)
    for name, position in sorted(bench.wiring.switches):
        what = f"Switch or jumper {name}"
        yield check(f"P4.{slug(name)}", what, position, source="wiring record", condition="photograph")
    if "safe torque off" in bench.schemes:
        yield check(
            "P5",
            "Safe torque off, unpowered: each channel opened and bridged",
            "channels apart, factory links out",
            severity="A",
            source="IEC 61800-5-2; ISO 13849-2",
        )
    else:
        yield f"P5 safe torque off wiring: {ABSENT}"
    if "network" in bench.schemes:
        yield measured(
            "P6",
            "Serial pair, line to line, all off",
            "Ω",
            low=54,
            high=66,
            expected="60 Ω, two terminators",
            source=f"two 120 Ω ends in parallel, ±10 %, {PRACTICE}",
        )
    if has_bypass(bench):
        yield check("P7", "Bypass: push each contactor by hand", "the other one is blocked", severity="A")


def _wires(bench: Bench) -> Iterator[Item]:
    if not bench.wiring.connections:
        yield "P1 control wires: no connection in the inventory"
    for c in sorted(bench.wiring.connections, key=lambda c: c.id):
        if c.kind in (Kind.LINK, Kind.BRIDGE):
            expected = "fitted"
        elif c.kind is Kind.SCREEN and "insulated" in (c.a.terminal, c.b.terminal):
            expected = "cut back and insulated, not landed"
        elif c.kind is Kind.SCREEN:
            expected = "landed; over 1 MΩ to its cores"
        else:
            expected = "closed with far end joined, open when parted; open to neighbours"
        number = f"wire {c.potential}, " if c.potential else ""
        condition = f"{number}{c.colour}".strip(", ")
        yield check(f"P1.{c.id}", f"{c.a} to {c.b}", expected, condition=condition, proves=(c.id,))


def _potentiometer(bench: Bench) -> Iterator[Item]:
    control = bench.control("speed potentiometer")
    if control is None:
        yield "P3 potentiometer: none in the inventory"
        return
    ohms = plain(control.value, "Ω") if control.value is not None and control.value.unit.endswith("Ω") else None
    yield measured(
        "P3.R",
        "Potentiometer, end to end",
        "Ω",
        low=None if ohms is None else 0.8 * ohms,
        high=None if ohms is None else 1.2 * ohms,
        condition="one end lifted",
        expected=str(control.value) if ohms else "marking",
        source=f"marking ±20 %, {PRACTICE}",
    )
    yield check("P3.W", "Wiper, turned clockwise", "ohms to the low end rise without jumps")
