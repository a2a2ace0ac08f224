"""Who commands and who sets the speed in each operating mode, worked out from the scheme rows."""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass, field

from binder.inventory.findings import Finding, Grade
from binder.inventory.lookup import overrides_of
from binder.inventory.records import Drive, Inventory
from binder.wiring.scheme_rows import SchemeRow, drive_finding, row_finding

_BUILT_IN = {"increase-decrease": "increase-decrease", "pulse reference": "pulse", "process control": "process control"}


@dataclass(frozen=True, slots=True)
class ModeOwner:
    """The owners of one mode; a row is None when the keypad or nobody owns it."""

    name: str  # '' when the drive has one mode only
    command: str  # 'terminals', 'network', 'keypad', 'built-in switch' or '' when nobody
    command_row: SchemeRow | None
    reference: str  # 'input' when an analog input, else a value of reference_source, '' when nobody
    reference_row: SchemeRow | None
    feed: str = ""  # selector end that is live in this mode


@dataclass(slots=True)
class Ownership:
    """All modes of a drive, and what follows for conditions in recipes."""

    modes: tuple[ModeOwner, ...]
    selector: SchemeRow | None
    flags: frozenset[str]
    findings: list[Finding] = field(default_factory=list)

    def mode(self, name: str) -> ModeOwner | None:
        """Return the mode of this name."""
        return next((m for m in self.modes if m.name == name), None)

    def modes_of(self, row: SchemeRow) -> tuple[str, ...]:
        """Return the modes in which this row sets the speed."""
        return tuple(m.name for m in self.modes if m.reference_row is row)


def owners(inventory: Inventory, drive: Drive, rows: tuple[SchemeRow, ...]) -> Ownership:
    """Work out the owners of command and reference in each mode.

    Parameters
    ----------
    inventory : Inventory
    drive : Drive
    rows : tuple of SchemeRow

    Returns
    -------
    Ownership
        With a finding for every mode without owner and every mode with two.
    """
    findings: list[Finding] = []
    selectors = [r for r in rows if r.owns("selector")]
    findings.extend(
        row_finding(
            "W113", Grade.STOP, extra, "scheme", f"'{extra.recipe.key}' beside '{selectors[0].recipe.key}'",
            accepted="one mode selector a drive", remedy="keep one of the two selectors",
        )
        for extra in selectors[1:]
    )  # fmt: skip
    selector = selectors[0] if selectors else None
    feeds = dict(selector.recipe.feeds) if selector else {}
    names = tuple(feeds) if feeds else _free_modes(rows, findings)
    modes = tuple(_mode(inventory, drive, rows, name, feeds.get(name, ""), findings) for name in names)
    if selector:
        _rows_outside(rows, feeds, findings)
    return Ownership(modes, selector, _flags(modes, rows), findings)


def _free_modes(rows: tuple[SchemeRow, ...], findings: list[Finding]) -> tuple[str, ...]:
    named = sorted({r.mode for r in rows if r.mode and (r.owns("command") or r.owns("reference"))})
    if len(named) > 1:
        row = next(r for r in rows if r.mode == named[0])
        findings.append(row_finding(
            "W113", Grade.STOP, row, "mode", f"modes {', '.join(named)} and no selector between them",
            accepted="a row 'hand-off-auto' or 'local-remote', or no mode at all",
            remedy="add the selector's row, or clear the modes",
        ))  # fmt: skip
    return tuple(named) or ("",)


def _rows_outside(rows: tuple[SchemeRow, ...], feeds: dict[str, str], findings: list[Finding]) -> None:
    for row in rows:
        plain_command = row.owns("command") and row.recipe.key != "forward-reverse"
        if plain_command and row.mode not in feeds:
            findings.append(row_finding(
                "W113", Grade.STOP, row, "mode",
                f"'{row.recipe.key}' with mode '{row.mode or 'blank'}' runs the drive past its selector, in OFF too",
                accepted=" or ".join(feeds), remedy="give the row the mode it belongs to",
            ))  # fmt: skip
        elif row.mode and row.mode not in feeds:
            findings.append(row_finding(
                "W113", Grade.CAUTION, row, "mode", f"the selector has no position '{row.mode}'",
                accepted=" or ".join(feeds), remedy="choose one of the selector's modes",
            ))  # fmt: skip


def _is_direction(row: SchemeRow, rows: Iterable[SchemeRow]) -> bool:
    """A forward-reverse row only turns the direction when something else gives the run command."""
    if row.recipe.key != "forward-reverse":
        return False
    if "direction" in row.binding:
        return True
    others = [r for r in rows if r is not row and r.owns("command") and r.recipe.key != "forward-reverse"]
    if any(r.mode == row.mode or not row.mode or not r.mode for r in others):
        return True
    return not row.mode and any(r.owns("selector") for r in rows)


