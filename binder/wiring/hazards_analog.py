"""Single faults on analog conductors, by the kind of signal."""

from __future__ import annotations

from collections.abc import Mapping

from binder.wiring.assembly import Assembly
from binder.wiring.connections import Connection, End, Hazard, Kind, Wiring
from binder.wiring.demands import analog_place
from binder.wiring.scheme_rows import SchemeRow

OPEN, TO_ZERO, TO_TEN, TO_PLUS = "open", "short to 0 V", "short to +10 V", "short to +24 V"

#: (result, effect, dangerous). 'loss' is worded by the drive's loss reaction.
_ZERO = ("zero speed", "the speed falls towards its minimum", False)
_FULL = ("full speed", "the speed rises towards its maximum", True)
_SAME = ("no change", "nothing changes", False)
_FLOAT = ("unknown speed", "the signal floats: the speed is anybody's guess", True)
_LOST = ("signal lost", "", False)
_SUPPLY = ("stops", "the 24 V supply is shorted: every input drops", False)

#: Per kind of signal: conductor -> fault -> outcome. 'supply', 'signal' and 'return' are the drive's sides.
_TABLE: Mapping[str, Mapping[str, Mapping[str, tuple[str, str, bool]]]] = {
    "potentiometer": {
        "supply": {OPEN: _ZERO, TO_ZERO: _ZERO, TO_TEN: _SAME},
        "signal": {OPEN: _ZERO, TO_ZERO: _ZERO, TO_TEN: _FULL},
        "return": {OPEN: _FULL, TO_ZERO: _SAME, TO_TEN: _ZERO},
    },
    "0-10 V": {
        "signal": {OPEN: _ZERO, TO_ZERO: _ZERO, TO_PLUS: _FULL},
        "return": {OPEN: _FLOAT, TO_ZERO: _SAME, TO_PLUS: _SUPPLY},
    },
    "2-10 V": {
        "signal": {OPEN: _LOST, TO_ZERO: _LOST, TO_PLUS: _FULL},
        "return": {OPEN: _FLOAT, TO_ZERO: _SAME, TO_PLUS: _SUPPLY},
    },
    "4-20 mA": {
        "signal": {OPEN: _LOST, TO_ZERO: _LOST, TO_PLUS: _FULL},
        "return": {OPEN: _LOST, TO_ZERO: _SAME, TO_PLUS: _SUPPLY},
    },
    "4-20 mA loop": {
        "supply": {OPEN: _LOST, TO_ZERO: _SUPPLY, TO_PLUS: _SAME},
        "signal": {OPEN: _LOST, TO_ZERO: _LOST, TO_PLUS: _FULL},
    },
}  # fmt: skip

_FEEDBACK = {
    "full speed": ("feedback high", "the measured value reads too high: the speed falls", False),
    "zero speed": ("feedback low", "the measured value reads too low: the speed rises to its maximum", True),
}


def analog_hazards(a: Assembly, wiring: Wiring) -> dict[str, tuple[Hazard, ...]]:
    """Return the faults of every analog conductor by its id.

    Parameters
    ----------
    a : Assembly
    wiring : Wiring

    Returns
    -------
    dict of str to tuple of Hazard

    Notes
    -----
    A potentiometer whose low end opens lets its wiper rise to the supply: full speed. A lost
    live-zero signal is noticed only when the drive's reaction is chosen; a voltage from zero
    cannot be told from a low reference. A live supply terminal shared with other devices is
    judged by the conductor of this device.
    """
    found: dict[str, tuple[Hazard, ...]] = {}
    for row in a.rows:
        table = _TABLE.get(row.recipe.analog)
        place = analog_place(a, row)
        if table is None or place is None:
            continue
        function = next(t.function for t in wiring.terminals if t.number == place.terminals[0].terminal)
        for side, ids in _conductors(row, wiring).items():
            for c in ids:
                if side in table:
                    found[c.id] = tuple(
                        _hazard(a, c, fault, outcome, function) for fault, outcome in table[side].items()
                    )
    return found


def _conductors(row: SchemeRow, wiring: Wiring) -> dict[str, list[Connection]]:
    """The conductors that lead to this row's device, by side: from the strip or the drive outwards."""
    sides = {"potentiometer": {"R:1": "supply", "R:2": "signal", "R:3": "return"},
             "4-20 mA loop": {"B:+": "supply", "B:-": "signal"}}.get(
        row.recipe.analog, {"A:AO1+": "signal", "A:AO1-": "return"})  # fmt: skip
    found: dict[str, list[Connection]] = {}
    for text, side in sides.items():
        part = text.partition(":")[0]
        if part in row.devices and text in row.given:
            found[side] = _path(wiring, End(row.devices[part], row.given[text]))
    return found


def _path(wiring: Wiring, far: End) -> list[Connection]:
    """Conductors from a device's end back to the drive, while no other device hangs on them."""
    path: list[Connection] = []
    end = far
    while True:
        steps = [c for c in wiring.connections if end in {c.a, c.b} and c.kind is not Kind.SCREEN and c not in path]
        forward = [c for c in steps if c.kind is not Kind.BRIDGE]
        if len(forward) != 1:
            return path
        path.append(forward[0])
        end = forward[0].a if forward[0].b == end else forward[0].b
        if end.device == wiring.designation:
            return path


def _hazard(a: Assembly, c: Connection, fault: str, outcome: tuple[str, str, bool], function: str) -> Hazard:
    result, effect, dangerous = outcome
    if function in {"process_feedback"} and result in _FEEDBACK:
        result, effect, dangerous = _FEEDBACK[result]
    noticed = ""
    if result == "stops":
        noticed = "the drive: 24 V supply overloaded"
    elif result == "signal lost":
        reaction = a.drive.loss_of_reference
        if reaction and reaction != "ignore":
            effect = f"the signal is lost: the drive's reaction is '{reaction}'"
            noticed = "the drive: signal below its live zero"
        else:
            effect = "the signal is lost and no reaction is chosen"
            dangerous = function == "process_feedback"
    return Hazard(c.id, fault, effect, noticed, dangerous, result)
