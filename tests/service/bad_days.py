"""What goes wrong in the real world, done to a running service. Standard library alone.

bad_days.py BINARY SCENARIO COMMAND   one of kill, clients, disk, slow, hang-up; 77 where something could not be tried
"""
import concurrent.futures as futures
import contextlib
import http.client
import json
import os
import random
import shutil
import signal
import socket
import sqlite3
import statistics
import subprocess
import sys
import tempfile
import threading
import time

from instance import BINARY, COMMAND, DATE, FACTS, Service, free_port, site

RNG = random.Random(5)


def whole(file):
    with contextlib.closing(sqlite3.connect(file)) as base:
        assert base.execute("PRAGMA integrity_check").fetchone() == ("ok",)
        assert base.execute("PRAGMA foreign_key_check").fetchall() == []


def kill():
    """kill -9 in mixed writes: what was acknowledged is there, nothing is there by half or twice."""
    folder = tempfile.mkdtemp()
    file = os.path.join(folder, "store.sqlite")
    service = Service(f"sqlite://{file}", "--search-percent", "1", "--workers", "2")
    service.start().put_site()
    station = FACTS["stations"][0].get("id") or FACTS["stations"][0]["preset"]
    rounds, seen, jobs, kept = 200, 0, [], []
    for number in range(rounds):
        acknowledged, sent = [], []
        stop = threading.Event()

        def writer(hand):
            count = 0
            while not stop.is_set():
                count += 1
                name = f"{number}-{hand}-{count}"
                try:
                    if hand == 0:
                        path = f"{site()}/days/2027-{1 + number % 12:02}-{1 + count % 28:02}"
                        before = service.ask("GET", path)
                        version = (
                            {"if_match": before[2].getheader("etag")}
                            if before[0] == 200 else {"if_none_match": "*"}
                        )
                        status, _, _ = service.ask("PUT", path, {"about": name}, **version)
                        if status in (200, 201):
                            acknowledged.append((path, name))
                    elif hand == 1:
                        body = {"date": DATE, "seed": number}
                        status, told, _ = service.ask(
                            "POST", f"{site()}/charts", body, prefer="respond-async", idempotency_key=name)
                        if status == 202:
                            jobs.append(told["id"])
                        stop.wait(0.05)
                    else:
                        body = {"date": DATE, "seed": 1}
                        sent.append(name)
                        status, told, _ = service.ask(
                            "POST", f"{site()}/charts", body, idempotency_key=name)
                        if status == 201:
                            kept.append((name, told["id"]))
                except (OSError, http.client.HTTPException):
                    return

        writers = [threading.Thread(target=writer, args=(hand,)) for hand in range(3)]
        [w.start() for w in writers]
        time.sleep(RNG.uniform(0.05, 0.4))
        service.kill()
        stop.set()
        [w.join() for w in writers]
        service.start()
        newest = dict(acknowledged)
        for path, name in newest.items():
            status, told, _ = service.ask("GET", path)
            assert status == 200, (path, status)
            # A later write of the same day may have been kept without its answer arriving.
            assert int(told["about"].split("-")[2]) >= int(name.split("-")[2]), (path, name, told)
            seen += 1
        for name in sent[-1:]:
            # Whether or not the answer arrived: asked again with its key there is one chart.
            status, told, _ = service.ask(
                "POST", f"{site()}/charts", {"date": DATE, "seed": 1}, idempotency_key=name)
            assert status == 201, (status, told)
            kept.append((name, told["id"]))
    by_key = {}
    for name, chart in kept:
        assert by_key.setdefault(name, chart) == chart, ("one key, two charts", name)
    for name, chart in by_key.items():
        assert service.ask("GET", f"{site()}/charts/{chart}")[0] == 200, (name, chart)
    until = time.time() + 120
    states = {}
    for job in jobs:
        while True:
            status, told, _ = service.ask("GET", f"/v1/jobs/{job}")
            assert status == 200, (job, status)
            if told["state"] not in ("waiting", "running"):
                break
            assert time.time() < until, (job, told)
            time.sleep(0.05)
        states[told["state"]] = states.get(told["state"], 0) + 1
        assert told["state"] in ("done", "lost"), told
    made = service.ask("GET", "/metrics")[0]
    assert made == 200
    service.kill(signal.SIGTERM)
    whole(file)
    with contextlib.closing(sqlite3.connect(file)) as base:
        charts = base.execute("SELECT COUNT(*) FROM charts").fetchone()[0]
        done = base.execute("SELECT COUNT(*) FROM jobs WHERE state = 'done'").fetchone()[0]
        finished = base.execute("SELECT COUNT(*) FROM replays WHERE status = 201").fetchone()[0]
        assert charts == done + finished, (charts, done, finished)
    shutil.rmtree(folder)
    print(f"kill: {rounds} kills, {seen} days, {len(by_key)} charts, jobs {states}: all there, once")


