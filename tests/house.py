"""Checks of the house that no linter makes; `make check` runs it. Ends with what was tried and what is bad."""

from __future__ import annotations

import re
import subprocess
import sys
from pathlib import Path

ROOT = Path(__file__).resolve().parent.parent
# Words that no verdict, promise, mail or label may use.
FORBIDDEN = re.compile(
    r"safe to (?:work|touch|drive)|ok to work|de-?energi[sz]ed|road-?worthy|\bpassed\b", re.IGNORECASE
)
INLINE = re.compile(r"<style\b|\sstyle=|<script(?![^>]*\bsrc=)[^>]*>|\son[a-z]+=")
NO_ROOMS = ("services.py", "utils.py", "helpers.py")
LONGEST = 550


def tracked() -> list[Path]:
    listed = subprocess.run(["git", "ls-files"], cwd=ROOT, capture_output=True, text=True, check=True).stdout
    return [ROOT / name for name in listed.splitlines() if (ROOT / name).exists()]


def problems() -> tuple[int, list[str]]:
    """How many files were read, and a sentence for each thing that is wrong."""
    found = []
    files = tracked()
    for path in files:
        name = path.relative_to(ROOT).as_posix()
        if path.name in NO_ROOMS:
            found.append(f"{name}: name the room by its process")
        if path.suffix not in (".py", ".html", ".txt", ".js", ".css"):
            continue
        text = path.read_text(encoding="utf-8")
        shown = name.startswith("templates/") or (path.suffix == ".py" and not name.startswith("tests/"))
        for number, line in enumerate(text.splitlines(), start=1):
            if shown and FORBIDDEN.search(line):
                found.append(f"{name}:{number}: a word that promises: {line.strip()[:80]}")
            if name.startswith("templates/") and INLINE.search(line):
                found.append(f"{name}:{number}: inline style or script")
        if path.suffix == ".py" and "migrations" not in name and len(text.splitlines()) > LONGEST:
            found.append(f"{name}: {len(text.splitlines())} lines; split it by subject")
    return len(files), found


def main() -> int:
    read, found = problems()
    print("\n".join(found))
    print(f"{read} tried, {len(found)} bad")
    return 1 if found else 0


if __name__ == "__main__":
    sys.exit(main())
