"""Keys and programs that the tests of evidence share."""

from __future__ import annotations

import shutil
import subprocess
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

import pytest
from typer.testing import CliRunner, Result

from asfound.cli.main import app
from asfound.evidence.keys import FileSigner

FIRST = b"PROGRAM Main\nVAR\n  a : BOOL;\n  b : BOOL;\nEND_VAR\na := b;\nEND_PROGRAM\n"
BASH = shutil.which("bash")
KEYGEN = shutil.which("ssh-keygen")
needs_openssh = pytest.mark.skipif(KEYGEN is None, reason="no OpenSSH")

SEED = bytes.fromhex("9d61b19deffd5a60ba844af492ec2cc44449c5697b326919703bac031cae7f60")
"""The secret key of test 1 of RFC 8032 section 7.1."""


def signer(seed: bytes = SEED) -> FileSigner:
    from cryptography.hazmat.primitives.asymmetric.ed25519 import Ed25519PrivateKey

    return FileSigner(Ed25519PrivateKey.from_private_bytes(seed))


def keygen(*words: str | Path, data: bytes = b"") -> subprocess.CompletedProcess[bytes]:
    return subprocess.run([str(KEYGEN), *map(str, words)], input=data, capture_output=True, check=False)


def run(*words: str | Path, **more: str) -> Result:
    """Run a command in this process."""
    return CliRunner().invoke(app, [str(word) for word in words], prog_name="asfound", **more)  # type: ignore[arg-type]


def sentence(done: Result) -> str:
    """The last line that was printed."""
    return str(done.stdout.splitlines()[-1])


def files(folder: Path) -> list[Path]:
    """All files of a hand-over."""
    return sorted(path for path in folder.rglob("*") if path.is_file())


@contextmanager
def altered(path: Path) -> Iterator[None]:
    """One bit in the middle of a file flipped for a while."""
    data = path.read_bytes()
    at = len(data) // 2
    path.write_bytes(data[:at] + bytes([data[at] ^ 1]) + data[at + 1 :])
    try:
        yield
    finally:
        path.write_bytes(data)


def typed(folder: Path, script: str) -> subprocess.CompletedProcess[str]:
    """What a person who types the commands sees; it ends at the first one that fails."""
    return subprocess.run(
        [str(BASH), "-e", "-o", "pipefail", "-c", script], cwd=folder, capture_output=True, text=True, check=False
    )
