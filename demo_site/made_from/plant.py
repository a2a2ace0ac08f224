"""The invented plant: site, supplies, panels, drives, motors, machines and cables, as a person would type them."""

# ruff: noqa: E501 (tables are wider than code)

from __future__ import annotations

from made_from.table_text import Row, rows

SITE: list[Row] = [
    {
        "name": "Quillow Bend Water and Feed Works",
        "document_prefix": "QB26",
        "code_basis": "NEC",
        "code_edition": "2023",
        "paper": "Letter",
        "decimal_mark": ".",
        "symbols": "North American",
        "binder_title": "Commissioning binder: drives and motors",
        "address": "1 Invented Road, Quillow Bend",
        "owner": "Quillow Bend Growers (invented)",
        "contractor": "Ferrow Drives and Controls (invented)",
        "contractor_address": "12 Sample Street, Quillow Bend; telephone 555-0100",
        "job_number": "26-014",
        "invented": "yes",
        "altitude": "1180 ft",
        "outdoor_min": "-10 °F",
        "outdoor_max": "97 °F",
        "emergency_number": "555-0199",
        "lockout_procedure": "QB-LOTO-02",
        "arc_flash_study_date": "2026-02-11",
        "prepared_by": "A. Ferrow",
        "checked_by": "J. Pell",
        "approved_by": "R. Okari",
        "status": "for review",
        "revision": "A",
        "issue_date": "2026-05-18",
        "disclaimer": "Figures support the judgement of a qualified person and do not replace it.",
        "items_by_others": "Process controller and its program; building services; utility metering.",
        "sampling_rule": "The witness sees 10 % of the point-to-point tests, at least three drives.",
        "language": "English",
        "common_point_demand": "520 A",
    }
]

SUPPLIES: list[Row] = rows(
    """
    tag | description                           | voltage | frequency | phases | earthing                   | transformer_rating | transformer_impedance | transformer_x_over_r | primary_fault | other_load
    T-1 | Service transformer, yard             | 480 V   | 60 Hz     | 3      | solid wye                  | 750 kVA            | 5.75 %                | 5                    | infinite      | 90 A
    T-2 | Control house transformer, pump house | 240 V   | 60 Hz     | 1      | center-tapped single-phase | 25 kVA             | 2.5 %                 | 2                    | infinite      | 40 A
    """
)  # fmt: skip

PANELS: list[Row] = rows(
    """
    tag   | supply | place           | description                     | feeder_size | feeder_sets | feeder_material | feeder_raceway | feeder_length | feeder_protection | fault_rating | ambient | room_ambient | enclosure_type | width   | height  | depth  | mounting                 | enclosure_material | airflow
    MCC-1 | T-1    | Pump house      | Drives of the water side        | 350 kcmil   | 2           | copper          | steel conduit  | 90 ft         | 450 A             | 42 kA        | 113 °F  | 95 °F        | 12             | 2400 mm | 2200 mm | 600 mm | in a row against a wall  | painted steel      | 1700 m³/h
    MCC-2 | T-1    | Feed mill       | Drives of the feed side         | 4 AWG       | 1           | copper          | steel conduit  | 65 m          | 60 A              | 42 kA        | 40 °C   | 35 °C        | 12             | 1200 mm | 2000 mm | 500 mm | against a wall           | painted steel      | 500 m³/h
    LP-1  | T-2    | Chemical room   | Lighting and small power        | 3 AWG       | 1           | copper          | PVC conduit    | 12 m          |                   | 22 kA        | 38 °C   | 30 °C        | 12             | 600 mm  | 800 mm  | 250 mm | wall hung                | painted steel      |
    """
)  # fmt: skip

