"""What can start the machine without anybody starting it."""

from __future__ import annotations

import re
from collections.abc import Iterator

from binder.inventory.findings import Finding, Grade
from binder.settings.situation import Situation
from binder.settings.table import RestartHazard, SettingRow, SettingsTable

_MAINTAINED = frozenset({"two-wire run", "hand-off-auto", "local-remote", "forward-reverse", "bypass", "lead-lag"})


def rule(*, iec: bool) -> str:
    """Name the clause by which return of voltage shall not start a machine where that is a hazard.

    Parameters
    ----------
    iec : bool
        The site follows IEC; else NEC with NFPA 79.

    Returns
    -------
    str

    References
    ----------
    IEC 60204-1:2016 clause 7.5, NFPA 79:2021 clause 7.5 (from memory, check).
    """
    return f"{'IEC 60204-1' if iec else 'NFPA 79'} clause 7.5 (from memory, check)"


def _label(cause: str) -> str:
    return f"WARNING: machine may start without notice on {cause}. Isolate and lock before touching."


def _hazard(cause: str, starts: str, why: str, test: str) -> RestartHazard:
    return RestartHazard(cause, starts, why, _label(cause) if starts != "no" else "", test)


def _held(s: Situation) -> str:
    """Who holds a run command through an outage, '' when nobody does."""
    contact = sorted(s.schemes & _MAINTAINED)
    if contact and "three-wire start-stop" not in s.schemes:
        return f"{contact[0]} holds the run command"
    if any(d.value == "network" for d in s.demands_by_function.get("command_source", ())):
        return "the network holds the run command"
    return ""


def _text(row: SettingRow) -> str:
    return f"{row.number} is {row.required_text}"


def restart_hazards(s: Situation, table: SettingsTable) -> tuple[RestartHazard, ...]:
    """Judge each event that may start the machine, from scheme and settings.

    Parameters
    ----------
    s : Situation
    table : SettingsTable

    Returns
    -------
    tuple of RestartHazard
        Empty when the drive has no control scheme: then nothing is known.

    References
    ----------
    IEC 60204-1 clause 7.5, NFPA 79 clause 7.5 (from memory, check); which event restarts which
    scheme: common practice, no source.
    """
    if not s.schemes:
        return ()
    held = _held(s)
    found = [_power(table, held), _reference(s, table, held), _reset(held), *_commanded(s)]
    if s.network is not None:
        found.append(_lost(table, held))
    if s.drive.automatic_resets or _count(table):
        found.append(_automatic(table, held))
    if "permissive string" in s.schemes or "run_permit" in s.terminal_functions.values():
        starts, why = ("yes", held) if held else ("no", "the start command is a pulse and is gone")
        found.append(
            _hazard(
                "return of a permissive",
                starts,
                f"{why}; an open permissive only blocks the run command",
                "Run at low speed, open one permissive, close it again, watch.",
            )
        )
    return tuple(found)


def _commanded(s: Situation) -> Iterator[RestartHazard]:
    """Modes in which a controller or the network gives the command: it asks nobody at the machine."""
    kinds = {d.tag: d.kind for d in s.wiring.devices}
    modes = [
        m
        for m in s.wiring.modes
        if m.command_owner == "network"
        or kinds.get(m.command_device) in {"controller", "contact"}
        or (m.name in {"auto", "remote"} and m.command_owner not in {"keypad", ""})
    ]
    if modes:
        who = ", ".join(
            dict.fromkeys(f"{m.name}: {m.command_device or m.command_owner}".removeprefix(": ") for m in modes)
        )
        yield _hazard(
            "command of a controller",
            "yes",
            f"{who}; it may start the machine at any time, with nobody beside it",
            "Give the command from the controller with the machine clear; see who is warned.",
        )


def _test(held: str, what: str) -> str:
    """What to try; a start pulse is gone once given, so nobody can hold it."""
    return f"With the run command held, {what}" if held else f"With the drive running and start let go, {what}"


