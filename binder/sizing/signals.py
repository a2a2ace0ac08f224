"""Figures of control signals: potentiometer, current loop, 24 V supply and encoder."""

from __future__ import annotations

import math
from collections.abc import Iterator, Mapping

from binder.engineering import control_supply, speed_reference
from binder.engineering.figure import Figure, Rule, display
from binder.inventory.findings import Finding, Grade
from binder.inventory.lookup import cables_of, controls_of, fold, terminals_of
from binder.inventory.records import Cable, Control
from binder.sizing.context import Context, Needs, at_least, at_most, cell_of, not_above, not_below

_OHM = Rule("I = U / R at 10 V", "textbook")
_TRACK = Rule("P = U² / R at 10 V", "textbook; 0.5 W potentiometers: common practice, no source")
_LOADING = Rule("largest of x - x / (1 + x (1 - x) R / R_in) over the turn", "textbook: loaded divider")
_LOOP = Rule("U - 21 mA (R_input + R_wire)", "Ohm's law round the loop; 21 mA: NE 43 (from memory, check)")
_LOAD_24V = Rule("all digital inputs on at once, and 21 mA a loop-powered transmitter", "the drive's manual")
_DROP_24V = Rule("24 V - I R - n I R, own and shared conductor", "Ohm's law; 15 V: IEC 61131-2 (from memory, check)")
_ENCODER = Rule("n / 60 x pulses a turn", "textbook")
_SCALE = Rule("100 min / max frequency", "both conventions are in use: common practice, no source")

_REFERENCE_V = 10.0
_SUPPLY_V = 24.0
_TRACK_W = 0.5
#: Scheme -> unit of its Value, and an example. The wiring asks for ohms of a potentiometer and hertz of a preset.
_VALUES = {
    "pulse reference": ("Hz", "the pulse frequency at full speed, for example 10 kHz"),
    "encoder": ("pulses", "pulses a turn, for example 1024 pulses"),
    "4-20 mA transmitter": ("V", "the least voltage of the transmitter, for example 12 V"),
}
_LOADING_LIMIT = 1.0  # percent of full reference, as the sweep allows: common practice, no source


def figures(context: Context) -> Iterator[Figure | Finding]:
    """Yield the figures of every control scheme of the drive that carries a signal."""
    schemes: dict[str, Control] = {}
    for control in controls_of(context.inventory, context.drive):
        schemes.setdefault(control.scheme, control)
    yield from _scale(context)
    yield from _wrong_values(context, schemes)
    if "speed potentiometer" in schemes:
        yield from _potentiometer(context, schemes["speed potentiometer"])
    if "4-20 mA transmitter" in schemes:
        yield from _loop(context, schemes["4-20 mA transmitter"])
    if "pulse reference" in schemes:
        yield _pulse(context, schemes["pulse reference"])
    if "encoder" in schemes:
        yield _encoder(context, schemes["encoder"])
    if schemes and context.drive.control_supply != "external":
        yield from _load_24v(context, transmitters=int("4-20 mA transmitter" in schemes))
    if schemes:
        yield from _drop_24v(context)


def _wrong_values(context: Context, schemes: Mapping[str, Control]) -> Iterator[Finding]:
    """Tell a value that measures something else than its scheme needs."""
    for scheme, (unit, accepted) in _VALUES.items():
        control = schemes.get(scheme)
        if control is not None and control.value is not None and not control.value.measures(unit):
            yield context.finding_at(
                "E156",
                Grade.CAUTION,
                control,
                "value",
                found=f"{control.value} beside the scheme {scheme}",
                accepted=f"{accepted}, or blank",
                remedy="type what the scheme needs, or correct the scheme",
            )


def _scale(context: Context) -> Iterator[Figure]:
    if context.drive.min_frequency is None or context.drive.max_frequency is None:
        return
    need = context.needs()
    low, high = need.of("drive", "min_frequency", "Hz"), need.of("drive", "max_frequency", "Hz")
    yield need.figure(
        "reference.low_end",
        "Minimum frequency in percent of the reference range",
        lambda: speed_reference.low_end_percent(low, high),
        "%",
        _SCALE,
        note="low end of the analog input when zero signal shall mean minimum frequency; 0 when it shall mean 0 Hz",
    )


