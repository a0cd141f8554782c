"""A PostgreSQL server on loopback, made for the tests and thrown away after them."""

from __future__ import annotations

import os
import pwd
import shutil
import socket
import subprocess
import tempfile
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from uuid import uuid4

import psycopg

MISSING = "no PostgreSQL server to be had: ./check installs Debian's package postgresql where it may"


def server_folder() -> Path | None:
    """Folder of initdb and postgres, None where they are not installed."""
    found = shutil.which("initdb")
    if found:
        return Path(found).parent
    installed = sorted(Path("/usr/lib/postgresql").glob("*/bin/initdb"))
    return installed[-1].parent if installed else None


class Server:
    """A running server."""

    def __init__(self, port: int) -> None:
        self.port = port

    def url(self, database: str) -> str:
        return f"postgresql://keeper@127.0.0.1:{self.port}/{database}"

    def make_database(self, template: str = "template0") -> str:
        """URL of a new database."""
        name = f"shelf_{uuid4().hex}"
        with psycopg.connect(self.url("postgres"), autocommit=True) as connection:
            connection.execute(f"CREATE DATABASE {name} TEMPLATE {template}".encode())
        return self.url(name)


def _user() -> str | None:
    """The server refuses to run as the administrator; Debian makes a user for it."""
    if os.geteuid() != 0:
        return None
    try:
        return pwd.getpwnam("postgres").pw_name
    except KeyError:
        return "nobody"


def _free_port() -> int:
    with socket.socket() as probe:
        probe.bind(("127.0.0.1", 0))
        port: int = probe.getsockname()[1]
        return port


@contextmanager
def running_server() -> Iterator[Server]:
    """Start a server in a folder of its own and stop it at the end."""
    binaries = server_folder()
    assert binaries is not None
    user, port = _user(), _free_port()
    with tempfile.TemporaryDirectory() as name:
        if user is not None:
            shutil.chown(name, user)

        def run(program: str, *words: str) -> None:
            answer = subprocess.run(
                [binaries / program, *words], user=user, group=user and pwd.getpwnam(user).pw_gid, cwd=name,
                stdout=subprocess.DEVNULL, stderr=subprocess.PIPE, text=True, timeout=120,
                env={"PATH": os.environ["PATH"], "LC_ALL": "C.UTF-8"},
            )  # fmt: skip
            assert answer.returncode == 0, answer.stderr

        data = f"{name}/data"
        run("initdb", "-D", data, "-U", "keeper", "-A", "trust", "-E", "UTF8", "--no-sync")
        options = f"-p {port} -c listen_addresses=127.0.0.1 -c unix_socket_directories={name} -c fsync=off"
        run("pg_ctl", "-D", data, "-w", "-l", f"{name}/log", "-o", options, "start")
        try:
            yield Server(port)
        finally:
            run("pg_ctl", "-D", data, "-m", "immediate", "-w", "stop")
