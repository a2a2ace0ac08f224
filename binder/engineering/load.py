"""Loading of transformers and generators by drives."""

from __future__ import annotations

from binder.engineering.ranges import not_negative, positive


def loading_percent(load_kva: float, rating_kva: float) -> float:
    """Return the load of a transformer in percent of its rating.

    Parameters
    ----------
    load_kva : float
        At or above 0, added as numbers. [kVA]
    rating_kva : float
        Above 0. [kVA]

    Returns
    -------
    float
        [%]

    Notes
    -----
    Harmonics heat a transformer beyond its rms load (k-factor); that is not counted here.

    Examples
    --------
    >>> loading_percent(375.0, 500.0)
    75.0

    References
    ----------
    Arithmetic; IEEE C57.110 for the harmonic part, not implemented.
    """
    not_negative(load_kva=load_kva)
    positive(rating_kva=rating_kva)
    return 100 * load_kva / rating_kva


def least_generator_kva(drive_kva: float) -> float:
    """Return the generator that six-pulse drives without filter ask for.

    Parameters
    ----------
    drive_kva : float
        Input of all drives on the set, at or above 0. [kVA]

    Returns
    -------
    float
        [kVA]

    Examples
    --------
    >>> least_generator_kva(110.0)
    220.0

    References
    ----------
    Common practice, no source: twice the six-pulse drive load.
    """
    not_negative(drive_kva=drive_kva)
    return 2.0 * drive_kva


def transformer_ratio(transformer_kva: float, drive_kva: float) -> float:
    """Return transformer rating over drive rating: above 10 a small drive sits close to a big source.

    Parameters
    ----------
    transformer_kva, drive_kva : float
        Ratings, above 0. [kVA]

    Returns
    -------
    float

    Examples
    --------
    >>> transformer_ratio(1000.0, 50.0)
    20.0

    References
    ----------
    Common practice, no source: above 10 add at least 3 % reactance.
    """
    positive(transformer_kva=transformer_kva, drive_kva=drive_kva)
    return transformer_kva / drive_kva
