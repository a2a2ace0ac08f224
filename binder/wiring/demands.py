"""What the wiring asks of the settings and of switches and jumpers on the drive."""

from __future__ import annotations

from collections.abc import Iterator

from binder.inventory.findings import Finding, Grade
from binder.inventory.lookup import networks_of
from binder.wiring.assembly import Assembly
from binder.wiring.binding import Place
from binder.wiring.connections import Demand, DriveTerminal, Mode
from binder.wiring.ownership import ModeOwner
from binder.wiring.scheme_rows import SchemeRow, drive_finding

#: Format of an analog input by the kind of signal that the scheme brings.
FORMATS = {
    "potentiometer": "0-10 V", "0-10 V": "0-10 V", "2-10 V": "2-10 V", "4-20 mA": "4-20 mA",
    "4-20 mA loop": "4-20 mA",
}  # fmt: skip


def modes_of(a: Assembly) -> tuple[Mode, ...]:
    """Return the operating modes as printed: owners, permissives, and what selects them."""
    selector = a.ownership.selector
    made = []
    for m in a.ownership.modes:
        selected = ""
        if selector and m.feed:
            part = m.feed.split(":", maxsplit=1)[0]
            selected = f"{selector.devices[part]} in {m.name.upper()}"
        made.append(Mode(
            m.name or "always", m.command, reference_value(a, m), a.permits, selected,
            _device(m.command_row, ("K", "S1", "S", "A"), m), _device(m.reference_row, ("R", "A", "B", "S1", "K"), m),
        ))  # fmt: skip
    return tuple(made)


def _device(row: SchemeRow | None, order: tuple[str, ...], mode: ModeOwner) -> str:
    if row is None:
        return ""
    if row.owns("selector"):
        order = {"hand": ("S",), "local": ("S1", "S")}.get(mode.name, order)
    return next((row.devices[p] for p in order if p in row.devices), "")


def reference_value(a: Assembly, mode: ModeOwner) -> str:
    """Return the reference source of a mode in the settings' words; 'AI1' for an analog input."""
    if mode.reference != "input" or mode.reference_row is None:
        return mode.reference
    place = analog_place(a, mode.reference_row)
    return place.label if place else ""


def analog_place(a: Assembly, row: SchemeRow) -> Place | None:
    """Return the analog input that a row's signal lands on."""
    return next((p for k, p in a.bound.items() if p.role == "AI" and k.endswith(f"/{row.key}")), None)


def demands_of(a: Assembly, terminals: tuple[DriveTerminal, ...]) -> tuple[Demand, ...]:
    """Return every setting that the wiring asks for, each once.

    Parameters
    ----------
    a : Assembly
    terminals : tuple of DriveTerminal

    Returns
    -------
    tuple of Demand
        Modes that share a source ask once, with `applies_to` empty; else once for each mode.
    """
    found = [*_sources(a), Demand("input_logic", "", a.logic, _logic_reason(a)), *_inputs(terminals)]
    found += [*_outputs(a), *_analog(a)]
    for row in a.rows:
        found += _asked(a, row)
    if not any(d.function == "direction_enable" for d in found):
        found.append(Demand("direction_enable", "", "forward only", "no scheme asks for reverse"))
    return tuple(dict.fromkeys(found))


def conflicts(a: Assembly, demands: tuple[Demand, ...]) -> tuple[Finding, ...]:
    """Return a finding for every setting that is asked for with two values."""
    values: dict[tuple[str, str], list[Demand]] = {}
    for d in demands:
        values.setdefault((d.function, d.applies_to), []).append(d)
    return tuple(
        drive_finding(
            "W134", Grade.STOP, a.drive, "tag",
            f"{function} of {where}".removesuffix(" of ").replace("_", " ")
            + " is asked to be " + " and ".join(f"'{d.value}'" for d in ds),
            accepted="one value", remedy="the schemes of this drive do not go together: change one of them",
        )
        for (function, where), ds in values.items() if len({d.value for d in ds}) > 1
    )  # fmt: skip


def _logic_reason(a: Assembly) -> str:
    rail = "+24 V" if a.logic == "positive" else "0 V"
    return f"contacts bring {rail} to the inputs"


def _sources(a: Assembly) -> Iterator[Demand]:
    for function, value in (
        ("command_source", {m.name: m.command for m in a.ownership.modes}),
        ("reference_source", {m.name: reference_value(a, m) for m in a.ownership.modes}),
    ):
        known = {name: v for name, v in value.items() if v}
        if known and len(set(value.values())) == 1:
            yield Demand(function, "", next(iter(known.values())), "same in every mode" if len(known) > 1 else "wiring")
        else:
            for name, v in known.items():
                yield Demand(function, name, v, f"wiring, in {name}" if name else "wiring")


def _inputs(terminals: tuple[DriveTerminal, ...]) -> Iterator[Demand]:
    for t in terminals:
        if t.role == "DI":
            reason = "wired" if t.function else "no wire: switched off so that a stray signal does nothing"
            yield Demand("digital_input_function", t.label, t.function or "not_used", reason)


def _outputs(a: Assembly) -> Iterator[Demand]:
    for key, place in a.bound.items():
        function = key.split("/")[0]
        if place.role == "RO":
            yield Demand("relay_function", place.label, function, "wired")
        elif place.role == "AO":
            yield Demand("analog_output_function", place.label, function, "wired")
            voltage = place.terminals[0].signal == "voltage"
            why = "the output is a voltage" if voltage else "live zero: a broken wire shows"
            yield Demand("analog_output_format", place.label, "0-10 V" if voltage else "4-20 mA", why)


def _analog(a: Assembly) -> Iterator[Demand]:
    for row in a.rows:
        place = analog_place(a, row)
        if place and row.recipe.analog in FORMATS:
            yield Demand("analog_input_format", place.label, FORMATS[row.recipe.analog], row.recipe.title.lower())
            function = next(k for k, p in a.bound.items() if p is place).split("/")[0]
            if function == "process_feedback":
                yield Demand("process_feedback_source", "", place.label, "the transmitter lands there")


def _asked(a: Assembly, row: SchemeRow) -> Iterator[Demand]:
    for ask in row.recipe.asks:
        if not a.holds(row, ask.when):
            continue
        code = str(2**row.index)
        value = ask.value
        if value.startswith("{value:"):
            unit = value[7:-1]
            given = row.control.value
            if given is None or given.unit != unit:
                continue  # told by the cross checks
            value = f"{given.to(unit):g} {unit}"
        yield Demand(ask.function, ask.applies_to.format(code=code), value, ask.reason)


def switches_of(a: Assembly) -> tuple[tuple[str, str], ...]:
    """Return the hardware switches and jumpers of the drive and their position."""
    found: list[tuple[str, str]] = []
    if any(t.role == "DI" for t in a.source):
        to = "0 V" if a.logic == "positive" else "+24 V"
        found.append(("input logic jumper", f"{a.logic} logic: input common to {to}"))
    for row in a.rows:
        place = analog_place(a, row)
        if place and place.terminals[0].signal in {"either", ""} and row.recipe.analog in FORMATS:
            kind = "current" if FORMATS[row.recipe.analog].endswith("mA") else "voltage"
            found.append((f"{place.label} voltage/current switch", kind))
        found += row.recipe.switches
    found += [
        (f"{p.label} voltage/current switch", "current")
        for p in a.bound.values()
        if p.role == "AO" and p.terminals[0].signal == "either"
    ]
    for node in networks_of(a.inventory, a.drive):
        if node.terminated is not None:
            found.append(("line terminator", "on" if node.terminated else "off"))
    return tuple(dict.fromkeys(found))
