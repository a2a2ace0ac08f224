"""Invented series A: small drives, twelve control terminals, settings numbered 1 to 58."""

# ruff: noqa: E501 (tables are wider than code)

from __future__ import annotations

from made_from.table_text import Row, rows

BASE = "Invented A-5"

MODELS: list[Row] = rows(
    """
    model        | min_voltage | max_voltage | input_phases | output_current_light | output_current_heavy | input_current | losses | link_capacitance | bleeder_resistance | link_trip_voltage | max_protection | min_brake_resistance | single_phase_factor
    Invented A-3 | 200 V       | 240 V       | 1            | 4.8 A                | 4.2 A                | 9.2 A         | 48 W   | 560 µF           | 110000 Ω            | 410 V             | 20 A           | 80 Ω                 |
    Invented A-5 | 380 V       | 500 V       | 3            | 5.6 A                | 4.8 A                | 6.4 A         | 70 W   | 220 µF           | 270000 Ω            | 820 V             | 15 A           | 120 Ω                |
    Invented A-8 | 380 V       | 500 V       | 3            | 8.8 A                | 7.6 A                | 9.8 A         | 112 W  | 330 µF           | 220000 Ω            | 820 V             | 25 A           | 80 Ω                 |
    """,
    manual="Invented A manual, issue 3", manual_page="11", overload_light="110 %", overload_heavy="150 %",
    max_frequency="400 Hz", default_carrier="4 kHz", rated_ambient="40 °C", max_ambient="50 °C",
    ambient_derating="2 %", rated_altitude="1000 m", max_altitude="2000 m", altitude_derating="1 %",
    fault_rating="100 kA", fault_rating_device="class J fuses", wait_time="5 min", leakage_current="3 mA",
    supply_24v_limit="100 mA", reference_10v_limit="10 mA", input_current_di="5 mA",
    analog_voltage_impedance="100 kΩ", analog_current_burden="250 Ω", rise_time="0.15 µs", max_motor_cable="50 m",
    enclosure_rating="IP20", built_in_controls="variant P: switch and potentiometer",
)  # fmt: skip

DERATING: list[Row] = rows(
    """
    carrier | factor | page
    4 kHz   | 100 %  | 12
    8 kHz   | 88 %   | 12
    12 kHz  | 75 %   | 12
    """,
    model=BASE,
)

TERMINALS: list[Row] = rows(
    """
    terminal | label  | role   | strip_order | max_conductors | signal | page
    1        |        | P24    | 1           | 2              |        | 17
    2        | DI1    | DI     | 2           | 2              |        | 17
    3        | DI2    | DI     | 3           | 2              |        | 17
    4        | DI3    | DI     | 4           | 2              |        | 17
    5        |        | DIC    | 5           | 2              |        | 17
    6        |        | N24    | 6           | 2              |        | 17
    7        |        | R10    | 7           | 2              |        | 18
    8        | AI1    | AI     | 8           | 2              | either | 18
    9        |        | A0     | 9           | 2              |        | 18
    10       | RO1    | RO1.C  | 10          | 2              |        | 19
    11       | RO1    | RO1.NO | 11          | 2              |        | 19
    12       | RO1    | RO1.NC | 12          | 2              |        | 19
    L1       |        | L1     | 20          | 1              |        | 15
    L2       |        | L2     | 21          | 1              |        | 15
    L3       |        | L3     | 22          | 1              |        | 15
    PE       |        | PE     | 23          | 2              |        | 15
    U        |        | U      | 24          | 1              |        | 15
    V        |        | V      | 25          | 1              |        | 15
    W        |        | W      | 26          | 1              |        | 15
    DC+      |        | DC+    | 27          | 1              |        | 15
    DC-      |        | DC-    | 28          | 1              |        | 15
    """,
    model=BASE,
)

_INPUTS = (
    "0 = not_used (none); 1 = run_forward (forward); 2 = run_reverse (reverse); 3 = start_pulse (start); "
    "4 = stop_enable (stop); 5 = direction (turn round); 6 = jog (inch); 7 = fault_reset (clear); "
    "8 = external_fault (outside trip); 9 = run_permit (release); 10 = preset_1 (fixed speed a); "
    "11 = preset_2 (fixed speed b)"
)

