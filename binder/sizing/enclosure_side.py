"""Figures of the place a drive stands in: losses, enclosure temperature, and the DC bus behind its cover."""

from __future__ import annotations

from collections.abc import Iterator

from binder.engineering import atmosphere, dc_bus, heat
from binder.engineering.figure import Figure, Rule, display
from binder.inventory.findings import Finding, Grade
from binder.inventory.lookup import drives_of_panel, model_of
from binder.sizing.context import Context, Needs, at_most, cell_of, not_above

_LOSSES = Rule("losses of the model at rated current", "the drive's manual")
_PANEL_LOSSES = Rule("sum over the drives of the panel", "the drives' manuals; other devices are not counted")
_SURFACE = Rule("effective surface by mounting", "IEC TR 60890 (coefficients from memory, check)")
_RISE = Rule("P / (k A + density c V)", "heat balance; wall figure k from a handbook, from memory, check")
_INSIDE = Rule("room + rise", "heat balance")
_AIRFLOW = Rule("(P - k A rise) / (density c rise)", "heat balance")
_NO_LOAD = Rule("sqrt(2) U", "textbook, peak of the line voltage")
_LOADED = Rule("3 sqrt(2) / pi U = 1.35 U", "textbook, six-pulse bridge under load")
_ENERGY = Rule("C U² / 2", "textbook")
_DISCHARGE = Rule("R C ln(U / 50 V)", "textbook; 50 V: NFPA 70E and 29 CFR 1910.333(b)")
_DISCHARGE_IEC = Rule(_DISCHARGE.text, "textbook; 50 V: common practice, no source")
_AFTER_WAIT = Rule("U exp(-t / RC)", "textbook")
_SIGN = Rule("more than 60 V left after 5 s asks for a durable sign with the delay", "NFPA 79 6.5")
_SIGN_IEC = Rule(_SIGN.text, "IEC 60204-1 6.2.4")

_METER_DECIDES = "a failed bleeder leaves the charge for hours: the meter proves, the time does not"


def figures(context: Context) -> Iterator[Figure | Finding]:
    """Yield the figures of enclosure heat and of the DC bus."""
    yield from _heat(context)
    yield from _bus(context)


def _heat(context: Context) -> Iterator[Figure | Finding]:
    need = context.needs()
    losses = need.of("model", "losses", "W")
    yield need.figure("heat.losses", "Losses of the drive at rated current", lambda: losses, "W", _LOSSES)
    panel = context.panel
    if panel is None or panel.height is None or panel.width is None or panel.depth is None:
        return
    yield _panel_losses(context)
    yield _surface(context)
    need, rise = _rise_needs(context)
    yield need.figure("heat.rise", "Rise inside the panel", rise, "K", _RISE, note="all drives at rated current")
    need = context.needs()
    room, warmer = need.of("panel", "room_ambient", "°C"), need.figure_of("heat.rise")
    limit = context.needs().of("model", "max_ambient", "°C")
    inside = need.figure(
        "heat.inside",
        "Air inside the panel",
        lambda: heat.inside_c(room, warmer),
        "°C",
        _INSIDE,
        limit=at_most(limit, "°C", "highest ambient of the model"),
        within=not_above(limit),
    )
    yield inside
    if inside.verdict == "outside":
        yield from _too_warm(context, inside, room, limit)
    entered = panel.ambient.to("°C") if panel.ambient is not None else None
    if entered is not None and isinstance(inside.value, float) and inside.value > entered + 1.0:
        yield context.finding(
            "E133",
            Grade.CAUTION,
            ("panel", "ambient"),
            found=f"ambient inside {display(entered)} °C entered, {inside.text()} computed at rated current",
            accepted="an inside ambient not below the computed one, or a reading at full load",
            remedy="measure inside at full load, or enter the computed value: derating rests on it",
        )


def _panel_losses(context: Context) -> Figure:
    need = context.needs()
    total = 0.0
    for drive in drives_of_panel(context.inventory, context.panel) if context.panel else ():
        model = model_of(context.inventory, drive)
        if model is None or model.losses is None:
            need.missing.append(f"losses of {drive.tag}")
            continue
        watts = model.losses.to("W")
        total += need.state(f"losses of {drive.tag}", watts, "W", cell_of(model, "losses"))
    return need.figure("heat.panel_losses", "Losses of all drives in the panel", lambda: total, "W", _PANEL_LOSSES)


def _surface(context: Context) -> Figure:
    need = context.needs()
    height, width = need.of("panel", "height", "m"), need.of("panel", "width", "m")
    depth, mounting = need.of("panel", "depth", "m"), need.word("panel", "mounting")
    return need.figure(
        "heat.surface",
        "Surface that gives off heat",
        lambda: heat.cooling_surface_m2(height, width, depth, mounting),
        "m²",
        _SURFACE,
    )


def _rise_needs(context: Context) -> tuple[Needs, Rise]:
    need = context.needs()
    losses, surface = need.figure_of("heat.panel_losses"), need.figure_of("heat.surface")
    material, room = need.word("panel", "enclosure_material"), need.of("panel", "room_ambient", "°C")
    altitude = need.of("site", "altitude", "m")
    airflow = need.of("panel", "airflow", "m³/h") if context.panel and context.panel.airflow is not None else 0.0
    wall = heat.WALL_W_PER_M2_K.get(material)
    if wall is None and material:
        need.missing.append(f"heat passed by a wall of {material}")
    need.state("heat passed by the wall, W per m² and K", wall or 0.0)
    return need, Rise(losses, surface, wall or 0.0, airflow, altitude, room)