DRIVES: list[Row] = rows(
    """
    tag     | feeds                   | area      | panel | circuit | model          | variant | serial   | manufactured | last_powered | software | duty  | motor | machine | isolator | protection_kind | protection_rating | disconnect_rating | line_reactor | carrier_frequency | control_logic | control_supply | min_frequency | max_frequency | skip_frequency | skip_width | acceleration_time | deceleration_time | stop_mode | restart_on_power_return | flying_start | automatic_resets | loss_of_reference | filter_jumper | required_performance | backup_file
    VFD-101 | Raw water pump          | Water     | MCC-1 | 1A      | Invented C-105 |   | C105-0117 | 2026-01-20 |            | 2.4 | light | M-101 | P-101 | DS-101 | time-delay fuse | 150 A  | 200 A | | 3 kHz | positive | internal | 25 Hz | 60 Hz |       |      | 20 s | 30 s | ramp  | no  | no  | 0 | minimum speed | fitted  | |
    VFD-201 | Booster pump A          | Water     | MCC-1 | 2A      | Invented B-12  |   | B12-0456  | 2026-01-14 | 2026-04-20 | 5.1 | light | M-201 | P-201 | DS-201 | time-delay fuse | 20 A   | 30 A  | | 4 kHz | positive | internal | 20 Hz | 60 Hz |       |      | 10 s | 15 s | ramp  | no  | no  | 0 | ramp to stop  | fitted  | | backups/VFD-201.set
    VFD-202 | Booster pump B          | Water     | MCC-1 | 2B      | Invented B-12  |   | B12-0457  | 2026-01-14 | 2026-04-21 | 5.1 | light | M-202 | P-202 | DS-202 | time-delay fuse | 20 A   | 30 A  | | 4 kHz | positive | internal | 20 Hz | 60 Hz |       |      | 12 s | 15 s | ramp  | no  | no  | 0 | ramp to stop  | fitted  | |
    VFD-301 | Supply fan              | Buildings | MCC-1 | 3A      | Invented B-23  |   | B23-0203  | 2026-01-15 | 2026-04-22 | 5.1 | light | M-301 | F-301 | DS-301 | time-delay fuse | 35 A   | 60 A  | | 4 kHz | positive | internal | 15 Hz | 60 Hz | 41 Hz | 3 Hz | 30 s | 60 s | coast | yes | yes | 0 | minimum speed | fitted  | |
    VFD-302 | Exhaust fan             | Buildings | MCC-1 | 3B      | Invented C-38  |   | C38-0088  | 2026-01-20 | 2026-04-22 | 2.4 | light | M-302 | F-302 | DS-302 | time-delay fuse | 70 A   | 100 A | | 3 kHz | positive | internal | 15 Hz | 60 Hz |       |      | 40 s | 90 s | coast | no  | yes | 0 | minimum speed | fitted  | |
    VFD-401 | Chlorine dosing pump    | Water     | LP-1  | 7       | Invented A-3   | P | A3-1290   | 2026-02-02 | 2026-04-23 | 1.8 | heavy | M-401 | P-401 | DS-401 | time-delay fuse | 10 A   | 30 A  | | 4 kHz | positive | internal | 15 Hz | 60 Hz |       |      | 3 s  | 3 s  | ramp  | no  | no  | 0 | ignore        | none    | |
    VFD-501 | High-service pump       | Water     | MCC-1 | 5A      | Invented C-156 |   | C156-0031 | 2026-01-22 | 2026-04-24 | 2.4 | light | M-501 | P-501 | DS-501 | time-delay fuse | 250 A  | 400 A | | 3 kHz | positive | external | 30 Hz | 60 Hz |       |      | 30 s | 45 s | ramp  | no  | no  | 0 | minimum speed | fitted  | PL c |
    VFD-502 | Irrigation pump         | Water     | MCC-1 | 5B      | Invented C-65  |   | C65-0059  | 2026-01-20 | 2026-04-24 | 2.4 | light | M-502 | P-502 | DS-502 | time-delay fuse | 110 A  | 200 A | | 3 kHz | positive | internal | 30 Hz | 60 Hz |       |      | 20 s | 30 s | ramp  | no  | no  | 0 | ramp to stop  | fitted  | |
    VFD-601 | Feed mixer              | Feed      | MCC-2 | 1       | Invented B-31  |   | B31-0142  | 2026-01-16 | 2026-04-25 | 5.1 | heavy | M-601 | X-601 | DS-601 | time-delay fuse | 45 A   | 60 A  | | 4 kHz | positive | internal | 15 Hz | 60 Hz |       |      | 8 s  | 12 s | ramp  | no  | no  | 0 | trip          | fitted  | |
    VFD-602 | Bag conveyor            | Feed      | MCC-2 | 2       | Invented A-5   |   | A5-0711   | 2026-02-02 | 2026-04-25 | 1.8 | heavy | M-602 | C-602 | DS-602 | time-delay fuse | 10 A   | 30 A  | | 4 kHz | positive | internal | 20 Hz | 60 Hz |       |      | 3 s  | 4 s  | ramp  | no  | no  | 0 | ignore        | none    | |
    VFD-603 | Screw feeder            | Feed      | MCC-2 | 3       | Invented A-8   |   | A8-0340   | 2026-02-02 | 2026-04-25 | 1.8 | heavy | M-603 | S-603 | DS-603 | time-delay fuse | 15 A   | 30 A  | 3 % | 4 kHz | positive | internal | 15 Hz | 60 Hz |       |      | 4 s  | 4 s  | ramp  | no  | no  | 0 | ignore        | none    | |
    """
)  # fmt: skip

