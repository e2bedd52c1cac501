"""The page of every command, made from the commands themselves (click)."""

from __future__ import annotations

from collections.abc import Iterator

import click

HEAD = """# Every command

Made from the commands themselves at each build. What holds for all of them, and how to read what
they print, is on [the page of the command line](../command-line.md).
"""


def every(group: click.Group, before: str = "wainscot") -> Iterator[tuple[str, click.Command]]:
    """Yield the full name and the command, groups before what is in them.

    Parameters
    ----------
    group : click.Group
        Where to begin.
    before : str
        Its own name.
    """
    context = click.Context(group)
    for name in group.list_commands(context):
        command = group.get_command(context, name)
        if command is None or command.hidden:
            continue
        yield f"{before} {name}", command
        if isinstance(command, click.Group):
            yield from every(command, f"{before} {name}")


def pages() -> dict[str, str]:
    """Return the page by its file name."""
    from wainscot.cli import main

    found = [_section(name, command) for name, command in every(main)]
    return {"commands.md": HEAD + "".join(found)}


def _section(name: str, command: click.Command) -> str:
    context = click.Context(command, info_name=name)
    usage = f"{name} {' '.join(command.collect_usage_pieces(context))}"
    formatter = click.HelpFormatter(width=96)
    command.format_help_text(context, formatter)
    words = "\n".join(line.removeprefix("  ") for line in formatter.getvalue().splitlines())
    lines = [f"\n## {name}\n", f"```text\n{usage}\n```\n", f"```text\n{words.strip()}\n```\n"]
    options = [one for one in command.get_params(context) if not getattr(one, "hidden", False)]
    told = [record for one in options if (record := one.get_help_record(context))]
    if told:
        lines += ["| option | does |", "|---|---|"]
        lines += [f"| `{_cell(option)}` | {_cell(does)} |" for option, does in told]
    return "\n".join(lines) + "\n"


def _cell(text: str) -> str:
    """Return text that neither ends a cell nor begins a tag."""
    return " ".join(text.split()).replace("|", "\\|").replace("<", "&lt;")
