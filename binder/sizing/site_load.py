"""Load and demand, feeders, transformer and generator, and the fault current at every panel."""

from __future__ import annotations

import math
from collections.abc import Iterator

from binder.engineering import conductors, load, protection, short_circuit
from binder.engineering.figure import Figure, Rule, display
from binder.engineering.supply import apparent_power_kva
from binder.engineering.tables import OutsideTableError
from binder.engineering.voltage_drop import drop_percent, drop_v
from binder.inventory.counting import counted
from binder.inventory.findings import Finding, Grade
from binder.inventory.lookup import drives_of_panel, drives_of_supply, supply_with_tag
from binder.inventory.records import Panel, Supply
from binder.sizing import fault
from binder.sizing.context import Context, SiteContext, at_least
from binder.sizing.runs import run_of, size_of
from binder.sizing.site_parts import context_at, numbers
from binder.sizing.words import for_phases

_DEMAND = Rule("sqrt 3 U × sum of rated input currents and other load", "circuit theory; no diversity taken")
_LOADING = Rule("load over rating", "arithmetic; harmonic heating (IEEE C57.110) not implemented")
_GENERATOR = Rule("at least twice the six-pulse drive load", "common practice, no source")
_FEEDER = Rule(
    "125 % of the largest rated input current plus the others, plus 125 % of other load on the supply's only panel",
    "NFPA 70 (NEC) 2023, 430.24 with 430.122",
)
_FEEDER_IEC = Rule("sum of rated input currents", "IEC 60364-1, 311; no diversity taken")
_FEEDER_CAPACITY = Rule(
    "lower of terminal column and ambient-corrected insulation column, times sets",
    "NFPA 70 (NEC) 2023, Table 310.16, 110.14(C)(1)",
)
_FEEDER_DEVICE = Rule(
    "largest branch device allowed plus the other input currents, not rounded up", "NFPA 70 (NEC) 2023, 430.62(A)"
)
_DROP = Rule("sqrt 3 I (R cos phi + X sin phi) / U", "NEC 215.2(A) informational note, 3 and 5 %")
_DROP_IEC = Rule(
    _DROP.text, "IEC 60364-5-52:2009, Annex G, 5 % in all; 3 % of it for the feeder: common practice, no source"
)
_PANEL_RATING = Rule(
    "rating of the panel not below the available current", "NEC 110.9, 110.10, 409.22(A), 409.110(4)"
)
_PANEL_RATING_IEC = Rule(_PANEL_RATING.text, "IEC 61439-1")
_LEAST_IMPEDANCE = 0.9  # of the rated one: tolerance of IEC 60076-1, table 1, from memory, check
_MOTORS_ADD = 1.5  # motors and a second source may add as much: common practice, no source
_FAR = 5.0  # recommended limit of feeder and branch together. [%]


def supply_figures(site: SiteContext, supply: Supply) -> Iterator[Figure | Finding]:
    """Yield demand, transformer loading, generator check and fault current of one supply."""
    at, tag = context_at(site, panel=None, supply=supply), supply.tag
    drives = drives_of_supply(site.inventory, supply)
    need = at.needs()
    currents = numbers(need, site, drives, "line.current")
    other = need.of("supply", "other_load", "A") if supply.other_load is not None else 0.0
    voltage = need.of("supply", "voltage", "V")
    yield need.figure(
        f"site.demand.{tag}",
        f"Demand on {tag}",
        lambda: apparent_power_kva(math.fsum(currents) + other, voltage, phases=fault.phases_of(at)),
        "kVA",
        for_phases(_DEMAND, fault.phases_of(at)),
        note=f"{counted(len(drives), 'drive')} at rated input"
        + ("" if supply.other_load else "; other load not given: none counted"),
    )
    yield from _transformer(at, tag)
    yield from _generator(at, site, tag)
    source = fault.source_figure(at, f"site.source_fault.{tag}")
    yield source
    yield from _more_than_given(at, source)


