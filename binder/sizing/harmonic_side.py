"""Figures of a drive's input harmonics: reactance in the circuit, spectrum, and limits on one drive."""

from __future__ import annotations

import math
from collections.abc import Callable, Iterator

from binder.engineering import harmonic_limits, harmonics
from binder.engineering.figure import Figure, Rule, display
from binder.engineering.ranges import positive
from binder.engineering.short_circuit import fault_power_mva
from binder.engineering.supply import apparent_power_kva
from binder.inventory.findings import Finding, Grade
from binder.sizing.context import Context, Needs

_METHOD = (
    "six-pulse diode bridge with stiff DC link E: 2 X di/dθ = v_ab - E with two diodes conducting, "
    "X di/dθ = v_a - 2 E / 3 and v_b + E / 3 with three; solved for a periodic current, then Fourier coefficients"
)
_SOURCE = (
    "Mohan, Undeland, Robbins, Power Electronics, 5-6; Sakui and Fujita, IEEE Trans. Power Electronics 9(6), 1994 "
    "(both from memory, check)"
)
_SPECTRUM = Rule(_METHOD, _SOURCE)
_REACTANCE = Rule("100 I / Isc of the source, plus built-in choke, plus line reactor", "circuit theory")
_FUNDAMENTAL = Rule(
    "(P shaft / efficiency + drive losses) / (sqrt 3 U x 0.97)",
    "power balance; 0.97 is the curve's displacement factor",
)
_BOUND = Rule("rated input current, which is never less than its fundamental", "circuit theory")
_EMISSION = Rule(
    "THC and PWHC against the limits by short-circuit ratio", "IEC 61000-3-12:2011, Tables 3 and 4 (from memory)"
)
#: Reactor that the what-if is made with. [%]
_OFFERED = 3.0
#: Displacement factor of the curve between 0.3 and 4 % reactance, to 0.02.
_DISPLACEMENT = 0.97


def figures(context: Context) -> Iterator[Figure | Finding]:
    """Yield the harmonic figures of one drive with its motor at rated power."""
    need = context.needs()
    phases = need.first_of(("model", "input_phases"), ("supply", "phases"))
    if phases == 1 or (context.supply is not None and context.supply.phases == 1):
        yield Figure(
            "harmonics.thdi",
            "Total harmonic distortion of the input current",
            None,
            "%",
            _SPECTRUM,
            tuple(need.inputs),
            verdict="not judged",
            note="rule not implemented: single-phase rectifier",
        )
        return
    yield _fundamental(context)
    built_in, fitted, words = _chokes(context)
    if built_in:
        need.of("model", "built_in_reactor", "%")
    if fitted:
        need.of("drive", "line_reactor", "%")
    current = need.figure_of("harmonics.fundamental")
    fault = need.figure_of("short_circuit.panel")

    def reactance(reactor: float) -> float:
        return harmonics.source_reactance_percent(current, 1000 * fault) + built_in + reactor

    yield need.figure(
        "harmonics.reactance",
        "Reactance ahead of the rectifier",
        lambda: reactance(fitted),
        "%",
        _REACTANCE,
        note="source by the fault current at the panel, all of it reactance; the line cable is mostly resistance and "
        f"left out; {words}",
    )
    yield from _distortion(need, reactance, fitted)
    if context.iec:
        yield from _emission(context, built_in + fitted)


def _chokes(context: Context) -> tuple[float, float, str]:
    """Return built-in choke and line reactor in percent, and what is known of them."""
    choke = context.model.built_in_reactor if context.model is not None else None
    reactor = context.drive.line_reactor
    built_in, fitted = choke.to("%") if choke is not None else 0.0, reactor.to("%") if reactor is not None else 0.0
    inside = f"{built_in:g} %, counted as on the line side" if choke is not None else "not given: none counted"
    outside = f"{fitted:g} %" if reactor is not None else "not given: none counted"
    return built_in, fitted, f"built-in choke {inside}; line reactor {outside}"


def _fundamental(context: Context) -> Figure:
    key, name = "harmonics.fundamental", "Fundamental of the input current"
    motor, losses_of = context.motor, context.model.losses if context.model is not None else None
    need = context.needs()
    if motor is None or motor.power is None or motor.efficiency is None:
        current = need.of("model", "input_current", "A")
        note = "motor power or efficiency not given: the whole rated input current is taken, the safe side"
        return need.figure(key, name, lambda: current, "A", _BOUND, note=note)
    power, efficiency = need.of("motor", "power", "kW"), need.of("motor", "efficiency", "%")
    losses = need.of("model", "losses", "W") if losses_of is not None else 0.0
    voltage = need.of("supply", "voltage", "V")

    def balance() -> float:
        positive(power_kw=power, efficiency_percent=efficiency, voltage_v=voltage)
        return (1000 * power / (efficiency / 100) + losses) / (math.sqrt(3) * voltage * _DISPLACEMENT)

    return need.figure(
        key,
        name,
        balance,
        "A",
        _FUNDAMENTAL,
        note="motor at rated power" + ("" if losses_of is not None else "; drive losses not given: none counted"),
    )


