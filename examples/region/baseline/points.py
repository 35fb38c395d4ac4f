"""The loops way: what has to be found along a profile, point by point as printed. arrays.py has the same with numpy.

Distances are in km, heights in m, as ITU-R P.1812-6 prints them.
"""
import bisect
import math

import formulas


def heights(band, transform, lon, lat):
    """Bilinear between the posts, four of them read for each point."""
    out = []
    for x, y in zip(lon, lat):
        x, y = (x - transform[0]) / transform[1] - 0.5, (y - transform[3]) / transform[5] - 0.5
        i, j = math.floor(x), math.floor(y)
        u, v, z = x - i, y - j, band.ReadAsArray(i, j, 2, 2)
        out.append(float((z[0, 0] * (1 - u) + z[0, 1] * u) * (1 - v) + (z[1, 0] * (1 - u) + z[1, 1] * u) * v))
    return out


class Path:
    def __init__(self, d, lam):
        self.d, self.lam = [float(x) for x in d], lam
        self.D, self.n = self.d[-1], len(self.d)

    def index(self, d):
        """The first point at d or beyond."""
        return bisect.bisect_left(self.d, d)

    def part(self, first, end):
        return Path([x - self.d[first] for x in self.d[first:end]], self.lam)


def bullington(path, g, hts, hrs, ae):
    """(13) to (21): loss, nu, place of the edge, whether in sight; g None is a smooth earth."""
    if path.n < 3:
        return formulas.NO_EDGE
    d, D = path.d, path.D
    stim = srim = nu = -math.inf
    at = 0.0
    for i in range(1, path.n - 1):
        di = d[i]
        top = (g[i] if g else 0.0) + 500 / ae * di * (D - di)
        stim, srim = max(stim, (top - hts) / di), max(srim, (top - hrs) / (D - di))
        here = (top - (hts * (D - di) + hrs * di) / D) * math.sqrt(0.002 * D / (path.lam * di * (D - di)))
        if here > nu:
            nu, at = here, di
    if stim < (hrs - hts) / D:
        return formulas.edge(D, nu, at, True)
    return formulas.edge(D, *formulas.meeting_point(path, stim, srim, hts, hrs), False)


def surface(path, h):
    """Heights of the straight fit at both ends, (85) to (88)."""
    return fit(path.d, h)


def fit(d, h):
    v1 = v2 = 0.0
    for i in range(1, len(d)):
        v1 += (d[i] - d[i - 1]) * (h[i] + h[i - 1])
        v2 += (d[i] - d[i - 1]) * (h[i] * (2 * d[i] + d[i - 1]) + h[i - 1] * (d[i] + 2 * d[i - 1]))
    return (2 * v1 * d[-1] - v2) / d[-1] ** 2, (v2 - v1 * d[-1]) / d[-1] ** 2


def obstruction(path, h, hts, hrs):
    """(89): highest ground over the direct ray without bulge, and the steepest angles to it."""
    if path.n < 3:
        return 0.0, 0.0, 0.0
    hobs = at = ar = -math.inf
    for di, hi in zip(path.d[1:-1], h[1:-1]):
        over = hi - (hts * (path.D - di) + hrs * di) / path.D
        hobs, at, ar = max(hobs, over), max(at, over / di), max(ar, over / (path.D - di))
    return hobs, at, ar


def lifted(h, up):
    """All ground between the ends, against the antennas."""
    return [h[0]] + [x + up for x in h[1:-1]] + [h[-1]]


def clearance(path, h, hts, hrs, ae, skip):
    """Least clearance in first Fresnel radii, in m, and its place in the profile; None without a point to look at."""
    D, worst = path.D, None
    for i in range(1, path.n - 1):
        d1, d2 = path.d[i], D - path.d[i]
        if d1 > skip and d2 > skip:
            metres = (hts * d2 + hrs * d1) / D - 500 / ae * d1 * d2 - h[i]
            f1 = metres / math.sqrt(1000 * path.lam * d1 * d2 / D)
            if worst is None or f1 < worst[0]:
                worst = f1, metres, i
    return worst


def horizons(path, h, hts, hrs, ae):
    """(76) to (81) behind the horizon: slopes in m/km seen from both ends, and the distances of their points from A."""
    a = b = (-math.inf, 0)
    for i in range(1, path.n - 1):
        d1, d2 = path.d[i], path.D - path.d[i]
        a = max(a, ((h[i] - hts) / d1 - 500 / ae * d1, i))
        b = max(b, ((h[i] - hrs) / d2 - 500 / ae * d2, i))
    return a[0], b[0], a[1], b[1]


def rivals_km(path, h, hts, hrs, ae, nu, shift):
    """Length of the ground whose nu, lifted by shift, passes nu."""
    d, D, length = path.d, path.D, 0.0
    for i in range(1, path.n - 1):
        d1, d2 = d[i], D - d[i]
        over = h[i] + 500 / ae * d1 * d2 + shift - (hts * d2 + hrs * d1) / D
        if over * math.sqrt(0.002 * D / (path.lam * d1 * d2)) > nu:
            length += (d[i + 1] - d[i - 1]) / 2
    return length


def spread(path, h, first, end):
    """Standard deviation in m of the ground first:end about its own straight fit, as an integral."""
    d, h = [x - path.d[first] for x in path.d[first:end]], [x - h[first] for x in h[first:end]]
    start, stop = fit(d, h)
    rest = [hi - start - (stop - start) / d[-1] * di for di, hi in zip(d, h)]
    squares = 0.0
    for i in range(1, len(d)):
        squares += (d[i] - d[i - 1]) * (rest[i - 1] ** 2 + rest[i - 1] * rest[i] + rest[i] ** 2)
    return math.sqrt(squares / (3 * d[-1]))
