"""Harmonics at a supply: all drives together against IEEE 519 or IEC 61000-2-4, and resonance."""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import replace

from binder.engineering import harmonic_limits, harmonics
from binder.engineering.figure import Figure, Rule, display
from binder.engineering.ranges import positive
from binder.engineering.short_circuit import fault_power_mva
from binder.engineering.tables import load
from binder.inventory.findings import Finding, Grade
from binder.inventory.lookup import drives_of_supply
from binder.inventory.records import Drive, Supply
from binder.sizing.context import Context, SiteContext
from binder.sizing.site_parts import context_at, numbers
from binder.sizing.words import joined

_SUM = Rule("harmonics of all drives added as numbers, no diversity and no cancelling", "safe side of IEC TR 61000-3-6")
_TDD = Rule("root sum of squares of harmonic currents over the maximum demand current", "IEEE 519-2022, Table 2")
_VOLTAGE = Rule("U_h = h I_h / Isc of the fundamental voltage", "circuit theory; IEEE 519-2022, Table 1")
_VOLTAGE_IEC = Rule("U_h = h I_h / Isc of the fundamental voltage", "circuit theory; IEC 61000-2-4:2002, class 2")
_RESONANCE = Rule("n = sqrt(S_sc / Q)", "circuit theory; common practice: more than 0.3 away from 5, 7, 11, 13")
_RISKY = (5, 7, 11, 13)
_APART = 0.3


def supply_figures(site: SiteContext, supply: Supply) -> Iterator[Figure | Finding]:
    """Yield current and voltage distortion at one supply, and the resonance of its capacitors."""
    drives = _three_phase(site, supply)
    at = context_at(site, panel=None, supply=supply)
    if drives:
        yield _current(at, site, supply, drives)
        yield from _demand(at, site, supply, drives)
        yield from _voltage(at, site, supply, drives)
    yield from _resonance(at, supply)


def _three_phase(site: SiteContext, supply: Supply) -> tuple[Drive, ...]:
    """Drives of a supply whose harmonics are computed."""
    return tuple(d for d in drives_of_supply(site.inventory, supply) if not _single_phase(site, d))


def _has_three_phase(site: SiteContext, supply: Supply) -> bool:
    return any(not _single_phase(site, d) for d in drives_of_supply(site.inventory, supply))


def _single_phase(site: SiteContext, drive: Drive) -> bool:
    """Tell whether a drive's harmonics are not implemented: they are left out and said so."""
    figures = site.drives.get(drive.tag)
    figure = figures.get("harmonics.thdi") if figures is not None else None
    return figure is not None and figure.value is None and "single-phase" in figure.note


def summed(fundamentals: list[float], reactances: list[float]) -> dict[int, float]:
    """Return the harmonic currents of several drives added as numbers, by order.

    Parameters
    ----------
    fundamentals : list of float
        Of each drive's input current. [A]
    reactances : list of float
        Ahead of each drive's rectifier. [%]

    Returns
    -------
    dict of int to float
        [A]
    """
    total = dict.fromkeys(harmonics.ORDERS, 0.0)
    for current, reactance in zip(fundamentals, reactances, strict=True):
        found = harmonics.six_pulse_spectrum(max(reactance, harmonics.MIN_REACTANCE))
        for order, percent in zip(harmonics.ORDERS, found.percents, strict=True):
            total[order] += current * percent / 100
    return total


def _current(at: Context, site: SiteContext, supply: Supply, drives: tuple[Drive, ...]) -> Figure:
    need = at.needs()
    fundamentals = numbers(need, site, drives, "harmonics.fundamental")
    reactances = numbers(need, site, drives, "harmonics.reactance")
    other = need.of("supply", "other_load", "A") if supply.other_load is not None else 0.0

    def distortion() -> float:
        total = math.fsum(fundamentals) + other
        positive(fundamental_a=total)
        return 100 * harmonics.root_sum(list(summed(fundamentals, reactances).values())) / total

    return need.figure(
        f"site.thdi.{supply.tag}",
        f"Current distortion at {supply.tag}",
        distortion,
        "%",
        _SUM,
        note=joined(
            "every motor at its rated power",
            "" if other else "other load not given: none counted",
            "single-phase drives left out",
        ),
    )


