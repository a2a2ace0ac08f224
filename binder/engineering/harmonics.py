"""Input current of a six-pulse diode rectifier with a stiff DC link: spectrum by reactance in the circuit.

Method. Three equal reactances X stand between a balanced sinusoidal supply and an ideal diode bridge
that feeds a constant DC voltage E (large link capacitor, no DC choke). Over one sixth of a period the
bridge has two or three diodes conducting, and in each state the currents are integrals of sine waves
less a constant, so the whole period is known in closed form once E is chosen:

- two diodes (upper a, lower b):  2 X di/dθ = v_ab - E
- three diodes (upper a, lower b and c):  X di_a/dθ = v_a - 2E/3,  X di_b/dθ = v_b + E/3
- diode c starts when v_c = -E/3 while current flows, else when v_ac = E

With growing reactance the current goes from separate pulses through overlapping pulses to continuous.
E then fixes both the reactance in percent and every harmonic; the curve over E is computed once and read
between its points (linear over the logarithm of the reactance). Circuit and approach are those of
N. Mohan, T. Undeland, W. Robbins, Power Electronics, 3rd ed. 2003, section 5-6, and of M. Sakui and
H. Fujita, IEEE Trans. Power Electronics 9(6), 1994 (both from memory, check); the tests integrate the
same circuit numerically, step by step, as a second opinion.
"""

from __future__ import annotations

import cmath
import math
from bisect import bisect_right
from collections.abc import Callable
from dataclasses import dataclass
from functools import cache

from binder.engineering.ranges import between, not_negative, positive

#: Orders 6k ± 1 up to the 50th, the last that IEEE 519 counts.
ORDERS = (5, 7, 11, 13, 17, 19, 23, 25, 29, 31, 35, 37, 41, 43, 47, 49)
#: Reactance range that the curve covers. [%]
MIN_REACTANCE, MAX_REACTANCE = 0.05, 20.0

_SECTOR = math.pi / 3
_A = cmath.exp(2j * math.pi / 3)
#: Phase angles of v_a, v_b, v_c that make v_ab = sin θ, each with amplitude 1 / sqrt 3.
_LAG = (math.pi / 6, 5 * math.pi / 6, -math.pi / 2)
_STEPS = 24  # Simpson intervals a piece; the tests show it is enough for the 49th order
#: E over the peak line voltage at the curve's points, from separate pulses to continuous current.
_CURVE_POINTS = (
    *(0.990 - 0.001 * k for k in range(40)),
    *(0.950 - 0.00025 * k for k in range(40)),
    *(0.940 - 0.002 * k for k in range(48)),
)


@dataclass(frozen=True, slots=True)
class InputSpectrum:
    """Input current of the rectifier at one reactance, in percent of its fundamental.

    Parameters
    ----------
    reactance_percent : float
        Reactance times fundamental current over phase voltage. [%]
    thd_percent : float
        Root sum of squares of `percents`. [%]
    percents : tuple of float
        One for each of `ORDERS`. [%]
    displacement_factor : float
        Cosine of the angle between fundamental current and voltage.
    link_ratio : float
        DC link over line-to-line rms voltage.
    """

    reactance_percent: float
    thd_percent: float
    percents: tuple[float, ...]
    displacement_factor: float
    link_ratio: float

    def percent(self, order: int) -> float:
        """Return one harmonic in percent of the fundamental; 0 for orders that do not occur."""
        return self.percents[ORDERS.index(order)] if order in ORDERS else 0.0


@dataclass(frozen=True, slots=True)
class _Piece:
    """One conduction state within the sector: start, end, and the current space vector in it."""

    start: float
    end: float
    vector: Callable[[float], complex]


def _falling_zero(function: Callable[[float], float], low: float, high: float) -> float:
    """Bisect for the zero of a function that is above zero at `low` and below at `high`."""
    for _ in range(52):
        middle = (low + high) / 2
        if function(middle) > 0:
            low = middle
        else:
            high = middle
    return low


