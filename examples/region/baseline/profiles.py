"""Where the points of a path lie, on WGS 84."""
import math

import numpy as np

A, F = 6378137.0, 1 / 298.257223563  # WGS 84, m
E2 = F * (2 - F)


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


def azimuth(a, b):
    """Of the chord from a to b in the horizon plane of a, degrees: at 15 km the geodesic starts within 0.001 of it."""
    x, y, z = (float(v) for v in cartesian(*b) - cartesian(*a))
    lon, lat = math.radians(a[0]), math.radians(a[1])
    east = -math.sin(lon) * x + math.cos(lon) * y
    north = -math.sin(lat) * (math.cos(lon) * x + math.sin(lon) * y) + math.cos(lat) * z
    return math.degrees(math.atan2(east, north)) % 360


def parallel_radius(lat):
    """Of the circle of latitude: posts are closest at the end nearer the pole."""
    return A * math.cos(math.radians(lat)) / math.sqrt(1 - E2 * math.sin(math.radians(lat)) ** 2)
