"""`schema`: the layout file's form, for programs that read or write it."""

from app.commands.say import say_json
from core.layout.storage.schema import layout_schema


def print_schema() -> int:
    """Print the JSON Schema of layout files."""
    say_json(layout_schema())
    return 0
