"""Who she is, and what the record of her is: the head of a history."""

from __future__ import annotations

from typing import TYPE_CHECKING

from hulllog.words import formats, say, say_code, say_n

if TYPE_CHECKING:
    from datetime import datetime

    from hulllog.output.contents import Contents
    from hulllog.output.history import Options

LONG_NAME = 120


def name(text: str) -> str:
    """Cut a name to what a line can hold."""
    return text if len(text) <= LONG_NAME else text[: LONG_NAME - 1] + "…"


def one_line(contents: Contents) -> str:
    """Say what she is in a line."""
    vessel, form = contents.vessel, contents.form
    parts = [
        say_code("material", vessel.material),
        vessel.rig or say_code("hull_kind", vessel.kind),
    ]
    keel = str(form.particulars.get("keel", "none")) if form else "none"
    if keel != "none":
        parts.append(say_code("keel", keel))
    if form and form.length:
        parts.append(formats.measured(form.length))
    if vessel.built:
        parts.append(say("report.built_in", when=vessel.built))
    return ", ".join(parts)


def identity(contents: Contents) -> list[tuple[str, str]]:
    """Return names, numbers and measures, a label and a value each."""
    vessel, form = contents.vessel, contents.form
    rows: list[tuple[str, str]] = []
    if contents.former_names:
        rows.append(
            (say("report.former_names"), ", ".join(name(n.name) for n in contents.former_names))
        )
    rows += [
        (say("report.craft_number"), vessel.craft_number or say("word.not_recorded")),
        (
            say("report.registration"),
            ", ".join(f"{r.register} {r.number}" for r in contents.registrations)
            or say("word.not_recorded"),
        ),
        (say("report.builder"), name(vessel.builder or say("word.not_recorded"))),
        (say("report.design"), name(vessel.design or say("word.not_recorded"))),
    ]
    if form:
        for code in ("length", "beam", "draught", "displacement"):
            value = getattr(form, code)
            if value is not None:
                rows.append((say(f"particular.{code}"), formats.measured(value)))
        if form.assumed:
            rows.append(
                (
                    say("report.assumed"),
                    formats.joined([say_code("particular", code) for code in form.assumed]),
                )
            )
    if contents.berths:
        berth = contents.berths[-1]
        rows.append(
            (
                say("report.berth"),
                ", ".join(
                    (
                        name(berth.location),
                        say_code("water", berth.water),
                        say("report.immersed", share=formats.share(berth.immersed_share)),
                    )
                ),
            )
        )
    return rows


def record(
    contents: Contents, options: Options, head: str, words: str, now: datetime
) -> list[tuple[str, str]]:
    """Return how the record was kept, for whom this is, and its head."""
    lines = contents.visits
    rows = [
        (
            say("report.kept"),
            say_n(
                "report.kept_from_to",
                len(lines),
                first=lines[0].begins,
                last=lines[-1].ends or lines[-1].begins,
            )
            if lines
            else say("report.no_visits"),
        ),
        (say("report.kept_by"), formats.joined(list(contents.keepers))),
        (say("report.issued" if head else "report.drawn_up"), formats.moment(now)),
        (say("report.for"), _for(options)),
    ]
    if head:
        rows += [(say("report.head"), _spaced(head)), (say("report.head_words"), words)]
    else:
        rows.append((say("report.head"), say("report.no_head")))
    return rows


def _for(options: Options) -> str:
    reader = say_code("reader", options.reader)
    return f"{reader}: {name(options.to_whom)}" if options.to_whom else reader


def _spaced(head: str) -> str:
    """Break the hex into groups of eight, so that it can be read aloud and wrapped."""
    return " ".join(head[n : n + 8] for n in range(0, len(head), 8))
