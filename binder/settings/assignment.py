"""The settings table of a drive: required value of every setting, with reason, in writing order."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from decimal import Decimal, InvalidOperation

from binder.engineering.figure import Figures
from binder.inventory.findings import Finding, Grade, ordered
from binder.inventory.lookup import as_left_of, overrides_of, settings_of
from binder.inventory.records import AsLeft, Drive, Inventory, ModelSetting, Override
from binder.settings.as_left import (
    accepted_values,
    drift,
    judge,
    names_setting,
    with_visits,
)
from binder.settings.checks import map_faults, not_covered
from binder.settings.crossref import terminal_settings
from binder.settings.decisions import current_base, decide, why_at_default
from binder.settings.encode import Encoded, canonical, encode, printed, words_for
from binder.settings.functions import CONFIRMED, FUNCTIONS
from binder.settings.owners import owner_findings, owner_matrix
from binder.settings.restart import restart_findings, restart_hazards
from binder.settings.sequence import (
    Step,
    constraints,
    gates_of,
    is_lock,
    overwritten_by,
    writing_order,
)
from binder.settings.situation import Decision, Situation, situation
from binder.settings.table import SettingRow, SettingsTable
from binder.wiring.connections import Wiring


@dataclass(slots=True)
class _Line:
    """One setting while its row is being made."""

    setting: ModelSetting
    default: str
    decision: Decision | None = None
    override: Override | None = None
    encoded: Encoded | None = None
    computed: str = ""

    @property
    def required(self) -> str:
        return self.encoded.display if self.encoded else self.default

    @property
    def changed(self) -> bool:
        return self.required != self.default


def default_of(setting: ModelSetting, drive: Drive) -> str:
    """Display value as delivered: the variant's own default where the drive is a variant.

    Parameters
    ----------
    setting : ModelSetting
        Its `variant_default` is 'P = 2; Q = 3', or one value for every variant.
    drive : Drive

    Returns
    -------
    str

    Examples
    --------
    >>> knob = ModelSetting("A", "7", default="0", variant_default="P = 2")
    >>> default_of(knob, Drive("VFD-1", variant="P")), default_of(knob, Drive("VFD-2"))
    ('2', '0')
    """
    text = setting.default
    parts = [p.strip() for p in setting.variant_default.split(";") if p.strip()] if drive.variant else []
    for part in parts:
        variant, sign, value = part.partition("=")
        if not sign:
            text = variant
        elif variant.strip() == drive.variant:
            text = value
    return canonical(setting, text)


def _encoded(s: Situation, setting: ModelSetting, decision: Decision) -> Encoded:
    """Encode the decision; a current in percent needs the amperes that are 100 %."""
    value, unit = decision.value, decision.unit
    if isinstance(value, Decimal) and unit == "A":
        base = current_base(s, setting)
        if base is not None:
            value, unit = value / Decimal(repr(base[0])) * 100, "%"
    first = encode(setting, value, unit=unit)
    if first.fault == "choice":
        for word in decision.instead:
            other = encode(setting, word)
            if not other.fault:
                return other
    return first


def _from_person(setting: ModelSetting, override: Override) -> Decision:
    """An override's cell as a decision: number with or without unit, word or display code."""
    words = override.value.split()
    reason = override.reason or "no reason given"
    if not setting.choices and words:
        try:
            return Decision(Decimal(words[0]), " ".join(words[1:]), reason, "override")
        except InvalidOperation:
            pass
    return Decision(override.value, "", reason, "override")


def _lines(s: Situation, settings: Sequence[ModelSetting], overrides: Sequence[Override]) -> Iterator[_Line]:
    for setting in settings:
        line = _Line(setting, default_of(setting, s.drive))
        decision = decide(s, setting)
        if decision is not None:
            line.decision, line.encoded = decision, _encoded(s, setting, decision)
        person = next((o for o in overrides if names_setting(o.setting, setting)), None)
        if person is not None:
            line.computed = line.encoded.display if line.encoded and not line.encoded.fault else ""
            line.override, line.decision = person, _from_person(setting, person)
            line.encoded = _encoded(s, setting, line.decision)
        yield line


