"""The lockout card of one drive: energies, isolators, steps, and what is refused as an isolator."""

from __future__ import annotations

import re
from collections.abc import Iterator, Sequence

from binder.engineering.figure import display
from binder.field.bench import Bench
from binder.field.energies import KINDS, STORED_CHARGE, Found, energies, has_bypass, kinds_of
from binder.field.sheets import EnergySource, LockoutCard
from binder.inventory.findings import Finding, Grade
from binder.inventory.lookup import fold, isolators_of
from binder.inventory.records import Isolator

#: Words for control devices: they command, they do not cut energy (29 CFR 1910.147(b),
#: 'energy isolating device', leaves out push buttons, selector switches and control circuit devices).
_CONTROL_DEVICE = re.compile(
    r"\b(stop\s*(key|button|push\s*-?button|station)|stop(?!\s*valve)|selector|hand[\s-]*off[\s-]*auto|h-?o-?a|e-?stop|emergency\s*stop"
    r"|safe\s*torque\s*off|sto|enable|run\s*permit|key\s*-?pad|push\s*-?button|push\s*buttons?|interlock|limit\s*switch"
    r"|contactor|relay|software|controller|pilot\s*device)\b",
    re.IGNORECASE,
)
#: Isolators between drive and motor: good for work on the motor behind them, never for the drive.
_MOTOR_SIDE = re.compile(r"\bmotor\b|\boutput\b", re.IGNORECASE)
#: Devices of the control drawings that people take for isolators.
_COMMAND_KINDS = (
    "selector",
    "pushbutton",
    "emergency stop",
    "safety relay",
    "controller",
    "keypad",
    "contactor",
    "relay",
)

NOT_ISOLATORS = (
    "Stop key of the keypad",
    "Selector switch in OFF",
    "Emergency stop",
    "Safe torque off: it takes the torque, not the voltage",
    "Run enable and interlock contacts",
    "Keypad lock, software stop, network stop",
    "Contactor, even when open: it can be closed by its coil",
    "Motor isolator, for work on the drive: the drive stays live",
)

CHARGE_NOTE = "The time is only a guide. The meter decides: below 50 V DC, at every point, or wait on."


def lockout_card(bench: Bench) -> LockoutCard:
    """Make the lockout card of a drive from its records.

    Parameters
    ----------
    bench : Bench

    Returns
    -------
    LockoutCard
        With a stop finding for every energy that nothing isolates, and for every control device
        that is offered as an isolator.

    References
    ----------
    29 CFR 1910.147(c)(4), (d), (e); 29 CFR 1910.333(b)(2)(iv): controls operated to verify that
    nothing starts, then the test for voltage; NFPA 70E, electrically safe work condition;
    EN 50110-1, working de-energized (order of the steps from memory, check).
    """
    findings: list[Finding] = []
    usable, refused = _sorted_out(bench, findings)
    sources = [_source(found, bench, usable, refused, findings) for found in energies(bench)]
    sources.insert(1, _charge(bench))
    minutes = _wait(bench, findings)
    return LockoutCard(
        drive=bench.drive.tag,
        scope=_scope(bench),
        sources=tuple(sources),
        wait_minutes=minutes,
        computed_discharge_s=bench.figures.number("bus.discharge_time"),
        stored_energy_j=bench.figures.number("bus.stored_energy"),
        bus_volts=bench.figures.number("bus.no_load"),
        steps=tuple(_steps(bench, sources, minutes)),
        test_points=test_points(bench, sources),
        return_steps=_return_steps(bench),
        not_isolators=(*NOT_ISOLATORS, *_own_command_devices(bench)),
        rules=_rules(bench),
        findings=tuple(findings),
        wait_source=_wait_source(bench),
        inspection=("Date", "Inspector", "Employees it was gone through with", "Deviations and mending"),
        inspection_rule=_inspection_rule(bench),
    )


def is_control_device(isolator: Isolator, bench: Bench) -> bool:
    """True when a row of the Isolation sheet is a control device by its kind, its tag or the drawings."""
    if _CONTROL_DEVICE.search(isolator.kind.replace("_", " ")) or _CONTROL_DEVICE.search(isolator.tag):
        return True
    drawn = {fold(d.tag).lstrip("-") for d in bench.wiring.devices if d.kind in _COMMAND_KINDS}
    return fold(isolator.tag).lstrip("-") in drawn


