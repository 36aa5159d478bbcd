"""Stopping a process at its n-th system call, and killing it there. Linux; no thread but the first is looked at.

The process asks to be watched (`ask_to_be_watched`) at the moment from which its system calls count. It is killed on
its way into a call, so the call does not happen: everything between two calls is in the process's own memory and is
lost with it, so these are all the states that a kill can leave behind.
"""

import ctypes
import os
import signal

TRACE_ME, GO_TO_NEXT_CALL, SET_OPTIONS = 0, 24, 0x4200
TELL_CALLS_FROM_SIGNALS, KILL_WITH_ME = 1, 1 << 20
CALL_STOP = signal.SIGTRAP | 0x80


class CannotWatch(Exception):
    """This system does not let one process watch another."""


def _ptrace(request: int, process: int, data: int) -> int:
    library = ctypes.CDLL(None, use_errno=True)
    library.ptrace.restype = ctypes.c_long
    library.ptrace.argtypes = [ctypes.c_long, ctypes.c_long, ctypes.c_void_p, ctypes.c_void_p]
    return int(library.ptrace(request, process, None, data))


def ask_to_be_watched() -> None:
    """In the process itself: stop here until `killed_at` takes over."""
    _ptrace(TRACE_ME, 0, 0)
    os.kill(os.getpid(), signal.SIGSTOP)


def killed_at(process: int, number: int | None) -> int | None:
    """Let a child that asked to be watched run up to its system call `number`, counted from 1, and kill it there.

    Returns its exit code if it ended by itself before that (with None: always). Raises CannotWatch.
    """
    os.waitpid(process, os.WUNTRACED)
    if _ptrace(SET_OPTIONS, process, TELL_CALLS_FROM_SIGNALS | KILL_WITH_ME) < 0:
        os.kill(process, signal.SIGKILL)
        os.waitpid(process, 0)
        raise CannotWatch
    calls, inside, to_deliver = 0, False, 0
    while True:
        _ptrace(GO_TO_NEXT_CALL, process, to_deliver)
        status = os.waitpid(process, 0)[1]
        if not os.WIFSTOPPED(status):
            return os.waitstatus_to_exitcode(status)
        stopped_by = os.WSTOPSIG(status)
        to_deliver = 0 if stopped_by in (CALL_STOP, signal.SIGTRAP) else stopped_by
        if stopped_by != CALL_STOP:
            continue
        inside = not inside
        calls += inside
        if inside and calls == number:
            os.kill(process, signal.SIGKILL)
            os.waitpid(process, 0)
            return None
