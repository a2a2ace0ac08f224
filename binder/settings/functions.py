"""The vocabulary of drive settings: what each does, in the trade's words, whatever its number is."""

from __future__ import annotations

from dataclasses import dataclass

#: Writing order at the keypad (common practice, no source): what overwrites comes before what it
#: overwrites, sources before the terminals that carry them; then the save, and the lock last, since a
#: locked keypad may refuse to save.
STAGES: tuple[str, ...] = (
    "reset", "unlock", "preset", "region", "motor data", "control mode", "identification", "limits",
    "sources", "inputs and outputs", "ramps", "process control", "protections", "restart", "bypass",
    "network", "display", "save", "relock",
)

#: Groups under which a person looks for a setting on the printed table.
GROUPS: tuple[str, ...] = (
    "access", "identity", "motor", "limits", "command source", "reference source", "inputs and outputs",
    "ramps and stopping", "process control", "protections", "restart", "braking", "bypass", "network",
    "display", "save",
)

#: Listed in the writing order even at default: on a drive that was not reset they hold whatever motor
#: it ran before (common practice, no source).
CONFIRMED: frozenset[str] = frozenset({
    "motor_voltage", "motor_current", "motor_frequency", "motor_speed", "motor_power", "motor_power_factor",
    "current_limit", "max_frequency",
})  # fmt: skip

LOSS_REACTIONS = ("trip", "ramp to stop", "hold last", "preset speed", "minimum speed", "ignore")
TRIP_REACTIONS = ("trip", "ramp to stop", "coast", "warn", "ignore")

_SPEED_JUMPS = "acts at once: a running motor changes speed"
_MAY_START = "acts at once: a standing motor may start"
_STOPS = "acts at once: a running motor may stop"
_ALL_LOST = "overwrites settings already written"
_TURNS = "the motor is energized and may turn"
_NO_TRIP = "a wrong value leaves the motor without this protection"


@dataclass(frozen=True, slots=True)
class SettingFunction:
    """What a drive setting does, whoever made the drive.

    Parameters
    ----------
    key : str
        Word typed in the column 'Function' of the sheet Settings.
    name, meaning : str
        As printed; the meaning is one plain sentence.
    kind : str
        'choice', 'number', 'code' (digits that are no amount) or 'action' (written once, reads back as idle).
    unit : str
        Unit in which the value is decided; '' for words and counts.
    group : str
        One of `GROUPS`.
    decided_by : str
        Records and figures that decide the value.
    stage : str
        One of `STAGES`.
    danger : str
        What may happen the moment it is changed, or when it is wrong; else ''.
    values : tuple of str
        Legal words of a choice; empty when another vocabulary holds them.
    """

    key: str
    name: str
    meaning: str
    kind: str
    unit: str
    group: str
    decided_by: str
    stage: str
    danger: str = ""
    values: tuple[str, ...] = ()

    @property
    def order_stage(self) -> int:
        """Place of the stage in the writing order, from 0."""
        return STAGES.index(self.stage)

    @property
    def acts_at_once(self) -> bool:
        """True when a change acts on a running or waiting motor."""
        return self.danger in {_SPEED_JUMPS, _MAY_START, _STOPS, _TURNS}


def _choice(key: str, name: str, meaning: str, values: tuple[str, ...], group: str, by: str, stage: str,
            danger: str = "") -> SettingFunction:  # fmt: skip
    return SettingFunction(key, name, meaning, "choice", "", group, by, stage, danger, values)


def _number(key: str, name: str, meaning: str, unit: str, group: str, by: str, stage: str,
            danger: str = "") -> SettingFunction:  # fmt: skip
    return SettingFunction(key, name, meaning, "number", unit, group, by, stage, danger)


