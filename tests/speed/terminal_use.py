"""Random keys in a real terminal: what the screen, the second process and the one that draws take together.

Run as ``python tests/speed/terminal_use.py [KEYS] [SEED]``, on Linux. Other than `random_use.py`, which
presses more keys by far, nothing is left out or coarser here: it is the program as it is begun, with the
whole demo and all its processes. Keys, clicks, pastes and sizes come as a terminal sends them. Told is how
much memory all processes have together, what they share counted once (PSS), and at most.
"""

import fcntl
import os
import random
import select
import struct
import subprocess
import sys
import tempfile
import termios
import time
from contextlib import suppress
from pathlib import Path

sys.path.insert(0, str(Path(__file__).parents[1] / "app"))

from fumbling import KEYS, TYPED

from planner.data import demo

SENT = {
    "up": "\x1b[A", "down": "\x1b[B", "right": "\x1b[C", "left": "\x1b[D", "home": "\x1b[H", "end": "\x1b[F",
    "pageup": "\x1b[5~", "pagedown": "\x1b[6~", "delete": "\x1b[3~", "shift+tab": "\x1b[Z",
    "f1": "\x1bOP", "f2": "\x1bOQ", "f3": "\x1bOR", "enter": "\r", "escape": "\x1b", "tab": "\t",
    "backspace": "\x7f", "space": " ", "slash": "/", "left_square_bracket": "[", "plus": "+", "minus": "-",
    "comma": ",", "full_stop": ".", "question_mark": "?",
}  # fmt: skip
SIZES = ((80, 24), (120, 40), (200, 60), (20, 6))
PATIENCE = 10.0, 120.0
"""Seconds in which a new size must be drawn: of the screen's own processor time, and by the clock."""
EVERY = 150
"""Keys between two new sizes, each of which must be drawn."""
SAMPLE = 0.2
"""Seconds between two looks at the memory, at least."""


def _own_terminal():
    """Let the planner be told of sizes, as it is by the terminal that it is begun in."""
    fcntl.ioctl(0, termios.TIOCSCTTY, 0)


