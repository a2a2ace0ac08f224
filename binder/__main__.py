"""`python -m binder` is the `binder` command."""

from binder.cli import main

raise SystemExit(main())