def _access() -> tuple[SettingFunction, ...]:
    person = "a person, on the sheet Overrides"
    return (
        SettingFunction("access_code", "Access code", "Opens the locked settings while it holds its code.",
                        "code", "", "access", "the settings it opens", "unlock"),
        _choice("parameter_lock", "Setting lock", "Forbids changes at the keypad.", ("unlocked", "locked"),
                "access", "locked at handover", "relock"),
        _choice("preset_macro", "Preset", "Loads a ready-made set of values over the present ones.", (),
                "identity", "the free preset where the model has one; each function is then written by itself",
                "preset", _ALL_LOST),
        SettingFunction("factory_reset", "Factory reset", "Puts every setting back to its default.", "action", "",
                        "identity", "a new drive, or by agreement", "reset", _ALL_LOST, ("no", "reset")),
        _choice("region", "Region", "Chooses the defaults for 50 Hz or 60 Hz networks.", ("50 Hz", "60 Hz"),
                "identity", "Supplies, frequency", "region", _ALL_LOST),
        _choice("units", "Units of power", "Shows motor power in kilowatts or in horsepower.", ("kW", "hp"),
                "identity", "Motors, unit of the plate power", "region"),
        _choice("start_method", "Start method", "Maintained contact, or start and stop pulses.",
                ("two-wire", "three-wire"), "command source", "wiring, control scheme", "sources", _MAY_START),
        _choice("display_item", "Display", "What the keypad shows while running.",
                ("output frequency", "output current", "speed", "process value"), "display", person, "display"),
        SettingFunction("save_settings", "Save", "Keeps the written values through a loss of power.", "action", "",
                        "save", "always, after all other writes", "save", "", ("no", "save")),
        SettingFunction("backup", "Backup", "Copies all settings into the keypad or a file.", "action", "",
                        "save", "Drives, backup file", "save", "", ("no", "save")),
    )  # fmt: skip


def _motor() -> tuple[SettingFunction, ...]:
    plate = "Motors, plate "
    data = "motor data"
    return (
        _number("motor_voltage", "Motor voltage", "Plate voltage as connected.", "V", "motor",
                plate + "voltage", data),
        _number("motor_current", "Motor current", "Plate current as connected.", "A", "motor",
                plate + "current", data),
        _number("motor_frequency", "Motor frequency", "Plate frequency.", "Hz", "motor", plate + "frequency", data),
        _number("motor_speed", "Motor speed", "Plate speed at full load; never the synchronous speed.", "rpm",
                "motor", plate + "speed", data),
        _number("motor_power", "Motor power", "Plate power.", "kW", "motor", plate + "power", data),
        _number("motor_power_factor", "Motor power factor", "Plate power factor.", "", "motor",
                plate + "power factor", data),
        _choice("control_mode", "Motor control", "How the drive forms voltage against frequency.",
                ("linear volts per hertz", "quadratic volts per hertz", "sensorless vector", "closed-loop vector",
                 "permanent magnet"), "motor", "Machines, load type; Motors, permanent magnet; encoder scheme",
                "control mode"),
        SettingFunction("identification_run", "Identification run", "The drive measures its motor.", "action", "",
                        "motor", "vector control asks for it", "identification", _TURNS,
                        ("off", "static", "rotating")),
        _number("carrier_frequency", "Switching frequency", "How often the output switches.", "kHz", "motor",
                "Drives, carrier frequency", "limits"),
    )  # fmt: skip


def _limits() -> tuple[SettingFunction, ...]:
    person = "a person, on the sheet Overrides"
    return (
        _number("min_frequency", "Minimum frequency", "Lowest speed reference that is obeyed.", "Hz", "limits",
                "Drives, minimum frequency", "limits", _SPEED_JUMPS),
        _number("max_frequency", "Maximum frequency", "Frequency at full reference.", "Hz", "limits",
                "Drives, maximum frequency, else plate frequency", "limits", _SPEED_JUMPS),
        _number("skip_frequency", "Skip frequency", "Centre of a band in which the drive does not stay.", "Hz",
                "limits", "Drives, skip frequency", "limits"),
        _number("skip_width", "Skip width", "Full width of that band.", "Hz", "limits", "Drives, skip width", "limits"),
        _choice("direction_enable", "Reverse permitted", "Whether the drive may turn backwards.",
                ("forward only", "both"), "limits", "wiring, control scheme", "limits"),
        _number("current_limit", "Current limit", "Current at which the drive holds its speed back.", "A", "limits",
                person, "limits"),
        _number("torque_limit", "Torque limit", "Torque at which the drive holds its speed back.", "%", "limits",
                person, "limits"),
        _number("acceleration_time", "Acceleration time", "Seconds from standstill to maximum frequency.", "s",
                "ramps and stopping", "Drives, acceleration time", "ramps"),
        _number("deceleration_time", "Deceleration time", "Seconds from maximum frequency to standstill.", "s",
                "ramps and stopping", "Drives, deceleration time", "ramps"),
        _choice("ramp_select", "Ramp set", "Which set of ramp times is used.", ("first", "second"),
                "ramps and stopping", "wiring, control scheme", "ramps"),
        _choice("stop_mode", "Stop mode", "What the drive does when the run command goes.",
                ("coast", "ramp", "dc brake"), "ramps and stopping", "Drives, stop mode", "ramps", _STOPS),
    )  # fmt: skip


