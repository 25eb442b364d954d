"""Where forecasts are kept: in a file of their own, or with the player in the roster."""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from pathlib import Path
from typing import TYPE_CHECKING

import click

from rangework.cli.kept import KeptPlayer
from rangework.cli.results import write_whole

if TYPE_CHECKING:
    from rangework.assessment.forecasts import Forecast


@dataclass(frozen=True, slots=True)
class Kept:
    """A file, or where there is none a player of the roster. ``checked``: what is kept is looked at, not added to."""

    player: KeptPlayer | None
    file: Path | None
    checked: bool

    @classmethod
    def of(
        cls,
        files: Sequence[Path],
        player: KeptPlayer | None,
        keep: Path | None,
        check: Path | None,
        *,
        check_kept: bool,
    ) -> Kept:
        """What the options ask for. Raises click.UsageError for what does not go together."""
        if not files and not player:
            raise click.UsageError("Give RECORDS or a filled card, or --player with --roster.")
        if (keep is not None) + (check is not None) + check_kept > 1:
            raise click.UsageError("Give one of --keep FILE, --check FILE and --check-kept.")
        if check_kept and not player:
            raise click.UsageError("--check-kept goes with --player: give --check FILE.")
        if not player and not keep and not check:
            raise click.UsageError("Give either --keep FILE or --check FILE.")
        return cls(player, keep or check, check_kept or check is not None)

    def read(self) -> list[Forecast]:
        """The forecasts kept so far. Raises InputError."""
        from rangework.assessment.forecasts import read_forecasts

        if self.file:
            return read_forecasts(self.file, may_be_new=not self.checked)
        assert self.player is not None
        from rangework.store import find_player, forecasts_of, open_roster

        with open_roster(self.player.roster) as roster:
            return forecasts_of(roster, find_player(roster, self.player.player).id)

    def keep(self, made: Sequence[Forecast]) -> str:
        """Add forecasts; what was done, in words. Raises InputError."""
        from rangework.assessment.forecasts import forecasts_text

        if self.file:
            write_whole(self.file, forecasts_text([*self.read(), *made]))
            return f"{self.file} holds it."
        assert self.player is not None
        from rangework.store import find_player, keep_forecasts, open_roster

        with open_roster(self.player.roster) as roster:
            player = find_player(roster, self.player.player)
            new = keep_forecasts(roster, player.id, made)
        if not new:
            return "One made today for that day is kept already, and stays as it was."
        return f"Kept with {player.name} in the roster."
