"""Say something on stdout, whatever it speaks and whether or not it is read."""

import io
import json
import os
import sys
from typing import Any


def ready_streams() -> None:
    """Let text through that the terminal's alphabet lacks, rather than stop."""
    for stream in (sys.stdout, sys.stderr):
        if isinstance(stream, io.TextIOWrapper):
            stream.reconfigure(errors="replace")


def say(text: str = "") -> None:
    """Print a text; go on quietly where nobody reads it any more (`... | head`)."""
    try:
        print(text, flush=True)
    except BrokenPipeError:
        # What is still in the buffer would complain once more at the very end.
        os.dup2(os.open(os.devnull, os.O_WRONLY), sys.stdout.fileno())


def say_json(found: dict[str, Any]) -> None:
    """Print one JSON object, in UTF-8 whatever the terminal speaks."""
    if isinstance(sys.stdout, io.TextIOWrapper):
        sys.stdout.reconfigure(encoding="utf-8")
    say(json.dumps(found, indent=2, ensure_ascii=False, allow_nan=False))
