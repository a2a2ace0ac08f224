"""One tier of a main circuit on paper: stages, conductors, cable, earths, texts."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass

from binder.engineering.figure import firm
from binder.wiring.power_chain import MainCircuit, Stage
from binder.wiring.sheet import BAND
from binder.wiring.zones import WIDEST
from schemdraw_parts.base import Part
from schemdraw_parts.figure import SheetFigure
from schemdraw_parts.main_circuit import (
    BODY,
    BrakeResistor,
    Breaker,
    Contactor,
    Disconnect,
    DrivePower,
    FilterBox,
    Fuses,
    Motor,
    Overload,
    Poles,
    Reactor,
    Supply,
    TapFlag,
    tap_width,
)
from schemdraw_parts.style import HEAVY, LINE, POLE, SMALL, TAG, Symbols
from schemdraw_parts.text import Notes, width, wrap
from schemdraw_parts.wiring import Earth, Flag, Lines, Sheath, Wire, flag_width

#: From the tier's upper edge to its first conductor, and the room for one text. [mm]
HEAD = 19.5
_TEXT_ROOM = 46.0
_LINE = 3.4
_MOST_LINES = 9
_KINDS: dict[str, type[Poles]] = {
    "disconnect": Disconnect, "breaker": Breaker, "fuses": Fuses, "contactor": Contactor, "overload": Overload,
    "reactor": Reactor, "filter": FilterBox, "motor isolator": Disconnect,
}  # fmt: skip
_CABLE = 56.0
#: Most that the words above a stage or beside a cable may take before they go to a note. [mm]
_MOST_ROOM = 84.0
_EARTH = "PE GNYE"  # green-and-yellow in both worlds: IEC 60445, NFPA 79 13.2.2 (from memory, check)
#: Stages with a protective conductor, last among their terminals.
EARTHED = ("supply", "terminals", "drive", "motor")

Point = tuple[float, float]


def below_lines(stage: Stage, notes: Notes | None = None) -> list[str]:
    """The ratings of a stage, wrapped to its column; what finds no room there goes to the notes."""
    notes = notes or Notes()  # while measuring
    below = [firm(text) for text in stage.below]
    lines = [part for text in below for part in wrap(text, _TEXT_ROOM, SMALL, lines=_MOST_LINES)]
    if len(lines) <= _MOST_LINES and " ".join(lines) == " ".join(" ".join(below).split(" ")):
        return lines
    lines = [part for text in below for part in notes.wrap(text, _TEXT_ROOM, SMALL, lines=2)]
    if len(lines) <= _MOST_LINES:
        return lines
    return [*lines[: _MOST_LINES - 1], *notes.wrap("; ".join(below), _TEXT_ROOM, SMALL, lines=1)]


def body(stage: Stage) -> float:
    """Width of a stage's part. [mm]"""
    return {"supply": 9.0, "terminals": 9.0, "drive": DrivePower.WIDTH, "motor": 27.0}.get(stage.kind, BODY)


def gap(stage: Stage) -> float:
    """Room for the conductors that leave a stage. [mm]"""
    if stage.kind in ("motor", "terminals"):
        return 0.0
    cable = max(_CABLE, *(min(width(t, SMALL), _MOST_ROOM) + 4.0 for t in stage.cable)) if stage.cable else 0.0
    return _tap_room(stage) + (cable or 11.0)


def _tap_room(stage: Stage) -> float:
    """Room of the flags hung under the conductors that leave a stage. [mm]"""
    if not stage.tap:
        return 0.0
    return 10.0 + max(tap_width(f"{stage.tap}:{m}{WIDEST}") for m in stage.load)


def advance(stage: Stage) -> float:
    """From the left edge of a stage to that of the next. [mm]"""
    texts = [min(width(t, SMALL), _MOST_ROOM) for t in (*below_lines(stage), *stage.above)]
    least = max([width(stage.tag, TAG, bold=True), *texts]) + 3.0
    return max(body(stage) + gap(stage), least if stage.kind != "drive" else 0.0)


def tier_height(stages: Sequence[Stage], circuit: MainCircuit) -> float:
    """Height of a tier with everything below its conductors. [mm]"""
    lines = max((len(below_lines(s)) for s in stages), default=0)
    room = max((5.5 + _drop(s) + _LINE * len(below_lines(s)) for s in stages), default=5.5)
    if any(s.kind == "drive" for s in stages):
        room = max(room, (28.0 if circuit.brake else 10.0) + _LINE * len(below_lines(_drive(stages))))
    if any(s.cable for s in stages):
        room = max(room, 14.0)
    if any(s.kind == "motor" for s in stages) and circuit.heater:
        room = max(room, 5.5 + _LINE * (lines + 3))
    return HEAD + 3 * POLE + room + 3.0


def _drop(stage: Stage) -> float:
    """How much lower ratings stand where a screen is bonded above them. [mm]"""
    return 4.0 if stage.kind == "motor isolator" and stage.screened else 0.0


def _drive(stages: Sequence[Stage]) -> Stage:
    return next(s for s in stages if s.kind == "drive")


