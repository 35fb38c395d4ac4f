#!/usr/bin/env python3
"""The straightforward way: one profile per pair, with GDAL, numpy and the formulas.

    baseline.py numpy|loops loss|row PLAN.geojson LINKS.csv N SEED FREQ_MHZ DEM...

"numpy" reads the window of a path at once and works on whole arrays; "loops" reads four posts per point and
goes through the formulas point by point, as they are printed.

Takes N links at random out of LINKS.csv (from `polereach plan --format csv`, with its default settings) and
computes for each from the terrain

    loss  free space and delta-Bullington diffraction (ITU-R P.525-4, P.526-15 section 4.5) for k = 4/3
    row   every column of the row that depends on the path: the above and troposcatter for two k, least clearance,
          directions, levels and margins both ways, the doubt item by item, probabilities, delivery

Compares each column and prints how long it took and how far the answers are apart; ends with an error where a
column is farther apart than its tolerance. Vertical polarisation, land, nothing but the ground on the path.
"""
import csv
import json
import random
import sys
import time

from osgeo import gdal

import arrays
import compare
import delivery
import points
import row

gdal.UseExceptions()
WAYS = {"numpy": arrays, "loops": points}


def loss_alone(link, _):
    effective = link.effective_heights(link.h)
    return {"free_space_db": link.free_space, "diffraction_db": link.diffraction(link.h, effective, row.EARTH_KM * 4 / 3)[0]}


WHAT = {"loss": loss_alone, "row": row.row}


def main(way, what, plan, table, n, seed, freq_mhz, *dem):
    with open(plan, encoding="utf-8") as f:
        poles = {p["properties"]["name"]: p for p in json.load(f)["features"] if p["geometry"]["type"] == "Point"}
    with open(table, encoding="utf-8", newline="") as f:
        rows = [r for r in csv.DictReader(f) if r["loss_db"]]
    sample = random.Random(int(seed)).sample(rows, min(int(n), len(rows)))
    mosaic = gdal.BuildVRT("", list(dem))
    terrain = mosaic.GetRasterBand(1), mosaic.GetGeoTransform()
    terrain[0].ReadAsArray()  # the tiles are in GDAL's cache before the clock starts
    arrives = delivery.Delivery()
    module, figures, f_ghz = WAYS[way], WHAT[what], float(freq_mhz) / 1e3
    links, answers = [], []
    begin, wall = time.process_time(), time.perf_counter()
    for r in sample:
        links.append(row.Link(module, terrain, poles[r["from"]], poles[r["to"]], f_ghz))
        answers.append(figures(links[-1], arrives))
    cpu, wall = time.process_time() - begin, time.perf_counter() - wall
    worst, faults, ties = compare.columns(what, answers, links, sample)
    print(json.dumps({
        "way": way, "what": what, "links": len(sample), "cpu_s": round(cpu, 3), "wall_s": round(wall, 3),
        "pairs_per_cpu_s": round(len(sample) / cpu, 1), "other_place_same_clearance": ties, "worst": worst,
    }))
    if faults:
        sys.exit("the answers are too far apart:\n" + "\n".join(faults))


if len(sys.argv) < 9 or sys.argv[1] not in WAYS or sys.argv[2] not in WHAT:
    sys.exit(__doc__)
main(*sys.argv[1:])
