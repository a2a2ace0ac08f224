"""An invented laundry on 400 V 50 Hz: the rows of its workbook as a person would type them.

Three drives of 0.75, 15 and 45 kW; a TN-S supply and an IT supply; decimal commas where the site
writes them. Drives, plates and manual are invented.
"""

# ruff: noqa: E501 (tables are wider than code)

from __future__ import annotations

from pathlib import Path

from binder.inventory.blank import CellValue, write_workbook

Row = dict[str, CellValue]

SERIES = "Invented K-032"


def table(text: str, **same: CellValue) -> list[Row]:
    """Rows of a table typed as text: first line the record fields, cells between bars, blanks left out."""
    head, *lines = text.strip().splitlines()
    fields = [f.strip() for f in head.split("|")]
    found: list[Row] = []
    for line in lines:
        cells = [c.strip() for c in line.split("|")]
        found.append({**same, **{f: c for f, c in zip(fields, cells, strict=True) if c}})
    return found


SITE: list[Row] = [
    {
        "name": "Laundry at Lindenfurt", "document_prefix": "LF26", "code_basis": "IEC", "code_edition": "2016",
        "paper": "A4", "decimal_mark": ",", "symbols": "IEC", "binder_title": "Commissioning binder",
        "address": "4 Invented Lane, Lindenfurt", "owner": "Lindenfurt Textile Care (invented)",
        "contractor": "Oberhalt Drives (invented)", "contractor_address": "9 Sample Way, Lindenfurt",
        "job_number": "26-077", "invented": "yes", "altitude": "420 m", "outdoor_min": "-15 °C",
        "outdoor_max": "35 °C", "emergency_number": "000", "lockout_procedure": "LF-SI-01",
        "prepared_by": "M. Halt", "checked_by": "K. Ober", "approved_by": "L. Furt", "status": "for review",
        "revision": "A", "issue_date": "2026-03-02", "language": "English", "common_point_demand": "420 A",
    }
]  # fmt: skip

SUPPLIES = table(
    """
    tag | description                    | voltage | frequency | phases | earthing | transformer_rating | transformer_impedance | transformer_x_over_r | primary_fault_power | other_load
    T-1 | Substation transformer         | 400 V   | 50 Hz     | 3      | TN-S     | 630 kVA            | 4 %                   | 4                    | 250 MVA             | 120 A
    T-2 | Isolating transformer, boilers | 400 V   | 50 Hz     | 3      | IT       | 160 kVA            | 4 %                   | 2,5                  | 250 MVA             | 10 A
    """
)  # fmt: skip

PANELS = table(
    """
    tag  | supply | place        | description      | feeder_size | feeder_sets | feeder_material | feeder_raceway | feeder_length | feeder_protection | fault_rating | ambient | room_ambient | enclosure_type | width   | height  | depth  | mounting       | enclosure_material | airflow
    MD-1 | T-1    | Machine hall | Drives of washer | 35 mm²      | 1           | copper          | tray           | 22,5 m        | 80 A              | 25 kA        | 40 °C   | 32 °C        | IP54           | 800 mm  | 2000 mm | 400 mm | against a wall | painted steel      | 300 m³/h
    MD-2 | T-2    | Boiler house | Drive of the fan | 70 mm²      | 1           | copper          | tray           | 18 m          | 125 A             | 10 kA        | 40 °C   | 30 °C        | IP54           | 800 mm  | 2000 mm | 500 mm | free standing  | painted steel      | 600 m³/h
    """
)  # fmt: skip

DRIVES = table(
    """
    tag     | feeds             | area    | panel | circuit | model          | serial    | duty  | motor | machine | isolator | protection_kind | protection_rating | disconnect_rating | min_frequency | max_frequency | acceleration_time | deceleration_time | stop_mode | flying_start | loss_of_reference | filter_jumper
    P101-T1 | Dosing conveyor   | Washing | MD-1  | Q1      | Invented K-003 | K003-0012 | heavy | M101  | C101    | Q101     | gG fuse         | 6 A               | 16 A              | 15 Hz         | 50 Hz         | 3 s               | 3 s               | ramp      | no           | ignore            | fitted
    P102-T1 | Rinse water pump  | Washing | MD-1  | Q2      | Invented K-032 | K032-0103 | light | M102  | P102    | Q102     | gG fuse         | 40 A              | 63 A              | 20 Hz         | 50 Hz         | 10 s              | 15 s              | ramp      | no           | ramp to stop      | fitted
    P103-T1 | Flue gas fan      | Boilers | MD-2  | Q1      | Invented K-090 | K090-0007 | light | M103  | F103    | Q103     | gG fuse         | 100 A             | 125 A             | 15 Hz         | 50 Hz         | 40 s              | 90 s              | coast     | yes          | ignore            | removed
    """,
    manufactured="2025-11-10", last_powered="2026-02-16", software="3.2", carrier_frequency="4 kHz",
    control_logic="positive", control_supply="internal", restart_on_power_return="no", automatic_resets="0",
    line_reactor="0 %",
)  # fmt: skip