def _more_than_given(at: Context, source: Figure) -> Iterator[Finding]:
    """Doubt a fault current given by others that its transformer cannot deliver."""
    supply = at.supply
    given = supply.fault_current if supply is not None else None
    if supply is None or given is None or not isinstance(source.value, float):
        return
    if supply.voltage is None or supply.transformer_rating is None or supply.transformer_impedance is None:
        return
    most = short_circuit.transformer_fault_a(
        supply.transformer_rating.to("kVA"), supply.voltage.to("V"), supply.transformer_impedance.to("%"),
        impedance_tolerance=_LEAST_IMPEDANCE, phases=fault.phases_of(at),
    ) / 1000  # fmt: skip
    if source.value > _MOTORS_ADD * most:
        yield at.finding(
            "E222",
            Grade.CAUTION,
            ("supply", "fault_current"),
            found=f"{given} given, the transformer delivers at most {display(most)} kA at its terminals, "
            "with 10 % off its impedance",
            accepted=f"{display(most)} kA and what motors add, up to half as much (common practice, no source)",
            remedy="check unit and place of the value against the study, and rating and impedance against the plate",
        )


def _transformer(at: Context, tag: str) -> Iterator[Figure | Finding]:
    supply = at.supply
    if supply is None or (supply.transformer_rating is None and supply.generator_rating is not None):
        return
    need = at.needs()
    demand, rating = need.figure_of(f"site.demand.{tag}"), need.of("supply", "transformer_rating", "kVA")
    figure = need.figure(
        f"site.transformer_loading.{tag}",
        f"Loading of transformer {tag}",
        lambda: load.loading_percent(demand, rating),
        "%",
        _LOADING,
        limit="<= 100 %",
        within=lambda percent: percent <= 100,
    )
    yield figure
    if figure.verdict == "outside":
        yield at.finding(
            "E253",
            Grade.CAUTION,
            ("supply", "transformer_rating"),
            found=f"{display(demand)} kVA connected, {display(rating)} kVA rated",
            accepted=f"{display(demand)} kVA or more, or a lower demand shown by measurement",
            remedy="show the diversity of the load, move drives to another source, or fit a larger transformer",
        )


def _generator(at: Context, site: SiteContext, tag: str) -> Iterator[Figure | Finding]:
    supply = at.supply
    if supply is None or supply.generator_rating is None:
        return
    need = at.needs()
    currents = numbers(need, site, drives_of_supply(site.inventory, supply), "line.current")
    rating, voltage = need.of("supply", "generator_rating", "kVA"), need.of("supply", "voltage", "V")
    figure = need.figure(
        f"site.generator.{tag}",
        f"Smallest generator for the drives on {tag}",
        lambda: load.least_generator_kva(apparent_power_kva(math.fsum(currents), voltage, phases=fault.phases_of(at))),
        "kVA",
        _GENERATOR,
        limit=f"fitted {display(rating)} kVA",
        within=lambda least: rating >= least,
        note="all drives running on the set; drives locked out on generator supply may be left out",
    )
    yield figure
    if figure.verdict == "outside":
        yield at.finding(
            "E254",
            Grade.CAUTION,
            ("supply", "generator_rating"),
            found=f"generator of {display(rating)} kVA for a drive load that asks for {figure.text()}",
            accepted=f"{figure.text()} or more",
            remedy="let fewer drives run on the set, add reactors or filters, or ask the set's maker for a study",
        )


def panel_figures(site: SiteContext, panel: Panel) -> Iterator[Figure | Finding]:
    """Yield feeder, its drop, and fault current against rating of one panel."""
    at = context_at(site, panel=panel, supply=supply_with_tag(site.inventory, panel.supply))
    drives = drives_of_panel(site.inventory, panel)
    if drives:
        need = at.needs()
        currents = numbers(need, site, drives, "line.current")
        yield need.figure(
            f"site.feeder.{panel.tag}",
            f"Ampacity the feeder of {panel.tag} must have",
            lambda: math.fsum(currents) if at.iec else protection.feeder_ampacity_a(currents),
            "A",
            _FEEDER_IEC if at.iec else _FEEDER,
            note=f"{counted(len(drives), 'drive')}; loads other than drives are not in the workbook",
        )
        if panel.feeder_size is not None:
            yield from _feeder_capacity(at, panel)
            yield from _feeder_device(at, site, panel)
            yield from _feeder_drop(at, site, panel)
    yield from _panel_fault(at, panel)


