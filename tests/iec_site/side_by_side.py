"""The rinse water pump of the invented site, and its twin of 20 hp on 480 V 60 Hz by the NEC."""

from __future__ import annotations

from pathlib import Path

from iec_rows import ROWS, Row, write_site

from binder.inventory.blank import write_workbook
from binder.inventory.reader import read_workbook
from binder.study import DriveStudy, study_site

TAG = "P102-T1"

#: What the twin has instead: sheet -> field -> cell. All else is as on the IEC site.
NEC_CELLS: dict[str, Row] = {
    "Site": {"code_basis": "NEC", "code_edition": "2023", "paper": "Letter", "symbols": "North American"},
    "Supplies": {
        "voltage": "480 V", "frequency": "60 Hz", "earthing": "solid wye", "transformer_rating": "750 kVA",
        "transformer_impedance": "5,75 %", "transformer_x_over_r": "5", "primary_fault": "infinite",
        "primary_fault_power": None,
    },
    "Panels": {"feeder_size": "1/0 AWG", "feeder_raceway": "steel conduit", "feeder_length": "75 ft",
               "feeder_protection": "125 A"},
    "Drives": {"protection_kind": "time-delay fuse", "protection_rating": "45 A", "disconnect_rating": "60 A",
               "max_frequency": "60 Hz"},
    "Motors": {
        "power": "20 hp", "voltage": "460 V", "frequency": "60 Hz", "current": "24 A", "speed": "1765 rpm",
        "power_factor": "0,84", "efficiency": "93,0 %", "plate_voltages": "230/460", "design_letter": "B",
        "service_factor": "1,15", "enclosure": "TEFC", "efficiency_class": "NEMA Premium", "frame": "256T",
    },
    "Machines": {"rated_speed": "1765 rpm", "max_speed": "1800 rpm"},
}  # fmt: skip
NEC_CABLES: dict[str, Row] = {
    "W102-L": {"size": "8 AWG", "earth_size": "10 AWG", "length": "16 ft"},
    "W102-M": {"size": "8 AWG", "earth_size": "10 AWG", "length": "115 ft"},
}
_CONDUIT: Row = {"insulation": "THWN 75 °C", "construction": "", "raceway": "steel conduit", "method": None}


def _only_this_pump() -> dict[str, list[Row]]:
    kept = {
        "Supplies": ("tag", "T-1"), "Panels": ("tag", "MD-1"), "Drives": ("tag", TAG), "Motors": ("tag", "M102"),
        "Machines": ("tag", "P102"), "Cables": ("drive", TAG), "Controls": ("drive", TAG),
    }  # fmt: skip
    rows = {
        sheet: [r for r in rows if sheet not in kept or r.get(kept[sheet][0]) == kept[sheet][1]]
        for sheet, rows in ROWS.items()
    }
    return rows | {"Isolation": [r | {"drives": TAG} for r in ROWS["Isolation"] if TAG in str(r["drives"])]}


def nec_rows() -> dict[str, list[Row]]:
    """Rows of the twin site: this pump alone, by the NEC."""
    rows = {sheet: [r | NEC_CELLS.get(sheet, {}) for r in found] for sheet, found in _only_this_pump().items()}
    rows["Cables"] = [r | _CONDUIT | NEC_CABLES[str(r["tag"])] for r in rows["Cables"]]
    rows["Models"] = [r | {"max_voltage": "500 V"} for r in rows["Models"]]
    return rows


def iec_pump(folder: Path) -> DriveStudy:
    """Study the pump of 15 kW on 400 V 50 Hz."""
    study = study_site(read_workbook(write_site(folder / "inventory.xlsx")))
    return next(d for d in study.drives if d.drive.tag == TAG)


def nec_pump(folder: Path) -> DriveStudy:
    """Study the pump of 20 hp on 480 V 60 Hz."""
    path = folder / "inventory.xlsx"
    write_workbook(path, nec_rows())
    return study_site(read_workbook(path)).drives[0]
