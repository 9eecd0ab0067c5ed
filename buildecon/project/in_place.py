"""Files put in place in one step, several together or none: a save that dies in the middle is finished by whoever comes next."""

import datetime as dt
import json
import os
import shutil
import tempfile
from contextlib import contextmanager, suppress
from pathlib import Path

from buildecon.project.faults import Fault, ProjectFaults

PROMISE = ".saving.json"  # while it is there, every file it names is written whole beside its place


@contextmanager
def alone(folder):
    """One saver at a time in a folder; the lock goes with its process, however that ends. Where the system has no such lock, none is taken.

    Parameters
    ----------
    folder : Path
        Project folder. [-]

    Returns
    -------
    context manager
        The folder is the caller's own inside it. [-]
    """
    handle = None
    try:
        import fcntl

        handle = os.open(folder, os.O_RDONLY)
        fcntl.flock(handle, fcntl.LOCK_EX)
    except (ImportError, OSError):
        pass
    try:
        yield
    finally:
        if handle is not None:
            os.close(handle)


def finish_save(folder):
    """Put in place what a save left beside that was cut off after all was written.

    Parameters
    ----------
    folder : Path
        Project folder; nothing is done where no save was cut off. [-]

    Raises
    ------
    ProjectFaults
        If it cannot be finished; the files are then as they were.
    """
    if os.path.lexists(folder / PROMISE):
        with alone(folder):  # a saver that is only slow finishes first
            finish_alone(folder)


def finish_alone(folder, cut_off=True):
    """The same for who has the folder alone already.

    Parameters
    ----------
    folder : Path
        Project folder. [-]
    cut_off : bool, optional
        Whether an earlier save is finished, after which somebody may have changed a file: what is replaced is then kept in `before/`. [-]

    Raises
    ------
    ProjectFaults
        If it cannot be finished.
    """
    try:
        names = json.loads((folder / PROMISE).read_text(encoding="utf-8"))
        if not all(isinstance(beside, str) and Path(beside).name == beside and beside.startswith(f".{name}.") for name, beside in names.items()):
            raise ValueError
        waiting = [name for name, beside in names.items() if (folder / beside).is_file()]
        if cut_off:
            keep([folder / name for name in waiting if (folder / name).is_file()])
        for name, beside in names.items():
            if name in waiting:
                os.replace(folder / beside, folder / name)
        (folder / PROMISE).unlink()
    except FileNotFoundError:
        return
    except (OSError, ValueError, AttributeError) as trouble:
        told = getattr(trouble, "strerror", None) or "no list of files"
        message = f"must let a save be finished that was cut off, got {told!r}. Make the folder writable, or remove this file if the others are as you want them."
        raise ProjectFaults([Fault(PROMISE, 0, "", message)]) from None


def clear_strays(folder, names):
    """Take away what a save that died left beside its places; only for who has the folder alone.

    Parameters
    ----------
    folder : Path
        Project folder. [-]
    names : sequence of str
        Of the files that are saved in it. [-]

    Returns
    -------
    None
        What cannot be taken away stays; it is in nobody's way. [-]
    """
    for name in (*names, PROMISE):
        for stray in folder.glob(f".{name}.????????"):
            with suppress(OSError):
                stray.unlink()


def keep(paths):
    """A copy of each file that is about to be replaced, in `before/`, named by the moment.

    Parameters
    ----------
    paths : sequence of Path
        Files that are there. [-]

    Raises
    ------
    ProjectFaults
        If one cannot be copied.
    """
    moment = dt.datetime.now().strftime("%Y-%m-%dT%H%M%S.%f")
    for path in paths:
        try:
            (path.parent / "before").mkdir(exist_ok=True)
            shutil.copy2(path, path.parent / "before" / f"{path.stem}.{moment}{path.suffix}")
        except OSError as trouble:
            raise ProjectFaults([Fault(path.name, 0, "", f"must be writable, got {trouble.strerror!r}. The old file is untouched.")]) from None


def put(contents):
    """Files in place by their bytes: all are written beside first, so that a full disk changes none.

    Parameters
    ----------
    contents : dict of Path to bytes
        All of each file; all in one folder. [-]

    Raises
    ------
    ProjectFaults
        If one is a symbolic link or cannot be written; the old files are then untouched, or the next reader finishes the save.
    """
    beside, promise = {}, None
    try:
        for path, raw in contents.items():
            if path.is_symlink():
                raise ProjectFaults([Fault(path.name, 0, "", "must be a plain file, got a symbolic link. The old file is untouched.")])
            beside[path] = _beside(path, raw)
            os.chmod(beside[path], path.stat().st_mode & 0o777 if path.exists() else 0o644)
        if len(contents) > 1:
            promise = path.parent / PROMISE
            listed = _beside(promise, json.dumps({path.name: Path(name).name for path, name in beside.items()}).encode())
            beside[promise] = listed
            os.replace(listed, promise)
            del beside[promise]
            finish_alone(path.parent, cut_off=False)
            beside.clear()
        for path in list(beside):
            os.replace(beside[path], path)
            del beside[path]
    except OSError as trouble:
        raise ProjectFaults([Fault(path.name, 0, "", f"must be writable, got {trouble.strerror!r}. The old file is untouched.")]) from None
    finally:
        if promise is None or not os.path.lexists(promise):
            for left in beside.values():
                if os.path.lexists(left):
                    os.unlink(left)


def _beside(path, raw):
    """A file written whole beside its place; its name. One that could not be is taken away."""
    handle, name = tempfile.mkstemp(dir=path.parent, prefix=f".{path.name}.")
    try:
        with os.fdopen(handle, "wb") as file:
            file.write(raw)
            file.flush()
            os.fsync(file.fileno())
    except BaseException:
        os.unlink(name)
        raise
    return name
