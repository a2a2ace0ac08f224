"""The two power cables of a drive, as the conductor topics speak of them."""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class Wire:
    """One power cable: its record, the topic of its figures, its name in words and its findings' codes."""

    record: str  # 'line_cable' or 'motor_cable'
    topic: str
    words: str
    conductor_code: str
    earth_code: str


LINE = Wire("line_cable", "line", "line", "E210", "E215")
MOTOR = Wire("motor_cable", "cable", "motor cable", "E211", "E216")
