"""Which energies a drive has: found from its records, never typed in."""

from __future__ import annotations

import re
from collections.abc import Iterator
from dataclasses import dataclass

from binder.engineering.figure import display
from binder.field.bench import Bench
from binder.inventory.lookup import fold, partners_of
from binder.inventory.quantities import Measure
from binder.inventory.records import Origin


@dataclass(frozen=True, slots=True)
class EnergyKind:
    """A kind of energy: how it is isolated and how it is proven gone, unless the sheet says better."""

    key: str
    code: str  # of the finding when nothing isolates it
    words: str  # pattern that recognises it in the column 'Energy'
    method: str
    proof: str
    mechanical: bool = False


#: In the order in which the words of an isolator are tried: the narrow ones first.
KINDS: dict[str, EnergyKind] = {
    k.key: k
    for k in (
        EnergyKind("space heater", "F103", r"heater", "open, lock, tag", "0 V AC at the heater leads in the motor box"),
        EnergyKind("bypass", "F104", r"by-?\s?pass", "open, lock, tag", "0 V AC at the bypass contactor, line side"),
        EnergyKind(
            "common DC bus",
            "F105",
            r"\bd\.?c\.?[\s-]*(bus|link)",
            "open both poles, lock, tag",
            "below 50 V DC at DC+ and DC-",
        ),
        EnergyKind(
            "other drive",
            "F106",
            r"other drive|back-?\s?feed|partner|standby drive",
            "open, lock, tag",
            "0 V AC between U, V, W and each to PE",
        ),
        EnergyKind(
            "back-spin",
            "F107",
            r"back-?\s?spin|rotat|wind|flow|coast",
            "block the shaft, or close the valve or damper and lock it",
            "shaft stands and cannot be turned",
            mechanical=True,
        ),
        EnergyKind(
            "gravity",
            "F107",
            r"gravit|weight|suspended|height|hoist",
            "lower the load to its stop, or block it",
            "load rests, nothing moves when the brake is lifted",
            mechanical=True,
        ),
        EnergyKind(
            "trapped pressure",
            "F107",
            r"pressur|hydraul|pneum|steam",
            "close, lock, vent",
            "gauge at zero and vent open",
            mechanical=True,
        ),
        EnergyKind(
            "spring",
            "F107",
            r"spring",
            "release the spring, or block it",
            "spring slack or blocked, seen",
            mechanical=True,
        ),
        EnergyKind(
            "permanent-magnet motor",
            "F108",
            r"magnet|shaft|generat",
            "block the shaft, or part the coupling",
            "shaft cannot turn, 0 V AC between U, V, W",
            mechanical=True,
        ),
        EnergyKind("motor fan", "F109", r"\bfan\b|blower", "open, lock, tag", "0 V AC at the fan's terminals"),
        EnergyKind("brake coil supply", "F109", r"brake", "open, lock, tag", "0 V at the brake rectifier"),
        EnergyKind("external 24 V", "F102", r"\b24\s?v", "open, lock, tag", "0 V DC between P24 and N24"),
        EnergyKind(
            "relay circuit of others",
            "F109",
            r"others|foreign|signal|relay circuit",
            "open, lock, tag",
            "0 V between the relay contacts and each to PE",
        ),
        EnergyKind(
            "control supply",
            "F102",
            r"control|relay|\b1[12]\d\s?v",
            "open, lock, tag",
            "0 V AC at the control circuit's terminals",
        ),
        EnergyKind(
            "incoming supply",
            "F101",
            r"incoming|supply|line|main|electr|power|feed|\d\s?v\b",
            "open, see the gap, lock, tag",
            "0 V AC between L1, L2, L3 and each to PE",
        ),
    )
}

#: The charge in the drive itself: no isolator cuts it, so none is asked for.
STORED_CHARGE = "charge in the DC link"


@dataclass(frozen=True, slots=True)
class Found:
    """An energy that the records show, and the cell that shows it."""

    kind: EnergyKind
    magnitude: str
    found_from: str
    origin: Origin
    field: str
    sheet: str
    isolator: str = ""  # tag that the records name for it
    unknown: bool = False  # voltage not in the inventory: `field` is the cell where it belongs


