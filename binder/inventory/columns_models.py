"""Columns of the drive models: ratings, derating, terminals and settings, typed in from their manuals."""

from __future__ import annotations

from binder.inventory.declarations import Column, Sheet
from binder.inventory.records import DeratingPoint, DriveModel, FaultCode, ModelSetting, ModelTerminal

_RELAYS = tuple(f"RO{n}.{part}" for n in range(1, 7) for part in ("C", "NO", "NC"))

#: Roles of a drive's terminals.
TERMINAL_ROLES = (
    "P24", "N24", "DIC", "DI", "R10", "A0", "AI", "AO", "DO", *_RELAYS,
    "STO1", "STO2", "STOS", "STOC", "PTC+", "PTC-", "BUS.A", "BUS.B", "BUS.REF", "BUS.SH",
    "ENC.A", "ENC.A-", "ENC.B", "ENC.B-", "ENC.Z", "ENC.Z-", "ENC.P", "ENC.0", "PULSE",
    "EN", "L1", "L2", "L3", "N", "U", "V", "W", "PE", "DC+", "DC-", "BR",
)  # fmt: skip

#: Words for what a setting does; the room that decides settings explains each.
SETTING_FUNCTIONS = (
    "access_code", "parameter_lock", "preset_macro", "factory_reset", "region", "units", "start_method",
    "motor_voltage", "motor_current", "motor_frequency", "motor_speed", "motor_power", "motor_power_factor",
    "control_mode", "identification_run", "min_frequency", "max_frequency", "skip_frequency", "skip_width",
    "acceleration_time", "deceleration_time", "stop_mode", "command_source", "reference_source",
    "direction_enable", "input_logic", "digital_input_function", "relay_function", "analog_input_format",
    "analog_input_low", "analog_input_high", "analog_input_filter", "analog_input_loss",
    "analog_output_function", "analog_output_format", "analog_output_full_scale", "preset_speed",
    "jog_frequency", "ramp_select", "process_control", "process_setpoint", "process_feedback_source",
    "process_gain", "process_integral", "process_direction", "sleep_frequency", "sleep_delay", "wake_level",
    "current_limit", "torque_limit", "overload_current", "overload_class", "overload_cooling",
    "fault_reset_count", "fault_reset_delay", "external_fault_reaction", "thermistor_reaction",
    "phase_loss_reaction", "undervoltage_reaction", "safe_torque_off_reaction", "power_return",
    "carrier_frequency", "brake_chopper", "brake_resistance", "flying_start", "bypass", "network_address",
    "network_speed", "network_parity", "network_timeout", "network_loss", "display_item", "save_settings",
    "backup",
)  # fmt: skip

#: Kinds of faults that a display tells; the fault page has the checks of each. Common practice, no source.
FAULT_KINDS = (
    "overcurrent", "short circuit", "earth fault", "overvoltage", "undervoltage", "input phase loss",
    "output phase loss", "motor overload", "motor overtemperature", "drive overtemperature", "reference loss",
    "network loss", "safe torque off", "external fault", "brake resistor", "drive internal", "other",
)  # fmt: skip

_PAGE = Column("page", "Manual page", "code", help="Page of the manual this is taken from.", example="41")

