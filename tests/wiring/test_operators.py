"""What a contact is drawn to be operated by: from the kind of its device, its words, or its tag."""

from __future__ import annotations

import pytest

from binder.wiring.connections import Device
from binder.wiring.drawing_devices import operator_of
from binder.wiring.kinds import KINDS
from schemdraw_parts.contacts import OPERATORS


@pytest.mark.parametrize(
    ("tag", "kind", "text", "operator"),
    [
        ("-S1", "selector", "hand, off, auto", "turn"),
        ("-S1", "pushbutton", "start", "push"),
        ("ES-1", "emergency stop", "", "mushroom"),
        ("LS-1", "limit switch", "limit forward", "limit"),
        ("-F1", "overload", "fan overload", "overload"),
        ("PSL-1", "switch", "permissive 1", "pressure"),
        ("TSH-2", "switch", "permissive 2", "temperature"),
        ("LSHH3", "switch", "permissive 3", "level"),
        ("FSL-4", "switch", "", "flow"),
        ("ZSO-5", "switch", "", "limit"),
        ("PSL-1", "switch", "low flow at the seal", "flow"),
        ("LS-1", "switch", "permissive", "relay"),
        ("PSLX-1", "switch", "permissive", "relay"),
        ("-B1", "switch", "damper open", "limit"),
    ],
)
def test_the_operator_of_a_device(tag: str, kind: str, text: str, operator: str) -> None:
    assert operator_of(Device(tag, kind, "", text)) == operator


def test_every_kind_has_an_operator_that_is_drawn() -> None:
    assert {operator_of(Device("-X", kind, "", "")) for kind in KINDS} <= set(OPERATORS)
