#!/usr/bin/env python3
"""Writes proj_geod.csv: 1000 geodesics as PROJ's geod computes them.

Run: python3 make_proj_geod.py > proj_geod.csv   (needs geod, Debian proj-bin)
"""
import math
import random
import subprocess

RNG = random.Random(20130101)
COMMAND = ["geod", "-I", "-p", "-f", "%.10f", "-F", "%.7f", "+ellps=WGS84"]


def near(lat, lon, lo_m, hi_m):
    """A second place roughly lo_m..hi_m away, log-uniform (no exactness needed)."""
    dist = lo_m * (hi_m / lo_m) ** RNG.random()
    az = RNG.uniform(0, 2 * math.pi)
    lat2 = lat + dist * math.cos(az) / 111e3
    if abs(lat2) > 89.9999:
        lat2 = lat - dist * math.cos(az) / 111e3
    lon2 = lon + dist * math.sin(az) / (111e3 * math.cos(math.radians(lat)))
    return lat2, (lon2 + 180) % 360 - 180


def pairs():
    for _ in range(600):  # the distances of radio links, all latitudes people live at
        lat, lon = RNG.uniform(-72, 72), RNG.uniform(-180, 180)
        yield ("link", lat, lon, *near(lat, lon, 10, 1e5))
    for _ in range(100):  # high latitudes
        lat = RNG.choice([-1, 1]) * RNG.uniform(72, 89.9)
        lon = RNG.uniform(-180, 180)
        yield ("high", lat, lon, *near(lat, lon, 10, 1e5))
    for _ in range(100):  # across the date line
        lat = RNG.uniform(-72, 72)
        east, west = 180 - RNG.uniform(1e-5, 0.4), -180 + RNG.uniform(1e-5, 0.4)
        lon, lon2 = (east, west) if RNG.random() < 0.5 else (west, east)
        yield ("dateline", lat, lon, lat + RNG.uniform(-0.3, 0.3), lon2)
    for _ in range(200):  # anywhere to anywhere
        yield ("globe", RNG.uniform(-90, 90), RNG.uniform(-180, 180),
               RNG.uniform(-90, 90), RNG.uniform(-180, 180))


ROWS = [(k, *("%.9f" % x for x in v)) for k, *v in pairs()]
version = subprocess.run(["geod"], capture_output=True, text=True).stderr.splitlines()[0]
answer = subprocess.run(COMMAND, input="".join(" ".join(r[1:]) + "\n" for r in ROWS),
                        capture_output=True, text=True, check=True).stdout.split("\n")
print("# Geodesics on WGS 84 computed by the program geod of PROJ, %s" % version)
print("# Command: %s  < lines of lat1 lon1 lat2 lon2, degrees" % " ".join(COMMAND))
print("# Places: random, fixed seed, see make_proj_geod.py beside this file, which wrote it.")
print("# Azimuth at 1 towards 2, back azimuth at 2 towards 1, degrees from north; distance in metres.")
print("# Figures carry no licence: results of a computation. PROJ itself is under the MIT licence.")
print("kind,lat1_deg,lon1_deg,lat2_deg,lon2_deg,azimuth_deg,back_azimuth_deg,distance_m")
for row, line in zip(ROWS, answer):
    print(",".join((*row, *line.split())))
