"""Faults of a model's map of settings, and what the map lacks for a drive's wiring."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator, Sequence
from itertools import groupby

from binder.inventory.findings import Finding, Grade
from binder.inventory.lookup import natural
from binder.inventory.records import ModelSetting
from binder.settings.decisions import switched_off
from binder.settings.encode import decode, plain, printed
from binder.settings.functions import FUNCTIONS
from binder.settings.sequence import overwritten_by
from binder.settings.situation import Situation, source_set
from binder.wiring.connections import Demand, DriveTerminal

#: Roles of terminals whose function a setting decides, with that setting's function.
SET_BY: dict[str, str] = {
    "DI": "digital_input_function",
    "AI": "analog_input_format",
    "AO": "analog_output_function",
    "DO": "relay_function",
}


def _fault(
    code: str, grade: Grade, setting: ModelSetting, field_name: str, found: str, accepted: str, remedy: str
) -> Finding:
    return Finding(
        code,
        grade,
        setting.origin.sheet or "Settings",
        setting.origin.cell(field_name),
        setting.model,
        found,
        accepted,
        remedy,
    )


def map_faults(settings: Sequence[ModelSetting]) -> list[Finding]:
    """Everything wrong with one model's map, whichever drive uses it.

    Parameters
    ----------
    settings : sequence of ModelSetting
        Of one model.

    Returns
    -------
    list of Finding
        S104 to S107, S111, S115 to S117, with the cell of the row at fault.
    """
    return [
        *_doubles(settings),
        *_unknown_words(settings),
        *_locks(settings),
        *_overwrites(settings),
        *_defaults(settings),
    ]


def _doubles(settings: Sequence[ModelSetting]) -> Iterator[Finding]:
    numbers = Counter(s.number for s in settings)
    for number in sorted((n for n, count in numbers.items() if count > 1), key=natural):
        for setting in [s for s in settings if s.number == number][1:]:
            yield _fault(
                "S105",
                Grade.STOP,
                setting,
                "number",
                f"setting number {number} stands twice in this model",
                "each number once",
                "Delete or renumber the second row.",
            )
    keyed = sorted((s for s in settings if s.function), key=lambda s: (s.function, plain(s.applies_to)))
    for (function, _), group in groupby(keyed, key=lambda s: (s.function, plain(s.applies_to))):
        rows = sorted(group, key=lambda s: natural(s.number))
        for setting in rows[1:]:
            if setting.number != rows[0].number:
                where = f" for {setting.applies_to}" if setting.applies_to else ""
                yield _fault(
                    "S106",
                    Grade.CAUTION,
                    setting,
                    "function",
                    f"{printed(function)}{where} is done by settings {rows[0].number} and {setting.number}",
                    "one setting for each function and terminal",
                    "Correct the function of one of them, or say in 'Applies to' what it belongs to.",
                )


def _unknown_words(settings: Sequence[ModelSetting]) -> Iterator[Finding]:
    for setting in settings:
        if not setting.function:
            continue
        function = FUNCTIONS.get(setting.function)
        if function is None:
            yield _fault(
                "S111",
                Grade.CAUTION,
                setting,
                "function",
                printed(setting.function),
                "a function of the list on the sheet Lists, for example acceleration time, or blank",
                "Correct the word; until then the setting is left at its default.",
            )
            continue
        if function.values and setting.choices:
            known = {plain(v) for v in function.values}
            strange = [c.value for c in setting.choices if c.value and plain(c.value) not in known]
            if len(strange) == len(setting.choices):
                yield _fault(
                    "S115",
                    Grade.CAUTION,
                    setting,
                    "choices",
                    f"no choice of {setting.number} is a word for {function.name.lower()}: {', '.join(strange[:4])}",
                    ", ".join(function.values[:6]),
                    "Give each choice our word for it.",
                )


def _locks(settings: Sequence[ModelSetting]) -> Iterator[Finding]:
    by_number = {s.number: s for s in settings}
    for setting in settings:
        if setting.opened_by and setting.opened_by not in by_number:
            yield _fault(
                "S107",
                Grade.STOP,
                setting,
                "opened_by",
                f"{setting.number} is opened by {setting.opened_by}, which this model does not have",
                "a setting number of the same model",
                "Correct the number, or add the locking setting.",
            )
    told: set[str] = set()
    for setting in settings:
        ring = _lock_ring(setting, by_number)
        if ring and not told & set(ring):
            told |= set(ring)
            yield _fault(
                "S104",
                Grade.STOP,
                setting,
                "opened_by",
                "circular lock: " + " is opened by ".join([*ring, ring[0]]),
                "a lock that can be opened first",
                "Check 'Opened by' against the manual.",
            )


def _lock_ring(setting: ModelSetting, by_number: dict[str, ModelSetting]) -> tuple[str, ...]:
    path = [setting.number]
    current = setting
    while current.opened_by in by_number:
        current = by_number[current.opened_by]
        if current.number == path[0]:
            return tuple(path)
        if current.number in path:
            return ()  # the ring does not hold this setting; it is told where it starts
        path.append(current.number)
    return ()


def _overwrites(settings: Sequence[ModelSetting]) -> Iterator[Finding]:
    numbers = [s.number for s in settings]
    for setting in settings:
        for part in overwritten_by(setting, numbers)[1] if setting.overwrites else ():
            yield _fault(
                "S116",
                Grade.CAUTION,
                setting,
                "overwrites",
                part,
                "all, or numbers and ranges of this model: 12; 20 to 35",
                "Correct the numbers.",
            )


def _defaults(settings: Sequence[ModelSetting]) -> Iterator[Finding]:
    for setting in settings:
        variants = [("variant_default", part.split("=")[-1].strip()) for part in setting.variant_default.split(";")]
        for field_name, text in (("default", setting.default), *variants):
            if text and _outside(setting, text):
                yield _fault(
                    "S117",
                    Grade.CAUTION,
                    setting,
                    field_name,
                    f"default {text} of {setting.number}",
                    "a choice of the same row"
                    if setting.choices
                    else f"{setting.minimum} to {setting.maximum} {setting.unit}".strip(),
                    "Check default, range and choices against the manual.",
                )


def _outside(setting: ModelSetting, text: str) -> bool:
    value = decode(setting, text)
    if setting.choices:
        return value is None
    if value is None or isinstance(value, str):
        return setting.minimum is not None or setting.maximum is not None
    low, high = setting.minimum, setting.maximum
    return (low is not None and value < low) or (high is not None and value > high)


def not_covered(s: Situation, settings: Sequence[ModelSetting]) -> Iterator[Finding]:
    """What the wiring needs and the model's map cannot give, and the other way round.

    Parameters
    ----------
    s : Situation
    settings : sequence of ModelSetting
        Of the drive's model.

    Yields
    ------
    Finding
        S130 a demand without a setting, S131 a wired terminal without a setting of its function,
        S132 an unused input that keeps an active default, S133 modes that need two settings.
    """
    if not settings:
        return
    have: dict[str, list[ModelSetting]] = {}
    for setting in settings:
        if setting.function:
            have.setdefault(setting.function, []).append(setting)
    for demand in s.wiring.demands:
        rows = have.get(demand.function, [])
        if demand.function in FUNCTIONS and not _covers(rows, demand):
            yield _lacking(s, demand)
    yield from _two_values(s, have)
    for terminal in s.wiring.terminals:
        yield from _terminal(s, terminal, have)


def _covers(rows: Sequence[ModelSetting], demand: Demand) -> bool:
    wanted = source_set(demand.applies_to)
    return any(not wanted or source_set(r.applies_to) in {wanted, ""} for r in rows)


def _lacking(s: Situation, demand: Demand) -> Finding:
    model = s.model
    name = FUNCTIONS[demand.function].name.lower()
    where = f" for {demand.applies_to}" if demand.applies_to else ""
    return Finding(
        "S130",
        Grade.CAUTION,
        model.origin.sheet if model else "Settings",
        model.origin.cell("model") if model else "",
        s.drive.tag,
        f"the wiring needs {name}{where} = {printed(demand.value)}, and the map of {s.drive.model} has no such setting",
        f"a row with function {printed(demand.function)}" + (f" and applies to {demand.applies_to}" if where else ""),
        "Add the setting from the manual, or confirm there that the drive does it without one.",
    )


def _two_values(s: Situation, have: dict[str, list[ModelSetting]]) -> Iterator[Finding]:
    """One setting for all modes cannot serve two modes that ask for different values."""
    for function in ("command_source", "reference_source"):
        rows = have.get(function, [])
        demands = s.demands_by_function.get(function, ())
        if len(rows) == 1 and len({d.value for d in demands}) > 1:
            words = "; ".join(f"{d.applies_to or 'always'}: {printed(d.value)}" for d in demands)
            yield Finding(
                "S133",
                Grade.STOP,
                rows[0].origin.sheet or "Settings",
                rows[0].origin.cell("function"),
                s.drive.tag,
                f"{rows[0].number} is the only {FUNCTIONS[function].name.lower()}, but {words}",
                "one setting for each mode",
                "Choose a model with a second set, or another scheme.",
            )


def setting_function(role: str) -> str:
    """The setting function that decides a terminal of this role; '' for none. A relay counts at its common."""
    if role.startswith("RO"):
        return "relay_function" if role.endswith(".C") else ""
    return SET_BY.get(role, "")


def _terminal(s: Situation, terminal: DriveTerminal, have: dict[str, list[ModelSetting]]) -> Iterator[Finding]:
    function = setting_function(terminal.role)
    if not function:
        return
    label = terminal.label.split(".")[0]
    own = next((r for r in have.get(function, []) if r.applies_to == label), None)
    if terminal.function and own is None:
        yield Finding(
            "S131",
            Grade.NOTE,
            "Settings",
            "",
            s.drive.tag,
            f"terminal {terminal.number} ({label}) is wired for {printed(terminal.function)}, "
            "and no setting decides it",
            f"a row with function {printed(function)}, applies to {label}",
            "Add the setting, or confirm from the manual that the function is fixed.",
        )
    if function != "digital_input_function" or terminal.function or own is None or not s.schemes:
        return
    default = decode(own, own.default)
    if switched_off(own) is None and isinstance(default, str) and default:
        yield Finding(
            "S132",
            Grade.CAUTION,
            own.origin.sheet or "Settings",
            own.origin.cell("choices"),
            s.drive.tag,
            f"nothing is wired to {label}, and {own.number} keeps it at {printed(default)}",
            "a choice 'not used'",
            "Add the choice if the manual has one; else note that a stray signal acts.",
        )
