"""Which symbols a device is drawn with: its contacts, its coil, and what is left."""

from __future__ import annotations

from dataclasses import dataclass

from binder.wiring.connections import Connection, Device, End


@dataclass(slots=True)
class Symbol:
    """Part of a device that is drawn as one symbol: 'contact', 'coil', 'block', or a device kind."""

    kind: str
    terminals: tuple[str, ...]
    form: str = ""  # 'NO' or 'NC' of a contact, the slider's mark of a potentiometer


def marks_of(device: Device, records: dict[End, list[Connection]]) -> list[str]:
    """Terminals of a device: those it declares, then those only records name."""
    marks = dict.fromkeys(device.terminals)
    for contact in device.contacts:
        marks.update(dict.fromkeys(contact.terminals))
    marks.update({e.terminal: None for e in records if e.device == device.tag})
    return list(marks)


#: Words in a device kind -> symbol between two rows.
TWO_TERMINAL = {
    "lamp": "lamp", "light": "lamp", "indicator": "lamp", "meter": "meter", "transmitter": "transmitter",
    "transducer": "transmitter", "brake resistor": "resistor", "brake": "brake", "coil": "coil",
    "thermistor": "thermistor", "ptc": "thermistor", "heater": "resistor", "resistor": "resistor",
    "actuator": "coil", "solenoid": "coil",
}  # fmt: skip


def symbols_of(device: Device, used: list[str]) -> list[Symbol]:
    """Cut a device into symbols; contacts and coils that nothing is wired to are left out."""
    symbols = [
        Symbol("contact", c.terminals, c.form) for c in device.contacts if any(t in used for t in c.terminals)
    ]  # fmt: skip
    held = {t for c in device.contacts for t in c.terminals}
    rest = [t for t in used if t not in held]
    if {"A1", "A2"} & set(rest) and "potentiometer" not in device.kind:
        kind = "brake" if "brake" in device.kind else "coil"
        symbols.append(Symbol(kind, ("A1", "A2")))
        rest = [t for t in rest if t not in ("A1", "A2")]
    if not rest:
        return symbols
    declared = [t for t in device.terminals if t not in held] or rest
    words = device.kind.lower()
    if "potentiometer" in words and len(declared) == 3 and set(rest) <= set(declared):
        return [*symbols, Symbol("potentiometer", tuple(declared), declared[1])]
    two = next((s for w, s in TWO_TERMINAL.items() if w in words), None)
    if two is not None and len(declared) == 2 and set(rest) <= set(declared):
        return [*symbols, Symbol(two, tuple(declared))]
    return [*symbols, Symbol("block", tuple(rest))]
