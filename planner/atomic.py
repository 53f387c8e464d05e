"""Files written whole or not at all, each in one place for all the planner writes.

The bytes go to a temporary file in the same folder, are flushed to the disk and renamed, so that a reader
finds the old file or the new one and never half of one. While that goes on the folder is locked: two planners
wait for each other, and a temporary file found under the lock was left by one that was killed, so it goes.
Editors heed no such lock; for them a moment is left. Files kept only to be quick (`cache`) wait for neither
disk nor lock: whoever clears the folder meanwhile takes one away, and it is made again. Windows locks no
folders: there a file of the folder's name among the system's temporary ones is locked in its place (written
by reading, not tried).
"""

import hashlib
import os
import stat
import tempfile
import time
from collections.abc import Callable, Iterator
from contextlib import contextmanager, suppress
from pathlib import Path
from typing import Final

from planner.refusal import Refusal

BACKUP: Final = ".bak"
"""What is added to a file's name for its backup."""

_FOUND: Final = "found a file of that name"

_PREFIX, _SUFFIX = ".planner-", ".part"
"""How the name of a temporary file of ours begins and ends; the file's own name may be too long for it."""

_PATIENCE: Final = 10.0
"""Seconds to wait for another planner that saves into the same folder (our choice)."""

_STALE: Final = 3600.0
"""Seconds after which a temporary file is left over where folders cannot be locked (our choice)."""


def write(
    path: Path,
    data: bytes,
    *,
    new: bool = False,
    backup: bool = False,
    refuse: Callable[[bytes | None], str] | None = None,
) -> None:
    """Write a file in one step; a link stays a link, and a file's permissions stay.

    Parameters
    ----------
    path
        Where; its folder must be there.
    data
        All of it.
    new
        Whether a file of that name is refused. Where the disk knows no hard links, as on most memory sticks,
        that is looked at under the lock and not by the renaming itself.
    backup
        Whether the file that was there is kept beside it, as ``<name>.bak``.
    refuse
        Given what is there, None for nothing, says under the lock why that may not be written over; empty
        for no reason.

    Raises
    ------
    Refusal
        If it is refused or cannot be written; then what was there is whole.

    """
    there = False
    try:
        target = path.resolve()
        with _alone_in(target.parent):
            there = target.exists()
            old = target.read_bytes() if there and (backup or refuse) else None
            why = _FOUND if new and there else "" if refuse is None else refuse(old)
            if why:
                raise Refusal(f"{path}: {why}; nothing was written")
            if there and old == data:
                return
            mode = _mode(target, there=there)
            if backup and old is not None:
                _put(target.with_name(target.name + BACKUP), old, mode)
            _put(target, data, mode, new=new)
    except FileExistsError:
        raise Refusal(f"{path}: {_FOUND}; nothing was written") from None
    except (OSError, ValueError) as problem:  # ValueError: a null character in the path
        raise Refusal(f"{path}: cannot be written ({reason(problem)}); {_stays(there=there)}") from None


def cache(path: Path, data: bytes) -> None:
    """Write a file that need not last in one step, for nobody but this user.

    There are thousands of them, so neither the disk is waited for nor another planner: one that calls `clear`
    meanwhile takes it away.

    Raises
    ------
    OSError
        If it cannot be written, or was taken away.

    """
    _put(path, data, None)


def clear(folder: Path) -> None:
    """Delete what a killed planner left in a folder; nothing where that cannot be done."""
    with suppress(OSError), _alone_in(folder):
        pass


def refuse_taken(path: Path) -> None:
    """Refuse a name that is taken, before somebody waits for what is to be written there.

    Raises
    ------
    Refusal
        If there is a file of that name.

    """
    if path.exists():
        raise Refusal(f"{path}: {_FOUND}; nothing was written")


def change(path: Path, make: Callable[[bytes | None], bytes]) -> None:
    """Write a file anew from what it holds, with no other planner writing in between.

    Parameters
    ----------
    path
        Where; its folder must be there.
    make
        Given what is there, None for nothing, returns what is to be there; it may refuse.

    Raises
    ------
    Refusal
        If `make` refuses, or it cannot be written; then what was there is whole.

    """
    there = False
    try:
        target = path.resolve()
        with _alone_in(target.parent):
            there = target.exists()
            old = target.read_bytes() if there else None
            data = make(old)
            if data != old:
                _put(target, data, _mode(target, there=there))
    except (OSError, ValueError) as problem:
        raise Refusal(f"{path}: cannot be written ({reason(problem)}); {_stays(there=there)}") from None


def make_folder(folder: Path) -> None:
    """Make a folder, and those it lies in, if it is not there.

    Raises
    ------
    Refusal
        If it cannot be made.

    """
    try:
        folder.mkdir(parents=True, exist_ok=True)
    except (OSError, ValueError) as problem:
        raise Refusal(f"{folder}: cannot be made ({reason(problem)}); nothing was written") from None


def append(path: Path, data: bytes) -> None:
    """Add to the end of a file in one step; what a full disk took of it is cut off again.

    Raises
    ------
    Refusal
        If it cannot be written; then the file is as it was.

    """
    try:
        with _alone_in(path.resolve().parent):
            handle = os.open(path, os.O_WRONLY | os.O_APPEND)
            try:
                before = os.fstat(handle).st_size
                try:
                    _write_all(handle, data)
                    os.fsync(handle)
                except OSError:
                    os.ftruncate(handle, before)
                    raise
            finally:
                os.close(handle)
    except (OSError, ValueError) as problem:
        raise Refusal(f"{path}: cannot be written ({reason(problem)}); {_stays(there=True)}") from None


