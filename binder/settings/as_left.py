"""What stands in the drive against what must stand in it, and what moved between two visits."""

from __future__ import annotations

import itertools
from collections.abc import Iterable, Iterator, Mapping, Sequence
from dataclasses import replace
from decimal import Decimal

from binder.inventory.findings import Finding, Grade
from binder.inventory.records import AsLeft, Drive, ModelSetting
from binder.settings.encode import canonical, decode, number_in, plain, printed
from binder.settings.functions import FUNCTIONS
from binder.settings.table import Drift, SettingRow


def names_setting(text: str, setting: ModelSetting) -> bool:
    """True when a cell names this setting by number, by function, or by function and terminal.

    Parameters
    ----------
    text : str
        Cell of the sheets Overrides or As left.
    setting : ModelSetting

    Returns
    -------
    bool

    Examples
    --------
    >>> names_setting("relay_function RO1", ModelSetting("A", "31", function="relay_function", applies_to="RO1"))
    True
    """
    if text.strip() == setting.number:
        return True
    if not setting.function:
        return False
    full = f"{setting.function} {setting.applies_to}".strip()
    return plain(text) == plain(full)


def tolerance(setting: ModelSetting) -> Decimal:
    """How far a read-back number may stand from the required one and still be the same value.

    Half a step of the display; a whole step where the manual says that the drive rounds.

    Parameters
    ----------
    setting : ModelSetting

    Returns
    -------
    Decimal
        In the setting's unit.
    """
    step = setting.resolution or Decimal(0)
    return step if setting.reads_back_rounded else step / 2


def same_value(setting: ModelSetting, first: str, second: str, *, decimal_mark: str = ".") -> bool:
    """Whether two display texts are the same value, with the setting's resolution.

    Parameters
    ----------
    setting : ModelSetting
    first, second : str
    decimal_mark : str

    Returns
    -------
    bool

    Examples
    --------
    >>> ramp = ModelSetting("A", "7", unit="s", resolution=Decimal("0.1"), maximum=Decimal(600))
    >>> same_value(ramp, "10.0", "10"), same_value(ramp, "10.0", "10.2")
    (True, False)
    """
    a, b = (decode(setting, t, decimal_mark=decimal_mark) for t in (first, second))
    if isinstance(a, Decimal) and isinstance(b, Decimal):
        return abs(a - b) <= tolerance(setting)
    if a is None or b is None:
        return canonical(setting, first) == canonical(setting, second)
    return a == b


def readable(setting: ModelSetting, text: str, *, decimal_mark: str = ".") -> bool:
    """Whether the setting's display could show this text at all.

    Parameters
    ----------
    setting : ModelSetting
    text : str
    decimal_mark : str

    Returns
    -------
    bool
    """
    value = decode(setting, text, decimal_mark=decimal_mark)
    if value is None:
        free = not setting.choices and setting.resolution is None and setting.minimum is None
        return free and number_in(text) is None
    if isinstance(value, str):
        return True
    low, high = setting.minimum, setting.maximum
    return not ((low is not None and value < low) or (high is not None and value > high))


def with_visits(row: SettingRow, setting: ModelSetting, visits: Sequence[AsLeft], *, decimal_mark: str) -> SettingRow:
    """Put as-found of the first visit and as-left of the last one into a row, and judge.

    The first as-found value is never replaced by a later one.

    Parameters
    ----------
    row : SettingRow
    setting : ModelSetting
    visits : sequence of AsLeft
        Those of this setting, earliest first.
    decimal_mark : str

    Returns
    -------
    SettingRow
    """
    if not visits:
        return row
    found = next((v.as_found for v in visits if v.as_found), "")
    last = next((v for v in reversed(visits) if v.as_left), None)
    if last is None:
        return replace(row, as_found=found)
    verdict = "equal"
    function = FUNCTIONS.get(row.function)
    if function is not None and function.kind == "action":
        verdict = ""  # done once; reads back as idle
    elif not same_value(setting, row.required, last.as_left, decimal_mark=decimal_mark):
        verdict = "differs with reason" if last.reason else "differs"
    return replace(
        row,
        as_found=found,
        as_left=last.as_left,
        as_left_by=last.initials,
        as_left_verdict=verdict,
        as_left_date=last.date.isoformat() if last.date else "",
    )


