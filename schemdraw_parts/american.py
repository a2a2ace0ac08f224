"""North American contacts and what operates them, standing in a row drawing: ladder forms turned by 90 degrees.

IEEE 315 and NEMA ICS 19. The bars of a relay contact, with a slanting line when it breaks, stand in
several sources; buttons in one; every other form here is from memory, check. Left of the contact is
where a ladder has 'below': a switch is drawn with its actuator there, pushing the blade to the right.
"""

from __future__ import annotations

from schemdraw_parts.base import Part
from schemdraw_parts.style import PITCH, THIN

#: Operators whose contact is two bars; the device's letters say what moves it.
BARS = ("", "relay", "hand", "overload")
#: Operators whose contact is two circles and a bridging bar on a stem.
BUTTONS = ("push", "mushroom", "turn", "key")
_UPPER, _LOWER = 2.1, PITCH - 1.9  # centres of the two circles below the upper row
_RING = 0.4


def bars(part: Part, x: float, top: float, form: str) -> float:
    """Draw two bars across the line, a slanting line over both when the contact breaks; returns x of its middle."""
    upper, lower = top + 2.6, top + PITCH - 2.6
    part.line((x, top + 1.7), (x, upper))
    part.line((x, lower), (x, top + PITCH - 1.5))
    part.line((x - 1.6, upper), (x + 1.6, upper))
    part.line((x - 1.6, lower), (x + 1.6, lower))
    if form == "NC":
        part.line((x - 1.5, lower + 0.9), (x + 1.5, upper - 0.9))
    return x - 1.6 if form == "NO" else x - 0.3


def button(part: Part, x: float, top: float, form: str) -> float:
    """Draw two circles and a bar: apart from them when open, across both on their far side when closed."""
    for y in (top + _UPPER, top + _LOWER):
        part.ring(x, y, _RING)
    bar = x + _RING if form == "NC" else x - 1.1
    part.line((bar, top + 1.5), (bar, top + PITCH - 1.3))
    return bar


def switch(part: Part, x: float, top: float, form: str, *, foot: bool) -> float:
    """Draw two circles and a blade hinged at the lower one; `foot` adds the cam of a limit switch.

    Open, the blade hangs left of the upper circle; closed, it lies against that circle's right side.
    """
    for y in (top + _UPPER, top + _LOWER):
        part.ring(x, y, _RING)
    hinge = (x, top + _LOWER - _RING)
    tip = (x + 0.75, top + 1.3) if form == "NC" else (x - 1.6, top + 1.6)
    part.line(hinge, tip)

    def along(share: float) -> tuple[float, float]:
        return hinge[0] + share * (tip[0] - hinge[0]), hinge[1] + share * (tip[1] - hinge[1])

    if foot:
        cam = (along(0.35)[0] - 1.5, along(0.35)[1])
        part.line(along(0.2), cam, along(0.5), along(0.2))
        return cam[0]
    return along(0.5)[0]


def head(part: Part, operator: str, x: float, y: float, link: float) -> None:
    """Draw the actuator at x and its stem to the contact at `link`; none for bars and limit switches.

    push
        The stem alone, ended by the finger's face.
    mushroom
        Half disc on the stem, with the notch of a button that stays in.
    turn
        Lever on a pivot.
    key
        Ring of the key.
    pressure, level, flow, temperature
        Dome, ball, paddle, bimetal.
    """
    if operator in BARS or operator == "limit":
        return
    part.line((x + 1.2, y), (link, y), pen=THIN)
    if operator == "push":
        part.line((x + 1.2, y - 1.0), (x + 1.2, y + 1.0))
    elif operator == "mushroom":
        part.arc(x + 1.2, y, 1.3, 90, 270)
        part.line((x + 1.2, y - 1.3), (x + 1.2, y + 1.3))
        part.line((x + 2.0, y), (x + 2.4, y + 0.7), (x + 2.8, y), pen=THIN)
    elif operator == "turn":
        part.ring(x + 0.8, y, 0.4, filled=True)
        part.line((x + 0.8, y), (x - 0.4, y - 1.5))
    elif operator == "key":
        part.ring(x - 0.4, y, 0.8)
        part.line((x + 0.4, y), (x + 1.2, y))
    elif operator == "pressure":
        part.arc(x, y, 1.2, 270, 90)
        part.line((x, y - 1.2), (x, y + 1.2))
    elif operator == "level":
        part.ring(x + 0.3, y, 0.9)
    elif operator == "flow":
        part.line((x + 1.2, y), (x - 0.8, y), (x - 0.8, y + 1.5), (x + 1.2, y))
    elif operator == "temperature":
        steps = [(1.2, 0.0), (0.6, 0.0), (0.6, -1.1), (0.0, -1.1), (0.0, 1.1), (-0.6, 1.1), (-0.6, 0.0), (-1.2, 0.0)]
        part.line(*((x + dx, y + dy) for dx, dy in steps))