MOTORS: list[Row] = rows(
    """
    tag   | power  | voltage | plate_voltages | current | frequency | speed    | power_factor | efficiency | poles | service_factor | insulation_class | design_letter | frame | enclosure | cooling | connection   | inverter_duty | peak_voltage_limit | rise_time_limit | thermal_sensor | space_heater_voltage | space_heater_isolator | inertia      | serial
    M-101 | 75 hp  | 460V    | 460            | 85.6 A  | 60 Hz     | 1780 rpm | 0.86         | 95.4 %     | 4     | 1.15           | F                | B             | 365T  | TEFC      | self    | delta        | yes           | 1600 V             | 0.1 µs          | thermistor     | 120 V                | LP-1/9                | 0.65 kg·m²   | QM-7501
    M-201 | 7.5 hp | 460V    | 230/460        | 9.3 A   | 60 Hz     | 1760 rpm | 0.82         | 91.7 %     | 4     | 1.15           | F                | B             | 213T  | TEFC      | self    | star         | yes           | 1600 V             | 0.1 µs          | none           |                      |                       | 0.03 kg·m²   | QM-0751
    M-202 | 7.5 hp | 460V    | 230/460        | 9.3 A   | 60 Hz     | 1760 rpm | 0.82         | 91.7 %     | 4     | 1.15           | F                | B             | 213T  | TEFC      | self    | star         | yes           | 1600 V             | 0.1 µs          | none           |                      |                       | 0.03 kg·m²   | QM-0752
    M-301 | 15 hp  | 460 V   | 230/460        | 18.3 A  | 60 Hz     | 1765 rpm | 0.83         | 92.4 %     | 4     | 1.15           | F                | B             | 254T  | TEFC      | self    | delta        | yes           | 1600 V             | 0.1 µs          | none           |                      |                       | 0.08 kg·m²   | QM-1503
    M-302 | 30 hp  | 460 V   | 230/460        | 35.3 A  | 60 Hz     | 1770 rpm | 0.85         | 93.6 %     | 4     | 1.15           | F                | B             | 286T  | TEFC      | self    | delta        | yes           | 1600 V             | 0.1 µs          | none           |                      |                       | 0.19 kg·m²   | QM-3002
    M-401 | 0.75 kW | 230 V  | 230/460        | 2.9 A   | 60 Hz     | 1740 rpm | 0.76         | 85.5 %     | 4     | 1.15           | F                | B             | 143T  | TEFC      | self    | double star  | yes           | 1200 V             | 0.1 µs          | none           |                      |                       | 0.004 kg·m²  | QM-0104
    M-501 | 90 kW  | 460 V   | 460            | 136 A   | 60 Hz     | 1785 rpm | 0.87         | 95.4 %     | 4     | 1.15           | F                | B             | 405T  | TEFC      | self    | delta        | yes           | 1600 V             | 0.1 µs          | thermistor     | 120 V                | LP-1/11               | 1.3 kg·m²    | QM-9001
    M-502 | 50 hp  | 460 V   | 230/460        | 57.6 A  | 60 Hz     | 1775 rpm | 0.86         | 94.5 %     | 4     | 1.15           | F                | B             | 326T  | TEFC      | self    | delta        | yes           | 1600 V             | 0.1 µs          | none           |                      |                       | 0.35 kg·m²   | QM-5002
    M-601 | 20 hp  | 460 V   | 230/460        | 24 A    | 60 Hz     | 1765 rpm | 0.84         | 93.0 %     | 4     | 1.15           | F                | B             | 256T  | TEFC      | self    | delta        | yes           | 1600 V             | 0.1 µs          | thermal switch |                      |                       | 0.1 kg·m²    | QM-2006
    M-602 | 3 hp   | 460 V   | 230/460        | 4.0 A   | 60 Hz     | 1755 rpm | 0.78         | 89.5 %     | 4     | 1.15           | F                | B             | 182T  | TEFC      | self    | star         | yes           | 1600 V             | 0.1 µs          | none           |                      |                       | 0.01 kg·m²   | QM-0306
    M-603 | 5 hp   | 460 V   | 230/460        | 6.5 A   | 60 Hz     | 1750 rpm | 0.80         | 89.5 %     | 4     | 1.15           | F                | B             | 184T  | TEFC      | self    | star         | yes           | 1600 V             | 0.1 µs          | none           |                      |                       | 0.015 kg·m²  | QM-0506
    """
)  # fmt: skip

