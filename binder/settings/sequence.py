"""In which order a person at the keypad must write the settings."""

from __future__ import annotations

import heapq
import re
from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass

from binder.inventory.lookup import natural
from binder.inventory.records import ModelSetting
from binder.settings.functions import FUNCTIONS, GROUPS, STAGES

#: Stage of a setting whose function the tool does not know: after all that it does know.
UNKNOWN_STAGE = STAGES.index("display")
_SAVE, _RELOCK = STAGES.index("save"), STAGES.index("relock")
_LOCKS = frozenset({"access_code", "parameter_lock"})


def overwritten_by(setting: ModelSetting, numbers: Sequence[str]) -> tuple[tuple[str, ...], tuple[str, ...]]:
    """Which settings of the model a write of this one overwrites.

    Parameters
    ----------
    setting : ModelSetting
        Its `overwrites` is '', 'all', or numbers and ranges: '12; 20 to 35', 'S-101..S-140'.
    numbers : sequence of str
        Every number of the model.

    Returns
    -------
    overwritten : tuple of str
    not_understood : tuple of str
        Parts that name no setting of this model.
    """
    text = setting.overwrites.strip()
    if not text:
        return (), ()
    if text.casefold() == "all":
        return tuple(n for n in numbers if n != setting.number), ()
    known, found, lost = set(numbers), set[str](), list[str]()
    for part in (p.strip() for p in re.split(r"[;,]", text) if p.strip()):
        ends = [p.strip() for p in re.split(r"\.\.|…|–|\bto\b", part)]
        if part in known:
            found.add(part)
        elif len(ends) == 2 and set(ends) <= known:
            low, high = sorted(natural(e) for e in ends)
            found |= {n for n in numbers if low <= natural(n) <= high and n != setting.number}
        else:
            lost.append(part)
    return tuple(n for n in numbers if n in found and n != setting.number), tuple(lost)


@dataclass(frozen=True, slots=True)
class Step:
    """One write at the keypad. `key` is the setting number, with '#relock' for locking again."""

    key: str
    setting: ModelSetting
    stage: int
    after: frozenset[str] = frozenset()

    @property
    def number(self) -> str:
        """Setting number without the mark of relocking."""
        return self.setting.number


@dataclass(frozen=True, slots=True)
class Order:
    """Steps in writing order, and every ring in which each step waits for the next."""

    steps: tuple[Step, ...]
    ring: tuple[str, ...] = ()


def stage_of(setting: ModelSetting) -> int:
    """Place in the writing order by what the setting does."""
    function = FUNCTIONS.get(setting.function)
    return function.order_stage if function else UNKNOWN_STAGE


def group_of(setting: ModelSetting) -> int:
    """Place of the group on the printed table, so that a group stays together within its stage."""
    function = FUNCTIONS.get(setting.function)
    return GROUPS.index(function.group) if function else len(GROUPS)


def is_lock(setting: ModelSetting) -> bool:
    """True for a setting that exists to lock others, so that it is closed again after use."""
    return setting.function in _LOCKS or not setting.function


def gates_of(setting: ModelSetting, by_number: Mapping[str, ModelSetting]) -> tuple[ModelSetting, ...]:
    """The settings that must hold their value before this one can be written.

    Parameters
    ----------
    setting : ModelSetting
    by_number : mapping of str to ModelSetting

    Returns
    -------
    tuple of ModelSetting
        Nearest first; a ring of locks is followed once round.
    """
    found: list[ModelSetting] = []
    current = setting
    while current.opened_by and current.opened_by in by_number:
        current = by_number[current.opened_by]
        if current in found or current is setting:
            break
        found.append(current)
    return tuple(found)


def constraints(
    written: Iterable[ModelSetting], by_number: Mapping[str, ModelSetting], relocked: Iterable[str] = ()
) -> tuple[Step, ...]:
    """Steps with what each must come after: its lock, what would overwrite it, motor data, the rest.

    Parameters
    ----------
    written : iterable of ModelSetting
        What is to be written, locks included.
    by_number : mapping of str to ModelSetting
        Every setting of the model.
    relocked : iterable of str
        Numbers of locks that are closed again at the end.

    Returns
    -------
    tuple of Step
    """
    settings = list(written)
    relocks = set(relocked)
    numbers = [s.number for s in settings]
    after: dict[str, set[str]] = {n: set() for n in numbers}
    gates = {s.number: {g.number for g in gates_of(s, by_number)} for s in settings}
    for setting in settings:
        if setting.opened_by in after:
            after[setting.number].add(setting.opened_by)
        if setting.overwrites:
            _after_overwriter(setting, by_number, numbers, gates, after)
    _after_motor_data(settings, after)
    opening = frozenset().union(*gates.values())
    steps = [_closing(s, by_number, after, opening) for s in settings]
    saves = {n for n in numbers if stage_of(by_number[n]) == _SAVE}
    for setting in settings:
        if setting.number in relocks:
            opened = {n for n in numbers if setting.number in gates[n]} | saves | {setting.number}
            steps.append(Step(f"{setting.number}#relock", setting, _RELOCK, frozenset(opened)))
    return tuple(steps)


