"""Control schemes, isolation points and networks of the invented plant."""

# ruff: noqa: E501 (tables are wider than code)

from __future__ import annotations

from made_from.table_text import Row, rows

CONTROLS: list[Row] = rows(
    """
    drive   | scheme                 | mode   | place        | devices                                  | value | length | description
    VFD-101 | hand-off-auto          |        | local panel  | S=HOA-101                                |       | 25 ft  |
    VFD-101 | two-wire run           | auto   | PLC-1        | K=K-101                                  |       | 40 m   |
    VFD-101 | speed potentiometer    | hand   | local panel  | R=SP-101                                 | 5 kΩ  | 25 ft  |
    VFD-101 | 4-20 mA reference      | auto   | PLC-1        | A=PLC-1                                  |       | 40 m   |
    VFD-101 | permissive string      |        | pump         | F1=PSL-101; F2=PSH-101                   |       | 150 ft | F1=Low suction; F2=High discharge
    VFD-101 | motor isolator contact |        | pump         | F1=DS-101M                               |       | 150 ft |
    VFD-101 | thermistor             |        | pump         | B=TH-101                                 |       | 150 ft |
    VFD-101 | fault relay            |        | PLC-1        | A=PLC-1                                  | 24 V  | 40 m   |
    VFD-201 | two-wire run           |        | local panel  | S=SS-201                                 |       | 20 m   |
    VFD-201 | speed potentiometer    |        | local panel  | R=SP-201                                 | 5 kΩ  | 20 m   |
    VFD-201 | fault relay            |        | PLC-1        | A=PLC-1                                  | 24 V  | 38 m   |
    VFD-202 | two-wire run           |        | local panel  | S=SS-202                                 |       | 22 m   |
    VFD-202 | speed potentiometer    |        | local panel  | R=SP-202                                 | 5 kΩ  | 22 m   |
    VFD-202 | fault relay            |        | PLC-1        | A=PLC-1                                  | 24 V  | 38 m   |
    VFD-301 | hand-off-auto          |        | panel door   | S=HOA-301                                |       |        |
    VFD-301 | two-wire run           | auto   | PLC-1        | K=K-301                                  |       | 100 ft |
    VFD-301 | speed potentiometer    | hand   | panel door   | R=SP-301                                 | 5 kΩ  |        |
    VFD-301 | 4-20 mA reference      | auto   | PLC-1        | A=PLC-1                                  |       | 100 ft |
    VFD-301 | permissive string      |        | fan room     | F1=ZS-301; F2=FZ-301                     |       | 120 ft | F1=Damper open; F2=Frost thermostat
    VFD-301 | fault relay            |        | PLC-1        | A=PLC-1                                  | 24 V  | 100 ft |
    VFD-301 | run relay              |        | PLC-1        | A=PLC-1                                  | 24 V  | 100 ft |
    VFD-302 | two-wire run           |        | PLC-1        | K=K-302                                  |       | 30 m   |
    VFD-302 | 0-10 V reference       |        | PLC-1        | A=PLC-1                                  |       | 30 m   |
    VFD-302 | motor isolator contact |        | roof         | F1=DS-302M                               |       | 45 m   |
    VFD-302 | fault relay            |        | PLC-1        | A=PLC-1                                  | 24 V  | 30 m   |
    VFD-401 | two-wire run           |        | local panel  | S=SS-401                                 |       | 6 m    |
    VFD-401 | speed potentiometer    |        | local panel  | R=SP-401                                 | 5 kΩ  | 6 m    |
    VFD-401 | fault relay            |        | PLC-1        | A=PLC-1                                  | 24 V  | 25 m   |
    VFD-501 | local-remote           |        | local panel  | S=LR-501; S1=SS-501                      |       | 35 ft  |
    VFD-501 | speed potentiometer    | local  | local panel  | R=SP-501                                 | 5 kΩ  | 35 ft  |
    VFD-501 | network                | remote | PLC-1        |                                          |       | 45 m   |
    VFD-501 | safe torque off        |        | pump         | S=ES-501                                 |       | 110 ft |
    VFD-501 | thermistor             |        | pump         | B=TH-501                                 |       | 110 ft |
    VFD-501 | permissive string      |        | pump         | F1=PSL-501                               |       | 110 ft | Low suction pressure
    VFD-501 | external 24 V          |        | panel        | G=PS-501                                 |       |        |
    VFD-501 | space heater           |        | pump         | E=HTR-501                                |       | 110 ft |
    VFD-501 | fault relay            |        | local panel  | H=LT-501                                 | 120 V | 35 ft  |
    VFD-502 | hand-off-auto          |        | local panel  | S=HOA-502                                |       | 10 m   |
    VFD-502 | two-wire run           | auto   | PLC-1        | K=K-502                                  |       | 50 m   |
    VFD-502 | speed potentiometer    | hand   | local panel  | R=SP-502                                 | 5 kΩ  | 10 m   |
    VFD-502 | 4-20 mA reference      | auto   | PLC-1        | A=PLC-1                                  |       | 50 m   |
    VFD-502 | permissive string      |        | pump         | F1=PSL-502                               |       | 60 m   | Low suction pressure
    VFD-502 | fault relay            |        | PLC-1        | A=PLC-1                                  | 24 V  | 50 m   |
    VFD-601 | three-wire start-stop  |        | local panel  | S0=PB-601A; S1=PB-601B                   |       | 40 ft  |
    VFD-601 | speed potentiometer    |        | local panel  | R=SP-601                                 | 10 kΩ | 40 ft  |
    VFD-601 | thermal switch         |        | mixer        | B=TS-601                                 |       | 80 ft  |
    VFD-601 | permissive string      |        | mixer        | F1=ZS-601                                |       | 80 ft  | Guard closed
    VFD-601 | run relay              |        | local panel  | H=LT-601                                 | 120 V | 40 ft  |
    VFD-602 | three-wire start-stop  |        | bagging line | S0=PB-602A; S1=PB-602B                   |       | 30 m   |
    VFD-602 | speed potentiometer    |        | bagging line | R=SP-602                                 | 5 kΩ  | 30 m   |
    VFD-602 | fault relay            |        | PLC-2        | A=PLC-2                                  | 24 V  | 18 m   |
    VFD-603 | forward-reverse        |        | silo 2       | S=FR-603                                 |       | 35 m   |
    VFD-603 | 0-10 V reference       |        | PLC-2        | A=PLC-2                                  |       | 20 m   |
    VFD-603 | fault relay            |        | PLC-2        | A=PLC-2                                  | 24 V  | 20 m   |
    """
)  # fmt: skip