def clients():
    """500 clients on mixed reads and solves: no error but 429 and 503, bounded memory."""
    folder = tempfile.mkdtemp()
    service = Service(f"sqlite://{folder}/store.sqlite", "--search-percent", "20", "--queue", "32")
    service.start().put_site()
    _, chart, _ = service.ask("POST", f"{site()}/charts", {"date": DATE})
    reading = f"{site()}/charts/{chart['id']}"

    def timed(path):
        start = time.perf_counter()
        status = service.ask("GET", path)[0]
        return status, (time.perf_counter() - start) * 1000

    def p99(times):
        return sorted(times)[int(len(times) * 0.99) - 1]

    idle = [timed(reading)[1] for _ in range(400)]
    statuses, lock, stop = {}, threading.Lock(), time.time() + 20

    def client(number):
        while time.time() < stop:
            try:
                if number % 10 == 0:
                    status = service.ask("POST", f"{site()}/charts", {"date": DATE, "seed": number})[0]
                else:
                    status = timed(reading)[0]
            except (OSError, http.client.HTTPException) as error:
                status = type(error).__name__
            with lock:
                statuses[status] = statuses.get(status, 0) + 1
            time.sleep(0.2)

    with futures.ThreadPoolExecutor(500) as pool:
        list(pool.map(client, range(500)))
    memory = int(next(
        line for line in open(f"/proc/{service.process.pid}/status") if line.startswith("VmHWM")
    ).split()[1]) // 1024
    assert set(statuses) <= {200, 201, 429, 503}, statuses
    assert memory < 512, memory

    # Reads while a solve runs on every core, one reader as on the idle service.
    busy, done = [], threading.Event()

    def solving(number):
        while not done.is_set():
            service.ask("POST", f"{site()}/charts", {"date": DATE, "seed": number})

    solvers = [threading.Thread(target=solving, args=(n,)) for n in range(os.cpu_count())]
    [s.start() for s in solvers]
    time.sleep(0.5)
    busy = [timed(reading)[1] for _ in range(400)]
    done.set()
    [s.join() for s in solvers]
    service.kill(signal.SIGTERM)
    shutil.rmtree(folder)
    print(f"clients: {statuses}, {memory} MiB at most; a read takes {statistics.median(idle):.1f} ms "
          f"(99 %: {p99(idle):.1f}) idle, {statistics.median(busy):.1f} ms (99 %: {p99(busy):.1f}) "
          "while every core solves")


def disk():
    """Locked, read-only, full: a clear 503, and recovery without help."""
    folder = tempfile.mkdtemp()
    file = os.path.join(folder, "store.sqlite")
    service = Service(f"sqlite://{file}")
    service.start().put_site()
    base = sqlite3.connect(file, isolation_level=None)
    base.execute("BEGIN IMMEDIATE")
    status, told, _ = service.ask("PUT", f"{site()}/days/2027-01-01", {}, if_none_match="*")
    assert (status, told["type"]) == (503, "/reference#problem-store"), (status, told)
    assert service.ask("GET", site())[0] == 200, "reading goes on"
    base.execute("ROLLBACK")
    status, told, _ = service.ask("PUT", f"{site()}/days/2027-01-01", {}, if_none_match="*")
    assert status == 201, (status, told)
    base.close()
    service.kill(signal.SIGTERM)
    readonly = os.path.join(folder, "readonly")
    os.mkdir(readonly)
    open(os.path.join(readonly, "store.sqlite"), "w").close()
    wrong = f"sqlite://{readonly}/store.sqlite?mode=ro"
    told = subprocess.run([BINARY, "serve", "--database", wrong, "--listen", f"127.0.0.1:{free_port()}"],
                          capture_output=True, text=True, timeout=60)
    assert told.returncode == 2 and "cannot be opened" in told.stderr, told
    told = subprocess.run([BINARY, "serve", "--database", "postgres://nobody@127.0.0.1:1/none"],
                          capture_output=True, text=True, timeout=60)
    assert told.returncode == 2 and "cannot be opened" in told.stderr, told
    done = ["locked", "read-only", "no server"]
    full = os.path.join(folder, "full")
    os.mkdir(full)
    mounted = subprocess.run(["mount", "-t", "tmpfs", "-o", "size=1m", "none", full], capture_output=True)
    if mounted.returncode == 0:
        try:
            service = Service(f"sqlite://{full}/store.sqlite", "--search-percent", "1")
            service.start().put_site()
            for number in range(400):
                status, told, _ = service.ask("POST", f"{site()}/charts", {"date": DATE, "seed": number})
                if status != 201:
                    break
            assert (status, told["type"]) == (503, "/reference#problem-store"), (status, told)
            assert service.ask("GET", site())[0] == 200, "reading goes on"
            subprocess.run(["mount", "-o", "remount,size=16m", full], check=True)
            assert service.ask("POST", f"{site()}/charts", {"date": DATE})[0] == 201, "it recovers"
            service.kill(signal.SIGTERM)
            whole(f"{full}/store.sqlite")
            done.append("full")
        finally:
            subprocess.run(["umount", full])
    else:
        done.append("(full: not tried, nothing may be mounted here)")
    shutil.rmtree(folder)
    print(f"disk: {', '.join(done)}: told as 503 or at the start, and recovered")
    if "full" not in done:
        sys.exit(77)


