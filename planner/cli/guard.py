"""How every command ends: one sentence for whatever went wrong, and an exit status that programs can use."""

import errno
import gc
import io
import os
import re
import sys
from collections.abc import Sequence
from pathlib import Path
from typing import Any, NoReturn, TextIO

import click

SEVERE = 1
"""Exit status of a check in which a severe warning stands."""

BAD_INPUT = 2
"""Exit status for anything a person can put right: an option, a file, a name."""

OUR_FAULT = 70
"""Exit status for a fault of the planner's own (EX_SOFTWARE of sysexits.h)."""

INTERRUPTED = 130
"""Exit status after Ctrl-C: 128 and the number of the signal, as shells have it."""

PIPE_CLOSED = 141
"""Exit status when the reader of the output has left, by the same rule."""

_SELDOM = 1_000_000
"""New objects before Python searches for unreachable ones: a command of a second makes fewer, and to search
all that it imported would take a twentieth of it."""

_NO_ROOM = frozenset({errno.ENOSPC, errno.EFBIG, errno.EIO})
"""Why an answer cannot be written where it was sent; nothing else writes without saying so itself."""

TRACE = "PLANNER_TRACE"
"""Environment variable that shows the whole of a fault when it is 1."""

_SHOWN = 80
_LONG_WORD = re.compile(rf"\S{{{4 * _SHOWN},}}")
"""A path or a value too long to be repeated whole, of which `_SHOWN` letters are told at either end."""

_TOO_MANY = re.compile(r"Got unexpected extra arguments? \((.*)\)")
"""How click says that more was typed than a command takes."""

_HASH = "a # begins a comment in most shells, so leave it out or put the colour in quotes"


class Commands(click.Group):
    """The planner's commands: whatever happens, a person reads a sentence and no traceback."""

    def main(
        self,
        args: Sequence[str] | None = None,
        prog_name: str | None = None,
        complete_var: str | None = None,
        standalone_mode: bool = True,
        **extra: Any,
    ) -> Any:
        """Run a command line and leave with its exit status; parameters as click has them."""
        if not standalone_mode:
            return super().main(args, prog_name, complete_var, standalone_mode=False, **extra)
        often = gc.get_threshold()
        gc.set_threshold(_SELDOM)
        try:
            self._run(args, prog_name, complete_var, **extra)
        finally:
            gc.set_threshold(*often)

    def _run(
        self, args: Sequence[str] | None, prog_name: str | None, complete_var: str | None, **extra: Any
    ) -> NoReturn:
        _open_closed()
        sys.stdout = _asked_again(sys.stdout)
        for stream in (sys.stdout, sys.stderr):
            # A console without a letter such as Δ shows a question mark instead of failing.
            if hasattr(stream, "reconfigure"):
                stream.reconfigure(errors="replace")
        try:
            status = super().main(args, prog_name, complete_var, standalone_mode=False, **extra)
        except click.Abort:
            sys.exit(INTERRUPTED)
        except click.ClickException as problem:
            _leave(_sentence(problem), BAD_INPUT)
        except OSError as problem:
            if problem.filename is not None:
                _leave(f"{problem.filename}: cannot be used ({problem.strerror}); name another", BAD_INPUT)
            if problem.errno not in _NO_ROOM:
                _last_resort(problem)
            _forget_output()
            _leave(
                f"the answer cannot be written ({problem.strerror}); make room or send it elsewhere",
                BAD_INPUT,
            )
        except Exception as problem:  # noqa: BLE001 - the last resort, so that no traceback reaches a person
            _last_resort(problem)
        sys.exit(status if isinstance(status, int) else 0)

    def invoke(self, ctx: click.Context) -> Any:
        """Run the command; stop quietly when the reader of a pipe has had enough."""
        try:
            return super().invoke(ctx)
        except BrokenPipeError:
            _forget_output()
            ctx.exit(PIPE_CLOSED)

    def list_commands(self, ctx: click.Context) -> list[str]:  # noqa: ARG002 - click's signature
        """Return the commands in the order in which a person comes to need them."""
        return list(self.commands)

    def resolve_command(
        self, ctx: click.Context, args: list[str]
    ) -> tuple[str | None, click.Command | None, list[str]]:
        """Find the command, or say which there are."""
        if args[0] not in self.commands and not args[0].startswith("-"):
            raise click.UsageError(
                f"found {quoted(args[0])}; there is no such command: {near(args[0], self.commands)}"
            )
        return super().resolve_command(ctx, args)