_ELECTRICAL = """
    tag    | place            | drives  | voltage
    DS-101 | MCC-1, bucket 1A | VFD-101 | 480 V
    DS-201 | MCC-1, bucket 2A | VFD-201 | 480 V
    DS-202 | MCC-1, bucket 2B | VFD-202 | 480 V
    DS-301 | MCC-1, bucket 3A | VFD-301 | 480 V
    DS-302 | MCC-1, bucket 3B | VFD-302 | 480 V
    DS-401 | Chemical room    | VFD-401 | 240 V
    DS-501 | MCC-1, bucket 5A | VFD-501 | 480 V
    DS-502 | MCC-1, bucket 5B | VFD-502 | 480 V
    DS-601 | MCC-2, bucket 1  | VFD-601 | 480 V
    DS-602 | MCC-2, bucket 2  | VFD-602 | 480 V
    DS-603 | MCC-2, bucket 3  | VFD-603 | 480 V
"""

ISOLATION: list[Row] = [
    *rows(
        _ELECTRICAL, kind="disconnect switch", energy="electrical", lockable="yes", early_break_contact="no",
        method="Open, hang lock and tag.", proof="Test dead at the drive's line terminals, all pairs and to ground.",
    ),
    *rows(
        """
        tag     | kind              | place           | energy         | drives  | voltage | lockable | early_break_contact | method                     | proof
        DS-101M | motor isolator    | Raw water pit   | electrical     | VFD-101 | 480 V   | yes      | yes                 | Open, hang lock and tag.   | Not a proof of the drive being dead; test at the motor.
        DS-302M | motor isolator    | Roof            | electrical     | VFD-302 | 480 V   | yes      | yes                 | Open, hang lock and tag.   | Not a proof of the drive being dead; test at the motor.
        LP-1/9  | circuit breaker   | Chemical room   | space heater   | VFD-101 | 120 V   | yes      |                     | Open, breaker lock and tag. | Test dead at the heater terminals.
        LP-1/11 | circuit breaker   | Chemical room   | space heater   | VFD-501 | 120 V   | yes      |                     | Open, breaker lock and tag. | Test dead at the heater terminals.
        LP-1/13 | circuit breaker   | Chemical room   | external 24 V  | VFD-501 | 120 V   | yes      |                     | Open, breaker lock and tag. | No 24 V at the drive's control terminals.
        LP-1/15 | circuit breaker   | Chemical room   | relay circuit of others | VFD-101; VFD-201; VFD-202; VFD-301; VFD-302; VFD-401; VFD-502 | 120 V | yes | | Open, breaker lock and tag. | 0 V between the relay contacts and each to ground.
        LP-1/17 | circuit breaker   | Chemical room   | relay circuit of others | VFD-501 | 120 V | yes | | Open, breaker lock and tag. | 0 V between the relay contacts and each to ground.
        LP-2/5  | circuit breaker   | Feed mill       | relay circuit of others | VFD-602; VFD-603 | 120 V | yes | | Open, breaker lock and tag. | 0 V between the relay contacts and each to ground.
        LP-2/7  | circuit breaker   | Feed mill       | relay circuit of others | VFD-601 | 120 V | yes | | Open, breaker lock and tag. | 0 V between the relay contacts and each to ground.
        V-101   | gate valve        | Raw water pit   | back-spin      | VFD-101 |         | yes      |                     | Close, chain and lock.     | The shaft stands still; no flow runs back.
        V-102   | drain valve       | Raw water pit   | water pressure | VFD-101 |         | yes      |                     | Open the drain, lock open. | Gauge PI-101 at zero.
        V-201   | gate valve        | Booster skid    | water pressure | VFD-201; VFD-202 | | yes     |                     | Close, chain and lock.     | Open the drain; no flow.
        V-401   | ball valve        | Dosing skid     | chemical pressure | VFD-401 |      | yes      |                     | Close and lock, flush.     | Gauge PI-401 at zero.
        V-501   | gate valve        | High-service bay | water pressure | VFD-501 |        | yes      |                     | Close, chain and lock.     | Open the drain; no flow.
        V-502   | gate valve        | Irrigation shed | water pressure | VFD-502 |         | yes      |                     | Close, chain and lock.     | Open the drain; no flow.
        B-301   | fan shaft block   | Fan room        | back-spin by wind | VFD-301 |      | yes      |                     | Shut damper, pin the shaft. | The wheel does not turn by hand.
        B-302   | fan shaft block   | Roof            | back-spin by wind | VFD-302 |      | yes      |                     | Shut damper, pin the shaft. | The wheel does not turn by hand.
        """
    ),
]  # fmt: skip

NETWORKS: list[Row] = rows(
    """
    drive   | network | protocol    | address | speed | parity | timeout | loss_reaction | terminated
    VFD-501 | NET-1   | serial line | 51      | 19200 | even   | 3 s     | ramp to stop  | yes
    """
)