def _feeder_capacity(at: Context, panel: Panel) -> Iterator[Figure | Finding]:
    key, name = f"site.feeder_capacity.{panel.tag}", f"Ampacity of the feeder of {panel.tag}"
    need = at.needs()
    required = need.figure_of(f"site.feeder.{panel.tag}")
    label, material = size_of(need, "panel", "feeder_size"), need.word("panel", "feeder_material")
    if at.iec:
        note = "rule not implemented: reference method and insulation of the feeder are not in the workbook"
        yield Figure(key, name, None, "A", _FEEDER_IEC, tuple(need.inputs), verdict="not judged", note=note)
        return
    ambient = need.of("panel", "room_ambient", "°C") if panel.room_ambient is not None else 30.0
    sets = panel.feeder_sets or 1

    def allowed() -> float:
        column = conductors.terminal_temperature_c(required)
        return conductors.capacity(
            label, insulation_c=column, terminal_c=column, ambient_c=ambient, material=material, sets=sets
        ).allowed_a

    figure = need.figure(
        key,
        name,
        allowed,
        "A",
        _FEEDER_CAPACITY,
        limit=at_least(required, "A"),
        within=lambda has: has >= required - 1e-9,
        note="insulation not in the workbook: taken as good as its terminals, 60 °C to 100 A, 75 °C above"
        + ("" if panel.room_ambient is not None else "; room ambient not given: 30 °C of the table"),
    )
    yield figure
    if figure.verdict == "outside":
        yield at.finding(
            "E255",
            Grade.STOP,
            ("panel", "feeder_size"),
            found=f"feeder {sets} × {label} carries {figure.text()}, {display(required)} A needed",
            accepted=f"{display(required)} A or more",
            remedy=_larger_feeder(required, ambient, material, sets),
        )


def _larger_feeder(required: float, ambient: float, material: str, sets: int) -> str:
    column = conductors.terminal_temperature_c(required)
    try:
        label = conductors.smallest_size(
            required / sets, insulation_c=column, terminal_c=column, ambient_c=ambient, material=material
        )
    except OutsideTableError:
        return "fit more parallel sets"
    return f"fit {sets} × {label} {material}, or show a lower load"


def _feeder_device(at: Context, site: SiteContext, panel: Panel) -> Iterator[Figure | Finding]:
    if at.iec or panel.feeder_protection is None:
        return
    drives = drives_of_panel(site.inventory, panel)
    need = at.needs()
    devices = numbers(need, site, drives, "line.protection")
    currents = numbers(need, site, drives, "line.current")
    fitted = need.of("panel", "feeder_protection", "A")

    def largest() -> float:
        at_largest = max(range(len(devices)), key=lambda i: (devices[i], -currents[i]))
        return protection.largest_feeder_device_a(
            devices[at_largest], [c for i, c in enumerate(currents) if i != at_largest]
        )

    figure = need.figure(
        f"site.feeder_protection.{panel.tag}",
        f"Largest feeder device of {panel.tag}",
        largest,
        "A",
        _FEEDER_DEVICE,
        limit=f"fitted {fitted:g} A",
        within=lambda most: fitted <= most,
        note="a feeder sized for loads to come may have the device of its conductors (430.62(B)): not judged",
    )
    yield figure
    if figure.verdict == "outside":
        yield at.finding(
            "E256",
            Grade.NOTE,
            ("panel", "feeder_protection"),
            found=f"feeder device of {fitted:g} A, {figure.text()} is the largest for its drives",
            accepted=f"{figure.text()} or less, or a feeder sized for loads to come (430.62(B))",
            remedy="show the other loads and the feeder's ampacity, or fit a smaller device",
        )


