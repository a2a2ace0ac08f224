"""Line circuit of a drive by IEC 60364 and IEC 60204-1: conductor, device, protective conductor."""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import dataclass, replace

from binder.engineering import conductors_iec, leakage, protection_iec
from binder.engineering.conductors import split_size
from binder.engineering.figure import Figure, Rule, display
from binder.engineering.tables import OutsideTableError
from binder.inventory.findings import Finding, Grade
from binder.sizing.context import Context, Needs, at_least
from binder.sizing.runs import insulation_c, size_of
from binder.sizing.words import amperes, joined

_TABLES = "IEC 60364-5-52:2009, Annex B (Tables B.52.4 to B.52.17)"
_SIZE = Rule(
    "smallest cross-section whose Iz reaches In (Ib where no device is given)", f"IEC 60364-4-43:2008, 433.1; {_TABLES}"
)
_CAPACITY = Rule("Iz = table value × ambient factor × grouping factor", _TABLES)
_DEVICE = Rule(
    "Ib <= In <= Iz and I2 <= 1.45 Iz, and not above the drive manual's largest device", "IEC 60364-4-43:2008, 433.1"
)
_DISCONNECT = Rule("not less than the rated input current", "IEC 60204-1:2016, 5.3; IEC 60947-3")
_EARTH = Rule(
    "line size to 16 mm², 16 to 35 mm², above that half of it",
    "IEC 60364-5-54:2011, Table 54.2; IEC 60204-1:2016, Table 1",
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


@dataclass(frozen=True, slots=True)
class _Place:
    """What the capacity of the line cable depends on besides its size."""

    insulation: str
    method: str
    material: str
    ambient_c: float
    circuits: int
    sets: int
    assumed: str

    def capacity(self, mm2: float) -> conductors_iec.Capacity:
        if self.material != "copper":
            raise OutsideTableError("iec_60364_5_52_ampacity", f"{self.material} (copper only)")
        return conductors_iec.capacity(
            mm2,
            self.method,
            insulation_c=insulation_c(self.insulation),
            ambient_c=self.ambient_c,
            circuits=self.circuits,
            sets=self.sets,
        )

    def smallest(self, required_a: float) -> float:
        return conductors_iec.smallest_size_mm2(
            required_a,
            self.method,
            insulation_c=insulation_c(self.insulation),
            ambient_c=self.ambient_c,
            circuits=self.circuits,
        )


def mm2_of(label: str) -> float:
    """Return the cross-section of a metric size label.

    Raises
    ------
    OutsideTableError
        The label is an AWG or kcmil size: the IEC tables hold none.
    """
    number, unit = split_size(label)
    if unit != "mm²":
        raise OutsideTableError("IEC 60364-5-52", f"size {label}")
    return float(number)


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
    """Yield conductor, protection, disconnect and protective conductor by IEC."""
    yield from _conductor(context)
    yield from _protection(context)
    yield from _disconnect(context)
    yield from _earth(context)
    yield _withstand(context)


def _place(need: Needs) -> _Place:
    cable = need.context.line_cable
    assumed = []
    insulation, method = need.word("line_cable", "insulation"), need.word("line_cable", "method")
    material = need.word("line_cable", "material")
    ambient, circuits = 30.0, 1
    if cable is not None and cable.ambient is not None:
        ambient = need.of("line_cable", "ambient", "°C")
    else:
        assumed.append("no cable ambient given: 30 °C of the table")
    if cable is not None and cable.grouped_circuits:
        circuits = int(need.of("line_cable", "grouped_circuits"))
    else:
        assumed.append("grouped circuits not given: this circuit alone")
    return _Place(
        insulation, method, material, ambient, circuits, (cable.sets if cable else None) or 1, "; ".join(assumed)
    )


def _conductor(context: Context) -> Iterator[Figure | Finding]:
    need = context.needs()
    required, wanted = _required(need)
    place = _place(need)
    yield need.figure(
        "line.conductor",
        "Smallest line conductor",
        lambda: f"{place.smallest(required):g} mm²",
        "",
        _SIZE,
        note=joined(wanted, place.assumed),
    )
    fitted = size_of(need, "line_cable", "size")
    found: list[str] = []

    def allowed() -> float:
        mm2 = mm2_of(fitted)
        capacity = place.capacity(mm2)
        found.append(capacity.words())
        found.append(_on_machine(mm2, place))
        return capacity.allowed_a

    figure = need.figure(
        "line.conductor_capacity",
        "Capacity Iz of the fitted line conductor",
        allowed,
        "A",
        _CAPACITY,
        limit=at_least(required, "A"),
        within=lambda iz: iz >= required - 1e-9,
        note="",
    )
    yield replace(figure, note=f"{fitted}: {joined(*found, place.assumed)}") if found else figure
    if figure.verdict == "outside":
        yield context.finding(
            "E210",
            Grade.STOP,
            ("line_cable", "size"),
            found=f"{fitted} carries {figure.text()} at {place.ambient_c:g} °C, "
            f"{display(required)} A needed ({wanted})",
            accepted=f"Iz of {display(required)} A or more",
            remedy=_larger(place, required),
        )


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


def _on_machine(mm2: float, place: _Place) -> str:
    try:
        on_machine = conductors_iec.machine_capacity_a(mm2, place.method)
    except OutsideTableError:
        return ""
    return f"on a machine at 40 °C: {on_machine:g} A (IEC 60204-1 Table 6, PVC)"


def _larger(place: _Place, required: float) -> str:
    try:
        return f"fit {place.smallest(required):g} mm² {place.material} or larger"
    except OutsideTableError:
        return "fit cables in parallel"


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


def _disconnect(context: Context) -> Iterator[Figure | Finding]:
    need = context.needs()
    current = need.of("model", "input_current", "A")
    rating = amperes(context.drive.disconnect_rating)
    if rating is not None:
        need.of("drive", "disconnect_rating", "A")
    figure = need.figure(
        "line.disconnect",
        "Smallest disconnect in the line",
        lambda: current,
        "A",
        _DISCONNECT,
        limit=f"fitted {rating:g} A" if rating is not None else "",
        within=(lambda least: rating >= least) if rating is not None else None,
        note="utilisation category and breaking of the motor's locked-rotor current are not judged",
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
    phase = size_of(need, "line_cable", "size")
    milliamps = context.model.leakage_current.to("mA") if context.model and context.model.leakage_current else None
    if milliamps is not None:
        need.of("model", "leakage_current", "mA")

    def least() -> str:
        by_table = protection_iec.earth_mm2(mm2_of(phase))
        asked = leakage.protective_conductor(milliamps).least_copper_mm2 if milliamps is not None else None
        return f"{max(by_table, asked or 0):g} mm²"

    fitted = context.line_cable.earth_size if context.line_cable is not None else None
    if milliamps is None:
        asked_for = "leakage not in the workbook: its 10 mm² rule is not judged"
    else:
        asked_for = f"leakage {milliamps:g} mA: {leakage.protective_conductor(milliamps).words}"
    figure = need.figure(
        "line.earth",
        "Smallest protective conductor of the line",
        least,
        "",
        _EARTH,
        limit=f"fitted {fitted.label}" if fitted is not None else "",
        within=(lambda label: fitted.area_mm2 >= 0.99 * mm2_of(label)) if fitted is not None else None,
        note=f"same metal as the line; {asked_for}",
    )
    yield figure
    if figure.verdict == "outside" and fitted is not None:
        yield context.finding(
            "E215",
            Grade.STOP,
            ("line_cable", "earth_size"),
            found=f"protective conductor {fitted.label}, {figure.text()} needed",
            accepted=f"{figure.text()} or larger, or a second conductor of the line's size where leakage asks for it",
            remedy=f"fit {figure.text()}",
        )


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
