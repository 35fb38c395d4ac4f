#!/usr/bin/env python3
"""The straightforward way: one profile per pair, with GDAL, numpy and the formulas.

    baseline.py numpy|loops PLAN.geojson LINKS.csv N SEED FREQ_MHZ DEM...

"numpy" reads the window of a path at once and works on whole arrays; "loops" reads four posts per point and
goes through the formulas point by point, as they are printed.

Takes N links at random out of LINKS.csv (from `polereach plan --format csv`), computes free space and
delta-Bullington diffraction (ITU-R P.525-4, P.526-15 section 4.5, as P.1812-6 section 4.3) for each from the
terrain, and compares with the columns free_space_db and diffraction_db of the file. Vertical polarisation,
land, k = 4/3. Prints how long it took and how far the answers are apart.
"""
import csv
import json
import math
import random
import sys
import time

import numpy as np
from osgeo import gdal

gdal.UseExceptions()
A, F = 6378137.0, 1 / 298.257223563  # WGS 84, m
E2 = F * (2 - F)
AE_KM = 6371.0 * 4 / 3
EPS, SIGMA = 22.0, 0.003  # land


def cartesian(lon, lat):
    lon, lat = math.radians(lon), math.radians(lat)
    n = A / math.sqrt(1 - E2 * math.sin(lat) ** 2)
    return np.array([n * math.cos(lat) * math.cos(lon), n * math.cos(lat) * math.sin(lon), n * (1 - E2) * math.sin(lat)])


def path_points(a, b, step_m):
    """Distances in m and places in degrees of evenly spaced points on the great ellipse."""
    ca, cb = cartesian(*a), cartesian(*b)
    chord = float(np.linalg.norm(cb - ca))
    lat, az = math.radians((a[1] + b[1]) / 2), math.atan2((b[0] - a[0]) * math.cos(math.radians(a[1])), b[1] - a[1])
    w = 1 - E2 * math.sin(lat) ** 2
    meridian, prime = A * (1 - E2) / w**1.5, A / math.sqrt(w)
    radius = 1 / (math.cos(az) ** 2 / meridian + math.sin(az) ** 2 / prime)  # Euler
    dist = 2 * radius * math.asin(chord / (2 * radius))
    n = max(2, math.ceil(dist / step_m) + 1)
    angle = dist / radius
    t = np.linspace(0, 1, n)
    p = (np.sin((1 - t) * angle)[:, None] * ca + np.sin(t * angle)[:, None] * cb) / math.sin(angle)
    lon = np.degrees(np.arctan2(p[:, 1], p[:, 0]))
    lat = np.degrees(np.arctan(p[:, 2] / (np.hypot(p[:, 0], p[:, 1]) * (1 - E2))))
    return t * dist, lon, lat, dist


def parallel_radius(lat):
    """Of the circle of latitude: posts are closest at the end nearer the pole."""
    return A * math.cos(math.radians(lat)) / math.sqrt(1 - E2 * math.sin(math.radians(lat)) ** 2)


def heights(band, transform, lon, lat):
    """Bilinear between the posts, out of the window that the path needs."""
    x = (lon - transform[0]) / transform[1] - 0.5
    y = (lat - transform[3]) / transform[5] - 0.5
    x0, y0 = int(x.min()), int(y.min())
    cols, rows = int(x.max()) + 2 - x0, int(y.max()) + 2 - y0
    z = band.ReadAsArray(x0, y0, cols, rows).astype(float)
    i, j = np.floor(x).astype(int), np.floor(y).astype(int)
    u, v = x - i, y - j
    i, j = i - x0, j - y0
    return (z[j, i] * (1 - u) + z[j, i + 1] * u) * (1 - v) + (z[j + 1, i] * (1 - u) + z[j + 1, i + 1] * u) * v


def knife_edge(nu):
    return 6.9 + 20 * math.log10(math.hypot(nu - 0.1, 1) + nu - 0.1) if nu > -0.78 else 0.0


def bullington(d, g, hts, hrs, lam):
    """(13) to (21); d in km, g without the two ends counted, heights in m."""
    D = d[-1]
    di, bulge = d[1:-1], g[1:-1] + 500 / AE_KM * d[1:-1] * (D - d[1:-1])
    if di.size == 0:
        return 0.0
    stim, direct = np.max((bulge - hts) / di), (hrs - hts) / D
    if stim < direct:
        nu = np.max((bulge - (hts * (D - di) + hrs * di) / D) * np.sqrt(0.002 * D / (lam * di * (D - di))))
    else:
        srim = np.max((bulge - hrs) / (D - di))
        db = (hrs - hts + srim * D) / (stim + srim)
        nu = (hts + stim * db - (hts * (D - db) + hrs * db) / D) * math.sqrt(0.002 * D / (lam * db * (D - db)))
    luc = knife_edge(float(nu))
    return luc + (1 - math.exp(-luc / 6)) * (10 + 0.02 * D)


