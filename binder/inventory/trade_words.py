"""Words of the trade for the choices of the workbook: those that mean one, and those that ask for an answer."""

from __future__ import annotations

import re
from collections.abc import Mapping
from functools import cache

from binder.inventory.cleaning import fold_text
from binder.inventory.declarations import Column
from binder.inventory.insulations import BY_PLACE, ONE_TEMPERATURE

#: Record field -> choice -> what else it is called. Common practice, no source.
_ALSO: Mapping[str, Mapping[str, str]] = {
    "code_basis": {"NEC": "NFPA 70|NFPA|US|USA|NEC 2023", "IEC": "IEC 60364|EN|HD 60364"},
    "paper": {"Letter": "US letter|ANSI A|8.5x11|8 1/2 x 11"},
    "decimal_mark": {".": "point|period|dot|decimal point", ",": "comma|decimal comma"},
    "earthing": {
        "solid wye": "solidly grounded wye|grounded wye|wye|star|grounded star|solidly grounded|480Y/277|208Y/120|"
        "600Y/347|415Y/240|400Y/230",
        "corner grounded delta": "corner grounded|corner-earthed delta|grounded B phase",
        "ungrounded delta": "ungrounded|floating delta|unearthed delta|delta ungrounded",
        "center-tapped delta": "high leg|high leg delta|wild leg|red leg|stinger leg|centre-tapped delta|4-wire delta",
        "center-tapped single-phase": "split phase|single-phase three-wire|3-wire single phase|"
        "120/240 single phase|centre-tapped single-phase",
        "high-resistance grounded": "HRG|high resistance ground",
        "low-resistance grounded": "LRG|low resistance ground",
    },
    "primary_fault": {"infinite": "infinite bus|unlimited|inf"},
    "material": {"copper": "cu|cupper|bare copper|tinned copper", "aluminum": "al|alu|alum|aluminium"},
    "raceway": {
        "steel conduit": "EMT|IMC|RMC|GRC|RGS|rigid|rigid steel|galvanized conduit|steel|GRS",
        "aluminum conduit": "aluminium conduit|rigid aluminum",
        "PVC conduit": "PVC|sch 40|sch 80|schedule 40|schedule 80|PVC sch 40|PVC sch 80|RNC|plastic conduit",
        "tray": "cable tray|ladder|cable ladder|ladder tray|basket tray", "trunking": "wireway|gutter|wire trough",
        "direct buried": "buried|direct burial|in ground|UG", "free air": "air|open air|messenger",
    },
    "mounting": {
        "free standing": "floor standing|floor mounted|floor", "wall hung": "wall mounted|wall|on wall",
    },
    "enclosure_material": {
        "painted steel": "steel|mild steel|powder coated steel|carbon steel",
        "stainless steel": "stainless|SS|304|316|304SS|316SS", "aluminum": "aluminium|al",
        "plastic": "polycarbonate|fiberglass|GRP|FRP|polyester|fibreglass",
    },
    "duty": {
        "light": "normal duty|normal|ND|light duty|LD|VT|variable torque|low overload|LO",
        "heavy": "heavy duty|HD|CT|constant torque|high overload|HO",
    },
    "protection_kind": {
        "time-delay fuse": "dual element fuse|dual element|time delay|slow blow|slow-blow fuse|TD fuse",
        "non-time-delay fuse": "one-time fuse|fast acting fuse|non time delay|class T|class T fuse|NTD fuse",
        "semiconductor fuse": "aR|gR|ultra-rapid fuse|high speed fuse|rectifier fuse|aR fuse|gR fuse",
        "gG fuse": "gG|gL|gL fuse|HRC fuse|NH gG|gG/gL", "aM fuse": "aM",
        "inverse time breaker": "thermal-magnetic breaker|thermal magnetic|TM breaker|MCCB|molded case breaker|"
        "molded case circuit breaker|inverse time circuit breaker|ITCB",
        "instantaneous trip breaker": "MCP|motor circuit protector|magnetic only breaker|mag-only breaker|"
        "instantaneous trip|magnetic only",
        "circuit breaker": "MCB|ACB|LSI breaker|breaker|CB|moulded case circuit breaker|miniature circuit breaker",
    },
    "output_filter": {
        "none": "no|not fitted|no filter",
        "reactor": "load reactor|output reactor|output choke|motor choke",
        "dv/dt filter": "dvdt|dU/dt|dU/dt filter",
        "sine filter": "sine wave filter|sinus filter|sine",
    },
    "control_logic": {"positive": "PNP", "negative": "NPN"},
    "control_supply": {"internal": "drive|from drive|own", "external": "24 V PSU|power supply|external 24 V"},
    "stop_mode": {
        "coast": "coast to stop|coasting|freewheel|free run",
        "ramp": "ramp to stop|decel|deceleration|decel ramp",
        "dc brake": "DC braking|DC injection|DC injection braking|DCIB",
    },
    "loss_of_reference": {
        "trip": "fault|fault trip|trip on loss|fault and coast", "ramp to stop": "ramp stop|decel to stop",
        "hold last": "last speed|hold last speed|hold|run at last speed", "preset speed": "preset|fixed speed",
        "minimum speed": "min speed|minimum|go to minimum|min", "ignore": "no action",
    },
    "loss_reaction": {
        "trip": "fault|fault trip|trip on loss", "ramp to stop": "ramp stop|decel to stop",
        "hold last": "last speed|hold last speed|hold", "preset speed": "preset|fixed speed",
        "minimum speed": "min speed|minimum|min", "ignore": "no action",
    },
    "bypass": {"none": "no|not fitted|without", "manual": "manual bypass", "automatic": "auto|automatic bypass"},
    "filter_jumper": {
        "fitted": "in|installed|connected|left in|in place", "removed": "out|disconnected|pulled|taken out|cut",
        "none": "not fitted|no jumper",
    },
    "design_letter": {letter: f"design {letter}|NEMA {letter}|NEMA design {letter}" for letter in "ABCD"},
    "insulation_class": {
        "A": "class A|105", "E": "class E|120", "B": "class B|130|130(B)", "N": "class N|200",
        "F": "class F|155|155(F)|F/B|F (B rise)|F with B rise", "H": "class H|180|180(H)|H/F",
    },
    "cooling": {
        "self": "TEFC|fan cooled|shaft fan|own fan|IC411|IC01|ODP|open drip proof|self-ventilated",
        "separate fan": "blower|blower cooled|TEBC|IC416|forced ventilation|force vent|external fan",
        "not ventilated": "TENV|IC410|non-ventilated|no fan", "water": "water cooled|IC71W|water jacket",
        "submerged": "submersible",
    },
    "connection": {
        "star": "wye|y|1Y|wye connected|star connected", "delta": "Δ|D|1D|delta connected|mesh",
        "double star": "YY|2Y|parallel wye|double wye|wye-wye|parallel star",
        "double delta": "ΔΔ|DD|2D|parallel delta",
        "single-phase": "1 phase|1ph",
    },
    "thermal_sensor": {
        "none": "no|not fitted|without", "thermistor": "PTC|PTC thermistor|thermistors|3 PTC|PTC 150 °C|TP111",
        "thermal switch": "thermostat|thermostats|bimetal|bimetal switch|N.C. thermostat|winding thermostat|T-stat",
        "PT100": "RTD|RTD 100 ohm|3 x PT100", "KTY": "KTY84",
    },
    "load_type": {
        "quadratic": "variable torque|VT|centrifugal|fan|square|square law|squared|centrifugal pump|centrifugal fan",
        "constant torque": "CT|conveyor|constant|positive displacement|mixer|extruder",
        "constant power": "CHP|constant horsepower|constant hp|winder|spindle", "hoist": "crane|lift|lifting|elevator",
    },
    "transmission": {
        "direct": "coupling|coupled|direct coupled|direct drive|close coupled|flexible coupling",
        "belt": "V-belt|belts|belt drive|sheave|sheaves|timing belt",
        "gear": "gearbox|reducer|gear reducer|gearmotor|gears",
    },
    "rotation": {
        "clockwise": "CW|right", "counterclockwise": "CCW|anticlockwise|left",
        "either": "both|bi-directional|any",
    },
    "role": {
        "line": "supply|input|feed|feeder|line side|incoming|power in|mains",
        "motor": "load|output|load side|motor lead",
        "control": "signal|controls|ctl",
    },
    "scheme": {
        "two-wire run": "2-wire|two wire|2-wire control|maintained start|run contact|dry contact start",
        "three-wire start-stop": "3-wire|three wire|start/stop|start stop station|push buttons|"
        "3-wire control|momentary start/stop",
        "jog": "inch|inching|jogging|jog button",
        "forward-reverse": "fwd/rev|for/rev|F/R|reversing|reversing control",
        "hand-off-auto": "HOA|HOA switch|HOA selector|auto-off-hand|man-off-auto|manual-off-auto|"
        "hand off auto switch|HOA selector switch|hand/auto",
        "local-remote": "L/R|local remote switch|L-R switch|L-O-R|local/off/remote",
        "speed potentiometer": "pot|potentiometer|speed pot|potentiometer reference|speed potentiometer 10k",
        "0-10 V reference": "0-10V|0-10 VDC|0-10 V signal|0-10 V speed signal|0 to 10 V",
        "2-10 V reference": "2-10V|2-10 VDC|2-10 V signal|2-10 V speed signal|2 to 10 V",
        "increase-decrease": "up/down|raise/lower|MOP|motorized potentiometer|inc/dec|faster/slower",
        "preset speeds": "preset|presets|preset speed|multi-speed|multi-step speed|fixed speeds",
        "process control": "PID|PID control|PI control|process loop|closed loop pressure",
        "fault relay": "fault|fault contact|fault output|alarm relay|trip relay|VFD fault|drive fault",
        "run relay": "run status|running contact|run output|running relay|VFD run|drive running|run feedback",
        "ready relay": "ready|ready contact|drive ready|ready to start|VFD ready",
        "at speed relay": "at speed|at speed contact|at reference|speed reached",
        "in auto relay": "in auto|auto status|in auto contact|in remote",
        "fault reset": "reset|reset button|fault reset button|alarm reset",
        "analog output": "AO|analog out|speed feedback|4-20 mA output|speed output|analogue output",
        "permissive string": "permissive|permissives|interlock|interlocks|run permissive|interlock string|safety "
        "string",
        "safe torque off": "STO|safe-off",
        "thermistor": "PTC|PTC input|motor thermistor|PTC thermistor",
        "thermal switch": "thermostat|motor thermostat|winding thermostat|overtemperature switch|motor overtemp",
        "mechanical brake": "brake|holding brake|motor brake|brake control",
        "brake resistor thermal switch": "DB resistor thermal|brake resistor thermostat|DBR thermal switch|"
        "resistor overtemperature",
        "motor isolator contact": "isolator contact|disconnect aux|disconnect auxiliary|aux contact of disconnect|"
        "safety switch aux|isolator auxiliary contact",
        "bypass": "bypass contactor|bypass contactors|VFD bypass|manual bypass",
        "lead-lag": "alternator|alternation|duplex|duty/standby",
        "network": "comms|communication|fieldbus|serial|RS-485|ethernet|BAS|BMS|bus",
        "encoder": "pulse generator|encoder feedback|PG|tacho feedback",
        "fire mode": "fire override|smoke control|fireman's override|smoke mode|fire fighter override",
        "damper proof": "damper end switch|damper interlock|damper limit switch|damper",
        "interposing relay": "ice cube relay|pilot relay|control relay|PLC relay|CR",
        "external 24 V": "24V|24 VDC|external 24 VDC|24 V supply|aux 24 V|24 V power supply|control power 24 V",
        "space heater": "heater|anti-condensation heater|motor heater|winding heater",
        "motor fan": "blower|separate fan|cooling fan|forced ventilation|motor blower|fan motor",
        "several motors": "multi-motor|multiple motors|two motors",
        "pulse reference": "pulse train|frequency reference|pulse input",
        "second set select": "second ramp|ramp 2|motor 2 select",
    },
    "action": {"add": "added|new", "remove": "removed|delete|deleted", "as found": "existing|found"},
    "parity": {"none": "N|no|8N1|8N2", "even": "E|8E1", "odd": "O|8O1"},
    "signal": {"voltage": "V|volts|0-10 V", "current": "mA|4-20 mA|0-20 mA", "either": "V/mA|both|selectable"},
    "insulation": {choice: "|".join(w for w, c in ONE_TEMPERATURE.items() if c == choice)
                   for choice in dict.fromkeys(ONE_TEMPERATURE.values())},
}  # fmt: skip