def _locks(lines: Mapping[str, _Line], by_number: Mapping[str, ModelSetting]) -> tuple[dict[str, str], list[Finding]]:
    """Locks to be opened for what is written, each with the display value that opens it."""
    opened: dict[str, str] = {}
    findings: list[Finding] = []
    for line in [x for x in lines.values() if x.changed]:
        previous = line.setting
        for gate in gates_of(line.setting, by_number):
            if previous.opened_with:
                opened.setdefault(gate.number, canonical(gate, previous.opened_with))
            else:
                findings.append(
                    _finding(
                        "S103",
                        Grade.STOP,
                        previous,
                        "opened_with",
                        f"settings opened by {gate.number} {gate.name} must be written, but its code is not known",
                        f"the display value that opens {gate.number}",
                        "Ask the owner for the code and type it; the rest of the table stands.",
                    )
                )
            previous = gate
    first: dict[str, Finding] = {}
    for finding in findings:
        first.setdefault(finding.found, finding)
    return opened, list(first.values())


def _finding(
    code: str,
    grade: Grade,
    setting: ModelSetting,
    field_name: str,
    found: str,
    accepted: str,
    remedy: str,
    *,
    tag: str = "",
) -> Finding:
    sheet = setting.origin.sheet or "Settings"
    return Finding(code, grade, sheet, setting.origin.cell(field_name), tag or setting.model, found, accepted, remedy)


_UNREACHABLE = {
    "range": ("S101", "maximum", "Check range and unit against the manual; else this model cannot serve the drive."),
    "choice": (
        "S102",
        "choices",
        "Add the choice if the manual has it, or override it with a reason.",
    ),
    "unit": ("S110", "unit", "Type the unit of the setting as the manual gives it; for percent say of what in Remark."),
    "not a number": ("S102", "choices", "Type the choices of the setting, or state a number on the sheet Overrides."),
}


def _unreachable(drive: Drive, line: _Line) -> Finding:
    assert line.encoded is not None and line.decision is not None
    code, where, remedy = _UNREACHABLE[line.encoded.fault]
    setting = line.setting
    if code == "S101" and setting.minimum is not None:
        value = Decimal(line.encoded.wanted.split()[0])
        where = "minimum" if value < setting.minimum else where
    name = f"{setting.number} {setting.name}"
    found = f"{name} must be {_wanted(line, line.encoded)}: {line.decision.reason}"
    if line.override is not None:
        sheet = line.override.origin.sheet or "Overrides"
        return Finding(
            "S112",
            Grade.STOP,
            sheet,
            line.override.origin.cell("value"),
            drive.tag,
            found,
            accepted_values(setting),
            "State a value that the setting can hold.",
        )
    return _finding(code, Grade.STOP, setting, where, found, accepted_values(setting), remedy, tag=drive.tag)


def _wanted(line: _Line, encoded: Encoded) -> str:
    """The value that cannot be set: our word, or an override as it was typed."""
    return printed(encoded.wanted) if line.override is None else line.override.value


def _row(line: _Line, step: Step | None, place: int) -> SettingRow:
    setting, decision = line.setting, line.decision
    function = FUNCTIONS.get(setting.function)
    fault = bool(line.encoded and line.encoded.fault)
    if decision is None:
        reason, source = why_at_default(setting), "default"
    else:
        reason, source = decision.reason, decision.source
    text = (
        f"cannot be set to {_wanted(line, line.encoded)}"
        if fault and line.encoded
        else words_for(setting, line.required)
    )
    return SettingRow(
        step=place,
        number=setting.number,
        name=setting.name,
        group=function.group if function else setting.group,
        function=setting.function,
        applies_to=setting.applies_to,
        unit=setting.unit,
        default=line.default,
        required=line.required,
        required_text=text,
        reason=reason,
        source=source,
        access=_access(setting),
        stopped_only=setting.while_running is False,
        acts_at_once=bool(setting.while_running and function and function.acts_at_once),
        overwrites=setting.overwrites,
        page=setting.page,
        computed=line.computed,
        override_reason=line.override.reason if line.override else "",
        after=tuple(sorted({a.removesuffix("#relock") for a in step.after})) if step else (),
        stage=_stage(setting),
        danger=function.danger if function else "",
        confirm=bool(step) and setting.function in CONFIRMED and not line.changed,
        passing=bool(function and function.kind == "action"),
    )


