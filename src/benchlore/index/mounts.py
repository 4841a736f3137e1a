"""On what kind of file system a folder lies, as far as the system tells."""

from __future__ import annotations

import os
import re
from pathlib import Path

MOUNTS = Path("/proc/self/mounts")

NETWORK = frozenset(
    {"9p", "afs", "beegfs", "ceph", "cifs", "coda", "davfs", "glusterfs", "gfs2", "gpfs",
     "lustre", "ncpfs", "nfs", "nfs4", "ocfs2", "orangefs", "prl_fs", "smb2", "smb3", "smbfs",
     "vboxsf", "virtiofs", "vmhgfs",
     "fuse.curlftpfs", "fuse.davfs2", "fuse.glusterfs", "fuse.gvfsd-fuse", "fuse.rclone",
     "fuse.s3fs", "fuse.smbnetfs", "fuse.sshfs", "fuse.vmhgfs-fuse"}
)  # fmt: skip
"""Types, as Linux names them, whose files other computers or the host may change. The system tells
nothing of such changes, and locks may not hold there. From memory of the kernel's documentation."""

_ESCAPED = re.compile(r"\\([0-7]{3})")


def is_on_network(folder: Path, table: str | None = None) -> bool:
    """Whether `folder` lies on a network share or one of the host's folders.

    `table` is a table of mounts as in `/proc/self/mounts`; None reads this system's. Where nothing
    can be told the answer is no.
    """
    real = os.path.realpath(folder)
    if real.startswith("\\\\"):  # \\server\share on Windows
        return True
    if table is None:
        try:
            table = MOUNTS.read_text(encoding="utf-8", errors="surrogateescape")
        except OSError:
            return False
    return _type_at(real, table) in NETWORK


def _type_at(path: str, table: str) -> str:
    """The type of the file system that `path` lies on; empty where the table does not tell."""
    found, longest = "", -1
    for line in table.splitlines():
        fields = line.split(" ")
        if len(fields) < 3:
            continue
        place = _ESCAPED.sub(lambda match: chr(int(match[1], 8)), fields[1])
        inside = path == place or path.startswith(place.rstrip("/") + "/")
        # A later mount on the same place lies over the earlier one.
        if inside and len(place) >= longest:
            found, longest = fields[2], len(place)
    return found