def first_term(D, hte, hre, a, f):
    loss = (18 * SIGMA / f) ** 2
    k = 0.036 * (a * f) ** (-1 / 3) * ((EPS - 1) ** 2 + loss) ** -0.25 * math.sqrt(EPS**2 + loss)
    beta = (1 + 1.6 * k**2 + 0.67 * k**4) / (1 + 4.5 * k**2 + 1.53 * k**4)
    x = 21.88 * beta * (f / a**2) ** (1 / 3) * D
    fx = 11 + 10 * math.log10(x) - 17.6 * x if x >= 1.6 else -20 * math.log10(x) - 5.6488 * x**1.425

    def gain(h):
        b = beta * 0.9575 * beta * (f * f / a) ** (1 / 3) * h
        g = 17.6 * math.sqrt(b - 1.1) - 5 * math.log10(b - 1.1) - 8 if b > 2 else 20 * math.log10(b + 0.1 * b**3)
        return max(g, 2 + 20 * math.log10(k))

    return -fx - gain(hte) - gain(hre)


def spherical_earth(D, hte, hre, lam, f):
    if D >= math.sqrt(2 * AE_KM) * (math.sqrt(0.001 * hte) + math.sqrt(0.001 * hre)):
        return first_term(D, hte, hre, AE_KM, f)
    c, m = (hte - hre) / (hte + hre), 250 * D * D / (AE_KM * (hte + hre))
    b = 2 * math.sqrt((m + 1) / (3 * m)) * math.cos(math.pi / 3 + math.acos(1.5 * c * math.sqrt(3 * m / (m + 1) ** 3)) / 3)
    d1 = D / 2 * (1 + b)
    d2 = D - d1
    hse = ((hte - 500 * d1 * d1 / AE_KM) * d2 + (hre - 500 * d2 * d2 / AE_KM) * d1) / D
    hreq = 17.456 * math.sqrt(d1 * d2 * lam / D)
    if hse > hreq:
        return 0.0
    aem = 500 * (D / (math.sqrt(hte) + math.sqrt(hre))) ** 2
    return max(0.0, first_term(D, hte, hre, aem, f)) * (1 - hse / hreq)


def delta_bullington(d, h, hts, hrs, lam, f):
    D = d[-1]
    step, rise = np.diff(d), h[1:] + h[:-1]
    v1 = np.sum(step * rise)
    v2 = np.sum(step * (h[1:] * (2 * d[1:] + d[:-1]) + h[:-1] * (d[1:] + 2 * d[:-1])))
    hst, hsr = (2 * v1 * D - v2) / D**2, (v2 - v1 * D) / D**2
    di = d[1:-1]
    over = h[1:-1] - (hts * (D - di) + hrs * di) / D
    if di.size and np.max(over) > 0:
        at, ar = np.max(over / di), np.max(over / (D - di))
        hobs = np.max(over)
        hst, hsr = hst - hobs * at / (at + ar), hsr - hobs * ar / (at + ar)
    hte, hre = float(hts - min(hst, h[0])), float(hrs - min(hsr, h[-1]))
    smooth = bullington(d, np.zeros_like(h), hte, hre, lam)
    return bullington(d, h, hts, hrs, lam) + max(0.0, spherical_earth(D, hte, hre, lam, f) - smooth)


def heights_loop(band, transform, lon, lat):
    out = []
    for x, y in zip(lon, lat):
        x, y = (x - transform[0]) / transform[1] - 0.5, (y - transform[3]) / transform[5] - 0.5
        i, j = math.floor(x), math.floor(y)
        u, v, z = x - i, y - j, band.ReadAsArray(i, j, 2, 2)
        out.append(float((z[0, 0] * (1 - u) + z[0, 1] * u) * (1 - v) + (z[1, 0] * (1 - u) + z[1, 1] * u) * v))
    return out


