"""Reading and writing files for a person: one sentence when it fails, and never half a file."""

from __future__ import annotations

import errno
import json
import os
import re
import shutil
import tempfile
import unicodedata
from collections.abc import Iterator, Mapping
from contextlib import contextmanager, suppress
from difflib import get_close_matches
from hashlib import sha256
from pathlib import Path

from backseam.ground.errors import InputRefused, OutputRefused
from backseam.ground.speech import PLAIN

LARGEST = 20_000_000  # bytes of any file read; each reader has its own, lower limit
LONGEST_NAME = 80
LONGEST_SHOWN = 120  # of a path in a sentence
CONTENTS = ".backseam.json"  # what Backseam wrote into a folder, by name and SHA-256
_RESERVED = re.compile(r"(?i)(con|prn|aux|nul|com[0-9]|lpt[0-9])(\..*)?")


def read_bytes(path: Path) -> bytes:
    """The bytes of a file. Raises `InputRefused` with the remedy."""
    try:
        size = path.stat().st_size
        if size > LARGEST:
            raise InputRefused(_say("too_big", path=path, size=f"{size / 1e6:.0f}"))
        with path.open("rb") as file:
            return file.read(LARGEST + 1)
    except InputRefused:
        raise
    except FileNotFoundError:
        raise InputRefused(_missing(path)) from None
    except IsADirectoryError:
        raise InputRefused(_say("folder", path=path)) from None
    except PermissionError:
        raise InputRefused(_say("closed", path=path)) from None
    except (OSError, ValueError) as error:
        raise InputRefused(_say("unreadable", path=path, why=_why(error))) from None


def write_new(path: Path, data: bytes, *, replace: bool = False) -> None:
    """Write a file whole or not at all; a file that is there stays, unless `replace`."""
    with _writing(path):
        path.parent.mkdir(parents=True, exist_ok=True)
        beside = _beside(path)
        try:
            _write(beside, data)
            if replace:
                os.replace(beside, path)
            else:
                _put_in_free_place(beside, path)
        finally:
            beside.unlink(missing_ok=True)


def write_papers(folder: Path, papers: Mapping[str, bytes], *, replace: bool = False) -> tuple[str, ...]:
    """Put a set of papers into a folder, all or none, and take away those of an earlier run.

    Written beside first, then moved. Files that Backseam did not write stay, and one of the same name is only
    replaced with `replace`. Returns the papers of an earlier run that were changed since and so left.
    """
    with _writing(folder):
        if folder.exists() and not folder.is_dir():
            raise OutputRefused(_say("in_the_way", path=folder))
        made = not folder.exists()
        folder.mkdir(parents=True, exist_ok=True)
        before = _contents(folder)
        if not replace:
            _check_free(folder, papers, before)
        aside = Path(tempfile.mkdtemp(prefix=".backseam-", dir=folder))
        try:
            for name, data in papers.items():
                _write(aside / name, data)
            listed = {name: sha256(data).hexdigest() for name, data in papers.items()}
            _write(aside / CONTENTS, json.dumps({"papers": listed}, indent=1).encode())
            left = _clear(folder, before, papers)
            for name in (*papers, CONTENTS):
                os.replace(aside / name, folder / name)
        except BaseException:
            shutil.rmtree(aside, ignore_errors=True)
            if made:
                with suppress(OSError):
                    folder.rmdir()
            raise
        aside.rmdir()
        return left


def clean_name(text: str, otherwise: str = "job") -> str:
    """A text as the name of a file or folder that every system takes.

    >>> clean_name("Puukko: birch/elm?")
    'Puukko- birch-elm'
    """
    kept = "".join(
        char if char.isalnum() or char in " -_.,()" else "-" for char in unicodedata.normalize("NFC", text)
    )
    short = re.sub(r"-{2,}", "-", kept).strip(" .-")[:LONGEST_NAME].strip(" .-")
    return otherwise if not short or _RESERVED.fullmatch(short) else short


def _put_in_free_place(beside: Path, path: Path) -> None:
    """Move without ever replacing, also if another program makes the file meanwhile."""
    try:
        os.link(beside, path)
    except FileExistsError:
        raise OutputRefused(_say("exists", path=path)) from None
    except OSError:  # a disk without links
        if path.exists():
            raise OutputRefused(_say("exists", path=path)) from None
        os.replace(beside, path)


def _write(path: Path, data: bytes) -> None:
    with path.open("wb") as file:
        file.write(data)
        file.flush()
        os.fsync(file.fileno())


def _beside(path: Path) -> Path:
    handle, name = tempfile.mkstemp(prefix=f".{path.name[:40]}.", suffix=".part", dir=path.parent)
    os.close(handle)
    os.chmod(name, 0o666 & ~_umask())
    return Path(name)


def _umask() -> int:
    mask = os.umask(0)
    os.umask(mask)
    return mask


def _contents(folder: Path) -> dict[str, str]:
    """What an earlier run wrote here, by name."""
    try:
        listed = json.loads((folder / CONTENTS).read_bytes())["papers"]
        return {
            name: mark for name, mark in listed.items() if isinstance(mark, str) and Path(name).name == name
        }
    except (OSError, ValueError, KeyError, TypeError, AttributeError):
        return {}


def _check_free(folder: Path, papers: Mapping[str, bytes], before: Mapping[str, str]) -> None:
    for name in papers:
        if name not in before and (folder / name).exists():
            raise OutputRefused(_say("not_ours", name=name, folder=folder))


def _clear(folder: Path, before: Mapping[str, str], papers: Mapping[str, bytes]) -> tuple[str, ...]:
    """Take away what an earlier run left and this one does not write; what was changed since is left."""
    left = []
    for name in before.keys() - papers.keys():
        stale = folder / name
        if not stale.is_file():
            continue
        if sha256(stale.read_bytes()).hexdigest() == before[name]:
            stale.unlink()
        else:
            left.append(name)
    return tuple(sorted(left))


@contextmanager
def _writing(path: Path) -> Iterator[None]:
    """Turn what the system says while writing into one sentence."""
    try:
        yield
    except OutputRefused:
        raise
    except (OSError, ValueError) as error:
        number = getattr(error, "errno", None)
        if number in (errno.ENOSPC, errno.EDQUOT, errno.EFBIG):
            key = "full"
        elif number in (errno.EACCES, errno.EPERM, errno.EROFS):
            key = "read_only"
        elif number in (errno.ENOTDIR, errno.EEXIST):
            key = "in_the_way"
        elif number == errno.ENAMETOOLONG:
            key = "long_name"
        else:
            key = "not_written"
        raise OutputRefused(_say(key, path=path, why=_why(error))) from None


def _missing(path: Path) -> str:
    try:
        names = [one.name for one in path.parent.iterdir()]
    except OSError:
        names = []
    near = get_close_matches(path.name, names, 1, 0.6)
    return _say("missing", path=path, near=near[0]) if near else _say("missing_alone", path=path)


def _why(error: Exception) -> str:
    said = (getattr(error, "strerror", None) or "the name is not possible here").lower()
    return said.removesuffix(" error")


def _say(key: str, /, **values: object) -> str:
    shown = {name: _shown(value) if isinstance(value, Path) else value for name, value in values.items()}
    return PLAIN.say(f"cli.files.{key}", **shown)


def _shown(path: Path) -> str:
    """A path as it may be printed: its end if it is long."""
    text = "".join(char if char.isprintable() else "?" for char in str(path))
    return f"…{text[-LONGEST_SHOWN:]}" if len(text) > LONGEST_SHOWN else text