MOTORS = table(
    """
    tag  | power   | current | speed    | power_factor | efficiency | frame | connection | plate_voltages | inertia      | thermal_sensor | serial
    M101 | 0,75 kW | 1,75 A  | 1435 rpm | 0,76         | 82,5 %     | 80    | star       | 230/400        | 0,0024 kg·m² | none           | HM-0007
    M102 | 15 kW   | 28,2 A  | 1470 rpm | 0,83         | 92,1 %     | 160L  | delta      | 400/690        | 0,092 kg·m²  | none           | HM-0150
    M103 | 45 kW   | 81,5 A  | 1480 rpm | 0,85         | 94,2 %     | 225M  | delta      | 400/690        | 0,45 kg·m²   | none           | HM-0450
    """,
    voltage="400 V", frequency="50 Hz", poles="4", insulation_class="F", design_letter="N", efficiency_class="IE3",
    enclosure="IP55", cooling="self", inverter_duty="yes", peak_voltage_limit="1500 V", rise_time_limit="0,1 µs",
)  # fmt: skip

MACHINES = table(
    """
    tag  | kind             | load_type       | shaft_power | rated_speed | max_speed | min_speed | inertia     | transmission | gear_ratio | static_head | running_hours | rotation  | backspin | trapped_pressure | gravity
    C101 | belt conveyor    | constant torque | 0,6 kW      | 57,4 rpm    | 65 rpm    | 15 rpm    | 2,5 kg·m²   | gear         | 25         |             | 2200 h        | clockwise | no       | no               | no
    P102 | centrifugal pump | quadratic       | 13 kW       | 1470 rpm    | 1500 rpm  | 400 rpm   | 0,06 kg·m²  | direct       |            | 40 %        | 5000 h        | clockwise | no       | yes              | no
    F103 | centrifugal fan  | quadratic       | 39 kW       | 1480 rpm    | 1550 rpm  |           | 5,5 kg·m²   | direct       |            |             | 6000 h        | clockwise | yes      | no               | no
    """
)  # fmt: skip

CABLES = table(
    """
    tag    | drive   | role  | from_place | to_place     | size     | earth_size | length | shielded
    W101-L | P101-T1 | line  | MD-1       | P101-T1      | 1,5 mm²  | 1,5 mm²    | 4,5 m  | no
    W101-M | P101-T1 | motor | P101-T1    | Conveyor     | 1,5 mm²  | 1,5 mm²    | 18 m   | yes
    W102-L | P102-T1 | line  | MD-1       | P102-T1      | 10 mm²   | 10 mm²     | 5 m    | no
    W102-M | P102-T1 | motor | P102-T1    | Pump pit     | 10 mm²   | 10 mm²     | 35 m   | yes
    W103-L | P103-T1 | line  | MD-2       | P103-T1      | 35 mm²   | 16 mm²     | 5 m    | no
    W103-M | P103-T1 | motor | P103-T1    | Boiler roof  | 35 mm²   | 16 mm²     | 40 m   | yes
    """,
    sets="1", material="copper", insulation="PVC 70 °C", construction="multi-core", raceway="tray", method="E",
    loaded_conductors="3", grouped_circuits="1", ambient="30 °C",
)  # fmt: skip

