"""Write inventory.xlsx of the invented demo plant from the tables in made_from/."""

from __future__ import annotations

import sys
from pathlib import Path

HERE = Path(__file__).resolve().parent
sys.path.insert(0, str(HERE))
sys.path.insert(0, str(HERE.parent))

from made_from import controls, papers, plant, series_a, series_b, series_c  # noqa: E402
from made_from.table_text import Row  # noqa: E402


def workbook_rows() -> dict[str, list[Row]]:
    """Rows of every sheet, by sheet name and record field."""
    series = (series_a, series_b, series_c)
    models = [
        {**row, "same_as": "" if row["model"] == s.BASE else s.BASE} for s in series for row in s.MODELS
    ]  # the sizes of a series share terminals, settings and derating
    return {
        "Site": plant.SITE,
        "Supplies": plant.SUPPLIES,
        "Panels": plant.PANELS,
        "Drives": plant.DRIVES,
        "Motors": plant.MOTORS,
        "Machines": plant.MACHINES,
        "Cables": plant.CABLES,
        "Models": models,
        "Derating": [row for s in series for row in s.DERATING],
        "Terminals": [row for s in series for row in s.TERMINALS],
        "Settings": [_typed(row, "function", "choices") for s in series for row in s.SETTINGS],
        "Fault codes": [*series_a.FAULT_CODES, *series_b.FAULT_CODES],
        "Controls": [_typed(row, "terminals") for row in controls.CONTROLS],
        "Isolation": controls.ISOLATION,
        "Networks": controls.NETWORKS,
        "People": papers.PEOPLE,
        "Instruments": papers.INSTRUMENTS,
        "Overrides": [_typed(row, "setting") for row in papers.OVERRIDES],
        "Waivers": papers.WAIVERS,
        "Punch list": papers.PUNCH_LIST,
        "Defeats": papers.DEFEATS,
        "Training": papers.TRAINING,
        "Warranty": papers.WARRANTY,
        "Spares": papers.SPARES,
        "Maintenance": papers.MAINTENANCE,
        "Revisions": papers.REVISIONS,
    }


def _typed(row: Row, *fields: str) -> Row:
    """The row with words of ours as a person types them: 'run forward', not 'run_forward'."""
    return {k: v.replace("_", " ") if k in fields and isinstance(v, str) else v for k, v in row.items()}


def main() -> None:
    """Write the workbook beside this file: the plant first, then with what came back from site."""
    from made_from.returned import returned

    from binder.inventory.blank import write_workbook
    from binder.inventory.reader import read_workbook
    from binder.study import study_site

    path = HERE / "inventory.xlsx"
    rows = workbook_rows()
    write_workbook(path, rows)
    write_workbook(path, rows | returned(study_site(read_workbook(path))))


if __name__ == "__main__":
    main()
