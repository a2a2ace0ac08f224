"""Line circuit of a drive by the NEC: conductor, protective device, disconnect, earth conductor."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace

from binder.engineering import conductors, protection
from binder.engineering.conductors import MM2_PER_CMIL, circular_mils
from binder.engineering.figure import Figure, Rule, display
from binder.engineering.tables import OutsideTableError
from binder.inventory.findings import Finding, Grade
from binder.sizing.context import Context, Needs, at_least
from binder.sizing.runs import insulation_c, size_of
from binder.sizing.words import amperes, joined

#: Word of the workbook -> device of Table 430.52(C)(1).
_DEVICES = {
    "time-delay fuse": "dual-element time-delay fuse",
    "non-time-delay fuse": "nontime-delay fuse",
    "inverse time breaker": "inverse-time breaker",
    "circuit breaker": "inverse-time breaker",
    "instantaneous trip breaker": "instantaneous-trip breaker",
}
_AMPACITY = Rule(
    "smallest size whose ampacity, at its terminals and in its place, reaches 125 % of the rated input current",
    "NFPA 70 (NEC) 2023, 430.122, Table 310.16, 110.14(C), 310.15(B)(1) and (C)(1)",
)
_REQUIRED = Rule(
    "125 % of the drive's rated input current; with a bypass the larger of that and 125 % of the motor's table current",
    "NFPA 70 (NEC) 2023, 430.122(A) and (C)",
)
_CAPACITY = Rule(
    "lower of terminal column and insulation column × ambient × count factors",
    "NFPA 70 (NEC) 2023, Table 310.16, 110.14(C)(1), 310.15(B)(1) and (C)(1)",
)
_DEVICE = Rule(
    "percentage of the motor's full-load current, next standard rating up, not above the drive manual's largest device",
    "NFPA 70 (NEC) 2023, 430.130(A), 430.52(C)(1) and its table, 240.6(A)",
)
_DISCONNECT = Rule("115 % of the drive's rated input current", "NFPA 70 (NEC) 2023, 430.128")
_EARTH = Rule(
    "by the device's rating, enlarged with the phase conductors, never larger than them",
    "NFPA 70 (NEC) 2023, 250.122(A), (B) and its table",
)


@dataclass(frozen=True, slots=True)
class _Place:
    """Everything about the line cable that its ampacity depends on."""

    insulation: str
    material: str
    ambient_c: float
    current_carrying: int
    sets: int
    assumed: str

    def capacity(self, label: str, required_a: float) -> conductors.Capacity:
        return conductors.capacity(
            label,
            insulation_c=insulation_c(self.insulation),
            terminal_c=conductors.terminal_temperature_c(required_a),
            ambient_c=self.ambient_c,
            current_carrying=self.current_carrying,
            material=self.material,
            sets=self.sets,
        )

    def smallest(self, required_a: float) -> str:
        return conductors.smallest_size(
            required_a,
            insulation_c=insulation_c(self.insulation),
            terminal_c=conductors.terminal_temperature_c(required_a),
            ambient_c=self.ambient_c,
            current_carrying=self.current_carrying,
            material=self.material,
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
    """Yield conductor, protection, disconnect and earth conductor by the NEC."""
    yield from _conductor(context)
    yield from _protection(context)
    yield from _disconnect(context)
    yield from _earth(context)


def _bypassed(context: Context) -> bool:
    return context.drive.bypass not in ("", "none")


def _required(context: Context) -> tuple[Needs, float, str]:
    need = context.needs()
    current = need.of("model", "input_current", "A")
    note = "rated input current, not the motor's"
    motor_a = 0.0
    if _bypassed(context):
        motor_a, source = full_load_current(need)
        note = f"bypass fitted: {source}; the larger counts"
    return need, 1.25 * max(current, motor_a), note


def _place(need: Needs) -> _Place:
    cable = need.context.line_cable
    assumed = []
    insulation, material = need.word("line_cable", "insulation"), need.word("line_cable", "material")
    ambient = 30.0
    if cable is not None and cable.ambient is not None:
        ambient = need.of("line_cable", "ambient", "°C")
    else:
        assumed.append("no cable ambient given: 30 °C of the table")
    count = 3
    if cable is not None and cable.loaded_conductors:
        count = int(need.state("loaded conductors", cable.loaded_conductors, "", "line cable"))
    else:
        assumed.append("loaded conductors not given: this circuit alone")
    return _Place(insulation, material, ambient, count, (cable.sets if cable else None) or 1, "; ".join(assumed))


def _conductor(context: Context) -> Iterator[Figure | Finding]:
    need, required, note = _required(context)
    yield need.figure(
        "line.required_ampacity", "Ampacity the line conductors must have", lambda: required, "A", _REQUIRED, note=note
    )
    need = context.needs()
    required = need.figure_of("line.required_ampacity")
    place = _place(need)
    terminals = (
        "terminal marking not in the workbook: 60 °C column to 100 A, 75 °C above (110.14(C)(1)); "
        "the circuit's rating is taken as the required ampacity"
    )
    yield need.figure(
        "line.conductor",
        "Smallest line conductor",
        lambda: place.smallest(required),
        "",
        _AMPACITY,
        note=joined(terminals, place.assumed),
    )
    fitted = size_of(need, "line_cable", "size")
    capacity = need.figure(
        "line.conductor_capacity",
        "Ampacity of the fitted line conductor",
        lambda: place.capacity(fitted, required).allowed_a,
        "A",
        _CAPACITY,
        limit=at_least(required, "A"),
        within=lambda allowed: allowed >= required - 1e-9,
    )
    if capacity.value is not None:
        words = place.capacity(fitted, required).words()
        capacity = replace(capacity, note=joined(f"{fitted}: {words}", place.assumed))
    yield capacity
    if capacity.verdict == "outside":
        yield context.finding(
            "E210",
            Grade.STOP,
            ("line_cable", "size"),
            found=f"{fitted} carries {capacity.text()} at {place.ambient_c:g} °C, {display(required)} A needed",
            accepted=f"an ampacity of {display(required)} A or more",
            remedy=_larger(place, required),
        )


def _larger(place: _Place, required: float) -> str:
    try:
        return f"fit {place.smallest(required)} {place.material} or larger"
    except OutsideTableError:
        return "fit parallel sets, 1/0 AWG or larger"


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


def _disconnect(context: Context) -> Iterator[Figure | Finding]:
    need = context.needs()
    current = need.of("model", "input_current", "A")
    rating = amperes(context.drive.disconnect_rating)
    if rating is not None:
        need.of("drive", "disconnect_rating", "A")
    figure = need.figure(
        "line.disconnect",
        "Smallest disconnect in the line",
        lambda: protection.smallest_disconnect_a(current),
        "A",
        _DISCONNECT,
        limit=f"fitted {rating:g} A" if rating is not None else "",
        within=(lambda least: rating >= least - 1e-9) if rating is not None else None,
        note="with a bypass 430.110 (115 % of the motor's table current) counts as well: not implemented"
        if _bypassed(context)
        else "",
    )
    yield figure
    if figure.verdict == "outside":
        yield context.finding(
            "E214",
            Grade.STOP,
            ("drive", "disconnect_rating"),
            found=f"disconnect of {rating:g} A, {figure.text()} needed",
            accepted=f"{figure.text()} or more",
            remedy=f"fit a disconnect of {figure.text()} or more",
        )


def _earth(context: Context) -> Iterator[Figure | Finding]:
    need = context.needs()
    if amperes(context.drive.protection_rating) is not None:
        device, note = need.of("drive", "protection_rating", "A"), "by the fitted device"
    else:
        device, note = need.figure_of("line.protection"), "no device rating given: by the largest allowed"
    material = need.word("line_cable", "material")
    fitted_phase = size_of(need, "line_cable", "size")
    smallest = context.figures.get("line.conductor")
    smallest_size = smallest.value if smallest is not None and isinstance(smallest.value, str) else ""
    sets = (context.line_cable.sets if context.line_cable else None) or 1

    def least() -> str:
        table = protection.earth_size(device, material=material)
        if not smallest_size:
            return table
        area = protection.upsized_earth_cmil(
            table, smallest_phase=smallest_size, installed_phase=fitted_phase, sets=sets
        )
        return protection.size_of_area(area)

    cable = context.line_cable
    fitted = cable.earth_size if cable is not None else None
    note += (
        "; enlarged by 250.122(B) where the phase conductors are larger than needed"
        if smallest_size
        else ("; 250.122(B) not applied: smallest phase conductor not judged")
    )
    if fitted is None and cable is not None and "conduit" in cable.raceway and not cable.raceway.startswith("PVC"):
        note += "; no earth conductor given: whether the conduit serves (250.118) is not judged"
    figure = need.figure(
        "line.earth",
        "Smallest earth conductor of the line",
        least,
        "",
        _EARTH,
        limit=f"fitted {fitted.label}" if fitted is not None else "",
        within=(lambda label: fitted.area_mm2 >= 0.99 * circular_mils(label) * MM2_PER_CMIL)
        if fitted is not None
        else None,
        note=note,
    )
    yield figure
    if figure.verdict == "outside" and fitted is not None:
        yield context.finding(
            "E215",
            Grade.STOP,
            ("line_cable", "earth_size"),
            found=f"earth conductor {fitted.label}, {figure.text()} needed behind {device:g} A",
            accepted=f"{figure.text()} or larger",
            remedy=f"fit an earth conductor of {figure.text()}",
        )
