"""Conductors and earth conductors of a drive's two power cables by the NEC."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace

from binder.engineering import conductors, protection
from binder.engineering.conductors import MM2_PER_CMIL, circular_mils
from binder.engineering.figure import Figure, Rule, display
from binder.engineering.tables import OutsideTableError
from binder.inventory.findings import Finding, Grade
from binder.inventory.records import Cable
from binder.sizing.context import Context, Needs, at_least
from binder.sizing.runs import insulation_c, size_of
from binder.sizing.wire import Wire
from binder.sizing.words import amperes, joined

_AMPACITY = Rule(
    "smallest size whose ampacity, at its terminals and in its place, reaches the ampacity needed",
    "NFPA 70 (NEC) 2023, 430.122, Table 310.16, 110.14(C), 310.15(B)(1) and (C)(1)",
)
_CAPACITY = Rule(
    "lower of terminal column and insulation column × ambient × count factors",
    "NFPA 70 (NEC) 2023, Table 310.16, 110.14(C)(1), 310.15(B)(1) and (C)(1)",
)
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


def conductor(context: Context, wire: Wire) -> Iterator[Figure | Finding]:
    """Yield the smallest conductor of a cable and the ampacity of the fitted one."""
    need = context.needs()
    required = need.figure_of(f"{wire.topic}.required_ampacity")
    place = _place(need, wire)
    terminals = (
        "terminal marking not in the workbook: 60 °C column to 100 A, 75 °C above (110.14(C)(1)); "
        "the circuit's rating is taken as the required ampacity"
    )
    yield need.figure(
        f"{wire.topic}.conductor",
        f"Smallest conductor of the {wire.words}",
        lambda: place.smallest(required),
        "",
        _AMPACITY,
        note=joined(terminals, place.assumed),
    )
    fitted = size_of(need, wire.record, "size")
    capacity = need.figure(
        f"{wire.topic}.conductor_capacity",
        f"Ampacity of the fitted conductor, {wire.words}",
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
            wire.conductor_code,
            Grade.STOP,
            (wire.record, "size"),
            found=f"{fitted} carries {capacity.text()} at {place.ambient_c:g} °C, {display(required)} A needed",
            accepted=f"an ampacity of {display(required)} A or more",
            remedy=_larger(place, required),
        )


def _larger(place: _Place, required: float) -> str:
    try:
        return f"fit {place.smallest(required)} {place.material} or larger"
    except OutsideTableError:
        return "fit parallel sets, 1/0 AWG or larger"


def _place(need: Needs, wire: Wire) -> _Place:
    cable: Cable | None = getattr(need.context, wire.record)
    assumed = []
    insulation, material = need.word(wire.record, "insulation"), need.word(wire.record, "material")
    ambient = 30.0
    if cable is not None and cable.ambient is not None:
        ambient = need.of(wire.record, "ambient", "°C")
    else:
        assumed.append("no cable ambient given: 30 °C of the table")
    count = 3
    if cable is not None and cable.loaded_conductors:
        count = int(need.state("loaded conductors", cable.loaded_conductors, "", wire.words))
    else:
        assumed.append("loaded conductors not given: this circuit alone")
    return _Place(insulation, material, ambient, count, (cable.sets if cable else None) or 1, "; ".join(assumed))


def earth(context: Context, wire: Wire) -> Iterator[Figure | Finding]:
    """Yield the smallest earth conductor of a cable and judge the fitted one."""
    need = context.needs()
    if amperes(context.drive.protection_rating) is not None:
        device, note = need.of("drive", "protection_rating", "A"), "by the fitted device"
    else:
        device, note = need.figure_of("line.protection"), "no device rating given: by the largest allowed"
    material = need.word(wire.record, "material")
    fitted_phase = size_of(need, wire.record, "size")
    smallest = context.figures.get(f"{wire.topic}.conductor")
    smallest_size = smallest.value if smallest is not None and isinstance(smallest.value, str) else ""
    cable: Cable | None = getattr(context, wire.record)
    sets = (cable.sets if cable else None) or 1

    def least() -> str:
        table = protection.earth_size(device, material=material)
        if not smallest_size:
            return table
        area = protection.upsized_earth_cmil(
            table, smallest_phase=smallest_size, installed_phase=fitted_phase, sets=sets
        )
        return protection.size_of_area(area)

    fitted = cable.earth_size if cable is not None else None
    note += (
        "; enlarged by 250.122(B) where the phase conductors are larger than needed"
        if smallest_size
        else ("; 250.122(B) not applied: smallest phase conductor not judged")
    )
    if fitted is None and cable is not None and "conduit" in cable.raceway and not cable.raceway.startswith("PVC"):
        note += "; no earth conductor given: whether the conduit serves (250.118) is not judged"
    figure = need.figure(
        f"{wire.topic}.earth",
        f"Smallest earth conductor of the {wire.words}",
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
        by_table = protection.earth_size(device, material=material)
        least_mm2 = circular_mils(by_table) * MM2_PER_CMIL  # before any enlarging
        if cable is not None and cable.size is not None:  # never larger than the phase conductor, 250.122(A)
            least_mm2 = min(least_mm2, cable.size.area_mm2)
        small = fitted.area_mm2 < 0.99 * least_mm2
        yield context.finding(
            wire.earth_code,
            Grade.STOP if small else Grade.CAUTION,
            (wire.record, "earth_size"),
            found=f"earth conductor {fitted.label}, {figure.text()} needed behind {device:g} A",
            accepted=f"{figure.text()} or larger",
            remedy=f"fit an earth conductor of {figure.text()}"
            + ("" if small else ", or have a qualified person show the fault path (250.122(B) exception)"),
        )
