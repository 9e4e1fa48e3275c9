"""How a build by MkDocs ends when the inventory cannot be read."""

from __future__ import annotations

import click
from mkdocs.exceptions import Abort


class InventoryAbort(Abort):
    """Ends the build with the inventory's messages and exit status 2, as the other commands do."""

    code = exit_code = 2

    def show(self, *args, **kwargs) -> None:
        click.echo(self.format_message(), err=True)