def _volt_seconds(phase: int, start: float, end: float) -> float:
    """Integral of a phase voltage."""
    return (math.cos(start - _LAG[phase]) - math.cos(end - _LAG[phase])) / math.sqrt(3)


def _two_diodes(e: float, start: float, end: float, current: float, *, lower: int) -> _Piece:
    """Return the state with upper diode a and one lower diode (1 = b, 2 = c), from a given current."""
    shift = 0.0 if lower == 1 else _SECTOR
    turn = (2 / 3) * (1 - _A**lower)

    def vector(t: float) -> complex:
        return turn * (current + 0.5 * (math.cos(start - shift) - math.cos(t - shift) - e * (t - start)))

    return _Piece(start, end, vector)


def _three_diodes(e: float, start: float, end: float, current: float) -> _Piece:
    """Return the state with upper diode a while the lower current passes from b to c."""

    def vector(t: float) -> complex:
        i_a = current + _volt_seconds(0, start, t) - 2 * e / 3 * (t - start)
        i_b = -current + _volt_seconds(1, start, t) + e / 3 * (t - start)
        return (2 / 3) * (i_a + _A * i_b - _A * _A * (i_a + i_b))

    return _Piece(start, end, vector)


def _pulses(e: float) -> tuple[_Piece, ...] | None:
    """Pieces of a sector while the current still returns to zero; None when it no longer does."""
    begin, handover = math.asin(e), math.acos(-e / math.sqrt(3))

    def rising(t: float) -> float:
        return 0.5 * (math.cos(begin) - math.cos(t) - e * (t - begin))

    if rising(handover) <= 0:  # separate pulses
        return (_two_diodes(e, begin, _falling_zero(rising, math.pi - begin, handover), 0.0, lower=1),)
    at_handover = rising(handover)
    passed = _falling_zero(
        lambda t: at_handover - _volt_seconds(1, handover, t) - e / 3 * (t - handover), handover, handover + _SECTOR
    )
    left = at_handover + _volt_seconds(0, handover, passed) - 2 * e / 3 * (passed - handover)
    restart = begin + _SECTOR

    def tail(t: float) -> float:
        return left + 0.5 * (math.cos(passed - _SECTOR) - math.cos(t - _SECTOR) - e * (t - passed))

    if passed >= restart or tail(restart) > 0:
        return None
    return (
        _two_diodes(e, begin, handover, 0.0, lower=1),
        _three_diodes(e, handover, passed, at_handover),
        _two_diodes(e, passed, _falling_zero(tail, passed, restart), left, lower=2),
    )


def _continuous(e: float) -> tuple[_Piece, ...]:
    """Pieces of a sector in continuous conduction, overlap angle found from periodicity."""
    handover = math.acos(-e / math.sqrt(3))

    def gain(overlap: float) -> float:
        start = handover - _SECTOR + overlap
        two = 0.5 * (math.cos(start) - math.cos(handover) - e * (handover - start))
        return two + _volt_seconds(0, handover, handover + overlap) - 2 * e / 3 * overlap

    sign = 1.0 if gain(0.0) > 0 else -1.0
    overlap = _falling_zero(lambda m: sign * gain(m), 0.0, _SECTOR)
    passed = _volt_seconds(1, handover, handover + overlap) + e / 3 * overlap
    start = handover - _SECTOR + overlap
    first = passed - 0.5 * (math.cos(start) - math.cos(handover) - e * (handover - start))
    return (
        _two_diodes(e, start, handover, first, lower=1),
        _three_diodes(e, handover, handover + overlap, passed),
    )