MODELS = table(
    """
    model          | output_current_light | output_current_heavy | input_current | losses | link_capacitance | bleeder_resistance | max_protection | wait_time | leakage_current | rise_time | min_brake_resistance | same_as
    Invented K-003 | 3,2 A                | 2,6 A                | 3,4 A         | 42 W   | 165 µF           | 300000 Ω           | 16 A           | 5 min     | 2,5 mA          | 0,15 µs   | 150 Ω                | Invented K-032
    Invented K-032 | 32 A                 | 25 A                 | 31 A          | 430 W  | 1200 µF          | 82000 Ω            | 63 A           | 10 min    | 9 mA            | 0,2 µs    | 30 Ω                 |
    Invented K-090 | 90 A                 | 75 A                 | 86 A          | 1250 W | 3900 µF          | 33000 Ω            | 160 A          | 15 min    | 18 mA           | 0,3 µs    | 12 Ω                 | Invented K-032
    """,
    manual="Invented K manual, issue 4", manual_page="18", min_voltage="380 V", max_voltage="480 V", input_phases="3",
    overload_light="110 %", overload_heavy="150 %", max_frequency="300 Hz", default_carrier="4 kHz",
    rated_ambient="40 °C", max_ambient="50 °C", ambient_derating="1,5 %", rated_altitude="1000 m",
    max_altitude="3000 m", altitude_derating="1 %", fault_rating="35 kA", fault_rating_device="gG fuses",
    link_trip_voltage="800 V", chopper_voltage="760 V", built_in_reactor="3 %", supply_24v_limit="200 mA",
    reference_10v_limit="10 mA", input_current_di="6 mA", analog_voltage_impedance="100 kΩ",
    analog_current_burden="250 Ω", max_motor_cable="100 m", enclosure_rating="IP20",
)  # fmt: skip

DERATING = table(
    """
    carrier | factor | page
    4 kHz   | 100 %  | 19
    8 kHz   | 85 %   | 19
    """,
    model=SERIES,
)

TERMINALS = table(
    """
    terminal | label | role   | strip_order | max_conductors | signal  | page
    1        |       | P24    | 1           | 2              |         | 24
    2        |       | N24    | 2           | 2              |         | 24
    3        |       | DIC    | 3           | 2              |         | 24
    11       | DI1   | DI     | 4           | 2              |         | 24
    12       | DI2   | DI     | 5           | 2              |         | 24
    13       | DI3   | DI     | 6           | 2              |         | 24
    14       | DI4   | DI     | 7           | 2              |         | 24
    15       | DI5   | DI     | 8           | 2              |         | 24
    20       |       | R10    | 9           | 2              |         | 25
    21       | AI1   | AI     | 10          | 2              | voltage | 25
    22       |       | A0     | 11          | 2              |         | 25
    23       | AI2   | AI     | 12          | 2              | either  | 25
    30       | RO1   | RO1.C  | 13          | 2              |         | 26
    31       | RO1   | RO1.NO | 14          | 2              |         | 26
    32       | RO1   | RO1.NC | 15          | 2              |         | 26
    L1       |       | L1     | 30          | 1              |         | 20
    L2       |       | L2     | 31          | 1              |         | 20
    L3       |       | L3     | 32          | 1              |         | 20
    PE       |       | PE     | 33          | 2              |         | 20
    U        |       | U      | 34          | 1              |         | 20
    V        |       | V      | 35          | 1              |         | 20
    W        |       | W      | 36          | 1              |         | 20
    DC+      |       | DC+    | 37          | 1              |         | 20
    DC-      |       | DC-    | 38          | 1              |         | 20
    """,
    model=SERIES,
)

_INPUT = (
    "0 = not_used (none); 1 = run_forward (turn right); 2 = run_reverse (turn left); 3 = start_pulse (on); "
    "4 = stop_enable (off); 5 = reference_select (second speed); 6 = fault_reset (clear); "
    "7 = external_fault (outside fault); 8 = run_permit (release); 9 = local_remote (far)"
)
_COMMAND = "0 = keypad (panel); 1 = terminals (strip)"
_SPEED = "0 = keypad (panel); 1 = AI1 (clamp 21); 2 = AI2 (clamp 23)"
_LOST = "0 = ignore (none); 1 = trip (fault); 2 = minimum speed (slow); 3 = ramp to stop (stop)"
_FORMAT = "0 = 0-10 V (volts); 1 = 0-20 mA (current); 2 = 4-20 mA (live current)"

