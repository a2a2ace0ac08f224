"""Sphinx settings of this binder. `binder build` and plain `sphinx-build` both read them."""

extensions = ["binder.publishing.extension"]
project = "Commissioning binder"  # the site's name is taken from the workbook
exclude_patterns = ["build", "issues"]