def _sorted_out(bench: Bench, findings: list[Finding]) -> tuple[list[Isolator], list[Isolator]]:
    """Isolators of this drive that may be used, and those that are refused."""
    usable: list[Isolator] = []
    refused: list[Isolator] = []
    for isolator in isolators_of(bench.inventory, bench.drive):
        if is_control_device(isolator, bench):
            refused.append(isolator)
            findings.append(_refusal(isolator, bench))
            continue
        usable.append(isolator)
        findings.extend(_doubts(isolator, bench))
    return usable, refused


def _at(isolator: Isolator, field: str) -> tuple[str, str]:
    return isolator.origin.sheet or "Isolation", isolator.origin.cell(field)


def _refusal(isolator: Isolator, bench: Bench) -> Finding:
    return Finding(
        "F110",
        Grade.STOP,
        *_at(isolator, "kind"),
        bench.drive.tag,
        found=f"{isolator.tag} ({isolator.kind or 'kind not given'}) is a control device; it isolates nothing",
        accepted="a device that parts the circuit and takes a lock: disconnect switch, breaker, valve, block, pin",
        remedy="Name the lockable device that cuts this energy, or fit one.",
        column="kind",
    )


def _doubts(isolator: Isolator, bench: Bench) -> Iterator[Finding]:
    if isolator.lockable is False:
        yield Finding(
            "F111",
            Grade.STOP,
            *_at(isolator, "lockable"),
            bench.drive.tag,
            found=f"{isolator.tag} cannot be locked open",
            accepted="an isolator that takes a lock "
            + ("(EN 50110-1, secure against re-closing)" if bench.iec else "(29 CFR 1910.147(c)(2))"),
            remedy="Fit a locking device, or name another isolator.",
            column="lockable",
        )
    elif isolator.lockable is None:
        yield Finding(
            "F115",
            Grade.CAUTION,
            *_at(isolator, "lockable"),
            bench.drive.tag,
            found=f"nobody says whether {isolator.tag} can be locked open",
            accepted="yes or no",
            remedy="Look at the device and fill the cell.",
            column="lockable",
        )
    if not kinds_of(isolator.energy) and fold(isolator.tag) not in _named(bench):
        yield Finding(
            "F114",
            Grade.CAUTION,
            *_at(isolator, "energy"),
            bench.drive.tag,
            found=f"energy '{isolator.energy}' of {isolator.tag} is not understood, so it isolates nothing here",
            accepted="incoming supply, control supply, external 24 V, space heater, bypass, common DC bus, gravity ...",
            remedy="Name the energy in these words.",
            column="energy",
        )


def _named(bench: Bench) -> frozenset[str]:
    motor = bench.motor
    return frozenset(fold(t) for t in (bench.drive.isolator, motor.space_heater_isolator if motor else "") if t)


def _source(
    found: Found, bench: Bench, usable: list[Isolator], refused: list[Isolator], findings: list[Finding]
) -> EnergySource:
    """One row of the energy table, with its isolator or the finding that there is none."""
    kind = found.kind
    if found.unknown:
        findings.append(_unknown(found, bench))
    fitting = [i for i in usable if _cuts(i, found)]
    if fitting:
        return EnergySource(
            kind.key,
            found.magnitude,
            ", ".join(i.tag for i in fitting),
            "; ".join(i.place or "place not in the inventory" for i in fitting),
            _of_each(fitting, [i.method or kind.method for i in fitting]),
            _of_each(fitting, [i.proof or kind.proof for i in fitting]),
            found.found_from,
            kind.key,
        )
    barred = [i.tag for i in refused if _cuts(i, found)]
    if not barred and not found.unknown:
        findings.append(_missing(found, bench))
    word = f"REFUSED: {', '.join(barred)} is a control device" if barred else "NONE NAMED"
    return EnergySource(kind.key, found.magnitude, word, "", kind.method, kind.proof, found.found_from, kind.key)


def _of_each(isolators: Sequence[Isolator], texts: Sequence[str]) -> str:
    """The text once where it is the same for all, else each behind its isolator: a valve and a pin differ."""
    if len(set(texts)) == 1:
        return texts[0]
    return "; ".join(f"{i.tag}: {text.rstrip('.')}" for i, text in zip(isolators, texts, strict=True))


def _cuts(isolator: Isolator, found: Found) -> bool:
    """True when an isolator cuts this energy for work on the drive itself."""
    kinds = kinds_of(isolator.energy)
    supply = found.kind.key == "incoming supply"
    if supply and _MOTOR_SIDE.search(isolator.kind):
        return False  # it leaves the drive live
    if found.isolator and fold(isolator.tag) == fold(found.isolator):
        # named by the record itself: any word for electricity (or any mechanical one) will do
        return not kinds or any(KINDS[k].mechanical == found.kind.mechanical for k in kinds)
    return found.kind.key in kinds and not (supply and found.isolator)