SETTINGS = table(
    f"""
    number | name                | group | function                | applies_to | unit | resolution | minimum | maximum | choices | default | while_running | page
    1.01   | Motor volts         | Motor | motor_voltage           |      | V   | 1    | 200 | 500   | | 400  | no  | 50
    1.02   | Motor amps          | Motor | motor_current           |      | A   | 0.1  | 0.5 | 200   | | 30.0 | no  | 50
    1.03   | Motor hertz         | Motor | motor_frequency         |      | Hz  | 0.1  | 20  | 300   | | 50.0 | no  | 50
    1.04   | Motor turns         | Motor | motor_speed             |      | rpm | 1    | 100 | 18000 | | 1450 | no  | 50
    1.05   | Motor power         | Motor | motor_power             |      | kW  | 0.01 | 0.1 | 110   | | 15.0 | no  | 51
    1.06   | Motor cosine        | Motor | motor_power_factor      |      |     | 0.01 | 0.4 | 1     | | 0.85 | no  | 51
    1.07   | Way of control      | Motor | control_mode            |      |     |      |     |       | 0 = linear volts per hertz (straight); 1 = quadratic volts per hertz (pump) | 0 | no | 51
    1.08   | Switching           | Motor | carrier_frequency       |      | kHz | 1    | 2   | 12    | | 4    | yes | 52
    2.01   | Speed floor         | Speed | min_frequency           |      | Hz  | 0.1  | 0   | 300   | | 0.0  | yes | 55
    2.02   | Speed roof          | Speed | max_frequency           |      | Hz  | 0.1  | 1   | 300   | | 50.0 | no  | 55
    2.03   | Time up             | Speed | acceleration_time       |      | s   | 0.1  | 0.1 | 600   | | 5.0  | yes | 55
    2.04   | Time down           | Speed | deceleration_time       |      | s   | 0.1  | 0.1 | 600   | | 5.0  | yes | 55
    2.05   | Stopping            | Speed | stop_mode               |      |     |      |     |       | 0 = ramp (slow down); 1 = coast (let go) | 0 | no | 56
    2.06   | Turning back        | Speed | direction_enable        |      |     |      |     |       | 0 = forward only (barred); 1 = both (free) | 0 | no | 56
    3.01   | Command             | Give  | command_source          |      |     |      |     |       | {_COMMAND} | 0 | yes | 60
    3.02   | Command, far        | Give  | command_source          | auto |     |      |     |       | {_COMMAND} | 0 | yes | 60
    3.03   | Speed from          | Give  | reference_source        |      |     |      |     |       | {_SPEED} | 0 | yes | 60
    3.04   | Speed, far          | Give  | reference_source        | auto |     |      |     |       | {_SPEED} | 0 | yes | 60
    3.05   | Start by            | Give  | start_method            |      |     |      |     |       | 0 = two-wire (level); 1 = three-wire (pulse) | 0 | no | 61
    4.01   | Clamp 11            | Strip | digital_input_function  | DI1  |     |      |     |       | {_INPUT} | 1 | no | 65
    4.02   | Clamp 12            | Strip | digital_input_function  | DI2  |     |      |     |       | {_INPUT} | 0 | no | 65
    4.03   | Clamp 13            | Strip | digital_input_function  | DI3  |     |      |     |       | {_INPUT} | 0 | no | 65
    4.04   | Clamp 14            | Strip | digital_input_function  | DI4  |     |      |     |       | {_INPUT} | 0 | no | 65
    4.05   | Clamp 15            | Strip | digital_input_function  | DI5  |     |      |     |       | {_INPUT} | 6 | no | 65
    4.06   | Contact ties to     | Strip | input_logic             |      |     |      |     |       | 0 = positive (24 V); 1 = negative (0 V) | 0 | no | 66
    4.07   | Relay               | Strip | relay_function          | RO1  |     |      |     |       | 0 = fault (sound); 1 = run (turning); 2 = ready (waiting) | 0 | yes | 66
    4.08   | Clamp 21 signal     | Strip | analog_input_format     | AI1  |     |      |     |       | 0 = 0-10 V (volts) | 0 | no | 67
    4.09   | Clamp 23 signal     | Strip | analog_input_format     | AI2  |     |      |     |       | {_FORMAT} | 0 | no | 67
    4.10   | Clamp 21 lost       | Strip | analog_input_loss       | AI1  |     |      |     |       | {_LOST} | 0 | yes | 67
    4.11   | Clamp 23 lost       | Strip | analog_input_loss       | AI2  |     |      |     |       | {_LOST} | 1 | yes | 67
    4.12   | Clamp 21 begins     | Strip | analog_input_low        | AI1  | %   | 0.1  | 0   | 100   | | 0.0  | yes | 68
    4.13   | Clamp 23 begins     | Strip | analog_input_low        | AI2  | %   | 0.1  | 0   | 100   | | 0.0  | yes | 68
    5.01   | Heat amps           | Guard | overload_current        |      | A   | 0.1  | 0.5 | 200   | | 30.0 | yes | 70
    5.02   | Motor fan           | Guard | overload_cooling        |      |     |      |     |       | 0 = self-ventilated (on the shaft); 1 = forced (own motor) | 0 | yes | 70
    5.03   | Line phase lost     | Guard | phase_loss_reaction     |      |     |      |     |       | 0 = ignore (none); 1 = trip (fault) | 1 | yes | 71
    5.04   | Outside fault       | Guard | external_fault_reaction |      |     |      |     |       | 0 = trip (fault); 1 = warn (message) | 0 | yes | 71
    5.05   | Own resets          | Guard | fault_reset_count       |      |     | 1    | 0   | 10    | | 3    | yes | 71
    5.06   | Power returns       | Guard | power_return            |      |     |      |     |       | 0 = stay stopped (rest); 1 = restart (go on) | 1 | yes | 72
    5.07   | Catch the motor     | Guard | flying_start            |      |     |      |     |       | 0 = off (no); 1 = on (yes) | 0 | no | 72
    9.01   | Back to new         | Panel | factory_reset           |      |     |      |     |       | 0 = no (no); 1 = reset (yes) | 0 | no | 80
    """,
    model=SERIES,
)
SETTINGS[-1]["overwrites"] = "all"

