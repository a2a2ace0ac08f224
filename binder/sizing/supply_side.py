"""Figures of the supply side of a drive: fault current, line circuit, earthing and leakage."""

from __future__ import annotations

import math
from collections.abc import Iterator
from dataclasses import replace

from binder.engineering import leakage, load
from binder.engineering.figure import Figure, Rule
from binder.engineering.supply import apparent_power_kva
from binder.engineering.tables import load as load_table
from binder.inventory.findings import Finding, Grade
from binder.sizing import fault, line_iec, line_nec
from binder.sizing.context import Context, label_of
from binder.sizing.words import for_phases

_CURRENT = Rule("rated input current of the drive model", "drive manual, page on the Models sheet")
_RATIO = Rule(
    "transformer rating over drive rating sqrt 3 U I", "common practice, no source: above 10 add 3 % reactance"
)
_UNBALANCE = Rule("largest deviation from the mean over the mean", "NEMA MG 1, 14.36 and 12.45")
_UNBALANCE_IEC = Rule(_UNBALANCE.text, "IEC 60204-1:2016, 4.3.2 (2 %, from memory, check)")
_LEAKAGE = Rule("leakage current of the drive model", "drive manual, page on the Models sheet")
_LEAKAGE_EARTH = Rule("above 3.5 mA an added measure", "IEC 61800-5-1:2007, 4.3.5.5.2; IEC 60204-1:2016, 8.2.6")
_RCD = Rule("three-phase rectifier: smooth DC possible", "IEC 61800-5-1:2007, 6.4.3 (clause from memory)")
_JUMPER = Rule(
    "internal filter to earth only where the source is solidly earthed at its star point",
    "drive manuals in general; common practice, no standard",
)
#: Sources on which the filter to earth sees more than the phase voltage, or none to bear a fault.
_UNEARTHED = frozenset({"IT", "corner grounded delta", "ungrounded delta", "high-resistance grounded"})


def figures(context: Context) -> Iterator[Figure | Finding]:
    """Yield every figure of the supply side, NEC or IEC by the Site sheet."""
    need = context.needs()
    current = need.of("model", "input_current", "A")
    yield need.figure("line.current", "Rated input current of the drive", lambda: current, "A", _CURRENT)
    yield from fault.figures(context)
    yield from (line_iec.figures(context) if context.iec else line_nec.figures(context))
    yield from _transformer_ratio(context)
    yield _unbalance(context)
    yield from _leakage(context)


def _transformer_ratio(context: Context) -> Iterator[Figure | Finding]:
    need = context.needs()
    current = need.of("model", "input_current", "A")
    voltage = need.of("supply", "voltage", "V")
    rating = need.of("supply", "transformer_rating", "kVA")
    reactor, choke = context.drive.line_reactor, context.model.built_in_reactor if context.model else None
    reactance = math.fsum(m.to("%") for m in (reactor, choke) if m is not None)
    three = fault.phases_of(context) == 3  # the rule of the trade speaks of three-phase rectifiers
    figure = need.figure(
        "line.transformer_ratio",
        "Transformer rating over drive rating",
        lambda: load.transformer_ratio(rating, apparent_power_kva(current, voltage, phases=fault.phases_of(context))),
        "",
        for_phases(_RATIO, fault.phases_of(context)),
        limit="<= 10 without a reactor" if three else "",
        within=(lambda ratio: ratio <= 10 or reactance >= 3) if three else None,
        note=f"line reactor {'not stated' if reactor is None else f'{reactor}'}, "
        f"built-in choke {'not stated' if choke is None else f'{choke}'}",
    )
    outside = figure.verdict == "outside"
    open_question = reactor is None and three and reactance < 3
    if outside and open_question:
        figure = replace(figure, verdict="not judged", missing=(label_of("drive", "line_reactor"),))
    yield figure
    if outside and not open_question:
        yield context.finding(
            "E225",
            Grade.CAUTION,
            ("drive", "line_reactor"),
            found=f"transformer {figure.text()} times the drive's rating, {reactance:g} % reactance ahead of it",
            accepted="a ratio up to 10, or 3 % reactance or more",
            remedy="fit a line reactor of 3 to 5 %, or show that the manual does not ask for one",
        )
    elif outside:
        yield context.finding(
            "E225",
            Grade.CAUTION,
            ("drive", "line_reactor"),
            found=f"transformer {figure.text()} times the drive's rating, and whether a line reactor is fitted is "
            "not stated",
            accepted="its percent impedance, or none; 3 % or more is asked for above a ratio of 10",
            remedy="look whether a reactor is fitted and type its impedance or none; where there is none, fit one of "
            "3 to 5 %, or show that the manual does not ask for one",
        )
    elif open_question:
        yield context.finding(
            "E224",
            Grade.NOTE,
            ("drive", "line_reactor"),
            found="whether a line reactor is fitted is not stated; the harmonic figures count none",
            accepted="its percent impedance, or none",
            remedy="look, and type its impedance or none",
        )