class Rise:
    """The rise of a panel as a function of nothing, so that it is computed only when all data are there."""

    def __init__(
        self, losses: float, surface: float, wall: float, airflow: float, altitude: float, room: float
    ) -> None:
        self.losses, self.surface, self.wall = losses, surface, wall
        self.airflow, self.altitude, self.room = airflow, altitude, room

    @property
    def density(self) -> float:
        """Density of the room's air."""
        return atmosphere.air_density_kg_m3(self.altitude, self.room)

    def __call__(self) -> float:
        """Return the rise. [K]"""
        return heat.temperature_rise_k(
            self.losses,
            surface=self.surface,
            wall_w_per_m2_k=self.wall,
            airflow_m3_h=self.airflow,
            air_density_kg_m3=self.density,
        )

    def airflow_for(self, rise_k: float) -> float:
        """Return the airflow that holds another rise. [m³/h]"""
        return heat.airflow_needed_m3_h(
            self.losses,
            rise_k,
            surface=self.surface,
            wall_w_per_m2_k=self.wall,
            air_density_kg_m3=self.density,
        )


def _too_warm(context: Context, inside: Figure, room: float, limit: float) -> Iterator[Figure | Finding]:
    allowed = limit - room
    remedy = "cool the panel: the room alone is as warm as the drive may be"
    if allowed > 0:
        need, rise = _rise_needs(context)
        name = "Airflow that would keep the limit"
        airflow = need.figure("heat.airflow_needed", name, lambda: rise.airflow_for(allowed), "m³/h", _AIRFLOW)
        yield airflow
        remedy = f"move at least {airflow.text()} of room air through the panel, or use a larger or cooled one"
    yield context.finding(
        "E131",
        Grade.STOP,
        ("panel", "room_ambient"),
        found=f"the panel reaches {inside.text()} with its drives at rated current",
        accepted=f"at most {display(limit)} °C, highest ambient of the model",
        remedy=remedy,
    )


def _bus(context: Context) -> Iterator[Figure | Finding]:
    need = context.needs()
    line = need.of("supply", "voltage", "V")
    yield need.figure("bus.no_load", "DC bus without load", lambda: dc_bus.no_load_volts(line), "V", _NO_LOAD)
    if context.supply is None or context.supply.phases != 1:
        note = "without sag of the supply"
        yield need.figure("bus.loaded", "DC bus under load", lambda: dc_bus.loaded_volts(line), "V", _LOADED, note=note)
    if context.model is None or context.model.link_capacitance is None:
        need = context.needs()
        need.of("model", "link_capacitance", "µF")
        yield need.figure("bus.stored_energy", "Energy stored in the DC link", lambda: 0.0, "J", _ENERGY)
        return
    yield _stored(context)
    yield from _discharge(context)


def _highest_bus(need: Needs) -> tuple[float, str]:
    """Voltage from which discharge is counted: the trip voltage, where the model states it, is the worst."""
    model = need.context.model
    if model is not None and model.link_trip_voltage is not None:
        return need.of("model", "link_trip_voltage", "V"), "from the overvoltage trip, the highest the bus can stand at"
    return need.figure_of("bus.no_load"), "from the no-load voltage; after braking it starts higher"


def _stored(context: Context) -> Figure:
    need = context.needs()
    farads = need.of("model", "link_capacitance", "µF") * 1e-6
    volts = need.figure_of("bus.no_load")
    return need.figure(
        "bus.stored_energy",
        "Energy stored in the DC link",
        lambda: dc_bus.stored_energy_j(farads, volts),
        "J",
        _ENERGY,
        note="at the no-load voltage",
    )


def _discharge(context: Context) -> Iterator[Figure | Finding]:
    need = context.needs()
    farads = need.of("model", "link_capacitance", "µF") * 1e-6
    ohms = need.of("model", "bleeder_resistance", "Ω")
    volts, start = _highest_bus(need)
    label = context.needs().of("model", "wait_time", "s")
    discharge = need.figure(
        "bus.discharge_time",
        "Time until the DC bus is below 50 V",
        lambda: dc_bus.discharge_time_s(ohms, farads, volts, dc_bus.SAFE_VOLTS),
        "s",
        _DISCHARGE_IEC if context.iec else _DISCHARGE,
        limit=at_most(label, "s", "wait time of the label"),
        within=not_above(label),
        note=f"{start}; {_METER_DECIDES}",
    )
    yield discharge
    if discharge.verdict == "outside" and isinstance(discharge.value, float):
        minutes = -(-discharge.value // 60)
        yield context.finding(
            "E132",
            Grade.STOP,
            ("model", "wait_time"),
            found=f"the bus needs {discharge.text()} to fall below 50 V, the label says {display(label)} s",
            accepted="a wait time not shorter than the computed discharge",
            remedy=f"check capacitance, bleeder and label in the manual; until then wait {minutes:.0f} min and measure",
        )
    need = context.needs()
    farads, ohms = need.of("model", "link_capacitance", "µF") * 1e-6, need.of("model", "bleeder_resistance", "Ω")
    wait = need.of("model", "wait_time", "s")
    volts, _ = _highest_bus(need)
    yield need.figure(
        "bus.after_wait",
        "DC bus expected after the label's wait time",
        lambda: dc_bus.volts_after(volts, wait, dc_bus.time_constant_s(ohms, farads)),
        "V",
        _AFTER_WAIT,
        note=_METER_DECIDES,
    )


    def sign() -> str:
        left = dc_bus.volts_after(volts, 5.0, dc_bus.time_constant_s(ohms, farads))
        return "needed" if left > 60.0 else "not needed"

    yield need.figure("bus.sign", "Sign with the delay on the enclosure", sign, "", _SIGN_IEC if context.iec else _SIGN)