CONTROLS = table(
    """
    drive   | scheme                | mode | place           | devices              | value | length
    P101-T1 | three-wire start-stop |      | conveyor        | S0=-S1; S1=-S2       |       | 12,5 m
    P101-T1 | speed potentiometer   |      | conveyor        | R=-R1                | 5 kΩ  | 12,5 m
    P101-T1 | fault relay           |      | automation room | A=-K10               | 24 V  | 25 m
    P102-T1 | hand-off-auto         |      | local panel     | S=-S1                |       | 8 m
    P102-T1 | two-wire run          | auto | automation room | K=-K1                |       | 30 m
    P102-T1 | speed potentiometer   | hand | local panel     | R=-R1                | 5 kΩ  | 8 m
    P102-T1 | 4-20 mA reference     | auto | automation room | A=-K10               |       | 30 m
    P102-T1 | fault relay           |      | automation room | A=-K10               | 24 V  | 30 m
    P103-T1 | two-wire run          |      | local panel     | S=-S1                |       | 15 m
    P103-T1 | speed potentiometer   |      | local panel     | R=-R1                | 5 kΩ  | 15 m
    P103-T1 | fault relay           |      | automation room | A=-K10               | 24 V  | 40 m
    """
)

ISOLATION = table(
    """
    tag  | kind              | place             | energy            | drives  | voltage | method                      | proof
    Q101 | switch-disconnector | MD-1, field 1   | electrical        | P101-T1 | 400 V   | Open, fit lock and notice.  | Test dead at the drive's line terminals, all pairs and to PE.
    Q102 | switch-disconnector | MD-1, field 2   | electrical        | P102-T1 | 400 V   | Open, fit lock and notice.  | Test dead at the drive's line terminals, all pairs and to PE.
    Q103 | switch-disconnector | MD-2, field 1   | electrical        | P103-T1 | 400 V   | Open, fit lock and notice.  | Test dead at the drive's line terminals, all pairs and to PE.
    F10  | circuit breaker   | automation room   | relay circuit of others | P101-T1; P102-T1; P103-T1 | 24 V | Open, fit lock and notice.  | No voltage at the relay terminals of the drive.
    V102 | gate valve        | Pump pit          | water pressure    | P102-T1 |         | Close, chain and lock.      | Open the drain; no flow.
    B103 | fan shaft block   | Boiler roof       | back-spin by wind | P103-T1 |         | Shut damper, pin the shaft. | The wheel does not turn by hand.
    """,
    lockable="yes",
)

PEOPLE = table(
    """
    name    | initials | role                     | employer
    M. Halt | MH       | commissioning engineer   | Oberhalt Drives
    K. Ober | KO       | electrician              | Oberhalt Drives
    L. Furt | LF       | owner's representative   | Lindenfurt Textile Care
    """
)

INSTRUMENTS = table(
    """
    tag  | kind              | serial  | category       | calibration_due
    DM-1 | multimeter        | INV-201 | CAT III 1000 V | 2027-01-31
    IR-1 | insulation tester | INV-202 | CAT IV 600 V   | 2027-01-31
    """
)

ROWS: dict[str, list[Row]] = {
    "Site": SITE, "Supplies": SUPPLIES, "Panels": PANELS, "Drives": DRIVES, "Motors": MOTORS, "Machines": MACHINES,
    "Cables": CABLES, "Models": MODELS, "Derating": DERATING, "Terminals": TERMINALS, "Settings": SETTINGS,
    "Controls": CONTROLS, "Isolation": ISOLATION, "People": PEOPLE, "Instruments": INSTRUMENTS,
}  # fmt: skip


def write_site(path: Path) -> Path:
    """Write the workbook of the invented site."""
    write_workbook(path, ROWS)
    return path