def _sources() -> tuple[SettingFunction, ...]:
    scheme = "wiring, control scheme"
    return (
        _choice("command_source", "Command source", "Who may start and stop.",
                ("keypad", "terminals", "network", "built-in switch"), "command source", scheme, "sources",
                _MAY_START),
        _choice("reference_source", "Reference source", "Who sets the speed.",
                ("keypad", "built-in potentiometer", "AI1", "AI2", "network", "presets", "increase-decrease",
                 "process control", "pulse"), "reference source", scheme, "sources", _SPEED_JUMPS),
        _number("preset_speed", "Preset speed", "Speed called by preset inputs.", "Hz", "reference source",
                "Controls, value of the preset", "sources", _SPEED_JUMPS),
        _number("jog_frequency", "Jog frequency", "Speed while the jog contact is closed.", "Hz", "reference source",
                "Controls, value of the jog", "sources", _SPEED_JUMPS),
    )  # fmt: skip


def _terminals() -> tuple[SettingFunction, ...]:
    scheme, group, stage = "wiring, control scheme", "inputs and outputs", "inputs and outputs"
    formats = ("0-10 V", "2-10 V", "0-20 mA", "4-20 mA")
    return (
        _choice("input_logic", "Input logic", "Whether a closed contact brings +24 V or 0 V to the input.",
                ("positive", "negative"), group, "Drives, control logic", stage, _MAY_START),
        _choice("digital_input_function", "Digital input function", "What a digital input does.",
                (), group, scheme, stage, _MAY_START),
        _choice("relay_function", "Relay function", "What an output contact reports.", (), group, scheme, stage),
        _choice("analog_input_format", "Analog input format", "Signal that the input expects.", formats, group,
                scheme, stage, _SPEED_JUMPS),
        _number("analog_input_low", "Analog input low end", "Reference at the signal's low end.", "%", group,
                scheme, stage, _SPEED_JUMPS),
        _number("analog_input_high", "Analog input high end", "Reference at the signal's high end.", "%", group,
                scheme, stage, _SPEED_JUMPS),
        _number("analog_input_filter", "Analog input filter", "Smoothing of the signal.", "s", group,
                "a person, on the sheet Overrides", stage),
        _choice("analog_input_loss", "Reaction to a lost signal", "What the drive does when a live-zero signal goes.",
                LOSS_REACTIONS, "protections", "Drives, loss of reference", "protections", _NO_TRIP),
        _choice("analog_output_function", "Analog output function", "What the output shows.", (), group, scheme, stage),
        _choice("analog_output_format", "Analog output format", "Signal of the output.", formats, group, scheme, stage),
        _number("analog_output_full_scale", "Analog output full scale", "Value shown at full signal.", "Hz", group,
                "maximum frequency", stage),
    )  # fmt: skip


def _process() -> tuple[SettingFunction, ...]:
    person, group = "a person, on the sheet Overrides", "process control"
    return (
        _choice("process_control", "Process controller", "Lets the drive hold a measured value.", ("off", "on"),
                group, "wiring, control scheme", group, _SPEED_JUMPS),
        _number("process_setpoint", "Process setpoint", "Value to hold.", "%", group, person, group, _SPEED_JUMPS),
        _choice("process_feedback_source", "Process feedback", "Input that carries the measured value.",
                ("AI1", "AI2", "network"), group, "wiring, control scheme", group, _SPEED_JUMPS),
        _number("process_gain", "Process gain", "Proportional gain.", "", group, person, group, _SPEED_JUMPS),
        _number("process_integral", "Process integral time", "Reset time.", "s", group, person, group, _SPEED_JUMPS),
        _choice("process_direction", "Process direction", "Whether speed falls or rises with the measured value.",
                ("rising feedback lowers speed", "rising feedback raises speed"), group, person, group, _SPEED_JUMPS),
        _number("sleep_frequency", "Sleep frequency", "Below it the drive goes to sleep.", "Hz", group, person, group),
        _number("sleep_delay", "Sleep delay", "How long below it.", "s", group, person, group),
        _number("wake_level", "Wake level", "Deviation that wakes the drive.", "%", group, person, group, _MAY_START),
    )  # fmt: skip


