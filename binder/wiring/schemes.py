"""Every control scheme by its name, and schemes of one's own from a file in the project folder."""

from __future__ import annotations

import tomllib
from collections.abc import Mapping
from dataclasses import fields
from pathlib import Path
from types import MappingProxyType
from typing import Any, get_args, get_origin, get_type_hints

from binder.inventory.findings import Finding, Grade
from binder.wiring.recipe import SIGNALS, Ask, Part, Recipe
from binder.wiring.recipe_checks import refusal
from binder.wiring.recipes_command import COMMAND
from binder.wiring.recipes_output import OUTPUT
from binder.wiring.recipes_protection import PROTECTION
from binder.wiring.recipes_reference import REFERENCE

#: Every built-in scheme by its name, in the order of the scheme codes.
SCHEMES: Mapping[str, Recipe] = MappingProxyType(
    {r.key: r for r in sorted((*COMMAND, *REFERENCE, *OUTPUT, *PROTECTION), key=lambda r: (r.code, r.key))}
)


def find_scheme(name: str, recipes: Mapping[str, Recipe] = SCHEMES) -> Recipe | None:
    """Return the scheme of this name, code or alias.

    Parameters
    ----------
    name : str
        As written in the column 'Scheme'.
    recipes : mapping, optional
        The schemes known to this project.

    Returns
    -------
    Recipe or None

    Examples
    --------
    >>> find_scheme("HOA").code
    'CS05'
    """
    wanted = " ".join(name.casefold().split())
    for recipe in recipes.values():
        if wanted in (recipe.key.casefold(), *(a.casefold() for a in recipe.aliases)):
            return recipe
    return next((r for r in recipes.values() if r.code.casefold() == wanted and r.code != "own"), None)


def read_recipes(source: Path | Mapping[str, Any]) -> tuple[dict[str, Recipe], tuple[Finding, ...]]:
    """Read a project's own schemes and lay them over the built-in ones.

    Parameters
    ----------
    source : Path or mapping
        A file such as 'recipes.toml' with tables [[scheme]], or the mapping parsed from it. A name
        that exists already replaces the built-in scheme.

    Returns
    -------
    tuple of (dict of str to Recipe, tuple of Finding)
        All schemes, own ones included; what could not be read is left out and told.

    Notes
    -----
    A scheme holds the fields of `Recipe` by name; parts are tables [[scheme.part]] with the fields
    of `Part`, settings tables [[scheme.ask]] with those of `Ask`.

    Examples
    --------
    >>> own, findings = read_recipes({"scheme": [{"key": "lamp test", "code": "own", "title": "Lamp test",
    ...     "part": [{"key": "S", "kind": "pushbutton", "contacts": ["13-14 NO -x"],
    ...               "states": ["released", "pressed"]}],
    ...     "joints": ["$IN - S:13", "S:14 - @DI(fault_reset)"]}]})
    >>> own["lamp test"].joints
    ('$IN - S:13', 'S:14 - @DI(fault_reset)')
    """
    recipes = dict(SCHEMES)
    findings: list[Finding] = []
    name = source.name if isinstance(source, Path) else "recipes"
    try:
        data = tomllib.loads(source.read_text("utf-8")) if isinstance(source, Path) else source
    except (OSError, UnicodeDecodeError, tomllib.TOMLDecodeError, RecursionError) as error:
        return recipes, (_refused(name, "", str(error)),)
    tables = data.get("scheme", [])
    strange = sorted(set(data) - {"scheme"})
    if strange or not isinstance(tables, list):
        findings.append(_refused(name, "", f"{', '.join(strange) or 'scheme'} stands where tables [[scheme]] belong"))
    for table in tables if isinstance(tables, list) else ():
        try:
            recipe = _recipe(dict(table))
        except (KeyError, TypeError, ValueError, AttributeError) as error:
            key = table.get("key", "") if isinstance(table, Mapping) else ""
            findings.append(_refused(name, str(key), str(error).strip("'\"")))
        else:
            recipes[recipe.key] = recipe
    return recipes, tuple(findings)


def _refused(name: str, key: str, why: str) -> Finding:
    return Finding(
        "W102", Grade.STOP, name, "", key, f"scheme not understood: {why}",
        "tables [[scheme]] with key, title, parts and joints such as '$IN - S:13'",
        "mend the file; until then the built-in scheme of this name is used",
    )  # fmt: skip


def _fields(cls: type, table: Mapping[str, Any]) -> dict[str, Any]:
    known = {f.name for f in fields(cls)}
    strange = sorted(set(table) - known)
    if strange:
        raise ValueError(f"unknown word {', '.join(strange)}")
    values = {k: _frozen(v) for k, v in table.items()}
    kinds = get_type_hints(cls)
    wrong = next((k for k, v in values.items() if not _fits(v, kinds[k])), None)
    if wrong:
        raise ValueError(f"{wrong} is written in another form than the built-in schemes have it")
    return values


def _fits(value: Any, kind: Any) -> bool:
    """True when a value from the file has the form of a field: text, truth, or a list of such."""
    if get_origin(kind) is not tuple:
        return isinstance(value, kind)
    if not isinstance(value, tuple):
        return False
    inner = get_args(kind)
    if inner[-1] is Ellipsis:
        return all(_fits(v, inner[0]) for v in value)
    return len(value) == len(inner) and all(_fits(v, k) for v, k in zip(value, inner, strict=True))


def _frozen(value: Any) -> Any:
    return tuple(_frozen(v) for v in value) if isinstance(value, list) else value


def _recipe(table: dict[str, Any]) -> Recipe:
    parts = tuple(Part(**_fields(Part, p)) for p in table.pop("part", ()))
    asks = tuple(Ask(**_fields(Ask, a)) for a in table.pop("ask", ()))
    if "signal" in table:
        table["signal"] = SIGNALS[table["signal"]]
    table.setdefault("code", "own")
    recipe = Recipe(**_fields(Recipe, table), parts=parts, asks=asks)
    if said := refusal(recipe):
        raise ValueError(said)
    return recipe
