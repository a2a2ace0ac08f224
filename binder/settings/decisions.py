"""What each setting of a drive must be, and who says so: plate, sheet, figure or wiring."""

from __future__ import annotations

from collections.abc import Callable
from decimal import Decimal, InvalidOperation

from binder.inventory.lookup import settings_of
from binder.inventory.quantities import Measure
from binder.inventory.records import Choice, ModelSetting
from binder.settings.encode import find_choice, unit_of
from binder.settings.functions import FUNCTIONS
from binder.settings.situation import Decision, Situation, source_set
from binder.wiring.connections import Demand

Decider = Callable[[Situation, ModelSetting], Decision | None]


def _amount(value: Measure | Decimal | int | None, reason: str, source: str) -> Decision | None:
    if value is None:
        return None
    if isinstance(value, Measure):
        return Decision(value.amount, value.unit, reason, source)
    return Decision(Decimal(value), "", reason, source)


def _plate(name: str, reason: str) -> Decider:
    def decide(s: Situation, setting: ModelSetting) -> Decision | None:
        return _amount(getattr(s.motor, name), reason, "plate") if s.motor else None

    return decide


def _sheet(name: str, reason: str) -> Decider:
    def decide(s: Situation, setting: ModelSetting) -> Decision | None:
        return _amount(getattr(s.drive, name), reason, "sheet")

    return decide


def _yes_no(name: str, yes: tuple[str, str], no: tuple[str, str]) -> Decider:
    """A yes/no column of the Drives sheet -> a word and its reason; blank decides nothing."""

    def decide(s: Situation, setting: ModelSetting) -> Decision | None:
        answer = getattr(s.drive, name)
        if answer is None:
            return None
        word, reason = yes if answer else no
        return Decision(word, "", reason, "sheet")

    return decide


def _network(name: str, reason: str) -> Decider:
    def decide(s: Situation, setting: ModelSetting) -> Decision | None:
        value = getattr(s.network, name) if s.network else None
        if value in (None, ""):
            return None
        if isinstance(value, Measure):
            return Decision(value.amount, value.unit, reason, "sheet")
        if setting.choices:
            return Decision(value, "", reason, "sheet")
        try:
            return Decision(Decimal(value.split()[0]), "", reason, "sheet")
        except InvalidOperation:
            return Decision(value, "", reason, "sheet")

    return decide


def _figure(key: str, reason: str) -> Decider:
    def decide(s: Situation, setting: ModelSetting) -> Decision | None:
        number = s.figures.number(key)
        if number is None:
            return None
        return Decision(Decimal(repr(number)), s.figures[key].unit, reason, f"figure {key}")

    return decide


def _preset(s: Situation, setting: ModelSetting) -> Decision | None:
    if find_choice(setting, "free") is None:
        return None
    return Decision(
        "free",
        "",
        "free preset, so that each function is written by itself and none is hidden (common practice, no source)",
        "map",
    )


def _region(s: Situation, setting: ModelSetting) -> Decision | None:
    if s.supply is None or s.supply.frequency is None:
        return None
    hertz = round(s.supply.frequency.to("Hz"))
    return Decision(f"{hertz} Hz", "", f"supply {s.supply.tag} is {hertz} Hz", "sheet")


def _units(s: Situation, setting: ModelSetting) -> Decision | None:
    if s.motor is None or s.motor.power is None:
        return None
    word = "hp" if s.motor.power.unit in {"hp", "PS"} else "kW"
    return Decision(word, "", f"the motor plate gives {s.motor.power}", "plate")


def _control_mode(s: Situation, setting: ModelSetting) -> Decision | None:
    linear, quadratic, vector = "linear volts per hertz", "quadratic volts per hertz", "sensorless vector"
    if s.motor is not None and s.motor.permanent_magnet:
        return Decision("permanent magnet", "", "the motor has permanent magnets", "plate")
    if "encoder" in s.schemes:
        return Decision("closed-loop vector", "", "an encoder is wired", "wiring", (vector,))
    if s.machine is None or not s.machine.load_type:
        return None
    if s.machine.load_type == "quadratic":
        return Decision(
            quadratic,
            "",
            "quadratic load: less voltage at low speed saves losses (common practice, no source)",
            "sheet",
            (linear,),
        )
    return Decision(
        vector,
        "",
        f"{s.machine.load_type} load: full torque at low speed (common practice, no source)",
        "sheet",
        (linear,),
    )


