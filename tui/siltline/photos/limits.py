"""Holds a process to an amount of memory, for a picture can unpack to more than there is."""

from __future__ import annotations

import sys
from contextlib import suppress
from importlib import import_module

# A phone's 200 million pixels as HEIC need 1.2 GB to be decoded; a laptop of 4 GB must live on.
MOST_BYTES = 2_000_000_000


def hold_memory(limit: int = MOST_BYTES) -> None:
    """Let this process have no more memory than that; where the system cannot, do nothing."""
    if sys.platform == "win32":
        with suppress(OSError, AttributeError):
            _hold_on_windows(limit)
        return
    resource = import_module("resource")  # Windows has none
    with suppress(OSError, ValueError):
        resource.setrlimit(resource.RLIMIT_AS, (limit, limit))


def job_limit(limit: int) -> bytes:
    """Return a JOBOBJECT_EXTENDED_LIMIT_INFORMATION that holds each process to so many bytes.

    Source: winnt.h, as mingw-w64 10 has it; widths are written out, since a `long` is not the
    same everywhere.
    """
    import ctypes  # noqa: PLC0415 - only here, and 5 ms

    size, word, large = ctypes.c_size_t, ctypes.c_uint32, ctypes.c_int64

    class Basic(ctypes.Structure):
        _fields_ = (
            ("process_time", large), ("job_time", large), ("flags", word), ("least", size),
            ("most", size), ("processes", word), ("affinity", size), ("priority", word),
            ("scheduling", word),
        )  # fmt: skip

    class Extended(ctypes.Structure):
        _fields_ = (
            ("basic", Basic), ("io", ctypes.c_uint64 * 6), ("process_memory", size),
            ("job_memory", size), ("process_peak", size), ("job_peak", size),
        )  # fmt: skip

    process_memory = 0x100
    return bytes(Extended(basic=Basic(flags=process_memory), process_memory=limit))


def _hold_on_windows(limit: int) -> None:
    """Put this process into a job object with a limit; it lives as long as the process does."""
    import ctypes  # noqa: PLC0415 - only here
    from ctypes import wintypes  # noqa: PLC0415

    kernel = getattr(ctypes, "WinDLL")("kernel32")  # noqa: B009 - other systems lack it
    for name in ("CreateJobObjectW", "GetCurrentProcess"):
        getattr(kernel, name).restype = wintypes.HANDLE
    kernel.SetInformationJobObject.argtypes = (
        wintypes.HANDLE, ctypes.c_int, ctypes.c_void_p, wintypes.DWORD,
    )  # fmt: skip
    kernel.AssignProcessToJobObject.argtypes = (wintypes.HANDLE, wintypes.HANDLE)
    extended_information, wanted = 9, job_limit(limit)
    job = kernel.CreateJobObjectW(None, None)
    if kernel.SetInformationJobObject(job, extended_information, wanted, len(wanted)):
        kernel.AssignProcessToJobObject(job, kernel.GetCurrentProcess())
