"""The language in which a control scheme is written: parts, joints, and what they ask of the settings.

A joint is 'end - end', optionally 'if <condition>: (<class>) end - end'. Ends:

============== ==========================================================================
`$IN`          supply side of the digital inputs: +24 V (positive logic) or 0 V (negative)
`$RET`         the other side of that supply
`$RUN`         where a run command is fed from: behind the permissives and, for a row that
               belongs to a mode, behind the selector contact of that mode
`@ROLE`        drive terminal by role, `@R10`, `@STO1`; `@BUS.*` all terminals of a group
`@DI(name)`    drive terminal of that role, bound to a function; `@RO(fault).NO` likewise
`%L`, `%N`     control supply of the enclosure
`S:13`         terminal of one of the recipe's parts
============== ==========================================================================
"""

from __future__ import annotations

import re
from dataclasses import dataclass
from functools import lru_cache

from binder.wiring.connections import Signal

_JOINT = re.compile(r"^(?:if (?P<when>[^:]+): )?(?:\((?P<signal>\w+)\) )?(?P<a>\S.*?) - (?P<b>\S.*)$")
_CONTACT = re.compile(r"^(?P<a>\w+)-(?P<b>\w+) (?P<form>NO|NC) (?P<chart>[x-]+)$")

#: A drive terminal in a joint: '@R10', '@DI(run_forward)', '@RO(fault).NO'.
TERMINAL = re.compile(r"^@(?P<role>[A-Z0-9/.+-]+?)(?:\((?P<function>[^)]+)\))?(?:\.(?P<contact>C|NO|NC))?$")
#: How a recipe names its string: 'permit', 'fault', 'permit by Q2', 'fault without PTC+'.
STRING = re.compile(r"^(?P<name>permit|fault)(?: by (?P<part>\w+))?(?: without (?P<role>\S+))?$")

#: Class words of a joint.
SIGNALS: dict[str, Signal] = {
    "digital": Signal.DIGITAL, "analog": Signal.ANALOG, "relay": Signal.RELAY, "safety": Signal.SAFETY,
    "sensor": Signal.SENSOR, "network": Signal.NETWORK, "power": Signal.POWER,
}  # fmt: skip


@dataclass(frozen=True, slots=True)
class Joint:
    """Two ends that are joined, when a condition holds."""

    a: str
    b: str
    when: str = ""
    signal: Signal | None = None


@dataclass(frozen=True, slots=True)
class PartContact:
    """One contact of a part: marks, form, and per state whether it is closed."""

    a: str
    b: str
    form: str
    closed: tuple[bool, ...]


@dataclass(frozen=True, slots=True)
class Part:
    """A device that a scheme needs.

    Parameters
    ----------
    key : str
        How joints and the column 'Devices' name it: 'S' in 'S=SS-101'.
    kind : str
        A key of `kinds.KINDS`.
    text : str
        What it does, for the drawing.
    contacts : tuple of str
        '13-14 NO x--': marks, form, one sign per state.
    ports : tuple of str
        Terminals that are no contacts.
    states : tuple of str
        Names of its states; of a selector these are its positions, left to right.
    rest : str
        State it is left in; the first one when blank.
    legend : str
        Text of the legend plate.
    optional : bool
        Only built when the column 'Devices' names it.
    fixed : str
        'panel' when it always stands in the enclosure, whatever the row's place.
    """

    key: str
    kind: str
    text: str = ""
    contacts: tuple[str, ...] = ()
    ports: tuple[str, ...] = ()
    states: tuple[str, ...] = ()
    rest: str = ""
    legend: str = ""
    optional: bool = False
    fixed: str = ""


@dataclass(frozen=True, slots=True)
class Ask:
    """A setting that the scheme asks for; '{code}' and '{value:Hz}' are filled in, `when` is a condition."""

    function: str
    applies_to: str
    value: str
    reason: str
    when: str = ""


@dataclass(frozen=True, slots=True)
class Recipe:
    """One control scheme of the trade.

    Parameters
    ----------
    key, code, title : str
        'two-wire run', 'CS01', and the heading used on papers.
    owner : tuple of str
        What it decides: 'command', 'reference', 'selector', 'network', 'process', 'supply', or nothing.
    parts, joints : tuple
        Devices and connections.
    feeds : tuple of (mode, end)
        Of a selector: the end that is live in each mode.
    fallback : tuple of (mode, joint)
        Joints used when no row supplies the command of that mode.
    string : str
        'permit' or 'fault': the contacts of its parts stand in the common series string.
    analog : str
        'potentiometer', '0-10 V', '2-10 V', '4-20 mA', '4-20 mA loop' or 'output'.
    signal : Signal
        Class of joints between two devices.
    star : bool
        Every field end has its own core; nothing is chained in the field.
    own_cable : bool
        Shares its cable with no other scheme.
    screen_both_ends : bool
        The screen is landed at the far end too.
    asks : tuple of Ask
    switches : tuple of (str, str)
        Hardware switches and jumpers and their position.
    stop : str
        How it stops: category and what a broken wire does.
    restarts : bool
        The drive starts by itself when power returns with the contact closed.
    note : str
        What must be decided or watched.
    aliases : tuple of str
        Other spellings of the scheme.
    """

    key: str
    code: str
    title: str
    owner: tuple[str, ...] = ()
    parts: tuple[Part, ...] = ()
    joints: tuple[str, ...] = ()
    feeds: tuple[tuple[str, str], ...] = ()
    fallback: tuple[tuple[str, str], ...] = ()
    string: str = ""
    analog: str = ""
    signal: Signal = Signal.DIGITAL
    star: bool = False
    own_cable: bool = False
    screen_both_ends: bool = False
    asks: tuple[Ask, ...] = ()
    switches: tuple[tuple[str, str], ...] = ()
    stop: str = ""
    restarts: bool = False
    note: str = ""
    aliases: tuple[str, ...] = ()


@lru_cache(maxsize=1024)
def parse_joint(text: str) -> Joint:
    """Read one joint.

    Parameters
    ----------
    text : str
        'if H: (relay) @RO(fault).NO - H:X1'

    Returns
    -------
    Joint

    Raises
    ------
    ValueError
        The text is no joint, or its class is unknown.

    Examples
    --------
    >>> parse_joint("$IN - S:13")
    Joint(a='$IN', b='S:13', when='', signal=None)
    """
    found = _JOINT.match(text.strip())
    if not found:
        raise ValueError(f"'{text}' is no joint; write 'end - end'")
    word = found["signal"]
    if word and word not in SIGNALS:
        raise ValueError(f"'{word}' in '{text}' is no signal class; use one of {', '.join(SIGNALS)}")
    return Joint(found["a"], found["b"], (found["when"] or "").strip(), SIGNALS[word] if word else None)


@lru_cache(maxsize=1024)
def parse_contact(text: str, states: int) -> PartContact:
    """Read one contact of a part with `states` states.

    Raises
    ------
    ValueError
        The text is no contact, or its chart has another number of states.

    Examples
    --------
    >>> parse_contact("13-14 NO x--", 3)
    PartContact(a='13', b='14', form='NO', closed=(True, False, False))
    """
    found = _CONTACT.match(text.strip())
    if not found:
        raise ValueError(f"'{text}' is no contact; write '13-14 NO x--'")
    chart = tuple(sign == "x" for sign in found["chart"])
    if len(chart) != states:
        raise ValueError(f"contact '{text}' has {len(chart)} signs for {states} states")
    return PartContact(found["a"], found["b"], found["form"], chart)
