"""``linesim schema``: what may stand in a scenario file, for editors."""

from __future__ import annotations

import click


@click.command()
def schema() -> None:
    """Print the JSON Schema of scenario files.

    Save it where your editor looks for schemas, and it completes and checks scenario files while
    you type:

    \b
        linesim schema > scenario.schema.json
    """
    import json

    from linesim.scenario import json_schema

    click.echo(json.dumps(json_schema(), indent=2))
