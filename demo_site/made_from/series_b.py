"""Invented series B: panel drives, eighteen control terminals, settings by drawer ('S-101'), drawers 2 to 5 locked."""

# ruff: noqa: E501 (tables are wider than code)

from __future__ import annotations

from made_from.table_text import Row, rows

BASE = "Invented B-12"

MODELS: list[Row] = rows(
    """
    model         | output_current_light | output_current_heavy | input_current | losses | link_capacitance | bleeder_resistance | max_protection | min_brake_resistance | wait_time
    Invented B-12 | 12 A                 | 9.6 A                | 11.6 A        | 165 W  | 470 µF           | 150000 Ω            | 30 A           | 60 Ω                 | 5 min
    Invented B-23 | 23 A                 | 18 A                 | 22 A          | 310 W  | 940 µF           | 100000 Ω            | 60 A           | 40 Ω                 | 5 min
    Invented B-31 | 31 A                 | 25 A                 | 29.5 A        | 420 W  | 1200 µF          | 82000 Ω             | 80 A           | 30 Ω                 | 10 min
    """,
    manual="Invented B manual, issue 7", manual_page="14", min_voltage="380 V", max_voltage="500 V", input_phases="3",
    overload_light="110 %", overload_heavy="150 %", max_frequency="400 Hz", default_carrier="4 kHz",
    rated_ambient="40 °C", max_ambient="50 °C", ambient_derating="1.5 %", rated_altitude="1000 m",
    max_altitude="4000 m", altitude_derating="1 %", fault_rating="100 kA", fault_rating_device="class J fuses",
    link_trip_voltage="820 V", chopper_voltage="780 V", built_in_reactor="3 %", leakage_current="12 mA",
    supply_24v_limit="200 mA", reference_10v_limit="10 mA", input_current_di="6 mA",
    analog_voltage_impedance="100 kΩ", analog_current_burden="250 Ω", rise_time="0.2 µs", max_motor_cable="100 m",
    enclosure_rating="IP21",
)  # fmt: skip

DERATING: list[Row] = rows(
    """
    carrier | factor | page
    4 kHz   | 100 %  | 15
    8 kHz   | 85 %   | 15
    """,
    model=BASE,
)

TERMINALS: list[Row] = rows(
    """
    terminal | label | role   | strip_order | max_conductors | signal  | page
    X1.1     |       | P24    | 1           | 2              |         | 22
    X1.2     |       | N24    | 2           | 2              |         | 22
    X1.3     |       | DIC    | 3           | 2              |         | 22
    X1.4     | DI1   | DI     | 4           | 2              |         | 22
    X1.5     | DI2   | DI     | 5           | 2              |         | 22
    X1.6     | DI3   | DI     | 6           | 2              |         | 22
    X1.7     | DI4   | DI     | 7           | 2              |         | 22
    X1.8     | DI5   | DI     | 8           | 2              |         | 22
    X2.1     |       | R10    | 9           | 2              |         | 23
    X2.2     | AI1   | AI     | 10          | 2              | voltage | 23
    X2.3     |       | A0     | 11          | 2              |         | 23
    X2.4     | AI2   | AI     | 12          | 2              | either  | 23
    X2.5     | AO1   | AO     | 13          | 2              | either  | 23
    X3.1     | RO1   | RO1.C  | 14          | 2              |         | 24
    X3.2     | RO1   | RO1.NO | 15          | 2              |         | 24
    X3.3     | RO1   | RO1.NC | 16          | 2              |         | 24
    X3.4     | RO2   | RO2.C  | 17          | 2              |         | 24
    X3.5     | RO2   | RO2.NO | 18          | 2              |         | 24
    L1       |       | L1     | 30          | 1              |         | 19
    L2       |       | L2     | 31          | 1              |         | 19
    L3       |       | L3     | 32          | 1              |         | 19
    PE       |       | PE     | 33          | 2              |         | 19
    U        |       | U      | 34          | 1              |         | 19
    V        |       | V      | 35          | 1              |         | 19
    W        |       | W      | 36          | 1              |         | 19
    DC+      |       | DC+    | 37          | 1              |         | 19
    DC-      |       | DC-    | 38          | 1              |         | 19
    BR       |       | BR     | 39          | 1              |         | 19
    """,
    model=BASE,
)

