"""What the workbook says, as frozen records. One class per sheet; `None` means the cell was blank.

Every record carries its `Origin`, so that whatever is judged later can still name the cell.
Choices are plain strings; the legal ones stand in `columns.py`, once.
"""

from __future__ import annotations

import datetime as dt
from dataclasses import dataclass
from decimal import Decimal

from binder.inventory.findings import Finding
from binder.inventory.origin import NOWHERE, Origin
from binder.inventory.quantities import Measure
from binder.inventory.records_papers import (
    AsLeft,
    Defeat,
    DocumentOption,
    Instrument,
    MaintenanceTask,
    Override,
    Person,
    PunchItem,
    Reading,
    Revision,
    Signature,
    Spare,
    Training,
    Waiver,
    Warranty,
)

__all__ = [
    "AsLeft",
    "Cable",
    "Choice",
    "ConductorSize",
    "Control",
    "Defeat",
    "DeratingPoint",
    "DocumentOption",
    "Drive",
    "DriveModel",
    "FaultCode",
    "Instrument",
    "Inventory",
    "Isolator",
    "Machine",
    "MaintenanceTask",
    "ModelSetting",
    "ModelTerminal",
    "Motor",
    "NetworkNode",
    "Origin",
    "Override",
    "Panel",
    "Person",
    "PunchItem",
    "Reading",
    "Revision",
    "Signature",
    "Site",
    "Spare",
    "Supply",
    "Training",
    "Waiver",
    "Warranty",
    "WireChange",
]


@dataclass(frozen=True, slots=True)
class ConductorSize:
    """A conductor size as labelled ('12 AWG', '250 kcmil', '2.5 mm²') and its copper area."""

    label: str
    area_mm2: float

    def __str__(self) -> str:
        return self.label


@dataclass(frozen=True, slots=True)
class Site:
    """The Site sheet: one value a line."""

    name: str
    document_prefix: str
    code_basis: str  # 'NEC' or 'IEC'
    code_edition: str = ""
    paper: str = "Letter"
    decimal_mark: str = "."
    symbols: str = ""  # 'North American' or 'IEC'; follows the code basis when blank
    binder_title: str = ""
    address: str = ""
    owner: str = ""
    contractor: str = ""
    contractor_address: str = ""
    job_number: str = ""
    invented: bool = False  # printed on the cover: nothing in this binder is real
    altitude: Measure | None = None
    outdoor_min: Measure | None = None
    outdoor_max: Measure | None = None
    emergency_number: str = ""
    lockout_procedure: str = ""
    arc_flash_study_date: dt.date | None = None
    prepared_by: str = ""
    checked_by: str = ""
    approved_by: str = ""
    status: str = "for review"
    revision: str = "A"
    issue_date: dt.date | None = None
    disclaimer: str = ""
    items_by_others: str = ""
    sampling_rule: str = ""
    language: str = "English"
    logo_file: str = ""
    common_point_demand: Measure | None = None  # maximum demand load current at the common point
    origin: Origin = NOWHERE

    @property
    def title(self) -> str:
        """Title of the binder; a heading is never empty, which tagged PDF forbids."""
        return self.binder_title or self.name or "Binder of a site without a name"


@dataclass(frozen=True, slots=True)
class Supply:
    """A source: transformer, service or generator."""

    tag: str
    voltage: Measure | None = None
    frequency: Measure | None = None
    phases: int | None = None
    earthing: str = ""
    transformer_rating: Measure | None = None
    transformer_impedance: Measure | None = None  # percent
    transformer_x_over_r: Decimal | None = None
    primary_fault: str = ""  # 'infinite', or blank with primary_fault_power given
    primary_fault_power: Measure | None = None  # MVA
    fault_current: Measure | None = None  # given by others, at the secondary terminals
    fault_study: str = ""
    generator_rating: Measure | None = None
    generator_subtransient: Measure | None = None  # percent
    capacitors: Measure | None = None  # kvar
    other_load: Measure | None = None  # A, linear load besides the drives
    description: str = ""
    origin: Origin = NOWHERE


