"""What a person is told when something cannot be done: the one kind of error that is a sentence.

Whoever shows a sentence catches `Refusal` and nothing else; any other exception is a fault of the planner's
own and is shown as one.
"""


class Refusal(Exception):  # noqa: N818 - it is no error of ours, and is not called one to anybody
    """Something that a person asked for and cannot have; ``str`` of it is one sentence for them.

    The sentence says which file, line or field, what was found, and what is allowed.
    """


class InvalidValue(Refusal, ValueError):  # noqa: N818 - as above
    """A value refused by itself; whoever knows where it stood says so in a `Refusal` of their own.

    Fields of a file and values typed by hand go through the same checks. It is a ValueError as well because
    pydantic takes only such from a field's check.
    """


def show(value: object) -> str:
    """Return `value` as a file would spell it, in one line and shortened."""
    if isinstance(value, bool):
        return "true" if value else "false"
    if isinstance(value, str):
        text = (
            '"' + value.encode("unicode_escape").decode("ascii") + '"'
            if not value.isprintable()
            else f'"{value}"'
        )
    elif isinstance(value, dict):
        text = "a table"
    elif isinstance(value, list | tuple):
        text = f"a list of {len(value)}"
    else:
        text = str(value)
    return text if len(text) <= 60 else text[:56] + " …" + ('"' if text.startswith('"') else "")