def _potentiometer(context: Context, control: Control) -> Iterator[Figure | Finding]:
    need = context.needs()
    ohms = need.record(control, "potentiometer", "value", "Ω")
    limit = context.needs().of("model", "reference_10v_limit", "mA")
    current = need.figure(
        "reference.potentiometer_current",
        "Current of the potentiometer",
        lambda: speed_reference.potentiometer_current_ma(_REFERENCE_V, ohms),
        "mA",
        _OHM,
        limit=at_most(limit, "mA", "10 V supply of the model"),
        within=not_above(limit),
    )
    yield current
    if current.verdict == "outside":
        least = 1000.0 * _REFERENCE_V / limit
        yield context.finding_at(
            "E151",
            Grade.STOP,
            control,
            "value",
            found=f"a potentiometer of {display(ohms)} Ω draws {current.text()}",
            accepted=f"{display(least)} Ω or more: the 10 V terminal gives {display(limit)} mA",
            remedy="fit a potentiometer of 5 kΩ" if least <= 5000 else f"fit one of {display(least)} Ω or more",
        )
    yield need.figure(
        "reference.potentiometer_power",
        "Power in the potentiometer",
        lambda: speed_reference.potentiometer_power_w(_REFERENCE_V, ohms),
        "W",
        _TRACK,
        limit=f"<= {_TRACK_W:g} W",
        within=not_above(_TRACK_W),
    )
    yield from _loading(context, control)


def _loading(context: Context, control: Control) -> Iterator[Figure | Finding]:
    need = context.needs()
    ohms = need.record(control, "potentiometer", "value", "Ω")
    load = need.of("model", "analog_voltage_impedance", "Ω")
    error = need.figure(
        "reference.loading_error",
        "Largest error from the input's load on the potentiometer",
        lambda: speed_reference.loading_error_percent(ohms, load)[0],
        "%",
        _LOADING,
        limit=f"<= {_LOADING_LIMIT:g} %",
        within=not_above(_LOADING_LIMIT),
        note="at about two thirds of the turn; none at both ends",
    )
    yield error
    if error.verdict == "outside":
        yield context.finding_at(
            "E152",
            Grade.NOTE,
            control,
            "value",
            found=f"{display(ohms)} Ω on an input of {display(load)} Ω: the reference is up to {error.text()} low",
            accepted=f"at most {_LOADING_LIMIT:g} %; both ends of the turn stay right",
            remedy="fit a lower resistance within the 10 V supply's limit, or accept a scale that is not straight",
        )


def _wire(context: Context, need: Needs, control: Control) -> float:
    """One conductor of the control's cable. [Ω]"""
    length = need.record(control, control.scheme, "length", "m")
    cable = _cable(context, control)
    if cable is None:
        need.blank("control cable", control, "cable")
    elif cable.size is None:
        need.blank("control cable size", cable, "size")
    else:
        area = need.state("control cable conductor", cable.size.area_mm2, "mm²", cell_of(cable, "size"))
        return math.nan if math.isnan(length) else control_supply.conductor_ohm(length, area)
    return math.nan


def _cable(context: Context, control: Control) -> Cable | None:
    named = fold(control.cable)
    return next((c for c in cables_of(context.inventory, context.drive) if named and fold(c.tag) == named), None)


