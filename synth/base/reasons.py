"""Why the system refused a file or a folder, as a sentence that can be translated."""

import errno

from synth.base.words import Say, Template, say

# By errno (POSIX.1-2017, <errno.h>), in the words of the C library.
REASONS = {
    errno.ENOENT: Template("reason.enoent", "no such file or directory"),
    errno.EACCES: Template("reason.eacces", "permission denied"),
    errno.EPERM: Template("reason.eperm", "operation not permitted"),
    errno.ENOSPC: Template("reason.enospc", "no space left on device"),
    errno.EDQUOT: Template("reason.edquot", "disk quota exceeded"),
    errno.EFBIG: Template("reason.efbig", "file too large"),
    errno.EROFS: Template("reason.erofs", "read-only file system"),
    errno.EISDIR: Template("reason.eisdir", "is a directory"),
    errno.ENOTDIR: Template("reason.enotdir", "not a directory"),
    errno.ENAMETOOLONG: Template("reason.enametoolong", "file name too long"),
    errno.ELOOP: Template("reason.eloop", "too many levels of symbolic links"),
    errno.EIO: Template("reason.eio", "input/output error"),
    errno.EBUSY: Template("reason.ebusy", "device or resource busy"),
    errno.EMFILE: Template("reason.emfile", "too many open files"),
}


def reason(error: BaseException) -> Say:
    """The reason of an ``OSError``; of any other error, and where the number is rare, its own text."""
    number = error.errno if isinstance(error, OSError) else None
    if number in REASONS:
        return REASONS[number]()
    return say((getattr(error, "strerror", None) or str(error)).rstrip(".").lower())