def energies(bench: Bench) -> tuple[Found, ...]:
    """Every energy of a drive, supply first.

    Parameters
    ----------
    bench : Bench

    Returns
    -------
    tuple of Found
    """
    parts = (_supply, _control, _heater, _bypass, _common_bus, _other_drives, _foreign, _machine, _magnet)
    return tuple(found for part in parts for found in part(bench))


def kinds_of(text: str) -> frozenset[str]:
    """Kinds of energy named in a cell; several may stand there, parted by ';', ',', '+' or 'and'.

    Examples
    --------
    >>> sorted(kinds_of("480 V supply and motor space heater"))
    ['incoming supply', 'space heater']
    >>> kinds_of("something else")
    frozenset()
    """
    found = set()
    for part in re.split(r"[;,+&/]|\band\b", text, flags=re.IGNORECASE):
        kind = next((k for k in KINDS.values() if re.search(k.words, part, re.IGNORECASE)), None)
        if kind is not None:
            found.add(kind.key)
    return frozenset(found)


def _supply(bench: Bench) -> Iterator[Found]:
    drive, supply = bench.drive, bench.supply
    parts = []
    if supply is not None:
        parts.append(str(supply.voltage) if supply.voltage else "voltage not in the inventory")
        parts += [f"{supply.phases}-phase"] if supply.phases else []
        parts += [str(supply.frequency)] if supply.frequency else []
    feed = " ".join(p for p in (drive.panel, drive.circuit and f"circuit {drive.circuit}") if p)
    text = ", ".join([*parts, f"from {feed}" if feed else "source not in the inventory"])
    yield Found(
        KINDS["incoming supply"], text, f"drive {drive.tag}", drive.origin, "isolator", "Drives", drive.isolator
    )


def _volts(value: Measure | None, otherwise: str) -> str:
    """A voltage typed for a scheme; ohms and the like are no voltage."""
    return str(value) if value is not None and value.unit in {"V", "kV", "mV"} else otherwise


def _control(bench: Bench) -> Iterator[Found]:
    seen = False
    for control in bench.controls:
        if control.scheme == "external 24 V":
            seen = True
            yield Found(
                KINDS["external 24 V"],
                _volts(control.value, "24 V DC"),
                f"scheme {control.scheme}",
                control.origin,
                "scheme",
                "Controls",
            )
        elif control.scheme == "interposing relay":
            yield Found(
                KINDS["control supply"],
                _volts(control.value, "voltage not in the inventory"),
                f"scheme {control.scheme}",
                control.origin,
                "scheme",
                "Controls",
            )
    if bench.drive.control_supply == "external" and not seen:
        yield Found(
            KINDS["external 24 V"],
            "24 V DC",
            f"drive {bench.drive.tag}, control supply external",
            bench.drive.origin,
            "control_supply",
            "Drives",
        )


def _heater(bench: Bench) -> Iterator[Found]:
    motor, control = bench.motor, bench.control("space heater")
    if motor is not None and motor.space_heater_voltage is not None:
        yield Found(
            KINDS["space heater"],
            str(motor.space_heater_voltage),
            f"motor {motor.tag}, space heater",
            motor.origin,
            "space_heater_isolator",
            "Motors",
            motor.space_heater_isolator,
        )
    elif control is not None:
        yield Found(
            KINDS["space heater"],
            _volts(control.value, "voltage not in the inventory"),
            "scheme space heater",
            control.origin,
            "scheme",
            "Controls",
            motor.space_heater_isolator if motor else "",
        )


def has_bypass(bench: Bench) -> bool:
    """True when the drive's row or its schemes name a bypass."""
    return bench.drive.bypass.strip().casefold() not in ("", "no", "none", "-") or "bypass" in bench.schemes


def _bypass(bench: Bench) -> Iterator[Found]:
    if has_bypass(bench):
        volts = str(bench.supply.voltage) if bench.supply and bench.supply.voltage else "line voltage"
        yield Found(
            KINDS["bypass"],
            f"{volts} past the drive to the motor",
            f"drive {bench.drive.tag}, bypass {bench.drive.bypass}".rstrip(),
            bench.drive.origin,
            "bypass",
            "Drives",
        )