MACHINES: list[Row] = rows(
    """
    tag   | kind              | load_type       | shaft_power | rated_speed | max_speed | min_speed | inertia    | transmission | gear_ratio | static_head | running_hours | rotation         | backspin | trapped_pressure | gravity
    P-101 | centrifugal pump  | quadratic       | 66 hp       | 1780 rpm    | 1850 rpm  | 700 rpm   | 0.4 kg·m²  | direct       |            | 35 %        | 6200 h        | clockwise        | yes      | yes              | no
    P-201 | centrifugal pump  | quadratic       | 6.4 hp      | 1760 rpm    | 1800 rpm  | 500 rpm   | 0.02 kg·m² | direct       |            | 40 %        | 3000 h        | clockwise        | no       | yes              | no
    P-202 | centrifugal pump  | quadratic       | 6.4 hp      | 1760 rpm    | 1800 rpm  | 500 rpm   | 0.02 kg·m² | direct       |            | 40 %        | 3000 to 4000 h | clockwise        | no       | yes              | no
    F-301 | centrifugal fan   | quadratic       | 13 hp       | 1100 rpm    | 1250 rpm  |           | 3.2 kg·m²  | belt         | 1.6        |             | 5000 h        | clockwise        | yes      | no               | no
    F-302 | centrifugal fan   | quadratic       | 26 hp       | 885 rpm     | 960 rpm   |           | 9 kg·m²    | belt         | 2          |             | 5000 h        | counterclockwise | yes      | no               | no
    P-401 | metering pump     | constant torque | 0.6 kW      | 87 rpm      | 100 rpm   | 8 rpm     | 0.05 kg·m² | gear         | 20:1       |             | 8000 h        | clockwise        | no       | yes              | no
    P-501 | centrifugal pump  | quadratic       | 80 kW       | 1785 rpm    | 1800 rpm  | 800 rpm   | 0.9 kg·m²  | direct       |            | 45 %        | 7000 h        | clockwise        | no       | yes              | no
    P-502 | centrifugal pump  | quadratic       | 43 hp       | 1775 rpm    | 1850 rpm  | 800 rpm   | 0.3 kg·m²  | direct       |            | 40 %        | 1800 h        | clockwise        | no       | yes              | no
    X-601 | paddle mixer      | constant torque | 17 hp       | 44 rpm      | 48 rpm    | 10 rpm    | 60 kg·m²   | gear         | 40:1       |             | 2600 h        | either           | no       | no               | no
    C-602 | belt conveyor     | constant torque | 2.4 hp      | 58 rpm      | 62 rpm    | 15 rpm    | 6 kg·m²    | gear         | 30:1       |             | 2600 h        | clockwise        | no       | no               | no
    S-603 | screw feeder      | constant torque | 4 hp        | 70 rpm      | 75 rpm    | 15 rpm    | 4 kg·m²    | gear         | 25:1       |             | 2600 h        | either           | no       | no               | no
    """
)  # fmt: skip

