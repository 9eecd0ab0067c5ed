"""The notebooks of the project, served on this machine only."""

import asyncio
import os
import re
import socket
import sys
import threading
import webbrowser
from importlib.util import find_spec
from pathlib import Path

from buildecon.project.faults import NO_FILE, NO_FOLDER, Fault, ProjectFaults

HERE = Path(__file__).parent
NOTEBOOKS = next((place for place in (HERE.parent / "notebooks", HERE / "notebooks") if place.is_dir()), None)
KINDS = {".js": b"text/javascript", ".css": b"text/css", ".woff2": b"font/woff2", ".wasm": b"application/wasm", ".svg": b"image/svg+xml"}


def serve(folder, page="build_or_buy", port=0, browser=True):
    """Serve the notebooks on one project folder until interrupted; faults in its files are told on the page and here.

    Parameters
    ----------
    folder : str
        Project folder. [-]
    page : str, optional
        Name of the notebook at the address; each is also at /page/ and its name. [-]
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
    if NOTEBOOKS is None or any(find_spec(name) is None for name in ("marimo", "uvicorn", "zmq")):
        raise ProjectFaults([Fault("buildecon open", 0, "", "must have the notebooks extra. Run: pip install '.[notebooks]' in the clone.")])
    door = _door(port)
    address = f"http://127.0.0.1:{door.getsockname()[1]}"
    print(f"Serving {folder} at {address} on this machine only; Ctrl-C ends it.", flush=True)
    os.environ["BUILDECON_PROJECT"] = str(Path(folder).resolve())
    if browser:
        threading.Thread(target=webbrowser.open, args=(address,), daemon=True).start()
    import uvicorn

    server = uvicorn.Server(uvicorn.Config(_Front(address, page, folder), log_level="error", timeout_graceful_shutdown=1))
    try:
        server.run(sockets=[door])
    except KeyboardInterrupt:
        pass
    print("Closed.", flush=True)
    os._exit(0)  # a page that is still computing shall not hold the end up; nothing is half written, files are renamed into place


def _door(asked):
    """A listening socket at once, so that a browser may come before the rest is loaded."""
    try:
        return socket.create_server(("127.0.0.1", asked))
    except (OSError, OverflowError):
        raise ProjectFaults([Fault("buildecon open", 0, "--port", f"must be a free port, got {asked}. Leave it out for any free one.")]) from None


class _Front:
    """Answers before the notebook program is loaded: its page's scripts go out first, the page itself follows once it can be made."""

    def __init__(self, address, page, folder):
        self.folder, self.page = folder, page
        self.hosts = {address.removeprefix("http://").encode(), address.removeprefix("http://").replace("127.0.0.1", "localhost").encode()}
        static = Path(find_spec("marimo").origin).parent / "_static"
        self.assets = {path.name: path for path in (static / "assets").iterdir()}
        index = (static / "index.html").read_text(encoding="utf-8")
        wanted = re.findall(r'"\./assets/([^"]+\.js)"', index) + [name for name in self.assets if re.match(r"(run-page|vega-component|react-vega)-.*\.js$", name)]
        self.first = "<!doctype html><html><head>" + "".join(f'<link rel="modulepreload" crossorigin href="./assets/{name}">' for name in wanted)
        self.ready, self.notebooks = threading.Event(), None

    async def __call__(self, scope, receive, send):
        if scope["type"] == "lifespan":
            threading.Thread(target=self._loaded, daemon=True).start()
            while (message := await receive())["type"] != "lifespan.shutdown":
                await send({"type": message["type"] + ".complete"})
            return await send({"type": "lifespan.shutdown.complete"})
        headers = dict(scope["headers"])
        callers = {headers.get(b"host", b""), *([headers[b"origin"].removeprefix(b"http://")] if b"origin" in headers else [])}
        if not callers <= self.hosts:
            return await self._refuse(scope, send)
        *_, kind, name = ["", *scope["path"].split("/")]
        if kind == "assets" and name in self.assets:
            return await self._asset(self.assets[name], send)
        if scope["type"] == "http" and scope["method"] == "GET" and scope["path"] == "/":
            await send({"type": "http.response.start", "status": 200, "headers": [(b"content-type", b"text/html; charset=utf-8"), (b"cache-control", b"no-store")]})
            await send({"type": "http.response.body", "body": self.first.encode(), "more_body": True})
            plain, send = send, None

            async def send(message):
                if message["type"] != "http.response.start":
                    await plain(message)

        while not self.ready.is_set():
            await asyncio.sleep(0.01)
        await self.notebooks(scope, receive, send)

    async def _asset(self, path, send):
        headers = [(b"content-type", KINDS.get(path.suffix, b"application/octet-stream")), (b"cache-control", b"max-age=3600")]
        await send({"type": "http.response.start", "status": 200, "headers": headers})
        await send({"type": "http.response.body", "body": path.read_bytes()})

    async def _refuse(self, scope, send):
        """Another site in the same browser has no business here."""
        if scope["type"] == "websocket":
            return await send({"type": "websocket.close", "code": 1008})
        await send({"type": "http.response.start", "status": 403, "headers": [(b"content-type", b"text/plain")]})
        await send({"type": "http.response.body", "body": b"This page is for this machine only."})

    def _loaded(self):
        try:
            self._load()
        except Exception as trouble:  # else the page would wait for ever
            print(f"buildecon: the notebooks must start, and did not: {trouble}", file=sys.stderr, flush=True)
            os._exit(2)

    def _load(self):
        """The notebook program, then what a page needs besides, while the browser is still busy with the scripts."""
        os.environ["MARIMO_SKIP_UPDATE_CHECK"] = "1"
        import marimo

        builder = marimo.create_asgi_app(quiet=True).with_app(path="/", root=str(NOTEBOOKS / f"{self.page}.py"))
        self.notebooks = builder.with_dynamic_directory(path="/page", directory=str(NOTEBOOKS)).build()
        self.ready.set()
        usual = sys.getswitchinterval()
        sys.setswitchinterval(0.0002)  # the browser's three hundred small requests shall not wait behind an import
        from buildecon.story import page, tables  # noqa: F401

        if self.page == "what_is_it_worth":
            from buildecon.market import worth  # noqa: F401
        if page.opened(self.folder)[0] is None:
            print("There are faults in the files; the page tells them, and so does: buildecon check", file=sys.stderr)
        sys.setswitchinterval(usual)
