"""What the operating system must bring, installed where we may, or named in one sentence.

python -m config.needs venv            before the virtual environment exists
python -m config.needs pango           to make PDF files
python -m config.needs tests           for the browser, circuit and PDF tests
"""

import os
import shutil
import subprocess
import sys
from collections.abc import Callable, Sequence
from dataclasses import dataclass


@dataclass(frozen=True, kw_only=True, slots=True)
class Need:
    """One thing outside pip's reach."""

    name: str
    reason: str
    present: Callable[[], bool]
    apt: tuple[str, ...]
    brew: tuple[str, ...]


def _program(*names: str) -> Callable[[], bool]:
    return lambda: any(shutil.which(name) for name in names)


def _python_can(statement: str) -> Callable[[], bool]:
    """Ask a fresh interpreter: a library found only now is not seen by one already running."""
    return lambda: (
        not subprocess.run([sys.executable, "-c", statement], capture_output=True).returncode
    )


VENV = Need(
    name="Python's venv module",
    reason="to create the virtual environment",
    present=_python_can("import ensurepip, venv"),
    apt=(f"python{sys.version_info.major}.{sys.version_info.minor}-venv",),
    brew=(),
)
PANGO = Need(
    name="Pango",
    reason="to make PDF files (quotes, sheets, delivery packets)",
    # It starts without the subset library too, but warns and writes larger files.
    present=_python_can(
        "import warnings; warnings.simplefilter('error'); import weasyprint.text.ffi"
    ),
    apt=("libpango-1.0-0", "libpangoft2-1.0-0", "libharfbuzz-subset0"),
    brew=("pango",),
)
CHROMIUM = Need(
    name="Chromium",
    reason="for the browser tests",
    present=_program("chromium", "chromium-browser"),
    apt=("chromium",),
    brew=("chromium",),
)
NGSPICE = Need(
    name="ngspice",
    reason="for the tests that compare circuits with it",
    present=_program("ngspice"),
    apt=("ngspice",),
    brew=("ngspice",),
)
POPPLER = Need(
    name="poppler's tools (pdftoppm)",
    reason="for the tests that look at PDF pages",
    present=_program("pdftoppm"),
    apt=("poppler-utils",),
    brew=("poppler",),
)
GROUPS = {"venv": (VENV,), "pango": (PANGO,), "tests": (PANGO, CHROMIUM, NGSPICE, POPPLER)}


def installer() -> list[str] | None:
    """The command that may install system packages here without asking, or None."""
    if shutil.which("apt-get"):
        apt = ["apt-get", "-o", "DPkg::Lock::Timeout=300"]
        if os.geteuid() == 0:
            return apt
        asked = ["sudo", "-n", "true"]
        if shutil.which("sudo") and not subprocess.run(asked, capture_output=True).returncode:
            return ["sudo", "-n", *apt]
        return None
    return ["brew"] if shutil.which("brew") else None


def install(needs: Sequence[Need]) -> None:
    command = installer()
    if command is None:
        return
    by_apt = "apt-get" in command
    packages = [package for need in needs for package in (need.apt if by_apt else need.brew)]
    if not packages:
        return
    print(f"Installing {', '.join(packages)} ...", flush=True)
    quiet = {**os.environ, "DEBIAN_FRONTEND": "noninteractive"}
    if by_apt:
        subprocess.run([*command, "update", "-qq"], env=quiet, check=False)
        command = [*command, "install", "-y", "-qq", "--no-install-recommends"]
    else:
        command = [*command, "install"]
    for package in packages:  # one at a time: a name that this system lacks stops only itself
        subprocess.run([*command, package], env=quiet, check=False, stdout=subprocess.DEVNULL)


def sentence(need: Need) -> str:
    by_hand = f"sudo apt-get install {' '.join(need.apt)}"
    if need.brew:
        by_hand += f", or brew install {' '.join(need.brew)}"
    return f"{need.name} is missing; it is needed {need.reason}. Install it: {by_hand}."


def main(groups: Sequence[str]) -> int:
    unknown = [group for group in groups if group not in GROUPS]
    if unknown or not groups:
        print(f"Name one or more of: {', '.join(GROUPS)}.")
        return 2
    needs = [need for group in groups for need in GROUPS[group]]
    missing = [need for need in needs if not need.present()]
    if missing:
        install(missing)
    still = [need for need in missing if not need.present()]
    for need in still:
        print(sentence(need))
    return 1 if still else 0


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
