"""People, instruments and papers of the invented plant; overrides, as-left values and readings."""

# ruff: noqa: E501 (tables are wider than code)

from __future__ import annotations

from made_from.table_text import Row, rows

PEOPLE: list[Row] = rows(
    """
    name      | initials | role                     | employer                   | licence  | telephone
    A. Ferrow | AF       | commissioning engineer   | Ferrow Drives and Controls | INV-1042 | 555-0101
    J. Pell   | JP       | electrician              | Ferrow Drives and Controls | INV-2210 | 555-0102
    R. Okari  | RO       | owner's representative   | Quillow Bend Growers       |          | 555-0150
    T. Vance  | TV       | controls programmer      | Oskel Automation           |          | 555-0177
    """
)

INSTRUMENTS: list[Row] = rows(
    """
    tag   | kind               | serial   | category        | calibration_due
    DM-1  | multimeter         | INV-3391 | CAT III 1000 V  | 2026-11-30
    IR-1  | insulation tester  | INV-7714 | CAT IV 600 V    | 2026-09-30
    IR-2  | insulation tester  | INV-7002 | CAT IV 600 V    | 2026-03-31
    CM-1  | clamp meter        | INV-5520 | CAT III 600 V   | 2026-10-31
    PM-1  | power meter        | INV-2716 | CAT III 600 V   | 2026-11-30
    TA-1  | tachometer         | INV-0902 |                 | 2026-12-15
    LC-1  | loop calibrator    | INV-6127 |                 | 2027-01-31
    TH-1  | thermometer        | INV-8840 |                 | 2026-12-15
    DI-1  | dial indicator     | INV-1175 |                 | 2026-12-15
    VB-1  | vibration meter    | INV-4068 |                 | 2026-10-31
    SW-1  | stopwatch          | INV-2502 |                 | 2027-03-31
    """
)

OVERRIDES: list[Row] = rows(
    """
    drive   | setting                 | value | reason                                                          | by        | date
    VFD-601 | current_limit           | 130   | the gearbox maker allows 130 % of motor current for one minute  | A. Ferrow | 2026-04-25
    VFD-302 | fault_reset_count       | 2     | nobody is on the roof at night; two resets ride through a dip   | R. Okari  | 2026-04-22
    """
)

TRAINING: list[Row] = rows(
    """
    topic                          | date       | hours | instructor | attendees
    Operation from the local panel | 2026-05-12 | 2 h   | A. Ferrow  | R. Okari and two operators
    """
)

WARRANTY: list[Row] = rows(
    """
    item                    | start      | end        | contact                    | terms
    All drives of this job  | 2026-05-18 | 2028-05-17 | Ferrow Drives and Controls | Parts and labour; opened covers without lockout void it.
    """
)

SPARES: list[Row] = rows(
    """
    part                          | drives                    | quantity | supplier       | lead_time | place          | last_powered
    Invented B-12, complete drive | VFD-201; VFD-202          | 1        | Ferrow stores  | 3 weeks   | Pump house     | 2026-03-02
    Class J fuse 20 A             | VFD-201; VFD-202          | 6        | Ferrow stores  | 2 days    | Pump house     |
    Class J fuse 150 A            | VFD-101                   | 3        | Ferrow stores  | 1 week    | Pump house     |
    Cooling fan of series C       | VFD-101; VFD-302; VFD-501; VFD-502 | 2 | Ferrow stores | 2 weeks | Pump house    |
    """
)

MAINTENANCE: list[Row] = rows(
    """
    task                                         | drives                                      | interval  | craft       | minutes
    Blow out heat sinks, check fan               | VFD-101; VFD-302; VFD-501; VFD-502          | 6 months  | electrician | 30 min
    Retighten power terminals to marked torque   | VFD-101; VFD-201; VFD-202; VFD-301; VFD-302 | 12 months | electrician | 45 min
    Prove emergency stop                         | VFD-501                                     | 3 months  | electrician | 15 min
    """
)

PUNCH_LIST: list[Row] = rows(
    """
    number       | drive   | text                                                           | severity | owner   | due        | closed | closed_by
    VFD-202:R2.C | VFD-202 | Motor winding reads 6 MΩ cold: dry out or replace, test again  | A        | J. Pell | 2026-06-05 |        |
    1            | VFD-201 | Legend plate of SS-201 to be engraved                          | C        | J. Pell | 2026-06-05 |        |
    2            | VFD-202 | Gland of the motor cable to be turned tight                    | B        | J. Pell | 2026-06-05 |        |
    """
)
WAIVERS: list[Row] = []
DEFEATS: list[Row] = rows(
    """
    drive   | text                                             | place               | applied    | applied_by | cleared    | cleared_by
    VFD-201 | Heat amps S-209 lowered to 4 A to prove the trip | keypad              | 2026-04-20 | A. Ferrow  | 2026-04-20 | J. Pell
    VFD-202 | Motor leads off and capped for the winding test  | terminals U, V, W   | 2026-04-21 | J. Pell    |            |
    """
)

REVISIONS: list[Row] = rows(
    """
    revision | date       | reason                       | by        | approved_by
    A        | 2026-05-18 | First issue for review       | A. Ferrow | R. Okari
    """
)
