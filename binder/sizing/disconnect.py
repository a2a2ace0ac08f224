"""The disconnect in the line of a drive: alike by both code bases but for its rule."""

from __future__ import annotations

from collections.abc import Callable, Iterator

from binder.engineering.figure import Figure, Rule
from binder.inventory.findings import Finding, Grade
from binder.sizing.context import Context
from binder.sizing.words import amperes


def disconnect(
    context: Context, least_a: Callable[[float], float], rule: Rule, *, note: str
) -> Iterator[Figure | Finding]:
    """Yield the smallest disconnect for the drive's rated input current; a finding when a smaller one is fitted."""
    word = "switch-disconnector" if context.iec else "disconnect"
    need = context.needs()
    current = need.of("model", "input_current", "A")
    rating = amperes(context.drive.disconnect_rating)
    if rating is not None:
        need.of("drive", "disconnect_rating", "A")
    figure = need.figure(
        "line.disconnect",
        f"Smallest {word} in the line",
        lambda: least_a(current),
        "A",
        rule,
        limit=f"fitted {rating:g} A" if rating is not None else "",
        within=(lambda least: rating >= least - 1e-9) if rating is not None else None,
        note=note,
    )
    yield figure
    if figure.verdict == "outside":
        yield context.finding(
            "E214",
            Grade.STOP,
            ("drive", "disconnect_rating"),
            found=f"{word} of {rating:g} A, {figure.text()} needed",
            accepted=f"{figure.text()} or more",
            remedy=f"fit a {word} of {figure.text()} or more",
        )