_FUSE = "Which one? Type time-delay fuse or non-time-delay fuse; the fuse's label says 'time delay' where it is one."
_STOP = (
    "An emergency stop is no scheme of its own: type safe torque off where it acts on those terminals, "
    "permissive string where it opens the run command."
)
_LOOP = (
    "Who feeds the loop? Type 4-20 mA reference where the source does, 4-20 mA transmitter where the drive does."
)
#: Record field -> words that leave the choice open -> what to ask.
_ASKED: Mapping[str, Mapping[str, str]] = {
    "earthing": {
        "delta": "How is it earthed? Type ungrounded delta, corner grounded delta or center-tapped delta.",
        "grounded delta": "Where is it earthed? Type corner grounded delta or center-tapped delta.",
        "grounded|earthed|yes": "How is it earthed? For a star point tied straight to earth type solid wye.",
        "resistance grounded|NGR": "Type high-resistance grounded (it runs on with a fault) or low-resistance "
        "grounded.",
    },
    "raceway": {"conduit|flex|LFMC|liquidtight|FMC": "Which metal? Type steel conduit, aluminum conduit or PVC "
    "conduit."},
    "protection_kind": {
        "fuse|fuses|class J|class J fuse|J fuse|RK1|class RK1|RK5|class RK5|class CC|CC fuse|class L": _FUSE,
        "MPCB|motor protection breaker|manual motor controller|MMP": "Type instantaneous trip breaker where only its "
        "magnetic part acts, else inverse time breaker (NEC) or circuit breaker (IEC).",
    },
    "control_logic": {
        "source|sourcing|sink|sinking|sink/source": "Type positive where an input acts at +24 V, negative where at "
        "0 V.",
    },
    "bypass": {"yes|fitted|contactor|3 contactor|2 contactor": "Who switches over? Type manual or automatic."},
    "filter_jumper": {"yes|no": "Type fitted or removed, as the jumper is now; none where the drive has none."},
    "connection": {"Y/Δ|Δ/Y|star/delta|wye/delta|Y-D|D/Y": "The plate shows both; type how the links are set in the "
    "box."},
    "duty": {"continuous|S1": "That is the motor's duty. Type light for fans and pumps, heavy for the rest."},
    "load_type": {"pump|mixed|other|variable": "Type quadratic for centrifugal pumps and fans, constant torque for "
    "the rest."},
    "scheme": {
        "4-20 mA|4-20|4-20 mA signal|4 to 20 mA|analog input|4-20mA speed signal": _LOOP,
        "transmitter|transducer|pressure transmitter|pressure transducer|level transmitter": _LOOP,
        "0-10 V / 4-20 mA|speed reference|analog reference|speed signal":
            "Type 0-10 V reference, 4-20 mA reference, 4-20 mA transmitter or speed potentiometer, one row each.",
        "e-stop|emergency stop|emergency off": _STOP,
        "selector switch|selector|switch|SS": "What does it select? Type hand-off-auto, local-remote, forward-reverse "
        "or two-wire run.",
        "start|start button|stop": "Type two-wire run for one maintained contact, three-wire start-stop for buttons.",
        "keypad|HIM|panel|hand held": "Control from the keypad needs no wiring: leave the row out.",
        "overload|motor overload|OL": "The drive's own overload needs no wiring; type thermal switch or thermistor "
        "for a sensor in the winding.",
    },
    "insulation": BY_PLACE,
}  # fmt: skip

