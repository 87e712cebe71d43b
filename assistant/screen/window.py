"""A window for the screen: whatever browser is on this computer, filling the display, nothing else around it."""

from __future__ import annotations

import os
import shutil
import subprocess
import sys
from collections.abc import Iterator, Sequence
from pathlib import Path

from assistant.environment import for_helpers
from assistant.errors import ScreenUnavailable

__all__ = ["arguments", "browser", "open_window"]

_CHROMIUM = (
    "chromium", "chromium-browser", "google-chrome", "google-chrome-stable", "chrome",
    "microsoft-edge", "microsoft-edge-stable", "msedge", "brave-browser",
)  # fmt: skip
_FIREFOX = ("firefox", "firefox-esr")
_WINDOWS = (
    ("Google/Chrome/Application", "chrome"),
    ("Microsoft/Edge/Application", "msedge"),
    ("Mozilla Firefox", "firefox"),
)
_MAC = (
    ("Google Chrome", "Google Chrome"),
    ("Chromium", "Chromium"),
    ("Microsoft Edge", "Microsoft Edge"),
    ("Firefox", "firefox"),
)
_QUIET = (
    "--no-first-run", "--no-default-browser-check", "--disable-background-networking",
    "--disable-component-update", "--disable-sync", "--disable-pinch", "--overscroll-history-navigation=0",
)  # fmt: skip


def browser() -> Path | None:
    """The first browser found that can fill the display; None where there is none."""
    for name in (*_CHROMIUM, *_FIREFOX):
        found = shutil.which(name)
        if found:
            return Path(found)
    return next((path for path in _installed() if path.is_file()), None)


def arguments(program: Path, address: str, profile: Path) -> Sequence[str]:
    """How to start a browser on one page alone.

    Args:
        profile: a folder of its own, so that no open window takes the page and nobody's bookmarks are touched.
    """
    if _is_firefox(program):
        return [str(program), "--new-instance", "--profile", str(profile), "--kiosk", address]
    return [str(program), "--kiosk", f"--app={address}", f"--user-data-dir={profile}", *_QUIET]


def open_window(address: str, profile: Path) -> subprocess.Popen[bytes]:
    """Open the window. It closes when the process that is returned is ended.

    Raises:
        ScreenUnavailable: with the address to open by hand, where there is no browser or no display for it, or the
            browser does not run for this user.
    """
    by_hand = f"Open this address in a browser: {address}"
    program = browser()
    if program is None:
        raise ScreenUnavailable(f"There is no browser on this computer that I know. {by_hand}")
    if sys.platform.startswith("linux") and not (os.environ.get("DISPLAY") or os.environ.get("WAYLAND_DISPLAY")):
        raise ScreenUnavailable(f"There is no display here. {by_hand}")
    if hasattr(os, "geteuid") and os.geteuid() == 0 and not _is_firefox(program):
        # Chromium ends at once for root unless its sandbox is taken away, and that we do not do.
        raise ScreenUnavailable(f"The browser does not open for root. Start Tapehand as yourself. {by_hand}")
    try:
        profile.mkdir(parents=True, exist_ok=True)
        window = subprocess.Popen(
            arguments(program, address, profile),
            stdin=subprocess.DEVNULL,
            stdout=subprocess.DEVNULL,
            stderr=subprocess.DEVNULL,
            env=for_helpers(),
        )
    except OSError:
        raise ScreenUnavailable(f"The browser does not start. {by_hand}") from None
    return window


def _is_firefox(program: Path) -> bool:
    return "firefox" in program.name.casefold()


def _installed() -> Iterator[Path]:
    """Where browsers are, on systems that do not put them on the path."""
    if sys.platform == "win32":
        for variable in ("ProgramFiles", "ProgramFiles(x86)", "LocalAppData"):
            for folder, name in _WINDOWS:
                if os.environ.get(variable):
                    yield Path(os.environ[variable]) / folder / f"{name}.exe"
    elif sys.platform == "darwin":
        for folder, name in _MAC:
            yield Path("/Applications") / f"{folder}.app" / "Contents" / "MacOS" / name
    yield from ()
