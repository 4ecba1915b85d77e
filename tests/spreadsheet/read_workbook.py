"""Open a workbook in LibreOffice without a window and print cells as JSON: text, number, error code.

For the Python that has UNO (Debian's own, with python3-uno), so it stands alone:

    /usr/bin/python3 read_workbook.py book.xlsx --locale de-DE --set Coverage!B6=50 Coverage!F6 Coverage!I6

It waits for LibreOffice as long as that lives; whoever runs it may end it sooner.
"""

import argparse
import json
import os
import shutil
import signal
import subprocess
import sys
import tempfile
import time
from pathlib import Path

import uno
from com.sun.star.beans import PropertyValue

FLAGS = ["--headless", "--invisible", "--nologo", "--nodefault", "--norestore", "--nofirststartwizard", "--nolockcheck"]
NAMESPACES = 'xmlns:oor="http://openoffice.org/2001/registry" xmlns:xs="http://www.w3.org/2001/XMLSchema"'
#: FULL_UPDATE of com.sun.star.document.UpdateDocMode: fetch what the sheet links to.
FULL_UPDATE = 3


def settings(folder, locale, *, trusted):
    """Return a profile: recalculate on loading, in this locale, and fetch only for files in a trusted folder."""

    def item(path, name, value):
        return (
            f'<item oor:path="/org.openoffice.{path}"><prop oor:name="{name}" oor:op="fuse">'
            f"<value>{value}</value></prop></item>"
        )

    items = item("Office.Calc/Formula/Load", "OOXMLRecalcMode", "0") + item("Setup/L10N", "ooSetupSystemLocale", locale)
    if trusted:
        items += item("Office.Common/Security/Scripting", "SecureURL", f"<it>{folder.as_uri()}</it>")
    return f'<?xml version="1.0" encoding="UTF-8"?><oor:items {NAMESPACES}>{items}</oor:items>'


def connect(pipe, process):
    """Return the office's component context, once it listens."""
    local = uno.getComponentContext()
    resolver = local.ServiceManager.createInstanceWithContext("com.sun.star.bridge.UnoUrlResolver", local)
    while process.poll() is None:
        try:
            return resolver.resolve(f"uno:pipe,name={pipe};urp;StarOffice.ComponentContext")
        except Exception:
            time.sleep(0.2)
    sys.exit("LibreOffice did not start")


def read(context, chosen):
    """Open the workbook, put values in, recalculate, and return the cells asked for."""
    desktop = context.ServiceManager.createInstanceWithContext("com.sun.star.frame.Desktop", context)
    hidden, update = PropertyValue(), PropertyValue()
    hidden.Name, hidden.Value = "Hidden", True
    update.Name, update.Value = "UpdateDocMode", uno.Any("short", FULL_UPDATE)
    document = desktop.loadComponentFromURL(chosen.book.resolve().as_uri(), "_blank", 0, (hidden, update))

    def cell(address):
        sheet, _, place = address.partition("!")
        return document.Sheets.getByName(sheet).getCellRangeByName(place)

    for one in chosen.set:
        address, _, value = one.partition("=")
        cell(address).Value = float(value)
    document.calculateAll()
    found = {
        address: {"text": cell(address).String, "value": cell(address).Value, "error": cell(address).getError()}
        for address in chosen.cells
    }
    document.close(True)
    try:
        desktop.terminate()
    except Exception:
        print("the office went before it answered", file=sys.stderr)
    return found


def main():
    parser = argparse.ArgumentParser(description=__doc__, formatter_class=argparse.RawDescriptionHelpFormatter)
    parser.add_argument("book", type=Path)
    parser.add_argument("cells", nargs="+")
    parser.add_argument("--locale", default="en-US")
    parser.add_argument("--set", action="append", default=[], metavar="SHEET!CELL=NUMBER")
    parser.add_argument("--untrusted", action="store_true", help="leave the workbook's folder out of the trusted ones")
    chosen = parser.parse_args()
    profile = Path(tempfile.mkdtemp(prefix="office-"))
    (profile / "user").mkdir()
    folder = chosen.book.resolve().parent
    text = settings(folder, chosen.locale, trusted=not chosen.untrusted)
    (profile / "user" / "registrymodifications.xcu").write_text(text, "utf-8")
    pipe = f"--accept=pipe,name={profile.name};urp;StarOffice.ComponentContext"
    process = subprocess.Popen(
        ["soffice", *FLAGS, f"-env:UserInstallation={profile.as_uri()}", pipe],
        start_new_session=True,
        stdout=subprocess.DEVNULL,
        stderr=subprocess.DEVNULL,
    )
    try:
        print(json.dumps(read(connect(profile.name, process), chosen)))
    finally:
        try:
            process.wait(60)
        except subprocess.TimeoutExpired:
            os.killpg(process.pid, signal.SIGKILL)
            process.wait()
        shutil.rmtree(profile, ignore_errors=True)


if __name__ == "__main__":
    main()
