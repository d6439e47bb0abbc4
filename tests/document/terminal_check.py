"""The summary on terminals of several widths: python3 terminal_check.py PROGRAM"""

import shutil
import fcntl
import os
import pty
import re
import select
import struct
import subprocess
import sys
import tempfile
import termios

import check
from check import expect

ESCAPE = re.compile(r"\x1b\[[0-9;]*[mK]")


def on_terminal(command, columns, stream, **environment):
    """What comes out on a terminal of so many columns that `stream` ("stdout", "stderr") is; the other is dropped."""
    master, slave = pty.openpty()
    fcntl.ioctl(slave, termios.TIOCSWINSZ, struct.pack("HHHH", 40, columns, 0, 0))
    kept = {key: value for key, value in os.environ.items() if key not in ("NO_COLOR", "TERM")}
    process = subprocess.Popen(command, stdin=subprocess.DEVNULL, env={**kept, "TERM": "xterm", **environment},
                               **{"stdout": subprocess.DEVNULL, "stderr": subprocess.DEVNULL, stream: slave})
    os.close(slave)
    data = b""
    while select.select([master], [], [], 60)[0]:
        try:
            more = os.read(master, 65536)
        except OSError:
            break
        if not more:
            break
        data += more
    os.close(master)
    process.wait()
    return data.decode()


def main():
    program = os.path.abspath(sys.argv[1])
    with tempfile.TemporaryDirectory() as folder:
        command = [program, "review", "--output", folder, "designs/tern-quay.xml"]
        for columns in (60, 80, 132):
            said = on_terminal(command, columns, "stdout")
            expect(ESCAPE.search(said), f"{columns} columns: no colour on a terminal")
            lines = ESCAPE.sub("", said).split("\r\n")
            # A name without a blank is never broken: it must be one that alone is longer than the line.
            wide = [line for line in lines if len(line) > columns and max(map(len, line.split())) < columns - 10]
            expect(not wide, f"{columns} columns: too wide: {wide[:3]}")
            expect("licensed engineer" in said, f"{columns} columns: no caution")
        expect(not ESCAPE.search(on_terminal(command, 80, "stdout", NO_COLOR="1")), "colour in spite of NO_COLOR")
        expect(ESCAPE.search(on_terminal(command, 80, "stdout", NO_COLOR="")), "an empty NO_COLOR must not count")
        expect(not ESCAPE.search(on_terminal(command, 80, "stdout", TERM="dumb")), "colour on a dumb terminal")
        piped = subprocess.run(command, capture_output=True, text=True)
        expect(not ESCAPE.search(piped.stdout) and not piped.stderr, "colour or progress without a terminal")
        expect(on_terminal(command[:-1] + ["designs/curlew-spit.xml"], 80, "stderr") == "",
               "progress for work that is not long")
        copies = [os.path.join(folder, f"tern-quay-{i}.xml") for i in range(40)]
        for copy in copies:
            shutil.copyfile("designs/tern-quay.xml", copy)
        many = command[:-1] + ["--quiet", "--by-file"] + copies
        shown = on_terminal(many, 80, "stderr")
        expect(re.search(r"\d+ of 40: .*tern-quay-\d+.xml", shown), f"no progress for long work: {shown[:200]!r}")
        expect(shown.endswith("\r\x1b[K"), f"progress is not wiped: {shown[-40:]!r}")
        expect(subprocess.run(many, capture_output=True).stderr == b"", "progress without a terminal")
    check.done()


if __name__ == "__main__":
    main()
