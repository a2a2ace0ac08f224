"""Figures of the motor itself: poles, slip, torque and what its plate says of itself."""

from __future__ import annotations

from collections.abc import Iterator

from binder.engineering import motor
from binder.engineering.figure import Figure, Rule
from binder.inventory.findings import Finding
from binder.sizing.context import Context


def figures(context: Context) -> Iterator[Figure | Finding]:
    """Yield the figures of the motor plate."""
    need = context.needs()
    frequency, speed = need.of("motor", "frequency", "Hz"), need.of("motor", "speed", "rpm")
    yield need.figure(
        "motor.poles",
        "Poles",
        lambda: float(motor.poles_from_speed(frequency, speed)),
        "",
        Rule("even number nearest below 120 f / n", "IEC 60034-1, NEMA MG 1: synchronous speed 120 f / p"),
    )
