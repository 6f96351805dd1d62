"""``linesim check``: is a scenario file, or a lesson, right, and if not, where and why."""

from __future__ import annotations

import click


@click.command()
@click.argument("files", nargs=-1, required=True, metavar="FILE...")
@click.pass_context
def check(ctx: click.Context, files: tuple[str, ...]) -> None:
    """Check scenario files and lessons, and list every fault.

    Each fault is one line: file, line, field, value, what is wrong, what would be right. FILE is
    a path or the name of a demo scenario. Exits with 2 if any file has a fault. A value outside the
    usual range is not a fault but gets a remark.

    \b
        linesim check my-line.toml
    """
    from linesim.lessons import check_lesson_text, is_lesson_text
    from linesim.report.plain import counting_notice
    from linesim.scenario import ScenarioFaults, check_text, find_scenario, read_text, remarks

    bad = 0
    for name in files:
        try:
            path = str(find_scenario(name))
            text = read_text(path)
            if is_lesson_text(text, file=path):
                check_lesson_text(text, file=path)
                click.echo(f"{name}: a lesson, no faults")
                continue
            scenario = check_text(text, file=path)
        except ScenarioFaults as error:
            bad += 1
            for fault in error.faults:
                click.echo(str(fault))
            continue
        click.echo(f"{name}: no faults")
        notice = counting_notice(scenario)
        if notice:
            click.echo(f"{name}: note: {notice}")
        for remark in remarks(text, file=path):
            click.echo(str(remark))
    if bad:
        if len(files) > 1:
            click.echo(f"{bad} of {len(files)} files have faults", err=True)
        ctx.exit(2)
