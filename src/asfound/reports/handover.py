"""The first page of a hand-over, and how to check it with nothing but git and OpenSSH."""

from __future__ import annotations

import textwrap
from collections.abc import Sequence
from typing import NamedTuple

from asfound.checks.findings import Inspection
from asfound.compare.result import Comparison
from asfound.compare.side_by_side import Copies
from asfound.evidence.signers import identity
from asfound.evidence.statement import Predicate, Statement, caution
from asfound.model.visible import visible
from asfound.reports import page_sections
from asfound.reports.cards import text
from asfound.reports.page import cautions, page
from asfound.reports.words import CAUTIONS, number, tally, verdict

FILES = {
    "report.html": "what changed since the earlier record, every changed rung drawn before and now",
    "report.pdf": "the same to print, and to keep (PDF/A)",
    "report.md": "the same in short, for tickets",
    "comparison.json": "the same for programs",
    "copies.json": "running, card and office side by side, for programs",
    "inspection.json": "what an inspection found, for programs",
    "statement.txt": "what is stated, in words",
    "statement.txt.sig": "the signature of it (OpenSSH)",
    "statement.json": "the same as an in-toto statement",
    "statement.dsse.json": "the same in a signed envelope (DSSE)",
    "originals/": "the exact bytes of every export, a folder for each copy",
    "normal/": "what was understood of them, as readable text",
    "attachments/": "files stored as they are",
    "record.json": "what was stored, when and by whom",
    "history.bundle": "all records of this station, as a git repository",
    "VERIFY.txt": "how to check all this with git and OpenSSH only",
    "signers": "the public key of who signed",
    "SHA256SUMS": "the digest of every file",
}
"""What lies in a hand-over, in the order in which a person may want it."""


_HOW = (
    "Open a terminal in this folder (on Windows: Git Bash, which comes with git) and type what stands behind the $ "
    "sign. A step that prints an error has failed. Where there is no sha256sum (older macOS), shasum -a 256 -c "
    "SHA256SUMS does the same."
)


class Contents(NamedTuple):
    """What the first page tells."""

    statement: Statement
    comparison: Comparison | None
    copies: Copies | None
    inspection: Inspection | None
    fingerprint: str


class Step(NamedTuple):
    """One step of a check: what it shows, and what to type."""

    shows: str
    command: str


_PLAIN = r"[^./\\[:cntrl:]][^/\\[:cntrl:]]*"
"""A name of a file or folder as a hand-over has them: no ``..``, nothing hidden, no escape of sha256sum."""
_ATTRIBUTES = "* -text -ident -filter -export-ignore -export-subst !working-tree-encoding"
"""What no file of somebody else's history may ask git for (gitattributes(5)): programs, other bytes than its own."""


def steps(said: Predicate, *, signed: bool, commit_signed: bool) -> list[Step]:
    """The check with standard tools; each command fails when something is wrong.

    Nothing that stands in the folder decides what is run or written: of the statement they take 40 hexadecimal digits,
    of the first line that says "Commit"; git unpacks the bundle into a new repository (clone would take a folder called
    ``history.bundle.git`` instead, and do what its settings say), and the files of the record go where nothing is.
    """
    who = identity(said.stated_by)
    verify = f"ssh-keygen -Y verify -f signers -I {_quoted(who)} -n asfound"
    found = [
        Step(
            "There are only plain files here, and the list names only such.",
            'test -z "$(find . ! -type f ! -type d)" && '
            f"test \"$(LC_ALL=C grep -acEv '^[0-9a-f]{{64}}  {_PLAIN}(/{_PLAIN})*$' SHA256SUMS)\" = 0",
        ),
        Step("Every file is the one that was handed over.", "sha256sum --check --strict --quiet SHA256SUMS"),
    ]
    if signed:
        found += [
            Step("The list of digests was signed.", f"{verify} -s SHA256SUMS.sig < SHA256SUMS"),
            Step("The statement was signed.", f"{verify} -s statement.txt.sig < statement.txt"),
        ]
    found += [
        Step(
            "The history can be read whole.",
            'H=$(mktemp -d) && G() { git --git-dir="$H/history.git" "$@"; } && '
            'git init -q --bare --template= "$H/history.git" && G bundle unbundle history.bundle > "$H/tips"',
        ),
        Step("Nothing in it is damaged.", 'G fsck --full --strict --no-dangling $(cut -c1-40 "$H/tips")'),
        Step(
            "It holds the record that is stated, with these files.",
            "C=$(sed -n '/^Commit /{s/^Commit *\\([0-9a-f]\\{40\\}\\)$/\\1/p;q;}' statement.txt) && "
            'test -n "$C" && mkdir -p "$H/files" "$H/history.git/info" && '
            f"echo '{_ATTRIBUTES}' > \"$H/history.git/info/attributes\" && "
            'G archive "$C" originals | tar -x -C "$H/files" && diff -r originals "$H/files/originals"',
        ),
    ]
    if commit_signed:
        trust = '-c gpg.ssh.allowedSignersFile="$PWD/signers"'
        found.append(Step("The record was signed when it was stored.", f'G {trust} verify-commit "$C"'))
    return found


