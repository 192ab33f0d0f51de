"""Instances that share one PostgreSQL, and what goes wrong there.

shared_days.py BINARY SCENARIO COMMAND URL   instances, or restart with what stops and starts it in FAIRTURN_TEST_SERVER
"""
import datetime
import os
import shlex
import signal
import subprocess
import threading
import time

from instance import COMMAND, DATE, URL, Service, site


def instances():
    """Two instances on one PostgreSQL: one is killed in a solve, one is paused and wakes up late."""
    one = Service(URL, "--workers", "1").start().put_site()
    two = Service(URL, "--workers", "1").start()

    def job(service, seed):
        status, told, _ = service.ask(
            "POST", f"{site()}/charts", {"date": DATE, "seed": seed}, prefer="respond-async")
        assert status == 202, (status, told)
        return told["id"]

    def ended(service, jobs):
        until, told = time.time() + 90, None
        for name in jobs:
            while True:
                told = service.ask("GET", f"/v1/jobs/{name}")[1]
                if told["state"] not in ("waiting", "running"):
                    break
                assert time.time() < until, told
                time.sleep(0.1)
            assert told["state"] == "done", told

    def count():
        return len(two.ask("GET", f"{site()}/charts?limit=200")[1]["charts"])

    for how in (signal.SIGKILL, signal.SIGSTOP):
        before = count()
        jobs = [job(one, seed) for seed in range(6)]
        caught = False
        while not caught:
            states = [two.ask("GET", f"/v1/jobs/{name}")[1]["state"] for name in jobs]
            caught = states.count("running") >= 2 or "waiting" not in states
        one.process.send_signal(how)
        ended(two, jobs)
        if how == signal.SIGSTOP:
            one.process.send_signal(signal.SIGCONT)
            time.sleep(3)
            assert one.ask("GET", "/readyz")[0] == 200
        else:
            one.process.wait()
            one.start()
        assert count() == before + len(jobs), (how, count(), before)
    # What one instance works on is called off at the other.
    name = job(one, 99)
    while two.ask("GET", f"/v1/jobs/{name}")[1]["state"] == "waiting":
        pass
    assert two.ask("DELETE", f"/v1/jobs/{name}")[0] == 204
    time.sleep(2)
    before = one.cpu() + two.cpu()
    time.sleep(1)
    assert one.cpu() + two.cpu() - before < 0.5, "it is still being solved"
    assert one.ask("GET", f"/v1/jobs/{name}")[1]["state"] == "cancelled"
    one.kill(signal.SIGTERM)
    two.kill(signal.SIGTERM)
    print("instances: one killed, one paused while it solved: each job has one result; called off at the other")


def restart():
    """PostgreSQL goes down under load, twice: nothing but 503, and it goes on by itself."""
    service = Service(URL, "--search-percent", "1", "--workers", "2").start().put_site()
    monday = datetime.date(2028, 1, 3)
    statuses, kept, jobs, lock, stop = {}, {}, [], threading.Lock(), threading.Event()

    def client(hand):
        count = 0
        while not stop.is_set():
            count += 1
            day = monday + datetime.timedelta(days=hand * 28 + 7 * (count % 4) + count % 5)
            path = f"{site()}/days/{day}"
            told = service.ask("GET", path)
            seen = [told[0]]
            if told[0] in (200, 404):
                version = {"if_match": told[2].getheader("etag")} if told[0] == 200 else {"if_none_match": "*"}
                status = service.ask("PUT", path, {"about": f"{count}"}, **version)[0]
                seen.append(status)
                if status in (200, 201):
                    kept[path] = count
            body = {"date": DATE, "seed": hand}
            wish = {"prefer": "respond-async"} if count % 4 == 0 else {}
            status, told, _ = service.ask("POST", f"{site()}/charts", body, idempotency_key=f"{hand}-{count}", **wish)
            seen.append(status)
            with lock:
                if status == 202:
                    jobs.append(told["id"])
                for status in seen:
                    statuses[status] = statuses.get(status, 0) + 1

    hands = [threading.Thread(target=client, args=(hand,)) for hand in range(8)]
    [h.start() for h in hands]
    for how in (["restart"], ["stop", "start"]):
        time.sleep(3)
        for word in how:
            command = [*shlex.split(os.environ["FAIRTURN_TEST_SERVER"]), word]
            subprocess.run(command, check=True, stdout=subprocess.DEVNULL)
            if word == "stop":
                ready, alive = service.ask("GET", "/readyz")[0], service.ask("GET", "/healthz")[0]
                assert (ready, alive) == (503, 200), (ready, alive)
        until = time.time() + 30
        while service.ask("PUT", f"{site()}/days/2029-01-02", {}, if_none_match="*")[0] not in (201, 412):
            assert time.time() < until, "it does not recover"
            time.sleep(0.1)
    time.sleep(2)
    stop.set()
    [h.join() for h in hands]
    # 412: a write was kept whose answer was lost with the connection.
    assert set(statuses) <= {200, 201, 202, 404, 412, 503} and statuses[503], statuses
    for path, count in kept.items():
        status, told, _ = service.ask("GET", path)
        assert status == 200 and int(told["about"]) >= count, (path, status, told, count)
    until, states = time.time() + 120, {}
    for name in jobs:
        while (told := service.ask("GET", f"/v1/jobs/{name}")[1])["state"] in ("waiting", "running"):
            assert time.time() < until, told
            time.sleep(0.1)
        states[told["state"]] = states.get(told["state"], 0) + 1
    assert set(states) <= {"done", "lost"}, states
    service.kill(signal.SIGTERM)
    print(f"restart: PostgreSQL twice down under load, not ready meanwhile: {statuses}, {len(kept)} days kept, jobs {states}")


{"instances": instances, "restart": restart}[COMMAND]()
