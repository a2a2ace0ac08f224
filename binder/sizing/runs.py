"""Cables as the workbook describes them, turned into what the formulas need."""

from __future__ import annotations

import re
from dataclasses import dataclass

from binder.engineering.conductors import split_size
from binder.engineering.impedance import iec_impedance_ohm_per_km, nec_impedance_ohm_per_km
from binder.engineering.tables import OutsideTableError
from binder.inventory.records import ConductorSize
from binder.sizing.context import Needs, label_of

#: Raceway of the workbook -> conduit column of NEC Chapter 9 Table 9.
_CONDUIT = {"steel conduit": "steel", "aluminum conduit": "aluminum"}
#: A cold conductor gives the largest fault current (IEC 60909-0). [°C]
COLD_CONDUCTOR_C = 20.0


@dataclass(frozen=True, slots=True)
class Run:
    """One cable run: size, metal, raceway, length and parallel sets."""

    label: str
    material: str
    raceway: str
    length_m: float
    sets: int

    def impedance_ohm(self, *, temperature_c: float, frequency_hz: float, label: str = "") -> complex:
        """Impedance of one phase over the whole run, optionally as if it were of another size."""
        return self.ohm_per_km(temperature_c=temperature_c, frequency_hz=frequency_hz, label=label) * (
            self.length_m / 1000 / self.sets
        )

    def ohm_per_km(self, *, temperature_c: float, frequency_hz: float, label: str = "") -> complex:
        """Impedance of one conductor per length."""
        number, unit = split_size(label or self.label)
        if unit == "mm²":
            return iec_impedance_ohm_per_km(
                float(number), material=self.material, temperature_c=temperature_c, frequency_hz=frequency_hz
            )
        # anything but metal conduit has the lower reactance of the PVC column; no word takes the higher one
        conduit = _CONDUIT.get(self.raceway, "pvc" if self.raceway else "steel")
        return nec_impedance_ohm_per_km(
            label or self.label,
            material=self.material,
            conduit=conduit,
            temperature_c=temperature_c,
            frequency_hz=frequency_hz,
        )

    def words(self) -> str:
        """Say which table the impedance comes from."""
        if self.label.endswith("mm²"):
            return "R of IEC 60228 at conductor temperature, X 0.08 mΩ/m (IEC 60364-5-52 Annex G)"
        raceway = self.raceway or "raceway not given, steel conduit taken (larger reactance)"
        return f"R and X of NEC Chapter 9 Table 9, {raceway}"


def size_of(need: Needs, kind: str, name: str) -> str:
    """Return a conductor size label; '' and noted as missing when there is none."""
    record = getattr(need.context, kind)
    size: ConductorSize | None = None if record is None else getattr(record, name)
    label = label_of(kind, name)
    if record is None:
        need.lacks(kind, label)
    at = need.context.absent(kind) if record is None else (record, name)
    need.inputs.append(need.input(label, size.label if size else None, "", at))
    if size is None:
        need.missing.append(label)
        return ""
    return size.label


def run_of(need: Needs, kind: str, *, prefix: str = "") -> Run:
    """Collect a run from a cable, or with `prefix` 'feeder_' from a panel.

    A blank number of sets means one, as its column says.
    """
    record = getattr(need.context, kind)
    label = size_of(need, kind, f"{prefix}size")
    material = need.word(kind, f"{prefix}material")
    length = need.of(kind, f"{prefix}length", "m")
    sets = getattr(record, f"{prefix}sets", None) or 1
    raceway = getattr(record, f"{prefix}raceway", "") if record is not None else ""
    return Run(label, material, raceway, length, sets)


def insulation_c(text: str) -> int:
    """Return the temperature in 'THWN 75 °C'.

    Raises
    ------
    OutsideTableError
        The word names no temperature.

    Examples
    --------
    >>> insulation_c("XHHW 90 °C")
    90
    """
    found = re.search(r"(\d+) °C", text)
    if found is None:
        raise OutsideTableError("conductor insulations", text or "no insulation")
    return int(found[1])
