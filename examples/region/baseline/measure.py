#!/usr/bin/env python3
"""Measures polereach against baseline.py, each on one core after the other, in seconds of processor time.

    measure.py [--runs N] POLEREACH SEED POLES RANGE_KM LINKS WEST SOUTH EAST NORTH DEM...

polereach examines every pair within the range, all that its command does included: reading terrain, both
directions, doubt, the graph of the mesh, writing CSV. baseline.py computes LINKS of the same pairs four times,
the loss alone and the whole row, with numpy and with loops, its terrain loaded before its clock starts.

Every answer is compared, and one too far off ends the run with an error. N runs, one without --runs; prints a
Markdown table of rates and ratios, median and range, and one of the largest differences by column.
"""
import csv
import json
import os
import statistics
import subprocess
import sys
import tempfile

HERE = os.path.dirname(os.path.abspath(__file__))
COMPARISONS = [(what, way) for what in ("loss", "row") for way in ("numpy", "loops")]
CALLED = {"loss": "free space and diffraction", "row": "the whole row"}


def polereach_once(command, table):
    """Pairs, pairs per second of the processor, peak memory in MiB."""
    process = subprocess.Popen(command, env={**os.environ, "GOMAXPROCS": "1"})
    _, status, used = os.wait4(process.pid, 0)
    process.returncode = os.waitstatus_to_exitcode(status)
    if process.returncode not in (0, 3, 4):
        sys.exit(f"polereach ended with {process.returncode}")
    with open(table, encoding="utf-8", newline="") as f:
        pairs = sum(1 for _ in csv.DictReader(f))
    return pairs, pairs / (used.ru_utime + used.ru_stime), used.ru_maxrss / 1024


def baseline_once(way, what, rest):
    done = subprocess.run([sys.executable, "-B", os.path.join(HERE, "baseline.py"), way, what, *rest], stdout=subprocess.PIPE, check=False)
    if done.returncode != 0:
        sys.exit(f"baseline.py {way} {what} ended with {done.returncode}")
    return json.loads(done.stdout)


def spread(values, form="{:,.0f}", unit=""):
    """Two cells: the median, lowest to highest."""
    low, middle, high = (form.format(v) for v in (min(values), statistics.median(values), max(values)))
    return f"{middle}{unit} | {low} to {high}"


def report(ours, theirs):
    print("\n| | pairs | rate, median | lowest to highest | polereach is faster, median | lowest to highest |")
    print("|---|---|---|---|---|---|")
    rates = [rate for _, rate, _ in ours]
    print(f"| polereach, the whole command | {ours[0][0]:,} | {spread(rates)} | | |")
    for what, way in COMPARISONS:
        found = theirs[what, way]
        ratios = [rate / f["pairs_per_cpu_s"] for rate, f in zip(rates, found)]
        slower = spread([f["pairs_per_cpu_s"] for f in found])
        print(f"| `baseline.py {way} {what}`: {CALLED[what]} | {found[0]['links']:,} | {slower} | {spread(ratios, '{:.1f}', ' times')} |")
    peaks = [peak for _, _, peak in ours]
    print(f"\nRuns: {len(ours)}. Peak memory of polereach: {min(peaks):.0f} to {max(peaks):.0f} MiB.\n")
    rows = theirs["row", "numpy"] + theirs["row", "loops"]
    print("| column | largest difference |")
    print("|---|---|")
    for column in rows[0]["worst"]:
        print(f"| {column} | {max(r['worst'][column] for r in rows):.5f} |".replace(".00000 ", " "))
    print(f"\nRows that name another point with the same clearance: {max(r['other_place_same_clearance'] for r in rows)}.")


def main(runs, polereach, seed, poles, range_km, links, west, south, east, north, *dem):
    with tempfile.TemporaryDirectory() as work:
        plan, table = os.path.join(work, "plan.geojson"), os.path.join(work, "links.csv")
        with open(plan, "w", encoding="utf-8") as f:
            generator = os.path.join(HERE, "..", "poles.py")
            subprocess.run([sys.executable, generator, seed, poles, west, south, east, north], stdout=f, check=True)
        command = [os.path.abspath(polereach), "plan", "--range-km", range_km, "--freq-mhz", "868.1", "--format", "csv", "--out", table, "--workers", "1", plan]
        for path in dem:
            command += ["--dem", path]
        ours, theirs = [], {c: [] for c in COMPARISONS}
        for n in range(runs):
            ours.append(polereach_once(command, table))
            for what, way in COMPARISONS:
                theirs[what, way].append(baseline_once(way, what, [plan, table, links, seed, "868.1", *dem]))
            rates = {f"{way} {what}": theirs[what, way][-1]["pairs_per_cpu_s"] for what, way in COMPARISONS}
            print(json.dumps({"run": n + 1, "polereach": round(ours[-1][1], 1), **rates}), file=sys.stderr)
    report(ours, theirs)


arguments, runs = sys.argv[1:], "1"
if arguments[:1] == ["--runs"]:
    runs, arguments = arguments[1:2][0] if arguments[1:2] else "", arguments[2:]
if len(arguments) < 10 or not (runs.isdecimal() and int(runs) > 0):
    sys.exit(__doc__)
main(int(runs), *arguments)