@dataclass(frozen=True, slots=True)
class Panel:
    """A panel or motor control centre that feeds drives, or the enclosure they stand in."""

    tag: str
    supply: str = ""
    place: str = ""
    description: str = ""
    feeder_size: ConductorSize | None = None
    feeder_sets: int | None = None
    feeder_material: str = ""
    feeder_raceway: str = ""
    feeder_length: Measure | None = None
    feeder_protection: Measure | None = None
    fault_current: Measure | None = None
    fault_rating: Measure | None = None  # short-circuit current rating of the assembly
    ambient: Measure | None = None  # inside, at full load
    room_ambient: Measure | None = None
    enclosure_type: str = ""
    width: Measure | None = None
    height: Measure | None = None
    depth: Measure | None = None
    mounting: str = ""
    enclosure_material: str = ""
    airflow: Measure | None = None
    origin: Origin = NOWHERE


@dataclass(frozen=True, slots=True)
class Drive:
    """One drive as installed."""

    tag: str
    formerly: str = ""
    feeds: str = ""  # what it serves, in words
    area: str = ""
    panel: str = ""
    circuit: str = ""
    model: str = ""
    variant: str = ""
    serial: str = ""
    asset_number: str = ""
    manufactured: dt.date | None = None
    last_powered: dt.date | None = None
    software: str = ""
    duty: str = ""  # 'light' or 'heavy'
    motor: str = ""
    machine: str = ""
    isolator: str = ""
    protection_kind: str = ""
    protection_rating: Measure | None = None
    disconnect_rating: Measure | None = None
    line_reactor: Measure | None = None  # percent
    output_filter: str = ""
    carrier_frequency: Measure | None = None
    ambient: Measure | None = None
    control_logic: str = ""  # 'positive' or 'negative'
    control_supply: str = ""  # 'internal' or 'external'
    min_frequency: Measure | None = None
    max_frequency: Measure | None = None
    skip_frequency: Measure | None = None
    skip_width: Measure | None = None
    acceleration_time: Measure | None = None
    deceleration_time: Measure | None = None
    stop_mode: str = ""
    restart_on_power_return: bool | None = None
    flying_start: bool | None = None
    automatic_resets: int | None = None
    loss_of_reference: str = ""
    bypass: str = ""
    common_dc_bus: str = ""
    brake_resistance: Measure | None = None
    brake_power: Measure | None = None
    filter_jumper: str = ""
    required_performance: str = ""  # for the safety function, from the risk assessment
    backup_file: str = ""
    photographs: str = ""
    remark: str = ""
    origin: Origin = NOWHERE


@dataclass(frozen=True, slots=True)
class Motor:
    """A motor plate, as connected."""

    tag: str
    power: Measure | None = None
    voltage: Measure | None = None
    plate_voltages: str = ""  # all voltages on the plate, for example 230/460
    current: Measure | None = None
    frequency: Measure | None = None
    speed: Measure | None = None
    power_factor: Decimal | None = None
    efficiency: Measure | None = None  # percent
    poles: int | None = None
    service_factor: Decimal | None = None
    insulation_class: str = ""
    design_letter: str = ""
    code_letter: str = ""
    efficiency_class: str = ""
    frame: str = ""
    enclosure: str = ""
    cooling: str = ""
    connection: str = ""
    inverter_duty: bool | None = None
    peak_voltage_limit: Measure | None = None
    rise_time_limit: Measure | None = None
    thermal_sensor: str = ""
    space_heater_voltage: Measure | None = None
    space_heater_isolator: str = ""
    permanent_magnet: bool | None = None
    inertia: Measure | None = None
    winding_resistance: Measure | None = None
    serial: str = ""
    manufactured: dt.date | None = None
    remark: str = ""
    origin: Origin = NOWHERE


@dataclass(frozen=True, slots=True)
class Machine:
    """What the motor turns."""

    tag: str
    kind: str = ""
    load_type: str = ""  # 'quadratic', 'constant torque', 'constant power', 'hoist'
    shaft_power: Measure | None = None  # needed at full speed
    rated_speed: Measure | None = None
    max_speed: Measure | None = None
    min_speed: Measure | None = None
    inertia: Measure | None = None  # at the machine shaft
    transmission: str = ""  # 'direct', 'belt', 'gear'
    gear_ratio: Decimal | None = None  # motor rpm over machine rpm
    motor_sheave: Measure | None = None
    machine_sheave: Measure | None = None
    static_head: Measure | None = None  # percent of the head at full flow
    running_hours: Measure | None = None
    rotation: str = ""
    backspin: bool | None = None
    gravity: bool | None = None
    trapped_pressure: bool | None = None
    spring: bool | None = None
    mechanical_brake: bool | None = None
    feedback_range: str = ""
    remark: str = ""
    origin: Origin = NOWHERE