def _stage(setting: ModelSetting) -> str:
    function = FUNCTIONS.get(setting.function)
    return function.stage if function else ""


def _access(setting: ModelSetting) -> str:
    if not setting.opened_by:
        return setting.access
    code = setting.opened_with or "a code that is not known"
    return f"{setting.access or 'locked'}: opens while {setting.opened_by} holds {code}"


def _to_write(lines: Mapping[str, _Line], opened: Mapping[str, str]) -> list[ModelSetting]:
    """What differs from the default or is confirmed, the locks, and what a preset overwrites although decided."""
    numbers = tuple(lines)
    chosen = {n for n, line in lines.items() if line.changed} | set(opened)
    for number in sorted(chosen):
        setting = lines[number].setting
        if setting.function != "factory_reset":
            victims = overwritten_by(setting, numbers)[0]
            chosen |= {v for v in victims if lines[v].decision is not None}
    chosen |= {n for n, line in lines.items() if line.setting.function in CONFIRMED}
    return [line.setting for n, line in lines.items() if n in chosen]


def settings_table(inventory: Inventory, drive: Drive, figures: Figures, wiring: Wiring) -> SettingsTable:
    """Work out every setting of one drive.

    Parameters
    ----------
    inventory : Inventory
    drive : Drive
    figures : Figures
        Of this drive, from sizing.
    wiring : Wiring
        Of this drive; its demands and terminal functions decide sources, inputs and outputs.

    Returns
    -------
    SettingsTable
        `rows` in writing order, `untouched` what stays at default, `findings` S101 and up.

    Notes
    -----
    An override stands above the wiring's demand, that above records and figures, those above the
    default. Nothing is clamped: a value that the setting cannot hold is a finding.
    """
    settings = settings_of(inventory, drive.model)
    s = situation(inventory, drive, figures, wiring)
    visits, overrides = as_left_of(inventory, drive), overrides_of(inventory, drive)
    lines: dict[str, _Line] = {}
    for line in _lines(s, settings, overrides):
        lines.setdefault(line.setting.number, line)
    by_number = {n: line.setting for n, line in lines.items()}
    opened, findings = _locks(lines, by_number)
    relocked = {n: _closed(lines[n], opened[n]) for n in opened if is_lock(lines[n].setting)}
    order = writing_order(
        constraints(_to_write(lines, opened), by_number, [n for n, value in relocked.items() if value])
    )
    rows: list[SettingRow] = []
    for place, step in enumerate(order.steps, 1):
        row = _row(lines[step.number], step, place)
        rows.append(_lock_row(row, step, opened, relocked, by_number))
    written = {r.number for r in rows}
    untouched = [_row(line, None, 0) for n, line in lines.items() if n not in written]
    findings += [_unreachable(drive, x) for x in lines.values() if x.encoded and x.encoded.fault]
    if order.ring:
        findings.append(_ring_finding(order.ring, by_number, drive))
    findings += map_faults(settings)
    findings += _override_findings(drive, overrides, settings)
    findings += _gate_conflicts(drive, lines, opened)
    return _finished(s, visits, by_number, rows, untouched, findings)


def _finished(
    s: Situation,
    visits: Sequence[AsLeft],
    by_number: Mapping[str, ModelSetting],
    rows: Sequence[SettingRow],
    untouched: Sequence[SettingRow],
    findings: list[Finding],
) -> SettingsTable:
    """Join the visits to the rows and judge what needs the whole table."""
    mark = s.inventory.site.decimal_mark
    of_setting: dict[str, list[AsLeft]] = {}
    for visit in visits:
        number = next((n for n, m in by_number.items() if names_setting(visit.setting, m)), "")
        of_setting.setdefault(number, []).append(visit)
    last_row = {r.number: i for i, r in enumerate(rows)}
    judged = tuple(
        with_visits(r, by_number[r.number], of_setting.get(r.number, ()), decimal_mark=mark)
        if last_row[r.number] == i
        else r
        for i, r in enumerate(rows)
    )
    rest = tuple(
        with_visits(r, by_number[r.number], of_setting.get(r.number, ()), decimal_mark=mark) for r in untouched
    )
    manual = s.model.manual if s.model else ""
    table = SettingsTable(s.drive.tag, s.drive.model, manual, judged, rest)
    findings += judge(s.drive, (*judged, *rest), by_number, visits, decimal_mark=mark)
    findings += not_covered(s, tuple(by_number.values()))
    findings += owner_findings(s, table)
    findings += restart_findings(s, table)
    return replace(
        table,
        findings=ordered(findings),
        owners=owner_matrix(s, table),
        hazards=restart_hazards(s, table),
        terminals=terminal_settings(s, table),
        drift=drift(by_number.values(), visits, decimal_mark=mark),
    )


