"""What the images of the recipe run, run as they do: another user, no capabilities, nothing to write to but ``/tmp``.

No image is built: that needs others' images. What is copied into one is built and started here, on a root file system
that is read-only in a mount namespace of its own.
"""

from __future__ import annotations

import json
import os
import re
import shlex
import shutil
import signal
import socket
import ssl
import subprocess
import sys
import sysconfig
import zipfile
from pathlib import Path
from typing import Any

import pytest
import yaml
from tests.faults.proxied import DEPLOY, certified
from tests.patience import PATIENCE, answers, free_port, running, until

pytestmark = [pytest.mark.faults, pytest.mark.recipe]

ROOT = DEPLOY.parents[1]
TEXT = (DEPLOY / "Containerfile").read_text().replace("\\\n", "")
#: Stage → its instructions, each with what follows it.
STAGES = {
    block.partition("\n")[0].rpartition(" AS ")[2]: re.findall(r"^([A-Z]+) (.*)$", block, re.MULTILINE)
    for block in re.split(r"^(?=FROM )", TEXT, flags=re.MULTILINE)[1:]
}
COMPOSE: dict[str, Any] = yaml.safe_load((DEPLOY / "compose.yaml").read_text())


def confined(user: int, binds: dict[str, Path], tmpfs: str, command: str) -> list[str]:
    """Return what runs a command as a container does; of the binds each is seen at another place."""
    steps = ["mount --make-rprivate /", "mount -t tmpfs tmpfs /mnt"]
    steps += [f"mkdir -p {place} && mount --bind {path} {place}" for place, path in binds.items()]
    steps += ["mount -o remount,bind,ro /", "mount -t tmpfs -o mode=1777 tmpfs /tmp"]
    steps += [f"mount -t tmpfs -o uid={user},gid={user} tmpfs {tmpfs}"] if tmpfs else []
    drop = f"setpriv --reuid {user} --regid {user} --clear-groups --no-new-privs --bounding-set=-all"
    script = " && ".join([*steps, "cd /tmp", "! touch /seen 2>/dev/null", f"exec {drop} {command}"])
    return ["unshare", "--mount", "sh", "-c", script]


def instruction(stage: str, name: str) -> str:
    [found] = [rest for word, rest in STAGES[stage] if word == name]
    return found


def user(stage: str) -> int:
    found = re.fullmatch(r"(\d+):\1", instruction(stage, "USER"))
    assert found
    assert int(found[1]) > 0
    return int(found[1])


@pytest.fixture(scope="module")
def copied(tmp_path_factory: pytest.TempPathFactory) -> Path:
    """Install what the first stage copies, and nothing else of this folder."""
    source, site = tmp_path_factory.mktemp("source"), tmp_path_factory.mktemp("site")
    for word, rest in STAGES["build"]:
        if word == "COPY":
            *names, target = rest.split()
            for name in names:
                goal = source / target / name if target.endswith("/") else source / target
                goal.parent.mkdir(parents=True, exist_ok=True)
                (shutil.copytree if (ROOT / name).is_dir() else shutil.copy)(ROOT / name, goal)
    assert "--constraint .ci/constraints.txt '.[api]'" in instruction("build", "RUN")
    assert (source / ".ci/constraints.txt").exists()
    wheel = [sys.executable, "-m", "pip", "wheel", "--quiet", "--no-deps", "--no-build-isolation", "-w", site, source]
    subprocess.run(wheel, check=True)
    with zipfile.ZipFile(next(site.glob("*.whl"))) as packed:
        packed.extractall(site)
    # The folders of a test are its user's alone.
    for folder in (*site.parents, site):
        if os.access(folder, os.W_OK) and folder.stat().st_uid == os.getuid() and folder != Path("/"):
            folder.chmod(folder.stat().st_mode | 0o055)
    return site