@dataclass(frozen=True, slots=True)
class Cable:
    """A power or control cable, or a set of conductors in a raceway."""

    tag: str
    drive: str = ""
    role: str = ""  # 'line', 'motor', 'control'
    from_place: str = ""
    to_place: str = ""
    size: ConductorSize | None = None
    earth_size: ConductorSize | None = None
    sets: int | None = None  # parallel sets
    material: str = ""
    insulation: str = ""  # letters and temperature, see insulations.py: 'THHN/THWN-2 90 °C'
    construction: str = ""
    length: Measure | None = None
    raceway: str = ""
    method: str = ""  # IEC reference method 'B1', 'B2', 'C', 'E'
    loaded_conductors: int | None = None
    grouped_circuits: int | None = None
    ambient: Measure | None = None
    shielded: bool | None = None
    remark: str = ""
    origin: Origin = NOWHERE


@dataclass(frozen=True, slots=True)
class DriveModel:
    """Ratings of a drive model, typed in from its manual."""

    model: str
    manual: str = ""
    manual_page: str = ""
    min_voltage: Measure | None = None
    max_voltage: Measure | None = None
    input_phases: int | None = None
    output_current_light: Measure | None = None
    output_current_heavy: Measure | None = None
    overload_light: Measure | None = None  # percent for 60 s
    overload_heavy: Measure | None = None
    input_current: Measure | None = None
    max_frequency: Measure | None = None
    default_carrier: Measure | None = None
    rated_ambient: Measure | None = None
    max_ambient: Measure | None = None
    ambient_derating: Measure | None = None  # percent per kelvin above rated ambient
    rated_altitude: Measure | None = None
    max_altitude: Measure | None = None
    altitude_derating: Measure | None = None  # percent per 100 m above rated altitude
    single_phase_factor: Measure | None = None  # percent of rated current on one-phase supply
    fault_rating: Measure | None = None
    fault_rating_device: str = ""
    max_protection: Measure | None = None
    losses: Measure | None = None
    link_capacitance: Measure | None = None
    link_trip_voltage: Measure | None = None
    chopper_voltage: Measure | None = None
    bleeder_resistance: Measure | None = None
    wait_time: Measure | None = None
    min_brake_resistance: Measure | None = None
    built_in_reactor: Measure | None = None  # percent
    leakage_current: Measure | None = None
    supply_24v_limit: Measure | None = None  # mA
    reference_10v_limit: Measure | None = None  # mA
    input_current_di: Measure | None = None  # mA a digital input draws
    analog_voltage_impedance: Measure | None = None
    analog_current_burden: Measure | None = None
    rise_time: Measure | None = None  # output pulse rise time
    max_motor_cable: Measure | None = None
    enclosure_rating: str = ""
    built_in_controls: str = ""  # for example 'switch and potentiometer'
    same_as: str = ""  # model whose terminals, settings and derating points it shares
    origin: Origin = NOWHERE


@dataclass(frozen=True, slots=True)
class DeratingPoint:
    """One point of a model's derating curve: factor in percent at a carrier frequency."""

    model: str
    carrier: Measure | None = None
    factor: Measure | None = None
    page: str = ""
    origin: Origin = NOWHERE


@dataclass(frozen=True, slots=True)
class ModelTerminal:
    """A terminal of a drive model. `role` is our vocabulary, see wiring.schemes."""

    model: str
    terminal: str  # printed number
    label: str = ""
    role: str = ""  # P24 N24 DIC DI R10 A0 AI AO RO1.C RO1.NO RO1.NC STO1 STO2 STOS PTC+ PTC- BUS.A ... L1 U PE ...
    strip_order: int | None = None
    max_conductors: int | None = None
    signal: str = ""  # 'voltage', 'current', 'either' for analog terminals
    page: str = ""
    origin: Origin = NOWHERE


@dataclass(frozen=True, slots=True)
class Choice:
    """One choice of a setting: the code on the display, our word, the manual's words."""

    code: str
    value: str
    words: str = ""


@dataclass(frozen=True, slots=True)
class ModelSetting:
    """One setting of a drive model, from its manual."""

    model: str
    number: str
    name: str = ""
    group: str = ""
    function: str = ""  # key of settings.functions, blank when the tool need not know it
    applies_to: str = ""  # terminal label, mode or index the function applies to ('DI1', 'hand', '2')
    unit: str = ""
    resolution: Decimal | None = None
    minimum: Decimal | None = None
    maximum: Decimal | None = None
    choices: tuple[Choice, ...] = ()
    default: str = ""
    variant_default: str = ""
    access: str = ""  # '' open, else the level's name
    opened_by: str = ""  # number of the setting that opens it
    opened_with: str = ""  # display value that opens it
    overwrites: str = ""  # '', 'all', or numbers and ranges
    while_running: bool | None = None  # may be changed while the motor runs
    reads_back_rounded: bool | None = None
    page: str = ""
    remark: str = ""
    origin: Origin = NOWHERE