def _power(table: SettingsTable, held: str) -> RestartHazard:
    cause, test = "return of power", _test(held, "switch the supply off, wait two minutes, switch it on again.")
    if not held:
        return _hazard(cause, "no", "no run command lasts through the outage", test)
    row = table.required("power_return")
    if row is None:
        return _hazard(cause, "not known", f"{held}; the model's map has no setting for return of power", test)
    starts = "yes" if row.required_text == "restart" else "no"
    return _hazard(cause, starts, f"{held}; {_text(row)}", test)


def _at_zero(s: Situation, table: SettingsTable) -> str:
    """What the motor does at zero signal: somebody may reach in with the pot at zero."""
    row = table.required("min_frequency")
    text = f"{row.required} {row.unit}".strip() if row else str(s.drive.min_frequency or "")
    number = re.match(r"[\d.]+", text)
    if number is None:
        return "zero signal does not stop the drive; the lowest frequency is not known"
    if float(number[0]):
        return f"the motor runs on at {text} at zero signal"
    return "a signal at zero holds the motor still, not stopped"


def _reference(s: Situation, table: SettingsTable, held: str) -> RestartHazard:
    cause, test = "return of reference", _test(held, "take the signal away for a minute and bring it back.")
    losses = [r for r in (*table.rows, *table.untouched) if r.function == "analog_input_loss" and r.source != "default"]
    if not held:
        return _hazard(cause, "no", "no run command is held", test)
    if losses and all(r.required_text == "trip" for r in losses):
        return _hazard(cause, "no", f"{_text(losses[0])}: the fault stays until reset", test)
    told = [_text(losses[0])] if losses else []
    if not losses or losses[0].required_text == "ignore":
        told.append(_at_zero(s, table))
    why = "; ".join([held, *told])
    return _hazard(cause, "yes", why, test)


def _reset(held: str) -> RestartHazard:
    test = _test(held, "force a fault and reset it; watch for ten seconds.")
    if not held:
        return _hazard("fault reset", "no", "no run command is held", test)
    return _hazard("fault reset", "yes", f"{held}; many drives obey a held command after a reset", test)


def _lost(table: SettingsTable, held: str) -> RestartHazard:
    cause, test = (
        "return of network",
        "Unplug the network with the drive running, wait for the timeout, plug it in again.",
    )
    row = table.required("network_loss")
    if not held:
        return _hazard(cause, "no", "no run command is held", test)
    if row is not None and row.required_text == "trip":
        return _hazard(cause, "no", f"{_text(row)}: the fault stays until reset", test)
    return _hazard(cause, "yes" if row else "not known", f"{held}; {_text(row) if row else 'no setting known'}", test)


def _count(table: SettingsTable) -> bool:
    row = table.required("fault_reset_count")
    return row is not None and row.required not in {"", "0"}


def _automatic(table: SettingsTable, held: str) -> RestartHazard:
    test = _test(held, "force a fault that resets itself; count the starts.")
    row = table.required("fault_reset_count")
    why = f"{row.number} allows {row.required} resets" if row else "the sheet Drives asks for automatic resets"
    return _hazard("automatic reset", "yes" if held else "no", f"{held or 'no run command is held'}; {why}", test)


def restart_findings(s: Situation, table: SettingsTable) -> Iterator[Finding]:
    """Findings on starting by itself.

    Parameters
    ----------
    s : Situation
    table : SettingsTable

    Yields
    ------
    Finding
        S151: nobody says what return of power does. That it restarts on purpose is told by the wiring.
    """
    sheet, cell = s.drive.origin.sheet or "Drives", s.drive.origin.cell("restart_on_power_return")
    held = _held(s)
    if not s.schemes or not held:
        return
    if s.drive.restart_on_power_return is None:
        row = table.required("power_return")
        restarts = row is not None and row.required_text == "restart"
        yield Finding(
            "S151",
            Grade.STOP if restarts else Grade.CAUTION,
            sheet,
            cell,
            s.drive.tag,
            "nobody says whether the machine may restart when power returns"
            + ("; the default of this model restarts" if restarts else ""),
            "yes or no",
            f"Fill the column ({rule(iec=s.inventory.site.code_basis == 'IEC')}).",
        )