def bullington_loop(d, g, hts, hrs, lam):
    D = d[-1]
    stim = srim = nu = -math.inf
    for di, gi in zip(d[1:-1], g[1:-1]):
        top = gi + 500 / AE_KM * di * (D - di)
        stim, srim = max(stim, (top - hts) / di), max(srim, (top - hrs) / (D - di))
        nu = max(nu, (top - (hts * (D - di) + hrs * di) / D) * math.sqrt(0.002 * D / (lam * di * (D - di))))
    if stim == -math.inf:
        return 0.0
    if stim >= (hrs - hts) / D:
        db = (hrs - hts + srim * D) / (stim + srim)
        nu = (hts + stim * db - (hts * (D - db) + hrs * db) / D) * math.sqrt(0.002 * D / (lam * db * (D - db)))
    luc = knife_edge(nu)
    return luc + (1 - math.exp(-luc / 6)) * (10 + 0.02 * D)


def delta_bullington_loop(d, h, hts, hrs, lam, f):
    d = [float(x) for x in d]
    D, v1, v2 = d[-1], 0.0, 0.0
    for i in range(1, len(d)):
        v1 += (d[i] - d[i - 1]) * (h[i] + h[i - 1])
        v2 += (d[i] - d[i - 1]) * (h[i] * (2 * d[i] + d[i - 1]) + h[i - 1] * (d[i] + 2 * d[i - 1]))
    hst, hsr = (2 * v1 * D - v2) / D**2, (v2 - v1 * D) / D**2
    hobs = at = ar = -math.inf
    for di, hi in zip(d[1:-1], h[1:-1]):
        over = hi - (hts * (D - di) + hrs * di) / D
        hobs, at, ar = max(hobs, over), max(at, over / di), max(ar, over / (D - di))
    if hobs > 0:
        hst, hsr = hst - hobs * at / (at + ar), hsr - hobs * ar / (at + ar)
    hte, hre = hts - min(hst, h[0]), hrs - min(hsr, h[-1])
    smooth = bullington_loop(d, [0.0] * len(d), hte, hre, lam)
    return bullington_loop(d, h, hts, hrs, lam) + max(0.0, spherical_earth(D, hte, hre, lam, f) - smooth)


WAYS = {"numpy": (heights, delta_bullington), "loops": (heights_loop, delta_bullington_loop)}


def main(way, plan, links, n, seed, freq_mhz, *dem):
    with open(plan, encoding="utf-8") as f:
        poles = {p["properties"]["name"]: p for p in json.load(f)["features"] if p["geometry"]["type"] == "Point"}
    with open(links, encoding="utf-8", newline="") as f:
        rows = [r for r in csv.DictReader(f) if r["loss_db"]]
    sample = random.Random(int(seed)).sample(rows, min(int(n), len(rows)))
    sample_heights, diffract = WAYS[way]
    mosaic = gdal.BuildVRT("", list(dem))
    band, transform = mosaic.GetRasterBand(1), mosaic.GetGeoTransform()
    f_ghz = float(freq_mhz) / 1e3
    lam = 0.299792458 / f_ghz
    band.ReadAsArray()  # the tiles are in GDAL's cache before the clock starts
    worst_fs = worst_d = 0.0
    points = 0
    begin, wall = time.process_time(), time.perf_counter()
    for row in sample:
        a, b = poles[row["from"]], poles[row["to"]]
        at, to = a["geometry"]["coordinates"], b["geometry"]["coordinates"]
        d, lon, lat, dist = path_points(at, to, math.radians(transform[1]) * parallel_radius(max(at[1], to[1])))
        h = sample_heights(band, transform, lon, lat)
        hts, hrs = h[0] + a["properties"]["height_m"], h[-1] + b["properties"]["height_m"]
        slant = math.hypot(dist, hts - hrs)
        free_space = 20 * math.log10(4 * math.pi * slant / lam)
        diffraction = diffract(d / 1e3, h, hts, hrs, lam, f_ghz)
        points += len(d)
        worst_fs = max(worst_fs, abs(free_space - float(row["free_space_db"])))
        worst_d = max(worst_d, abs(diffraction - float(row["diffraction_db"])))
    cpu, wall = time.process_time() - begin, time.perf_counter() - wall
    print(json.dumps({
        "way": way, "links": len(sample), "points": points, "cpu_s": round(cpu, 3), "wall_s": round(wall, 3), "pairs_per_cpu_s": round(len(sample) / cpu, 1),
        "worst_free_space_db": round(worst_fs, 4), "worst_diffraction_db": round(worst_d, 4),
    }))
    if not (worst_fs <= 0.1 and worst_d <= 0.1):
        sys.exit("the answers are more than 0.1 dB apart")


if len(sys.argv) < 8 or sys.argv[1] not in WAYS:
    sys.exit(__doc__)
main(*sys.argv[1:])
