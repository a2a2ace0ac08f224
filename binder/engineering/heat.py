"""How warm an enclosure gets from the losses of what stands in it."""

from __future__ import annotations

from binder.engineering.ranges import between, not_negative, positive
from binder.engineering.tables import OutsideTableError

#: Heat passed through a wall, W per m² and K. Handbook figures, from memory, check.
WALL_W_PER_M2_K = {"painted steel": 5.5, "stainless steel": 5.5, "aluminum": 12.0, "plastic": 3.5}
_AIR_J_PER_KG_K = 1005.0


def surface_m2(height_m: float, width_m: float, depth_m: float) -> float:
    """Return the whole outside surface of a box.

    Parameters
    ----------
    height_m, width_m, depth_m : float
        Above 0. [m]

    Returns
    -------
    float
        [m²]

    Raises
    ------
    OutOfRangeError
        A number is not above 0.

    Examples
    --------
    >>> surface_m2(2.0, 1.0, 0.5)
    7.0
    """
    positive(height_m=height_m, width_m=width_m, depth_m=depth_m)
    return 2.0 * (height_m * width_m + height_m * depth_m + width_m * depth_m)


def cooling_surface_m2(height_m: float, width_m: float, depth_m: float, mounting: str) -> float:
    """Return the surface that gives off heat, by how the enclosure stands.

    Parameters
    ----------
    height_m, width_m, depth_m : float
        Above 0. [m]
    mounting : str
        'free standing', 'against a wall', 'wall hung', 'in a row' or 'in a row against a wall'
        (inside the row, both sides covered).

    Returns
    -------
    float
        [m²]

    Raises
    ------
    OutOfRangeError
        A number is not above 0.
    OutsideTableError
        The mounting is not one of the five.

    Examples
    --------
    >>> round(cooling_surface_m2(2.0, 0.8, 0.6, "free standing"), 2)
    5.71

    References
    ----------
    Effective surface as in IEC TR 60890 (coefficients from memory, check).
    """
    positive(height_m=height_m, width_m=width_m, depth_m=depth_m)
    h, w, d = height_m, width_m, depth_m
    wall = 1.4 * w * (h + d) + 1.8 * d * h
    kinds = {
        "free standing": 1.8 * h * (w + d) + 1.4 * w * d,
        "against a wall": wall,
        "wall hung": wall,
        "in a row": 1.8 * w * h + 1.4 * w * d + d * h,
        "in a row against a wall": 1.4 * w * (h + d) + d * h,
    }
    if mounting not in kinds:
        raise OutsideTableError("cooling surface by mounting", mounting or "a blank mounting")
    return kinds[mounting]


def heat_density_w_m2(losses_w: float, surface: float) -> float:
    """Return the heat input per surface.


    Parameters
    ----------
    losses_w : float
        0 or above. [W]
    surface : float
        Above 0. [m²]

    Returns
    -------
    float
        [W/m²]

    Raises
    ------
    OutOfRangeError
        Losses below 0 or surface not above 0.

    Examples
    --------
    >>> heat_density_w_m2(300.0, 4.0)
    75.0
    """
    not_negative(losses_w=losses_w)
    positive(surface=surface)
    return losses_w / surface


def temperature_rise_k(
    losses_w: float,
    *,
    surface: float = 0.0,
    wall_w_per_m2_k: float = 0.0,
    airflow_m3_h: float = 0.0,
    air_density_kg_m3: float = 1.127,
) -> float:
    """Return how much warmer the inside gets than the room.

    Parameters
    ----------
    losses_w : float
        0 or above. [W]
    surface : float
        Surface that gives off heat, 0 or above. [m²]
    wall_w_per_m2_k : float
        From `WALL_W_PER_M2_K`, 0 or above. [W/(m² K)]
    airflow_m3_h : float
        Air moved through the enclosure, 0 or above. [m³/h]
    air_density_kg_m3 : float
        Above 0; 1.127 is air at 40 °C at sea level. [kg/m³]

    Returns
    -------
    float
        [K]

    Raises
    ------
    OutOfRangeError
        A number lies outside its range, or there is neither wall nor airflow.

    Notes
    -----
    Losses = (k A + density c V) rise, with c = 1005 J/(kg K).

    Examples
    --------
    >>> round(temperature_rise_k(300.0, surface=3.2, wall_w_per_m2_k=5.5), 1)
    17.0
    >>> round(temperature_rise_k(300.0, airflow_m3_h=100.0), 1)
    9.5

    References
    ----------
    Heat balance; wall figure and handbook form 3.1 P / V: common practice, no source.
    """
    not_negative(losses_w=losses_w, surface=surface, wall_w_per_m2_k=wall_w_per_m2_k, airflow_m3_h=airflow_m3_h)
    positive(air_density_kg_m3=air_density_kg_m3)
    per_kelvin = surface * wall_w_per_m2_k + air_density_kg_m3 * _AIR_J_PER_KG_K * airflow_m3_h / 3600.0
    positive(heat_carried_off_per_kelvin=per_kelvin)
    return losses_w / per_kelvin


def airflow_needed_m3_h(
    losses_w: float,
    rise_k: float,
    *,
    surface: float = 0.0,
    wall_w_per_m2_k: float = 0.0,
    air_density_kg_m3: float = 1.127,
) -> float:
    """Return the airflow that holds the rise, after what the walls carry off.

    Parameters
    ----------
    losses_w, surface, wall_w_per_m2_k, air_density_kg_m3
        As in `temperature_rise_k`.
    rise_k : float
        Rise that is allowed, above 0. [K]

    Returns
    -------
    float
        0 when the walls are enough. [m³/h]

    Raises
    ------
    OutOfRangeError
        A number lies outside its range.

    Examples
    --------
    >>> round(airflow_needed_m3_h(300.0, 9.5))
    100
    """
    not_negative(losses_w=losses_w, surface=surface, wall_w_per_m2_k=wall_w_per_m2_k)
    positive(rise_k=rise_k, air_density_kg_m3=air_density_kg_m3)
    left_w = losses_w - surface * wall_w_per_m2_k * rise_k
    return max(left_w, 0.0) * 3600.0 / (air_density_kg_m3 * _AIR_J_PER_KG_K * rise_k)


def inside_c(room_c: float, rise_k: float) -> float:
    """Return the air temperature inside.


    Parameters
    ----------
    room_c : float
        -60 to 80. [°C]
    rise_k : float
        0 or above. [K]

    Returns
    -------
    float
        [°C]

    Raises
    ------
    OutOfRangeError
        The room lies outside -60 to 80 °C or the rise is below 0.

    Examples
    --------
    >>> inside_c(30.0, 17.0)
    47.0
    """
    between(-60.0, 80.0, room_c=room_c)
    not_negative(rise_k=rise_k)
    return room_c + rise_k
