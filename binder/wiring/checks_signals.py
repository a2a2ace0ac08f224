"""Checks of signals and supplies: loop power, screens, loads, restart, loss of the reference."""

from __future__ import annotations

from collections.abc import Iterator

from binder.engineering.control_supply import LOOP_TOP_MA, largest_burden_ohm
from binder.engineering.figure import Figures
from binder.engineering.speed_reference import potentiometer_current_ma
from binder.inventory.findings import Finding, Grade
from binder.wiring.assembly import Assembly
from binder.wiring.connections import End, Kind, Wiring
from binder.wiring.demands import FORMATS, analog_place
from binder.wiring.expected_analog import loop_ohm
from binder.wiring.scheme_rows import drive_finding, row_finding

#: Least volts of a two-wire transmitter; common practice, no source: its data sheet decides.
_TRANSMITTER_MIN_V = 12.0
#: Two hundred and fifty ohms is the usual burden, 500 Ω the most a source drives; common practice, no source.
_SOURCE_BURDEN_OHM = 500.0


def loop_power(a: Assembly, wiring: Wiring) -> Iterator[Finding]:
    """W112: one power source on a current loop, and enough volts for burden and wire."""
    plus = {End(wiring.designation, t.number) for t in wiring.terminals if t.role == "P24"}
    fed = {c.potential for c in wiring.connections if plus & {c.a, c.b}}
    for row in a.rows:
        place = analog_place(a, row)
        if place is None or not FORMATS.get(row.recipe.analog, "").endswith("mA"):
            continue
        device = row.devices.get("A") or row.devices.get("B", "")
        touches = any(device in {c.a.device, c.b.device} and c.potential in fed for c in wiring.connections)
        if row.recipe.analog == "4-20 mA" and touches:
            yield row_finding(
                "W112", Grade.STOP, row, "scheme", f"{device} powers its loop and the drive's +24 V feeds it too",
                accepted="one source of power in a loop", remedy="remove the +24 V wire, or use '4-20 mA transmitter'",
            )  # fmt: skip
        if row.recipe.analog == "4-20 mA loop" and device and not touches and wiring.supply == "internal":
            yield row_finding(
                "W112", Grade.STOP, row, "scheme", f"nothing powers the loop of {device}",
                accepted="+24 V at the transmitter's positive terminal", remedy="restore the wire to +24 V",
            )  # fmt: skip
        if not place.terminals[0].signal:
            yield row_finding(
                "W112", Grade.CAUTION, row, "scheme", f"whether {place.label} takes current is not known",
                accepted="voltage, current or either in the column 'Signal' of the sheet Terminals",
                remedy="look it up in the drive's manual",
            )  # fmt: skip
        yield from _burden(a, wiring, row.key, device)


def _burden(a: Assembly, wiring: Wiring, row_key: str, device: str) -> Iterator[Finding]:
    row = next(r for r in a.rows if r.key == row_key)
    burden = a.model.analog_current_burden.to("Ω") if a.model and a.model.analog_current_burden else None
    wire = loop_ohm(wiring, device)
    if burden is None or wire is None:
        return
    loop = row.recipe.analog == "4-20 mA loop"
    limit = largest_burden_ohm(24.0, _TRANSMITTER_MIN_V, LOOP_TOP_MA) if loop else _SOURCE_BURDEN_OHM
    if burden + wire > limit:
        yield row_finding(
            "W112", Grade.CAUTION, row, "length",
            f"loop of {device}: {burden:g} Ω input and {wire:.0f} Ω wire are more than {limit:.0f} Ω",
            accepted=f"at most {limit:.0f} Ω (common practice, the data sheet decides)",
            remedy="larger conductors, a shorter route, or a transmitter with lower voltage",
        )  # fmt: skip


def shields(a: Assembly, wiring: Wiring) -> Iterator[Finding]:
    """W118: a signal screen is landed at one end, an encoder's at both; cables that need one have one."""
    for cable in wiring.cables:
        landed = [c for c in wiring.connections if c.kind is Kind.SCREEN and c.a.device == cable.tag]
        grounded = [c for c in landed if c.b.terminal not in {"insulated", "shell"}]
        row = next((r for r in a.rows if r.control.cable.strip() == cable.tag), None)
        row = row or next((r for r in a.rows if cable.to_place in {d.place for d in wiring.devices
                                                                  if d.tag in r.devices.values()}), None)  # fmt: skip
        needs = cable.signal.value in {"analog", "safety", "motor sensor", "network"}
        if needs and not cable.screened and row:
            yield row_finding(
                "W118", Grade.CAUTION, row, "cable",
                f"cable {cable.tag} carries {cable.signal.value} and has no screen",
                accepted="a screened cable", remedy="change the cable, or keep it far from power cables and say so",
            )  # fmt: skip
        if len(grounded) > 1 and row:
            yield row_finding(
                "W118", Grade.CAUTION, row, "cable", f"the screen of {cable.tag} is landed {len(grounded)} times",
                accepted="one end, unless the manual asks for both", remedy="insulate the far end",
            )  # fmt: skip


