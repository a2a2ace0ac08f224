"""Words of the control terminals: what a terminal is (role) and what it is used for (function).

A role is fixed by the drive's manual (sheet Terminals); a function is given by the wiring and
then asked of the settings. Both are our own words, so a scheme can be written once for any drive.
"""

from __future__ import annotations

from dataclasses import dataclass

from binder.wiring.connections import Signal


@dataclass(frozen=True, slots=True)
class TerminalRole:
    """What a drive terminal is by construction."""

    key: str
    name: str
    signal: Signal


@dataclass(frozen=True, slots=True)
class TerminalFunction:
    """What a terminal is used for.

    Parameters
    ----------
    key : str
        The word stored in `DriveTerminal.function` and in demands of digital_input_function,
        relay_function and analog_output_function.
    name : str
        As printed beside the terminal, 30 characters at most.
    role : str
        Role that can carry it: 'DI', 'AI', 'RO', 'AO', 'EN', 'STO1', ...
    meaning : str
        One sentence.
    active : str
        What the active contact or level means, for the test sheet.
    on_break : str
        What the drive does when the conductor breaks: 'stops', 'no start', 'nothing', 'reference lost', ...
    commands : bool
        True when the function can make the drive turn.
    """

    key: str
    name: str
    role: str
    meaning: str
    active: str = ""
    on_break: str = "nothing"
    commands: bool = False


def _roles() -> tuple[TerminalRole, ...]:
    r, s = TerminalRole, Signal
    return (
        r("P24", "+24 V supply", s.DIGITAL), r("N24", "0 V of the 24 V supply", s.DIGITAL),
        r("DIC", "digital input common", s.DIGITAL), r("DI", "digital input", s.DIGITAL),
        r("DO", "transistor output", s.DIGITAL), r("EN", "hardware enable", s.DIGITAL),
        r("R10", "+10 V reference supply", s.ANALOG), r("A0", "analog 0 V", s.ANALOG),
        r("AI", "analog input", s.ANALOG), r("AO", "analog output", s.ANALOG),
        *(r(f"RO{n}.{c}", f"relay {n} {w}", s.RELAY) for n in range(1, 7)
          for c, w in (("C", "common"), ("NO", "make contact"), ("NC", "break contact"))),
        r("STOS", "safe torque off supply", s.SAFETY), r("STO1", "safe torque off channel 1", s.SAFETY),
        r("STO2", "safe torque off channel 2", s.SAFETY), r("STOC", "safe torque off common", s.SAFETY),
        r("PTC+", "motor thermistor +", s.SENSOR), r("PTC-", "motor thermistor -", s.SENSOR),
        r("BUS.A", "serial line A", s.NETWORK), r("BUS.B", "serial line B", s.NETWORK),
        r("BUS.REF", "serial line common", s.NETWORK), r("BUS.SH", "serial line screen", s.NETWORK),
        *(r(f"ENC.{p}", f"encoder {p}", s.SENSOR) for p in ("P", "N", "A", "A/", "B", "B/", "Z", "Z/")),
        *(r(p, f"{w} {p}", s.POWER) for w, ps in (("line", ("L1", "L2", "L3")), ("motor", ("U", "V", "W")),
                                                 ("link", ("DC+", "DC-")), ("brake resistor", ("BR",)))
          for p in ps),
        r("PE", "protective conductor", s.POWER),
    )  # fmt: skip


def _digital() -> tuple[TerminalFunction, ...]:
    def di(key: str, name: str, meaning: str, active: str, on_break: str, commands: bool = False) -> TerminalFunction:
        return TerminalFunction(key, name, "DI", meaning, active, on_break, commands)

    return (
        di("run_forward", "run forward", "Runs forward while active.", "run", "stops", True),
        di("run_reverse", "run reverse", "Runs in reverse while active.", "run in reverse", "stops", True),
        di("start_pulse", "start (pulse)", "A pulse starts; the drive keeps running.", "start", "no start", True),
        di("stop_enable", "stop (opens to stop)", "Must be active to start and to keep running.", "may run", "stops"),
        di("direction", "direction", "Active turns the direction round.", "reverse", "turns forward"),
        di("jog", "jog", "Runs at jog speed while active.", "jog", "stops", True),
        di("reference_select", "reference select", "Active takes the hand reference.", "hand reference",
           "reference of the other mode"),
        di("set_select", "second set", "Active takes the second set of settings.", "second set", "first set"),
        di("local_remote", "local / remote", "Active hands command and reference to the remote side.", "remote",
           "local"),
        di("fault_reset", "fault reset", "An edge resets a fault.", "reset", "no reset"),
        di("external_fault", "external fault (opens)", "Opening it trips the drive; reset is needed.", "healthy",
           "trips"),
        di("run_permit", "run permit", "Must be active to run; its return may let the drive start.", "may run",
           "stops"),
        di("preset_1", "preset, weight 1", "Adds 1 to the number of the preset speed.", "preset", "other speed"),
        di("preset_2", "preset, weight 2", "Adds 2 to the number of the preset speed.", "preset", "other speed"),
        di("preset_3", "preset, weight 4", "Adds 4 to the number of the preset speed.", "preset", "other speed"),
        di("increase", "increase", "Raises the speed while active.", "faster", "no rise"),
        di("decrease", "decrease", "Lowers the speed while active.", "slower", "no fall"),
        di("fire_mode", "fire mode", "Runs at the fire speed and disregards most trips.", "fire mode",
           "no fire mode", True),
        di("brake_feedback", "brake feedback", "Reports the brake released.", "brake open", "trips"),
        di("ramp_select", "second ramp", "Active takes the second ramp times.", "second ramp", "first ramp"),
        di("pulse_reference", "pulse reference", "The pulse rate sets the speed.", "pulses", "reference lost"),
        di("not_used", "not used", "Switched off in the settings.", "", "nothing"),
    )  # fmt: skip