MODELS = Sheet(
    "Models", DriveModel, "models",
    (
        Column("model", "Model", "tag", required=True, help="Name of the drive model, as used on the Drives sheet.",
               aliases=("Drive model",), example="Example 7"),
        Column("manual", "Manual", help="Title and issue of its manual."),
        Column("manual_page", "Manual page", "code", help="Page of the ratings."),
        Column("min_voltage", "Lowest supply voltage", "voltage", "V", required=True, low="10", high="1000",
               help="Line to line.", aliases=("Min voltage",), example="380 V"),
        Column("max_voltage", "Highest supply voltage", "voltage", "V", required=True, low="10", high="1000",
               help="Line to line.", aliases=("Max voltage",), example="500 V"),
        Column("input_phases", "Input phases", "phases", help="3 or 1."),
        Column("output_current_light", "Output current, light duty", "current", "A", help="Continuous.",
               effect="The rating is not judged for light duty.", example="27 A"),
        Column("output_current_heavy", "Output current, heavy duty", "current", "A", help="Continuous.",
               effect="The rating is not judged for heavy duty.", example="23 A"),
        Column("overload_light", "Overload, light duty", "percent", "%", low="100", high="300", help="For 60 s.",
               example="110 %"),
        Column("overload_heavy", "Overload, heavy duty", "percent", "%", low="100", high="300", help="For 60 s.",
               example="150 %"),
        Column("input_current", "Input current", "current", "A", help="Rated.",
               effect="Line conductor and protection are not computed.", example="29 A"),
        Column("max_frequency", "Highest output frequency", "frequency", "Hz", low="1", high="2000", help="Its limit."),
        Column("default_carrier", "Default carrier frequency", "carrier frequency", "kHz", help="As delivered."),
        Column("rated_ambient", "Rated ambient", "temperature", "°C", help="Up to here without derating.",
               effect="Derating for heat is not judged.", example="40 °C"),
        Column("max_ambient", "Highest ambient", "temperature", "°C", help="Limit with derating."),
        Column("ambient_derating", "Derating per °C above rated ambient", "rate", "%", low="0", high="20",
               help="Percent of rated current per degree.", example="2 %"),
        Column("rated_altitude", "Rated altitude", "altitude", "m", usual=("500", "2500"),
               help="Up to here without derating.",
               example="1000 m"),
        Column("max_altitude", "Highest altitude", "altitude", "m", usual=("900", "5000"), help="Limit with derating."),
        Column("altitude_derating", "Derating per 100 m above rated altitude", "rate", "%", low="0", high="20",
               help="Percent of rated current per 100 m.", example="1 %"),
        Column("single_phase_factor", "Output on one-phase supply", "percent", "%", low="0", high="100",
               help="Percent of rated current; blank when not allowed."),
        Column("fault_rating", "Fault rating", "fault current", "kA", usual=("1", "200"),
               help="Short-circuit current rating.",
               effect="It is not judged whether the drive may stand the fault.", aliases=("SCCR",), example="100 kA"),
        Column("fault_rating_device", "Device for the fault rating", help="Fuse or breaker the rating holds with."),
        Column("max_protection", "Largest protection", "current", "A", help="Largest fuse or breaker allowed.",
               effect="The manual's limit on protection is not judged."),
        Column("losses", "Losses", "losses", "W", usual=("5", "50000"),
               help="At rated current.", effect="Panel heat is not computed."),
        Column("link_capacitance", "DC link capacitance", "capacitance", "µF", usual=("50", "100000"),
               help="Whole link.",
               effect="Discharge time and stored energy are not computed."),
        Column("link_trip_voltage", "DC link trip voltage", "voltage", "V", low="100", high="2000",
               help="Overvoltage trip."),
        Column("chopper_voltage", "Brake chopper voltage", "voltage", "V", low="100", high="2000",
               help="Where it switches on."),
        Column("bleeder_resistance", "Bleeder resistance", "resistance", "Ω", help="Across the DC link."),
        Column("wait_time", "Wait time", "time", "min", required=True, low="0", high="60",
               help="After switching off, before it may be touched; from the label.", example="5 min"),
        Column("min_brake_resistance", "Smallest brake resistor", "resistance", "Ω", help="Limit of the chopper."),
        Column("built_in_reactor", "Built-in reactor", "reactor", "%", low="0", high="10",
               help="Its impedance as of a line reactor; none where there is none."),
        Column("leakage_current", "Leakage current", "current", "mA", low="0", high="5000",
               usual=("0.1", "1000"), help="To earth, in service."),
        Column("supply_24v_limit", "24 V supply limit", "current", "mA", low="0", high="5000",
               usual=("20", "3000"), help="What its 24 V terminal can give.", effect="The 24 V budget is not judged."),
        Column("reference_10v_limit", "10 V reference limit", "current", "mA", low="0", high="200",
               usual=("1", "100"),
               help="What its 10 V terminal can give.", effect="The potentiometer's load is not judged."),
        Column("input_current_di", "Digital input current", "current", "mA", low="0", high="50",
               usual=("1", "25"), help="What one input draws at 24 V."),
        Column("analog_voltage_impedance", "Voltage input impedance", "resistance", "kΩ",
               usual=("2", "5000"),
               help="Of an analog voltage input.", effect="Potentiometer loading is not computed."),
        Column("analog_current_burden", "Current input burden", "resistance", "Ω", usual=("50", "1000"),
               help="Of an analog current input."),
        Column("rise_time", "Output rise time", "pulse time", "µs", usual=("0.02", "5"), help="Of its output pulses.",
               effect="Critical cable length is not computed."),
        Column("max_motor_cable", "Longest motor cable", "length", "m", usual=("5", "2000"),
               help="Limit of the manual."),
        Column("enclosure_rating", "Enclosure rating", "code", help="Type or IP."),
        Column("built_in_controls", "Built-in controls", "remark",
               help="For example 'switch and potentiometer'; separate with ;"),
        Column("same_as", "Same as", "reference", target="Models",
               help="Another size whose terminals, settings and derating it shares; own rows stand above those."),
    ),
    key="model", unique=("model",), help="One row a drive model, copied from its manual.", aliases=("Drive models",),
)  # fmt: skip

