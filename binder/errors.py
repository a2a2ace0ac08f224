"""What can go wrong that is no finding: wrong calls and outputs that cannot be written."""

from __future__ import annotations


class BinderError(Exception):
    """Base of the errors this tool words itself; `remedy` is an action for the person."""

    def __init__(self, message: str, remedy: str = "") -> None:
        super().__init__(message, remedy)
        self.message = message
        self.remedy = remedy

    def __str__(self) -> str:
        return self.message


class ProjectError(BinderError, LookupError):
    """The folder is no binder project."""


class OutputError(BinderError, OSError):
    """An output could not be written; what stood there before still stands."""
