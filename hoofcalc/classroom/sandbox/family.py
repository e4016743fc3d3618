"""What a process uses together with all that it has started: memory, and time of the processor."""

from __future__ import annotations

from collections.abc import Callable, Iterable

import psutil


def uses_more_than(memory_mb: float, process: int) -> bool:
    """Whether a process and all below it use more memory; pages they share count once."""
    family = _family(process)
    most = memory_mb * 1024 * 1024
    return _sum(family, _resident) > most and _sum(family, _share) > most


def processor_s(process: int) -> float:
    """Time of the processor that a process and all below it have used [s]."""
    return _sum(_family(process), lambda one: sum(one.cpu_times()[:2]))


def _family(process: int) -> list[psutil.Process]:
    """The process and all below it; none where it has ended."""
    try:
        first = psutil.Process(process)
        return [first, *first.children(recursive=True)]
    except psutil.Error:
        return []


def _sum(family: Iterable[psutil.Process], amount: Callable[[psutil.Process], float]) -> float:
    total = 0.0
    for process in family:
        try:
            total += amount(process)
        except psutil.Error:
            continue  # it has ended in between
    return total


def _resident(process: psutil.Process) -> float:
    return float(process.memory_info().rss)


def _share(process: psutil.Process) -> float:
    """Memory that is its own, and its share of what it shares, where the system tells."""
    try:
        told = process.memory_full_info()
    except psutil.AccessDenied:
        return _resident(process)
    return float(getattr(told, "pss", 0) or told.uss)