#: What a wrong value does to the machine (common practice, no source).
_CONSEQUENCES: dict[tuple[str, str], str] = {
    ("reference_source", "keypad"): "the drive ignores the speed signal at its terminals",
    ("reference_source", "built-in potentiometer"): "the drive ignores the speed signal at its terminals",
    ("reference_source", "presets"): "the drive ignores the speed signal at its terminals",
    ("command_source", "keypad"): "the drive ignores the run contacts at its terminals",
    ("command_source", "built-in switch"): "the drive ignores the run contacts at its terminals",
    ("analog_input_format", "0-10 V"): "a current signal is read as full scale or not at all",
    ("analog_input_format", "4-20 mA"): "a voltage signal loads its source and is read wrongly",
    ("analog_input_format", "0-20 mA"): "4 mA is read as 20 % speed",
    ("power_return", "restart"): "the machine may start when power returns",
    ("direction_enable", "both"): "the machine may turn backwards",
    ("start_method", "two-wire"): "the drive runs only while the start button is pressed",
    ("start_method", "three-wire"): "a maintained contact starts the drive but does not hold or stop it",
    ("network_loss", "ignore"): "the drive runs on when the network is lost",
    ("analog_input_loss", "ignore"): "the drive does not notice a broken signal wire",
}


def consequence(function: str, value: str) -> str:
    """What the drive does with `value` where another one is required; '' when nothing special is known.

    Parameters
    ----------
    function : str
    value : str
        Our word of the choice that stands in the drive.

    Returns
    -------
    str

    References
    ----------
    Common practice, no source.
    """
    return _CONSEQUENCES.get((function, value), "")


def judge(
    drive: Drive,
    rows: Iterable[SettingRow],
    settings: Mapping[str, ModelSetting],
    visits: Sequence[AsLeft],
    *,
    decimal_mark: str,
) -> Iterator[Finding]:
    """Findings of the as-left sheet: unknown setting, unreadable value, deviation without reason.

    Parameters
    ----------
    drive : Drive
    rows : iterable of SettingRow
        With their visits already joined.
    settings : mapping of str to ModelSetting
        By number.
    visits : sequence of AsLeft
    decimal_mark : str

    Yields
    ------
    Finding
        S120 to S122, with the cell of the As left sheet.
    """
    last: dict[str, AsLeft] = {}
    for visit in visits:
        if not visit.setting:
            continue  # told when the cell was read
        setting = next((s for s in settings.values() if names_setting(visit.setting, s)), None)
        sheet, where = visit.origin.sheet or "As left", visit.origin.cell
        if setting is None:
            yield Finding(
                "S120",
                Grade.CAUTION,
                sheet,
                where("setting"),
                drive.tag,
                visit.setting,
                f"a setting number or function of model {drive.model}",
                "Correct the setting number.",
            )
            continue
        if not visit.as_left:
            continue
        last[setting.number] = visit
        if not readable(setting, visit.as_left, decimal_mark=decimal_mark):
            yield Finding(
                "S121",
                Grade.CAUTION,
                sheet,
                where("as_left"),
                drive.tag,
                f"{visit.as_left} in setting {setting.number}",
                accepted_values(setting),
                "Read the value again at the keypad and type it as shown.",
            )
    for row in rows:
        if row.as_left_verdict == "differs" and row.number in last:
            visit = last[row.number]
            value = decode(settings[row.number], visit.as_left, decimal_mark=decimal_mark)
            effect = consequence(row.function, value) if isinstance(value, str) else ""
            effect = f"; {effect}" if effect else ""
            yield Finding(
                "S122",
                Grade.STOP,
                visit.origin.sheet or "As left",
                visit.origin.cell("as_left"),
                drive.tag,
                f"setting {row.number} {row.name} left at {visit.as_left}, required {row.required}{effect}",
                f"{_wanted(row)}, or a reason",
                "Write the required value, or give the reason for the deviation on the same row.",
            )


def _wanted(row: SettingRow) -> str:
    return f"{row.required} ({row.required_text})" if row.required_text else f"{row.required} {row.unit}".strip()


def accepted_values(setting: ModelSetting) -> str:
    """What the setting accepts, in words, for a finding."""
    if setting.choices:
        few = ", ".join(f"{c.code} {printed(c.value)}" for c in setting.choices[:6])
        return few + (", ..." if len(setting.choices) > 6 else "")
    low = "" if setting.minimum is None else format(setting.minimum, "f")
    high = "" if setting.maximum is None else format(setting.maximum, "f")
    return f"{low} to {high} {setting.unit}".strip() if low or high else "a value as the keypad shows it"


def drift(settings: Iterable[ModelSetting], visits: Sequence[AsLeft], *, decimal_mark: str = ".") -> tuple[Drift, ...]:
    """Settings that somebody changed between two visits: as found differs from as left before.

    Parameters
    ----------
    settings : iterable of ModelSetting
    visits : sequence of AsLeft
        Of one drive, earliest first.
    decimal_mark : str

    Returns
    -------
    tuple of Drift
    """
    moved: list[Drift] = []
    for setting in settings:
        own = [v for v in visits if names_setting(v.setting, setting)]
        for before, after in itertools.pairwise(own):
            left, found = before.as_left, after.as_found
            if left and found and not same_value(setting, left, found, decimal_mark=decimal_mark):
                moved.append(Drift(setting.number, setting.name, left, _day(before), found, _day(after)))
    return tuple(moved)


def _day(visit: AsLeft) -> str:
    return visit.date.isoformat() if visit.date else ""
