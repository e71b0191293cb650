"""Signatures by the keys that people have for SSH: the only room that starts ssh-keygen.

The formats are OpenSSH's own (PROTOCOL.sshsig; ALLOWED SIGNERS in ssh-keygen(1)), so that anybody can hold a signature
against a key without speclint.
"""

import subprocess
from collections.abc import Sequence
from typing import Final

from speclint.errors import SpeclintError, UsageError

NAMESPACE: Final = "speclint"
"""What signatures are for; one that was made for anything else does not hold here."""

_TIMEOUT_S: Final = 120.0
"""Time enough to type a passphrase, or to touch a key."""


class ProofError(SpeclintError):
    """A signature does not hold."""


def signature_of(statement: bytes, key: str) -> bytes:
    """A signature of a statement, as text between two lines.

    Args:
        statement: what is signed.
        key: the file of a private key, or of a public one whose private half an agent holds.

    Raises:
        UsageError: there is no ssh-keygen, or it cannot sign with this key.
    """
    done = _run(("-Y", "sign", "-f", key, "-n", NAMESPACE), statement)
    if done.returncode != 0 or not done.stdout.startswith(b"-----BEGIN SSH SIGNATURE-----"):
        raise UsageError(f"nothing was signed with {key}: {_says(done)}")
    return done.stdout


def signer_of(statement: bytes, signature_file: str, allowed_signers: str) -> str:
    """Who signed a statement, by the name in the file of allowed signers.

    Args:
        statement: what was signed.
        signature_file: the file of the signature.
        allowed_signers: the file of allowed signers, a line each: a name, and a public key.

    Raises:
        ProofError: nobody in the file signed it, or it was another statement.
        UsageError: there is no ssh-keygen.
    """
    principals = _run(("-Y", "find-principals", "-s", signature_file, "-f", allowed_signers), b"")
    names = principals.stdout.decode("utf-8", "replace").split("\n")[0].split(",")
    if principals.returncode != 0 or not names[0]:
        raise ProofError(f"{signature_file} was made by nobody in {allowed_signers}: {_says(principals)}")
    name = names[0].strip()
    words = ("-Y", "verify", "-f", allowed_signers, "-I", name, "-n", NAMESPACE, "-s", signature_file)
    done = _run(words, statement)
    if done.returncode != 0:
        raise ProofError(f"{signature_file} does not hold for {statement.decode().strip()}: {_says(done)}")
    return name


def _run(words: Sequence[str], stdin: bytes) -> "subprocess.CompletedProcess[bytes]":
    try:
        return subprocess.run(  # noqa: S603 - the words are ours, and names of files stand behind their options
            ["ssh-keygen", *words],  # noqa: S607 - the one that the user's keys were made with
            input=stdin,
            capture_output=True,
            timeout=_TIMEOUT_S,
            check=False,
        )
    except FileNotFoundError as error:
        raise UsageError(
            "ssh-keygen was not found: install OpenSSH 8.2 or newer to sign and to hold signatures"
        ) from error
    except subprocess.TimeoutExpired as error:
        raise UsageError(f"ssh-keygen did not answer within {_TIMEOUT_S:.0f} s") from error


def _says(done: "subprocess.CompletedProcess[bytes]") -> str:
    """The last line of what ssh-keygen says, without what it says of the data on its way in."""
    lines = (done.stderr or done.stdout).decode("utf-8", "replace").split("\n")
    messages = [line.strip() for line in lines if line.strip() and not line.startswith("Signing ")]
    return (
        f"ssh-keygen says: {messages[-1].rstrip('.')}"
        if messages
        else f"ssh-keygen ended with status {done.returncode}"
    )