#: Fields that take the words of another.
_LIKE = {"feeder_material": "material", "feeder_raceway": "raceway"}


def loose(word: str) -> str:
    """Return a word without case, spaces, dots, slashes and the hyphens within.

    Examples
    --------
    >>> loose("H-O-A"), loose("PTC-")
    ('hoa', 'ptc-')
    """
    return re.sub(r"[\s_./°]|-(?=.)", "", fold_text(word).casefold()) or word.strip().casefold()


@cache
def _table(field: str) -> tuple[Mapping[str, str], Mapping[str, str]]:
    field = _LIKE.get(field, field)
    same = {loose(w): choice for choice, words in _ALSO.get(field, {}).items() for w in words.split("|") if w}
    asked = {loose(w): text for words, text in _ASKED.get(field, {}).items() for w in words.split("|")}
    return same, asked


def meant_by(word: str, column: Column) -> str:
    """Return the choice that a word of the trade means in this column, '' for none.

    Examples
    --------
    >>> from binder.inventory.columns import sheet_named
    >>> meant_by("HOA switch", sheet_named("Controls").column("scheme"))
    'hand-off-auto'
    >>> meant_by("THHN/THWN-2", sheet_named("Cables").column("insulation"))
    'THHN/THWN-2 90 °C'
    """
    choice = _table(column.field)[0].get(loose(word), "")
    return choice if choice in column.choices else ""


def question_for(word: str, column: Column) -> str:
    """Return what to ask where a word of the trade leaves open which choice is meant, else ''.

    Examples
    --------
    >>> from binder.inventory.columns import sheet_named
    >>> question_for("XHHW", sheet_named("Cables").column("insulation"))[:43]
    'XHHW counts 90 °C in dry and damp places, 7'
    """
    return _table(column.field)[1].get(loose(word), "")
