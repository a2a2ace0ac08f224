"""Power circuit of a drive by the NEC: what its conductors must carry, protective device, disconnect."""

from __future__ import annotations

from collections.abc import Iterator

from binder.engineering import conductors, protection
from binder.engineering.figure import Figure, Rule, display
from binder.engineering.tables import OutsideTableError
from binder.inventory.findings import Finding, Grade
from binder.sizing import wires_nec
from binder.sizing.context import Context, Needs
from binder.sizing.disconnect import disconnect
from binder.sizing.wire import LINE, MOTOR
from binder.sizing.words import amperes, joined

#: Word of the workbook -> device of Table 430.52(C)(1).
_DEVICES = {
    "time-delay fuse": "dual-element time-delay fuse",
    "non-time-delay fuse": "nontime-delay fuse",
    "inverse time breaker": "inverse-time breaker",
    "circuit breaker": "inverse-time breaker",
    "instantaneous trip breaker": "instantaneous-trip breaker",
}
_REQUIRED = Rule(
    "125 % of the drive's rated input current; with a bypass the larger of that and 125 % of the motor's table current",
    "NFPA 70 (NEC) 2023, 430.122(A) and (C)",
)
_REQUIRED_MOTOR = Rule("125 % of the motor's full-load current", "NFPA 70 (NEC) 2023, 430.122(B) with 430.6(A)")
_DEVICE = Rule(
    "percentage of the motor's full-load current, next standard rating up, not above the drive manual's largest device",
    "NFPA 70 (NEC) 2023, 430.130(A), 430.52(C)(1) and its table, 240.6(A)",
)


def full_load_current(need: Needs) -> tuple[float, str]:
    """Return the motor current that 430.6 asks for, and where it comes from."""
    power, voltage = need.of("motor", "power", "hp"), need.of("motor", "voltage", "V")
    plate = need.of("motor", "current", "A")
    supply = need.context.supply
    phases = 1 if supply is not None and supply.phases == 1 and need.context.drive.bypass not in ("", "none") else 3
    try:
        found = protection.table_full_load_current_a(power, voltage, phases=phases)
    except (OutsideTableError, ValueError):
        return plate, "plate current taken: no row for this rating in Table 430.250"
    return found, f"table current {found:g} A (430.6(A)(1)), not the plate's"


def figures(context: Context) -> Iterator[Figure | Finding]:
    """Yield conductor, protection, disconnect and earth conductor of the line by the NEC."""
    yield _required(context)
    yield from wires_nec.conductor(context, LINE)
    yield from _protection(context)
    bypass = "with a bypass 430.110 (115 % of the motor's table current) counts as well: not implemented"
    yield from disconnect(
        context,
        protection.smallest_disconnect_a,
        Rule("115 % of the drive's rated input current", "NFPA 70 (NEC) 2023, 430.128"),
        note=bypass if _bypassed(context) else "",
    )
    yield from wires_nec.earth(context, LINE)


def motor_cable_figures(context: Context) -> Iterator[Figure | Finding]:
    """Yield conductor and earth conductor between drive and motor by the NEC."""
    need = context.needs()
    current, source = full_load_current(need)
    yield need.figure(
        "cable.required_ampacity",
        "Ampacity the motor cable must have",
        lambda: conductors.required_ampacity_a(current),
        "A",
        _REQUIRED_MOTOR,
        note=f"{source}; a drive marked as protecting its output conductors may ask for less: not judged",
    )
    yield from wires_nec.conductor(context, MOTOR)
    yield from wires_nec.earth(context, MOTOR)


def _bypassed(context: Context) -> bool:
    return context.drive.bypass not in ("", "none")


def _required(context: Context) -> Figure:
    need = context.needs()
    current = need.of("model", "input_current", "A")
    note, motor_a = "rated input current, not the motor's", 0.0
    if _bypassed(context):
        motor_a, source = full_load_current(need)
        note = f"bypass fitted: {source}; the larger counts"
    return need.figure(
        "line.required_ampacity",
        "Ampacity the line conductors must have",
        lambda: conductors.required_ampacity_a(current, bypass_motor_a=motor_a),
        "A",
        _REQUIRED,
        note=note,
    )


def _protection(context: Context) -> Iterator[Figure | Finding]:
    need = context.needs()
    kind = need.word("drive", "protection_kind")
    largest = context.model.max_protection if context.model is not None else None
    manual = need.of("model", "max_protection", "A") if largest is not None else None
    if kind == "semiconductor fuse":
        note = "430.52(C)(5): semiconductor fuses by the drive's manual alone"
        manual = need.of("model", "max_protection", "A") if manual is None else manual
        full_load = 0.0
    else:
        full_load, source = full_load_current(need)
        note = joined(
            source,
            "next standard rating up (430.52(C)(1)(a))",
            "the larger values for a motor that will not start are not taken",
        )
        if manual is None:
            note += "; manual's largest device not in the workbook: not judged"

    def allowed() -> float:
        if kind == "semiconductor fuse":
            assert manual is not None
            return manual
        by_code = protection.largest_device(full_load, _DEVICES.get(kind, kind)).allowed_a
        return by_code if manual is None else min(by_code, manual)

    rating = amperes(context.drive.protection_rating)
    if rating is not None:
        need.of("drive", "protection_rating", "A")
    size = context.line_cable.size if context.line_cable is not None else None
    limit = protection.small_conductor_limit_a(size.label) if size is not None else None
    if limit is not None:
        note += f"; 240.4(D) limit of {limit:g} A not applied: motor circuit with overload protection (240.4(G))"
    figure = need.figure(
        "line.protection",
        f"Largest {kind or 'protective device'} in the line",
        allowed,
        "A",
        _DEVICE,
        limit=f"fitted {rating:g} A" if rating is not None else "",
        within=(lambda most: rating <= most) if rating is not None else None,
        note=note,
    )
    yield figure
    if figure.verdict == "outside":
        yield context.finding(
            "E212",
            Grade.STOP,
            ("drive", "protection_rating"),
            found=f"{kind} of {rating:g} A, {figure.text()} is the largest allowed",
            accepted=f"{figure.text()} or less",
            remedy=f"fit a {kind} of {figure.text()} or less",
        )
    current = context.number("line.current")
    if rating is not None and current is not None and rating < current:
        yield context.finding(
            "E213",
            Grade.CAUTION,
            ("drive", "protection_rating"),
            found=f"{kind or 'protection'} of {rating:g} A for a rated input current of {display(current)} A",
            accepted=f"{display(current)} A or more",
            remedy="fit the rating that the manual names for this model",
        )
