"""Leave the network: what runs in a browser is run where only this computer can be reached.

On Linux, where the tests may (as root, so in CI), the test process goes into a network
namespace of its own before the browser is started. The browser and the studios that are
served come after it, so a page that asked the internet for anything would fail.
"""

import ctypes
import os
import socket
import struct
import sys

_NEW_NETWORK = 0x40000000  # CLONE_NEWNET, sched.h
_SET_FLAGS = 0x8914  # SIOCSIFFLAGS, netdevice(7)
_UP = 0x1  # IFF_UP

NOT_TRIED = "no browser was started"
why_not = NOT_TRIED
"""Why the network was not left; empty once it was."""


def leave_the_network() -> None:
    """Leave it, once, or note why that cannot be done here."""
    global why_not
    if why_not == NOT_TRIED:
        why_not = _leave()


def _leave() -> str:
    if not sys.platform.startswith("linux"):
        return "only Linux has network namespaces"
    if os.geteuid() != 0:
        return "only root may make a network namespace"
    libc = ctypes.CDLL(None, use_errno=True)
    if libc.unshare(_NEW_NETWORK) != 0:
        return f"a network namespace was refused: {os.strerror(ctypes.get_errno())}"
    import fcntl

    with socket.socket(socket.AF_INET, socket.SOCK_DGRAM) as asked:
        fcntl.ioctl(asked, _SET_FLAGS, struct.pack("16sh14x", b"lo", _UP))
    return ""
