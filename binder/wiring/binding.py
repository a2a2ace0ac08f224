"""Which drive terminal carries which function: the user's own choice, then the issued one, then the first free."""

from __future__ import annotations

from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass
from itertools import permutations

from binder.inventory.findings import Finding, Grade
from binder.inventory.records import ModelTerminal
from binder.wiring.connections import DriveTerminal
from binder.wiring.scheme_rows import SchemeRow, row_finding

#: Functions that take the first inputs: an electrician looks for the run command at DI1.
_FIRST = ("run_forward", "start_pulse", "run_reverse", "stop_enable", "direction")

Take = Callable[["Claim", "Place"], None]

_CURRENT = frozenset({"4-20 mA", "4-20 mA loop"})


@dataclass(frozen=True, slots=True)
class Claim:
    """A function looking for a terminal.

    Parameters
    ----------
    key : str
        What the ledger remembers: function, and the row where two rows may not share.
    role : str
        'DI', 'AI', 'AO' or 'RO'.
    needs : frozenset of str
        Contacts of a relay ('C', 'NO', 'NC').
    analog : str
        Kind of signal, of `Recipe.analog`.
    wanted : str
        Terminal named by the user: label or printed number.
    """

    key: str
    role: str
    function: str
    row: SchemeRow
    needs: frozenset[str] = frozenset()
    analog: str = ""
    wanted: str = ""


@dataclass(frozen=True, slots=True)
class Place:
    """A terminal, or a relay output with its terminals, that can carry a function."""

    label: str  # 'DI1', 'RO1'
    role: str  # 'DI', 'AI', 'AO', 'RO'
    terminals: tuple[ModelTerminal, ...]

    def named(self, word: str) -> bool:
        """Return whether `word` means this place."""
        w = word.strip().casefold()
        return w == self.label.casefold() or any(w == t.terminal.casefold() for t in self.terminals)

    def suits(self, claim: Claim) -> bool:
        """Return whether a claim can live here."""
        if self.role != claim.role:
            return False
        if claim.role == "RO":
            return claim.needs <= {t.role.partition(".")[2] for t in self.terminals}
        if claim.role == "AI":
            wanted = "current" if claim.analog in _CURRENT else "voltage"
            return self.terminals[0].signal in {"", "either", wanted}
        return True


def places_of(terminals: Sequence[ModelTerminal]) -> tuple[Place, ...]:
    """Return every bindable place of a drive in strip order."""
    single = [Place(t.label or t.terminal, t.role, (t,)) for t in terminals if t.role in {"DI", "AI", "AO"}]
    relays: dict[str, list[ModelTerminal]] = {}
    for t in terminals:
        if t.role.startswith("RO"):
            relays.setdefault(t.role.partition(".")[0], []).append(t)
    return (*single, *(Place(name, "RO", tuple(ts)) for name, ts in sorted(relays.items())))


def bind(
    places: Sequence[Place], claims: Iterable[Claim], former: Sequence[DriveTerminal] = ()
) -> tuple[dict[str, Place], tuple[Finding, ...]]:
    """Give every claim a terminal.

    Parameters
    ----------
    places : sequence of Place
        What the drive offers.
    claims : iterable of Claim
        What the schemes need, in row order.
    former : sequence of DriveTerminal, optional
        Terminals as last issued: a claim keeps the one it had.

    Returns
    -------
    tuple of (dict of str to Place, tuple of Finding)
        By claim key. A claim that found nothing is missing and told.
    """
    waiting = sorted(claims, key=lambda c: _FIRST.index(c.function) if c.function in _FIRST else len(_FIRST))
    findings: list[Finding] = []
    taken: dict[str, Claim] = {}  # place label -> claim
    bound: dict[str, Place] = {}
    reserved = {p.label for c in waiting if c.wanted for p in places if p.named(c.wanted)}

    def take(claim: Claim, place: Place) -> None:
        taken[place.label] = claim
        bound[claim.key] = place

    for claim in [c for c in waiting if c.wanted]:
        _take_wanted(claim, places, taken, take, findings)
    issued = {t.claimed_by: t.number for t in former if t.claimed_by}
    for claim in [c for c in waiting if c.key not in bound and c.key in issued]:
        kept = next((p for p in places if p.named(issued[claim.key])), None)
        if kept and kept.label not in taken and kept.label not in reserved and kept.suits(claim):
            take(claim, kept)
    rest = [c for c in waiting if c.key not in bound]
    # a terminal that another function had when last issued is left alone while others are free
    warm = {p.label for p in places for number in issued.values() if p.named(number)}
    for role in ("DI", "AI", "AO", "RO"):
        free = [p for p in places if p.role == role and p.label not in taken]
        free.sort(key=lambda p: p.label in warm)
        _spread([c for c in rest if c.role == role], free, take)
    findings.extend(_nothing_free(c, places) for c in rest if c.key not in bound)
    return bound, tuple(findings)


def _take_wanted(
    claim: Claim, places: Sequence[Place], taken: dict[str, Claim], take: Take, findings: list[Finding]
) -> None:
    place = next((p for p in places if p.named(claim.wanted)), None)
    other = taken.get(place.label) if place else None
    if place is None:
        found, remedy = f"the drive has no terminal '{claim.wanted}'", "name a terminal of the sheet Terminals"
    elif other is not None:
        found = f"'{claim.wanted}' is asked for by {_said(other)} and by {_said(claim)}"
        remedy = "give each function its own terminal"
    elif not place.suits(claim):
        found = f"'{claim.wanted}' cannot carry {_said(claim)}: {_why_not(place, claim)}"
        remedy = "choose a terminal of the right kind"
    else:
        take(claim, place)
        return
    fitting = ", ".join(p.label for p in places if p.suits(claim))
    findings.append(row_finding(
        "W105", Grade.STOP, claim.row, "terminals", found, accepted=fitting or f"no {claim.role} on this drive",
        remedy=remedy,
    ))  # fmt: skip


def _said(claim: Claim) -> str:
    return claim.function.replace("_", " ")


def _why_not(place: Place, claim: Claim) -> str:
    if place.role != claim.role:
        return f"it is {place.role}, not {claim.role}"
    if claim.role == "AI":
        return f"it takes {place.terminals[0].signal} only"
    return "the contact is missing"


def _spread(claims: Sequence[Claim], free: Sequence[Place], take: Take) -> None:
    """Give the claims the first free places; where kinds differ, the first choice that serves all."""
    simple = all(p.suits(c) for p in free for c in claims)
    if simple or len(claims) > len(free) or len(free) > 6:
        left = list(free)
        for claim in claims:
            place = next((p for p in left if p.suits(claim)), None)
            if place:
                left.remove(place)
                take(claim, place)
        return
    best = max(
        permutations(free, len(claims)),
        key=lambda order: sum(p.suits(c) for p, c in zip(order, claims, strict=True)),
    )  # permutations come in strip order, so the first of the best is the natural one
    for place, claim in zip(best, claims, strict=True):
        if place.suits(claim):
            take(claim, place)


def _nothing_free(claim: Claim, places: Sequence[Place]) -> Finding:
    fitting = [p.label for p in places if p.suits(claim)]
    found = (
        f"no terminal left for {_said(claim)}: {', '.join(fitting)} in use"
        if fitting
        else f"the drive has no {claim.role} that can carry {_said(claim)}"
    )
    return row_finding(
        "W106", Grade.STOP, claim.row, "scheme", found,
        accepted=f"a free {claim.role}{' for ' + claim.analog if claim.analog else ''}",
        remedy="free a terminal, bind it yourself in the column Terminals, or choose another scheme or drive",
    )  # fmt: skip
