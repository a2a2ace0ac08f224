"""Every command that writes, run as a program of its own; digests of all that it left and said, as JSON."""

from __future__ import annotations

import hashlib
import io
import json
import locale
import os
import sys
from contextlib import redirect_stdout
from pathlib import Path

from binder.cli import main

DAY = "2026-05-18"


def run(site: str) -> dict[str, str]:
    """Go through a job in this project folder."""
    words = (
        ["issue", site, "--revision", "A", "--reason", "First issue", "--by", "A. Ferrow", "--date", DAY],
        ["build", site],
        ["export", site, "--out", f"{site}/lists"],
        ["forms", site, "--drives", "VFD-101", "--out", f"{site}/forms.csv"],
        ["check", site, "--json"],
        ["figures", site, "--json"],
        ["figures", site, "--connections", "--json"],
    )
    found = {}
    for command in words:
        with redirect_stdout(io.StringIO()) as said:
            status = main(command)
        assert status == 0, (status, command)
        if command[-1] == "--json":
            found[" ".join([command[0], *command[2:]])] = hashlib.sha256(said.getvalue().encode()).hexdigest()
    for path in sorted(Path(site).rglob("*")):
        name = path.relative_to(site).as_posix()
        if path.is_file() and not name.startswith("build/work/") and path.name != "lock":
            found[name] = hashlib.sha256(path.read_bytes()).hexdigest()
    return found


if __name__ == "__main__":  # processes that typeset import this file
    locale.setlocale(locale.LC_ALL, "")  # a program of the user's country would; libraries then write its comma
    if hasattr(os, "sched_setaffinity"):
        os.sched_setaffinity(0, set(sorted(os.sched_getaffinity(0))[: int(sys.argv[2])]))
    os.umask(int(sys.argv[3], 8))
    sys.stdout.write(json.dumps({"comma": locale.localeconv()["decimal_point"], "files": run(sys.argv[1])}))