def _common_bus(bench: Bench) -> Iterator[Found]:
    bus = bench.drive.common_dc_bus.strip()
    if bus.casefold() in ("", "no", "none", "-"):
        return
    others = [d.tag for d in bench.inventory.drives if fold(d.common_dc_bus) == fold(bus) and d.tag != bench.drive.tag]
    volts = bench.figures.number("bus.no_load")
    size = f"{display(volts)} V DC" if volts else "line voltage times 1.41, DC"
    shared = f", shared with {', '.join(sorted(others))}" if others else ""
    yield Found(
        KINDS["common DC bus"],
        f"{size}, bus {bus}{shared}",
        f"drive {bench.drive.tag}, common DC bus",
        bench.drive.origin,
        "common_dc_bus",
        "Drives",
    )


def _other_drives(bench: Bench) -> Iterator[Found]:
    """Drives that share this motor or machine, and partners in lead-lag."""
    drive = bench.drive
    for other in partners_of(bench.inventory, drive):
        if drive.motor and fold(other.motor) == fold(drive.motor):
            text, field = f"drive {other.tag} can feed the same motor {drive.motor}", "motor"
        else:
            text, field = f"drive {other.tag} can turn the same machine {drive.machine}", "machine"
        yield Found(KINDS["other drive"], text, f"drive {other.tag}", drive.origin, field, "Drives", other.isolator)
    control = bench.control("lead-lag")
    if control is not None:
        yield Found(
            KINDS["other drive"],
            "control voltage of the partner drive on shared terminals",
            "scheme lead-lag",
            control.origin,
            "scheme",
            "Controls",
        )


#: Schemes fed from elsewhere -> kind of energy.
_FED_FROM_ELSEWHERE = {
    "motor fan": "motor fan",
    "mechanical brake": "brake coil supply",
}

#: Schemes that report by a relay contact of the drive: others feed the circuit, and it stays live.
_RELAY_REPORTS = ("fault relay", "run relay", "ready relay", "at speed relay", "in auto relay")


def _foreign(bench: Bench) -> Iterator[Found]:
    for control in bench.controls:
        key = _FED_FROM_ELSEWHERE.get(control.scheme)
        if key is not None:
            yield Found(
                KINDS[key],
                _volts(control.value, "voltage not in the inventory"),
                f"scheme {control.scheme}",
                control.origin,
                "scheme",
                "Controls",
            )
    yield from _relay_circuits(bench)


def _relay_circuits(bench: Bench) -> Iterator[Found]:
    """Each circuit of others once; a blank voltage is told as unknown, never taken for a dry contact."""
    told: set[str] = set()
    for control in bench.controls:
        if control.scheme not in _RELAY_REPORTS:
            continue
        named = re.search(r"\b[AH]\s*=\s*([^;,]+)", control.devices)
        whose = named.group(1).strip() if named else "others"
        volts = _volts(control.value, "")
        text = f"relay circuit of {whose}, {volts or 'voltage not in the inventory'}"
        if text in told:
            continue
        told.add(text)
        yield Found(
            KINDS["relay circuit of others"],
            text,
            f"scheme {control.scheme}",
            control.origin,
            "scheme" if volts else "value",
            "Controls",
            unknown=not volts,
        )


def _machine(bench: Bench) -> Iterator[Found]:
    machine = bench.machine
    if machine is None:
        return
    for field, key, text in (
        ("backspin", "back-spin", "the machine can turn the motor with the drive off"),
        ("gravity", "gravity", "the load can fall"),
        ("trapped_pressure", "trapped pressure", "pressure stays in the machine or its pipes"),
        ("spring", "spring", "a loaded spring"),
    ):
        if getattr(machine, field):
            yield Found(
                KINDS[key], text, f"machine {machine.tag}, {field.replace('_', ' ')}", machine.origin, field, "Machines"
            )


def _magnet(bench: Bench) -> Iterator[Found]:
    motor = bench.motor
    if motor is not None and motor.permanent_magnet:
        yield Found(
            KINDS["permanent-magnet motor"],
            "the motor makes voltage at U, V, W whenever its shaft turns",
            f"motor {motor.tag}, permanent magnet",
            motor.origin,
            "permanent_magnet",
            "Motors",
        )
