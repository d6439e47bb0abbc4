"""What every check here shares: a list of what is wrong, and the count at the end."""

import re
import subprocess

passed, failed = 0, 0


def expect(holds, words):
    """Counts; says what is wrong and goes on, so that one run tells all."""
    global passed, failed
    if holds:
        passed += 1
    else:
        failed += 1
        print("FAILED:", words)
    return bool(holds)


def done():
    print(f"{passed} passed, {failed} failed")
    raise SystemExit(1 if failed else 0)


def output_of(*command):
    return subprocess.run(command, check=True, capture_output=True, text=True).stdout


def plain(words):
    return re.sub(r"\s+", " ", words).strip()