def _at_link_voltage(e: float) -> InputSpectrum:
    """Spectrum at one DC voltage, `e` being E over the peak line voltage.

    The space vector repeats every sixth of a period turned by 60°, so one sector gives the complex
    Fourier coefficients: order 6k+1 turns forward, 6k-1 backward.
    """
    points: list[tuple[float, complex]] = []
    for piece in _pulses(e) or _continuous(e):
        step = (piece.end - piece.start) / _STEPS
        for k in range(_STEPS + 1):
            weight = (1 if k in (0, _STEPS) else 4 if k % 2 else 2) * step / 3
            angle = piece.start + k * step
            points.append((angle, weight * piece.vector(angle)))

    def coefficient(order: int) -> complex:
        turn = -1j * (order if order % 6 == 1 else -order)
        terms = [value * cmath.exp(turn * angle) for angle, value in points]
        return complex(math.fsum(t.real for t in terms), math.fsum(t.imag for t in terms)) * 3 / math.pi

    fundamental = coefficient(1)
    percents = tuple(100 * abs(coefficient(h)) / abs(fundamental) for h in ORDERS)
    voltage_angle = -_LAG[0] - math.pi / 2
    return InputSpectrum(
        # with X and the peak line voltage as units, x = sqrt(6) times the rms fundamental
        reactance_percent=100 * math.sqrt(6) * abs(fundamental) / math.sqrt(2),
        thd_percent=math.sqrt(math.fsum(p * p for p in percents)),
        percents=percents,
        displacement_factor=math.cos(cmath.phase(fundamental) - voltage_angle),
        link_ratio=e * math.sqrt(2),
    )


@cache
def _curve() -> tuple[InputSpectrum, ...]:
    """Return the curve's points by rising reactance."""
    return tuple(sorted((_at_link_voltage(e) for e in _CURVE_POINTS), key=lambda s: s.reactance_percent))


@cache
def _curve_reactances() -> tuple[float, ...]:
    return tuple(s.reactance_percent for s in _curve())


def six_pulse_spectrum(reactance_percent: float) -> InputSpectrum:
    """Return the input spectrum of a six-pulse drive at a reactance in its circuit.

    Parameters
    ----------
    reactance_percent : float
        Source, line reactor and built-in choke together, on the drive's fundamental current,
        0.05 to 20. [%]

    Returns
    -------
    InputSpectrum

    Raises
    ------
    OutOfRangeError
        Outside 0.05 to 20 %.

    Notes
    -----
    Balanced sinusoidal supply, stiff link. A drive with a slim (film) link capacitor, an active front
    end, twelve pulses or a single-phase input does not follow this curve.

    Examples
    --------
    >>> [round(six_pulse_spectrum(x).thd_percent) for x in (0.5, 1.0, 3.0, 5.0)]
    [93, 76, 41, 33]

    References
    ----------
    See the head of this module.
    """
    between(MIN_REACTANCE, MAX_REACTANCE, reactance_percent=reactance_percent)
    curve, at = _curve(), _curve_reactances()
    upper = min(max(bisect_right(at, reactance_percent), 1), len(curve) - 1)
    low, high = curve[upper - 1], curve[upper]
    span = math.log(high.reactance_percent / low.reactance_percent)
    share = math.log(reactance_percent / low.reactance_percent) / span

    def mix(a: float, b: float) -> float:
        return a + share * (b - a)

    percents = tuple(mix(a, b) for a, b in zip(low.percents, high.percents, strict=True))
    return InputSpectrum(
        reactance_percent=reactance_percent,
        thd_percent=math.sqrt(math.fsum(p * p for p in percents)),
        percents=percents,
        displacement_factor=mix(low.displacement_factor, high.displacement_factor),
        link_ratio=mix(low.link_ratio, high.link_ratio),
    )


def ideal_percent(order: int) -> float:
    """Return a harmonic of the ideal block-shaped current (endless DC choke, no line reactance).

    Parameters
    ----------
    order : int
        6k ± 1.

    Returns
    -------
    float
        100 / order. [% of fundamental]

    Examples
    --------
    >>> ideal_percent(5)
    20.0

    References
    ----------
    Circuit theory.
    """
    positive(order=order)
    return 100.0 / order if order % 6 in (1, 5) else 0.0


