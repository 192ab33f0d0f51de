"""One running instance of the service, and how to ask it. Standard library alone."""
import atexit
import http.client
import json
import os
import signal
import socket
import subprocess
import sys
import tempfile
import time

BINARY, SCENARIO, COMMAND = sys.argv[1:4]
URL = sys.argv[4] if len(sys.argv) > 4 else None
FACTS = json.load(open(SCENARIO))
DATE = FACTS["days"][0]["date"]


class Service:
    """One instance on a port of its own."""

    def __init__(self, database, *flags, port=None):
        self.database, self.flags = database, flags
        self.port = port or free_port()
        self.log = tempfile.TemporaryFile()

    def start(self):
        listen = f"127.0.0.1:{self.port}"
        command = [BINARY, "serve", "--database", self.database, "--listen", listen, "--rate", "100000"]
        self.process = subprocess.Popen([*command, *self.flags], stderr=self.log)
        atexit.register(self.process.kill)
        until = time.time() + 20
        while time.time() < until:
            try:
                if self.ask("GET", "/readyz")[0] == 200:
                    return self
            except OSError:
                time.sleep(0.01)
        raise SystemExit("it does not start")

    def kill(self, how=signal.SIGKILL):
        self.process.send_signal(how)
        self.process.wait()

    def ask(self, method, path, body=None, **headers):
        link = http.client.HTTPConnection("127.0.0.1", self.port, timeout=90)
        try:
            headers = {name.replace("_", "-"): value for name, value in headers.items()}
            if body is not None:
                headers["content-type"] = "application/json"
                body = json.dumps(body)
            link.request(method, path, body, headers)
            answer = link.getresponse()
            data = answer.read()
            kind = answer.getheader("content-type") or ""
            return answer.status, json.loads(data) if "json" in kind and data else data, answer
        finally:
            link.close()

    def cpu(self):
        """Seconds that it has kept processors busy."""
        told = open(f"/proc/{self.process.pid}/stat").read().rsplit(")", 1)[1].split()
        return (int(told[11]) + int(told[12])) / os.sysconf("SC_CLK_TCK")

    def put_site(self):
        status, told, _ = self.ask("PUT", site(), FACTS, if_none_match="*")
        assert status in (201, 412), (status, told)
        return self


def free_port():
    with socket.socket() as s:
        s.bind(("127.0.0.1", 0))
        return s.getsockname()[1]


def site():
    return f"/v1/sites/{SITE}"


def site_id():
    label = FACTS["site"]["label"].lower()
    return FACTS["site"].get("id") or "-".join("".join(c if c.isalnum() else " " for c in label).split())


SITE = site_id()