def _others() -> tuple[TerminalFunction, ...]:
    def of(role: str, key: str, name: str, meaning: str, on_break: str = "nothing") -> TerminalFunction:
        return TerminalFunction(key, name, role, meaning, "", on_break)

    lost = "reference lost"
    return (
        of("AI", "speed_reference", "speed reference", "Sets the speed.", lost),
        of("AI", "hand_reference", "hand reference", "Sets the speed in hand or local.", lost),
        of("AI", "process_feedback", "process feedback", "Measured value of the process controller.", lost),
        of("AI", "process_setpoint", "process setpoint", "Value that the process controller holds.", lost),
        of("RO", "fault", "fault (drops on fault)", "Energized while healthy: drops on a fault and without power."),
        of("RO", "run", "running", "Energized while the drive runs."),
        of("RO", "ready", "ready", "Energized while the drive could start."),
        of("RO", "at_speed", "at speed", "Energized while speed equals reference."),
        of("RO", "brake_release", "brake release", "Energized to open the mechanical brake.", "brake stays shut"),
        of("RO", "in_auto", "in auto", "Energized in auto or remote."),
        of("RO", "run_command", "run command", "Energized by the command, before the motor turns."),
        of("RO", "start_next", "start next", "Asks the next pump or fan to start."),
        of("AO", "output_frequency", "output frequency", "Shows the actual output frequency."),
        of("AO", "output_current", "output current", "Shows the output current."),
        of("EN", "enable", "hardware enable", "Must be active to run; acts in every mode.", "stops"),
        of("STO1", "safe_torque_off_1", "safe torque off 1", "Opening it takes the torque away.", "coasts"),
        of("STO2", "safe_torque_off_2", "safe torque off 2", "Opening it takes the torque away.", "coasts"),
        of("PTC+", "thermistor", "motor thermistor", "Watches the winding temperature.", "trips"),
    )


#: Every role by its key.
ROLES: dict[str, TerminalRole] = {r.key: r for r in _roles()}

#: Every terminal function by its key.
TERMINAL_FUNCTIONS: dict[str, TerminalFunction] = {f.key: f for f in (*_digital(), *_others())}

#: Roles that the control wiring never touches: they stand on the power drawing.
POWER_ROLES: frozenset[str] = frozenset(k for k, r in ROLES.items() if r.signal is Signal.POWER)

#: Short words for supply and common terminals that the manual gives no label.
_UNLABELLED: dict[str, str] = {
    "P24": "+24 V", "N24": "0 V", "DIC": "DI common", "R10": "+10 V", "A0": "analog 0 V", "EN": "enable",
    "STOS": "STO supply", "STOC": "STO common",
}  # fmt: skip

#: Functions whose loss must stop the drive: their contact has to open to stop.
#: IEC 60204-1:2016, 9.2 (stop by opening) and 9.4.3, from memory, check.
FAIL_SAFE: frozenset[str] = frozenset(
    {"stop_enable", "run_permit", "external_fault", "enable", "safe_torque_off_1", "safe_torque_off_2"}
)


def signal_of(role: str) -> Signal:
    """Return the signal class of a role.

    Parameters
    ----------
    role : str
        A key of `ROLES`.

    Returns
    -------
    Signal
        DIGITAL for a role that the vocabulary does not know.

    Examples
    --------
    >>> signal_of("AI")
    <Signal.ANALOG: 'analog'>
    """
    known = ROLES.get(role)
    return known.signal if known else Signal.DIGITAL


def function_name(key: str) -> str:
    """Return the printed name of a terminal function; '' for an unused terminal.

    Examples
    --------
    >>> function_name("run_forward")
    'run forward'
    """
    known = TERMINAL_FUNCTIONS.get(key)
    return known.name if known else key.replace("_", " ")


def terminal_label(number: str, label: str, role: str) -> str:
    """Return what is printed beside a terminal's number: its label, else its role in short words.

    Parameters
    ----------
    number, label, role : str
        A label that repeats the number counts as none.

    Returns
    -------
    str
        '' when neither label nor role says more than the number.

    Examples
    --------
    >>> terminal_label("X1.1", "X1.1", "P24"), terminal_label("13", "DI1", "DI"), terminal_label("10V", "+10V", "R10")
    ('+24 V', 'DI1', '+10V')
    """
    if label and label != number:
        return label
    words = _UNLABELLED.get(role) or role.replace(".", " ")
    return "" if words == number else words