def _max_frequency(s: Situation, setting: ModelSetting) -> Decision | None:
    if s.drive.max_frequency is not None:
        return _sheet("max_frequency", "maximum frequency of the sheet Drives")(s, setting)
    return _plate("frequency", "no maximum given: plate frequency (common practice, no source)")(s, setting)


def _direction(s: Situation, setting: ModelSetting) -> Decision | None:
    if "forward-reverse" in s.schemes or "run_reverse" in s.terminal_functions.values():
        return Decision("both", "", "forward and reverse are wired", "wiring")
    if not s.schemes:
        return None
    return Decision("forward only", "", "no reverse command is wired", "wiring")


def _start_method(s: Situation, setting: ModelSetting) -> Decision | None:
    if not s.schemes:
        return None
    if "three-wire start-stop" in s.schemes:
        return Decision("three-wire", "", "start and stop pushbuttons are wired", "wiring")
    return Decision("two-wire", "", "a maintained run contact is wired", "wiring")


def _input_logic(s: Situation, setting: ModelSetting) -> Decision | None:
    if not s.drive.control_logic:
        return None
    tie = "+24 V" if s.drive.control_logic == "positive" else "0 V"
    return Decision(s.drive.control_logic, "", f"a closed contact ties the input to {tie}", "sheet")


def switched_off(setting: ModelSetting) -> Choice | None:
    """The choice that gives a terminal no function, None when the model has none."""
    return find_choice(setting, "not_used") or find_choice(setting, "unused")


def _terminal(s: Situation, setting: ModelSetting) -> Decision | None:
    """Function of a terminal; an unused one is switched off where the model can."""
    if setting.applies_to not in s.terminal_functions:
        return None
    function = s.terminal_functions[setting.applies_to]
    if function:
        return Decision(function, "", f"{setting.applies_to} is wired for it", "wiring")
    if not s.schemes or switched_off(setting) is None:
        return None
    reason = f"nothing is wired to {setting.applies_to}; a function left on an open terminal bites later"
    return Decision("not_used", "", f"{reason} (common practice, no source)", "wiring", ("unused",))


def _analog_loss(s: Situation, setting: ModelSetting) -> Decision | None:
    function = s.terminal_functions.get(setting.applies_to, "")
    if setting.applies_to and not function:
        return None
    form = s.demands.get(("analog_input_format", setting.applies_to))
    if form is not None and not form.value.startswith(("2-", "4-")):
        if find_choice(setting, "ignore") is None:
            return None
        return Decision("ignore", "", f"a {form.value} signal has no live zero: its loss cannot be detected", "wiring")
    if not s.drive.loss_of_reference:
        return None
    return Decision(s.drive.loss_of_reference, "", "reaction to loss of reference of the sheet Drives", "sheet")


def _full_scale(s: Situation, setting: ModelSetting) -> Decision | None:
    if "output_frequency" not in s.terminal_functions.values():
        return None
    top = _max_frequency(s, setting)
    if top is None:
        return None
    return Decision(top.value, top.unit, "full signal at maximum frequency", top.source)


def _cooling(s: Situation, setting: ModelSetting) -> Decision | None:
    if s.motor is None or not s.motor.cooling:
        return None
    word = "forced" if s.motor.cooling in {"separate fan", "water", "submerged"} else "self-ventilated"
    return Decision(word, "", f"motor cooling '{s.motor.cooling}'", "plate")


def _thermistor(s: Situation, setting: ModelSetting) -> Decision | None:
    if not s.schemes:
        return None
    wired = any(t.role in {"PTC+", "PTC-"} and t.function for t in s.wiring.terminals) or "thermistor" in s.schemes
    if wired:
        return Decision("trip", "", "the motor's thermistors are wired to the drive", "wiring")
    return Decision("ignore", "", "no motor sensor is wired to the drive", "wiring")