def _mode(
    inventory: Inventory, drive: Drive, rows: tuple[SchemeRow, ...], name: str, feed: str, findings: list[Finding]
) -> ModeOwner:
    here = [r for r in rows if r.mode in {name, ""}]
    command, command_row = _command(inventory, drive, here, rows, name, feed, findings)
    reference, reference_row = _reference(inventory, drive, here, name, findings)
    return ModeOwner(name, command, command_row, reference, reference_row, feed)


def _command(
    inventory: Inventory, drive: Drive, here: list[SchemeRow], rows: tuple[SchemeRow, ...], name: str, feed: str,
    findings: list[Finding],
) -> tuple[str, SchemeRow | None]:  # fmt: skip
    wired = [r for r in here if r.owns("command") and not _is_direction(r, rows) and (not feed or r.mode == name)]
    network = [r for r in here if r.owns("network")]
    if len(wired) > 1:
        findings.append(row_finding(
            "W113", Grade.CAUTION, wired[1], "scheme",
            f"{' and '.join(repr(r.recipe.key) for r in wired)} may both start the drive{_in(name)}",
            accepted="one command owner a mode", remedy="remove one, give each a mode, or say why both are meant",
        ))  # fmt: skip
    if wired:
        return "terminals", wired[0]
    if network and (not feed or any(r.mode == name for r in network)):
        return "network", network[0]
    selector = next((r for r in rows if r.owns("selector")), None)
    if feed and selector:
        return "terminals", selector
    chosen = _override(inventory, drive, "command_source")
    if not chosen:
        findings.append(drive_finding(
            "W113", Grade.STOP, drive, "tag", f"nobody may start the drive{_in(name)}: no command scheme",
            accepted="a row 'two-wire run', 'three-wire start-stop', 'network', ... on the sheet Controls",
            remedy="add the scheme, or set command source on the sheet Overrides",
        ))  # fmt: skip
    return chosen, None


def _reference(
    inventory: Inventory, drive: Drive, here: list[SchemeRow], name: str, findings: list[Finding]
) -> tuple[str, SchemeRow | None]:
    process = [r for r in here if r.owns("process")]
    if process:
        return "process control", process[0]
    found = [r for r in here if r.owns("reference") or r.owns("measure")]
    exact = [r for r in found if r.mode == name] or found
    if len(exact) > 1:
        findings.append(row_finding(
            "W113", Grade.STOP, exact[1], "scheme",
            f"{' and '.join(repr(r.recipe.key) for r in exact)} both set the speed{_in(name)}",
            accepted="one reference owner a mode", remedy="remove one, or give each a mode",
        ))  # fmt: skip
    if exact:
        return _BUILT_IN.get(exact[0].recipe.key, "input"), exact[0]
    network = [r for r in here if r.owns("network")]
    if network:
        return "network", network[0]
    presets = [r for r in here if r.recipe.code == "CS12"]
    if presets:
        return "presets", presets[0]
    chosen = _override(inventory, drive, "reference_source")
    if not chosen:
        findings.append(drive_finding(
            "W113", Grade.STOP, drive, "tag", f"nobody sets the speed{_in(name)}: no reference scheme",
            accepted="a row 'speed potentiometer', '4-20 mA reference', 'preset speeds', ... on the sheet Controls",
            remedy="add the scheme, or set reference source on the sheet Overrides",
        ))  # fmt: skip
    return chosen, None


def _in(name: str) -> str:
    return f" in {name}" if name else ""


def _override(inventory: Inventory, drive: Drive, function: str) -> str:
    return next((o.value for o in overrides_of(inventory, drive) if o.setting == function and o.value), "")


def _flags(modes: tuple[ModeOwner, ...], rows: tuple[SchemeRow, ...]) -> frozenset[str]:
    flags = set()
    sources = {(m.reference, id(m.reference_row)) for m in modes if m.reference}
    if len(sources) > 1:
        flags.add("two references")
    remote = next((m for m in modes if m.name == "remote"), None)
    if remote and remote.command == "terminals":
        flags.add("remote by terminals")
    if any(r.owns("measure") for r in rows):
        flags.add("transmitter row")
    if any(_is_direction(r, rows) for r in rows):
        flags.add("direction input")
    if any("ramp_select" in r.binding for r in rows):
        flags.add("ramp input")
    return frozenset(flags)
