"""Schemes as they meet on real drives: combinations of rows for the invented drives, by what they do."""

from __future__ import annotations

from collections.abc import Mapping

from invented_drives import COMPLETE, FULL, row

from binder.inventory.quantities import measure
from binder.inventory.records import Control
from binder.wiring.schemes import SCHEMES

_RUN = row("two-wire run")
_RUN_DOOR = row("two-wire run", "panel door")
_START_STOP = row("three-wire start-stop")
_HOA = row("hand-off-auto", "S=panel door; K=controller panel")
_POT = row("speed potentiometer", value=measure(5, "kΩ"))
_POT_HAND = row("speed potentiometer", "panel door", mode="hand", value=measure(5, "kΩ"))
_VOLTS = row("0-10 V reference", "controller panel", length=measure(30, "m"))
_LOOP = row("4-20 mA reference", "controller panel", length=measure(80, "m"))
_LOOP_AUTO = row("4-20 mA reference", "controller panel", mode="auto", length=measure(80, "m"))
_SENSOR = row("4-20 mA transmitter", "pump room", length=measure(60, "m"))
_PERMITS = row("permissive string", "pump room", devices="F1=PSL-1; F2=TSH-2; F3=LSH-3")
_FAULT = row("fault relay", "controller panel")
_RUNNING = row("run relay", "controller panel")
_FAULT_LAMP = row("fault relay", "panel door", devices="H=HL-1")
_RUN_LAMP = row("run relay", "panel door", devices="H=HL-2")
_STO = row("safe torque off", "machine", length=measure(25, "m"))
_PTC = row("thermistor", "motor", length=measure(40, "m"))
_SWITCH = row("thermal switch", "motor")
_ISOLATOR = row("motor isolator contact", "motor")
_JOG = row("jog", value=measure(6, "Hz"))
_RESET = row("fault reset", "panel door")
_METER = row("analog output", "panel door")
_NETWORK = row("network", "controller panel")

