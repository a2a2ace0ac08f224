"""Invented series C: large drives, twenty-four control terminals, settings 'M07'; the preset M03 overwrites others."""

# ruff: noqa: E501 (tables are wider than code)

from __future__ import annotations

from made_from.table_text import Row, rows

BASE = "Invented C-65"

MODELS: list[Row] = rows(
    """
    model          | output_current_light | output_current_heavy | input_current | losses | link_capacitance | bleeder_resistance | max_protection | wait_time
    Invented C-38  | 38 A                 | 31 A                 | 35.5 A        | 540 W  | 1600 µF          | 68000 Ω             | 100 A          | 10 min
    Invented C-65  | 65 A                 | 52 A                 | 61 A          | 890 W  | 2700 µF          | 47000 Ω             | 150 A          | 10 min
    Invented C-105 | 105 A                | 87 A                 | 98 A          | 1450 W | 4400 µF          | 33000 Ω             | 250 A          | 15 min
    Invented C-156 | 156 A                | 124 A                | 147 A         | 2150 W | 6600 µF          | 22000 Ω             | 400 A          | 15 min
    """,
    manual="Invented C manual, issue 2", manual_page="20", min_voltage="380 V", max_voltage="500 V", input_phases="3",
    overload_light="110 %", overload_heavy="150 %", max_frequency="500 Hz", default_carrier="3 kHz",
    rated_ambient="40 °C", max_ambient="50 °C", ambient_derating="1 %", rated_altitude="1000 m",
    max_altitude="4000 m", altitude_derating="1 %", fault_rating="100 kA", fault_rating_device="class J fuses",
    link_trip_voltage="830 V", built_in_reactor="3 %", leakage_current="25 mA", supply_24v_limit="250 mA",
    reference_10v_limit="10 mA", input_current_di="7 mA", analog_voltage_impedance="200 kΩ",
    analog_current_burden="100 Ω", rise_time="0.3 µs", max_motor_cable="150 m", enclosure_rating="IP21",
)  # fmt: skip

DERATING: list[Row] = rows(
    """
    carrier | factor | page
    3 kHz   | 100 %  | 21
    6 kHz   | 82 %   | 21
    """,
    model=BASE,
)

TERMINALS: list[Row] = rows(
    """
    terminal | label | role    | strip_order | max_conductors | signal | page
    31       |       | P24     | 1           | 2              |        | 34
    32       |       | N24     | 2           | 2              |        | 34
    33       |       | DIC     | 3           | 2              |        | 34
    34       | DI1   | DI      | 4           | 2              |        | 34
    35       | DI2   | DI      | 5           | 2              |        | 34
    36       | DI3   | DI      | 6           | 2              |        | 34
    37       | DI4   | DI      | 7           | 2              |        | 34
    38       | DI5   | DI      | 8           | 2              |        | 34
    41       |       | R10     | 9           | 2              |        | 35
    42       | AI1   | AI      | 10          | 2              | either | 35
    43       | AI2   | AI      | 11          | 2              | either | 35
    44       |       | A0      | 12          | 2              |        | 35
    51       | RO1   | RO1.C   | 13          | 2              |        | 36
    52       | RO1   | RO1.NO  | 14          | 2              |        | 36
    54       | RO2   | RO2.C   | 15          | 2              |        | 36
    55       | RO2   | RO2.NO  | 16          | 2              |        | 36
    60       |       | STOS    | 17          | 2              |        | 37
    61       | STO1  | STO1    | 18          | 1              |        | 37
    62       | STO2  | STO2    | 19          | 1              |        | 37
    63       | PTC   | PTC+    | 20          | 1              |        | 38
    64       | PTC   | PTC-    | 21          | 1              |        | 38
    71       | BUS   | BUS.A   | 22          | 2              |        | 39
    72       | BUS   | BUS.B   | 23          | 2              |        | 39
    73       | BUS   | BUS.REF | 24          | 2              |        | 39
    L1       |       | L1      | 40          | 1              |        | 28
    L2       |       | L2      | 41          | 1              |        | 28
    L3       |       | L3      | 42          | 1              |        | 28
    PE       |       | PE      | 43          | 2              |        | 28
    U        |       | U       | 44          | 1              |        | 28
    V        |       | V       | 45          | 1              |        | 28
    W        |       | W       | 46          | 1              |        | 28
    DC+      |       | DC+     | 47          | 1              |        | 28
    DC-      |       | DC-     | 48          | 1              |        | 28
    """,
    model=BASE,
)

