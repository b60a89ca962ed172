"""What a command line leads to, and how it ends."""

import sys
from argparse import Namespace
from collections.abc import Sequence
from difflib import get_close_matches

from app.commands.parser import TEXTS, Usage, command_words, my_name, window_words
from app.commands.say import ready_streams
from core.errors import CoreError

CANNOT = 2
"""Exit code of what could not be done; commands themselves return 0 or 1."""

INTERRUPTED = 130
"""Exit code after Ctrl+C: 128 and the number of the signal, as shells have it."""


def run_command(arguments: Sequence[str]) -> int:
    """Do what the command line asks for; return the exit code."""
    ready_streams()
    try:
        return _dispatch(arguments)
    except (CoreError, Usage) as error:
        text = error.sentence() if isinstance(error, CoreError) else str(error)
        print(f"{my_name()}: {text}", file=sys.stderr)
        return CANNOT
    except KeyboardInterrupt:
        return INTERRUPTED
    except SystemExit as ending:  # argparse, after --help or --version
        return int(ending.code or 0)


def _dispatch(arguments: Sequence[str]) -> int:
    me = my_name()
    if arguments and arguments[0] in TEXTS:
        command, *rest = arguments
        return _run(command, command_words(me, command).parse_args(rest))
    words = window_words(me).parse_args(list(arguments))
    if words.rest:
        near = get_close_matches(words.file.name, TEXTS, n=1)
        meant = f" Did you mean {near[0]!r}?" if near else f" Try {me} -h."
        raise Usage(f"There is no command {str(words.file)!r}.{meant}")
    from app.commands import window

    if words.sample:
        return window.show_sample()
    return window.open_window(words.file)


def _run(command: str, words: Namespace) -> int:
    """Run one command; each loads only what it needs, so that all start fast."""
    match command:
        case "report":
            from app.commands import report

            return report.print_report(words.file, as_json=words.json)
        case "probe":
            from app.commands import probe

            return probe.print_probe(
                words.file, words.track, words.position, as_json=words.json
            )
        case "sheet":
            from app.commands import outputs

            return outputs.save_sheet(words.file, words.out)
        case "netlist":
            from app.commands import outputs

            return outputs.save_netlist(words.file, words.out)
        case _:
            from app.commands import schema

            return schema.print_schema()
