"""Copies of the invented palettes and jobs, put where a person can change them."""

import shutil
from contextlib import suppress
from pathlib import Path

from planner.catalogue.errors import PaletteError, show
from planner.cli import text
from planner.cli.guard import plain
from planner.data import demo


def write(folder: Path) -> tuple[Path, ...]:
    """Copy the demo into `folder`, which may exist but holds none of its files, and return the copies.

    Raises
    ------
    PaletteError
        If one of the files is there already, or the folder cannot be written; no file is left then.

    """
    source = demo()
    files = [path for kind in ("*.toml", "*.csv") for path in sorted(source.rglob(kind))]
    pairs = [(path, folder / path.relative_to(source)) for path in files]
    for _, target in pairs:
        if target.exists():
            raise PaletteError(
                f"{target}: is there already and stays as it is; nothing was written, so name a new folder"
            )
    begun: list[Path] = []
    try:
        for path, target in pairs:
            target.parent.mkdir(parents=True, exist_ok=True)
            begun.append(target)
            # Not the permissions: an installed copy may be read-only, and these are there to be edited.
            shutil.copyfile(path, target)
    except OSError as problem:
        for target in begun:
            with suppress(OSError):
                target.unlink()
        raise PaletteError(
            f"{show(str(folder))}: cannot be written ({problem.strerror}); name a folder you may write in"
        ) from None
    return tuple(target for _, target in pairs)


def said(folder: Path, written: tuple[Path, ...]) -> str:
    """Return what was written and what to type next."""
    jobs = [path for path in written if path.parent != folder]
    palettes = [path for path in written if path.parent == folder and path.suffix == ".toml"]
    lists = [path for path in written if path.suffix == ".csv"]
    lines = [
        text.wrap(
            f"Wrote {len(palettes)} palette files, {len(jobs)} jobs and {len(lists)} lists. All of it is "
            "invented: change it, or put what you measured in its place. Each file says in its first lines "
            "what its fields mean."
        ),
        "",
        *(f"  {plain(path)}" for path in written),
        "",
        text.heading("Next"),
        f"  planner list stones --palettes {_shell(folder)}",
        *(f"  planner check {_shell(path)} --palettes {_shell(folder)}" for path in jobs[:1]),
    ]
    return "\n".join(lines)


def _shell(path: Path) -> str:
    """Return a path as it is typed after a command."""
    import shlex

    return shlex.quote(str(path))
