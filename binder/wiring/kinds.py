"""Kinds of devices and the letters proposed for their tags.

Letters of IEC 81346-2:2009 as in engineering/tables/iec_81346_2_letter_codes.csv; North American
letters after NFPA 79 and NEMA ICS 19 practice. Both are proposals only: a tag in the workbook wins.
"""

from __future__ import annotations

from dataclasses import dataclass


@dataclass(frozen=True, slots=True)
class DeviceKind:
    """A kind of device: letters, and whether it stands in the contact chart of an operator."""

    key: str
    iec: str
    american: str
    name: str


def _kinds() -> tuple[DeviceKind, ...]:
    k = DeviceKind
    return (
        k("selector", "S", "SS", "selector switch"),
        k("pushbutton", "S", "PB", "pushbutton"),
        k("emergency stop", "S", "ES", "emergency stop"),
        k("potentiometer", "R", "POT", "potentiometer"),
        k("contact", "K", "CR", "volt-free contact"),
        k("relay", "K", "CR", "relay"),
        k("safety relay", "K", "SR", "safety relay"),
        k("thermistor relay", "K", "TR", "thermistor relay"),
        k("controller", "K", "PLC", "controller"),
        k("network", "K", "NET", "network segment"),
        k("contactor", "Q", "M", "contactor"),
        k("isolator", "Q", "DS", "isolator"),
        k("overload", "F", "OL", "overload relay"),
        k("switch", "B", "SW", "process switch"),
        k("limit switch", "B", "LS", "limit switch"),
        k("thermal switch", "B", "TS", "thermal switch"),
        k("thermistor", "B", "TH", "thermistors"),
        k("transmitter", "B", "XT", "transmitter"),
        k("encoder", "B", "ENC", "encoder"),
        k("pulse sensor", "B", "PX", "pulse sensor"),
        k("lamp", "P", "LT", "pilot light"),
        k("meter", "P", "MI", "meter"),
        k("power supply", "T", "PS", "24 V supply"),
        k("rectifier", "T", "REC", "rectifier"),
        k("brake", "R", "BRK", "brake"),
        k("heater", "E", "HTR", "heater"),
        k("actuator", "M", "ACT", "actuator"),
    )


#: Every kind by its key.
KINDS: dict[str, DeviceKind] = {k.key: k for k in _kinds()}


@dataclass(frozen=True, slots=True)
class Designations:
    """Tags of what the enclosure holds, by the symbol convention of the site."""

    drive: str
    strip: str
    supply: str
    earth: str
    cable: str
    dash: str


IEC = Designations("-T1", "-X1", "-X2", "-PE", "-W", "-")
AMERICAN = Designations("VFD1", "TB1", "TB2", "GND", "W", "")


def proposed_letter(kind: str, style: Designations) -> str:
    """Return the beginning of a proposed tag.

    Examples
    --------
    >>> proposed_letter("selector", IEC), proposed_letter("selector", AMERICAN)
    ('-S', 'SS')
    """
    known = KINDS[kind]
    return f"{style.dash}{known.american if style is AMERICAN else known.iec}"
