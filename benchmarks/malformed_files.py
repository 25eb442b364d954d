"""Malformed files through every reader: no traceback, no hang, exit code 2 (or 0, where the damage did no harm).

``python benchmarks/malformed_files.py [--files 5000] [--seed 0]``. Good files of the demo and of the examples
are mutated: bytes changed, cut, doubled, swapped; cells replaced by what readers stumble over; and files of
random bytes. Each goes through `rangework check` or `rangework roster import` in this process, with a time
limit. Prints the counts; exit code 1 on a fault.
"""

from __future__ import annotations

import argparse
import signal
import sys
import tempfile
import traceback
from collections import Counter
from importlib.resources import files
from pathlib import Path
from types import FrameType

import numpy as np
from click.testing import CliRunner

from rangework.cli.main import rangework
from rangework.demo.squad import squad_files
from rangework.records.profile import PlayerProfile
from rangework.roster.exporting import export_player
from rangework.roster.importing import keep_files, read_file
from rangework.store import add_player, open_roster

TIME_LIMIT_S = 20
EXAMPLES = Path(__file__).parents[1] / "examples"
#: What stands in a cell or a value now and then, and should not.
TOKENS = (
    b"", b'"', b"'", b",", b";", b"\0", b"\xff\xfe", b"\xef\xbb\xbf", b"nan", b"inf", b"-1e999", b"1e308", b"=cmd()",
    b"0x10", b"2026-13-45", b"\xe2\x80\xae", b"[[", b"]]", b"{", b"}", b"<!DOCTYPE x>", b"&a;", b"\r", b"\n", b"null",
    b"true", b"[]", b"9" * 400, b"\\u0000", b"-0.0", b"\xf0\x9f\x8f\x8c", b"/*", b"1/0",
)  # fmt: skip
#: A filled card of a practice test.
CARD = """\
assessment,ball,date,session,place,lie,target_yd,measured,long_yd,right_yd,misread,holed,purpose,measured_by,\
tee,hole,pin,pin_distance_yd,run_yd,pin_side,pin_depth,short_side,reference,reference_group
""" + "".join(
    f"June test,{ball},2026-06-20,June test,range,fairway,{60 + 10 * ball},finish,{ball - 6},{7 - ball},,,test,device,"
    f"middle,4,middle,{60 + 10 * ball},0,middle,middle,none,14,men\n"
    for ball in range(1, 11)
)
#: Hours practised, as `roster export` writes them.
PRACTICE = "day,drill,hours,note\r\n" + "".join(
    f"2026-06-{day:02d},{drill},0.{day}5,'=note {day}\r\n"
    for day, drill in enumerate(("long_putts_holed_out", "Chips to a landing spot", "my_own_drill"), start=1)
)


class HungError(Exception):
    """A reader took longer than TIME_LIMIT_S."""


def good_files() -> dict[str, bytes]:
    """Small good files of every kind that is read, by name."""
    demo = files("rangework.demo").joinpath("files").iterdir()
    found = {file.name: _shortened(file.name, file.read_bytes()) for file in demo if file.is_file()}
    examples = [file for file in EXAMPLES.iterdir() if file.suffix in (".toml", ".geojson", ".osm")]
    found |= {file.name: file.read_bytes() for file in examples}
    found |= {name: _shortened(name, text.encode()) for name, text in list(squad_files().items())[:2]}
    found["card.csv"] = CARD.encode()
    found["practice.csv"] = PRACTICE.encode()
    with tempfile.TemporaryDirectory() as folder:
        path = Path(folder) / "one.roster"
        with open_roster(path, make=True) as roster:
            add_player(roster, PlayerProfile(name="Wren"))
            source = Path(folder) / "balls.csv"
            source.write_bytes(found["asta.csv"])
            keep_files(roster, "Wren", [read_file(source, (), skip_bad_rows=False)])
            export_player(roster, "Wren", Path(folder) / "out")
            roster.connection.execute("PRAGMA wal_checkpoint(TRUNCATE)")
        found["one.roster"] = path.read_bytes()
        found["balls.csv"] = (Path(folder) / "out" / "balls.csv").read_bytes()
    return found


def _shortened(name: str, content: bytes) -> bytes:
    return b"\n".join(content.split(b"\n")[:25]) + b"\n" if name.endswith(".csv") else content