def _after_overwriter(
    setting: ModelSetting,
    by_number: Mapping[str, ModelSetting],
    numbers: Sequence[str],
    gates: Mapping[str, set[str]],
    after: dict[str, set[str]],
) -> None:
    own = stage_of(setting)
    for victim in overwritten_by(setting, numbers)[0]:
        if victim in gates[setting.number]:
            continue  # what opens the preset has to come before it
        mutual = setting.number in overwritten_by(by_number[victim], numbers)[0]
        if mutual and (stage_of(by_number[victim]), natural(victim)) < (own, natural(setting.number)):
            continue  # reset and preset overwrite each other: the earlier stage goes first
        after[victim].add(setting.number)


def _after_motor_data(settings: Sequence[ModelSetting], after: dict[str, set[str]]) -> None:
    data = {
        s.number
        for s in settings
        if s.function and stage_of(s) in {STAGES.index("motor data"), STAGES.index("control mode")}
    }
    for setting in settings:
        if setting.function == "identification_run":
            after[setting.number] |= data


def _closing(
    setting: ModelSetting,
    by_number: Mapping[str, ModelSetting],
    after: Mapping[str, set[str]],
    opening: frozenset[str],
) -> Step:
    """Saving comes after every other write, a lock that opens nothing of them after saving."""
    stage = stage_of(setting)
    waits = set(after[setting.number])

    def locks(number: str) -> bool:
        own = by_number[number]
        return stage_of(own) == _RELOCK and number not in opening and not own.overwrites

    if stage == _SAVE:
        place = natural(setting.number)
        waits |= {
            n
            for n in after
            if n != setting.number
            and setting.number not in after[n]
            and not locks(n)
            and (stage_of(by_number[n]) != _SAVE or natural(n) < place)  # two of them do not wait for each other
        }
    elif locks(setting.number):
        waits |= {n for n in after if stage_of(by_number[n]) == _SAVE}
    return Step(setting.number, setting, stage, frozenset(waits))


def writing_order(steps: Iterable[Step]) -> Order:
    """Sort steps so that each comes after what it needs; among free ones the earlier stage first.

    Parameters
    ----------
    steps : iterable of Step

    Returns
    -------
    Order
        When steps wait for each other in a ring, the ring is named and its steps stand at the
        end in the order of their stages, so that the rest is still usable.
    """
    by_key = {s.key: s for s in steps}
    waits = {k: {a for a in s.after if a in by_key} for k, s in by_key.items()}
    opens: dict[str, list[str]] = {k: [] for k in by_key}
    for key, needed in waits.items():
        for a in needed:
            opens[a].append(key)
    urgency = _inherited(by_key)
    rank = {k: (urgency[k], group_of(s.setting), natural(k)) for k, s in by_key.items()}
    ready = [(*rank[k], k) for k, needed in waits.items() if not needed]
    heapq.heapify(ready)
    done: list[Step] = []
    while ready:
        key = heapq.heappop(ready)[-1]
        done.append(by_key[key])
        for follower in opens[key]:
            waits[follower].discard(key)
            if not waits[follower]:
                heapq.heappush(ready, (*rank[follower], follower))
    left = sorted(set(by_key) - {s.key for s in done}, key=lambda k: (by_key[k].stage, natural(k)))
    return Order((*done, *(by_key[k] for k in left)), _ring(left, waits))


def _inherited(by_key: Mapping[str, Step]) -> dict[str, int]:
    """Earliest stage among a step and all that wait for it: a lock is opened when it is first needed."""
    urgency: dict[str, int] = {}
    for key in sorted(by_key, key=lambda k: (by_key[k].stage, natural(k))):
        if key in urgency:
            continue
        urgency[key] = by_key[key].stage
        stack = [a for a in by_key[key].after if a in by_key]
        while stack:
            needed = stack.pop()
            if urgency.get(needed, len(STAGES)) > by_key[key].stage:
                urgency[needed] = by_key[key].stage
                stack.extend(a for a in by_key[needed].after if a in by_key)
    return urgency


def _ring(left: Sequence[str], waits: Mapping[str, set[str]]) -> tuple[str, ...]:
    if not left:
        return ()
    path: list[str] = []
    key = left[0]
    while key not in path:
        path.append(key)
        key = min(waits[key] & set(left), key=natural)
    return tuple(path[path.index(key) :])


def out_of_order(order: Sequence[str], steps: Iterable[Step]) -> tuple[tuple[str, str], ...]:
    """Pairs (early, late) in which `early` stands before something that it must come after.

    Parameters
    ----------
    order : sequence of str
        Keys in the order somebody means to write them.
    steps : iterable of Step

    Returns
    -------
    tuple of (str, str)
        Empty when the order is sound.
    """
    place = {key: i for i, key in enumerate(order)}
    return tuple(
        (step.key, needed)
        for step in steps
        for needed in sorted(step.after, key=natural)
        if step.key in place and needed in place and place[step.key] < place[needed]
    )