def _external_fault(s: Situation, setting: ModelSetting) -> Decision | None:
    if "external_fault" not in s.terminal_functions.values():
        return None
    return Decision("trip", "", "an external fault contact is wired", "wiring")


def _phase_loss(s: Situation, setting: ModelSetting) -> Decision | None:
    if s.supply is None or s.supply.phases is None or s.model is None:
        return None
    if s.supply.phases == 1 and s.model.input_phases != 1:
        return Decision("ignore", "", "one-phase supply: two line terminals stay open on purpose", "sheet")
    if s.supply.phases == 1:
        return None
    return Decision(
        "trip",
        "",
        "three-phase supply: a missing phase overloads rectifier and link (common practice, no source)",
        "sheet",
    )


def _safe_torque_off(s: Situation, setting: ModelSetting) -> Decision | None:
    if "safe torque off" not in s.schemes:
        return None
    return Decision(
        "fault",
        "",
        "a safety stop must be noticed and reset by a person (common practice, no source)",
        "wiring",
        ("indicate",),
    )


def _chopper(s: Situation, setting: ModelSetting) -> Decision | None:
    if s.drive.brake_resistance is None:
        return Decision("off", "", "no brake resistor on the sheet Drives", "sheet")
    return Decision("on", "", f"brake resistor of {s.drive.brake_resistance}", "sheet")


def _overload_class(s: Situation, setting: ModelSetting) -> Decision | None:
    if s.motor is None or find_choice(setting, "10") is None:
        return None
    return Decision(
        "10",
        "",
        "class 10: on a drive the motor starts on a ramp, without the long locked-rotor time that asks for "
        "class 20 or 30 (common practice, no source)",
        "map",
    )


def _process_control(s: Situation, setting: ModelSetting) -> Decision | None:
    if "process control" in s.schemes:
        return Decision("on", "", "process control scheme", "wiring")
    return Decision("off", "", "no process control scheme", "wiring") if s.schemes else None


def _feedback(s: Situation, setting: ModelSetting) -> Decision | None:
    label = next((k for k, f in sorted(s.terminal_functions.items()) if f == "process_feedback"), None)
    return Decision(label, "", f"the transmitter is wired to {label}", "wiring") if label else None


def _jog(s: Situation, setting: ModelSetting) -> Decision | None:
    row = next((c for c in s.controls if c.scheme == "jog" and c.value is not None), None)
    return _amount(row.value, "jog speed of the sheet Controls", "sheet") if row else None


def _bypass(s: Situation, setting: ModelSetting) -> Decision | None:
    if not s.schemes:
        return None
    if "bypass" in s.schemes:
        return Decision("on", "", "bypass contactors are wired", "wiring")
    return Decision("off", "", "no bypass is wired", "wiring")


def _identification(s: Situation, setting: ModelSetting) -> Decision | None:
    mode = _control_mode(s, setting)
    if mode is None or str(mode.value).endswith("volts per hertz"):
        return None
    return Decision(
        "static",
        "",
        f"{mode.value} control needs the motor's own values; static first, "
        "the shaft stays still (common practice, no source)",
        "map",
    )


def _save(s: Situation, setting: ModelSetting) -> Decision | None:
    return Decision(
        "save", "", "some drives keep written values in working memory until saved (common practice, no source)", "map"
    )


def _backup(s: Situation, setting: ModelSetting) -> Decision | None:
    return Decision("save", "", "a copy lets a new drive be set without this table (common practice, no source)", "map")


def _reset(s: Situation, setting: ModelSetting) -> Decision | None:
    return Decision(
        "reset",
        "",
        "only on a new drive or by agreement, after the as-found values are on paper (common practice, no source)",
        "map",
    )


def _lock(s: Situation, setting: ModelSetting) -> Decision | None:
    return Decision(
        "locked", "", "locked at handover; the holder of the code is named (common practice, no source)", "map"
    )


def _stop_mode(s: Situation, setting: ModelSetting) -> Decision | None:
    if not s.drive.stop_mode:
        return None
    return Decision(s.drive.stop_mode, "", "stop mode of the sheet Drives", "sheet")