def _loop(context: Context, control: Control) -> Iterator[Figure | Finding]:
    need = context.needs()
    burden = need.of("model", "analog_current_burden", "Ω")
    wire = 2.0 * _wire(context, need, control)
    least = control.value.to("V") if control.value is not None and control.value.unit in ("V", "mV") else math.nan
    left = need.figure(
        "signal.transmitter_volts",
        "Voltage left for the transmitter at 21 mA",
        lambda: control_supply.volts_at_transmitter(_SUPPLY_V, burden, wire),
        "V",
        _LOOP,
        limit=at_least(least, "V", "least of the transmitter"),
        within=not_below(least),
    )
    yield left
    if left.verdict == "outside":
        most = control_supply.largest_burden_ohm(_SUPPLY_V, least)
        yield context.finding_at(
            "E153",
            Grade.STOP,
            control,
            "length",
            found=f"the transmitter keeps {left.text()} at 21 mA",
            accepted=f"{display(least)} V or more: input and wire together at most {display(most)} Ω",
            remedy="use a larger conductor, a shorter run, or a separate supply for the loop",
        )


def _pulse(context: Context, control: Control) -> Figure:
    need = context.needs()
    full = need.record(control, "pulse reference full scale", "value", "Hz")
    top = need.of("drive", "max_frequency", "Hz")
    return need.figure(
        "reference.pulses_per_hertz",
        "Pulses a second of the reference for one hertz of output",
        lambda: full / top,
        "",
        Rule("full-scale pulse frequency / highest frequency", "straight line from zero"),
        note="zero pulses command 0 Hz, held at the lowest frequency",
    )


def _encoder(context: Context, control: Control) -> Figure:
    need = context.needs()
    pulses, speed = need.record(control, "encoder", "value", "pulses"), need.figure_of("motion.motor_speed")
    return need.figure(
        "signal.encoder_frequency",
        "Frequency of one encoder channel at highest speed",
        lambda: speed_reference.pulse_frequency_hz(speed, pulses) / 1000.0,
        "kHz",
        _ENCODER,
    )


def _inputs(context: Context) -> int:
    return sum(1 for t in terminals_of(context.inventory, context.model) if t.role == "DI")


def _load_24v(context: Context, *, transmitters: int) -> Iterator[Figure | Finding]:
    need = context.needs()
    each = need.of("model", "input_current_di", "mA")
    count = need.state("digital inputs of the model", _inputs(context))
    limit = context.needs().of("model", "supply_24v_limit", "mA")
    load = need.figure(
        "control.load_24v",
        "Load on the drive's 24 V supply",
        lambda: count * each + transmitters * control_supply.LOOP_TOP_MA,
        "mA",
        _LOAD_24V,
        limit=at_most(limit, "mA", "24 V supply of the model"),
        within=not_above(limit),
        note="the most that inputs can draw; lamps and relays on this supply come on top",
    )
    yield load
    if load.verdict == "outside":
        yield context.finding(
            "E154",
            Grade.CAUTION,
            ("drive", "control_supply"),
            found=f"the drive's 24 V supply may have to give {load.text()}",
            accepted=f"at most {display(limit)} mA",
            remedy="feed the control from an external 24 V supply, or count the inputs that are really on together",
        )


def _drop_24v(context: Context) -> Iterator[Figure | Finding]:
    runs = [c for c in controls_of(context.inventory, context.drive) if c.length is not None and _cable(context, c)]
    if not runs:
        return
    longest = max(runs, key=lambda c: c.length.to("m") if c.length else 0.0)
    need = context.needs()
    each = need.of("model", "input_current_di", "mA")
    count = max(_inputs(context), 1)
    need.state("digital inputs on one common", count)
    wire = _wire(context, need, longest)
    volts = need.figure(
        "control.volts_at_input",
        "Voltage at the farthest digital input, all inputs on",
        lambda: control_supply.volts_at_input(_SUPPLY_V, input_ma=each, inputs_on_common=count, conductor=wire),
        "V",
        _DROP_24V,
        limit=f">= {control_supply.INPUT_ON_VOLTS:g} V",
        within=not_below(control_supply.INPUT_ON_VOLTS),
    )
    yield volts
    if volts.verdict == "outside":
        yield context.finding_at(
            "E155",
            Grade.STOP,
            longest,
            "length",
            found=f"{volts.text()} left at the farthest digital input",
            accepted=f"{control_supply.INPUT_ON_VOLTS:g} V or more, where an input is surely on",
            remedy="use a larger conductor, a shorter run, or interposing relays at the drive",
        )
