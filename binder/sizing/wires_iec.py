"""Conductors and protective conductors of a drive's two power cables by IEC 60364 and IEC 60204-1."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass, replace

from binder.engineering import conductors_iec, leakage, protection_iec
from binder.engineering.conductors import split_size
from binder.engineering.figure import Figure, Rule, display
from binder.engineering.tables import OutsideTableError
from binder.inventory.findings import Finding, Grade
from binder.inventory.records import Cable
from binder.sizing.context import Context, Needs, at_least
from binder.sizing.runs import insulation_c, size_of
from binder.sizing.wire import MOTOR, Wire
from binder.sizing.words import joined

_TABLES = "IEC 60364-5-52:2009, Annex B (Tables B.52.4 to B.52.17)"
_SIZE = Rule("smallest cross-section whose Iz reaches the current needed", f"IEC 60364-4-43:2008, 433.1; {_TABLES}")
_CAPACITY = Rule("Iz = table value × ambient factor × grouping factor", _TABLES)
_EARTH = Rule(
    "line size to 16 mm², 16 to 35 mm², above that half of it",
    "IEC 60364-5-54:2011, Table 54.2; IEC 60204-1:2016, Table 1",
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


def conductor(context: Context, wire: Wire, need: Needs, required: float, wanted: str) -> Iterator[Figure | Finding]:
    """Yield the smallest conductor of a cable and the capacity of the fitted one.

    `need` holds where `required` comes from, `wanted` says it in words.
    """
    place = _place(need, wire)
    yield need.figure(
        f"{wire.topic}.conductor",
        f"Smallest conductor of the {wire.words}",
        lambda: f"{place.smallest(required):g} mm²",
        "",
        _SIZE,
        note=joined(wanted, place.assumed),
    )
    fitted = size_of(need, wire.record, "size")
    found: list[str] = []

    def allowed() -> float:
        mm2 = mm2_of(fitted)
        capacity = place.capacity(mm2)
        found.append(capacity.words())
        found.append(_on_machine(mm2, place))
        return capacity.allowed_a

    figure = need.figure(
        f"{wire.topic}.conductor_capacity",
        f"Capacity Iz of the fitted conductor, {wire.words}",
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
            wire.conductor_code,
            Grade.STOP,
            (wire.record, "size"),
            found=f"{fitted} carries {figure.text()} at {place.ambient_c:g} °C, "
            f"{display(required)} A needed ({wanted})",
            accepted=f"Iz of {display(required)} A or more",
            remedy=_larger(place, required),
        )


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


def _place(need: Needs, wire: Wire) -> _Place:
    cable: Cable | None = getattr(need.context, wire.record)
    assumed = []
    insulation, method = need.word(wire.record, "insulation"), need.word(wire.record, "method")
    material = need.word(wire.record, "material")
    ambient, circuits = 30.0, 1
    if cable is not None and cable.ambient is not None:
        ambient = need.of(wire.record, "ambient", "°C")
    else:
        assumed.append("no cable ambient given: 30 °C of the table")
    if cable is not None and cable.grouped_circuits:
        circuits = int(need.of(wire.record, "grouped_circuits"))
    else:
        assumed.append("grouped circuits not given: this circuit alone")
    return _Place(
        insulation, method, material, ambient, circuits, (cable.sets if cable else None) or 1, "; ".join(assumed)
    )


def earth(context: Context, wire: Wire) -> Iterator[Figure | Finding]:
    """Yield the smallest protective conductor of a cable and judge the fitted one."""
    need = context.needs()
    phase = size_of(need, wire.record, "size")
    milliamps = context.model.leakage_current.to("mA") if context.model and context.model.leakage_current else None
    if wire is MOTOR:  # the leakage rule speaks of the drive's own protective conductor
        milliamps = 0.0
    elif milliamps is not None:
        need.of("model", "leakage_current", "mA")

    def least() -> str:
        by_table = protection_iec.earth_mm2(mm2_of(phase))
        asked = leakage.protective_conductor(milliamps).least_copper_mm2 if milliamps is not None else None
        return f"{max(by_table, asked or 0):g} mm²"

    cable: Cable | None = getattr(context, wire.record)
    fitted = cable.earth_size if cable is not None else None
    if milliamps is None:
        asked_for = "leakage not in the workbook: its 10 mm² rule is not judged"
    elif wire is MOTOR:
        asked_for = "in one cable with the motor conductors"
    else:
        asked_for = f"leakage {milliamps:g} mA: {leakage.protective_conductor(milliamps).words}"
    figure = need.figure(
        f"{wire.topic}.earth",
        f"Smallest protective conductor of the {wire.words}",
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
            wire.earth_code,
            Grade.STOP,
            (wire.record, "earth_size"),
            found=f"protective conductor {fitted.label}, {figure.text()} needed",
            accepted=f"{figure.text()} or larger, or a second conductor of the line's size where leakage asks for it",
            remedy=f"fit {figure.text()}",
        )
