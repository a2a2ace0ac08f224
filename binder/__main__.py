"""The `binder` command, and `python -m binder`.

Processes that a build starts load this file again: it is kept so small that they do not load the
whole command with it.
"""

from __future__ import annotations

import gc


def main() -> int:
    """Run the command and return its exit status."""
    from binder.cli import main as run

    status = run()
    gc.freeze()  # the process ends: to look for garbage once more would take a seventh of its time
    return status


if __name__ == "__main__":
    raise SystemExit(main())