#: How each function is decided when neither an override nor the wiring decides it.
DECIDERS: dict[str, Decider] = {
    "factory_reset": _reset,
    "preset_macro": _preset,
    "region": _region,
    "units": _units,
    "parameter_lock": _lock,
    "save_settings": _save,
    "backup": _backup,
    "start_method": _start_method,
    "motor_voltage": _plate("voltage", "plate voltage as connected"),
    "motor_current": _plate("current", "plate current as connected"),
    "motor_frequency": _plate("frequency", "plate frequency"),
    "motor_speed": _plate("speed", "plate speed at full load, which gives the slip"),
    "motor_power": _plate("power", "plate power"),
    "motor_power_factor": _plate("power_factor", "plate power factor"),
    "control_mode": _control_mode,
    "identification_run": _identification,
    "carrier_frequency": _sheet("carrier_frequency", "switching frequency of the sheet Drives"),
    "min_frequency": _sheet("min_frequency", "minimum frequency of the sheet Drives"),
    "max_frequency": _max_frequency,
    "skip_frequency": _sheet("skip_frequency", "skip frequency of the sheet Drives"),
    "skip_width": _sheet("skip_width", "skip width of the sheet Drives"),
    "direction_enable": _direction,
    "acceleration_time": _sheet("acceleration_time", "acceleration time of the sheet Drives"),
    "deceleration_time": _sheet("deceleration_time", "deceleration time of the sheet Drives"),
    "stop_mode": _stop_mode,
    "jog_frequency": _jog,
    "input_logic": _input_logic,
    "digital_input_function": _terminal,
    "relay_function": _terminal,
    "analog_output_function": _terminal,
    "analog_output_full_scale": _full_scale,
    "analog_input_loss": _analog_loss,
    "process_control": _process_control,
    "process_feedback_source": _feedback,
    "overload_current": _figure("overload.setting", "computed overload value"),
    "overload_class": _overload_class,
    "overload_cooling": _cooling,
    "external_fault_reaction": _external_fault,
    "thermistor_reaction": _thermistor,
    "phase_loss_reaction": _phase_loss,
    "safe_torque_off_reaction": _safe_torque_off,
    "brake_chopper": _chopper,
    "brake_resistance": _sheet("brake_resistance", "resistor of the sheet Drives"),
    "fault_reset_count": _sheet("automatic_resets", "automatic resets of the sheet Drives"),
    "power_return": _yes_no(
        "restart_on_power_return",
        ("restart", "restart on return of power is asked for on the sheet Drives"),
        ("stay stopped", "restart on return of power is refused on the sheet Drives"),
    ),
    "flying_start": _yes_no(
        "flying_start", ("on", "flying start is asked for on the sheet Drives"), ("off", "flying start is refused")
    ),
    "bypass": _bypass,
    "network_address": _network("address", "address of the sheet Networks"),
    "network_speed": _network("speed", "speed of the sheet Networks"),
    "network_parity": _network("parity", "parity of the sheet Networks"),
    "network_timeout": _network("timeout", "timeout of the sheet Networks"),
    "network_loss": _network("loss_reaction", "reaction of the sheet Networks"),
}


def demanded(s: Situation, setting: ModelSetting) -> Decision | None:
    """What the wiring asks of this setting.

    A setting that names no mode covers those modes that have no setting of their own, and takes
    their demand when they agree; a setting of one mode takes the demand that names no mode.

    Parameters
    ----------
    s : Situation
    setting : ModelSetting

    Returns
    -------
    Decision or None
    """
    demand = s.demand(setting.function, setting.applies_to)
    if demand is None and not setting.applies_to:
        group = _without_own(s, setting.function)
        demand = group[0] if group and len({d.value for d in group}) == 1 else None
    if demand is None:
        return None
    words = demand.value.split()
    if FUNCTIONS[setting.function].kind == "number" and words:
        try:
            return Decision(Decimal(words[0]), " ".join(words[1:]), _reason(s, demand), "wiring")
        except InvalidOperation:
            pass
    return Decision(demand.value, "", _reason(s, demand), "wiring")


def _without_own(s: Situation, function: str) -> tuple[Demand, ...]:
    """Demands of the modes for which the model has no setting of their own."""
    own = {
        source_set(x.applies_to)
        for x in settings_of(s.inventory, s.model)
        if x.function == function and x.applies_to
    }
    return tuple(d for d in s.demands_by_function.get(function, ()) if source_set(d.applies_to) not in own)


