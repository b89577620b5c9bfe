"""The command line: one command a file, loaded when it is called. Help and version load nothing at all.

Every error ends as one sentence and an exit code: 0 fine, 1 something to mend before cutting, 2 something that
could not be read or written, 3 a fault of Backseam's own, 130 stopped by the person.
"""

from __future__ import annotations

import errno
import os
import sys
import traceback
from importlib.metadata import version
from typing import TYPE_CHECKING, Any

from backseam.ground.errors import BackseamError, Stopped
from backseam.ground.speech import PLAIN

if TYPE_CHECKING:
    from cyclopts import App, CycloptsError

COMMANDS = (
    "app",
    "new",
    "work",
    "check",
    "why",
    "fit",
    "dry",
    "hang",
    "diagnose",
    "rescue",
    "match",
    "learn",
    "schema",
)
NO_ROOM = (errno.ENOSPC, errno.EDQUOT, errno.EIO, errno.EFBIG)
FINE, MEND, REFUSED, FAULT, INTERRUPTED = 0, 1, 2, 3, 130


def main(arguments: list[str] | None = None) -> None:
    """Run the command line and leave with its exit code."""
    code = run(sys.argv[1:] if arguments is None else arguments)
    sys.exit(_flushed(code))


def run(arguments: list[str]) -> int:
    """Run one command; its exit code."""
    if not arguments or arguments[0] in ("--help", "-h", "help"):
        print(PLAIN.say("cli.help.top", version=version("backseam")).strip())
        return FINE
    if arguments[0] == "--version":
        print(version("backseam"))
        return FINE
    try:
        return _called(arguments)
    except Stopped:
        return _told("cli.problem.stopped", INTERRUPTED)
    except BackseamError as refused:
        from backseam.cli.screen import show_refusal

        show_refusal(refused, as_json="--json" in arguments)
        return REFUSED
    except KeyboardInterrupt:
        return _told("cli.problem.stopped", INTERRUPTED)
    except BrokenPipeError:
        return _quiet()
    except MemoryError:
        return _told("cli.problem.memory", REFUSED)
    except Exception as fault:
        if isinstance(fault, OSError) and fault.errno in NO_ROOM:
            return _unprinted(fault)
        if os.environ.get("BACKSEAM_TRACE"):
            traceback.print_exc()
        return _told("cli.problem.fault", FAULT, kind=type(fault).__name__)


def app() -> App:
    """The commands, none loaded yet."""
    from cyclopts import App

    made = App(
        name="backseam",
        version=version("backseam"),
        help_format="plaintext",
        suppress_keyboard_interrupt=False,
    )
    for name in COMMANDS:
        made.command(f"backseam.cli.cmd_{name}:{name}", name=name, help=PLAIN.say(f"cli.help.{name}").strip())
    return made


def _called(arguments: list[str]) -> int:
    from cyclopts import CycloptsError

    try:
        code = app()(
            arguments,
            exit_on_error=False,
            print_error=False,
            result_action="return_value",
        )
    except CycloptsError as usage:
        print(_usage(usage, arguments[0]), file=sys.stderr)
        return REFUSED
    return int(code or FINE)


def _usage(usage: CycloptsError, command: str) -> str:
    """What was called wrongly, as one sentence and where to look."""
    from cyclopts import exceptions

    def say(key: str, **values: Any) -> str:
        return PLAIN.say(f"cli.usage.{key}", **values)

    name = getattr(getattr(usage, "argument", None), "name", "") or ""
    match usage:
        case exceptions.UnknownCommandError():
            return say("command", name=command, commands=", ".join(COMMANDS))
        case exceptions.UnknownOptionError(token=token):
            said = say("option", name=token.keyword or token.value)
        case exceptions.CoercionError(token=token) if token is not None:
            said = say("value", value=token.value, name=token.keyword or name)
        case exceptions.MissingArgumentError():
            said = say("missing", name=name)
        case _:
            said = say("other", said=str(usage).splitlines()[0])
    return f"{said} {say('see', command=command)}" if command in COMMANDS else said


def _told(key: str, code: int, **values: Any) -> int:
    print(PLAIN.say(key, **values), file=sys.stderr)
    return code


def _unprinted(full: OSError) -> int:
    """The output itself has no room."""
    _quiet()
    return _told("cli.problem.output", REFUSED, why=(full.strerror or "no room").lower())


def _quiet() -> int:
    """Whoever read the output has gone: end without a word."""
    os.dup2(os.open(os.devnull, os.O_WRONLY), sys.stdout.fileno())
    return FINE


def _flushed(code: int) -> int:
    """The exit code, once all that was printed has gone out."""
    try:
        sys.stdout.flush()
    except BrokenPipeError:
        return _quiet()
    except OSError as full:
        return _unprinted(full)
    return code


if __name__ == "__main__":
    main()