def mutated(content: bytes, rng: np.random.Generator) -> bytes:
    """The content after one to four mutations."""
    for _ in range(int(rng.integers(1, 5))):
        size = len(content)
        start = int(rng.integers(0, size + 1))
        stop = min(size, start + int(rng.integers(0, 40)))
        match int(rng.integers(0, 8)):
            case 0:
                content = content[:start] + rng.bytes(int(rng.integers(1, 6))) + content[stop:]
            case 1:
                content = content[:start]
            case 2:
                content = content[:stop] + content[start:]
            case 3:
                content = content[:start] + content[stop:]
            case 4 | 5:
                content = content[:start] + TOKENS[int(rng.integers(len(TOKENS)))] + content[stop:]
            case 6:
                lines = content.split(b"\n")
                rng.shuffle(lines)
                content = b"\n".join(lines)
            case _:
                content = _cell_replaced(content, rng)
    return content


def _cell_replaced(content: bytes, rng: np.random.Generator) -> bytes:
    """Something else between two separators."""
    cuts = [at for at, byte in enumerate(content) if byte in b',;=:"\n']
    if len(cuts) < 2:
        return content
    first = int(rng.integers(len(cuts) - 1))
    return content[: cuts[first] + 1] + TOKENS[int(rng.integers(len(TOKENS)))] + content[cuts[first + 1] :]


def command_for(path: Path, roster: Path, number: int) -> list[str]:
    """The command that reads a file of this kind."""
    if path.suffix == ".roster":
        return [["roster", "list"], ["roster", "show", "Wren"]][number % 2] + ["--roster", str(path)]
    if path.name == "practice.csv":  # is known by its header; a damaged one may be read as balls
        skip = ["--skip-bad-rows"] if number % 2 else []
        return ["roster", "import", "Wren", str(path), "--roster", str(roster), *skip]
    if number % 3 == 0 and "drills" not in path.name and "mapping" not in path.name:
        bad = ["--skip-bad-rows"] if number % 2 else []
        return ["roster", "import", "Wren", str(path), "--roster", str(roster), *bad]
    mapping = ["--mapping", str(EXAMPLES / "mapping-semicolon-export.toml")] if number % 5 == 0 else []
    one = "#Ossenfold Outer" if path.suffix in (".osm", ".geojson") else ""
    return ["check", f"{path}{one}", *mapping]


def _ring(_signal: int, _frame: FrameType | None) -> None:
    raise HungError


def read_one(arguments: list[str]) -> str:
    """What became of one command: ``exit 0``, ``exit 2``, or a fault."""
    signal.signal(signal.SIGALRM, _ring)
    signal.alarm(TIME_LIMIT_S)
    try:
        done = CliRunner().invoke(rangework, ["--debug", *arguments])
    except HungError:
        return "FAULT: hung"
    finally:
        signal.alarm(0)
    if done.exception and not isinstance(done.exception, SystemExit):
        return f"FAULT: {''.join(traceback.format_exception(done.exception))[-600:]}"
    if done.exit_code not in (0, 2):
        return f"FAULT: exit {done.exit_code}: {done.output[-900:]}"
    if done.exit_code == 2 and not done.stderr.strip():
        return "FAULT: exit 2 without a word"
    return f"exit {done.exit_code}"


def run(count: int, seed: int, kept: Path | None = None) -> Counter[str]:
    rng = np.random.default_rng(seed)
    good = good_files()
    names = sorted(good)
    found: Counter[str] = Counter()
    with tempfile.TemporaryDirectory() as folder:
        roster = Path(folder) / "club.roster"
        with open_roster(roster, make=True) as made:
            add_player(made, PlayerProfile(name="Wren"))
        for number in range(count):
            name = names[number % len(names)]
            content = rng.bytes(int(rng.integers(0, 300))) if number % 23 == 0 else mutated(good[name], rng)
            path = Path(folder) / name
            path.write_bytes(content)
            outcome = read_one(command_for(path, roster, number // len(names)))
            found[outcome] += 1
            found[f"of {path.suffix} {outcome.partition(':')[0]}"] += 1
            if outcome.startswith("FAULT") and kept:
                (kept / f"{number}-{name}").write_bytes(content)
            for beside in Path(folder).glob(f"{name}-*"):
                beside.unlink()
    return found


def main() -> None:
    options = argparse.ArgumentParser(description=__doc__)
    options.add_argument("--files", type=int, default=5000)
    options.add_argument("--seed", type=int, default=0)
    options.add_argument("--keep", type=Path, help="keep the files that showed a fault in this folder")
    given = options.parse_args()
    found = run(given.files, given.seed, given.keep)
    for what in sorted(found):
        print(f"{found[what]:6d}  {what}")
    sys.exit(any(what.startswith("FAULT") for what in found))


if __name__ == "__main__":
    main()