def _quoted(word: str) -> str:
    """A word for a shell, which takes it for nothing else."""
    plain = word.isascii() and all(sign.isalnum() or sign in "._@+-" for sign in word)
    return word if plain else "'" + word.replace("'", "'\\''") + "'"


def instructions(said: Predicate, fingerprint: str, *, commit_signed: bool) -> str:
    """``VERIFY.txt``."""
    lines = ["How to check this folder with nothing but git and OpenSSH", ""]
    lines += _wrapped(_HOW)
    for number_, step in enumerate(steps(said, signed=bool(fingerprint), commit_signed=commit_signed), 1):
        lines += ["", f"{number_}. {step.shows}", f"$ {step.command}"]
    lines += ["", *_wrapped(trust(said, fingerprint)), "", *_wrapped(said.proved), *_wrapped(said.not_proved), ""]
    if caution(said):
        lines[2:2] = [*_wrapped(caution(said)), ""]
    accepted = "" if fingerprint else " --unsigned"
    lines += _wrapped(f"With asfound, all of it at once, and every byte: asfound verify FOLDER{accepted}")
    return "\n".join(lines) + "\n"


def trust(said: Predicate, fingerprint: str) -> str:
    """What a person has to ask somebody, for no file can tell it."""
    if not fingerprint:
        return (
            "Nobody signed this folder. The digests show damage and careless changes; who wants to deceive could have "
            f"made a new list of them. Compare the digest of SHA256SUMS with the one that {visible(said.stated_by)} "
            "tells you by another way."
        )
    return (
        f"The file 'signers' in this folder says that the key {fingerprint} is that of {visible(said.stated_by)}. "
        "Compare the fingerprint with the one that person tells you by another way, or use a file of signers you "
        "already have."
    )


def _wrapped(words: str) -> list[str]:
    """Lines of prose. None begins with the sign of a command, for a name may hold one (``Ada $ rm -rf``)."""
    lines = textwrap.wrap(visible(words), 100, break_long_words=False, break_on_hyphens=False)
    return [f" {line}" if line.startswith("$") else line for line in lines]


def index(contents: Contents, names: Sequence[str], check: Sequence[Step]) -> str:
    """The first page; ``names`` are the files of the folder."""
    said = contents.statement.predicate
    parts = [
        _cover(contents),
        _files(names),
        page_sections.copies(contents.copies),
        page_sections.findings(contents.inspection),
        page_sections.statement(contents.statement, contents.fingerprint),
        _check(said, contents.fingerprint, check),
        cautions(CAUTIONS),
    ]
    return page(
        f"Hand-over of {visible(said.station)}",
        "".join(parts),
        skip=("files", "Skip to the files"),
        sheets=("report.css", "handover.css"),
    )


def _cover(contents: Contents) -> str:
    said, comparison = contents.statement.predicate, contents.comparison
    words = verdict(comparison) if comparison else "This record was not compared with an earlier one."
    since = ""
    if said.compared:
        earlier = said.compared.earlier
        since = (
            f"<p>Compared with record {text(earlier.record)} ({text(earlier.moment)}), stored "
            f"{text(earlier.time[:10])} by {text(earlier.person)}; copy {text(said.compared.copy)}. "
            f"{text(tally(said.compared))} "
            '<a href="report.html">Read what changed</a></p>'
        )
    warned = caution(said)
    kicker = "What a project or a card holds, handed over" if warned else "What a controller holds, handed over"
    warning = f'<p class="crossing">{text(warned)}</p>\n' if warned else ""
    held = ", ".join(f"{copy.name} ({number(len(copy.files), 'file')})" for copy in said.copies)
    note = f"<p>{text(said.note)}</p>" if said.note else ""
    return (
        f'<header class="cover">\n<p class="kicker">{kicker}</p>\n{warning}'
        f"<h1>{text(said.station)}, record {text(said.record)} ({text(said.moment)}), {text(said.time[:10])}</h1>\n"
        f'<p class="verdict">{text(words)}</p>\n{since}'
        f"<p>Stored {text(said.time)} by {text(said.person)}: {text(held)}.</p>{note}</header>\n"
    )


def _files(names: Sequence[str]) -> str:
    there = {name.split("/")[0] + "/" if "/" in name else name for name in names}
    items = "".join(
        f'<li><a href="{name}"><code>{name}</code></a> <span>{meaning}</span></li>'
        for name, meaning in FILES.items()
        if name in there
    )
    return (
        f'<section class="matters" id="files" tabindex="-1"><h2>What is in this folder</h2><ol>{items}</ol></section>\n'
    )


def _check(said: Predicate, fingerprint: str, check: Sequence[Step]) -> str:
    commands = "".join(f"<li>{text(s.shows)}<pre tabindex='0'><code>{text(s.command)}</code></pre></li>" for s in check)
    lead = "In a terminal in this folder, with nothing but git and OpenSSH (on Windows: Git Bash):"
    return page_sections.section(
        "check", "Check it yourself", f"<p>{lead}</p><ol>{commands}</ol><p>{text(trust(said, fingerprint))}</p>"
    )
