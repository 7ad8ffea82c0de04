"""Provide what Python's packages cannot bring along: PDF libraries and a browser.

On Debian and Ubuntu they are installed when the person is root. Elsewhere the line to
type is printed and the studio goes on without them. Package names: Debian 12 and 13 and
Ubuntu 24.04 tried or looked up; Fedora, Arch, Homebrew and MSYS2 from memory.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass

from studio.computer import Computer, Finished

# One row per library, its names on Linux, macOS and Windows.
PDF_LIBRARIES = (
    ("libpango-1.0.so.0", "libpango-1.0.dylib", "libpango-1.0-0.dll"),
    ("libpangoft2-1.0.so.0", "libpangoft2-1.0.dylib", "libpangoft2-1.0-0.dll"),
    (
        "libharfbuzz-subset.so.0",
        "libharfbuzz-subset.0.dylib",
        "libharfbuzz-subset-0.dll",
    ),
)
BROWSERS = (
    "chromium",
    "chromium-browser",
    "google-chrome",
    "/Applications/Chromium.app/Contents/MacOS/Chromium",
    "/Applications/Google Chrome.app/Contents/MacOS/Google Chrome",
    r"C:\Program Files\Google\Chrome\Application\chrome.exe",
    r"C:\Program Files (x86)\Microsoft\Edge\Application\msedge.exe",
)
APT_OPTIONS = ("-q", "-o", "Acquire::Retries=1", "-o", "DPkg::Lock::Timeout=120")


@dataclass(frozen=True)
class Need:
    """Something outside Python, how to see whether it is there, and how to get it.

    `by_apt` names the families where root may have it installed without being asked;
    `lines` is what a person types, by family.
    """

    name: str
    is_met: Callable[[Computer], bool]
    without_it: str
    packages: tuple[str, ...]
    by_apt: tuple[str, ...]
    lines: dict[str, str]


def _can_make_pdf(computer: Computer) -> bool:
    return all(computer.can_load(names) for names in PDF_LIBRARIES)


def browser_path(computer: Computer) -> str | None:
    """Find a browser that page tests can drive."""
    return computer.find_program(BROWSERS)


PDF = Need(
    name="the libraries that make PDF papers",
    is_met=_can_make_pdf,
    without_it="Until then papers open as pages, to be printed from the browser.",
    packages=("libpango-1.0-0", "libpangoft2-1.0-0", "libharfbuzz-subset0"),
    by_apt=("debian", "ubuntu"),
    lines={
        "fedora": "sudo dnf install pango",
        "arch": "sudo pacman -S pango",
        "macos": "brew install pango",
        "windows": "pacman -S mingw-w64-ucrt-x86_64-pango (in MSYS2, from msys2.org)",
    },
)
BROWSER = Need(
    name="Chromium, which the page tests drive",
    is_met=lambda computer: browser_path(computer) is not None,
    without_it="Until then the tests marked browser are skipped by name.",
    packages=("chromium",),
    # Ubuntu's package of that name only fetches a snap, which root cannot rely on.
    by_apt=("debian",),
    lines={
        "ubuntu": "sudo snap install chromium",
        "fedora": "sudo dnf install chromium",
        "arch": "sudo pacman -S chromium",
        "macos": "brew install --cask chromium",
        "windows": "winget install Google.Chrome",
    },
)
PAPER_READER = Need(
    name="Poppler, which the tests of papers look at PDFs with",
    is_met=lambda computer: computer.find_program(["pdftoppm"]) is not None,
    without_it="Until then the tests that look at printed pages are skipped by name.",
    packages=("poppler-utils",),
    by_apt=("debian", "ubuntu"),
    lines={
        "fedora": "sudo dnf install poppler-utils",
        "arch": "sudo pacman -S poppler",
        "macos": "brew install poppler",
    },
)
NEEDS = {
    "demo": (PDF,),
    "start": (PDF,),
    "test": (PDF, BROWSER, PAPER_READER),
}


def provide(command: str, computer: Computer) -> None:
    """Install what the command would like to have, or say how; never stop it."""
    unmet = [need for need in NEEDS.get(command, ()) if not need.is_met(computer)]
    ours = [need for need in unmet if may_install(need, computer)]
    failed = ours if ours and not _install_all(ours, computer) else []
    for need in unmet:
        if need in failed or need not in ours:
            computer.say(advice(need, computer.family))


def may_install(need: Need, computer: Computer) -> bool:
    return computer.is_root and computer.family in need.by_apt


def _install_all(needs: Sequence[Need], computer: Computer) -> bool:
    packages = [package for need in needs for package in need.packages]
    computer.say(f"Installing from the system's packages: {', '.join(packages)}.")
    finished = apt_install(packages, computer)
    if finished.code:
        last_line = "".join(finished.output.strip().splitlines()[-1:])
        computer.say(f"That did not work: {last_line or 'no reason was given.'}")
    return finished.code == 0


def apt_install(packages: Sequence[str], computer: Computer) -> Finished:
    """Install Debian packages; the list of packages is renewed first."""
    renewed = computer.run(["apt-get", *APT_OPTIONS, "update"])
    if renewed.code:
        return renewed
    options = (*APT_OPTIONS, "-y", "--no-install-recommends")
    return computer.run(["apt-get", *options, "install", *packages])


def advice(need: Need, family: str) -> str:
    """Say what is missing, what to type, and how things go until then."""
    apt = f"sudo apt-get install --no-install-recommends {' '.join(need.packages)}"
    line = need.lines.get(family) or (apt if family in need.by_apt else "")
    if not line:
        return f"Missing on this computer: {need.name}. {need.without_it}"
    return (
        f"Missing on this computer: {need.name}. To put that right, type: {line}\n"
        f"{need.without_it}"
    )
