"""Figures of the site: load, feeders, transformers, fault currents, harmonics, network addresses."""

from __future__ import annotations

from collections.abc import Iterator

from binder.engineering.figure import Figure
from binder.engineering.tables import load as load_table
from binder.inventory.columns import heading_of
from binder.inventory.findings import Finding, Grade
from binder.inventory.lookup import natural
from binder.inventory.records import NetworkNode, Site
from binder.sizing import site_harmonics, site_load
from binder.sizing.context import SiteContext


def figures(context: SiteContext) -> Iterator[Figure | Finding]:
    """Yield the figures of every supply, then of every panel, then what the site's lists give."""
    yield from _edition(context)
    for supply in context.inventory.supplies:
        yield from site_load.supply_figures(context, supply)
        yield from site_harmonics.supply_figures(context, supply)
    for panel in context.inventory.panels:
        yield from site_load.panel_figures(context, panel)
    yield from _network(context)


def _edition(context: SiteContext) -> Iterator[Finding]:
    """Note when the site's edition is not the one whose tables are used."""
    wanted = context.site.code_edition
    if context.iec or not wanted or "2023" in wanted:
        return
    table = load_table("nec_310_16_ampacity")
    origin = context.site.origin
    yield Finding(
        "E200",
        Grade.NOTE,
        origin.sheet,
        origin.cell("code_edition"),
        "",
        f"edition {wanted}; the tables used are of 2023 ({table.source.split(';')[0]})",
        "2023",
        "compare the clauses that changed: 110.16(B), 430.122(B), the 10 A breaker, 250.122 aluminum from 4000 A",
        heading_of(Site, "code_edition"),
    )


def _network(context: SiteContext) -> Iterator[Finding]:
    """Find addresses used twice on a segment, and more than two terminators."""
    nodes = sorted(context.inventory.networks, key=lambda n: (natural(n.drive), n.origin.row))
    yield from _twice(nodes, "address", "E250", "node address")
    yield from _twice(nodes, "ip_address", "E251", "IP address")
    segments: dict[str, list[NetworkNode]] = {}
    for node in nodes:
        if node.terminated:
            segments.setdefault(node.network.strip().casefold(), []).append(node)
    for ends in segments.values():
        for surplus in ends[2:]:
            yield Finding(
                "E252",
                Grade.CAUTION,
                surplus.origin.sheet,
                surplus.origin.cell("terminated"),
                surplus.drive,
                f"{len(ends)} terminators on segment {surplus.network or 'without a name'}: "
                + ", ".join(n.drive for n in ends),
                "two, one at each end",
                "terminate the two ends of the segment only",
                heading_of(NetworkNode, "terminated"),
            )


def _twice(nodes: list[NetworkNode], name: str, code: str, words: str) -> Iterator[Finding]:
    first: dict[tuple[str, str], NetworkNode] = {}
    for node in nodes:
        value = str(getattr(node, name)).strip().casefold()
        if not value:
            continue
        # an IP address is one network's whatever the segment is called
        segment = "" if name == "ip_address" else node.network.strip().casefold()
        holder = first.setdefault((segment, value), node)
        if holder is not node:
            yield Finding(
                code,
                Grade.STOP,
                node.origin.sheet,
                node.origin.cell(name),
                node.drive,
                f"{words} {value} is also that of {holder.drive}",
                "an address used once on its network",
                f"give {node.drive} or {holder.drive} another address",
                heading_of(NetworkNode, name),
            )