def _reason(s: Situation, demand: Demand) -> str:
    """The demand's reason, with the device that has the say where the function is a source."""
    told = []
    for mode in s.wiring.modes:
        if demand.applies_to in {mode.name, ""}:
            in_mode = "" if mode.name in {"always", ""} else f" in {mode.name}"
            if demand.function == "command_source" and mode.command_device:
                told.append(f"{mode.command_device} starts and stops{in_mode}")
            elif demand.function == "reference_source" and mode.reference_device:
                told.append(f"{mode.reference_device} sets the speed{in_mode}")
    if told:
        return "; ".join(told)
    return f"{demand.applies_to} is wired for it" if demand.reason == "wired" else demand.reason


def decide(s: Situation, setting: ModelSetting) -> Decision | None:
    """What a setting must be when no person overrides it.

    Parameters
    ----------
    s : Situation
    setting : ModelSetting

    Returns
    -------
    Decision or None
        The wiring's demand, else what records and figures say, else None: left at default.
    """
    if setting.function not in FUNCTIONS:
        return None
    found = demanded(s, setting)
    if found is None and setting.function in DECIDERS:
        found = DECIDERS[setting.function](s, setting)
    return found


#: Why nothing in the workbook decides a function; a person does, on the sheet Overrides.
_LEFT_TO_A_PERSON: dict[str, str] = {
    "current_limit": "no record holds one; a limit for the machine's sake is the machine maker's word",
    "torque_limit": "no record holds one; a limit for the machine's sake is the machine maker's word",
    "analog_input_low": "no scheme asks for another scaling",
    "analog_input_high": "no scheme asks for another scaling",
    "analog_input_filter": "a filter is chosen when the signal is seen to be unsteady",
    "process_setpoint": "the operator's value; no record holds it",
    "process_gain": "found by trial on the running process, not by figures",
    "process_integral": "found by trial on the running process, not by figures",
    "process_direction": "whether more speed raises the measured value is seen on the process",
    "sleep_frequency": "needs the flow at which the process may rest; no record holds it",
    "sleep_delay": "needs the flow at which the process may rest; no record holds it",
    "wake_level": "needs the drop that the process may bear; no record holds it",
    "undervoltage_reaction": "depends on what the process bears; no record holds it",
    "fault_reset_delay": "no record holds it",
    "display_item": "a matter of taste",
    "ramp_select": "no scheme selects a second set",
    "access_code": "nothing that is written is locked by it",
    "overload_class": "no motor is known, or the model has no class 10",
    "identification_run": "only vector control asks for it, and that was not decided",
    "preset_macro": "the model has no free preset",
}


def why_at_default(setting: ModelSetting) -> str:
    """Say why a setting is left as delivered.

    Parameters
    ----------
    setting : ModelSetting
        One that nothing decided.

    Returns
    -------
    str
        A setting without a known function is none of the tool's; else what would have decided it.
    """
    if setting.function in _LEFT_TO_A_PERSON:
        return f"left at default: {_LEFT_TO_A_PERSON[setting.function]}"
    known = FUNCTIONS.get(setting.function)
    return f"left at default: {f'nothing given ({known.decided_by})' if known else 'not known to this tool'}"


def current_base(s: Situation, setting: ModelSetting) -> tuple[float, str] | None:
    """Amperes that are 100 % of a current setting given in percent, from the row's remark.

    Parameters
    ----------
    s : Situation
    setting : ModelSetting

    Returns
    -------
    (float, str) or None
        None when the remark names neither the drive nor the motor: then nobody can convert.
    """
    if unit_of(setting) != "%":
        return None
    remark = setting.remark.casefold()
    if "motor" in remark and s.motor is not None and s.motor.current is not None:
        return s.motor.current.to("A"), "motor plate current"
    if "drive" in remark and s.model is not None:
        heavy = s.drive.duty == "heavy"
        rated = s.model.output_current_heavy if heavy else s.model.output_current_light
        return (rated.to("A"), "drive rated current") if rated is not None else None
    return None
