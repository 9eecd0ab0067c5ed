"""The notebooks of the project, served on this machine only."""

import os
import runpy
import socket
import sys
import threading
import time
from importlib.util import find_spec
from pathlib import Path

from buildecon.project.faults import NO_FILE, NO_FOLDER, Fault, ProjectFaults

HERE = Path(__file__).parent
NOTEBOOKS = next((place for place in (HERE.parent / "notebooks", HERE / "notebooks") if place.is_dir()), None)


def serve(folder, page="build_or_buy", port=0, browser=True):
    """Serve a notebook on one project folder until it is interrupted; faults in its files are told on the page and here.

    Parameters
    ----------
    folder : str
        Project folder. [-]
    page : str, optional
        Name of the notebook. [-]
    port : int, optional
        On 127.0.0.1; a free one by default. [-]
    browser : bool, optional
        Whether to open it. [-]

    Returns
    -------
    str
        Said at the end. [-]

    Raises
    ------
    ProjectFaults
        If it is no project folder, the notebook program is not installed or the port is taken.
    """
    if not os.path.isdir(folder):
        raise ProjectFaults([Fault(str(folder), 0, "", NO_FOLDER)])
    if missing := [name for name in ("build.toml", "lines.csv") if not os.path.lexists(os.path.join(folder, name))]:
        raise ProjectFaults([Fault(name, 0, "", NO_FILE) for name in missing])
    if find_spec("marimo") is None or NOTEBOOKS is None:
        raise ProjectFaults([Fault("buildecon open", 0, "", "must have the notebooks extra. Run: pip install '.[notebooks]' in the clone.")])
    port = _port(port)
    print(f"Serving {folder} at http://127.0.0.1:{port} on this machine only; Ctrl-C ends it.", flush=True)
    os.environ["MARIMO_SKIP_UPDATE_CHECK"] = "1"
    run = ["run", str(NOTEBOOKS / f"{page}.py"), "--no-sandbox", "--host", "127.0.0.1", "--port", str(port)]
    sys.argv = ["marimo", "-q", *run, *([] if browser else ["--headless"]), "--", "--project", str(Path(folder).resolve())]
    threading.Thread(target=_warm, args=(folder, port), daemon=True).start()
    try:
        runpy.run_module("marimo", run_name="__main__", alter_sys=True)
    except (KeyboardInterrupt, SystemExit):
        pass
    return "Closed."


def _warm(folder, port):
    """Import what the page needs once the server answers, while the browser is still fetching; pages run in this process."""
    while True:
        time.sleep(0.05)
        with socket.socket() as probe:
            if probe.connect_ex(("127.0.0.1", port)) == 0:
                break
    usual = sys.getswitchinterval()
    sys.setswitchinterval(0.0002)  # the browser's three hundred small requests shall not wait behind an import
    from buildecon.story import page, tables  # noqa: F401

    page.break_even_live()
    if page.opened(folder)[0] is None:
        print("There are faults in the files; the page tells them, and so does: buildecon check", file=sys.stderr)
    sys.setswitchinterval(usual)


def _port(asked):
    with socket.socket() as probe:
        probe.setsockopt(socket.SOL_SOCKET, socket.SO_REUSEADDR, 1)
        try:
            probe.bind(("127.0.0.1", asked))
        except (OSError, OverflowError):
            raise ProjectFaults([Fault("buildecon open", 0, "--port", f"must be a free port, got {asked}. Leave it out for any free one.")]) from None
        return probe.getsockname()[1]
