"""Short ways to write the parts that many schemes share."""

from __future__ import annotations

from binder.wiring.recipe import Part


def maintained(key: str, text: str, legend: str, *, optional: bool = False) -> Part:
    """Return a two-position selector with one make contact, closed in ON."""
    return Part(key, "selector", text, ("13-14 NO -x",), states=("OFF", "ON"), legend=legend, optional=optional)


def make_button(key: str, text: str, legend: str, *, optional: bool = False) -> Part:
    """Return a momentary pushbutton with one make contact."""
    return Part(key, "pushbutton", text, ("13-14 NO -x",), states=("released", "pressed"), legend=legend,
                optional=optional)  # fmt: skip


def break_button(key: str, text: str, legend: str, *, optional: bool = False) -> Part:
    """Return a momentary pushbutton with one break contact."""
    return Part(key, "pushbutton", text, ("11-12 NC x-",), states=("released", "pressed"), legend=legend,
                optional=optional)  # fmt: skip


def dry_contact(key: str, text: str, *, optional: bool = False) -> Part:
    """Return a volt-free make contact of a controller."""
    return Part(key, "contact", text, ("13-14 NO -x",), states=("off", "on"), optional=optional)


def healthy_contact(key: str, kind: str, text: str, *, optional: bool = False, marks: str = "11-12") -> Part:
    """Return a contact that is closed while healthy and opens when it acts."""
    return Part(key, kind, text, (f"{marks} NC x-",), states=("healthy", "acted"), optional=optional)


def ports(key: str, kind: str, text: str, *marks: str, optional: bool = False, fixed: str = "") -> Part:
    """Return a device with plain terminals and no contact."""
    return Part(key, kind, text, ports=marks, optional=optional, fixed=fixed)