def test_an_instance_runs_in_its_image(copied: Path) -> None:
    port = free_port()
    words = json.loads(instruction("latewood", "ENTRYPOINT")) + json.loads(instruction("latewood", "CMD"))
    assert words[:2] == ["/opt/latewood/bin/latewood", "serve"]
    given = shlex.join(words[1:]).replace("--port 8000", f"--port {port}")
    # The command is installed in the image; here it is called where Python and packages can be read by anybody.
    python = f"/mnt/base/bin/python{sys.version_info[0]}.{sys.version_info[1]} -c"
    run = shlex.quote("import sys; from latewood.cli import main; sys.exit(main())")
    variables = "PYTHONPATH=/mnt/site:/mnt/packages LD_LIBRARY_PATH=/mnt/base/lib PYTHONDONTWRITEBYTECODE=1 HOME=/"
    command = f"env {variables} {python} {run} {given}"
    binds = {
        "/mnt/site": copied,
        "/mnt/packages": Path(sysconfig.get_path("purelib")),
        "/mnt/base": Path(sys.base_prefix),
    }
    with running(confined(user("latewood"), binds, "", command), stderr=subprocess.PIPE) as process:
        answers(port, lambda: process.poll() is None, path="/v1/cell/area/area?length=24+ft&width=16+ft")
        process.send_signal(signal.SIGTERM)
        _, said = process.communicate(timeout=PATIENCE)
    assert process.returncode == 0, said
    assert "examples/deploy" in said
    assert "Traceback" not in said


def test_the_proxy_runs_in_its_image(tmp_path: Path) -> None:
    tls, deploy, log = (tmp_path / name for name in ("tls", "deploy", "log"))
    for folder in (tls, deploy, log):
        folder.mkdir()
    assert "ln -sf /dev/stdout /var/log/nginx/access.log" in instruction("proxy", "RUN")
    (log / "access.log").symlink_to("/dev/stdout")
    binds = {"/mnt/tls": tls, "/mnt/deploy": deploy, "/var/log/nginx": log}
    copied = next(rest for word, rest in STAGES["proxy"] if word == "COPY").split()
    assert copied[-1] == "/opt/deploy/"
    for name in copied[:-1]:
        shutil.copy(ROOT / name, deploy)
    certificate, key = certified(tls)
    key.chmod(0o644)
    shell, flag, script = json.loads(instruction("proxy", "ENTRYPOINT"))
    settings = COMPOSE["services"]["proxy"]["environment"] | {
        "LATEWOOD_CERTIFICATE": f"/mnt/tls/{certificate.name}",
        "LATEWOOD_KEY": f"/mnt/tls/{key.name}",
        "LATEWOOD_HTTP_PORT": str(free_port()),
        "LATEWOOD_HTTPS_PORT": str(port := free_port()),
    }
    command = shlex.join([shell, flag, script.replace("/opt/deploy", "/mnt/deploy")])
    [writable] = [entry.split(":")[0] for entry in COMPOSE["services"]["proxy"]["tmpfs"] if "nginx" in entry]
    words = confined(user("proxy"), binds, writable, command)
    with running(words, stdout=subprocess.DEVNULL, stderr=subprocess.PIPE, env=os.environ | settings) as process:
        found = ssl.create_default_context(cafile=str(certificate))

        def greeted() -> bool:
            assert process.poll() is None, process.communicate()
            try:
                with socket.create_connection(("127.0.0.1", port), PATIENCE) as plain:
                    found.wrap_socket(plain, server_hostname="deck.example").close()
            except OSError:
                return False
            return True

        until(greeted, "a greeting")
        process.send_signal(signal.SIGQUIT)
        assert process.wait(PATIENCE) == 0


@pytest.mark.parametrize("name", ["first", "second", "proxy"])
def test_a_container_may_do_little(name: str) -> None:
    service = COMPOSE["services"][name]
    assert service["read_only"] is True
    assert service["cap_drop"] == ["ALL"]
    assert service["security_opt"] == ["no-new-privileges:true"]
    assert {"mem_limit", "pids_limit", "restart"} <= {*service}
    assert service["build"]["target"] in STAGES
    assert (name == "proxy") == ("ports" in service)
    assert user(service["build"]["target"])


def test_the_proxy_is_told_where_the_instances_are() -> None:
    services = COMPOSE["services"]
    told = services["proxy"]["environment"]
    for name in ("first", "second"):
        address = services[name]["networks"]["inside"]["ipv4_address"]
        assert told[f"LATEWOOD_{name.upper()}"] == f"{address}:{instruction('latewood', 'EXPOSE')}"
    lines = (DEPLOY / "site.env").read_text().splitlines()
    assert {*told} <= {line.partition("=")[0] for line in lines}
