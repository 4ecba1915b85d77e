"""The recipe of `examples/deploy` to mistreat: nginx before two instances, as they are committed."""

from __future__ import annotations

import os
import shlex
import signal
import ssl
import subprocess
import sys
import tempfile
from collections.abc import Sequence
from pathlib import Path
from typing import IO, Any, Final

from tests.faults.servers import Mistreated, read
from tests.patience import PATIENCE, answers, free_port, until

DEPLOY: Final = Path(__file__).parents[2] / "examples" / "deploy"


class Instance:
    """One instance of the recipe, run as its unit says it."""

    def __init__(self, port: int, log: IO[str]) -> None:
        self.port = port
        self._log = log
        self.process: subprocess.Popen[Any] | None = None

    def start(self) -> None:
        """Do what the unit's ExecStart says, where the command is installed here."""
        command = unit("ExecStart")[0].replace("%i", str(self.port))
        words = shlex.split(
            command.replace("/opt/latewood/bin/latewood", str(Path(sys.executable).with_name("latewood")))
        )
        self.process = subprocess.Popen(words, stdout=subprocess.DEVNULL, stderr=self._log)

    def wait(self) -> None:
        """Wait until it answers, as ExecStartPost does."""
        assert "/health/ready" in unit("ExecStartPost")[0]
        answers(self.port, lambda: self.process is not None and self.process.poll() is None, path="/health/ready")

    def stop(self, number: int = signal.SIGTERM) -> int:
        """Signal the server alone (KillMode=mixed) and return its exit code."""
        assert self.process is not None
        self.process.send_signal(number)
        return self.process.wait(PATIENCE)


class Recipe(Mistreated):
    """nginx as it is committed before two instances; its ports and certificate are put in by `fill-in`."""

    name = "recipe"
    #: Of which TLS takes the most.
    each = 48

    def __init__(self) -> None:
        self._folder = tempfile.TemporaryDirectory()
        folder = Path(self._folder.name)
        self.log = (folder / "log").open("w+")
        self.instances = [Instance(free_port(), self.log) for _ in range(2)]
        self.port, self.plain_port = free_port(), free_port()
        for instance in self.instances:
            instance.start()
        self.certificate, key = certified(folder)
        self.tls = ssl.create_default_context(cafile=str(self.certificate))
        configuration = folder / "nginx.conf"
        first, second = (f"127.0.0.1:{instance.port}" for instance in self.instances)
        given = {
            "CERTIFICATE": self.certificate,
            "KEY": key,
            "HTTP_PORT": self.plain_port,
            "HTTPS_PORT": self.port,
            "FIRST": first,
            "SECOND": second,
        }
        environment = os.environ | {f"LATEWOOD_{name}": str(value) for name, value in given.items()}
        filled = subprocess.run([DEPLOY / "fill-in"], env=environment, capture_output=True, text=True, check=True)
        configuration.write_text(filled.stdout)
        # What a distribution sets for its own service, and where messages go.
        run = [
            "nginx",
            "-p",
            folder,
            "-c",
            configuration,
            "-g",
            f"daemon off; pid {folder}/pid; error_log stderr warn;",
        ]
        self.process = subprocess.Popen(run, stdout=subprocess.DEVNULL, stderr=self.log)
        try:
            for instance in self.instances:
                instance.wait()
            until(self._serves, "nginx")
        except BaseException:
            print(self.said())
            self.close()
            raise

    def _serves(self) -> bool:
        if self.process.poll() is not None:
            raise RuntimeError("nginx ended before it answered")
        try:
            return self.ask() == 200
        except OSError:
            return False

    def roots(self) -> list[int]:
        """Return the ids of nginx and of both instances."""
        processes = [self.process, *(instance.process for instance in self.instances)]
        return [process.pid for process in processes if process is not None and process.poll() is None]

    def said(self) -> str:
        """Return what nginx and both instances wrote to stderr so far."""
        return read(self.log)

    def close(self) -> None:
        """End all of it, whatever state it is in."""
        self.process.terminate()
        for instance in self.instances:
            if instance.process is not None:
                instance.process.kill()
                instance.process.wait()
        self.process.wait()
        self.log.close()
        self._folder.cleanup()


def certified(folder: Path) -> tuple[Path, Path]:
    """Make a certificate for the name in `site.env`, trusted by nobody else; return its file and that of its key."""
    certificate, key = folder / "certificate.pem", folder / "key.pem"
    command = "openssl req -x509 -newkey ec -pkeyopt ec_paramgen_curve:prime256v1 -nodes -days 2 -subj /CN=deck.example"
    command += " -addext subjectAltName=DNS:deck.example,IP:127.0.0.1"
    subprocess.run([*command.split(), "-keyout", key, "-out", certificate], check=True, capture_output=True)
    return certificate, key


def unit(setting: str) -> Sequence[str]:
    """Return what the unit of an instance has for a setting."""
    lines = (DEPLOY / "latewood@.service").read_text().splitlines()
    return [line.partition("=")[2] for line in lines if line.startswith(f"{setting}=")]