#: What stands on one drive, by name.
COMBINATIONS: Mapping[str, tuple[Control, ...]] = {
    "pump, hand off auto, with everything": FULL,
    "fan, damper and freeze protection": (
        _HOA, _LOOP_AUTO, _POT_HAND, row("damper proof", "duct"),
        row("permissive string", "air handler", devices="F1=TSL-1; F2=SD-1"), _FAULT),
    "smoke fan": (_RUN, _VOLTS, row("fire mode", "fire panel"), row("damper proof", "duct"), _RUNNING),
    "conveyor with jog and emergency stop": (_START_STOP, _POT, _JOG, _STO, _FAULT_LAMP),
    "two stations": (row("three-wire start-stop", devices="S0=PB-1; S1=PB-2; S2=PB-3; S3=PB-4"), _POT, _RUN_LAMP),
    "hoist": (row("forward-reverse", devices="S=SS-1; LF=LS-1; LR=LS-2"), row("mechanical brake", "hoist"),
              row("preset speeds", value=measure(15, "Hz")), row("preset speeds", value=measure(45, "Hz"))),
    "mixer, both ways": (row("forward-reverse"), _POT, _STO, _FAULT),
    "increase and decrease with reset": (_START_STOP, row("increase-decrease"), _RESET, _FAULT_LAMP, _RUN_LAMP),
    "presets with a reference": (_RUN, _VOLTS, row("preset speeds", value=measure(10, "Hz")),
                                 row("preset speeds", value=measure(25, "Hz")),
                                 row("preset speeds", value=measure(40, "Hz"))),
    "pressure kept by the drive": (_RUN, row("process control", "pump room"), _SENSOR, _PERMITS, _RUNNING),
    "local and remote": (row("local-remote"), row("speed potentiometer", mode="local", value=measure(5, "kΩ")),
                         row("4-20 mA reference", "controller panel", mode="remote"), _FAULT, _RUNNING),
    "local on terminals, remote on the network": (
        row("local-remote"), row("network", "controller panel", mode="remote"),
        row("speed potentiometer", mode="local", value=measure(10, "kΩ"))),
    "network with a hard-wired stop": (_NETWORK, _PERMITS, _STO, _FAULT),
    "hand on the door, auto on the network": (_HOA, _POT_HAND, row("network", "controller panel", mode="auto"), _PTC),
    "bypass": (_RUN, _VOLTS, row("bypass", "panel door"), _PERMITS, _FAULT),
    "booster, lead and lag": (row("lead-lag", "pump controller"), _LOOP, _PERMITS, _PTC),
    "winder with encoder": (_RUN, _VOLTS, row("encoder", "motor"), row("second set select"), _STO),
    "crane travel, external supply": (row("forward-reverse"), _POT, row("external 24 V", "panel"),
                                      row("mechanical brake", "crab")),
    "120 V control": (row("interposing relay"), _LOOP, _FAULT, _RUNNING, row("space heater", "motor")),
    "motor with heater and fan": (_RUN, _VOLTS, row("space heater", "motor"), row("motor fan", "motor"), _PTC),
    "several motors": (_RUN, _VOLTS, row("several motors", "panel"), _FAULT),
    "braking resistor on the roof": (_RUN, _VOLTS, row("brake resistor thermal switch", "roof"), _STO),
    "isolator at the motor": (_HOA, _LOOP_AUTO, _POT_HAND, _ISOLATOR, _SWITCH),
    "pulse reference and counters": (_RUN, row("pulse reference", "conveyor"), _RUNNING, _METER),
    "meter and lamps on the door": (_RUN_DOOR, row("speed potentiometer", "panel door", value=measure(5, "kΩ")),
                                    _METER, _FAULT_LAMP, _RUN_LAMP),
    "every contact inside": (row("two-wire run", "panel"), row("0-10 V reference", "panel"),
                             row("fault relay", "panel")),
    "all at one field place": (row("two-wire run", "pump room"), row("speed potentiometer", "pump room",
                               value=measure(5, "kΩ")), row("fault reset", "pump room"), row("jog", "pump room",
                               value=measure(5, "Hz")), _PERMITS),
    "each at another place": (row("two-wire run", "gate house"), row("jog", "machine", value=measure(5, "Hz")),
                              row("fault reset", "mezzanine"), row("second set select", "laboratory"), _VOLTS),
    "ready and in auto to the controller": (_HOA, _POT_HAND, _LOOP_AUTO, row("ready relay", "controller panel"),
                                            row("in auto relay", "controller panel")),
    "at speed and fault": (_RUN, _LOOP, row("at speed relay", "controller panel"), _FAULT),
    "one controller card for all": (
        row("two-wire run", "controller panel", devices="K=PLC-1:DO"), row("4-20 mA reference", "controller panel",
        devices="A=PLC-1"), row("fault relay", "controller panel", devices="A=PLC-1"),
        row("run relay", "controller panel", devices="A=PLC-1"), row("analog output", "controller panel")),
    "two loops, one read back": (_RUN, _LOOP, row("process control", "pump room"), _METER, _SWITCH),
    "safe torque off beside permissives": (_START_STOP, _POT, _STO, _PERMITS, _PTC, _RESET),
    "nothing but permissives": (_RUN, _VOLTS, _PERMITS, _ISOLATOR, _SWITCH, row("damper proof", "duct")),
}  # fmt: skip


def _alone(key: str) -> tuple[Control, ...]:
    """A scheme with what it takes to make a working drive beside it."""
    own = row(key, "pump room", value=measure(20, "Hz") if key in ("jog", "preset speeds") else None)
    owner = SCHEMES[key].owner
    if "command" in owner or "selector" in owner or "network" in owner:
        return own, _VOLTS
    return (_RUN, own) if "reference" in owner or "process" in owner else (_RUN, _VOLTS, own)


#: Every scheme by its code, then every further name that the Controls sheet takes.
EVERY_SCHEME: Mapping[str, tuple[Control, ...]] = {
    **{f"{code} {rows[-1].scheme}": rows for code, rows in COMPLETE.items()},
    **{key: _alone(key) for key in SCHEMES},
}
