"""Every claim about a model, checked by a solver that is not ours.

usage: highs.py FAIRTURN [INVENTED ROOMS]

For every day of every shipped scenario and for some invented rooms, `fairturn model --aim all` writes
each pass that takes solving and what is claimed of it. HiGHS solves the pass: its optimum may not
exceed the chart's value, no bound may exceed the optimum, and where the bound reaches the value the
optimum is that very value. A pass at HiGHS's cap is judged by what HiGHS knows by then, and counted.
Exit code 1 when a claim is wrong.
"""

import json
import multiprocessing
import pathlib
import subprocess
import sys
import tempfile
import time

import highspy

CAP_SECONDS = 10.0
SLACK = 1e-6
SCENARIOS = pathlib.Path(__file__).resolve().parents[2] / "scenarios"


def days():
    """Each shipped day as (name, scenario file, further flags)."""
    for path in sorted(SCENARIOS.glob("*.scenario.json")):
        facts = json.loads(path.read_text(encoding="utf-8"))
        rooms = [room["id"] for room in facts.get("rooms", [])]
        for date in [day["date"] for day in facts["days"]]:
            for room in rooms if len(rooms) > 1 else [None]:
                flags = ["--date", date] + (["--room", room] if room else [])
                yield f"{path.name.removesuffix('.scenario.json')} {date}", path, flags


def invented(fairturn, folder, seed):
    """An invented room of seven to nineteen children and two to five adults."""
    path = folder / f"invented-{seed}.scenario.json"
    flags = ["--children", 7 + seed * 5 % 13, "--adults", 2 + seed % 4, "--seed", seed]
    flags += ["--awkward"] if seed % 2 else []
    run([fairturn, "invent", *map(str, flags), "--out", str(path)])
    return f"invented {seed}", path, []


def run(command):
    done = subprocess.run(command, stdin=subprocess.DEVNULL, capture_output=True, text=True)
    if done.returncode:
        raise SystemExit(f"{' '.join(command)}: exit {done.returncode}\n{done.stderr}")


def solved(path):
    """The model's status with its best value and its bound, each None where there is none."""
    highs = highspy.Highs()
    for option, value in [
        ("output_flag", False),
        ("threads", 1),
        ("time_limit", CAP_SECONDS),
        ("mip_rel_gap", 0.0),
        ("mip_abs_gap", SLACK / 10),
    ]:
        highs.setOptionValue(option, value)
    if highs.readModel(str(path)) != highspy.HighsStatus.kOk:
        return "unreadable", None, None
    highs.run()
    status, info = highs.getModelStatus(), highs.getInfo()
    if status == highspy.HighsModelStatus.kOptimal:
        return "optimal", info.objective_function_value, info.objective_function_value
    if status == highspy.HighsModelStatus.kTimeLimit:
        found = info.primal_solution_status == highspy.SolutionStatus.kSolutionStatusFeasible
        return "cap", info.objective_function_value if found else None, info.mip_dual_bound
    return str(status), None, None


def wrong(claim, status, best, bound):
    """What is wrong with a claim, or nothing."""
    value, shown = claim["value"], claim["bound"]
    slack = SLACK * max(1, abs(value))
    if status not in ("optimal", "cap"):
        return f"HiGHS says {status}"
    if shown > value:
        return f"bound {shown} above value {value}"
    if bound is not None and bound > value + slack:
        return f"the chart has {value}, HiGHS says at least {bound}"
    if best is not None and best < shown - slack:
        return f"bound {shown}, HiGHS has {best}"
    return None


def judge(job):
    name, scenario, flags, fairturn, folder = job
    start = time.monotonic()
    to = folder / f"{name.replace(' ', '-')}.mps"
    run([fairturn, "model", str(scenario), *flags, "--aim", "all", "--out", str(to)])
    faults, counts = [], {"passes": 0, "at once": 0, "proven": 0, "best but unproven": 0, "cap": 0}
    for claim in json.loads(to.with_suffix(".json").read_text(encoding="utf-8"))["passes"]:
        counts["passes"] += 1
        if claim["file"] is None:
            counts["at once"] += 1
            continue
        path = folder / claim["file"]
        status, best, bound = solved(path)
        path.unlink()
        fault = wrong(claim, status, best, bound)
        if fault:
            faults.append(f"{name}, {claim['slug']}: {fault}")
        if claim["bound"] == claim["value"]:
            counts["proven"] += 1
        elif status == "optimal" and best > claim["value"] - 0.5:
            counts["best but unproven"] += 1
        counts["cap"] += status == "cap"
    return name, counts, faults, time.monotonic() - start


def main():
    fairturn, rooms = sys.argv[1], int(sys.argv[2]) if len(sys.argv) > 2 else 30
    with tempfile.TemporaryDirectory() as folder, multiprocessing.Pool(2) as pool:
        folder = pathlib.Path(folder)
        all_days = [*days(), *(invented(fairturn, folder, seed) for seed in range(1, rooms + 1))]
        jobs = [(*day, fairturn, folder) for day in all_days]
        total, faults = {}, []
        for name, counts, found, seconds in pool.imap(judge, jobs):
            said = ", ".join(f"{count} {what}" for what, count in counts.items())
            print(f"{name}: {said} ({seconds:.1f} s)", flush=True)
            total = {what: total.get(what, 0) + count for what, count in counts.items()}
            faults += found
    print(f"{len(jobs)} days, " + ", ".join(f"{count} {what}" for what, count in total.items()))
    for fault in faults:
        print(f"WRONG {fault}")
    return 1 if faults or not jobs else 0


if __name__ == "__main__":
    sys.exit(main())
