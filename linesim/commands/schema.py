"""``linesim schema``: what may stand in a scenario file, for editors."""

from __future__ import annotations

import click


@click.command()
@click.option("--state", is_flag=True, help="The schema of state files, for linesim forecast.")
def schema(state: bool) -> None:
    """Print the JSON Schema of scenario files, or of state files.

    Save it where your editor looks for schemas, and it completes and checks scenario files while
    you type:

    \b
        linesim schema > scenario.schema.json
    """
    import json

    from linesim.scenario import json_schema, state_schema

    click.echo(json.dumps(state_schema() if state else json_schema(), indent=2))