DERATING = Sheet(
    "Derating", DeratingPoint, "derating_points",
    (
        Column("model", "Model", "reference", required=True, target="Models", help="Drive model.", example="Example 7"),
        Column("carrier", "Carrier frequency", "carrier frequency", "kHz", required=True, help="Of this point.",
               example="8 kHz"),
        Column("factor", "Output current", "percent", "%", required=True, low="5", high="100",
               help="Percent of rated current at that carrier frequency.", example="80 %"),
        _PAGE,
    ),
    key="model", unique=("model", "carrier"), help="One row a point of a model's derating curve.",
)  # fmt: skip

TERMINALS = Sheet(
    "Terminals", ModelTerminal, "terminals",
    (
        Column("model", "Model", "reference", required=True, target="Models", help="Drive model.", example="Example 7"),
        Column("terminal", "Terminal", "code", required=True, help="As printed on the drive.", example="12"),
        Column("label", "Label", "code", help="DI1, AI1, RO1 ...: name used for settings and drawings.", example="DI1"),
        Column("role", "Role", "choice", required=True, choices=TERMINAL_ROLES,
               help="What the terminal is for, see the Lists sheet.", example="DI"),
        Column("strip_order", "Strip order", "count", low="1", high="200", help="Position on the strip, from the left.",
               effect="Terminals are drawn by number."),
        Column("max_conductors", "Conductors allowed", "count", low="1", high="4", help="Under one clamp."),
        Column("signal", "Signal", "choice", choices=("voltage", "current", "either"), help="Analog terminals only."),
        _PAGE,
    ),
    key="model", unique=("model", "terminal"), help="One row a terminal of a drive model.",
)  # fmt: skip

SETTINGS = Sheet(
    "Settings", ModelSetting, "settings",
    (
        Column("model", "Model", "reference", required=True, target="Models", help="Drive model.", example="Example 7"),
        Column("number", "Number", "setting number", required=True, help="As shown on the display, zeros included.",
               aliases=("Setting number", "Setting"), example="02.05"),
        Column("name", "Name", help="In the manual's words.", example="Ramp up"),
        Column("group", "Group", help="Menu it stands in."),
        Column("function", "Function", "word", choices=tuple(f.replace("_", " ") for f in SETTING_FUNCTIONS),
               help="What it does, in the words of the Lists sheet; blank when the tool need not know it.",
               effect="The tool never gives it a value.", example="acceleration time"),
        Column("applies_to", "Applies to", "code", help="Terminal label, mode or index: DI1, RO1, AI1, hand, 2."),
        Column("unit", "Unit", "code", help="As displayed.", example="s"),
        Column("resolution", "Resolution", "number", low="0", help="Smallest step of the display.", example="0.1"),
        Column("minimum", "Lowest", "number", help="Lowest value of the display.", aliases=("Minimum",), example="0"),
        Column("maximum", "Highest", "number", help="Highest value of the display.", aliases=("Maximum",),
               example="999"),
        Column("choices", "Choices", "choice list", example="0 = keypad (Panel); 1 = terminals",
               help="code = our word (manual's words); the next one after a semicolon."),
        Column("default", "Default", "display", help="As delivered.", example="5.0"),
        Column("variant_default", "Variant default", "remark",
               help="Where a variant differs: variant = value; next after a ;"),
        Column("access", "Access", help="Blank: open. Else the name of the level that hides or locks it."),
        Column("opened_by", "Opened by", "setting number", help="Number of the setting that opens it."),
        Column("opened_with", "Opened with", "display", help="Value of that setting that opens it."),
        Column("overwrites", "Overwrites", "remark",
               help="'all', or numbers and ranges of the settings that it changes when written."),
        Column("while_running", "May change while running", "yes/no", help="No: the motor must stand still."),
        Column("reads_back_rounded", "Reads back rounded", "yes/no", help="The display may show another last digit."),
        _PAGE,
        Column("remark", "Remark", "remark", help="Anything else."),
    ),
    key="model", unique=("model", "number"), help="One row a setting of a drive model, from its manual.",
)  # fmt: skip

FAULT_CODES = Sheet(
    "Fault codes", FaultCode, "fault_codes",
    (
        Column("model", "Model", "reference", required=True, target="Models", help="Drive model.", example="Example 7"),
        Column("code", "Display code", "display", required=True, help="As the display shows it.", example="E.7"),
        Column("meaning", "Meaning", "choice", required=True, choices=FAULT_KINDS,
               help="What kind of fault it is, see the Lists sheet; 'other' where none fits.", example="earth fault"),
        Column("words", "Manual's words", help="What the manual calls it.", example="Leak to ground"),
        _PAGE,
    ),
    key="model", unique=("model", "code"), help="One row a fault that the display of a drive model can show.",
)  # fmt: skip