def _demand(at: Context, site: SiteContext, supply: Supply, drives: tuple[Drive, ...]) -> Iterator[Figure | Finding]:
    key, name = f"site.tdd.{supply.tag}", f"Total demand distortion at {supply.tag}"
    need = at.needs()
    fundamentals = numbers(need, site, drives, "harmonics.fundamental")
    reactances = numbers(need, site, drives, "harmonics.reactance")
    demand, fault = need.of("site", "common_point_demand", "A"), need.figure_of(f"site.source_fault.{supply.tag}")
    if sum(_has_three_phase(site, s) for s in site.inventory.supplies) > 1:
        note = "rule not implemented: one common point for several supplies with three-phase drives"
        yield Figure(key, name, None, "%", _TDD, tuple(need.inputs), verdict="not judged", note=note)
        return

    over: list[int] = []
    ratio = 1000 * fault / demand if demand > 0 else math.nan
    limit = harmonic_limits.tdd_limit_percent(ratio) if ratio > 0 else math.nan

    def total() -> float:
        positive(common_point_demand_a=demand, short_circuit_ratio=ratio)
        each = {h: 100 * i / demand for h, i in summed(fundamentals, reactances).items()}
        over.extend(h for h, share in each.items() if share > harmonic_limits.individual_limit_percent(ratio, h))
        return harmonics.root_sum(list(each.values()))

    figure = need.figure(
        key,
        name,
        total,
        "%",
        _TDD,
        limit=""
        if math.isnan(limit)
        else f"<= {limit:g} % (Isc/IL {display(ratio)}); single orders by their own limits",
        within=lambda percent: percent <= limit and not over,
    )
    if figure.value is not None:
        single = (
            f"over their own limit: orders {', '.join(map(str, over))}" if over else "no single order over its limit"
        )
        figure = replace(figure, note=f"common point taken at the supply's terminals; {single}")
    yield figure
    if figure.verdict == "outside":
        yield at.finding(
            "E241",
            Grade.CAUTION,
            ("site", "common_point_demand"),
            found=f"estimated demand distortion {figure.text()}",
            accepted=figure.limit,
            remedy=_with_reactors(fundamentals, reactances, demand, [d.tag for d in drives]),
        )


def _with_reactors(fundamentals: list[float], reactances: list[float], demand: float, tags: list[str]) -> str:
    """Say what reactors would do, and which drive gives most where they do not help."""
    better = summed(fundamentals, [max(x, 3.0) for x in reactances])
    percent = 100 * harmonics.root_sum(list(better.values())) / demand
    each = [harmonics.root_sum(list(summed([i], [x]).values())) for i, x in zip(fundamentals, reactances, strict=True)]
    most = tags[each.index(max(each))]
    return (
        f"with 3 % reactance or more ahead of every drive: {display(percent)} %; "
        f"else a filter at {most}, or measure in service"
    )


def _voltage(at: Context, site: SiteContext, supply: Supply, drives: tuple[Drive, ...]) -> Iterator[Figure | Finding]:
    need = at.needs()
    fundamentals = numbers(need, site, drives, "harmonics.fundamental")
    reactances = numbers(need, site, drives, "harmonics.reactance")
    fault, voltage = need.figure_of(f"site.source_fault.{supply.tag}"), need.of("supply", "voltage", "V")
    if site.iec:
        facts = load("iec_61000_facts")
        total_limit, single = facts.number("value", key="thd_u_class_2"), None
    elif voltage > 0:
        single, total_limit = harmonic_limits.voltage_limits_percent(voltage)
    else:
        single, total_limit = None, 0.0

    def shares() -> dict[int, float]:
        return harmonics.voltage_distortion_percent(summed(fundamentals, reactances), 1000 * fault)

    figure = need.figure(
        f"site.thdv.{supply.tag}",
        f"Voltage distortion at {supply.tag} from its drives",
        lambda: harmonics.root_sum(list(shares().values())),
        "%",
        _VOLTAGE_IEC if site.iec else _VOLTAGE,
        limit=f"<= {total_limit:g} %" + (f", each order <= {single:g} %" if single else ""),
        within=lambda percent: percent <= total_limit and (single is None or max(shares().values()) <= single),
        note="capacitors and distortion from outside not counted"
        + ("; single orders of IEC 61000-2-4 not judged" if site.iec else ""),
    )
    yield figure
    if figure.verdict == "outside":
        yield at.finding(
            "E242",
            Grade.CAUTION,
            ("supply", "transformer_rating"),
            found=f"estimated voltage distortion {figure.text()}",
            accepted=figure.limit,
            remedy="fit line reactors or filters on the largest drives, and measure in service",
        )


def _resonance(at: Context, supply: Supply) -> Iterator[Figure | Finding]:
    if supply.capacitors is None:
        return
    need = at.needs()
    kvar, voltage = need.of("supply", "capacitors", "kvar"), need.of("supply", "voltage", "V")
    fault = need.figure_of(f"site.source_fault.{supply.tag}")
    if kvar == 0:
        return
    figure = need.figure(
        f"site.resonance.{supply.tag}",
        f"Order at which the capacitors on {supply.tag} resonate",
        lambda: harmonics.resonance_order(1000 * fault_power_mva(1000 * fault, voltage), kvar),
        "",
        _RESONANCE,
        limit=f"more than {_APART:g} away from 5, 7, 11 and 13",
        within=lambda order: min(abs(order - h) for h in _RISKY) > _APART,
        note="all steps switched in; each smaller step resonates higher and is to be looked at as well",
    )
    yield figure
    if figure.verdict == "outside":
        yield at.finding(
            "E243",
            Grade.STOP,
            ("supply", "capacitors"),
            found=f"capacitors of {display(kvar)} kvar resonate at order {figure.text()}",
            accepted=figure.limit,
            remedy="detune the capacitors with reactors (7 % is usual), or switch them off while drives run",
        )