def _missing(found: Found, bench: Bench) -> Finding:
    named = found.isolator and f" (the inventory names {found.isolator}, which the sheet Isolation does not give)"
    sheet = found.origin.sheet or found.sheet
    return Finding(
        found.kind.code,
        Grade.STOP,
        sheet,
        found.origin.cell(found.field),
        bench.drive.tag,
        found=f"nothing isolates the {found.kind.key} of {bench.drive.tag}: {found.magnitude}{named or ''}",
        accepted=f"a row on the sheet Isolation with energy '{found.kind.key}' and this drive",
        remedy="Name the lockable isolator, its place, how to lock it and how to prove it.",
        column=found.field,
    )


def _unknown(found: Found, bench: Bench) -> Finding:
    return Finding(
        "F118",
        Grade.CAUTION,
        found.origin.sheet or found.sheet,
        found.origin.cell(found.field),
        bench.drive.tag,
        found=f"{found.magnitude}: it may be live with {bench.drive.tag} off",
        accepted=f"its voltage, for example 24 V or 120 V, and an isolator with energy '{found.kind.key}'",
        remedy="Ask whose circuit it is, fill the voltage, name its isolator on the sheet Isolation.",
        column=found.field,
    )


def _charge(bench: Bench) -> EnergySource:
    joules, volts = bench.figures.number("bus.stored_energy"), bench.figures.number("bus.no_load")
    size = [f"{display(joules)} J, computed"] if joules is not None else ["energy not computed: capacitance not given"]
    size += [f"{display(volts)} V DC when live"] if volts is not None else []
    return EnergySource(
        STORED_CHARGE,
        ", ".join(size),
        "none: wait and measure",
        "in the drive",
        "wait the label's time, then measure",
        "below 50 V DC: DC+ to DC-, DC+ to PE, DC- to PE",
        f"model {bench.drive.model}",
        STORED_CHARGE,
    )


def _wait(bench: Bench, findings: list[Finding]) -> float | None:
    model = bench.model
    if model is not None and model.wait_time is not None:
        return model.wait_time.to("min")
    sheet, cell = ("Models", model.origin.cell("wait_time")) if model else ("Drives", bench.drive.origin.cell("model"))
    findings.append(
        Finding(
            "F113",
            Grade.STOP,
            model.origin.sheet or sheet if model else sheet,
            cell,
            bench.drive.tag,
            found="waiting time after switching off is not known",
            accepted="minutes from the label, for example 5 min",
            remedy="Read the label on the drive, and type minutes and manual page.",
            column="wait_time",
        )
    )
    return None


def _wait_source(bench: Bench) -> str:
    model = bench.model
    if model is None or model.wait_time is None:
        return "not in the inventory: read the label on the drive"
    parts = [model.manual or f"manual of model {model.model}", model.manual_page and f"page {model.manual_page}"]
    return ", ".join(p for p in parts if p)


def _scope(bench: Bench) -> str:
    drive = bench.drive
    parts = [f"drive {drive.tag}"]
    parts += [f"motor {bench.motor.tag}"] if bench.motor else []
    parts += [f"machine {bench.machine.tag}"] if bench.machine else []
    serves = f" It serves: {drive.feeds}." if drive.feeds else ""
    return f"For work on {', '.join(parts)} and the wiring between them, with no part live.{serves}"


def _point(bench: Bench, role: str) -> str:
    return bench.terminal(role) or role


def test_points(bench: Bench, sources: list[EnergySource]) -> tuple[str, ...]:
    """Where dead is proven on this drive, with its printed terminals.

    Parameters
    ----------
    bench : Bench
    sources : list of EnergySource

    Returns
    -------
    tuple of str
    """
    one_phase = bench.model is not None and bench.model.input_phases == 1
    line = [_point(bench, r) for r in (("L1", "L2") if one_phase else ("L1", "L2", "L3"))]
    motor = [_point(bench, r) for r in ("U", "V", "W")]
    points = [
        f"Line: {_pairs(line)}, each to PE: 0 V AC",
        f"DC link: {_point(bench, 'DC+')} to {_point(bench, 'DC-')}, each to PE: below 50 V DC",
        f"Motor: {_pairs(motor)}, each to PE: 0 V AC",
    ]
    points += [
        f"{source.energy[0].upper()}{source.energy[1:]}: {source.proof}"
        for source in sources
        if source.kind not in ("incoming supply", STORED_CHARGE)
    ]
    if any(t.role.startswith("RO") for t in bench.terminals):
        points.append("Relay contacts of the drive, each to PE and to each other: 0 V")
    return tuple(dict.fromkeys(points))


