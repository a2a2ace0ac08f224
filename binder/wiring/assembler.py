"""From scheme rows to ties: terminals bound, devices made, every end of every joint resolved."""

from __future__ import annotations

from binder.inventory.findings import Grade
from binder.inventory.lookup import model_of, terminals_of
from binder.inventory.records import Drive, Inventory
from binder.wiring.assembly import Assembly, Route
from binder.wiring.binding import bind, places_of
from binder.wiring.connections import End, Signal, Wiring
from binder.wiring.devices import DeviceMaker
from binder.wiring.kinds import AMERICAN, IEC
from binder.wiring.needs import Needs
from binder.wiring.ownership import Ownership
from binder.wiring.recipe import TERMINAL, Joint
from binder.wiring.scheme_rows import SchemeRow, drive_finding, inside_places, printed_place, row_finding
from binder.wiring.strings import Member
from binder.wiring.vocabulary import POWER_ROLES

_CLASS = {
    "RO": Signal.RELAY, "STO": Signal.SAFETY, "AI": Signal.ANALOG, "AO": Signal.ANALOG, "R10": Signal.ANALOG,
    "A0": Signal.ANALOG, "PTC": Signal.SENSOR, "BUS": Signal.NETWORK, "ENC": Signal.SENSOR,
}  # fmt: skip


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
        self.needs = Needs(done, former)
        self.makers = DeviceMaker(
            done.style, done.inside[0], lambda p: printed_place(done.inventory, done.drive, p), done.rows, former
        )

    def run(self) -> None:
        done = self.done
        claims = list({c.key: c for c in reversed(tuple(self.needs.claims()))}.values())[::-1]
        done.bound, findings = bind(places_of(done.source), claims, self.former.terminals if self.former else ())
        done.findings.extend(findings)
        for row in done.rows:
            for part in self.needs.parts(row):
                self.makers.use(row, part)
        self._rails()
        self._strings()
        for row in done.rows:
            for joint in self.needs.active[row.key]:
                self._tie_joint(row, joint)
        self._factory_links()
        done.devices = self.makers.devices()
        done.permits = tuple(dict.fromkeys(m.row.devices[m.part.key] for m in self.needs.permit))
        done.findings.extend((*self.makers.findings, *self.makers.without_place(done.rows)))

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
        shared = [m for m in self.needs.fault if m.row.key not in done.fault_bound]
        own: dict[str, list[Member]] = {}
        for member in self.needs.fault:
            if member.row.key in done.fault_bound:
                own.setdefault(member.row.key, []).append(member)
        for members in ([shared] if shared else []) + list(own.values()):
            last = self._chain(members)
            place = done.place_bound(members[0].row, "DI", "external_fault")
            if place:
                self._tie(last, End(done.style.drive, place.terminals[0].terminal), members[-1].row.recipe.key)
        if not self.needs.permit:
            return
        self.run_end = self._chain(self.needs.permit)
        name = self.needs.permit[-1].row.recipe.key
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

    def _tie(self, a: End | None, b: End | None, scheme: str) -> None:
        if a and b and a != b:
            self.done.ties.append((a, b, scheme))

    def _tie_joint(self, row: SchemeRow, joint: Joint) -> None:
        signal = joint.signal or self._signal(row, joint)
        ends = []
        for text in (joint.a, joint.b):
            end = self._end(row, self.needs.filled(row, text))
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
        found = TERMINAL.match(text)
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
        before = [m for m in self.needs.permit if m.row is not row]
        return before[-1].leaving() if before else self.rail_in

    def _factory_links(self) -> None:
        """An enable or safety input that no scheme uses keeps the link it was delivered with."""
        done = self.done
        source = done.end("STOS") or done.end("P24")
        for role, feed in (("EN", self.rail_in), ("STO1", source), ("STO2", source)):
            if done.has(role) and role not in done.used_roles and feed and feed.device == done.style.drive:
                self._tie(feed, done.end(role), "factory link")
        if "STO1" in done.used_roles and done.has("STOC"):
            self._tie(done.end("N24"), done.end("STOC"), "safe torque off")
