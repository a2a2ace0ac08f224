"""Curves beside the calculations: volts per hertz, pump and fan over flow, harmonics with and without reactors.

Titles name no drive and pumps are drawn in percent, so that like drives share one picture: it is drawn once.
"""

from __future__ import annotations

from collections.abc import Iterator

from docutils import nodes

from binder.documents import plots
from binder.documents.blocks import paragraph, plot, section
from binder.engineering import harmonics, pumps_and_fans, volts_per_hertz
from binder.engineering.ranges import OutOfRangeError
from binder.inventory.lookup import natural
from binder.sizing.site_harmonics import summed
from binder.study import DriveStudy, SiteStudy

_STEPS = 20
#: Reactor that the comparison is made with. [%]
_REACTOR = 3.0
#: Highest order drawn; those above are small and stand in the figures.
_TOP_ORDER = 25

_VOLTS_NOTE = (
    "Constant flux below the plate's frequency, level above it (textbook); boost, slip compensation and a quadratic "
    "curve are not drawn."
)
_FLOW_NOTE = (
    "Affinity laws on a parabolic pump curve with shut-off head 1.25; throttled: 0.5 + 0.5 q (both common practice, no "
    "source). The pump's own curve decides."
)
_SPEED_NOTE = "Affinity laws: flow with n, pressure with n², power with n³. Holds while the system stays as it is."
_SPECTRUM_NOTE = (
    "Every drive at its motor's rated power, harmonics added as numbers without cancelling (safe side of "
    "IEC TR 61000-3-6). Built-in chokes count in both cases."
)


def curves_section(study: DriveStudy) -> Iterator[nodes.Node]:
    """Yield the section of a drive's curves, or nothing when no curve can be drawn.

    Parameters
    ----------
    study : DriveStudy

    Yields
    ------
    section
    """
    body = [*_volts(study), *_machine(study)]
    if body:
        yield section("Curves", *body, id="curves")


def _volts(study: DriveStudy) -> Iterator[nodes.Node]:
    motor, supply, top = study.motor, study.supply, study.drive.max_frequency
    if motor is None or supply is None or not (motor.voltage and motor.frequency and supply.voltage and top):
        return
    try:
        corners = volts_per_hertz.curve(
            motor.voltage.to("V"), motor.frequency.to("Hz"), supply.voltage.to("V"), top.to("Hz")
        )
    except OutOfRangeError:
        return
    line = plots.Line("output of the drive", *plots.points(corners))
    shown = plots.Plot("Volts per hertz", "Output frequency in Hz", "Output voltage in V", (line,))
    yield plot(plots.svg(shown), shown.alt(), shown.title, id="plot-volts-per-hertz")
    yield paragraph(_VOLTS_NOTE)


def _machine(study: DriveStudy) -> Iterator[nodes.Node]:
    machine = study.machine
    if machine is None or machine.load_type != "quadratic":
        return
    if machine.static_head is None:
        shown, note = _by_speed(), _SPEED_NOTE
    else:
        shown, note = _by_flow(machine.static_head.to("%") / 100), _FLOW_NOTE
    yield plot(plots.svg(shown), shown.alt(), shown.title, id="plot-affinity")
    yield paragraph(note)


def _percent(shares: Iterator[float]) -> tuple[float, ...]:
    return tuple(100 * share for share in shares)


def _by_flow(static: float) -> plots.Plot:
    shares = plots.spread(0.0, 1.0, _STEPS)
    x = _percent(iter(shares))
    lines = (
        plots.Line("speed", x, _percent(pumps_and_fans.speed_for_flow(q, static) for q in shares)),
        plots.Line("power, speed-controlled", x,
                   _percent(pumps_and_fans.power_share_for_flow(q, static) for q in shares)),
        plots.Line("power, throttled", x, _percent(pumps_and_fans.throttled_power_share(q) for q in shares)),
        plots.Line("head of the system", x, _percent(pumps_and_fans.system_head_share(q, static) for q in shares)),
    )  # fmt: skip
    title = f"Pump over flow, static head {100 * static:g} %"
    return plots.Plot(title, "Flow in % of full flow", "% of the value at full flow", lines)


def _by_speed() -> plots.Plot:
    shares = plots.spread(0.0, 1.0, _STEPS)
    x = _percent(iter(shares))
    lines = (
        plots.Line("flow", x, _percent(pumps_and_fans.flow_at(1.0, n) for n in shares)),
        plots.Line("pressure", x, _percent(pumps_and_fans.head_at(1.0, n) for n in shares)),
        plots.Line("shaft power", x, _percent(pumps_and_fans.power_at(1.0, n) for n in shares)),
    )
    title = "Affinity laws, no static head given"
    return plots.Plot(title, "Speed in % of full speed", "% of the value at full speed", lines)


def harmonics_section(study: SiteStudy) -> Iterator[nodes.Node]:
    """Yield the section of harmonic currents at each supply, or nothing when none is computed.

    Parameters
    ----------
    study : SiteStudy

    Yields
    ------
    section
    """
    by_supply: dict[str, list[tuple[float, float, float]]] = {}
    for drive in study.drives:
        current, reactance = (drive.figures.number(f"harmonics.{k}") for k in ("fundamental", "reactance"))
        if drive.supply is not None and current is not None and reactance is not None:
            fitted = drive.drive.line_reactor.to("%") if drive.drive.line_reactor is not None else 0.0
            by_supply.setdefault(drive.supply.tag, []).append((current, reactance, fitted))
    body = [_spectrum(tag, by_supply[tag]) for tag in sorted(by_supply, key=natural)]
    if body:
        yield section(
            "Harmonic currents, with and without line reactors", *body, paragraph(_SPECTRUM_NOTE), id="spectrum"
        )


def _spectrum(tag: str, drives: list[tuple[float, float, float]]) -> nodes.Node:
    """Bars of one supply; each drive is (fundamental in A, reactance in %, line reactor in it)."""
    currents = [current for current, _, _ in drives]
    without = [reactance - fitted for _, reactance, fitted in drives]
    with_reactor = [reactance - fitted + max(fitted, _REACTOR) for _, reactance, fitted in drives]
    orders = [h for h in harmonics.ORDERS if h <= _TOP_ORDER]
    bars = []
    for name, reactances in (
        ("without line reactors", without),
        (f"line reactor of {_REACTOR:g} % or more ahead of every drive", with_reactor),
    ):
        try:
            total = summed(currents, reactances)
        except OutOfRangeError as error:
            return paragraph(f"Harmonic currents at {tag} are not drawn: {error}.")
        bars.append(plots.Bars(name, tuple(str(h) for h in orders), tuple(total[h] for h in orders)))
    shown = plots.Plot(f"Harmonic currents at {tag}", "Order", "Current in A", bars=tuple(bars))
    return plot(plots.svg(shown), shown.alt(), shown.title, id=f"plot-spectrum-{tag}")
