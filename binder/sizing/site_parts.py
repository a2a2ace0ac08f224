"""What the site topics share: a place to stand in the workbook, and the drives that hang on it."""

from __future__ import annotations

import math
from collections.abc import Iterable

from binder.engineering.figure import Figure, Figures
from binder.inventory.records import Drive, Panel, Supply
from binder.sizing.context import Context, Needs, SiteContext

_LISTED = 20  # drives stated one by one


def context_at(site: SiteContext, *, panel: Panel | None, supply: Supply | None) -> Context:
    """Stand at a panel or supply: findings carry its tag, figures found so far are the site's."""
    place = panel if panel is not None else supply
    assert place is not None
    return Context(
        inventory=site.inventory,
        drive=Drive(tag=place.tag, origin=place.origin),
        motor=None,
        machine=None,
        model=None,
        panel=panel,
        supply=supply,
        line_cable=None,
        motor_cable=None,
        site=site.site,
        figures=site.figures,
        columns=site.columns,
        lacking=site.lacking,
    )


def numbers(need: Needs, site: SiteContext, drives: Iterable[Drive], key: str) -> list[float]:
    """Return one figure of several drives; a drive without it is noted as missing.

    Many drives are stated as one sum: a list of hundreds helps nobody who computes again by hand.
    """
    found: list[tuple[str, Figure]] = []
    for drive in drives:
        figures = site.drives.get(drive.tag, Figures())
        if figures.number(key) is None:
            need.missing.append(f"{key} of {drive.tag}")
        else:
            found.append((drive.tag, figures[key]))
    values = [float(figure.value) for _, figure in found if isinstance(figure.value, float | int)]
    if len(found) > _LISTED:
        name, unit = found[0][1].name, found[0][1].unit
        need.state(f"{name}, sum over {len(found)} drives", math.fsum(values), unit, key)
    else:
        for (tag, figure), value in zip(found, values, strict=True):
            need.state(f"{tag} {figure.name}", value, figure.unit, f"{tag} {key}")
    return values