@dataclass(frozen=True, slots=True)
class FaultCode:
    """What the display of a drive model shows for a fault, from its manual."""

    model: str
    code: str
    meaning: str = ""  # one of columns_models.FAULT_KINDS
    words: str = ""  # in the manual's words
    page: str = ""
    origin: Origin = NOWHERE


@dataclass(frozen=True, slots=True)
class Control:
    """One control scheme used on one drive (sheet 'Controls')."""

    drive: str
    scheme: str  # key of wiring.schemes, for example 'two-wire run'
    mode: str = ""  # operating mode it belongs to: 'hand', 'auto', 'local', 'remote', blank = always
    place: str = ""  # where its devices are
    devices: str = ""  # tags for the recipe's devices: 'S=SS-101; K=K3'
    terminals: str = ""  # the user's own binding: 'run_forward=DI2'
    value: Measure | None = None  # potentiometer ohms, preset Hz, ...
    length: Measure | None = None  # routed cable length
    cable: str = ""
    description: str = ""
    origin: Origin = NOWHERE


@dataclass(frozen=True, slots=True)
class WireChange:
    """A single connection added, removed or changed by hand (sheet 'Wires')."""

    drive: str
    action: str  # 'add', 'remove', 'as found'
    from_end: str = ""  # '-S1:13'
    to_end: str = ""
    size: ConductorSize | None = None
    colour: str = ""
    reason: str = ""
    origin: Origin = NOWHERE


@dataclass(frozen=True, slots=True)
class Isolator:
    """A point where energy can be cut and locked."""

    tag: str
    kind: str = ""
    place: str = ""
    energy: str = ""  # which energy it isolates
    drives: tuple[str, ...] = ()
    voltage: Measure | None = None
    lockable: bool | None = None
    early_break_contact: bool | None = None
    method: str = ""
    proof: str = ""
    origin: Origin = NOWHERE


@dataclass(frozen=True, slots=True)
class NetworkNode:
    drive: str
    network: str = ""
    protocol: str = ""
    address: str = ""
    speed: str = ""
    parity: str = ""
    ip_address: str = ""
    mask: str = ""
    gateway: str = ""
    timeout: Measure | None = None
    loss_reaction: str = ""
    terminated: bool | None = None
    origin: Origin = NOWHERE


@dataclass(frozen=True, slots=True)
class Inventory:
    """Everything one workbook said, and everything that was wrong with it."""

    site: Site
    supplies: tuple[Supply, ...] = ()
    panels: tuple[Panel, ...] = ()
    drives: tuple[Drive, ...] = ()
    motors: tuple[Motor, ...] = ()
    machines: tuple[Machine, ...] = ()
    cables: tuple[Cable, ...] = ()
    models: tuple[DriveModel, ...] = ()
    derating_points: tuple[DeratingPoint, ...] = ()
    terminals: tuple[ModelTerminal, ...] = ()
    settings: tuple[ModelSetting, ...] = ()
    fault_codes: tuple[FaultCode, ...] = ()
    controls: tuple[Control, ...] = ()
    wire_changes: tuple[WireChange, ...] = ()
    isolators: tuple[Isolator, ...] = ()
    networks: tuple[NetworkNode, ...] = ()
    people: tuple[Person, ...] = ()
    instruments: tuple[Instrument, ...] = ()
    overrides: tuple[Override, ...] = ()
    as_left: tuple[AsLeft, ...] = ()
    readings: tuple[Reading, ...] = ()
    waivers: tuple[Waiver, ...] = ()
    punch_items: tuple[PunchItem, ...] = ()
    defeats: tuple[Defeat, ...] = ()
    training: tuple[Training, ...] = ()
    warranties: tuple[Warranty, ...] = ()
    spares: tuple[Spare, ...] = ()
    maintenance: tuple[MaintenanceTask, ...] = ()
    document_options: tuple[DocumentOption, ...] = ()
    revisions: tuple[Revision, ...] = ()
    signatures: tuple[Signature, ...] = ()
    findings: tuple[Finding, ...] = ()
    workbook_digest: str = ""