@dataclass(slots=True)
class Tier:
    """Stages that stand beside each other, and what they go on from and to in other tiers."""

    stages: list[Stage]
    names: Mapping[str, tuple[str, ...]]  # wire numbers behind each stage
    came_from: Stage | None = None
    goes_to: Stage | None = None
    earth_from: Stage | None = None
    earth_to: Stage | None = None


def first_left(tier: Tier, sheet: int, sheets: Mapping[str, int]) -> float:
    """Left edge of a tier's first stage, behind the flags of what arrives from another tier. [mm]

    Parameters
    ----------
    tier : Tier
    sheet : int
        Its own sheet.
    sheets : mapping of str to int
        Sheet of each stage.
    """
    arriving = [(s, m) for s in (tier.came_from, tier.earth_from) if s is not None for m in s.load]
    if not arriving:
        return BAND + 2.0
    away = {s.tag: "" if sheets.get(s.tag, sheet) == sheet else WIDEST for s, _ in arriving}
    return BAND + 9.0 + max(flag_width(f"{s.tag}:{m}{away[s.tag]}") for s, m in arriving)


@dataclass(slots=True)
class TierDrawing:
    """Draws one tier with its upper edge at `top`."""

    figure: SheetFigure
    circuit: MainCircuit
    symbols: Symbols
    where: Mapping[str, tuple[int, str]]  # sheet and zone of each stage
    sheet: int
    top: float

    @property
    def y(self) -> float:
        """Height of the first conductor."""
        return self.top + HEAD

    def draw(self, tier: Tier) -> None:
        """Place the stages from left to right and join them."""
        x, earth = first_left(tier, self.sheet, {tag: number for tag, (number, _) in self.where.items()}), None
        points: list[Point] = []
        before: Stage | None = None
        start = x
        for stage in tier.stages:
            part = self._part(stage)
            self.figure.place(part, x, self.y, kind="device")
            ends = [part.point(a) for a in line_anchors(stage)]
            if before is not None:
                self._conductors(before, points, ends, tier.names[before.tag])
            elif tier.came_from is not None:
                self._arrive(tier.came_from, ends)
            if stage.kind in EARTHED and stage.kind != "supply":
                self._earth(tier, earth, ends[-1], start)
            self._texts(stage, x)
            points = [part.point(a) for a in load_anchors(stage)]
            if stage.kind in EARTHED:
                earth = points.pop() if points else None
            if stage.kind == "drive":
                self._below_drive(part, stage)
            if stage.kind == "motor":
                self._heater(x, stage)
            if stage.tap:
                self._taps(stage, points)
            x += advance(stage)
            before = stage
        self._leave(tier, points, earth)

    def _name(self, stage: Stage, mark: str) -> str:
        sheet, zone = self.where.get(stage.tag, (self.sheet, ""))
        name = f"{stage.tag}:{mark}"
        return name if sheet == self.sheet else f"{name} /{sheet}.{zone}"

    def _flag(
        self, stage: Stage, mark: str, at: Point, *, stub: float, toward: int, label: str = "", pen: float = HEAVY
    ) -> None:
        part = Flag(self._name(stage, mark), stub=stub, toward=toward, wire=label, pen=pen, size=SMALL)
        self.figure.place(part, *at, kind="flag")

    def _arrive(self, came_from: Stage, ends: Sequence[Point]) -> None:
        """Flags where a tier goes on from another one."""
        for mark, at in zip(live(came_from), ends, strict=False):
            self._flag(came_from, mark, at, stub=6.0, toward=-1)

    def _earth(self, tier: Tier, earth: Point | None, at: Point, start: float) -> None:
        """The protective conductor that arrives at a stage."""
        if earth is not None:
            self.figure.place(Wire(earth, at, [(_EARTH, earth[0] + 9.0)], size=SMALL), kind="wire")
        elif tier.earth_from is not None:
            mark = (tier.earth_from.load or tier.earth_from.line)[-1]
            self._flag(tier.earth_from, mark, at, stub=at[0] - start + 6.0, toward=-1, pen=LINE)

    def _leave(self, tier: Tier, points: Sequence[Point], earth: Point | None) -> None:
        """Flags where a tier goes on in another one."""
        last = tier.stages[-1]
        if tier.goes_to is not None and last.kind != "motor":
            marks = tier.goes_to.load if tier.goes_to.tap == last.tag else tier.goes_to.line
            labels = tier.names[last.tag]
            for at, mark, label in zip(points, marks, labels, strict=False):
                self._flag(tier.goes_to, mark, at, stub=10.0, toward=1, label=label)
        if earth is not None and tier.earth_to is not None:
            self._flag(tier.earth_to, tier.earth_to.line[-1], earth, stub=18.0, toward=1, label=_EARTH, pen=LINE)

    def _conductors(self, stage: Stage, starts: Sequence[Point], ends: Sequence[Point], names: Sequence[str]) -> None:
        for start, end, label in zip(starts, ends, names, strict=False):
            at = start[0] + (9.0 if stage.cable and not stage.tap else 1.0)
            self.figure.place(Wire(start, end, [(label, at)], pen=HEAVY, size=SMALL), kind="wire")
        if stage.cable:
            self._cable(stage, starts[0][0] + _tap_room(stage), ends[0][0], len(starts))

    def _cable(self, stage: Stage, left: float, right: float, poles: int) -> None:
        """Cable name, sheaths at both ends, and the bonding of its screen."""
        lines = [(self.figure.notes.fit(t, right - left - 2.0, SMALL), SMALL, False) for t in stage.cable]
        top = self.y - 5.5 - _LINE * (len(lines) - 1)
        self.figure.place(Lines(lines, tag=stage.cable[0].split(":")[0], pitch=_LINE), left + 2.0, top, kind="cable")
        for x in (left + 5.0, right - 7.0):
            sheath = self.figure.place(Sheath(POLE * poles, screened=bool(stage.screened)), x, self.y, kind="sheath")
            if stage.screened:
                self.figure.place(Earth(), *sheath.point("screen"), kind="earth")

    def _taps(self, stage: Stage, points: Sequence[Point]) -> None:
        """Second conductors at the load side of a stage, to the bypass or back from it."""
        bypass = self.circuit.chains[-1]
        target = next(s for s in bypass if s.tag == stage.tap)
        marks = target.line if target is bypass[0] else target.load
        for (x, y), mark in zip(points, marks, strict=False):
            self.figure.place(TapFlag(self._name(target, mark)), x + 9.0, y, kind="flag")

    def _part(self, stage: Stage) -> Part:
        if stage.kind in ("supply", "terminals"):
            return Supply(stage.tag, stage.load)
        if stage.kind == "drive":
            words = [self.figure.notes.fit(t, DrivePower.WIDTH - 3.0, SMALL) for t in stage.above]
            return DrivePower(stage.tag, stage.line, stage.load, below=self.circuit.brake_marks, words=words)
        if stage.kind == "motor":
            return Motor(stage.tag, stage.line)
        if stage.kind == "filter":
            return FilterBox(stage.tag, stage.line, stage.load, name=stage.above[0].split(), symbols=self.symbols)
        return _KINDS[stage.kind](stage.tag, stage.line, stage.load, symbols=self.symbols)

    def _texts(self, stage: Stage, x: float) -> None:
        """Tag and words above, ratings below."""
        if stage.kind == "drive":
            return
        room, notes = max(body(stage) + gap(stage), advance(stage)) - 2.0, self.figure.notes
        above = [(stage.tag, TAG, True), *((notes.fit(t, room, SMALL), SMALL, False) for t in stage.above)]
        self.figure.place(Lines(above, tag=stage.tag, pitch=3.6), x, self.top + 2.5, kind="words")
        below = [(t, SMALL, False) for t in below_lines(stage, notes)]
        if below:
            y = self.y + 3 * POLE + 5.5 + _drop(stage)
            self.figure.place(Lines(below, tag=stage.tag, pitch=_LINE), x, y, kind="ratings")

    def _below_drive(self, part: Part, stage: Stage) -> None:
        """Ratings below the block, or below the brake resistor that hangs there."""
        x, _ = part.point(f"line:{stage.line[0]}")
        y = self.y + 3 * POLE + 7.5
        brake, marks = self.circuit.brake, self.circuit.brake_marks
        if brake is not None:
            ends = [part.point(f"below:{m}") for m in marks]
            resistor = BrakeResistor(brake.tag, ("1", "2"), ends[-1][0] - ends[0][0], symbols=self.symbols)
            self.figure.place(resistor, *ends[0], kind="device")
            words = [(brake.tag, TAG, True), *((t, SMALL, False) for t in (*brake.above, *brake.below))]
            at = (ends[-1][0] + 4.0, ends[0][1] + 2.5)
            self.figure.place(Lines(words, tag=brake.tag, pitch=_LINE), *at, kind="words")
            y += 18.0
        lines = [(t, SMALL, False) for t in below_lines(stage, self.figure.notes)]
        self.figure.place(Lines(lines, tag=stage.tag, pitch=_LINE), x, y, kind="ratings")

    def _heater(self, x: float, stage: Stage) -> None:
        if self.circuit.heater:
            lines = [(t, SMALL, i == 0) for i, t in enumerate(self.circuit.heater)]
            y = self.y + 3 * POLE + 6.5 + _LINE * len(below_lines(stage))
            self.figure.place(Lines(lines, tag=self.circuit.heater[0], pitch=_LINE), x, y, kind="words")


def live(stage: Stage) -> tuple[str, ...]:
    """Marks of a stage's load side without the protective conductor."""
    return stage.load[:-1] if stage.kind in EARTHED else stage.load


def line_anchors(stage: Stage) -> list[str]:
    """Anchors of a stage's line side, protective conductor last."""
    if stage.kind == "terminals":
        return [f"<{m}" for m in stage.line]
    return [f"line:{m}" for m in stage.line] if stage.kind == "drive" else list(stage.line)


def load_anchors(stage: Stage) -> list[str]:
    """Anchors of a stage's load side, protective conductor last."""
    return [f"motor:{m}" for m in stage.load] if stage.kind == "drive" else list(stage.load)