def _protections() -> tuple[SettingFunction, ...]:
    person, group = "a person, on the sheet Overrides", "protections"
    return (
        _number("overload_current", "Overload current", "Motor current above which the overload time runs.", "A",
                group, "figure overload.setting", group, _NO_TRIP),
        _choice("overload_class", "Overload class", "Trip time at 7.2 times the set current (IEC 60947-4-1).",
                ("5", "10", "20", "30"), group, person, group, _NO_TRIP),
        _choice("overload_cooling", "Motor cooling", "Whether the overload allows for poor cooling at low speed.",
                ("self-ventilated", "forced"), group, "Motors, cooling", group, _NO_TRIP),
        _choice("external_fault_reaction", "External fault reaction", "What an external fault contact does.",
                TRIP_REACTIONS, group, "wiring, control scheme", group, _NO_TRIP),
        _choice("thermistor_reaction", "Thermistor reaction", "What a hot motor sensor does.", TRIP_REACTIONS, group,
                "wiring, thermistor scheme", group, _NO_TRIP),
        _choice("phase_loss_reaction", "Phase loss reaction", "What a missing line phase does.", TRIP_REACTIONS,
                group, "Supplies, phases", group, _NO_TRIP),
        _choice("undervoltage_reaction", "Undervoltage reaction", "What a dip of the line does.", TRIP_REACTIONS,
                group, person, group),
        _choice("safe_torque_off_reaction", "Safe torque off reaction", "How an open safety input is reported.",
                ("fault", "indicate"), group, "wiring, safe torque off scheme", group),
        _choice("brake_chopper", "Brake chopper", "Whether braking energy goes to a resistor.", ("off", "on"),
                "braking", "Drives, brake resistance", group),
        _number("brake_resistance", "Brake resistance", "Ohms of the connected resistor.", "Ω", "braking",
                "Drives, brake resistance", group),
        _number("fault_reset_count", "Automatic resets", "How often the drive resets a fault by itself.", "",
                "restart", "Drives, automatic resets", "restart", _MAY_START),
        _number("fault_reset_delay", "Reset delay", "Wait before each automatic reset.", "s", "restart", person,
                "restart"),
        _choice("power_return", "Return of power", "What a waiting run command does when power comes back.",
                ("stay stopped", "restart"), "restart", "Drives, restart on power return", "restart", _MAY_START),
        _choice("flying_start", "Flying start", "Catches a motor that still turns.", ("off", "on"), "restart",
                "Drives, flying start", "restart"),
        _choice("bypass", "Bypass", "Lets the drive command its bypass contactors.", ("off", "on"), "bypass",
                "Drives, bypass", "bypass", _MAY_START),
    )  # fmt: skip


def _network() -> tuple[SettingFunction, ...]:
    sheet, group = "Networks, ", "network"
    return (
        _number("network_address", "Network address", "Number of this drive on the network.", "", group,
                sheet + "address", group),
        _choice("network_speed", "Network speed", "Bits per second.", (), group, sheet + "speed", group),
        _choice("network_parity", "Network parity", "Parity and stop bits.", (), group, sheet + "parity", group),
        _number("network_timeout", "Network timeout", "Silence after which the network counts as lost.", "s", group,
                sheet + "timeout", group),
        _choice("network_loss", "Reaction to a lost network", "What the drive does when the network is silent.",
                LOSS_REACTIONS, group, sheet + "reaction to loss", group, _NO_TRIP),
    )  # fmt: skip


#: Every function by its key, in the order of the groups above.
FUNCTIONS: dict[str, SettingFunction] = {
    f.key: f
    for part in (_access, _motor, _limits, _sources, _terminals, _process, _protections, _network)
    for f in part()
}
