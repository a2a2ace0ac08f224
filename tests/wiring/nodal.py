"""A small nodal analysis of finished wiring, written apart from the package, to judge its readings.

Every conductor is a resistor; the drive's inputs, supplies and the devices are their textbook models.
"""

from __future__ import annotations

import numpy as np

from binder.wiring.connections import Connection, Kind, Wiring

WIRE = 0.05
CONTACT = 0.1
INPUT = 3000.0  # a 24 V input that draws 8 mA
METER = 10e6
LEAK = 1e10
AI_VOLTAGE, AI_CURRENT = 20e3, 250.0
POT = 5000.0
LIMIT_24, LIMIT_10 = 0.5, 0.02  # amperes at which the supplies give up


class Bench:
    """One drive's wiring on the bench: set the states, read with a meter."""

    def __init__(self, wiring: Wiring) -> None:
        self.w = wiring
        self.states = {d.tag: d.rest for d in wiring.devices if d.states}
        self.percent = 50.0
        self.missing: set[str] = set()
        self.shorts: list[tuple[str, str]] = []

    def role(self, role: str) -> list[str]:
        return [f"{self.w.designation}:{t.number}" for t in self.w.terminals if t.role == role]

    def conductors(self) -> list[Connection]:
        return [c for c in self.w.connections if c.kind is not Kind.SCREEN and c.id not in self.missing]

    def _resistors(self, probe: tuple[str, str] | None) -> list[tuple[str, str, float]]:
        found = [(str(c.a), str(c.b), WIRE) for c in self.conductors()]
        for d in self.w.devices:
            for contact, chart in zip(d.contacts, d.closed_in, strict=True):
                if chart[d.states.index(self.states[d.tag])]:
                    a, b = contact.terminals
                    found.append((f"{d.tag}:{a}", f"{d.tag}:{b}", CONTACT))
            if d.kind == "potentiometer":
                x = min(max(self.percent / 100, 1e-4), 1 - 1e-4)
                found.append((f"{d.tag}:1", f"{d.tag}:2", POT * (1 - x)))
                found.append((f"{d.tag}:2", f"{d.tag}:3", POT * x))
        zero = self.role("N24")[0]
        common = (self.role("DIC") or ([zero] if self.w.logic == "positive" else self.role("P24")))[0]
        found += [(t, common, INPUT) for t in (*self.role("DI"), *self.role("EN"))]
        found += [(t, zero, INPUT) for r in ("STO1", "STO2") for t in self.role(r)]
        found += [(t, self.role("A0")[0], self.load(t)) for t in self.role("AI")]
        found.append((self.role("A0")[0], zero, 1.0))  # joined inside the drive
        found += [(a, b, WIRE) for a, b in self.shorts]
        if probe:
            found.append((*probe, METER))
        return found

    def load(self, terminal: str) -> float:
        label = next(t.label for t in self.w.terminals if f"{self.w.designation}:{t.number}" == terminal)
        form = next((d.value for d in self.w.demands
                     if d.function == "analog_input_format" and d.applies_to == label), "0-10 V")  # fmt: skip
        return AI_CURRENT if form.endswith("mA") else AI_VOLTAGE

    def _sources(self, live: dict[str, bool]) -> list[tuple[str, str, float, float]]:
        """Sources with inner resistance: plus, minus, volts, ohms."""
        zero, analog = self.role("N24")[0], self.role("A0")[0]
        found = [(t, zero, 24.0 if live["24"] else 0.0, 0.05) for r in ("P24", "STOS") for t in self.role(r)]
        found += [(t, analog, 10.0 if live["10"] else 0.0, 1.0) for t in self.role("R10")]
        for d in self.w.devices:
            if d.kind == "power supply":
                found.append((f"{d.tag}:+", f"{d.tag}:-", 24.0, 0.05))
            if d.kind == "controller" and d.scheme == "0-10 V reference":
                found.append((f"{d.tag}:AO1+", f"{d.tag}:AO1-", self.percent / 10, 50.0))
        return found

    def _currents(self) -> list[tuple[str, str, float]]:
        """Current sources: the loop of a controller pushes, a two-wire transmitter draws."""
        amperes = (4 + 16 * self.percent / 100) / 1000
        found = []
        for d in self.w.devices:
            if d.kind == "controller" and d.scheme == "4-20 mA reference":
                found.append((f"{d.tag}:AO1-", f"{d.tag}:AO1+", amperes))
            if d.kind == "transmitter":
                found.append((f"{d.tag}:+", f"{d.tag}:-", amperes))
        return found

    def solve(self, probe: tuple[str, str] | None = None) -> dict[str, float]:
        """Node voltages; a supply that is loaded past its limit is taken as dead."""
        live = {"24": True, "10": True}
        for _ in range(3):
            volts, loads = self._once(live, probe)
            dead = {k for k, limit in (("24", LIMIT_24), ("10", LIMIT_10)) if live[k] and loads[k] > limit}
            if not dead:
                break
            live.update(dict.fromkeys(dead, False))
        self.live = live
        return volts

    def _once(self, live: dict[str, bool], probe: tuple[str, str] | None) -> tuple[dict[str, float], dict[str, float]]:
        resistors, sources, currents = self._resistors(probe), self._sources(live), self._currents()
        resistors += [(a, b, 1e6) for a, b, _ in currents]  # a real source gives up when its loop is open
        names = sorted({n for entry in (*resistors, *sources, *currents) for n in entry[:2]})
        ground = self.role("N24")[0]
        index = {n: k for k, n in enumerate(n for n in names if n != ground)}
        size = len(index) + len(sources)
        matrix, right = np.zeros((size + 1, size + 1)), np.zeros(size + 1)  # the last row is the ground's
        at = {**index, ground: size}
        for a, b, ohm in resistors:
            for x, y, sign in ((a, a, 1), (b, b, 1), (a, b, -1), (b, a, -1)):
                matrix[at[x], at[y]] += sign / ohm
        for k in index.values():
            matrix[k, k] += 1 / LEAK
        for a, b, amperes in currents:
            right[at[a]] -= amperes
            right[at[b]] += amperes
        for k, (plus, minus, volts, ohm) in enumerate(sources, len(index)):
            for n, sign in ((plus, 1), (minus, -1)):
                matrix[at[n], k] += sign
                matrix[k, at[n]] += sign
            matrix[k, k] -= ohm
            right[k] = volts
        x = np.linalg.solve(matrix[:size, :size], right[:size])
        found = {n: float(x[k]) for n, k in index.items()} | {ground: 0.0}
        loads = {"24": 0.0, "10": 0.0}
        for k, source in enumerate(sources, len(index)):
            rail = "10" if source[0] in self.role("R10") else "24"
            loads[rail] = max(loads[rail], abs(float(x[k])))
        return found, loads

    def volts(self, a: str, b: str) -> float:
        """What a 10 MΩ meter shows between two points."""
        solved = self.solve((a, b))
        return solved.get(a, 0.0) - solved.get(b, 0.0)

    def milliamperes(self, terminal: str) -> float:
        """Current into an analog input."""
        solved = self.solve()
        return (solved[terminal] - solved[self.role("A0")[0]]) / self.load(terminal) * 1000

    def active(self) -> set[str]:
        """Functions whose input sees 15 V or more across itself (type 1 of IEC 61131-2, from memory)."""
        solved = self.solve()
        zero = self.role("N24")[0]
        common = (self.role("DIC") or [zero])[0]
        found = set()
        for t in self.w.terminals:
            name = f"{self.w.designation}:{t.number}"
            if t.role in {"DI", "EN"} and t.function and abs(solved[name] - solved[common]) >= 15:
                found.add(t.function)
            if t.role in {"STO1", "STO2"} and t.function and solved[name] - solved[zero] >= 15:
                found.add(t.function)
        return found