_INPUTS = (
    "0 = not_used (open); 1 = run_forward (go); 2 = run_reverse (go back); 3 = start_pulse (tap to go); "
    "4 = stop_enable (tap to halt); 5 = direction (swap); 6 = jog (nudge); 7 = reference_select (other speed); "
    "8 = fault_reset (wipe); 9 = external_fault (foreign trip); 10 = run_permit (leave); 11 = local_remote (far side); "
    "12 = preset_1 (step one); 13 = preset_2 (step two); 14 = ramp_select (other slope)"
)
_RELAYS = (
    "0 = fault (sound); 1 = run (moving); 2 = ready (standing by); 3 = at_speed (there); 4 = in_auto (far side); "
    "5 = brake_release (let go)"
)
_COMMANDS = "1 = keypad (buttons); 2 = terminals (strip); 3 = network (line)"
_SPEEDS = "1 = keypad (buttons); 2 = AI1 (strip X2.2); 3 = AI2 (strip X2.4); 4 = presets (steps); 5 = increase-decrease (two buttons)"
_AFTER = "0 = trip (halt, tell); 1 = ramp to stop (run down); 2 = hold last (keep); 3 = minimum speed (low); 4 = ignore (nothing)"

SETTINGS: list[Row] = rows(
    f"""
    number | name                   | group          | function                | applies_to | unit | resolution | minimum | maximum | choices | default | access | while_running | page
    S-101 | Key to the drawers      | 1 Housekeeping | access_code             |      |     | 1    | 0   | 999  | | 0 | | yes | 40
    S-102 | Everything as new       | 1 Housekeeping | factory_reset           |      |     |      |     |      | 0 = no (no); 1 = reset (yes) | 0 | | no | 40
    S-103 | Keep what is set        | 1 Housekeeping | save_settings           |      |     |      |     |      | 0 = no (no); 1 = save (keep) | 0 | | yes | 40
    S-104 | Line                    | 1 Housekeeping | region                  |      |     |      |     |      | 50 = 50 Hz (fifty); 60 = 60 Hz (sixty) | 50 | | no | 41
    S-105 | Window shows            | 1 Housekeeping | display_item            |      |     |      |     |      | 0 = output frequency (hertz); 1 = output current (amps); 2 = process value (plant) | 0 | | yes | 41
    S-106 | Window light            | 1 Housekeeping |                         |      | %   | 10   | 0   | 100  | | 60 | | yes | 41
    S-201 | Plate volts             | 2 Motor        | motor_voltage           |      | V   | 1    | 200 | 520  | | 460 | motor drawer | no | 44
    S-202 | Plate amps              | 2 Motor        | motor_current           |      | A   | 0.1  | 1   | 62   | | 10.0 | motor drawer | no | 44
    S-203 | Plate hertz             | 2 Motor        | motor_frequency         |      | Hz  | 0.1  | 25  | 400  | | 50.0 | motor drawer | no | 44
    S-204 | Plate turns             | 2 Motor        | motor_speed             |      | rpm | 1    | 200 | 24000 | | 1450 | motor drawer | no | 44
    S-205 | Plate power             | 2 Motor        | motor_power             |      | hp  | 0.1  | 0.5 | 30   | | 7.5 | motor drawer | no | 45
    S-206 | Plate cosine            | 2 Motor        | motor_power_factor      |      |     | 0.01 | 0.5 | 1    | | 0.82 | motor drawer | no | 45
    S-207 | Manner of turning       | 2 Motor        | control_mode            |      |     |      |     |      | 1 = linear volts per hertz (even); 2 = quadratic volts per hertz (pump); 3 = sensorless vector (strong) | 1 | motor drawer | no | 46
    S-208 | Get to know the motor   | 2 Motor        | identification_run      |      |     |      |     |      | 0 = off (no); 1 = static (at rest); 2 = rotating (turning) | 0 | motor drawer | no | 46
    S-209 | Heat amps               | 2 Motor        | overload_current        |      | A   | 0.1  | 1   | 62   | | 10.0 | motor drawer | yes | 47
    S-210 | Heat patience           | 2 Motor        | overload_class          |      |     |      |     |      | 5 = 5 (short); 10 = 10 (usual); 20 = 20 (long) | 10 | motor drawer | yes | 47
    S-211 | Motor fan               | 2 Motor        | overload_cooling        |      |     |      |     |      | 0 = self-ventilated (on the shaft); 1 = forced (own motor) | 0 | motor drawer | yes | 47
    S-301 | Starts in auto          | 3 Sources      | command_source          | auto |     |      |     |      | {_COMMANDS} | 1 | source drawer | yes | 50
    S-302 | Speed in auto           | 3 Sources      | reference_source        | auto |     |      |     |      | {_SPEEDS} | 1 | source drawer | yes | 50
    S-303 | Starts in hand          | 3 Sources      | command_source          | hand |     |      |     |      | {_COMMANDS} | 1 | source drawer | yes | 51
    S-304 | Speed in hand           | 3 Sources      | reference_source        | hand |     |      |     |      | {_SPEEDS} | 1 | source drawer | yes | 51
    S-305 | Kind of start           | 3 Sources      | start_method            |      |     |      |     |      | 1 = two-wire (stay closed); 2 = three-wire (tap) | 1 | source drawer | no | 51
    S-306 | Backward                | 3 Sources      | direction_enable        |      |     |      |     |      | 0 = forward only (never); 1 = both (allowed) | 1 | source drawer | no | 52
    S-307 | Top hertz               | 3 Sources      | max_frequency           |      | Hz  | 0.1  | 10  | 400  | | 50.0 | source drawer | no | 52
    S-308 | Bottom hertz            | 3 Sources      | min_frequency           |      | Hz  | 0.1  | 0   | 120  | | 0.0 | source drawer | yes | 52
    S-309 | Up slope                | 3 Sources      | acceleration_time       |      | s   | 0.1  | 0   | 1800 | | 10.0 | source drawer | yes | 53
    S-310 | Down slope              | 3 Sources      | deceleration_time       |      | s   | 0.1  | 0   | 1800 | | 10.0 | source drawer | yes | 53
    S-311 | Halting                 | 3 Sources      | stop_mode               |      |     |      |     |      | 1 = coast (roll out); 2 = ramp (slope); 3 = dc brake (hold) | 2 | source drawer | no | 53
    S-312 | Leap over               | 3 Sources      | skip_frequency          |      | Hz  | 0.1  | 0   | 400  | | 0.0 | source drawer | yes | 54
    S-313 | Leap width              | 3 Sources      | skip_width              |      | Hz  | 0.1  | 0   | 30   | | 0.0 | source drawer | yes | 54
    S-314 | Step one hertz          | 3 Sources      | preset_speed            | 1    | Hz  | 0.1  | 0   | 400  | | 10.0 | source drawer | yes | 54
    S-315 | Step two hertz          | 3 Sources      | preset_speed            | 2    | Hz  | 0.1  | 0   | 400  | | 20.0 | source drawer | yes | 54
    S-401 | Strip X1.4              | 4 Strip        | digital_input_function  | DI1  |     |      |     |      | {_INPUTS} | 1 | strip drawer | no | 58
    S-402 | Strip X1.5              | 4 Strip        | digital_input_function  | DI2  |     |      |     |      | {_INPUTS} | 2 | strip drawer | no | 58
    S-403 | Strip X1.6              | 4 Strip        | digital_input_function  | DI3  |     |      |     |      | {_INPUTS} | 7 | strip drawer | no | 58
    S-404 | Strip X1.7              | 4 Strip        | digital_input_function  | DI4  |     |      |     |      | {_INPUTS} | 8 | strip drawer | no | 58
    S-405 | Strip X1.8              | 4 Strip        | digital_input_function  | DI5  |     |      |     |      | {_INPUTS} | 9 | strip drawer | no | 58
    S-406 | Relay X3.1              | 4 Strip        | relay_function          | RO1  |     |      |     |      | {_RELAYS} | 0 | strip drawer | yes | 59
    S-407 | Relay X3.4              | 4 Strip        | relay_function          | RO2  |     |      |     |      | {_RELAYS} | 2 | strip drawer | yes | 59
    S-408 | X2.2 takes              | 4 Strip        | analog_input_format     | AI1  |     |      |     |      | 1 = 0-10 V (volts); 2 = 2-10 V (volts, live) | 1 | strip drawer | no | 60
    S-409 | X2.4 takes              | 4 Strip        | analog_input_format     | AI2  |     |      |     |      | 1 = 0-10 V (volts); 2 = 0-20 mA (amps); 3 = 4-20 mA (amps, live) | 3 | strip drawer | no | 60
    S-410 | X2.4 broken             | 4 Strip        | analog_input_loss       | AI2  |     |      |     |      | {_AFTER} | 4 | strip drawer | yes | 60
    S-411 | X2.2 calm               | 4 Strip        | analog_input_filter     | AI1  | s   | 0.01 | 0   | 10   | | 0.10 | strip drawer | yes | 60
    S-412 | X2.4 calm               | 4 Strip        | analog_input_filter     | AI2  | s   | 0.01 | 0   | 10   | | 0.10 | strip drawer | yes | 60
    S-413 | X2.5 shows              | 4 Strip        | analog_output_function  | AO1  |     |      |     |      | 1 = output_frequency (hertz); 2 = output_current (amps) | 1 | strip drawer | yes | 61
    S-414 | X2.5 gives              | 4 Strip        | analog_output_format    | AO1  |     |      |     |      | 1 = 0-10 V (volts); 2 = 4-20 mA (amps) | 2 | strip drawer | no | 61
    S-416 | X2.2 begins at          | 4 Strip        | analog_input_low        | AI1  | %   | 0.1  | 0   | 100  | | 0.0 | strip drawer | yes | 60
    S-417 | X2.4 begins at          | 4 Strip        | analog_input_low        | AI2  | %   | 0.1  | 0   | 100  | | 0.0 | strip drawer | yes | 60
    S-415 | Inputs close to         | 4 Strip        | input_logic             |      |     |      |     |      | 1 = positive (plus); 2 = negative (zero) | 1 | strip drawer | no | 61
    S-501 | Pulse rate              | 5 Guard        | carrier_frequency       |      | kHz | 1    | 2   | 8    | | 4 | guard drawer | no | 65
    S-502 | Amp ceiling             | 5 Guard        | current_limit           |      | %   | 1    | 50  | 180  | | 150 | guard drawer | yes | 65
    S-503 | Foreign trip            | 5 Guard        | external_fault_reaction |      |     |      |     |      | 0 = trip (halt, tell); 1 = ramp to stop (run down); 2 = warn (tell) | 0 | guard drawer | yes | 66
    S-504 | Line phase away         | 5 Guard        | phase_loss_reaction     |      |     |      |     |      | 0 = trip (halt, tell); 1 = warn (tell) | 0 | guard drawer | yes | 66
    S-505 | Line is back            | 5 Guard        | power_return            |      |     |      |     |      | 0 = stay stopped (rest); 1 = restart (carry on) | 0 | guard drawer | yes | 67
    S-506 | Own wipes               | 5 Guard        | fault_reset_count       |      |     | 1    | 0   | 10   | | 0 | guard drawer | yes | 67
    S-507 | Pause before wipe       | 5 Guard        | fault_reset_delay       |      | s   | 1    | 0   | 300  | | 5 | guard drawer | yes | 67
    S-508 | Catch on the fly        | 5 Guard        | flying_start            |      |     |      |     |      | 0 = off (no); 1 = on (yes) | 0 | guard drawer | no | 68
    S-509 | Brake unit              | 5 Guard        | brake_chopper           |      |     |      |     |      | 0 = off (none); 1 = on (there) | 0 | guard drawer | no | 68
    """,
    model=BASE,
)
for _row in SETTINGS:
    if _row["number"] == "S-102":
        _row["overwrites"] = "all"
    if _row["number"] == "S-104":
        _row["overwrites"] = "S-203; S-204; S-307"
    if "access" in _row:
        _row.update(opened_by="S-101", opened_with="314")

FAULT_CODES: list[Row] = rows(
    """
    code | meaning               | words                      | page
    X-01 | short circuit         | Output shorted             | 88
    X-02 | overcurrent           | Output current too high    | 88
    X-03 | earth fault           | Output to ground           | 88
    X-05 | overvoltage           | Link above its limit       | 89
    X-06 | undervoltage          | Link below its limit       | 89
    X-08 | input phase loss      | One line missing           | 89
    X-09 | output phase loss     | One motor lead missing     | 90
    X-11 | motor overload        | Motor model at its limit   | 90
    X-12 | motor overtemperature | Sensor input               | 90
    X-14 | drive overtemperature | Sink at its limit          | 91
    X-20 | reference loss        | Analog signal out of range | 91
    X-21 | network loss          | Bus silent                 | 91
    X-30 | other                 | Clock has no battery       | 92
    """,
    model=BASE,
)