def reason(problem: Exception) -> str:
    """Return why a file could not be read or written, in the system's words."""
    return getattr(problem, "strerror", None) or str(problem)


def _stays(*, there: bool) -> str:
    return "the file there is whole, as it was" if there else "nothing was written"


def _mode(target: Path, *, there: bool) -> int:
    """Return the permissions that a file has, or is to have."""
    return stat.S_IMODE(target.stat().st_mode) if there else 0o666 & ~_umask()


@contextmanager
def _alone_in(folder: Path) -> Iterator[None]:
    """Keep other planners from writing into `folder` meanwhile, and clear what a killed one left there."""
    handle = None
    try:
        handle = _locked(folder)
        _clear(folder, 0.0 if handle is not None else _STALE)
        yield
    finally:
        if handle is not None:
            os.close(handle)


def _locked(folder: Path) -> int | None:
    """Return a handle that locks a folder; None where the system, the drive or the rights allow none."""
    handle, lock = _lockable(folder)
    if handle is None:
        return None
    until = time.monotonic() + _PATIENCE
    while True:
        try:
            lock(handle)
        except BlockingIOError:
            if time.monotonic() > until:
                os.close(handle)
                raise OSError(0, "another planner keeps saving into this folder") from None
            time.sleep(0.01)
        except OSError:  # some network drives lock nothing: there the check alone must do
            os.close(handle)
            return None
        else:
            return handle


def _lockable(folder: Path) -> tuple[int | None, Callable[[int], object]]:
    """Return a handle that stands for a folder, None for none, and what locks it if nobody else does."""
    try:
        import fcntl
    except ImportError:  # Windows
        return _lockable_by_name(folder)
    try:
        handle = os.open(folder, os.O_RDONLY | os.O_CLOEXEC)
    except PermissionError:
        return None, int
    return handle, lambda one: fcntl.flock(one, fcntl.LOCK_EX | fcntl.LOCK_NB)


def _lockable_by_name(folder: Path) -> tuple[int | None, Callable[[int], object]]:
    """Return the same where folders cannot be opened: a temporary file named after the folder."""
    name = hashlib.sha256(os.path.normcase(folder).encode("utf-8", "surrogatepass")).hexdigest()[:20]
    try:
        handle = os.open(Path(tempfile.gettempdir()) / f"planner-{name}.lock", os.O_RDWR | os.O_CREAT)
    except OSError:
        return None, int
    return handle, _lock_on_windows


def _lock_on_windows(handle: int) -> None:
    import msvcrt

    try:
        msvcrt.locking(handle, msvcrt.LK_NBLCK, 1)  # type: ignore[attr-defined, unused-ignore]
    except PermissionError:
        raise BlockingIOError from None


def _clear(folder: Path, age: float) -> None:
    """Delete temporary files of ours that are older than `age` seconds."""
    with suppress(OSError), os.scandir(folder) as found:
        for one in found:
            with suppress(OSError):
                ours = one.name.startswith(_PREFIX) and one.name.endswith(_SUFFIX)
                if ours and time.time() - one.stat(follow_symlinks=False).st_mtime >= age:
                    Path(one.path).unlink()


def _put(target: Path, data: bytes, mode: int | None, *, new: bool = False) -> None:
    """Put `data` at `target` in one step; without a `mode` for nobody else, and not to last."""
    handle, name = tempfile.mkstemp(prefix=_PREFIX, suffix=_SUFFIX, dir=target.parent)
    temporary = Path(name)
    try:
        try:
            _write_all(handle, data)
            if mode is not None:
                os.fsync(handle)
        finally:
            os.close(handle)
        if mode is not None:
            with suppress(OSError):  # a drive without permissions
                temporary.chmod(mode)
        if new:
            _name_new(temporary, target)
        else:
            temporary.replace(target)
    finally:
        with suppress(OSError):
            temporary.unlink()
    if mode is not None:
        _flush_folder(target.parent)


def _name_new(temporary: Path, target: Path) -> None:
    """Name a file so that it never takes another's place; FileExistsError if there is one."""
    try:
        # Unlike a renaming, a link never takes the place of a file that came meanwhile.
        target.hardlink_to(temporary)
    except FileExistsError:
        raise
    except OSError:  # a drive without links
        if target.exists():
            raise FileExistsError from None
        temporary.rename(target)


def _write_all(handle: int, data: bytes) -> None:
    """Write all of `data`: a disk that fills up takes a part first, and says so at the next."""
    left = memoryview(data)
    while left:
        left = left[os.write(handle, left) :]


def _umask() -> int:
    """Return the process's mask for new files, which can only be read by setting it."""
    mask = os.umask(0o077)
    os.umask(mask)
    return mask


def _flush_folder(folder: Path) -> None:
    """Make the renaming itself durable, where the system allows a folder to be opened."""
    with suppress(OSError):
        handle = os.open(folder, os.O_RDONLY)
        try:
            os.fsync(handle)
        finally:
            os.close(handle)
