"""Schemes that report or switch something else: CS14, CS15, CS19, CS23, CS24, CS27, CS30, CS34."""

from __future__ import annotations

from binder.wiring.connections import Signal
from binder.wiring.parts import dry_contact, healthy_contact
from binder.wiring.recipe import Part, Recipe


def _relay_report(key: str, title: str, function: str, port: str, *aliases: str) -> Recipe:
    """Return the report of one relay function: a lamp when 'H' is named, else a controller input."""
    return Recipe(
        key, "CS14", title,
        parts=(
            Part("A", "controller", f"{function.replace('_', ' ')} from drive", ports=("DIC", port)),
            Part("H", "lamp", function.replace("_", " "), ports=("X1", "X2"), optional=True),
        ),
        joints=(
            f"if no H: A:DIC - @RO({function}).C",
            f"if no H: @RO({function}).NO - A:{port}",
            f"if H: %L - @RO({function}).C",
            f"if H: @RO({function}).NO - H:X1",
            "if H: H:X2 - %N",
        ),
        signal=Signal.RELAY,
        note="suppress every coil: diode for direct, resistor and capacitor for alternating current",
        aliases=aliases,
    )  # fmt: skip


def _coil(key: str, kind: str, text: str, *contacts: str, fixed: str = "panel") -> Part:
    return Part(key, kind, text, contacts, ports=("A1", "A2"), states=("off", "on"), fixed=fixed)


OUTPUT: tuple[Recipe, ...] = (
    _relay_report("fault relay", "Fault relay, energized while healthy", "fault", "DI1", "fault contact"),
    _relay_report("run relay", "Run relay", "run", "DI2", "run contact", "running relay"),
    _relay_report("ready relay", "Ready relay", "ready", "DI3"),
    _relay_report("at speed relay", "At-speed relay", "at_speed", "DI4"),
    _relay_report("in auto relay", "In-auto relay", "in_auto", "DI5"),
    Recipe(
        "analog output", "CS15", "Analog output",
        parts=(Part("P", "meter", "output frequency", ports=("+", "-")),),
        joints=("@AO(output_frequency) - P:+", "P:- - @A0"),
        analog="output",
        signal=Signal.ANALOG,
        note="shows the actual, not the commanded, value; the drive powers the loop",
        aliases=("analogue output", "meter"),
    ),
    Recipe(
        "mechanical brake", "CS19", "Mechanical brake",
        parts=(
            _coil("K", "contactor", "brake", "13-14 NO -x", "23-24 NO -x"),
            Part("T", "rectifier", "brake rectifier", ports=("~1", "~2", "+", "-"), fixed="panel"),
            Part("Y", "brake", "spring-set brake", ("13-14 NO -x",), ports=("1", "2"), states=("set", "released")),
        ),
        joints=(
            "%L - @RO(brake_release).C",
            "@RO(brake_release).NO - K:A1",
            "K:A2 - %N",
            "%L - K:13",
            "(relay) K:14 - T:~1",
            "T:~2 - %N",
            "(relay) T:+ - K:23",
            "(relay) K:24 - Y:1",
            "(relay) Y:2 - T:-",
            "$IN - Y:13",
            "Y:14 - @DI(brake_feedback)",
        ),
        signal=Signal.RELAY,
        stop="the brake closes without power; safe torque off must drop it as well",
        note="never fed from the motor terminals; switched on its direct-current side too",
        aliases=("brake",),
    ),
    Recipe(
        "lead-lag", "CS23", "Lead and lag",
        owner=("command",),
        parts=(
            dry_contact("K", "run from lead-lag controller"),
            Part("A", "controller", "lead-lag controller", ports=("DIC", "DI1", "DI2")),
        ),
        joints=(
            "$RUN - K:13",
            "K:14 - @DI(run_forward)",
            "(relay) A:DIC - @RO(run).C",
            "(relay) @RO(run).C - @RO(fault).C",
            "@RO(run).NO - A:DI1",
            "@RO(fault).NO - A:DI2",
        ),
        stop="opening the contact stops the drive",
        restarts=True,
        note="change over on proof of running, not on the command",
        aliases=("lead lag", "master follower"),
    ),
    Recipe(
        "network", "CS24", "Serial network",
        owner=("network",),
        parts=(Part("A", "network", "serial line", ports=("A", "B", "REF")),),
        joints=("@BUS.A - A:A", "@BUS.B - A:B", "if BUS.REF: @BUS.REF - A:REF"),
        signal=Signal.NETWORK,
        own_cable=True,
        note="keep a hard-wired stop; terminators at both ends of the line only",
        aliases=("fieldbus", "serial network", "bus"),
    ),
    Recipe(
        "damper proof", "CS27", "Damper or valve proof",
        parts=(
            Part("M", "actuator", "damper actuator", ports=("1", "2")),
            Part("F1", "limit switch", "damper open", ("13-14 NO -x",), states=("shut", "open"), rest="open"),
        ),
        joints=(
            "%L - @RO(run_command).C",
            "@RO(run_command).NO - M:1",
            "M:2 - %N",
        ),
        string="permit",
        note="the end switch must prove the open end; the drive starts on proof, not on the command",
        aliases=("valve proof",),
    ),
    Recipe(
        "space heater", "CS30", "Motor space heater",
        parts=(
            _coil("K", "relay", "drive runs", "21-22 NC x-"),
            Part("Q", "isolator", "heater supply", ports=("L", "N"), fixed="panel"),
            Part("E", "heater", "motor space heater", ports=("1", "2")),
        ),
        joints=(
            "%L - @RO(run).C",
            "@RO(run).NO - K:A1",
            "K:A2 - %N",
            "(relay) Q:L - K:21",
            "(relay) K:22 - E:1",
            "(relay) E:2 - Q:N",
        ),
        signal=Signal.RELAY,
        own_cable=True,
        note="another source of voltage: it stays live while the drive is isolated and belongs on the lockout card",
        aliases=("motor heater",),
    ),
    Recipe(
        "motor fan", "CS34", "Separate fan of the motor",
        parts=(
            _coil("Q", "contactor", "motor fan"),
            healthy_contact("F", "overload", "fan overload", marks="95-96"),
        ),
        joints=("%L - @RO(run_command).C", "@RO(run_command).NO - Q:A1", "Q:A2 - %N"),
        string="fault",
        note="the fan runs on for about 5 min after stop (common practice, no source)",
        aliases=("forced cooling",),
    ),
)  # fmt: skip
