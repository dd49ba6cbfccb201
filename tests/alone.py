"""Cuts the tests off from every network but a loopback of their own.

A run that passes so has proved that nothing in it needs the internet: neither the studio, nor
its pages in Chromium, nor a test.
"""

import ctypes
import os
import socket
import struct
import sys

if sys.platform == "linux":
    import fcntl

CLONE_NEWNET = 0x40000000  # Linux, include/uapi/linux/sched.h
SIOCGIFFLAGS, SIOCSIFFLAGS = 0x8913, 0x8914  # include/uapi/linux/sockios.h
IFF_UP = 0x1  # include/uapi/linux/if.h
_IFREQ = "16sh22x"  # struct ifreq: a name, and the flags at the begin of a union


def is_asked_for() -> bool:
    """Whether the run is to be cut off: in CI. A person's editor may talk to the tests."""
    return bool(os.environ.get("CI"))


def why_not() -> str:
    """Return why this process cannot be cut off, nothing if it can."""
    if sys.platform != "linux":
        return "only Linux can cut a process off from the network"
    if os.geteuid() != 0:
        return "only root may cut a process off from the network"
    return ""


def cut_off() -> None:
    """Leave every network but a new loopback; children and later threads are cut off as well.

    Raises
    ------
    OSError
        If the system does not allow it.
    """
    libc = ctypes.CDLL(None, use_errno=True)
    if libc.unshare(CLONE_NEWNET) != 0:
        number = ctypes.get_errno()
        raise OSError(number, f"cut off from the network: {os.strerror(number)}")
    with socket.socket(socket.AF_INET, socket.SOCK_DGRAM) as asking:
        told = fcntl.ioctl(asking, SIOCGIFFLAGS, struct.pack(_IFREQ, b"lo", 0))
        flags = struct.unpack(_IFREQ, told)[1]
        fcntl.ioctl(asking, SIOCSIFFLAGS, struct.pack(_IFREQ, b"lo", flags | IFF_UP))