_LINE_AND_MOTOR = """
    tag    | drive   | role  | from_place | to_place        | size    | earth_size | length | raceway
    W101-L | VFD-101 | line  | MCC-1      | VFD-101         | 1/0 AWG | 4 AWG      | 6 m    | steel conduit
    W101-M | VFD-101 | motor | VFD-101    | Raw water pit   | 1/0 AWG | 4 AWG      | 150 ft | steel conduit
    W201-L | VFD-201 | line  | MCC-1      | VFD-201         | 12 AWG  | 12 AWG     | 5 m    | steel conduit
    W201-M | VFD-201 | motor | VFD-201    | Booster skid    | 12 AWG  | 12 AWG     | 25 m   | steel conduit
    W202-L | VFD-202 | line  | MCC-1      | VFD-202         | 12 AWG  | 12 AWG     | 5 m    | steel conduit
    W202-M | VFD-202 | motor | VFD-202    | Booster skid    | 12 AWG  | 12 AWG     | 27 m   | steel conduit
    W301-L | VFD-301 | line  | MCC-1      | VFD-301         | 10 AWG  | 10 AWG     | 5 m    | steel conduit
    W301-M | VFD-301 | motor | VFD-301    | Fan room        | 10 AWG  | 10 AWG     | 120 ft | steel conduit
    W302-L | VFD-302 | line  | MCC-1      | VFD-302         | 6 AWG   | 8 AWG      | 5 m    | steel conduit
    W302-M | VFD-302 | motor | VFD-302    | Roof            | 6 AWG   | 8 AWG      | 45 m   | steel conduit
    W401-L | VFD-401 | line  | LP-1       | VFD-401         | 12 AWG  | 12 AWG     | 8 m    | PVC conduit
    W401-M | VFD-401 | motor | VFD-401    | Dosing skid     | 14 AWG  | 14 AWG     | 6 m    | steel conduit
    W501-L | VFD-501 | line  | MCC-1      | VFD-501         | 3/0 AWG | 4 AWG      | 7 m    | steel conduit
    W501-M | VFD-501 | motor | VFD-501    | High-service bay | 3/0 AWG | 2 AWG     | 110 ft | steel conduit
    W502-L | VFD-502 | line  | MCC-1      | VFD-502         | 6 AWG   | 6 AWG      | 7 m    | steel conduit
    W502-M | VFD-502 | motor | VFD-502    | Irrigation shed | 3 AWG   | 6 AWG      | 60 m   | steel conduit
    W601-L | VFD-601 | line  | MCC-2      | VFD-601         | 8 AWG   | 10 AWG     | 4 m    | steel conduit
    W601-M | VFD-601 | motor | VFD-601    | Mixer floor     | 8 AWG   | 10 AWG     | 80 ft  | steel conduit
    W602-L | VFD-602 | line  | MCC-2      | VFD-602         | 14 AWG  | 14 AWG     | 4 m    | steel conduit
    W602-M | VFD-602 | motor | VFD-602    | Bagging line    | 14 AWG  | 14 AWG     | 30 m   | steel conduit
    W603-L | VFD-603 | line  | MCC-2      | VFD-603         | 12 AWG  | 12 AWG     | 4 m    | steel conduit
    W603-M | VFD-603 | motor | VFD-603    | Silo 2          | 12 AWG  | 12 AWG     | 35 m   | steel conduit
"""  # fmt: skip

CABLES: list[Row] = [
    {**row, "shielded": "yes" if row["role"] == "motor" else "no"}
    for row in rows(
        _LINE_AND_MOTOR, sets="1", material="copper", insulation="THWN 75 °C", loaded_conductors="3", ambient="86 °F"
    )
]