def quoted(text: str) -> str:
    """Return what was typed in quotes, shortened and without anything that could upset a terminal."""
    clean = text if text.isprintable() else text.encode("unicode_escape").decode("ascii")
    return f'"{clean}"' if len(clean) <= 60 else f'"{clean[:56]} …"'


def near(found: str, known: Sequence[str] | Any) -> str:
    """Return the nearest of the known names, or all of them."""
    from difflib import get_close_matches

    close = get_close_matches(found, sorted(known), n=3, cutoff=0.6)
    return f"did you mean {' or '.join(close)}?" if close else f"choose from {', '.join(sorted(known))}"


def _leave(sentence: str, status: int) -> NoReturn:
    from planner.say.as_text import plain

    click.echo(_shortened(plain(sentence)), err=True)
    sys.exit(status)


def _shortened(sentence: str) -> str:
    """Return a sentence in which no path or value is longer than anybody reads."""
    return _LONG_WORD.sub(lambda word: f"{word[0][:_SHOWN]} … {word[0][-_SHOWN:]}", sentence)


def _open_closed() -> None:
    """Open what was closed before we came, so that no file of ours takes the place of a standard stream."""
    for number in range(3):
        try:
            os.fstat(number)
        except OSError:
            os.open(os.devnull, os.O_RDWR)
    if sys.stdout is None:
        _leave("the answer cannot be written (standard output is closed); send it elsewhere", BAD_INPUT)
    if sys.stdin is None:
        sys.stdin = Path(os.devnull).open(encoding="utf-8")  # noqa: SIM115 - open as long as the program runs


def _asked_again(stream: TextIO) -> TextIO:
    """Return a stream that asks again where a disk took a part; unbuffered, Python drops the rest."""
    raw = getattr(stream, "buffer", None)
    if isinstance(raw, io.FileIO):  # PYTHONUNBUFFERED=1
        return io.TextIOWrapper(io.BufferedWriter(raw), stream.encoding, write_through=True)
    return stream


def _sentence(problem: click.ClickException) -> str:
    """Return one sentence that begins with what is wrong, in place of click's three lines."""
    command = problem.ctx.command_path if isinstance(problem, click.UsageError) and problem.ctx else "planner"
    if isinstance(problem, click.NoSuchOption):
        known = [name for one in problem.ctx.command.params for name in one.opts] if problem.ctx else []
        hint = near(problem.option_name, [*known, "--help"])
        return f"{problem.option_name}: there is no such option of {command}; {hint}"
    if isinstance(problem, click.BadOptionUsage):
        option = problem.option_name
        why = f"; {_HASH}" if option in {"--swatch", "--cloth"} else f" (see {command} --help)"
        return f"{option}: nothing stands after it; it needs a value{why}"
    if isinstance(problem, click.MissingParameter) and problem.param is not None:
        return f"{_name(problem.param)}: is missing; {command} needs it (see {command} --help)"
    if isinstance(problem, click.BadParameter):
        name = problem.param_hint or (_name(problem.param) if problem.param is not None else None)
        return f"{name}: {problem.message}" if name else problem.message
    said = " ".join(problem.format_message().split())
    if more := _TOO_MANY.fullmatch(said):
        return f"found {quoted(more[1])}, and {command} {_takes(problem)} (see {command} --help)"
    return said


def _takes(problem: click.ClickException) -> str:
    """Return what a command takes of which more was typed."""
    params = problem.ctx.command.params if isinstance(problem, click.UsageError) and problem.ctx else []
    if any(isinstance(one, click.Argument) for one in params):
        return "takes nothing there; put a name of several words in quotes"
    first = next((one.opts[0] for one in params if isinstance(one, click.Option)), "--help")
    return f"takes nothing but options, such as {first}"


def _name(param: click.Parameter) -> str:
    return param.opts[0] if isinstance(param, click.Option) else (param.human_readable_name)


def _forget_output() -> None:
    """Keep Python from writing what it still holds at exit, to where it could not be written before."""
    os.dup2(os.open(os.devnull, os.O_WRONLY), sys.stdout.fileno())


def _last_resort(problem: Exception) -> NoReturn:
    from planner.refusal import Refusal

    if isinstance(problem, Refusal):
        _leave(str(problem), BAD_INPUT)
    if os.environ.get(TRACE) == "1":
        import traceback

        click.echo("".join(traceback.format_exception(problem)), nl=False, err=True)
        sys.exit(OUR_FAULT)
    said = " ".join(str(problem).split())[:200]
    _leave(
        f"Something is wrong in the planner itself ({type(problem).__name__}{': ' + said if said else ''}); "
        f"please report it with the command you typed and what it shows with {TRACE}=1 set in front of it.",
        OUR_FAULT,
    )