def _distortion(need: Needs, reactance: Callable[[float], float], fitted: float) -> Iterator[Figure]:
    def spectrum(reactor: float) -> harmonics.InputSpectrum:
        return harmonics.six_pulse_spectrum(max(reactance(reactor), harmonics.MIN_REACTANCE))

    yield need.figure(
        "harmonics.thdi",
        "Total harmonic distortion of the input current",
        lambda: spectrum(fitted).thd_percent,
        "%",
        _SPECTRUM,
        note="percent of the fundamental; a slim link or an active front end differs; a reactance below "
        f"{harmonics.MIN_REACTANCE:g} % is read as that, the worst of the curve",
    )
    yield need.figure(
        "harmonics.spectrum",
        "Harmonics of the input current, percent of the fundamental",
        lambda: words_of(spectrum(fitted)),
        "",
        _SPECTRUM,
        note=f"ideal square wave: 5th {harmonics.ideal_percent(5):g} %, 7th {harmonics.ideal_percent(7):.1f} %",
    )
    yield need.figure(
        "harmonics.thdi_without_reactor" if fitted else "harmonics.thdi_with_reactor",
        "The same without the line reactor" if fitted else f"The same with a {_OFFERED:g} % line reactor",
        lambda: spectrum(0.0 if fitted else _OFFERED).thd_percent,
        "%",
        _SPECTRUM,
    )


def words_of(spectrum: harmonics.InputSpectrum) -> str:
    """Write the orders up to the 25th as '5th 35.1, 7th 11.8, ...'."""
    shown = [h for h in harmonics.ORDERS if h <= 25]
    return ", ".join(f"{h}{'rd' if h == 23 else 'th'} {spectrum.percent(h):.1f}" for h in shown)


def _emission(context: Context, choke: float) -> Iterator[Figure | Finding]:
    need = context.needs()
    current, voltage = need.of("model", "input_current", "A"), need.of("supply", "voltage", "V")
    fault = need.figure_of("short_circuit.available")
    reactance = need.figure_of("harmonics.reactance")
    if not 16 < current <= 75:
        words = "16 A and below: IEC 61000-3-2" if current <= 16 else "above 75 A: agreed with the operator"
        yield need.figure(
            "harmonics.emission", "Emission by IEC 61000-3-12", lambda: "does not apply", "", _EMISSION, note=words
        )
        return

    def limits() -> harmonic_limits.EmissionLimits:
        ratio = harmonic_limits.short_circuit_ratio(
            1000 * fault_power_mva(1000 * fault, voltage), apparent_power_kva(current, voltage)
        )
        return harmonic_limits.emission_limits(ratio, with_choke=choke >= 3)

    def shares() -> tuple[dict[int, float], float, float]:
        """Harmonics, THC and PWHC in percent of the rms reference current."""
        found = harmonics.six_pulse_spectrum(max(reactance, harmonics.MIN_REACTANCE))
        scale = harmonics.fundamental_of_rms(1.0, found.thd_percent)
        each = {h: p * scale for h, p in zip(harmonics.ORDERS, found.percents, strict=True) if h <= 40}
        return each, harmonics.root_sum(list(each.values())), harmonic_limits.weighted_percent(each)

    def fits(_: object) -> bool:
        bound = limits()
        each, thc, pwhc = shares()
        return thc <= bound.thc and pwhc <= bound.pwhc and all(each[h] <= bound.individual[h] for h in bound.individual)

    def compared() -> str:
        bound = limits()
        _, thc, pwhc = shares()
        return f"THC {display(thc)} % (limit {bound.thc:g}), PWHC {display(pwhc)} % (limit {bound.pwhc:g})"

    figure = need.figure(
        "harmonics.emission",
        "Emission by IEC 61000-3-12",
        compared,
        "",
        _EMISSION,
        limit="limits of the next lower short-circuit ratio; 5th, 7th, 11th and 13th as well",
        within=fits,
        note="for the public low-voltage network; behind an own medium-voltage transformer the standard does not apply",
    )
    yield figure
    if figure.verdict == "outside":
        yield context.finding(
            "E240",
            Grade.NOTE,
            ("drive", "line_reactor"),
            found=f"{figure.value}",
            accepted="within the limits, where the drive hangs on the public network",
            remedy="fit a line reactor of 3 to 5 %, or agree the emission with the network operator",
        )