def _unbalance(context: Context) -> Figure:
    facts = load_table("nema_mg1_facts")
    if context.iec:
        limit = load_table("iec_60204_1_facts").number("number", key="supply_unbalance_max")
    else:
        limit = facts.number("value", key="voltage_unbalance_no_derating_max")
    steps = ", ".join(
        f"{n} %: {facts.number('value', key=f'voltage_unbalance_derating_at_{n}_pct'):g}" for n in range(1, 6)
    )
    return context.needs().figure(
        "line.unbalance_allowed",
        "Voltage unbalance allowed",
        lambda: limit,
        "%",
        _UNBALANCE_IEC if context.iec else _UNBALANCE,
        note="judged from the readings; a motor on its bypass is derated"
        + (" (NEMA MG 1, 14.36; IEC 60034-26 is not held here)" if context.iec else "")
        + f": {steps}; on a drive a small unbalance loads one rectifier phase more",
    )


def _leakage(context: Context) -> Iterator[Figure | Finding]:
    need = context.needs()
    milliamps = need.of("model", "leakage_current", "mA")
    yield need.figure(
        "leakage.current",
        "Leakage current to earth",
        lambda: milliamps,
        "mA",
        _LEAKAGE,
        limit=f"<= {leakage.leakage_limit_ma():g} mA without an added measure",
        note="the motor cable adds to it: not computed, the workbook holds no cable capacitance",
    )
    yield need.figure(
        "leakage.conductor",
        "What leakage asks of the earth conductor",
        lambda: leakage.protective_conductor(milliamps).words,
        "",
        _LEAKAGE_EARTH,
        note="" if context.iec else "IEC rule, printed for comparison: on this site the drive manual and 250.122 count",
    )
    need = context.needs()
    phases = need.first_of(("model", "input_phases"), ("supply", "phases"))
    yield need.figure(
        "leakage.residual_current_device",
        "Residual-current device where one is fitted",
        lambda: leakage.residual_current_device(int(phases)),
        "",
        _RCD,
        note="rated residual current above the leakage of everything behind it; 300 mA is usual (common practice)",
    )
    yield from _filter_jumper(context)


def _filter_jumper(context: Context) -> Iterator[Figure | Finding]:
    need = context.needs()
    earthing = need.word("supply", "earthing")
    jumper = context.drive.filter_jumper
    wanted = "removed" if earthing in _UNEARTHED else "as the manual says"
    yield need.figure(
        "leakage.filter_jumper",
        "Jumper of the internal filter to earth",
        lambda: wanted,
        "",
        _JUMPER,
        limit=f"recorded: {jumper}" if jumper else "",
        within=(lambda word: word != "removed" or jumper in ("removed", "none")) if jumper else None,
    )
    if earthing in _UNEARTHED and jumper not in ("removed", "none"):
        yield context.finding(
            "E226",
            Grade.STOP if jumper == "fitted" else Grade.CAUTION,
            ("drive", "filter_jumper"),
            found=f"filter jumper {jumper or 'not recorded'} on a source earthed as: {earthing}",
            accepted="removed, or none",
            remedy="remove the jumper as the drive manual shows, and record it",
        )