def slow():
    """Who takes for ever over a request is told so, or shut out, and holds nobody up."""
    folder = tempfile.mkdtemp()
    service = Service(f"sqlite://{folder}/store.sqlite", "--body-seconds", "1")
    service.start().put_site()

    def link(text):
        open_link = socket.create_connection(("127.0.0.1", service.port), timeout=40)
        open_link.sendall(text.encode())
        return open_link

    head = "POST /v1/charts HTTP/1.1\r\nhost: localhost\r\n"
    body = link(head + "content-type: application/json\r\ncontent-length: 100\r\n\r\n{")
    never = link(head)
    start = time.time()
    assert service.ask("GET", site())[0] == 200, "others are answered"
    told = body.recv(4096).decode()
    assert " 408 " in told.splitlines()[0] and "body-too-slow" in told, told
    until = time.time() + 35
    while never.recv(4096):
        assert time.time() < until, "half a head keeps the door open"
    took = time.time() - start
    long_head = link("GET / HTTP/1.1\r\n" + "x" * 100_000)
    told = b""
    with contextlib.suppress(ConnectionError):
        while part := long_head.recv(4096):
            told += part
    assert not told or told.split()[1][:1] == b"4", told
    service.kill(signal.SIGTERM)
    shutil.rmtree(folder)
    print(f"slow: a body that trickles gets 408, half a head is shut out after {took:.0f} s")


def hang_up():
    """A client that hangs up frees its place in the queue; the service ends after what it accepted."""
    folder = tempfile.mkdtemp()
    service = Service(f"sqlite://{folder}/store.sqlite", "--workers", "1", "--queue", "4")
    service.start().put_site()
    links = []
    for _ in range(5):
        link = http.client.HTTPConnection("127.0.0.1", service.port)
        link.request("POST", "/v1/charts", json.dumps({"scenario": FACTS}), {"content-type": "application/json"})
        links.append(link)
    time.sleep(0.2)
    [link.close() for link in links]
    time.sleep(0.5)
    time.sleep(0.5)
    before = service.cpu()
    time.sleep(1)
    busy = service.cpu() - before
    assert busy < 0.2, f"nobody waits, and {busy} s were worked in one"
    waiting = [line for line in service.ask("GET", "/metrics")[1].decode().splitlines()
               if line.startswith("fairturn_solves_waiting ")]
    assert waiting == ["fairturn_solves_waiting 0"], waiting
    with futures.ThreadPoolExecutor(1) as pool:
        last = pool.submit(service.ask, "POST", "/v1/charts", {"scenario": FACTS})
        time.sleep(0.2)
        service.kill(signal.SIGTERM)
        assert last.result()[0] == 200, "what was accepted is answered"
    shutil.rmtree(folder)
    print("hang-up: nothing is solved any more, places are free again; what was accepted is answered before the end")


{"kill": kill, "clients": clients, "disk": disk, "slow": slow, "hang-up": hang_up}[COMMAND]()
