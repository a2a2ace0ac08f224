"""From scheme rows to ties: which end is joined to which, before anybody thinks of routes.

The assembly binds functions to terminals, makes the devices and resolves every end of every
active joint. Routing then turns ties into conductors.
"""

from __future__ import annotations

import re
from collections.abc import Iterator
from dataclasses import dataclass, field

from binder.inventory.findings import Finding, Grade
from binder.inventory.lookup import model_of, terminals_of
from binder.inventory.records import Drive, DriveModel, Inventory, ModelTerminal
from binder.wiring.binding import Claim, Place, bind, places_of
from binder.wiring.connections import Device, DriveTerminal, End, Signal, Wiring
from binder.wiring.devices import DeviceMaker
from binder.wiring.kinds import AMERICAN, IEC, Designations
from binder.wiring.ownership import Ownership
from binder.wiring.recipe import Joint, Part, parse_joint
from binder.wiring.scheme_rows import SchemeRow, drive_finding, inside_places, printed_place, row_finding
from binder.wiring.strings import Member, string_members
from binder.wiring.vocabulary import POWER_ROLES

_TERMINAL = re.compile(r"^@(?P<role>[A-Z0-9/.+-]+?)(?:\((?P<function>[^)]+)\))?(?:\.(?P<contact>C|NO|NC))?$")

#: Function shown at a terminal that has one by construction.
_FIXED = {"EN": "enable", "STO1": "safe_torque_off_1", "STO2": "safe_torque_off_2", "PTC+": "thermistor"}

_CLASS = {
    "RO": Signal.RELAY, "STO": Signal.SAFETY, "AI": Signal.ANALOG, "AO": Signal.ANALOG, "R10": Signal.ANALOG,
    "A0": Signal.ANALOG, "PTC": Signal.SENSOR, "BUS": Signal.NETWORK, "ENC": Signal.SENSOR,
}  # fmt: skip


@dataclass(frozen=True, slots=True)
class Route:
    """How the conductor at a device's end travels: class, and whose cable."""

    signal: Signal
    cable: str = ""  # tag given by the user
    own: str = ""  # row key when the scheme shares its cable with no other
    star: bool = False
    both_ends: bool = False  # screen landed at both ends


@dataclass(slots=True)
class Assembly:
    """Everything decided before routing."""

    inventory: Inventory
    drive: Drive
    model: DriveModel | None
    style: Designations
    logic: str
    supply: str
    inside: tuple[str, str]
    rows: tuple[SchemeRow, ...]
    ownership: Ownership
    source: tuple[ModelTerminal, ...]
    bound: dict[str, Place] = field(default_factory=dict)
    ties: list[tuple[End, End, str]] = field(default_factory=list)  # with the scheme's name
    routes: dict[End, Route] = field(default_factory=dict)
    devices: tuple[Device, ...] = ()
    used_roles: set[str] = field(default_factory=set)
    fault_bound: dict[str, str] = field(default_factory=dict)  # row key -> claim key of its own fault input
    permits: tuple[str, ...] = ()  # tags in the permissive string
    findings: list[Finding] = field(default_factory=list)

    def numbers(self, role: str) -> tuple[str, ...]:
        """Return the printed numbers of all terminals of a role."""
        return tuple(t.terminal for t in self.source if t.role == role)

    def has(self, role: str) -> bool:
        """Return whether the drive has a terminal of this role."""
        return any(t.role == role for t in self.source)

    def end(self, role: str) -> End | None:
        """Return the first drive terminal of a role as an end."""
        found = self.numbers(role)
        return End(self.style.drive, found[0]) if found else None

    def holds(self, row: SchemeRow, condition: str) -> bool:
        """Return whether a condition of a recipe holds: 'H and no PTC+', parts, roles or facts of the drive."""
        return all(self._holds(row, word.strip()) for word in condition.split(" and ") if word.strip())

    def _holds(self, row: SchemeRow, condition: str) -> bool:
        word, wanted = (condition[3:], False) if condition.startswith("no ") else (condition, True)
        part = next((p for p in row.recipe.parts if p.key == word), None)
        if part:
            return (not part.optional or word in row.tags) is wanted
        return (self.has(word) or word in self.ownership.flags) is wanted

    def claim_key(self, row: SchemeRow, role: str, function: str) -> str:
        """Return what binds a function: the function alone, or with its row where rows may not share."""
        if role != "DI" or function.startswith("preset_"):
            return f"{function}/{row.key}"
        return self.fault_bound.get(row.key, function) if function == "external_fault" else function

    def place_bound(self, row: SchemeRow, role: str, function: str) -> Place | None:
        """Return the terminal that a row's function got."""
        return self.bound.get(self.claim_key(row, role, function))

    def terminals(self) -> tuple[DriveTerminal, ...]:
        """Return the drive's control terminals with their functions."""
        carried: dict[str, tuple[str, str]] = {}
        for key, place in self.bound.items():
            carried.update({t.terminal: (key.split("/")[0], key) for t in place.terminals})
        made = []
        for order, t in enumerate(self.source):
            function, key = carried.get(t.terminal, ("", ""))
            if not function and t.role in self.used_roles:
                function = _FIXED.get(t.role, "")
            made.append(DriveTerminal(
                t.terminal, t.label or t.terminal, t.role, order, function,
                2 if t.max_conductors is None else t.max_conductors,  # two a screw: common practice, no source
                t.page, t.signal, key,
            ))  # fmt: skip
        return tuple(made)


