"""Power circuit of a drive by IEC 60364 and IEC 60204-1: what its conductors must carry, device, disconnect."""

from __future__ import annotations

import math
from collections.abc import Iterator

from binder.engineering import protection_iec
from binder.engineering.figure import Figure, Rule, display
from binder.engineering.tables import OutsideTableError
from binder.inventory.findings import Finding, Grade
from binder.sizing import wires_iec
from binder.sizing.context import Context, Needs
from binder.sizing.disconnect import disconnect
from binder.sizing.runs import insulation_c, size_of
from binder.sizing.wire import LINE, MOTOR
from binder.sizing.wires_iec import mm2_of
from binder.sizing.words import amperes, joined

_DEVICE = Rule(
    "Ib <= In <= Iz and I2 <= 1.45 Iz, and not above the drive manual's largest device", "IEC 60364-4-43:2008, 433.1"
)
_WITHSTAND = Rule("t = (k S / I)²", "IEC 60364-4-43:2008, 434.5.2; k from memory, check")

#: Word of the workbook -> device whose conventional current is known; others protect from short circuit only.
_DEVICES = {
    "circuit breaker": "miniature circuit-breaker",
    "inverse time breaker": "miniature circuit-breaker",
    "gG fuse": "gG fuse-link",
}
_LARGEST_MINIATURE_A = 125.0  # IEC 60898-1; above it IEC 60947-2 applies
#: IEC 60947-2: conventional tripping current of larger breakers; from memory, check.
_LARGE_BREAKER = 1.30
_OVERLOAD_BY_DRIVE = (
    "short-circuit protection only: overload protection of the cable rests on the drive's current limit, not judged"
)


def operating_factor(kind: str, rated_a: float) -> float:
    """Return I2 / In for a word of the workbook.

    Raises
    ------
    OutsideTableError
        The device gives no overload protection, or is not known.
    """
    device = _DEVICES.get(kind, kind)
    if device == "miniature circuit-breaker" and rated_a > _LARGEST_MINIATURE_A:
        return _LARGE_BREAKER
    return protection_iec.conventional_operating_factor(device, rated_a)


def figures(context: Context) -> Iterator[Figure | Finding]:
    """Yield conductor, protection, disconnect and protective conductor of the line by IEC."""
    need = context.needs()
    required, wanted = _required(need)
    yield from wires_iec.conductor(context, LINE, need, required, wanted)
    yield from _protection(context)
    yield from disconnect(
        context,
        lambda current: current,
        Rule("not less than the rated input current", "IEC 60204-1:2016, 5.3; IEC 60947-3"),
        note="utilisation category and breaking of the motor's locked-rotor current are not judged",
    )
    yield from wires_iec.earth(context, LINE)
    yield _withstand(context)


def motor_cable_figures(context: Context) -> Iterator[Figure | Finding]:
    """Yield conductor and protective conductor between drive and motor by IEC."""
    need = context.needs()
    plate = need.of("motor", "current", "A")
    wanted = "plate current; overload protection by the drive, harmonics of its output not counted"
    yield from wires_iec.conductor(context, MOTOR, need, plate, wanted)
    yield from wires_iec.earth(context, MOTOR)


def _required(need: Needs) -> tuple[float, str]:
    """Return the capacity that the line conductor must have, and which current asks for it."""
    drive = need.context.drive
    if amperes(drive.protection_rating) is None:
        return need.of("model", "input_current", "A"), "no device rating given: Ib, the rated input current"
    kind = drive.protection_kind
    if kind not in _DEVICES:
        words = _OVERLOAD_BY_DRIVE if kind else "kind of device not given"
        return need.of("model", "input_current", "A"), f"Ib, the rated input current; {words}"
    rating = need.of("drive", "protection_rating", "A")
    by_tripping = operating_factor(kind, rating) * rating / 1.45
    if by_tripping > rating:
        return by_tripping, f"I2 / 1.45 of the fitted {kind}"
    return rating, f"In of the fitted {kind}"


def _protection(context: Context) -> Iterator[Figure | Finding]:
    need = context.needs()
    kind = need.word("drive", "protection_kind")
    design = need.of("model", "input_current", "A")
    capacity = need.figure_of("line.conductor_capacity") if kind in _DEVICES else 0.0
    manual = need.of("model", "max_protection", "A") if context.model and context.model.max_protection else None
    rating = amperes(context.drive.protection_rating)
    if rating is not None:
        need.of("drive", "protection_rating", "A")

    def largest() -> float:
        if kind not in _DEVICES:
            if manual is None:
                raise OutsideTableError("drive manual", f"largest {kind}")
            return manual
        factor = operating_factor(kind, rating if rating is not None else design)
        by_cable = min(capacity, 1.45 * capacity / factor)
        return by_cable if manual is None else min(by_cable, manual)

    notes = ["" if manual is not None else "manual's largest device not in the workbook: not judged"]
    if kind not in _DEVICES:
        notes.append(_OVERLOAD_BY_DRIVE)
    elif rating is not None:
        factor = operating_factor(kind, rating)
        notes.append(f"I2 = {factor:g} In = {display(factor * rating)} A")
    figure = need.figure(
        "line.protection",
        f"Largest {kind or 'protective device'} in the line",
        largest,
        "A",
        _DEVICE,
        limit=f"fitted {rating:g} A, Ib {display(design)} A" if rating is not None and not math.isnan(design) else "",
        within=(lambda most: design <= rating <= most + 1e-9) if rating is not None else None,
        note=joined(*notes),
    )
    yield figure
    if figure.verdict == "outside" and rating is not None:
        low = rating < design
        yield context.finding(
            "E213" if low else "E212",
            Grade.CAUTION if low else Grade.STOP,
            ("drive", "protection_rating"),
            found=f"{kind} of {rating:g} A for Ib {display(design)} A; {figure.text()} is the largest allowed",
            accepted=f"{display(design)} A to {figure.text()}",
            remedy=_device_remedy(kind, design, float(figure.value or 0)),
        )


def _device_remedy(kind: str, design: float, most: float) -> str:
    try:
        fitting = protection_iec.next_standard_rating_a(design, _DEVICES.get(kind, kind))
    except OutsideTableError:
        fitting = design
    if fitting <= most:
        return f"fit a {kind} of {fitting:g} A"
    return f"fit a larger cable, then a {kind} of {fitting:g} A"


def _withstand(context: Context) -> Figure:
    need = context.needs()
    fitted = size_of(need, "line_cable", "size")
    insulation = need.word("line_cable", "insulation")
    fault = need.figure_of("short_circuit.panel")

    def seconds() -> float:
        k = protection_iec.heating_constant("line", insulation_c(insulation))
        return protection_iec.withstand_time_s(mm2_of(fitted), 1000 * fault, k)

    return need.figure(
        "short_circuit.withstand_time",
        "Time the line conductor bears the fault at the panel",
        seconds,
        "s",
        _WITHSTAND,
        note="the device must clear sooner; below 0.1 s compare its let-through I²t with k² S²",
    )
