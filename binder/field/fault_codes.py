"""What a code on the drive's display means here: the workbook's own fault codes, with the first checks of each."""

from __future__ import annotations

from collections.abc import Sequence

from binder.field.bench import Bench
from binder.field.sheets import CodeMeaning, FaultCheck, FaultPage
from binder.inventory.lookup import fault_codes_of

_SHORTS = "Earth fault or short circuit"
_DEAD = "Lock out"  # stands before every check of the earth fault page that opens the motor circuit

#: Kind of fault -> symptom whose page is followed, and how the checks begin that are made first. Common practice, no
#: source. A kind that is not here has the manual alone.
FOLLOWED: dict[str, tuple[str, ...]] = {
    "overcurrent": ("Trips while starting", "Turn the shaft"),
    "short circuit": (_SHORTS, _DEAD, "Winding ohms", "Motor cable core to core", "Motor and cable insulation"),
    "earth fault": (_SHORTS, _DEAD, "Motor and cable insulation"),
    "overvoltage": ("Trips while stopping", "DC bus"),
    "undervoltage": ("Stops by itself", "Line at the drive"),
    "input phase loss": ("Stops by itself", "Line at the drive"),
    "output phase loss": ("Trips on overload, runs hot", "Three currents"),
    "motor overload": ("Trips on overload, runs hot", "Current at 100 %"),
    "motor overtemperature": ("Trips on overload, runs hot", "Winding sensor"),
    "drive overtemperature": ("Stops by itself", "Fan, filter"),
    "reference loss": ("Run is given, speed stays 0", "Signal at"),
    "network loss": ("Network lost", "Pair"),
    "safe torque off": ("Safe torque off is shown", "Channel"),
    "external fault": ("Stops by itself", "Permit string"),
    "brake resistor": ("Trips while stopping", "Brake resistor"),
    "drive internal": (_SHORTS, _DEAD, "Drive alone"),
}

#: Kind of fault -> what is said where this drive has nothing wired that could report it.
NOT_WIRED = {
    "motor overtemperature": "no winding sensor is wired: see the manual",
    "external fault": "no input that reports it is wired: see the manual",
}


def code_meanings(bench: Bench, pages: Sequence[FaultPage]) -> tuple[CodeMeaning, ...]:
    """Tell each fault code of the drive's model with the first checks at this drive's terminals.

    Parameters
    ----------
    bench : Bench
    pages : sequence of FaultPage
        The drive's own fault pages.

    Returns
    -------
    tuple of CodeMeaning
        By code; a note in place of checks where this drive has none for that kind of fault.
    """
    by_symptom = {page.symptom: page for page in pages}
    made = []
    for code in fault_codes_of(bench.inventory, bench.model):
        symptom, *begins = FOLLOWED.get(code.meaning, ("",))
        page = by_symptom.get(symptom)
        checks = _first(page, begins) if page else ()
        made.append(
            CodeMeaning(
                code=code.code,
                meaning=code.meaning,
                words=code.words,
                page=code.page,
                symptom=page.symptom if page else "",
                checks=checks,
                note="" if checks else NOT_WIRED.get(code.meaning, "see the manual"),
            )
        )
    return tuple(made)


def _first(page: FaultPage, begins: Sequence[str]) -> tuple[FaultCheck, ...]:
    """The first check that begins so, for each beginning that this drive has."""
    meant = [next((c for c in page.checks if c.check.startswith(words)), None) for words in begins]
    return tuple(c for c in meant if c is not None)