SETTINGS: list[Row] = rows(
    f"""
    number | name                    | group   | function                | applies_to | unit | resolution | minimum | maximum | choices | default | variant_default | while_running | page
    1      | Highest frequency       | Speed   | max_frequency           |     | Hz  | 0.1  | 1   | 400  | | 60.0 | | no  | 31
    2      | Lowest frequency        | Speed   | min_frequency           |     | Hz  | 0.1  | 0   | 400  | | 0.0  | | yes | 31
    3      | Time up                 | Speed   | acceleration_time       |     | s   | 0.1  | 0.1 | 600  | | 5.0  | | yes | 31
    4      | Time down               | Speed   | deceleration_time       |     | s   | 0.1  | 0.1 | 600  | | 5.0  | | yes | 32
    5      | Way of stopping         | Speed   | stop_mode               |     |     |      |     |      | 0 = ramp (slow down); 1 = coast (let go) | 0 | | no | 32
    6      | Who starts              | Source  | command_source          |     |     |      |     |      | 0 = keypad (panel keys); 1 = terminals (strip); 2 = built-in switch (front switch) | 0 | P = 2 | yes | 33
    7      | Who sets the speed      | Source  | reference_source        |     |     |      |     |      | 0 = keypad (panel arrows); 1 = AI1 (strip 8); 2 = built-in potentiometer (front knob); 3 = presets (fixed speeds) | 0 | P = 2 | yes | 33
    8      | Start by                | Source  | start_method            |     |     |      |     |      | 0 = two-wire (held contact); 1 = three-wire (two buttons) | 0 | | no | 34
    9      | Turning back            | Source  | direction_enable        |     |     |      |     |      | 0 = forward only (no); 1 = both (yes) | 0 | | no | 34
    10     | Contact ties to         | Strip   | input_logic             |     |     |      |     |      | 0 = positive (plus); 1 = negative (zero) | 0 | | no | 36
    11     | Strip 2 does            | Strip   | digital_input_function  | DI1 |     |      |     |      | {_INPUTS} | 1 | | no | 36
    12     | Strip 3 does            | Strip   | digital_input_function  | DI2 |     |      |     |      | {_INPUTS} | 2 | | no | 36
    13     | Strip 4 does            | Strip   | digital_input_function  | DI3 |     |      |     |      | {_INPUTS} | 7 | | no | 36
    14     | Relay reports           | Strip   | relay_function          | RO1 |     |      |     |      | 0 = fault (good); 1 = run (turning); 2 = ready (waiting); 3 = at_speed (arrived) | 0 | | yes | 37
    15     | Speed signal kind       | Strip   | analog_input_format     | AI1 |     |      |     |      | 0 = 0-10 V (volts); 1 = 4-20 mA (current); 2 = 0-20 mA (current from zero) | 0 | | no | 38
    16     | Speed at signal start   | Strip   | analog_input_low        | AI1 | %   | 0.1  | 0   | 100  | | 0.0   | | yes | 38
    17     | Speed at signal end     | Strip   | analog_input_high       | AI1 | %   | 0.1  | 0   | 100  | | 100.0 | | yes | 38
    18     | Signal calming          | Strip   | analog_input_filter     | AI1 | s   | 0.01 | 0   | 2    | | 0.10  | | yes | 38
    19     | Signal gone             | Strip   | analog_input_loss       | AI1 |     |      |     |      | 0 = ignore (nothing); 1 = trip (stop and report); 2 = minimum speed (lowest) | 0 | | yes | 38
    20     | Motor volts             | Motor   | motor_voltage           |     | V   | 1    | 100 | 500  | | 460  | | no | 41
    21     | Motor amps              | Motor   | motor_current           |     | A   | 0.01 | 0.2 | 12   | | 3.60 | | no | 41
    22     | Motor hertz             | Motor   | motor_frequency         |     | Hz  | 0.1  | 20  | 400  | | 60.0 | | no | 41
    23     | Motor turns             | Motor   | motor_speed             |     | rpm | 1    | 100 | 24000 | | 1750 | | no | 41
    24     | Motor power             | Motor   | motor_power             |     | kW  | 0.01 | 0.1 | 5.5  | | 1.50 | | no | 42
    25     | Motor cosine            | Motor   | motor_power_factor      |     |     | 0.01 | 0.4 | 1    | | 0.80 | | no | 42
    26     | Way of driving          | Motor   | control_mode            |     |     |      |     |      | 0 = linear volts per hertz (straight); 1 = quadratic volts per hertz (bent); 2 = sensorless vector (full) | 0 | | no | 43
    27     | Measure the motor       | Motor   | identification_run      |     |     |      |     |      | 0 = off (no); 1 = static (standing) | 0 | | no | 43
    28     | Pulses a second         | Motor   | carrier_frequency       |     | kHz | 1    | 2   | 12   | | 4    | | yes | 44
    29     | Heat limit amps         | Guard   | overload_current        |     | A   | 0.01 | 0.2 | 12   | | 3.60 | | yes | 47
    30     | Heat limit kind         | Guard   | overload_cooling        |     |     |      |     |      | 0 = self-ventilated (own fan); 1 = forced (outside fan) | 0 | | yes | 47
    31     | Current ceiling         | Guard   | current_limit           |     | %   | 1    | 20  | 200  | | 150  | | yes | 47
    32     | Line phase gone         | Guard   | phase_loss_reaction     |     |     |      |     |      | 0 = ignore (nothing); 1 = trip (stop and report) | 1 | | yes | 48
    33     | Outside trip            | Guard   | external_fault_reaction |     |     |      |     |      | 0 = trip (stop and report); 1 = warn (report) | 0 | | yes | 48
    34     | Own resets              | Guard   | fault_reset_count       |     |     | 1    | 0   | 10   | | 0    | | yes | 49
    35     | Wait before reset       | Guard   | fault_reset_delay       |     | s   | 1    | 1   | 120  | | 10   | | yes | 49
    36     | Power comes back        | Guard   | power_return            |     |     |      |     |      | 0 = stay stopped (wait); 1 = restart (go on) | 0 | | yes | 49
    37     | Catch a turning motor   | Guard   | flying_start            |     |     |      |     |      | 0 = off (no); 1 = on (yes) | 0 | | no | 50
    38     | Inching speed           | Speed   | jog_frequency           |     | Hz  | 0.1  | 0   | 60   | | 6.0  | | yes | 32
    39     | Fixed speed a           | Speed   | preset_speed            | 1   | Hz  | 0.1  | 0   | 400  | | 10.0 | | yes | 32
    40     | Fixed speed b           | Speed   | preset_speed            | 2   | Hz  | 0.1  | 0   | 400  | | 20.0 | | yes | 32
    41     | Fixed speed a and b     | Speed   | preset_speed            | 3   | Hz  | 0.1  | 0   | 400  | | 30.0 | | yes | 32
    42     | Shunned frequency       | Speed   | skip_frequency          |     | Hz  | 0.1  | 0   | 400  | | 0.0  | | yes | 32
    43     | Shunned width           | Speed   | skip_width              |     | Hz  | 0.1  | 0   | 20   | | 0.0  | | yes | 32
    44     | Panel shows             | Panel   | display_item            |     |     |      |     |      | 0 = output frequency (hertz); 1 = output current (amps); 2 = speed (turns) | 0 | | yes | 53
    45     | Brake module            | Guard   | brake_chopper           |     |     |      |     |      | 0 = off (none); 1 = on (fitted) | 0 | | no | 50
    46     | Panel keys              | Panel   | parameter_lock          |     |     |      |     |      | 0 = unlocked (free); 1 = locked (shut) | 0 | | yes | 53
    47     | Hold at zero            | Speed   |                         |     | s   | 0.1  | 0   | 20   | | 0.0  | | yes | 32
    48     | Extra volts at start    | Motor   |                         |     | %   | 0.1  | 0   | 20   | | 2.0  | | yes | 44
    49     | Fan runs                | Panel   |                         |     |     |      |     |      | 0 = always (all the time); 1 = when warm (by heat) | 1 | | yes | 54
    50     | Hours run               | Panel   |                         |     | h   | 1    | 0   | 65000 | | 0   | | no | 54
    58     | Back to new             | Panel   | factory_reset           |     |     |      |     |      | 0 = no (no); 77 = reset (yes) | 0 | | no | 55
    """,
    model=BASE,
)

FAULT_CODES: list[Row] = rows(
    """
    code | meaning               | words                      | page
    F1   | overcurrent           | Too many amps              | 71
    F2   | overvoltage           | Link too full              | 71
    F3   | undervoltage          | Link too empty             | 71
    F4   | earth fault           | Leak to ground             | 72
    F5   | motor overload        | Motor too warm by sums     | 72
    F6   | drive overtemperature | Fins too warm              | 72
    F7   | reference loss        | Speed signal gone          | 73
    F8   | external fault        | Stopped from outside       | 73
    F9   | drive internal        | Drive broken               | 73
    """,
    model=BASE,
)
for _row in SETTINGS:
    if _row["number"] == "58":
        _row["overwrites"] = "all"