def _pairs(ends: list[str]) -> str:
    if len(ends) == 2:
        return f"{ends[0]} to {ends[1]}"
    return ", ".join(f"{a} to {b}" for a, b in zip(ends, [*ends[1:], ends[0]], strict=True))


def _steps(bench: Bench, sources: list[EnergySource], minutes: float | None) -> Iterator[str]:
    wait = "the minutes on the drive's label" if minutes is None else f"{display(minutes)} minutes"
    yield "Tell the people affected. Say what is locked and for how long."
    yield "Stop the drive by its normal stop. See the shaft stand still. Put selectors to OFF."
    if bench.self_starts:
        events = ", ".join(bench.self_starts)
        yield f"Caution: this drive may start by itself ({events}). Keep clear until it is locked."
    for source in sources:
        if source.kind == STORED_CHARGE:
            continue
        name = f"{source.energy[0].upper()}{source.energy[1:]}"
        if not source.place:
            yield f"{name}: {source.isolator}. DO NOT START until somebody names how to {source.method}."
        else:
            yield f"{name}: {source.isolator}, {source.place}: {source.method.rstrip('.')}."
    yield "Each person: own lock, own tag. Group work and shift change: as the site's procedure says."
    # Before any cover: a wrong isolator must show while hands are still outside.
    yield "Try to start from every station. Nothing may move. Put selectors back to OFF."
    if has_bypass(bench):
        yield "Try the bypass too."
    yield f"Wait {wait}. Covers stay shut. {CHARGE_NOTE}"
    yield "Caution: until proven dead, treat as live. Wear what the arc-flash label and the process ask."
    yield "Open the covers. Reach into nothing yet."
    yield "Prove the meter on a known live source. Measure every test point below. Prove the meter again."
    yield "DC not falling: a discharge resistor may be open. Close up, leave it, call. Never short it with a tool."
    if bench.iec:
        yield "Earth and short-circuit where the site's procedure asks for it. Screen live parts nearby."
    else:
        yield "Fit temporary grounds where the site's procedure asks for them."
    yield "Break for more than a moment, or energy may come back: measure again before hands go in."


def _return_steps(bench: Bench) -> tuple[str, ...]:
    steps = [
        "Count tools. Take off earths, blocks and test leads."
        if bench.iec
        else "Count tools. Take off grounds, blocks and test leads.",
        "Refit covers and guards. Check every line of the defeat list.",
        "Selectors to OFF. People clear and told.",
        "Each person takes off their own lock.",
        "Mechanical energy back first, then control, then line.",
        "Watch the first start.",
    ]
    if "return of power" in bench.self_starts:
        steps.insert(4, "Caution: the drive may start by itself as the line closes. Clear the machine first.")
    return tuple(steps)


def _own_command_devices(bench: Bench) -> tuple[str, ...]:
    """This drive's own selectors, stops, relays and motor isolators by tag, so that nobody trusts one."""
    drawn = [
        f"{d.tag}: {d.kind}{', ' + d.text if d.text else ''}"
        for d in sorted(bench.wiring.devices, key=lambda d: d.tag)
        if d.kind in _COMMAND_KINDS
    ]
    behind = [
        f"{i.tag}: {i.kind}, for work on the drive"
        for i in isolators_of(bench.inventory, bench.drive)
        if _MOTOR_SIDE.search(i.kind)
    ]
    return (*drawn, *behind)


def _rules(bench: Bench) -> tuple[str, ...]:
    site = bench.inventory.site
    own = f"the site's written procedure {site.lockout_procedure}".rstrip() + " and its authorized people"
    if bench.iec:
        return (own, "EN 50110-1, working de-energized", "national law on electrical work", "the manual of the drive")
    return (
        own,
        "29 CFR 1910.147 (control of hazardous energy)",
        "29 CFR 1910.333(b) (electrical work de-energized); for construction 29 CFR 1926.416 and 1926.417",
        "NFPA 70E, electrically safe work condition (clause moves with the edition)",
        "the manual of the drive",
    )


def _inspection_rule(bench: Bench) -> str:
    if bench.iec:
        return "Go through this card at least yearly with the people who use it (common practice, no source)."
    return (
        "At least yearly, by an authorized employee other than the ones using it: date, machine, employees, inspector "
        "(29 CFR 1910.147(c)(6))."
    )
