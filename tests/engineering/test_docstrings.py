"""Every public function says what it takes, what it gives, in which unit and by which rule."""

from __future__ import annotations

import importlib
import inspect
import pkgutil
import re
from collections.abc import Callable, Iterator
from typing import Any

import pytest

import binder.engineering

_OTHER_SECTIONS = ("Returns", "Raises", "Notes", "Examples", "References", "Attributes")


def _functions() -> Iterator[tuple[str, Callable[..., Any]]]:
    for module in pkgutil.iter_modules(binder.engineering.__path__, "binder.engineering."):
        loaded = importlib.import_module(module.name)
        for name, function in inspect.getmembers(loaded, inspect.isfunction):
            if function.__module__ == module.name and not name.startswith("_"):
                yield f"{module.name.removeprefix('binder.engineering.')}.{name}", function


FUNCTIONS = dict(_functions())


def _section(text: str, title: str) -> str:
    found = re.search(rf"^{title}\n-+\n(.*?)(?=^(?:{'|'.join(_OTHER_SECTIONS)})\n-|\Z)", text, re.MULTILINE | re.DOTALL)
    return found[1] if found else ""


@pytest.mark.parametrize("name", FUNCTIONS)
def test_parameters_are_those_of_the_signature(name: str) -> None:
    text = inspect.getdoc(FUNCTIONS[name]) or ""
    described = [
        part.strip(" *")
        for line in _section(text, "Parameters").splitlines()
        if line and not line.startswith(" ")
        for part in line.partition(" : ")[0].split(",")
    ]
    expected = list(inspect.signature(FUNCTIONS[name]).parameters)
    assert sorted(described) == sorted(expected), name
    assert text.splitlines()[0].endswith(".")


@pytest.mark.parametrize("name", FUNCTIONS)
def test_what_comes_back_is_described(name: str) -> None:
    function = FUNCTIONS[name]
    if inspect.signature(function).return_annotation not in ("None", None):
        assert _section(inspect.getdoc(function) or "", "Returns").strip(), name
