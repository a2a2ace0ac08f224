"""Which facts each document shows: what decides whether it takes a new revision letter."""

from __future__ import annotations

from collections.abc import Iterable, Mapping, Sequence
from dataclasses import dataclass

from binder.documents.document import Document
from binder.inventory.lookup import fold
from binder.reissue.facts import SITE, Fact, Key


@dataclass(frozen=True, slots=True)
class Shows:
    """What a site document shows: groups of facts, of a group only some fields where they are named."""

    groups: Mapping[str, frozenset[str]]
    site_figures: bool = False

    def covers(self, key: Key) -> bool:
        """True when the document shows this fact."""
        owner, group, _, name = key
        if self.site_figures and owner == SITE and group == "figure":
            return True
        fields = self.groups.get(group)
        return fields is not None and (not fields or name in fields)


def _shows(*whole: str, site_figures: bool = False, **parts: str) -> Shows:
    some = {group: frozenset(fields.split()) for group, fields in parts.items()}
    return Shows({**{group: frozenset() for group in whole}, **some}, site_figures)


#: What header and title block of every sheet print of the site.
_SHEETS = "name owner contractor job_number paper"
#: What each site document shows, by the key of the document.
SITE_DOCUMENTS: Mapping[str, Shows] = {
    "front": _shows("site", "contact", "instrument", "revision", "document", drive="tag feeds"),
    "safety": _shows("site", "isolator", "mode", "restart", drive="tag feeds"),
    "findings": _shows("finding", "punch", "defeat"),
    "equipment": _shows(
        "panel",
        drive="tag feeds area model serial motor machine panel circuit isolator",
        motor="power voltage current",
    ),
    "supply": _shows("supply", "panel", site_figures=True, finding="Site Supplies Panels"),
    "cables": _shows("cable", "material", drive="tag"),
    "labels": _shows("label", drive="tag"),
    "network": _shows("network"),
    "maintenance": _shows(
        "maintenance", spare="part drives quantity supplier order_number lead_time place last_powered"
    ),
    "handover": _shows(
        "training",
        "warranty",
        "gate",
        "certificate",
        "punch",
        "requirement",
        drive="tag",
        site=_SHEETS + " sampling_rule",
    ),
}
_ON_EVERY_SHEET = frozenset(_SHEETS.split())
#: What a packet prints of the site.
_IN_PACKET = _ON_EVERY_SHEET | {
    "lockout_procedure", "language", "symbols", "code_basis", "emergency_number", "sampling_rule",
}  # fmt: skip
#: Facts of a drive that stand on a site document alone.
_NOT_IN_PACKET = frozenset({"label"})
#: What a packet prints of its panel and supply.
_PLACES = {
    "panel": {"place", "supply"},
    "supply": {"voltage", "frequency", "phases", "earthing", "transformer_rating", "transformer_impedance"},
}


def facts_by_document(documents: Iterable[Document], facts: Mapping[Key, Fact]) -> dict[str, list[Fact]]:
    """The facts that each document shows, by the key of the document.

    Parameters
    ----------
    documents : iterable of Document
    facts : mapping

    Returns
    -------
    dict
    """
    owners = by_owner(facts)
    site = owners.get(SITE, [])
    places, in_packet = by_place(site), _of_site(site, _IN_PACKET)
    found: dict[str, list[Fact]] = {}
    for document in documents:
        if document.kind == "packet":
            own = [f for f in owners.get(document.key, ()) if f.key[1] not in _NOT_IN_PACKET]
            found[document.key] = own + supplied_from(document.key, facts, places) + in_packet
        elif document.kind == "page":
            found[document.key] = [f for f in site if f.key[1:3] == ("page", document.key)]
            found[document.key] += _of_site(site, _ON_EVERY_SHEET)
        else:
            shows = SITE_DOCUMENTS.get(document.key, Shows({}))
            found[document.key] = [f for k, f in facts.items() if shows.covers(k)]
            if "site" not in shows.groups:
                found[document.key] += _of_site(site, _ON_EVERY_SHEET)
        if document.sections:
            found[document.key] += [f for f in site if f.key[1] == "page" and f.key[2] in document.sections]
    return found


def by_owner(facts: Mapping[Key, Fact]) -> dict[str, list[Fact]]:
    """The facts of each drive and of the site."""
    found: dict[str, list[Fact]] = {}
    for key, fact in facts.items():
        found.setdefault(key[0], []).append(fact)
    return found


def _of_site(site: Iterable[Fact], names: frozenset[str]) -> list[Fact]:
    return [f for f in site if f.key[1] == "site" and f.key[3] in names]


def by_place(site: Iterable[Fact]) -> dict[tuple[str, str], list[Fact]]:
    """What packets print of each panel and supply: (group, folded tag) -> facts."""
    found: dict[tuple[str, str], list[Fact]] = {}
    for fact in site:
        _, group, item, name = fact.key
        if name in _PLACES.get(group, ()):
            found.setdefault((group, fold(item)), []).append(fact)
    return found


def supplied_from(
    owner: str, facts: Mapping[Key, Fact], places: Mapping[tuple[str, str], Sequence[Fact]]
) -> list[Fact]:
    """The facts of panel and supply that a packet shows as well.

    Parameters
    ----------
    owner : str
        Row key of the drive.
    facts : mapping
    places : mapping
        The site's facts among them, see `by_place`.
    """
    panel = facts.get((owner, "drive", "drive", "panel"))
    if panel is None:
        return []
    of_panel = places.get(("panel", fold(panel.value)), ())
    supply = [fold(fact.value) for fact in of_panel if fact.key[3] == "supply"]
    return [*of_panel, *places.get(("supply", supply[-1] if supply else ""), ())]