def source_reactance_percent(current_a: float, fault_a: float) -> float:
    """Return the reactance of the supply on a drive's own current.

    Parameters
    ----------
    current_a, fault_a : float
        Current of the drive and available fault current at its terminals, above 0. [A]

    Returns
    -------
    float
        100 I / Isc, all of it taken as reactance. [%]

    Examples
    --------
    >>> source_reactance_percent(40.0, 8000.0)
    0.5

    References
    ----------
    Circuit theory.
    """
    positive(current_a=current_a, fault_a=fault_a)
    return 100 * current_a / fault_a


def fundamental_of_rms(rms: float, thd_percent: float) -> float:
    """Return the rms fundamental of a distorted current or voltage.

    Parameters
    ----------
    rms : float
        Whole rms value, at or above 0; any unit.
    thd_percent : float
        Distortion in percent of the fundamental, at or above 0. [%]

    Returns
    -------
    float
        Rms of the fundamental, in the unit of `rms`.

    Examples
    --------
    >>> round(fundamental_of_rms(240.0, 100 * (0.3**2 + 0.1**2) ** 0.5), 2)
    228.83

    References
    ----------
    Circuit theory: rms² = fundamental² (1 + THD²).
    """
    not_negative(rms=rms, thd_percent=thd_percent)
    return rms / math.sqrt(1 + (thd_percent / 100) ** 2)


def reactor_drop_per_phase_v(voltage_v: float, reactor_percent: float) -> float:
    """Return the voltage across one phase of a reactor at rated current.

    Parameters
    ----------
    voltage_v : float
        Line-to-line. [V]
    reactor_percent : float
        Reactance at rated current. [%]

    Returns
    -------
    float
        [V]

    Examples
    --------
    >>> round(reactor_drop_per_phase_v(25000.0, 5.0), 1)
    721.7

    References
    ----------
    Circuit theory: x U / sqrt(3).
    """
    return reactor_percent / 100 * voltage_v / math.sqrt(3)


def voltage_distortion_percent(currents_a: dict[int, float], fault_a: float) -> dict[int, float]:
    """Return the voltage harmonics that harmonic currents make in a supply's reactance.

    Parameters
    ----------
    currents_a : dict of int to float
        Order -> harmonic current drawn. [A]
    fault_a : float
        Fault current at the same point, above 0. [A]

    Returns
    -------
    dict of int to float
        Order -> 100 h I_h / Isc. [% of the fundamental voltage]

    Notes
    -----
    Reactance grows with order, resistance and capacitors left out: with capacitors the figure can be
    far higher at their resonance.

    Examples
    --------
    >>> voltage_distortion_percent({5: 40.0}, 10000.0)
    {5: 2.0}

    References
    ----------
    Circuit theory; IEEE 519-2022 informative text, from memory, check.
    """
    positive(fault_a=fault_a)
    return {order: 100 * order * current / fault_a for order, current in sorted(currents_a.items())}


def root_sum(values: list[float]) -> float:
    """Return the root of the sum of squares.

    Parameters
    ----------
    values : list of float
        In one unit.

    Returns
    -------
    float
        In the same unit.

    Examples
    --------
    >>> root_sum([3.0, 4.0])
    5.0
    """
    return math.sqrt(math.fsum(v * v for v in values))


def resonance_order(fault_kva: float, capacitors_kvar: float) -> float:
    """Return the order at which capacitors resonate with the supply.

    Parameters
    ----------
    fault_kva, capacitors_kvar : float
        Fault power at the bus and capacitor rating, above 0. [kVA], [kvar]

    Returns
    -------
    float
        sqrt(S_sc / Q).

    Examples
    --------
    >>> resonance_order(20000.0, 400.0) == 50**0.5
    True

    References
    ----------
    Circuit theory; common practice keeps it more than 0.3 of an order away from 5, 7, 11 and 13.
    """
    positive(fault_kva=fault_kva, capacitors_kvar=capacitors_kvar)
    return math.sqrt(fault_kva / capacitors_kvar)
