#!/usr/bin/env python3
"""Measures polereach against baseline.py in one run, both on one core, in seconds of processor time.

    measure.py POLEREACH SEED POLES RANGE_KM LINKS WEST SOUTH EAST NORTH DEM...

polereach examines every pair within the range, all that its command does included: reading terrain, both
directions, doubt, the graph of the mesh, writing CSV. baseline.py computes LINKS of the same pairs, its
terrain loaded before its clock starts.
"""
import csv
import json
import os
import resource
import subprocess
import sys
import tempfile


def main(polereach, seed, poles, range_km, links, west, south, east, north, *dem):
    here = os.path.dirname(os.path.abspath(__file__))
    with tempfile.TemporaryDirectory() as work:
        plan, table = os.path.join(work, "plan.geojson"), os.path.join(work, "links.csv")
        with open(plan, "w", encoding="utf-8") as f:
            generator = os.path.join(here, "..", "poles.py")
            subprocess.run([sys.executable, generator, seed, poles, west, south, east, north], stdout=f, check=True)
        before = resource.getrusage(resource.RUSAGE_CHILDREN)
        command = [polereach, "plan", "--range-km", range_km, "--freq-mhz", "868.1", "--format", "csv", "--out", table, "--workers", "1", plan]
        for path in dem:
            command += ["--dem", path]
        done = subprocess.run(command, env={**os.environ, "GOMAXPROCS": "1"}, check=False)
        if done.returncode not in (0, 3, 4):
            sys.exit(done.returncode)
        after = resource.getrusage(resource.RUSAGE_CHILDREN)
        cpu = after.ru_utime + after.ru_stime - before.ru_utime - before.ru_stime
        with open(table, encoding="utf-8", newline="") as f:
            pairs = sum(1 for _ in csv.DictReader(f))
        rate = pairs / cpu
        print(json.dumps({"way": "polereach", "links": pairs, "cpu_s": round(cpu, 3), "pairs_per_cpu_s": round(rate, 1),
                          "peak_mib": round(after.ru_maxrss / 1024)}))
        for way in ("numpy", "loops"):
            out = subprocess.run([sys.executable, os.path.join(here, "baseline.py"), way, plan, table, links, seed, "868.1", *dem],
                                 stdout=subprocess.PIPE, check=True).stdout
            found = json.loads(out)
            print(out.decode().strip())
            print(f"polereach over {way}: {rate / found['pairs_per_cpu_s']:.1f} times the pairs per second of one core")


if len(sys.argv) < 11:
    sys.exit(__doc__)
main(*sys.argv[1:])
