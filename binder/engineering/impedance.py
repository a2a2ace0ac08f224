"""Impedance of conductors per length, by NEC Chapter 9 and by IEC 60228, at any temperature and frequency."""

from __future__ import annotations

from binder.engineering.conductors import split_size
from binder.engineering.ranges import between, not_negative
from binder.engineering.tables import load

FEET_PER_KM = 3280.840
#: Resistance change of Table 8's note, R2 = R1 (1 + k (T2 - 75)). [1/K]
_NEC_TEMPERATURE = {"copper": 0.00323, "aluminum": 0.00330}
_CONDUIT = {"pvc": "pvc", "aluminum": "al", "steel": "steel"}
#: IEC 60364-5-52:2009 Annex G: reactance per length where no other is given; from memory, check. [Ω/km]
IEC_REACTANCE_OHM_PER_KM = 0.08


def nec_impedance_ohm_per_km(
    label: str,
    *,
    material: str = "copper",
    conduit: str = "steel",
    temperature_c: float = 75.0,
    frequency_hz: float = 60.0,
) -> complex:
    """Return R + jX of one conductor of three in conduit.

    Parameters
    ----------
    label : str
        14 AWG to 1000 kcmil; the table has no 700, 800 and 900 kcmil.
    material : str
        'copper' or 'aluminum'.
    conduit : str
        'pvc', 'aluminum' or 'steel'.
    temperature_c : float
        Conductor temperature, -40 to 150. [°C]
    frequency_hz : float
        0 to 400; reactance goes with it, the table's resistance holds for 60 Hz and below. [Hz]

    Returns
    -------
    complex
        [Ω/km]

    Raises
    ------
    OutsideTableError
        The table does not hold the size or material.

    Notes
    -----
    Above 60 Hz skin effect makes R larger than taken here.

    Examples
    --------
    >>> z = nec_impedance_ohm_per_km("10 AWG")
    >>> round(z.real, 3), round(z.imag, 3)
    (3.937, 0.207)

    References
    ----------
    NFPA 70 (NEC), Chapter 9 Table 9 (75 °C, 60 Hz); temperature rule of the note to Table 8.
    """
    between(-40.0, 150.0, conductor_temperature_c=temperature_c)
    not_negative(frequency_hz=frequency_hz)
    number, unit = split_size(label)
    table, kind = load("nec_ch9_table9_impedance"), _CONDUIT[conduit]
    metal = "cu" if material == "copper" else "al"
    reactance = "xl_steel_conduit_ohm_per_kft" if kind == "steel" else "xl_pvc_or_al_conduit_ohm_per_kft"
    r75 = table.number(f"{metal}_resistance_{kind}_conduit_ohm_per_kft", size=number, size_unit=unit)
    xl = table.number(reactance, size=number, size_unit=unit)
    resistance = r75 * (1 + _NEC_TEMPERATURE[material] * (temperature_c - 75))
    return complex(resistance, xl * frequency_hz / 60) * FEET_PER_KM / 1000


def iec_impedance_ohm_per_km(
    nominal_mm2: float, *, material: str = "copper", temperature_c: float = 70.0, frequency_hz: float = 50.0
) -> complex:
    """Return R + jX of one conductor of a three-phase cable.

    Parameters
    ----------
    nominal_mm2 : float
        Nominal cross-section, stranded (class 2). [mm²]
    material : str
        'copper' or 'aluminum' (from 10 mm²).
    temperature_c : float
        Conductor temperature, -40 to 150. [°C]
    frequency_hz : float
        0 to 400. [Hz]

    Returns
    -------
    complex
        [Ω/km]

    Raises
    ------
    OutsideTableError
        The table does not hold the size or material.

    Examples
    --------
    >>> z = iec_impedance_ohm_per_km(2.5)
    >>> round(z.real, 2), z.imag
    (8.87, 0.08)

    References
    ----------
    IEC 60228:2004 Table 2 with the temperature rule of Annex B (exact coefficients);
    IEC 60364-5-52:2009 Annex G for 0.08 mΩ/m; from memory, check.
    """
    between(-40.0, 150.0, conductor_temperature_c=temperature_c)
    not_negative(frequency_hz=frequency_hz)
    copper = material == "copper"
    column = "copper_class2_plain_max_ohm_per_km" if copper else "aluminium_class2_max_ohm_per_km"
    r20 = load("iec_60228_conductor_resistance").number(column, nominal_mm2=nominal_mm2)
    rule = load("iec_60228_temperature_rule")
    alpha = rule.number("value", key="alpha20_copper" if copper else "alpha20_aluminium")
    return complex(r20 * (1 + alpha * (temperature_c - 20)), IEC_REACTANCE_OHM_PER_KM * frequency_hz / 50)