def supply_load(a: Assembly, wiring: Wiring, figures: Figures) -> Iterator[Finding]:
    """W117: what the wiring draws from +24 V stays within its limit."""
    told = figures.get("control.load_24v")
    model = a.model
    if (told is not None and told.verdict) or model is None or wiring.supply == "external":
        return
    inputs = [t for t in wiring.terminals if t.function and t.role in {"DI", "EN", "STO1", "STO2"}]
    loops = sum(1 for r in a.rows if r.recipe.analog == "4-20 mA loop" and "B" in r.devices)
    coils = [d.tag for d in wiring.devices if _coil_on_24v(wiring, d.tag)]
    if coils:
        row = next(r for r in a.rows if coils[0] in r.devices.values())
        yield row_finding(
            "W117", Grade.CAUTION, row, "devices",
            f"coil of {', '.join(coils)} hangs on the drive's 24 V: current unknown",
            accepted="its current within what the inputs leave",
            remedy="compare the coil's plate with the supply's limit",
        )  # fmt: skip
    if model.input_current_di is None or model.supply_24v_limit is None:
        return
    total = len(inputs) * model.input_current_di.to("mA") + loops * LOOP_TOP_MA
    limit = model.supply_24v_limit.to("mA")
    if total > limit:
        yield drive_finding(
            "W117", Grade.STOP, a.drive, "control_supply",
            f"{len(inputs)} inputs and {loops} transmitter(s) draw {total:.0f} mA from +24 V",
            accepted=f"at most {limit:g} mA", remedy="use an external 24 V supply",
        )  # fmt: skip


def _coil_on_24v(wiring: Wiring, tag: str) -> bool:
    rails = {End(wiring.designation, t.number) for t in wiring.terminals if t.role in {"P24", "N24"}}
    live = {c.potential for c in wiring.connections if rails & {c.a, c.b}}
    coil = {End(tag, "A1"), End(tag, "A2")}
    return any(c.potential in live for c in wiring.connections if coil & {c.a, c.b})


def reference_supply(a: Assembly, wiring: Wiring, figures: Figures) -> Iterator[Finding]:
    """W117: potentiometers draw no more than the 10 V supply gives; their ohms are known."""
    told = figures.get("reference.potentiometer_current")
    for row in a.rows:
        if row.recipe.analog != "potentiometer":
            continue
        value = row.control.value
        if value is None or value.unit not in {"Ω", "kΩ"} or value.amount <= 0:
            yield row_finding(
                "W117", Grade.CAUTION, row, "value", f"ohms of {row.devices.get('R', 'the potentiometer')} not given",
                accepted="2 kΩ to 10 kΩ, for example '5 kΩ'", remedy="read them off the potentiometer",
            )  # fmt: skip
            continue
        limit = a.model.reference_10v_limit if a.model else None
        current = potentiometer_current_ma(10.0, value.to("Ω"))
        if limit is not None and current > limit.to("mA") and not (told is not None and told.verdict):
            yield row_finding(
                "W117", Grade.STOP, row, "value", f"{value} draws {current:.1f} mA from the 10 V supply",
                accepted=f"at most {limit}", remedy=f"at least {10.0 / limit.to('mA'):.1f} kΩ",
            )  # fmt: skip


def restart(a: Assembly, wiring: Wiring) -> Iterator[Finding]:
    """W119: a maintained command and restart on return of power start the drive by themselves."""
    if a.drive.restart_on_power_return is not True:
        return
    rows = [m.command_row for m in a.ownership.modes if m.command_row]
    maintained = next((r for r in rows if r.recipe.restarts or r.owns("network")), None)
    if maintained:
        yield drive_finding(
            "W119", Grade.CAUTION, a.drive, "restart_on_power_return",
            f"'{maintained.recipe.key}' starts the drive by itself when power returns",
            accepted="no, or yes with a label at the machine and the consent of its owner",
            remedy="fit the warning label and test it in the acceptance run",
        )  # fmt: skip


def loss_reaction(a: Assembly, wiring: Wiring) -> Iterator[Finding]:
    """W120: every reference has a reaction to its loss, or it is said that its loss cannot be noticed."""
    for row in a.rows:
        place = analog_place(a, row)
        if place is None or row.recipe.analog not in FORMATS:
            continue
        form = FORMATS[row.recipe.analog]
        if form.startswith("0"):
            yield row_finding(
                "W120", Grade.NOTE, row, "scheme", f"the loss of a {form} signal at {place.label} cannot be noticed",
                accepted="2-10 V or 4-20 mA where it must be",
                remedy="accept it knowingly: a broken wire looks like a low reference, an open low end of a"
                " potentiometer like full speed",
            )  # fmt: skip
        elif not a.drive.loss_of_reference:
            yield drive_finding(
                "W120", Grade.CAUTION, a.drive, "loss_of_reference",
                f"no reaction is chosen for the loss of the {form} signal at {place.label}",
                accepted="trip, ramp to stop, hold last, preset speed, minimum speed or ignore",
                remedy="choose with the process owner",
            )  # fmt: skip


def presets_complete(a: Assembly, wiring: Wiring) -> Iterator[Finding]:
    """W125: every preset and the jog have a frequency, and numbers of several inputs together are told."""
    rows = [r for r in a.rows if r.recipe.code in {"CS12", "CS03"}]
    for row in rows:
        value = row.control.value
        if value is None or value.unit != "Hz":
            yield row_finding(
                "W125", Grade.CAUTION, row, "value", f"no frequency for '{row.recipe.key}'",
                accepted="a frequency, for example '30 Hz'", remedy="write the speed it calls",
            )  # fmt: skip
    presets = [r for r in rows if r.recipe.code == "CS12"]
    if len(presets) > 1:
        codes = [str(n) for n in range(1, 2 ** len(presets)) if n & (n - 1)]
        yield row_finding(
            "W125", Grade.NOTE, presets[-1], "value",
            f"preset numbers {', '.join(codes)} (several inputs at once) have no frequency here",
            accepted="a value on the sheet Overrides, or contacts that never close together",
            remedy="decide what the drive does on them: they also pass by during a change",
        )  # fmt: skip
    if len(presets) > 3:
        yield row_finding(
            "W125", Grade.STOP, presets[3], "scheme", f"{len(presets)} preset inputs",
            accepted="three, which make seven speeds", remedy="use the network or an analog reference",
        )  # fmt: skip