_INPUTS = (
    "- = not_used (blank); a = run_forward (run); b = run_reverse (run back); c = start_pulse (begin); d = stop_enable (end); "
    "e = reference_select (second speed); f = fault_reset (acknowledge); g = external_fault (trip from outside); "
    "h = run_permit (interlock); i = local_remote (remote); j = preset_1 (speed bit 0); k = preset_2 (speed bit 1); "
    "l = set_select (second set)"
)
_RELAYS = "a = fault (healthy); b = run (rotating); c = ready (ready); d = at_speed (on speed); e = in_auto (remote)"
_COMMANDS = "a = keypad (panel); b = terminals (inputs); c = network (line)"
_SPEEDS = "a = keypad (panel); b = AI1 (input 42); c = AI2 (input 43); d = network (line); e = presets (speed bits); f = process control (regulator)"
_FORMATS = "a = 0-10 V (10 V); b = 2-10 V (10 V live); c = 0-20 mA (20 mA); d = 4-20 mA (20 mA live)"
_AFTER = "a = trip (trip); b = ramp to stop (run down); c = hold last (keep speed); d = minimum speed (crawl); e = ignore (none)"
_TRIPS = "a = trip (trip); b = warn (message); c = ignore (none)"

SETTINGS: list[Row] = rows(
    f"""
    number | name                   | group   | function                 | applies_to | unit | resolution | minimum | maximum | choices | default | while_running | page
    M01 | All values as shipped      | Basics  | factory_reset            |        |     |      |     |      | n = no (no); y = reset (yes) | n | no | 60
    M02 | Grid                       | Basics  | region                   |        |     |      |     |      | E = 50 Hz (50); A = 60 Hz (60) | A | no | 60
    M03 | Ready-made duty            | Basics  | preset_macro             |        |     |      |     |      | P = pump station (pump station); V = ventilation (ventilation); 0 = free (none) | P | no | 61
    M04 | Shut the panel             | Basics  | parameter_lock           |        |     |      |     |      | 0 = unlocked (open); 1 = locked (shut) | 0 | yes | 61
    M05 | Copy to panel              | Basics  | backup                   |        |     |      |     |      | 0 = no (no); 1 = save (copy) | 0 | no | 62
    M06 | Panel line                 | Basics  | display_item             |        |     |      |     |      | a = output frequency (Hz); b = output current (A); c = speed (rpm) | a | yes | 62
    M07 | Motor voltage              | Machine | motor_voltage            |        | V   | 1    | 200 | 520  | | 460 | no | 65
    M08 | Motor current              | Machine | motor_current            |        | A   | 0.1  | 5   | 320  | | 60.0 | no | 65
    M09 | Motor frequency            | Machine | motor_frequency          |        | Hz  | 0.1  | 20  | 500  | | 60.0 | no | 65
    M10 | Motor speed                | Machine | motor_speed              |        | rpm | 1    | 100 | 30000 | | 1770 | no | 65
    M11 | Motor power                | Machine | motor_power              |        | kW  | 0.1  | 1   | 250  | | 37.0 | no | 65
    M12 | Motor cos                  | Machine | motor_power_factor       |        |     | 0.01 | 0.5 | 1    | | 0.86 | no | 66
    M13 | Flux curve                 | Machine | control_mode             |        |     |      |     |      | a = linear volts per hertz (straight); b = quadratic volts per hertz (square); c = sensorless vector (vector) | a | no | 66
    M14 | Self measurement           | Machine | identification_run       |        |     |      |     |      | 0 = off (off); 1 = static (still); 2 = rotating (turning) | 0 | no | 67
    M15 | Switching                  | Machine | carrier_frequency        |        | kHz | 0.5  | 1.5 | 6    | | 3.0 | yes | 67
    M20 | Speed floor                | Speed   | min_frequency            |        | Hz  | 0.01 | 0   | 500  | | 20.00 | yes | 70
    M21 | Speed ceiling              | Speed   | max_frequency            |        | Hz  | 0.01 | 1   | 500  | | 60.00 | no | 70
    M22 | Ramp to ceiling            | Speed   | acceleration_time        |        | s   | 0.1  | 0.1 | 3000 | | 30.0 | yes | 70
    M23 | Ramp to rest               | Speed   | deceleration_time        |        | s   | 0.1  | 0.1 | 3000 | | 30.0 | yes | 70
    M24 | End of run                 | Speed   | stop_mode                |        |     |      |     |      | a = coast (free); b = ramp (ramp) | b | no | 71
    M25 | Gap middle                 | Speed   | skip_frequency           |        | Hz  | 0.01 | 0   | 500  | | 0.00 | yes | 71
    M26 | Gap width                  | Speed   | skip_width               |        | Hz  | 0.01 | 0   | 25   | | 0.00 | yes | 71
    M27 | Rotation                   | Speed   | direction_enable         |        |     |      |     |      | 1 = forward only (one way); 2 = both (two ways) | 1 | no | 71
    M30 | Command, remote            | Sources | command_source           | auto   |     |      |     |      | {_COMMANDS} | b | yes | 75
    M31 | Speed, remote              | Sources | reference_source         | auto   |     |      |     |      | {_SPEEDS} | f | yes | 75
    M32 | Command, local             | Sources | command_source           | hand   |     |      |     |      | {_COMMANDS} | a | yes | 75
    M33 | Speed, local               | Sources | reference_source         | hand   |     |      |     |      | {_SPEEDS} | a | yes | 75
    M34 | Begin by                   | Sources | start_method             |        |     |      |     |      | 1 = two-wire (level); 2 = three-wire (edge) | 1 | no | 76
    M40 | Input 34                   | Inputs  | digital_input_function   | DI1    |     |      |     |      | {_INPUTS} | a | no | 80
    M41 | Input 35                   | Inputs  | digital_input_function   | DI2    |     |      |     |      | {_INPUTS} | g | no | 80
    M42 | Input 36                   | Inputs  | digital_input_function   | DI3    |     |      |     |      | {_INPUTS} | j | no | 80
    M43 | Input 37                   | Inputs  | digital_input_function   | DI4    |     |      |     |      | {_INPUTS} | k | no | 80
    M44 | Input 38                   | Inputs  | digital_input_function   | DI5    |     |      |     |      | {_INPUTS} | f | no | 80
    M45 | Input 42 signal            | Inputs  | analog_input_format      | AI1    |     |      |     |      | {_FORMATS} | a | no | 82
    M46 | Input 43 signal            | Inputs  | analog_input_format      | AI2    |     |      |     |      | {_FORMATS} | d | no | 82
    M47 | Input 42 lost              | Inputs  | analog_input_loss        | AI1    |     |      |     |      | {_AFTER} | e | yes | 83
    M48 | Input 43 lost              | Inputs  | analog_input_loss        | AI2    |     |      |     |      | {_AFTER} | a | yes | 83
    M49 | Inputs see                 | Inputs  | input_logic              |        |     |      |     |      | a = positive (24 V); b = negative (0 V) | a | no | 83
    M52 | Input 42 begins at         | Inputs  | analog_input_low         | AI1    | %   | 0.1  | 0   | 100  | | 0.0 | yes | 82
    M53 | Input 43 begins at         | Inputs  | analog_input_low         | AI2    | %   | 0.1  | 0   | 100  | | 0.0 | yes | 82
    M50 | Relay 51                   | Outputs | relay_function           | RO1    |     |      |     |      | {_RELAYS} | a | yes | 85
    M51 | Relay 54                   | Outputs | relay_function           | RO2    |     |      |     |      | {_RELAYS} | c | yes | 85
    M60 | Thermal current            | Guards  | overload_current         |        | A   | 0.1  | 5   | 320  | | 60.0 | yes | 90
    M61 | Thermal class              | Guards  | overload_class           |        |     |      |     |      | 10 = 10 (10); 20 = 20 (20); 30 = 30 (30) | 10 | yes | 90
    M62 | Motor cooling              | Guards  | overload_cooling         |        |     |      |     |      | a = self-ventilated (shaft); b = forced (separate) | a | yes | 90
    M63 | Motor sensor               | Guards  | thermistor_reaction      |        |     |      |     |      | {_TRIPS} | c | yes | 91
    M64 | Outside trip               | Guards  | external_fault_reaction  |        |     |      |     |      | {_TRIPS} | a | yes | 91
    M65 | Phase watch                | Guards  | phase_loss_reaction      |        |     |      |     |      | {_TRIPS} | a | yes | 91
    M66 | Safe input opens           | Guards  | safe_torque_off_reaction |        |     |      |     |      | a = fault (trip); b = indicate (message) | b | no | 92
    M67 | Output current roof        | Guards  | current_limit            |        | A   | 0.1  | 5   | 400  | | 90.0 | yes | 92
    M70 | After a power cut          | Return  | power_return             |        |     |      |     |      | a = stay stopped (rest); b = restart (resume) | a | yes | 95
    M71 | Self resets                | Return  | fault_reset_count        |        |     | 1    | 0   | 9    | | 3 | yes | 95
    M72 | Self reset pause           | Return  | fault_reset_delay        |        | s   | 1    | 1   | 600  | | 30 | yes | 95
    M73 | Catch spinning shaft       | Return  | flying_start             |        |     |      |     |      | 0 = off (off); 1 = on (on) | 0 | no | 96
    M80 | Line station               | Line    | network_address          |        |     | 1    | 1   | 247  | | 1 | no | 100
    M81 | Line rate                  | Line    | network_speed            |        |     |      |     |      | 1 = 9600 (slow); 2 = 19200 (usual); 3 = 38400 (fast) | 2 | no | 100
    M82 | Line parity                | Line    | network_parity           |        |     |      |     |      | 0 = none (none); 1 = even (even); 2 = odd (odd) | 1 | no | 100
    M83 | Line silence               | Line    | network_timeout          |        | s   | 0.1  | 0   | 600  | | 5.0 | yes | 101
    M84 | Line lost                  | Line    | network_loss             |        |     |      |     |      | {_AFTER} | a | yes | 101
    M90 | Regulator                  | Process | process_control          |        |     |      |     |      | 0 = off (off); 1 = on (on) | 1 | no | 105
    M91 | Regulator target           | Process | process_setpoint         |        | %   | 0.1  | 0   | 100  | | 50.0 | yes | 105
    M92 | Regulator gain             | Process | process_gain             |        |     | 0.01 | 0   | 50   | | 1.00 | yes | 105
    M93 | Regulator time             | Process | process_integral         |        | s   | 0.1  | 0   | 600  | | 10.0 | yes | 105
    """,
    model=BASE,
)
for _row in SETTINGS:
    if _row["number"] == "M01":
        _row["overwrites"] = "all"
    if _row["number"] == "M03":
        _row["overwrites"] = "M20..M34; M40..M51; M63..M73; M90..M93"
