"""Schemes that set the speed: CS07 to CS13, CS32."""

from __future__ import annotations

from binder.wiring.connections import Signal
from binder.wiring.parts import dry_contact, make_button, ports
from binder.wiring.recipe import Ask, Recipe

_NOT_DETECTABLE = "a broken wire cannot be told from a low signal: use 2-10 V or 4-20 mA where it must be noticed"

REFERENCE: tuple[Recipe, ...] = (
    Recipe(
        "speed potentiometer", "CS07", "Speed potentiometer",
        owner=("reference",),
        parts=(ports("R", "potentiometer", "speed", "1", "2", "3"),),
        joints=("@R10 - R:1", "R:2 - @AI({reference})", "R:3 - @A0"),
        analog="potentiometer",
        signal=Signal.ANALOG,
        note="linear track, 3 is the counter-clockwise end; " + _NOT_DETECTABLE,
        aliases=("potentiometer", "speed pot", "pot"),
    ),
    Recipe(
        "0-10 V reference", "CS08", "Voltage reference from a controller",
        owner=("reference",),
        parts=(ports("A", "controller", "speed signal", "AO1+", "AO1-"),),
        joints=("A:AO1+ - @AI({reference})", "A:AO1- - @A0"),
        analog="0-10 V",
        signal=Signal.ANALOG,
        note=_NOT_DETECTABLE,
        aliases=("0-10v", "0-10 v", "voltage reference"),
    ),
    Recipe(
        "2-10 V reference", "CS08", "Live-zero voltage reference from a controller",
        owner=("reference",),
        parts=(ports("A", "controller", "speed signal", "AO1+", "AO1-"),),
        joints=("A:AO1+ - @AI({reference})", "A:AO1- - @A0"),
        analog="2-10 V",
        signal=Signal.ANALOG,
        aliases=("2-10v", "2-10 v"),
    ),
    Recipe(
        "4-20 mA reference", "CS09", "Current reference, the source powers the loop",
        owner=("reference",),
        parts=(ports("A", "controller", "speed signal", "AO1+", "AO1-"),),
        joints=("A:AO1+ - @AI({reference})", "A:AO1- - @A0"),
        analog="4-20 mA",
        signal=Signal.ANALOG,
        note="one source of power in the loop: the +24 V of the drive stays out of it",
        aliases=("4-20ma", "4-20 ma", "current reference"),
    ),
    Recipe(
        "4-20 mA transmitter", "CS10", "Two-wire transmitter, the drive powers the loop",
        owner=("measure",),
        parts=(ports("B", "transmitter", "measured value", "+", "-"),),
        joints=("@P24 - B:+", "B:- - @AI({measure})", "@A0 - @N24"),
        analog="4-20 mA loop",
        signal=Signal.ANALOG,
        note="the transmitter needs its least voltage at 20 mA behind input burden and wire",
        aliases=("transmitter", "loop-powered transmitter"),
    ),
    Recipe(
        "increase-decrease", "CS11", "Increase and decrease buttons",
        owner=("reference",),
        parts=(make_button("S1", "faster", "INCREASE"), make_button("S2", "slower", "DECREASE")),
        joints=("$IN - S1:13", "S1:14 - @DI(increase)", "$IN - S2:13", "S2:14 - @DI(decrease)"),
        note="say whether the last speed is kept when power goes",
        aliases=("increase decrease", "motorized potentiometer", "floating"),
    ),
    Recipe(
        "preset speeds", "CS12", "Preset speeds",
        parts=(dry_contact("K", "preset"),),
        joints=("$IN - K:13", "K:14 - @DI({preset})"),
        asks=(Ask("preset_speed", "{code}", "{value:Hz}", "speed called by this input alone"),),
        note="number 0 (no contact closed) takes the analog reference; on the way between two numbers others pass",
        aliases=("preset speed", "presets"),
    ),
    Recipe(
        "process control", "CS13", "Process control",
        owner=("reference", "process"),
        parts=(ports("B", "transmitter", "measured value", "+", "-"),),
        joints=(
            "if no transmitter row: @P24 - B:+",
            "if no transmitter row: B:- - @AI(process_feedback)",
            "if no transmitter row: @A0 - @N24",
        ),
        analog="4-20 mA loop",
        signal=Signal.ANALOG,
        asks=(Ask("process_control", "", "on", "the drive holds a measured value"),),
        note="direction: a rising measured value must lower the speed, or it runs to its maximum",
        aliases=("pid", "process controller"),
    ),
    Recipe(
        "pulse reference", "CS32", "Pulse reference",
        owner=("reference",),
        parts=(ports("B", "pulse sensor", "speed pulses", "+", "OUT", "-"),),
        joints=("@P24 - B:+", "(analog) B:OUT - @DI(pulse_reference)", "B:- - @N24"),
        signal=Signal.ANALOG,
        own_cable=True,
        note="positive logic takes a sourcing (PNP) sensor, negative logic a sinking (NPN) one",
        aliases=("frequency reference",),
    ),
)  # fmt: skip
