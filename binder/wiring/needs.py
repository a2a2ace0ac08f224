"""What the scheme rows need of a drive: joints that hold, parts that are built, terminals that are claimed."""

from __future__ import annotations

from collections.abc import Iterator

from binder.inventory.findings import Grade
from binder.wiring.assembly import Assembly
from binder.wiring.binding import Claim
from binder.wiring.connections import Wiring
from binder.wiring.recipe import TERMINAL, Joint, Part, parse_joint
from binder.wiring.scheme_rows import SchemeRow, row_finding
from binder.wiring.strings import string_members


class Needs:
    """The rows of one drive, read for what they need.

    Parameters
    ----------
    done : Assembly
        Its `fault_bound` is filled while claims are made.
    former : Wiring or None
        As last issued: presets keep their weight.
    """

    def __init__(self, done: Assembly, former: Wiring | None) -> None:
        self.done = done
        self.former = former
        self._number_presets()
        self.active = {row.key: tuple(self._active(row)) for row in done.rows}
        self.permit = string_members("permit", done.rows, done.has)
        self.fault = string_members("fault", done.rows, done.has)
        self._place_controller_contact()

    def _place_controller_contact(self) -> None:
        """The run contact of a selector's far mode stands where the controller of that mode's speed stands."""
        row = self.done.ownership.selector
        contact = next((p for p in row.recipe.parts if p.key == "K"), None) if row else None
        if row is None or contact is None or "K" in row.places or contact not in self.parts(row):
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

    def parts(self, row: SchemeRow) -> Iterator[Part]:
        """Yield the parts of a row that some joint or string uses."""
        needed = {e.split(":")[0] for j in self.active[row.key] for e in (j.a, j.b) if e[0] not in "$@%"}
        needed |= {m.part.key for m in (*self.permit, *self.fault) if m.row is row}
        for part in row.recipe.parts:
            if part.key in needed or (part.kind == "power supply" and row.owns("supply")):
                yield part

    def claims(self) -> Iterator[Claim]:
        """Yield every function that looks for a terminal, in row order."""
        for row in self.done.rows:
            contacts: dict[str, set[str]] = {}
            for joint in self.active[row.key]:
                for text in (joint.a, joint.b):
                    found = TERMINAL.match(self.filled(row, text))
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

    def filled(self, row: SchemeRow, text: str) -> str:
        """Return an end with its placeholders filled: which reference, which preset."""
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
