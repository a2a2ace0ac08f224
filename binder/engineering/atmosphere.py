"""Air at an altitude: it cools less as it thins."""

from __future__ import annotations

from binder.engineering.ranges import between

_EARTH_RADIUS_M = 6356766.0
_GAS_CONSTANT = 287.05287  # J/(kg K), dry air


def pressure_kpa(altitude_m: float) -> float:
    """Return the pressure of the standard atmosphere.

    Parameters
    ----------
    altitude_m : float
        Geometric, -500 to 11000. [m]

    Returns
    -------
    float
        [kPa]

    Raises
    ------
    OutOfRangeError
        The altitude lies outside the range.

    Examples
    --------
    >>> round(pressure_kpa(1000.0), 3)
    89.876

    References
    ----------
    ISO 2533:1975.
    """
    between(-500.0, 11000.0, altitude_m=altitude_m)
    height = _EARTH_RADIUS_M * altitude_m / (_EARTH_RADIUS_M + altitude_m)
    return float(101.325 * (1.0 - 0.0065 * height / 288.15) ** 5.25588)


def temperature_c(altitude_m: float) -> float:
    """Return the temperature of the standard atmosphere.


    Parameters
    ----------
    altitude_m : float
        Geometric, -500 to 11000. [m]

    Returns
    -------
    float
        [°C]

    Raises
    ------
    OutOfRangeError
        The altitude lies outside -500 to 11000 m.

    Examples
    --------
    >>> round(temperature_c(1000.0), 1)
    8.5

    References
    ----------
    ISO 2533:1975.
    """
    between(-500.0, 11000.0, altitude_m=altitude_m)
    return 15.0 - 0.0065 * _EARTH_RADIUS_M * altitude_m / (_EARTH_RADIUS_M + altitude_m)


def air_density_kg_m3(altitude_m: float, air_temperature_c: float) -> float:
    """Return the density of dry air at an altitude and its own temperature.

    Parameters
    ----------
    altitude_m : float
        -500 to 11000. [m]
    air_temperature_c : float
        -90 to 100. [°C]

    Returns
    -------
    float
        [kg/m³]

    Raises
    ------
    OutOfRangeError
        A number lies outside its range.

    Examples
    --------
    >>> round(air_density_kg_m3(0.0, 15.0), 4)
    1.225

    References
    ----------
    ISO 2533:1975: density = p / (R T).
    """
    between(-90.0, 100.0, air_temperature_c=air_temperature_c)
    return pressure_kpa(altitude_m) * 1000.0 / (_GAS_CONSTANT * (air_temperature_c + 273.15))
