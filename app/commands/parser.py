"""The words of the command line, and the help that teaches them."""

import argparse
import sys
from pathlib import Path
from typing import NoReturn

from app import VERSION

HELP = """\
Plan the track-power wiring of a model railway: is it enough, and where exactly do
drops, gaps and breakers go.

  {me}                              open the window
  {me} FILE                         open the window on a layout
  {me} report FILE                  lowest volts, weakest short, what is wrong
  {me} probe FILE TRACK POSITION    what one place of one track gets
  {me} sheet FILE -o OUT.pdf        the wiring sheet, to print
  {me} netlist FILE -o OUT.cir      the circuit, for a circuit simulator to check
  {me} schema                       the JSON Schema of layout files

Each command explains itself: {me} report -h

For example
  {me} report sample_layouts/first-board.fwl
  {me} probe sample_layouts/first-board.fwl Main "0.6 m"
  {me} sheet sample_layouts/first-board.fwl -o first-board.pdf

Exit codes
  0  all is well    1  something on the layout is wrong    2  it could not be done
"""

REPORT = """\
Print the lowest volts, the ten weakest short circuits, the load of each booster, the
connections that matter most, how power comes back, the buses as the signal sees them,
and what is wrong, worst first. Where the two poles of a booster are joined, that comes
first, and what it feeds is left out of the figures. Exit code 1 means a FAULT or
HAZARD was found, 0 that none was.

For example
  {me} report club.fwl
  {me} report club.fwl --json
"""

PROBE = """\
Print what one place gets with the test train there: volts and loop with what rail,
joints and wire may change of them, short-circuit currents and what holds them down,
what trips and in what order, the heat of a bad contact, and where the volts went.
Exit code 1 means that no booster reaches the place, or one whose poles are joined.

TRACK is the id or the name of a run. POSITION is a length along it from its start,
or "start" or "end"; a bare number is millimetres (inches where the layout is in feet).

For example
  {me} probe club.fwl Main 2400
  {me} probe club.fwl R3 "7' 10 1/2\\""
  {me} probe club.fwl "Goods loop" end --json
"""

SHEET = """\
Write the wiring sheet as a PDF: plan, underside plan, drop and strip schedules, cut
list and cautions. Without -o it goes to the current folder under the layout's name.

For example
  {me} sheet club.fwl -o club.pdf
"""

NETLIST = """\
Write the circuit as it was solved, as a SPICE deck, so that a circuit simulator can
check the figures. Without -o it goes to the current folder under the layout's name.

For example
  {me} netlist club.fwl -o club.cir
"""

SCHEMA = """\
Print the JSON Schema of layout files (.fwl), for programs that read or write them.

For example
  {me} schema > layout.schema.json
"""


class Usage(Exception):  # noqa: N818 - it is an ending, not an error of ours
    """A command line could not be understood: one sentence, exit code 2."""


class Words(argparse.ArgumentParser):
    """A parser that says what is wrong in one sentence."""

    def __init__(self, prog: str, text: str) -> None:
        super().__init__(
            prog=prog,
            description=text,
            formatter_class=argparse.RawDescriptionHelpFormatter,
            allow_abbrev=False,
        )

    def error(self, message: str) -> NoReturn:
        """Leave by `Usage` instead of printing two lines and exiting."""
        raise Usage(f"{message[:1].upper()}{message[1:]}. Try {self.prog} -h.")


def my_name() -> str:
    """Return how this program was called, as the help should show it."""
    if Path(sys.argv[0]).name == "__main__.py":
        return "python3 -m app" if sys.platform != "win32" else "py -m app"
    return "feederwright"


def window_words(me: str) -> Words:
    """Return the parser for everything that is not a command."""
    words = Words(me, HELP.format(me=me))
    words.usage = f"{me} [FILE]\n       {me} COMMAND ..."
    words.add_argument("file", nargs="?", type=Path, metavar="FILE", help="a layout")
    # A second word means that the first was to be a command.
    words.add_argument("rest", nargs="*", help=argparse.SUPPRESS)
    words.add_argument("--version", action="version", version=f"feederwright {VERSION}")
    # What `python3 -m app` adds when it is called with nothing: show me something.
    words.add_argument("--sample", action="store_true", help=argparse.SUPPRESS)
    return words


def command_words(me: str, command: str) -> Words:
    """Return the parser for one command's own words."""
    words = Words(f"{me} {command}", TEXTS[command].format(me=me))
    if command == "schema":
        return words
    words.add_argument("file", type=Path, metavar="FILE", help="a layout (.fwl)")
    if command == "probe":
        words.add_argument("track", metavar="TRACK", help="id or name of a run")
        words.add_argument("position", metavar="POSITION", help="such as 2.4m or end")
    if command in ("report", "probe"):
        words.add_argument(
            "--json",
            action="store_true",
            help="print one JSON object, in SI units, instead of text",
        )
    else:
        words.add_argument("-o", dest="out", type=Path, metavar="OUT", help="where to")
    return words


TEXTS = {
    "report": REPORT,
    "probe": PROBE,
    "sheet": SHEET,
    "netlist": NETLIST,
    "schema": SCHEMA,
}
"""The commands, and what each says of itself."""