def _closed(line: _Line, opened_with: str) -> str:
    """Display value that closes a lock again, '' when the lock stays as it is."""
    if line.setting.function == "parameter_lock" and line.encoded and not line.encoded.fault:
        return line.encoded.display if line.encoded.display != opened_with else ""
    return line.default if line.default != opened_with else ""


def _lock_row(
    row: SettingRow,
    step: Step,
    opened: Mapping[str, str],
    relocked: Mapping[str, str],
    by_number: Mapping[str, ModelSetting],
) -> SettingRow:
    """Give an opening or closing step its own value and reason."""
    if row.number not in opened:
        return row
    setting = by_number[row.number]
    if step.key.endswith("#relock"):
        value, reason, stage = relocked[row.number], "closed again, so that nobody changes a value in passing", "relock"
    else:
        if not is_lock(setting):
            return row
        locked = sorted(n for n, m in by_number.items() if m.opened_by == row.number)
        few = ", ".join(locked[:4]) + (f" and {len(locked) - 4} more" if len(locked) > 4 else "")
        value, reason, stage = opened[row.number], f"opens {few}", "unlock"
        row = replace(row, passing=bool(relocked.get(row.number)))
    return replace(
        row, required=value, required_text=words_for(setting, value), reason=reason, source="map", stage=stage
    )


def _ring_finding(ring: Sequence[str], by_number: Mapping[str, ModelSetting], drive: Drive) -> Finding:
    chain = " needs ".join([*ring, ring[0]])
    setting = by_number[ring[0].removesuffix("#relock")]
    return _finding(
        "S108",
        Grade.STOP,
        setting,
        "opened_by" if setting.opened_by else "overwrites",
        f"no writing order exists: {chain}",
        "settings that do not wait for each other",
        "Check 'Opened by' and 'Overwrites' of these settings against the manual.",
        tag=drive.tag,
    )


def _override_findings(
    drive: Drive, overrides: Iterable[Override], settings: Sequence[ModelSetting]
) -> Iterator[Finding]:
    for o in overrides:
        if not o.setting:
            continue  # told when the cell was read
        sheet = o.origin.sheet or "Overrides"
        if settings and not any(names_setting(o.setting, s) for s in settings):
            yield Finding(
                "S113",
                Grade.STOP,
                sheet,
                o.origin.cell("setting"),
                drive.tag,
                o.setting,
                f"a setting number of model {drive.model}, or a function with its terminal",
                "Correct the setting, or add it to the sheet Settings.",
            )
        if not o.reason:
            yield Finding(
                "S114",
                Grade.STOP,
                sheet,
                o.origin.cell("reason"),
                drive.tag,
                f"override of {o.setting} without a reason",
                "one sentence on why the computed value is wrong",
                "Give the reason, or delete the row.",
            )


def _gate_conflicts(drive: Drive, lines: Mapping[str, _Line], opened: Mapping[str, str]) -> Iterator[Finding]:
    """A setting that only exists while another holds a value which is not the required one."""
    for number, value in sorted(opened.items()):
        line = lines[number]
        if is_lock(line.setting) or line.required == value:
            continue
        yield _finding(
            "S109",
            Grade.STOP,
            line.setting,
            "number",
            f"{number} {line.setting.name} must be {line.required}, but written settings need {value} in it",
            "one value for both",
            "Leave out the dependent setting, or change what needs it.",
            tag=drive.tag,
        )
