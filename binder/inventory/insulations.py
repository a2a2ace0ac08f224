"""Insulations of conductors by the letters printed on them, with the temperature whose column they take."""

from __future__ import annotations

from collections.abc import Mapping

#: Letters, temperature in dry and damp places, in wet ones (0: not for wet places). [°C]
#: NFPA 70 (NEC) 2023, Table 310.4(1) and the column headings of Table 310.16, from memory, check; until 2017 the
#: former was Table 310.104(A). Several types printed on one conductor: each counts in its own place.
_NEC = (
    ("TW", 60, 60), ("UF", 60, 60), ("MTW", 90, 60), ("THW", 75, 75), ("THWN", 75, 75), ("THHW", 90, 75),
    ("XHHW", 90, 75), ("RHW", 75, 75), ("USE", 75, 75), ("THHN", 90, 0), ("THHN/THWN", 90, 75), ("THWN-2", 90, 90),
    ("THHN/THWN-2", 90, 90), ("THW-2", 90, 90), ("XHH", 90, 0), ("XHHW-2", 90, 90), ("RHH", 90, 0),
    ("RHW-2", 90, 90), ("RHH/RHW-2", 90, 90), ("USE-2", 90, 90), ("SIS", 90, 0),
)  # fmt: skip
#: IEC 60364-5-52:2009, Table 52.1.
_IEC = (("PVC", 70, 70), ("XLPE", 90, 90), ("EPR", 90, 90))

#: Other spellings of the letters.
_ALSO = {
    "THWN-2/THHN": "THHN/THWN-2", "MTW/THHN/THWN-2": "THHN/THWN-2", "THWN/THHN": "THHN/THWN",
    "USE-2/RHW-2": "RHW-2", "RHW-2/USE-2": "RHW-2", "RHH/RHW-2/USE-2": "RHH/RHW-2", "USE-2/RHH/RHW-2": "RHH/RHW-2",
    "UF-B": "UF", "VPE": "XLPE", "PEX": "XLPE", "XLP": "XLPE",
}  # fmt: skip


def _choice(letters: str, celsius: int) -> str:
    return f"{letters} {celsius} °C"


def _choices() -> tuple[str, ...]:
    made = (_choice(t, c) for t, dry, wet in (*_NEC, *_IEC) for c in (wet, dry) if c)
    return tuple(dict.fromkeys(made))


def _words() -> dict[str, str]:
    found = {t: _choice(t, dry) for t, dry, wet in (*_NEC, *_IEC) if wet in (0, dry)}
    found |= {word: found[t] for word, t in _ALSO.items() if t in found}
    return found | {c.removesuffix(" °C"): c for c in _choices()}


def _open() -> dict[str, str]:
    told = {
        t: f"{t} counts {dry} °C in dry and damp places, {wet} °C in wet ones: type {_choice(t, dry)} "
        f"or {_choice(t, wet)}."
        for t, dry, wet in _NEC
        if wet not in (0, dry)
    }
    return told | {word: told[t] for word, t in _ALSO.items() if t in told}


#: Choices of the column Insulation.
INSULATIONS = _choices()
#: Letters alone -> choice, where they name one temperature.
ONE_TEMPERATURE: Mapping[str, str] = _words()
#: Letters alone -> what to ask, where the place decides.
BY_PLACE: Mapping[str, str] = _open()
