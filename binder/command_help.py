"""What `binder COMMAND --help` teaches: what the command reads and leaves alone, what comes next, examples."""

from __future__ import annotations

#: Command -> (what it does in two or three sentences, examples as typed).
TAUGHT: dict[str, tuple[str, tuple[str, ...]]] = {
    "new": (
        "Makes the folder with a blank workbook, a page of first steps and a settings file of Sphinx. The workbook "
        "explains itself: each heading has a note, each sheet an example row that is never read as data.",
        ("binder new my_site",),
    ),
    "check": (
        "Reads the workbook and judges it; writes nothing. A stop means not fit for handover until it is mended or "
        "waived by name on the sheet Waivers; a caution wants a look; a note is worth knowing. Ends with 1 while "
        "stops are open, so that a script can tell.",
        ("binder check my_site", "binder check my_site --mark to_mend.xlsx", "binder check my_site --json"),
    ),
    "upgrade": (
        "For a workbook made by an older version: the copy gets missing sheets, columns and Site lines, with help and "
        "entry checks; cells, own columns and own sheets stay where they are. The workbook itself is not changed. "
        "Look at the copy, then put it in the workbook's place.",
        ("binder upgrade my_site", "binder upgrade my_site --out newer.xlsx"),
    ),
    "models": (
        "A model typed once from its manual serves every project. Its rows on the sheets Models, Derating, Terminals, "
        "Settings and Fault codes are added below those that are here; nothing else changes, and the workbook as it "
        "was is kept beside it. A model that is here already is told and not taken. Check the pages "
        "against the manual at hand.",
        (
            "binder models my_site --from other_site/inventory.xlsx",
            'binder models my_site --from other_site/inventory.xlsx --model "Example 7"',
        ),
    ),
    "figures": (
        "Prints what was computed for every drive and for the site, with limit and source. 'Not judged' means that "
        "data are missing; --json names them, and gives the inputs with their cells. --settings prints each setting "
        "instead: what it must be, and where that came from. --connections prints each conductor of the control wiring "
        "instead; with --json also devices, terminals, cables and their cores.",
        (
            "binder figures my_site",
            "binder figures my_site --json",
            "binder figures my_site --settings",
            "binder figures my_site --connections --json",
        ),
    ),
    "build": (
        "Makes the whole binder beside the old one and puts it in place when it is complete; a build that fails or is "
        "stopped changes nothing. Open stops do not prevent it: cover and headers say so. What did not change is not "
        "made again. With --watch it builds again each time the workbook is saved, until Ctrl-C.",
        ("binder build my_site", "binder build my_site --html --watch", "binder build my_site --pdf --out to_review"),
    ),
    "record": (
        "Checks returned files against the workbook and appends what is good to the sheets Readings and As left. "
        "Nothing that stands there is changed; rows with a fault are listed and not taken. The workbook as it was "
        "is kept beside it.",
        ("binder record my_site monday.csv", "binder record my_site monday.csv tuesday.xlsx"),
    ),
    "forms": (
        "Lines that are still open, one row each, to be filled on a phone or laptop without the binder. Row order and "
        "columns may change on the way; the test id must stay.",
        (
            "binder forms my_site --drives VFD-101,VFD-102 --out monday.csv",
            "binder forms my_site --settings --out settings.csv",
        ),
    ),
    "export": (
        "Equipment, cables, wires, labels, network, settings as left, baseline, spares and maintenance: a CSV file "
        "each, and all of them with totals in planner.xlsx. The column 'Row key' finds a thing again after a change "
        "of its tag. In CSV files an apostrophe stands before texts such as -K1, which would else run as formulas.",
        ("binder export my_site", "binder export my_site --out to_planner"),
    ),
    "issue": (
        "Freezes the present state under the next letter. Only documents whose content changed get the letter and "
        "new sheets; the others stay as issued. Refuses with reasons, for instance when the letter was used.",
        ('binder issue my_site --revision A --reason "Issued for commissioning" --by "A. Ferrow"',),
    ),
    "compare": (
        "Tells changes in the words of the trade, each with the documents it touches and the signatures it voids.",
        ("binder compare my_site A B", "binder compare my_site B", "binder compare my_site A B --json"),
    ),
    "unpack": (
        "An issued PDF carries workbook, own pages and record. This takes them out again, so that the next contractor "
        "can go on where the last one stopped.",
        ("binder unpack binder_rev_A.pdf my_site",),
    ),
}

EXIT_CODES = "Ends with 0 when all went well, 1 for open stops or bad input, 2 for a wrong call."
_BUILD_EXIT_CODES = (
    "Ends with 0 when the whole binder was built, open stops or not, 1 for bad input, 2 for a wrong call."
)


def epilog(name: str) -> str:
    """Examples and exit status of a command, to stand below its options.

    Parameters
    ----------
    name : str
        The command; one that is not taught has no examples.

    Returns
    -------
    str
    """
    examples = TAUGHT[name][1] if name in TAUGHT else ()
    head = ["examples:", *(f"  {line}" for line in examples), ""] if examples else []
    return "\n".join([*head, _BUILD_EXIT_CODES if name == "build" else EXIT_CODES])