def assemble(
    inventory: Inventory, drive: Drive, rows: tuple[SchemeRow, ...], ownership: Ownership, former: Wiring | None
) -> Assembly:
    """Decide bindings, devices and ties of one drive.

    Parameters
    ----------
    inventory : Inventory
    drive : Drive
    rows : tuple of SchemeRow
    ownership : Ownership
    former : Wiring or None
        As last issued; its bindings and tags are kept.

    Returns
    -------
    Assembly
    """
    american = (inventory.site.symbols or ("North American" if inventory.site.code_basis == "NEC" else "IEC")) != "IEC"
    model = model_of(inventory, drive)
    source = tuple(t for t in terminals_of(inventory, model) if t.role not in POWER_ROLES)
    logic = drive.control_logic if drive.control_logic in {"positive", "negative"} else "positive"
    external = drive.control_supply == "external" or any(r.owns("supply") for r in rows)
    done = Assembly(
        inventory, drive, model, AMERICAN if american else IEC, logic, "external" if external else "internal",
        inside_places(inventory, drive), rows, ownership, source,
    )  # fmt: skip
    _Assembler(done, former).run()
    return done


class _Assembler:
    """Fills one `Assembly`; short-lived."""

    def __init__(self, done: Assembly, former: Wiring | None) -> None:
        self.done = done
        self.former = former
        self.makers = DeviceMaker(
            done.style, done.inside[0], lambda p: printed_place(done.inventory, done.drive, p), done.rows, former
        )
        self._number_presets()
        self.active = {row.key: tuple(self._active(row)) for row in done.rows}
        self.permit = string_members("permit", done.rows, done.has)
        self.fault = string_members("fault", done.rows, done.has)

    def run(self) -> None:
        done = self.done
        self._place_controller_contact()
        claims = list({c.key: c for c in reversed(tuple(self._claims()))}.values())[::-1]
        done.bound, findings = bind(places_of(done.source), claims, self.former.terminals if self.former else ())
        done.findings.extend(findings)
        for row in done.rows:
            for part in self._parts(row):
                self.makers.use(row, part)
        self._rails()
        self._strings()
        for row in done.rows:
            for joint in self.active[row.key]:
                self._tie_joint(row, joint)
        self._factory_links()
        done.devices = self.makers.devices()
        done.permits = tuple(dict.fromkeys(m.row.devices[m.part.key] for m in self.permit))
        done.findings.extend((*self.makers.findings, *self.makers.without_place(done.rows)))

    def _place_controller_contact(self) -> None:
        """The run contact of a selector's far mode stands where the controller of that mode's speed stands."""
        row = self.done.ownership.selector
        contact = next((p for p in row.recipe.parts if p.key == "K"), None) if row else None
        if row is None or contact is None or "K" in row.places or contact not in self._parts(row):
            return
        for mode in self.done.ownership.modes:
            other = mode.reference_row
            fed = mode.command_row is row and any(m == mode.name and "K:" in j for m, j in row.recipe.fallback)
            if not fed or other is None or not any(p.kind == "controller" for p in other.recipe.parts):
                continue
            place = other.place("A")
            if place and place != row.place("K"):
                row.places["K"] = place
                self.done.findings.append(row_finding(
                    "W109", Grade.NOTE, row, "place",
                    f"the run contact of {mode.name} is drawn at {place}, where its speed signal comes from",
                    accepted=f"S={row.place('S') or 'local panel'}; K={place}", remedy="say where both devices are",
                ))  # fmt: skip

    def _number_presets(self) -> None:
        """A preset row keeps the input weight it had when issued; new rows take the free ones."""
        presets = [r for r in self.done.rows if r.recipe.code == "CS12"]
        issued = {t.claimed_by: t.function for t in self.former.terminals} if self.former else {}
        kept = {
            r.key: int(function.removeprefix("preset_")) - 1
            for r in presets
            for claim, function in issued.items()
            if claim == f"{function}/{r.key}" and function.startswith("preset_")
        }
        free = (n for n in range(len(presets) + len(kept)) if n not in kept.values())
        for row in presets:
            row.index = kept[row.key] if row.key in kept else next(free)

    # which joints hold

    def _active(self, row: SchemeRow) -> Iterator[Joint]:
        texts = list(row.recipe.joints)
        if row is self.done.ownership.selector:
            for mode, fallback in row.recipe.fallback:
                owner = self.done.ownership.mode(mode)
                if owner and owner.command_row is row:
                    texts.append(fallback)
            if not any("local_remote" in t for t in texts):
                texts += [f"{m.feed} - @DI(local_remote)" for m in self.done.ownership.modes if m.command == "network"]
        for text in texts:
            joint = parse_joint(text)
            if self.done.holds(row, joint.when):
                yield joint

    def _parts(self, row: SchemeRow) -> Iterator[Part]:
        needed = {e.split(":")[0] for j in self.active[row.key] for e in (j.a, j.b) if e[0] not in "$@%"}
        needed |= {m.part.key for m in (*self.permit, *self.fault) if m.row is row}
        for part in row.recipe.parts:
            if part.key in needed or (part.kind == "power supply" and row.owns("supply")):
                yield part

    # what terminals they need

    def _claims(self) -> Iterator[Claim]:
        for row in self.done.rows:
            contacts: dict[str, set[str]] = {}
            for joint in self.active[row.key]:
                for text in (joint.a, joint.b):
                    found = _TERMINAL.match(self._filled(row, text))
                    if found and found["function"] and found["role"] == "RO":
                        contacts.setdefault(found["function"], set()).add(found["contact"])
                    elif found and found["function"]:
                        yield self._claim(row, found["role"], found["function"])
            for function, needs in contacts.items():
                yield self._claim(row, "RO", function, frozenset(needs))
        yield from self._string_claims()

    def _string_claims(self) -> Iterator[Claim]:
        done = self.done
        for member in self.fault:
            if "external_fault" in member.row.binding:
                done.fault_bound[member.row.key] = f"external_fault/{member.row.key}"
            yield self._claim(member.row, "DI", "external_fault")
        elsewhere = any(m.command not in {"terminals", ""} for m in done.ownership.modes)
        bound = next((m.row for m in self.permit if "run_permit" in m.row.binding), None)
        if self.permit and (bound or (elsewhere and not done.has("EN"))):
            yield self._claim(bound or self.permit[0].row, "DI", "run_permit")

    def _claim(self, row: SchemeRow, role: str, function: str, needs: frozenset[str] = frozenset()) -> Claim:
        key = self.done.claim_key(row, role, function)
        wanted = row.binding.get(function, "")
        if role == "DI" and not wanted:  # a function shared by rows may be bound in any of them
            wanted = next((r.binding[function] for r in self.done.rows if function in r.binding), "")
            if function == "external_fault":
                wanted = ""
            row = next((r for r in self.done.rows if wanted and r.binding.get(function) == wanted), row)
        return Claim(key, role, function, row, needs, row.recipe.analog if role == "AI" else "", wanted)

    def _filled(self, row: SchemeRow, text: str) -> str:
        if "{" not in text:
            return text
        reference = self._reference_function(row)
        has_process = any(r.owns("process") for r in self.done.rows)
        return text.format(
            reference=reference,
            measure="process_feedback" if has_process else reference,
            preset=f"preset_{row.index + 1}",
        )

    def _reference_function(self, row: SchemeRow) -> str:
        own = self.done.ownership.modes_of(row)
        process = [r for r in self.done.rows if r.owns("process")]
        if process and not own:
            return "process_setpoint"
        others = [m for m in self.done.ownership.modes if m.reference_row not in {None, row}] if own else []
        return "hand_reference" if others and set(own) <= {"hand", "local"} else "speed_reference"

    # ties

    def _tie(self, a: End | None, b: End | None, scheme: str) -> None:
        if a and b and a != b:
            self.done.ties.append((a, b, scheme))

    def _tie_joint(self, row: SchemeRow, joint: Joint) -> None:
        signal = joint.signal or self._signal(row, joint)
        ends = []
        for text in (joint.a, joint.b):
            end = self._end(row, self._filled(row, text))
            ends.append(end)
            if end and text[0] not in "$@%":
                self._route(row, end, signal)
        self._tie(ends[0], ends[1], row.recipe.key)

    def _route(self, row: SchemeRow, end: End, signal: Signal) -> None:
        recipe = row.recipe
        main = signal is recipe.signal
        self.done.routes.setdefault(end, Route(
            signal, row.control.cable.strip(), row.key if recipe.own_cable and main else "",
            signal is Signal.ANALOG or (recipe.star and main),  # signal and return stay one pair
            recipe.screen_both_ends and main,
        ))  # fmt: skip

    @staticmethod
    def _signal(row: SchemeRow, joint: Joint) -> Signal:
        for text in (joint.a, joint.b):
            if text[0] == "%":
                return Signal.RELAY
            if text[0] == "@":
                found = next((s for key, s in _CLASS.items() if text[1:].startswith(key)), None)
                if found:
                    return found
        supply_side = any(t.startswith(("$", "@DI", "@EN")) for t in (joint.a, joint.b))
        return Signal.DIGITAL if supply_side and row.recipe.signal is not Signal.SENSOR else row.recipe.signal

    def _end(self, row: SchemeRow, text: str) -> End | None:
        done = self.done
        if text[0] == "%":
            return End(done.style.supply, text[1:])
        if text[0] == "$":
            return self._fed(row, text)
        found = _TERMINAL.match(text)
        if not found:
            part = text.partition(":")[0]
            return End(row.devices[part], row.given[text]) if part in row.devices else None
        role, function, contact = found["role"], found["function"], found["contact"]
        if function:
            place = done.place_bound(row, role, function)
            if place is None:
                return None  # told when it was bound
            wanted = next(t for t in place.terminals if contact in {None, t.role.partition(".")[2]})
            return End(done.style.drive, wanted.terminal)
        end = done.end(role) or (done.end("P24") if role == "STOS" else None)
        if end is None:
            self._missing(row, role)
        else:
            done.used_roles.add(role)
        return end

    def _missing(self, row: SchemeRow, role: str) -> None:
        finding = row_finding(
            "W106", Grade.STOP, row, "scheme", f"the drive has no terminal {role}, needed by '{row.recipe.key}'",
            accepted="a terminal of that role on the sheet Terminals",
            remedy="enter the terminal from the drive's manual, or choose another scheme or drive",
        )  # fmt: skip
        if finding not in self.done.findings:
            self.done.findings.append(finding)

    def _fed(self, row: SchemeRow, text: str) -> End | None:
        if text == "$IN":
            return self.rail_in
        if text == "$RET":
            return self.rail_return
        if text == "$PERMIT":
            return self._permit_before(row)
        owner = self.done.ownership.mode(row.mode)
        selector = self.done.ownership.selector
        if owner and owner.feed and selector and selector is not row:
            part = owner.feed.split(":")[0]
            return End(selector.devices[part], selector.given[owner.feed])
        return self.run_end

    def _permit_before(self, row: SchemeRow) -> End | None:
        before = [m for m in self.permit if m.row is not row]
        return before[-1].leaving() if before else self.rail_in

    def _rails(self) -> None:
        """Say where the inputs are fed from, and tie their common to the other side."""
        done = self.done
        plus, minus = done.end("P24"), done.end("N24")
        external = next((r for r in done.rows if r.owns("supply")), None)
        if done.supply == "external":
            if external:
                tag = external.devices["G"]
                plus, minus = End(tag, external.given["G:+"]), End(tag, external.given["G:-"])
                for end in (plus, minus):
                    self._route(external, end, Signal.DIGITAL)
            else:
                plus, minus = End(done.style.supply, "24+"), End(done.style.supply, "24-")
                done.findings.append(drive_finding(
                    "W108", Grade.CAUTION, done.drive, "control_supply",
                    "control supply is external and no scheme says where it comes from",
                    accepted="a row 'external 24 V' with its place",
                    remedy=f"add the row; until then it is drawn from {done.style.supply}",
                ))  # fmt: skip
        elif plus is None and done.source:
            done.findings.append(drive_finding(
                "W106", Grade.STOP, done.drive, "model", "the drive model has no +24 V terminal (role P24)",
                accepted="roles P24 and N24, or control supply 'external'",
                remedy="enter the terminals from the manual",
            ))  # fmt: skip
        self.rail_in, self.rail_return = (plus, minus) if done.logic == "positive" else (minus, plus)
        common = done.numbers("DIC")
        for number in common:
            self._tie(self.rail_return, End(done.style.drive, number), "input logic")
        if not common and done.supply == "external" and done.end("N24"):
            self._tie(minus, done.end("N24"), "input logic")
        self.run_end = self.rail_in

    def _strings(self) -> None:
        done = self.done
        shared = [m for m in self.fault if m.row.key not in done.fault_bound]
        own: dict[str, list[Member]] = {}
        for member in self.fault:
            if member.row.key in done.fault_bound:
                own.setdefault(member.row.key, []).append(member)
        for members in ([shared] if shared else []) + list(own.values()):
            last = self._chain(members)
            place = done.place_bound(members[0].row, "DI", "external_fault")
            if place:
                self._tie(last, End(done.style.drive, place.terminals[0].terminal), members[-1].row.recipe.key)
        if not self.permit:
            return
        self.run_end = self._chain(self.permit)
        name = self.permit[-1].row.recipe.key
        enable = done.end("EN")
        if enable:
            done.used_roles.add("EN")
            self._tie(self.run_end, enable, name)
        if (place := done.bound.get("run_permit")) is not None:
            self._tie(self.run_end, End(done.style.drive, place.terminals[0].terminal), name)

    def _chain(self, members: list[Member]) -> End | None:
        last = self.rail_in
        for m in members:
            signal = m.row.recipe.signal if m.row.recipe.signal is Signal.SENSOR else Signal.DIGITAL
            entering, leaving = m.entering(), m.leaving()
            self._route(m.row, entering, signal)
            self._route(m.row, leaving, signal)
            self._tie(last, entering, m.row.recipe.key)
            last = leaving
        return last

    def _factory_links(self) -> None:
        """An enable or safety input that no scheme uses keeps the link it was delivered with."""
        done = self.done
        source = done.end("STOS") or done.end("P24")
        for role, feed in (("EN", self.rail_in), ("STO1", source), ("STO2", source)):
            if done.has(role) and role not in done.used_roles and feed and feed.device == done.style.drive:
                self._tie(feed, done.end(role), "factory link")
        if "STO1" in done.used_roles and done.has("STOC"):
            self._tie(done.end("N24"), done.end("STOC"), "safe torque off")
