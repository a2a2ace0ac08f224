"""Is a scheme from a file whole in itself? What is wrong is said in its own words, before anything is wired."""

from __future__ import annotations

from collections.abc import Iterator

from binder.wiring.kinds import KINDS
from binder.wiring.recipe import STRING, TERMINAL, Part, Recipe, parse_contact, parse_joint
from binder.wiring.vocabulary import ROLES, TERMINAL_FUNCTIONS

_OWNERS = ("command", "reference", "selector", "network", "process", "supply", "measure", "bypass")
_ANALOG = ("", "potentiometer", "0-10 V", "2-10 V", "4-20 mA", "4-20 mA loop", "output")
_SUPPLY_ENDS = ("$IN", "$RET", "$RUN", "$PERMIT", "%L", "%N")
_CHOSEN_LATER = ("{reference}", "{measure}", "{preset}")
_FAMILIES = ("DI", "AI", "AO", "RO", "DO")


def refusal(recipe: Recipe) -> str:
    """Say what is wrong with a recipe.

    Parameters
    ----------
    recipe : Recipe

    Returns
    -------
    str
        The first thing that is wrong; '' for a recipe that can be wired.

    Examples
    --------
    >>> refusal(Recipe("lamp", "own", "Lamp", joints=("%L - H:X1",)))
    "'H:X1' is no terminal of its parts"
    """
    return next((said for said in _refusals(recipe)), "")


def _refusals(recipe: Recipe) -> Iterator[str]:
    if not recipe.key.strip() or not recipe.title.strip():
        yield "key and title must not be empty"
    keys = [part.key for part in recipe.parts]
    if len(set(keys)) != len(keys) or not all(k.isidentifier() for k in keys):
        yield "each part needs a key of its own, of letters and figures"
    for part in recipe.parts:
        yield from _part(part)
    marks = {f"{p.key}:{mark}" for p in recipe.parts for mark in _marks(p)}
    yield from _words(recipe, marks)
    yield from _string(recipe)
    for text in (*recipe.joints, *(joint for _, joint in recipe.fallback)):
        joint = parse_joint(text)
        for end in (joint.a, joint.b):
            yield from _end(end, marks)
    yield from _feeds(recipe, marks)
    yield from _asks(recipe)


def _words(recipe: Recipe, marks: set[str]) -> Iterator[str]:
    strange = [word for word in recipe.owner if word not in _OWNERS]
    if strange:
        yield f"owner '{strange[0]}' is none of {', '.join(_OWNERS)}"
    if recipe.analog not in _ANALOG:
        yield f"analog '{recipe.analog}' is none of {', '.join(filter(None, _ANALOG))}"
    if "supply" in recipe.owner and not {"G:+", "G:-"} <= marks:
        yield "a scheme that owns the supply needs a part G with terminals + and -"


def _asks(recipe: Recipe) -> Iterator[str]:
    for ask in recipe.asks:
        rest = "".join((ask.function, ask.applies_to, ask.value, ask.reason))
        for place in ("{code}", "{value:Hz}"):
            rest = rest.replace(place, "")
        if "{" in rest or "}" in rest:
            yield f"the setting '{ask.function}' has other places than {{code}} and {{value:Hz}}"


def _part(part: Part) -> Iterator[str]:
    if part.kind not in KINDS:
        yield f"unknown kind '{part.kind}'; one of {', '.join(sorted(KINDS))}"
    for text in part.contacts:
        parse_contact(text, len(part.states))
    if part.rest not in ("", *part.states):
        yield f"{part.key} rests in '{part.rest}', which is none of its states"
    if part.kind == "selector" and not part.states:
        yield f"the selector {part.key} has no states"
    marks = _marks(part)
    if len(set(marks)) != len(marks):
        yield f"{part.key} has a terminal twice"


def _marks(part: Part) -> list[str]:
    found = list(part.ports)
    for text in part.contacts:
        contact = parse_contact(text, len(part.states))
        found += [contact.a, contact.b]
    return found


def _string(recipe: Recipe) -> Iterator[str]:
    if not recipe.string:
        return
    found = STRING.match(recipe.string)
    if found is None:
        yield f"string '{recipe.string}' is neither permit nor fault"
        return
    members = [p for p in recipe.parts if p.contacts and found["part"] in (None, p.key)]
    if not members:
        yield f"string '{recipe.string}': none of its parts has a contact"


def _end(end: str, marks: set[str]) -> Iterator[str]:
    if end[0] in "$%":
        if end not in _SUPPLY_ENDS:
            yield f"'{end}' is none of {', '.join(_SUPPLY_ENDS)}"
    elif end[0] == "@":
        yield from _terminal(end)
    elif end not in marks:
        yield f"'{end}' is no terminal of its parts"


def _terminal(end: str) -> Iterator[str]:
    found = TERMINAL.match(end)
    if found is None or found["role"] not in {*ROLES, *_FAMILIES}:
        yield f"'{end}' is no terminal of a drive"
        return
    function = found["function"]
    if function is None:
        if found["role"] in _FAMILIES:
            yield f"'{end}' needs its function, as in '@DI(run_forward)'"
    elif function not in TERMINAL_FUNCTIONS and function not in _CHOSEN_LATER:
        yield f"'{function}' in '{end}' is no terminal function"
    if (found["role"] == "RO") != (found["contact"] is not None):
        yield f"'{end}': a relay is named with its contact, as in '@RO(fault).NO', and only a relay"


def _feeds(recipe: Recipe, marks: set[str]) -> Iterator[str]:
    if ("selector" in recipe.owner) != bool(recipe.feeds):
        yield "a scheme that owns the selector, and only that, names in feeds what is live in each mode"
    used = {e.partition(":")[0] for text in recipe.joints for e in (parse_joint(text).a, parse_joint(text).b)}
    for mode, end in recipe.feeds:
        if mode not in ("hand", "auto", "local", "remote"):
            yield f"mode '{mode}' is none of hand, auto, local, remote"
        if end not in marks or end.partition(":")[0] not in used:
            yield f"'{end}' feeds {mode}, but no joint ties that part"
    modes = {mode for mode, _ in recipe.feeds}
    if any(mode not in modes for mode, _ in recipe.fallback):
        yield "fallback names a mode that feeds does not"