def _feeder_drop(at: Context, site: SiteContext, panel: Panel) -> Iterator[Figure | Finding]:
    drives = drives_of_panel(site.inventory, panel)
    need = at.needs()
    current = math.fsum(numbers(need, site, drives, "line.current"))
    voltage, frequency = need.of("supply", "voltage", "V"), need.of("supply", "frequency", "Hz")
    run = run_of(need, "panel", prefix="feeder_")
    factor = need.state("power factor", 0.8 if at.iec else 0.85, "", "rule")

    def percent() -> float:
        z = run.impedance_ohm(temperature_c=70.0 if at.iec else 75.0, frequency_hz=frequency)
        return drop_percent(drop_v(current, z, factor, phases=fault.phases_of(at)), voltage)

    figure = need.figure(
        f"site.feeder_drop.{panel.tag}",
        f"Voltage drop of the feeder of {panel.tag}",
        percent,
        "%",
        for_phases(_DROP_IEC if at.iec else _DROP, fault.phases_of(at)),
        limit="<= 3 % (recommended)",
        within=lambda drop: drop <= 3,
        note=run.words() if run.label else "",
    )
    yield figure
    drops = {d.tag: site.drives[d.tag].number("drop.line") for d in drives if d.tag in site.drives}
    worst = max(((drop, tag) for tag, drop in drops.items() if drop is not None), default=(0.0, ""))
    unknown = [tag for tag, drop in drops.items() if drop is None]
    need = at.needs()
    feeder = need.figure_of(f"site.feeder_drop.{panel.tag}")
    if worst[1]:
        need.state(f"{worst[1]} line cable", worst[0], "%", f"{worst[1]} drop.line")
    else:
        need.missing.append("voltage drop of a line cable")
    total = need.figure(
        f"site.total_drop.{panel.tag}",
        f"Voltage drop from the source to the farthest drive on {panel.tag}",
        lambda: feeder + worst[0],
        "%",
        _DROP_IEC if at.iec else _DROP,
        limit=f"<= {_FAR:g} %",
        within=lambda drop: drop <= _FAR,
        note=f"worst line cable: {worst[1]}" + (f"; not judged: {', '.join(unknown)}" if unknown else ""),
    )
    yield total
    if "outside" in (figure.verdict, total.verdict):
        yield at.finding(
            "E257",
            Grade.CAUTION,
            ("panel", "feeder_size"),
            found=f"feeder drops {figure.text()}, {total.text()} to the farthest drive",
            accepted=f"{figure.limit}; {total.limit} to the drive",
            remedy="fit a larger feeder or more sets, or show a lower load",
        )


def _panel_fault(at: Context, panel: Panel) -> Iterator[Figure | Finding]:
    supply = at.supply.tag if at.supply is not None else ""
    key = f"site.fault.{panel.tag}"
    found = fault.panel_figure(at, key, source=f"site.source_fault.{supply}")
    yield found
    need = at.needs()
    rating, available = need.of("panel", "fault_rating", "kA"), need.figure_of(key)
    figure = need.figure(
        f"site.panel_rating.{panel.tag}",
        f"Short-circuit rating of {panel.tag}",
        lambda: rating,
        "kA",
        _PANEL_RATING_IEC if at.iec else _PANEL_RATING,
        limit=at_least(available, "kA"),
        within=lambda has: has >= available,
        note="interrupting ratings of single devices are not in the workbook: not judged",
    )
    yield figure
    if figure.verdict == "outside":
        yield at.finding(
            "E258",
            Grade.STOP,
            ("panel", "fault_rating"),
            found=f"{panel.tag} rated {figure.text()}, {display(available)} kA available",
            accepted=f"{display(available)} kA or more",
            remedy="limit the fault current (reactor, smaller transformer), or rebuild the panel",
        )
