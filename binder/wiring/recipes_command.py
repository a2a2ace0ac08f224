"""Schemes that start, stop and turn round: CS01 to CS06, CS28."""

from __future__ import annotations

from binder.wiring.parts import break_button, dry_contact, healthy_contact, maintained, make_button
from binder.wiring.recipe import Ask, Part, Recipe

_TWO_WIRE = Ask("start_method", "", "two-wire", "a maintained contact runs the drive")

_TWO_WIRE_STOP = (
    "stops as the stop mode says when the contact opens (stop category 2, IEC 60204-1 9.2.2, from memory, check);"
    " a broken wire stops it"
)

COMMAND: tuple[Recipe, ...] = (
    Recipe(
        "two-wire run", "CS01", "Two-wire run",
        owner=("command",),
        parts=(
            maintained("S", "run", "OFF-ON"),
            dry_contact("K", "run from controller", optional=True),
            Part("B", "switch", "run from process switch", ("13-14 NO -x",), states=("open", "closed"), optional=True),
        ),
        joints=(
            "if no K and no B: $RUN - S:13",
            "if no K and no B: S:14 - @DI(run_forward)",
            "if K: $RUN - K:13",
            "if K: K:14 - @DI(run_forward)",
            "if B: $RUN - B:13",
            "if B: B:14 - @DI(run_forward)",
        ),
        asks=(_TWO_WIRE,),
        stop=_TWO_WIRE_STOP,
        restarts=True,
        note="the contact must be volt-free; K names a controller's contact, B a process switch, instead of S",
        aliases=("two wire run", "2-wire", "two-wire", "maintained run"),
    ),
    Recipe(
        "three-wire start-stop", "CS02", "Three-wire start and stop",
        owner=("command",),
        parts=(
            break_button("S0", "stop", "STOP"),
            make_button("S1", "start", "START"),
            break_button("S2", "stop, second station", "STOP", optional=True),
            make_button("S3", "start, second station", "START", optional=True),
        ),
        joints=(
            "$RUN - S0:11",
            "if no S2: S0:12 - @DI(stop_enable)",
            "if S2: S0:12 - S2:11",
            "if S2: S2:12 - @DI(stop_enable)",
            "$RUN - S1:13",
            "S1:14 - @DI(start_pulse)",
            "if S3: $RUN - S3:13",
            "if S3: S3:14 - @DI(start_pulse)",
        ),
        asks=(Ask("start_method", "", "three-wire", "start and stop are momentary buttons"),),
        stop="stops when the stop contact opens or its wire breaks; start needs a new pulse afterwards",
        aliases=("three-wire", "three wire", "3-wire", "start-stop"),
    ),
    Recipe(
        "jog", "CS03", "Jog",
        parts=(make_button("S", "jog", "JOG"),),
        joints=("$RUN - S:13", "S:14 - @DI(jog)"),
        asks=(Ask("jog_frequency", "", "{value:Hz}", "speed while the jog button is held"),),
        stop="stops at release; a broken wire stops it",
        note="jog passes the permissives like every run command",
        aliases=("inch",),
    ),
    Recipe(
        "forward-reverse", "CS04", "Forward and reverse",
        owner=("command",),
        parts=(
            Part("S", "selector", "direction", ("13-14 NO x--", "23-24 NO --x"),
                 states=("FORWARD", "OFF", "REVERSE"), rest="OFF", legend="FOR-OFF-REV"),
            healthy_contact("LF", "limit switch", "limit forward", optional=True),
            healthy_contact("LR", "limit switch", "limit reverse", optional=True),
        ),
        joints=(
            "if no direction input: $RUN - S:13",
            "if no LF and no direction input: S:14 - @DI(run_forward)",
            "if LF: S:14 - LF:11",
            "if LF: LF:12 - @DI(run_forward)",
            "if no direction input: $RUN - S:23",
            "if no LR and no direction input: S:24 - @DI(run_reverse)",
            "if LR: S:24 - LR:11",
            "if LR: LR:12 - @DI(run_reverse)",
            "if direction input: $IN - S:23",
            "if direction input: S:24 - @DI(direction)",
        ),
        asks=(Ask("direction_enable", "", "both", "the scheme turns the drive both ways"),
              Ask("start_method", "", "two-wire", "maintained contacts run the drive", "no direction input")),
        stop=_TWO_WIRE_STOP,
        restarts=True,
        note="both inputs active at once: what the drive then does stands in its manual; test it",
        aliases=("forward reverse", "forward/reverse", "fwd-rev", "reversing"),
    ),
    Recipe(
        "hand-off-auto", "CS05", "Hand, off, auto",
        owner=("selector",),
        parts=(
            Part("S", "selector", "hand, off, auto", ("13-14 NO x--", "23-24 NO --x", "33-34 NO x--"),
                 states=("HAND", "OFF", "AUTO"), rest="OFF", legend="HAND-OFF-AUTO"),
            dry_contact("K", "run from controller"),
        ),
        joints=(
            "$RUN - S:13",
            "$RUN - S:23",
            "if two references: $IN - S:33",
            "if two references: S:34 - @DI(reference_select)",
        ),
        feeds=(("hand", "S:14"), ("auto", "S:24")),
        fallback=(
            ("hand", "S:14 - @DI(run_forward)"),
            ("auto", "S:24 - K:13"),
            ("auto", "K:14 - @DI(run_forward)"),
        ),
        asks=(_TWO_WIRE,),
        stop="OFF opens both legs; every position passes the permissives",
        restarts=True,
        note="the keypad must not start the drive while the selector rules",
        aliases=("hand off auto", "hoa", "h-o-a", "hand/off/auto"),
    ),
    Recipe(
        "local-remote", "CS06", "Local and remote",
        owner=("selector",),
        parts=(
            Part("S", "selector", "local, remote", ("13-14 NO x-", "23-24 NO -x", "33-34 NO -x"),
                 states=("LOCAL", "REMOTE"), rest="LOCAL", legend="LOCAL-REMOTE"),
            maintained("S1", "run, local", "OFF-ON"),
            dry_contact("K", "run, remote"),
        ),
        joints=(
            "$RUN - S:13",
            "if remote by terminals: $RUN - S:23",
            "$IN - S:33",
            "S:34 - @DI(local_remote)",
        ),
        feeds=(("local", "S:14"), ("remote", "S:24")),
        fallback=(
            ("local", "S:14 - S1:13"),
            ("local", "S1:14 - @DI(run_forward)"),
            ("remote", "S:24 - K:13"),
            ("remote", "K:14 - @DI(run_forward)"),
        ),
        asks=(_TWO_WIRE,),
        stop="opening the run contact of the side in charge stops the drive",
        restarts=True,
        note="0 V at the select input is local; say who is in charge when power returns",
        aliases=("local remote", "local/remote"),
    ),
    Recipe(
        "interposing relay", "CS28", "Relay between control voltage and drive",
        owner=("command",),
        parts=(
            maintained("S", "run", "OFF-ON"),
            Part("K", "relay", "run, gold contacts", ("13-14 NO -x",), ports=("A1", "A2"),
                 states=("off", "on"), fixed="panel"),
        ),
        joints=(
            "%L - S:13",
            "(relay) S:14 - K:A1",
            "K:A2 - %N",
            "$RUN - K:13",
            "K:14 - @DI(run_forward)",
        ),
        asks=(_TWO_WIRE,),
        stop=_TWO_WIRE_STOP,
        restarts=True,
        note="a long alternating-current run may hold the coil in: measure its drop-out volts",
        aliases=("interposing relays", "relay interposed"),
    ),
    Recipe(
        "fire mode", "CS26", "Fire or smoke mode",
        parts=(dry_contact("K", "fire panel"),),
        joints=("$IN - K:13", "K:14 - @DI(fire_mode)"),
        stop="only the fire panel and what the authority names may stop it",
        note="which protections and stops it overrides is a written decision of the authority",
        aliases=("smoke mode", "override"),
    ),
    Recipe(
        "second set select", "CS33", "Second set of settings",
        parts=(maintained("S", "second set", "SET 1-SET 2"),),
        joints=(
            "$IN - S:13",
            "if no ramp input: S:14 - @DI(set_select)",
            "if ramp input: S:14 - @DI(ramp_select)",
        ),
        note="switch only while stopped",
        aliases=("set select", "ramp select"),
    ),
)  # fmt: skip
