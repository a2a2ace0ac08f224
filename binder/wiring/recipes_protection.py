"""Schemes that forbid or protect: CS16 to CS18, CS20 to CS22, CS25, CS29, CS31."""

from __future__ import annotations

from binder.wiring.connections import Signal
from binder.wiring.parts import break_button, healthy_contact, ports
from binder.wiring.recipe import Ask, Part, Recipe

_TRIP = Ask("external_fault_reaction", "", "trip", "the contact opens when it acts")

PROTECTION: tuple[Recipe, ...] = (
    Recipe(
        "permissive string", "CS16", "Permissive string",
        parts=(
            healthy_contact("F1", "switch", "permissive 1"),
            *(healthy_contact(f"F{n}", "switch", f"permissive {n}", optional=True) for n in range(2, 9)),
        ),
        string="permit",
        stop="any contact that opens, and any broken wire, stops the drive in every mode",
        note="the drive may start again when the string closes, unless the start is a pulse",
        aliases=("permissives", "interlock", "interlocks", "interlock string"),
    ),
    Recipe(
        "safe torque off", "CS17", "Safe torque off, two channels",
        parts=(
            Part("S", "emergency stop", "emergency stop", ("11-12 NC x-", "21-22 NC x-"),
                 states=("released", "pressed"), legend="EMERGENCY STOP"),
        ),
        joints=("@STOS - S:11", "S:12 - @STO1", "@STOS - S:21", "S:22 - @STO2"),
        signal=Signal.SAFETY,
        star=True,
        own_cable=True,
        asks=(Ask("safe_torque_off_reaction", "", "fault",
                  "unlatching the emergency stop must not start a drive whose run contact is closed"),),
        switches=(("safe torque off links", "removed, kept with the drive's papers"),),
        stop="stop category 0: the torque goes at once and the motor coasts",
        note="not an isolation, and not the normal stop",
        aliases=("sto", "emergency stop"),
    ),
    Recipe(
        "thermistor", "CS18", "Motor thermistors",
        parts=(
            Part("B", "thermistor", "motor thermistors", ports=("1T1", "1T2")),
            Part("K", "thermistor relay", "thermistor relay", ("11-14 NO x-",), ports=("T1", "T2", "A1", "A2"),
                 states=("healthy", "acted"), fixed="panel"),
        ),
        joints=(
            "if PTC+: @PTC+ - B:1T1",
            "if PTC+: B:1T2 - @PTC-",
            "if no PTC+: (sensor) K:T1 - B:1T1",
            "if no PTC+: (sensor) B:1T2 - K:T2",
            "if no PTC+: %L - K:A1",
            "if no PTC+: K:A2 - %N",
        ),
        string="fault without PTC+",
        signal=Signal.SENSOR,
        own_cable=True,
        asks=(Ask("thermistor_reaction", "", "trip", "the motor carries thermistors"),),
        note="own screened pair, never in the motor cable unless the manual allows it",
        aliases=("ptc", "thermistors"),
    ),
    Recipe(
        "thermal switch", "CS18", "Thermal switch in the motor",
        parts=(healthy_contact("B", "thermal switch", "motor thermal switch", marks="1T1-1T2"),),
        string="fault",
        signal=Signal.SENSOR,
        asks=(_TRIP,),
        note="a closed thermal switch on a thermistor input looks like a shorted sensor: use a digital input",
        aliases=("thermostat",),
    ),
    Recipe(
        "brake resistor thermal switch", "CS20", "Thermal switch of the brake resistor",
        parts=(
            healthy_contact("F", "thermal switch", "brake resistor hot"),
            Part("Q", "contactor", "line contactor", ports=("A1", "A2"), states=("off", "on"), fixed="panel"),
        ),
        joints=("%L - F:11", "(relay) F:12 - Q:A1", "Q:A2 - %N"),
        signal=Signal.RELAY,
        stop="the line contactor drops: a shorted chopper heats on while only the output is off",
        aliases=("resistor thermal switch",),
    ),
    Recipe(
        "motor isolator contact", "CS21", "Early-break contact of the motor isolator",
        parts=(
            Part("F1", "isolator", "motor isolator, early break", ("13-14 NO -x",), states=("OFF", "ON"), rest="ON"),
        ),
        string="permit",
        stop="the contact opens before the main poles: the drive stops first",
        note="reclosing meets whatever speed the controller asks for by then",
        aliases=("isolator contact", "output switch"),
    ),
    Recipe(
        "bypass", "CS22", "Bypass",
        owner=("bypass",),
        parts=(
            Part("S", "selector", "drive, off, bypass", ("13-14 NO x--", "23-24 NO --x"),
                 states=("DRIVE", "OFF", "BYPASS"), rest="DRIVE", legend="DRIVE-OFF-BYPASS"),
            Part("Q2", "contactor", "drive to motor", ("13-14 NO -x", "21-22 NC x-"), ports=("A1", "A2"),
                 states=("off", "on"), rest="on", fixed="panel"),
            Part("Q3", "contactor", "bypass", ("21-22 NC x-",), ports=("A1", "A2"), states=("off", "on"),
                 fixed="panel"),
            healthy_contact("F", "overload", "overload in bypass", marks="95-96"),
            Part("K", "relay", "permissives in bypass", ("13-14 NO -x",), ports=("A1", "A2"), states=("off", "on"),
                 rest="on", fixed="panel"),
        ),
        joints=(
            "%L - S:13",
            "(relay) S:14 - Q3:21",
            "(relay) Q3:22 - Q2:A1",
            "Q2:A2 - %N",
            "%L - S:23",
            "(relay) S:24 - K:13",
            "(relay) K:14 - Q2:21",
            "(relay) Q2:22 - F:95",
            "(relay) F:96 - Q3:A1",
            "Q3:A2 - %N",
            "$PERMIT - K:A1",
            "(digital) K:A2 - $RET",
        ),
        string="permit by Q2",
        signal=Signal.RELAY,
        asks=(Ask("bypass", "", "on", "the drive shares its motor with a bypass contactor"),),
        stop="the permissives act in bypass too, through their relay",
        note="contactors Q2 and Q3 also interlock mechanically; wait 2 to 3 s for the motor's field to decay"
             " (common practice, no source)",
    ),
    Recipe(
        "encoder", "CS25", "Encoder",
        parts=(ports("B", "encoder", "motor encoder", "P", "N", "A", "A/", "B", "B/", "Z", "Z/"),),
        joints=(
            "@ENC.A - B:A", "@ENC.B - B:B",
            *(f"if ENC.{p}: @ENC.{p} - B:{p}" for p in ("P", "N", "A/", "B/", "Z", "Z/")),
        ),
        signal=Signal.SENSOR,
        own_cable=True,
        star=True,
        screen_both_ends=True,
        asks=(Ask("control_mode", "", "closed-loop vector", "an encoder is wired"),),
        note="A and B exchanged: full current at crawling speed",
    ),
    Recipe(
        "external 24 V", "CS29", "External 24 V supply",
        owner=("supply",),
        parts=(ports("G", "power supply", "control supply", "+", "-"),),
        note="stays live with the line off: it belongs on the lockout card, and its wires are orange"
             " ({machines} 13.2.4, from memory, check)",
        aliases=("external 24v", "24 v supply"),
    ),
    Recipe(
        "several motors", "CS31", "Several motors on one drive",
        parts=(
            healthy_contact("F1", "overload", "overload motor 1", marks="95-96"),
            healthy_contact("F2", "overload", "overload motor 2", marks="95-96"),
            *(healthy_contact(f"F{n}", "overload", f"overload motor {n}", optional=True, marks="95-96")
              for n in range(3, 9)),
        ),
        string="permit",
        stop="any overload stops all motors",
        note="the drive's own overload guards the sum only; an identification run does not hold",
        aliases=("multiple motors",),
    ),
    Recipe(
        "fault reset", "own", "Fault reset button",
        parts=(Part("S", "pushbutton", "fault reset", ("13-14 NO -x",), states=("released", "pressed"),
                    legend="RESET"),),
        joints=("$IN - S:13", "S:14 - @DI(fault_reset)"),
        aliases=("reset button",),
    ),
    Recipe(
        "stop button", "own", "Stop button in the common leg",
        parts=(break_button("F1", "stop", "STOP"),),
        string="permit",
        stop="opening it stops the drive in every mode",
    ),
)  # fmt: skip
