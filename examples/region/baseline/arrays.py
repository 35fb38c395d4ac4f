"""The numpy way: what has to be found along a profile, on whole arrays. points.py has the same, point by point.

Distances are in km, heights in m, as ITU-R P.1812-6 prints them.
"""
import math
from functools import cached_property

import numpy as np

import formulas


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


class Path:
    """What follows from the distances alone, once for all passes over the profile."""

    def __init__(self, d, lam):
        self.d, self.D, self.n, self.lam = d, float(d[-1]), len(d), lam
        self.di = d[1:-1]
        self.rest = self.D - self.di
        self.width = self.di * self.rest
        self.bulges = {}

    @cached_property
    def nu_per_m(self):
        return np.sqrt(0.002 * self.D / (self.lam * self.width))

    @cached_property
    def radius(self):
        """Of the first Fresnel zone, m."""
        return np.sqrt(1000 * self.lam * self.width / self.D)

    @cached_property
    def weights(self):
        return fit_weights(self.d)

    def bulge(self, ae):
        if ae not in self.bulges:
            self.bulges[ae] = 500 / ae * self.width
        return self.bulges[ae]

    def index(self, d):
        """The first point at d or beyond."""
        return int(np.searchsorted(self.d, d))

    def part(self, first, end):
        return Path(self.d[first:end] - self.d[first], self.lam)


def fit_weights(d):
    """Of each height in v1 and v2, (85) and (86): trapezoids, so each post belongs to two."""
    step, v1, v2 = np.diff(d), np.zeros_like(d), np.zeros_like(d)
    v1[1:] += step
    v1[:-1] += step
    v2[1:] += step * (2 * d[1:] + d[:-1])
    v2[:-1] += step * (d[1:] + 2 * d[:-1])
    return v1, v2


def bullington(path, g, hts, hrs, ae):
    """(13) to (21): loss, nu, place of the edge, whether in sight; g None is a smooth earth."""
    if path.n < 3:
        return formulas.NO_EDGE
    top = path.bulge(ae) if g is None else g[1:-1] + path.bulge(ae)
    stim, direct = float(np.max((top - hts) / path.di)), (hrs - hts) / path.D
    if stim < direct:
        nu = (top - hts - direct * path.di) * path.nu_per_m
        i = int(np.argmax(nu))
        return formulas.edge(path.D, float(nu[i]), float(path.di[i]), True)
    srim = float(np.max((top - hrs) / path.rest))
    return formulas.edge(path.D, *formulas.meeting_point(path, stim, srim, hts, hrs), False)


def surface(path, h):
    """Heights of the straight fit at both ends, (87) and (88)."""
    v1, v2 = float(path.weights[0] @ h), float(path.weights[1] @ h)
    return (2 * v1 * path.D - v2) / path.D**2, (v2 - v1 * path.D) / path.D**2


def obstruction(path, h, hts, hrs):
    """(89): highest ground over the direct ray without bulge, and the steepest angles to it."""
    if path.n < 3:
        return 0.0, 0.0, 0.0
    over = h[1:-1] - hts - (hrs - hts) / path.D * path.di
    return float(np.max(over)), float(np.max(over / path.di)), float(np.max(over / path.rest))


def lifted(h, up):
    """All ground between the ends, against the antennas."""
    h = h.copy()
    h[1:-1] += up
    return h


def clearance(path, h, hts, hrs, ae, skip):
    """Least clearance in first Fresnel radii, in m, and its place in the profile; None without a point to look at."""
    if not np.any(inner := (path.di > skip) & (path.rest > skip)):
        return None
    metres = hts + (hrs - hts) / path.D * path.di - path.bulge(ae) - h[1:-1]
    i = int(np.argmin(np.where(inner, metres / path.radius, np.inf)))
    return float(metres[i] / path.radius[i]), float(metres[i]), i + 1


def horizons(path, h, hts, hrs, ae):
    """(76) to (81) behind the horizon: slopes in m/km seen from both ends, and the distances of their points from A."""
    a = (h[1:-1] - hts) / path.di - 500 / ae * path.di
    b = (h[1:-1] - hrs) / path.rest - 500 / ae * path.rest
    i, j = int(np.argmax(a)), int(np.argmax(b))
    return float(a[i]), float(b[j]), i + 1, j + 1


def rivals_km(path, h, hts, hrs, ae, nu, shift):
    """Length of the ground whose nu, lifted by shift, passes nu."""
    lifted_nu = (h[1:-1] + path.bulge(ae) + shift - hts - (hrs - hts) / path.D * path.di) * path.nu_per_m
    return float(np.sum(((path.d[2:] - path.d[:-2]) / 2)[lifted_nu > nu]))


def spread(path, h, first, end):
    """Standard deviation in m of the ground first:end about its own straight fit, as an integral."""
    d, h = path.d[first:end] - path.d[first], h[first:end] - h[first]
    L = float(d[-1])
    v1, v2 = (float(w @ h) for w in fit_weights(d))
    start, stop = (2 * v1 * L - v2) / L**2, (v2 - v1 * L) / L**2
    rest = h - start - (stop - start) / L * d
    return math.sqrt(float(np.sum(np.diff(d) * (rest[:-1] ** 2 + rest[:-1] * rest[1:] + rest[1:] ** 2))) / (3 * L))
