"""The `binder` command, and `python -m binder`.

Processes that a build starts load this file again: it is kept so small that they do not load the
whole command with it.
"""

from __future__ import annotations


def main() -> int:
    """Run the command and return its exit status."""
    from binder.cli import main as run

    return run()


if __name__ == "__main__":
    raise SystemExit(main())