class Used:
    """The planner in a terminal, and what it takes."""

    def __init__(self, folder, size):
        self._mine, theirs = os.openpty()
        self.resize(size)
        around = os.environ | {
            "TERM": "xterm-256color", "COLORTERM": "truecolor",
            **{f"XDG_{one}_HOME": str(folder / one.lower()) for one in ("DATA", "STATE", "CACHE")},
        }  # fmt: skip
        self.process = subprocess.Popen(
            [sys.executable, "-m", "planner", "open", "job.toml"], cwd=folder, env=around,
            stdin=theirs, stdout=theirs, stderr=theirs, start_new_session=True,
            preexec_fn=_own_terminal,  # noqa: PLW1509 - there is one thread
        )  # fmt: skip
        os.close(theirs)
        self.shown, self._looked = b"", 0.0
        self.most = (0, {})

    def begun(self):
        """Wait until it has the whole screen: a terminal takes Ctrl+S and the like for itself before."""
        end = time.monotonic() + PATIENCE[1]
        while b"\x1b[?1049h" not in self.shown and time.monotonic() < end and self.process.poll() is None:
            self.take(SAMPLE)

    def ended(self):
        """Return the status that it ends with, which is told to go."""
        end = time.monotonic() + PATIENCE[1]
        while self.process.poll() is None:
            self.take(SAMPLE)
            if time.monotonic() > end:
                self.process.kill()
        os.close(self._mine)
        return self.process.returncode

    def resize(self, size):
        """Give the window another size."""
        self.size = size
        fcntl.ioctl(self._mine, termios.TIOCSWINSZ, struct.pack("HHHH", size[1], size[0], 0, 0))

    def send(self, text):
        """Send what a terminal sends; what the planner shows meanwhile is taken, or both would wait."""
        data = text.encode("utf-8", "surrogateescape")
        while data and self.process.poll() is None:
            self.take(0.0)
            if select.select([], [self._mine], [], 0.2)[1]:
                with suppress(OSError):
                    data = data[os.write(self._mine, data[:512]) :]

    def take(self, seconds):
        """Take what is shown for so long; return whether something was."""
        end, some = time.monotonic() + seconds, False
        while True:
            self._look()
            wait = max(0.0, min(SAMPLE, end - time.monotonic()))
            if select.select([self._mine], [], [], wait)[0]:
                try:
                    part = os.read(self._mine, 65536)
                except OSError:  # Linux says so where the other end is closed
                    return some
                self.shown, some = (self.shown + part)[-4000:], True
            if time.monotonic() >= end:
                return some

    def draws(self):
        """Give the window another size, and return whether that is drawn in time."""
        while self.take(0.1) and self.process.poll() is None:
            pass
        begun, work = time.monotonic(), self._work()
        self.resize(next(one for one in SIZES if one != self.size))
        while self.process.poll() is None and not self.take(0.2):
            if self._work() - work > PATIENCE[0] or time.monotonic() - begun > PATIENCE[1]:
                return False
        return True

    def _work(self):
        """Return the seconds of processor time that the screen's process had."""
        with suppress(OSError):
            parts = Path(f"/proc/{self.process.pid}/stat").read_text().rpartition(")")[2].split()
            return (int(parts[11]) + int(parts[12])) / os.sysconf("SC_CLK_TCK")
        return 0.0

    def _look(self):
        if time.monotonic() - self._looked < SAMPLE:
            return
        self._looked = time.monotonic()
        each = {}
        for one in Path("/proc").glob("[0-9]*"):
            with suppress(OSError, ValueError):
                if os.getsid(int(one.name)) == self.process.pid:
                    lines = (one / "smaps_rollup").read_text().splitlines()
                    each[one.name] = next(int(line.split()[1]) for line in lines if line.startswith("Pss:"))
        self.most = max(self.most, (sum(each.values()) // 1024, each), key=lambda found: found[0])


def thing(chance, size):
    """Return something that a terminal sends, and how many keys it counts as."""
    way = chance.random()
    if way < 0.1:
        return f"\x1b[200~{chance.choice(TYPED)}\x1b[201~", 1
    if way < 0.3:
        at = f"{chance.randrange(size[0]) + 1};{chance.randrange(size[1]) + 1}"
        return f"\x1b[<0;{at}M\x1b[<0;{at}m", 1
    times = chance.choice((1, 1, 1, 2, 6))
    key = chance.choice(KEYS)
    sent = chr(ord(key[-1]) - 96) if key.startswith("ctrl+") else SENT.get(key, key)
    return sent * times, times


def main(keys=3_000, seed=1):
    """Press so many keys, print what came of it, and return what was amiss."""
    chance = random.Random(seed)  # noqa: S311 - no secret hangs on it
    folder = Path(tempfile.mkdtemp())
    job = (demo() / "jobs" / "hoop-second-half.toml").read_bytes()
    done = begun = faults = hangs = 0
    most = (0, {})
    while done < keys:
        (folder / "job.toml").write_bytes(job)
        used, begun, told = Used(folder, chance.choice(SIZES)), begun + 1, done
        used.begun()
        while done < keys and used.process.poll() is None:
            sent, count = thing(chance, used.size)
            used.send(sent)
            done += count
            used.take(chance.choice((0.0, 0.0, 0.02, 0.1, 0.5)))
            if done - told > EVERY:
                told = done
                if not used.draws():
                    hangs += 1
                    print(f"HANG in {used.size} before key {done}, after {used.shown[-300:]!r}", flush=True)
                    break
        if used.process.poll() is None:
            used.process.terminate()
        status = used.ended()
        if status not in {0, 143}:
            faults += 1
            print(f"FAULT, status {status}, before key {done}: {used.shown[-600:]!r}", flush=True)
        most = max(most, used.most, key=lambda found: found[0])
        parts = " + ".join(f"{one // 1024}" for one in most[1].values())
        print(
            f"{done:,} keys, begun {begun} times, {faults} faults, {hangs} hangs, most memory {most[0]} MB "
            f"together ({parts})", flush=True,
        )  # fmt: skip
    return faults + hangs


if __name__ == "__main__":
    sys.exit(main(*(int(one) for one in sys.argv[1:])) > 0)
