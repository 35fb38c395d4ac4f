"""One row of the table of links: from the terrain between two poles to margin, doubt and probability."""
import math

import numpy as np

import formulas
import profiles

EARTH_KM = 6371.0
# The defaults of the command: output, dipole, noise figure at 290 K and 125 kHz, terrain error and its correlation.
TX_DBM, GAIN_DBI, NOISE_FIGURE_DB, BW_HZ = 14, 2.15, 6, 125e3
TERRAIN_M, CORRELATION_KM = 6.0, 0.5
HARDWARE_DB, REACHES, LEAST_SKIP_KM = 2.0, 0.9, 0.05
NODES, WEIGHTS = np.polynomial.hermite_e.hermegauss(5)
HERMITE = [(float(z), float(w) / math.sqrt(2 * math.pi)) for z, w in zip(NODES, WEIGHTS)]


class Link:
    """A profile with an antenna on each end; way is the module arrays or points."""

    def __init__(self, way, terrain, a, b, f_ghz):
        band, transform = terrain
        self.way, self.f, self.lam = way, f_ghz, 0.299792458 / f_ghz
        self.a, self.b = a["geometry"]["coordinates"], b["geometry"]["coordinates"]
        step = math.radians(transform[1]) * profiles.parallel_radius(max(self.a[1], self.b[1]))
        d, self.lon, self.lat, self.dist = profiles.path_points(self.a, self.b, step)
        self.h = way.heights(band, transform, self.lon, self.lat)
        self.hts = float(self.h[0]) + a["properties"]["height_m"]
        self.hrs = float(self.h[-1]) + b["properties"]["height_m"]
        self.path = way.Path(d / 1e3, self.lam)
        self.free_space = formulas.free_space(math.hypot(self.dist, self.hts - self.hrs), self.lam)

    def effective_heights(self, h):
        """(85) to (91): antennas over the smooth surface."""
        hst, hsr = self.way.surface(self.path, h)
        hobs, at, ar = self.way.obstruction(self.path, h, self.hts, self.hrs)
        if hobs > 0:
            hst, hsr = hst - hobs * at / (at + ar), hsr - hobs * ar / (at + ar)
        return float(self.hts - min(hst, h[0])), float(self.hrs - min(hsr, h[-1]))

    def diffraction(self, h, effective, ae):
        """(39): loss, the edge of the real profile, and the three losses that make it up."""
        edge = self.way.bullington(self.path, h, self.hts, self.hrs, ae)
        smooth = self.way.bullington(self.path, None, *effective, ae)[0]
        sphere = formulas.spherical_earth(self.path.D, *effective, self.lam, self.f, ae)
        return edge[0] + max(0.0, sphere - smooth), edge, sphere - smooth

    def total(self, diffraction, edge, ae):
        """Median loss, and the horizons where something hides the other end."""
        loss = self.free_space + diffraction
        if edge[3]:
            return loss, None
        seen = self.way.horizons(self.path, self.h, self.hts, self.hrs, ae)
        theta = 1000 * self.path.D / ae + 1000 * (math.atan(seen[0] / 1000) + math.atan(seen[1] / 1000))
        return formulas.combined(loss, formulas.troposcatter(self.path.D, max(0.0, theta), self.f)), seen

    def over_ray(self, i, ae):
        """Height of point i over the direct ray, bulge included."""
        D, d1 = self.path.D, float(self.path.d[i])
        return float(self.h[i]) + 500 / ae * d1 * (D - d1) - (self.hts * (D - d1) + self.hrs * d1) / D

    def terrain_doubt(self, loss, edge, seen, ae):
        """Root mean square of the change when the ground moves as far as the terrain model errs."""
        if self.path.n < 3:
            return 0.0

        def change(up):
            h = self.way.lifted(self.h, up)
            return self.diffraction(h, self.effective_heights(h), ae)[0] - loss

        D = self.path.D
        if not edge[3]:
            shift = formulas.shift_between(self.deciding(seen, ae), D, TERRAIN_M, CORRELATION_KM)
            return math.sqrt((change(shift) ** 2 + change(-shift) ** 2) / 2)
        shift = formulas.shift_between({edge[2]: 1.0}, D, TERRAIN_M, CORRELATION_KM)
        rivals = self.way.rivals_km(self.path, self.h, self.hts, self.hrs, ae, edge[1], shift)
        ln = math.log(1 + min(rivals, D) / (2 * CORRELATION_KM))
        mean, sigma = 0.9 * ln / (1 + 0.14 * ln), 1 / (1 + 0.29 * ln)
        up = [((mean + sigma * z) * shift, w) for z, w in HERMITE]
        return math.sqrt(sum(w * change(u) ** 2 for u, w in up if u != 0))

    def deciding(self, seen, ae):
        """The points of both horizons with their weights in the height of the edge."""
        i, j = seen[2], seen[3]
        x, y = float(self.path.d[i]), float(self.path.d[j])
        at_a, at_b = 1 / self.over_ray(i, ae), 1 / self.over_ray(j, ae)
        weight = at_a / (at_a + at_b)
        return {x: weight, y: 1 - weight} if x != y else {x: 1.0}

    def ripple(self, ae, skip):
        """Of a clear path, where smooth ground that both ends see reflects."""
        way, path = self.way, self.path
        start, end = way.surface(path, self.h)
        h1, h2 = self.hts - start, self.hrs - end
        if not (h1 > 0 and h2 > 0):
            return 0.0
        zone = formulas.reflection_zone(path.D, h1, h2, self.lam)
        first, last = path.index(zone[0]), min(path.index(zone[1]) + 1, path.n)
        rough = way.spread(path, self.h, first, last) if last - first >= 2 else 0.0
        ray = formulas.reflected(path.D, h1, h2, self.lam, ae, rough)
        if ray is None or ray[0] < 0.1 or not ray[2]:
            return 0.0
        i = path.index(ray[1])
        if 0 < i < path.n - 1:
            for first, last, one, other in ((0, i + 1, self.hts, float(self.h[i])), (i, path.n, float(self.h[i]), self.hrs)):
                leg = way.clearance(path.part(first, last), self.h[first:last], one, other, ae, skip)
                if leg and leg[0] < 0.6:
                    return 0.0
        return formulas.ripple(ray[0])


def elevation(dist, of, to, ae):
    return math.degrees(math.atan((to - of) / dist - dist / (2000 * ae)))


def situation(line_of_sight, loss, edge, more):
    if loss > 30:
        return "deep in a shadow"
    if line_of_sight == "clear" and loss < 0.5:
        return "clear"
    return "low over flat" if edge[3] and more > edge[0] else "obstructed"


def row(link, delivery):
    """Every figure of the row that depends on the path, by the name of its column."""
    ae = EARTH_KM * 4 / 3
    path, dist = link.path, link.dist
    skip = max(path.D / (path.n - 1), LEAST_SKIP_KM) * (1 + 1e-9)
    worst = link.way.clearance(path, link.h, link.hts, link.hrs, ae, skip)
    sight = "clear" if worst is None or worst[0] >= 0.6 else "grazing" if worst[0] >= 0 else "blocked"
    effective = link.effective_heights(link.h)
    diffraction, edge, more = link.diffraction(link.h, effective, ae)
    loss, seen = link.total(diffraction, edge, ae)

    low_ae = EARTH_KM * (2 / 3 if dist > 20e3 else 1)
    low_diffraction, low_edge, _ = link.diffraction(link.h, effective, low_ae)
    low_loss, _ = link.total(low_diffraction, low_edge, low_ae)

    what = situation(sight, diffraction, edge, more)
    model = formulas.model_doubt(diffraction, what == "low over flat")
    ripple = link.ripple(ae, skip) if sight == "clear" and edge[3] else 0.0
    terrain = link.terrain_doubt(diffraction, edge, seen, ae)
    sigma = math.sqrt(model**2 + ripple**2 + terrain**2 + HARDWARE_DB**2)

    up_a, up_b = elevation(dist, link.hts, link.hrs, ae), elevation(dist, link.hrs, link.hts, ae)
    eirp_a, eirp_b = (TX_DBM + GAIN_DBI - formulas.dipole(up) for up in (up_a, up_b))
    received = eirp_a - loss + eirp_b - TX_DBM
    noise = 10 * math.log10(1.380649e-23 * 290 * 1000 * BW_HZ) + NOISE_FIGURE_DB
    snr, sensitivity = received - noise, noise + delivery.required
    margin = received - sensitivity
    probability = formulas.normal_below(margin / sigma)
    low_margin = margin + loss - low_loss
    out = {
        "verdict": "reaches" if probability >= REACHES else "marginal" if probability >= 0.5 else "short",
        "distance_m": dist, "azimuth_a_deg": profiles.azimuth(link.a, link.b), "azimuth_b_deg": profiles.azimuth(link.b, link.a),
        "elevation_a_deg": up_a, "elevation_b_deg": up_b, "path": sight, "situation": what,
        "free_space_db": link.free_space, "diffraction_db": diffraction, "troposcatter_db": loss - link.free_space - diffraction,
        "clutter_db": 0.0, "loss_db": loss, "eirp_a_dbm": eirp_a, "eirp_b_dbm": eirp_b, "rx_a_dbm": received, "rx_b_dbm": received,
        "sensitivity_a_dbm": sensitivity, "sensitivity_b_dbm": sensitivity, "snr_a_db": snr, "snr_b_db": snr,
        "margin_a_db": margin, "margin_b_db": margin, "margin_db": margin,
        "sigma_db": sigma, "doubt_model_db": model, "doubt_ripple_db": ripple, "doubt_terrain_db": terrain,
        "doubt_hardware_db": HARDWARE_DB, "doubt_other_db": 0.0,
        "probability": probability, "delivery": delivery(snr),
        "pessimistic_margin_db": low_margin, "pessimistic_probability": formulas.normal_below(low_margin / sigma),
    }
    if worst is not None:
        f1, metres, i = worst
        out.update(place(link, i), clearance_f1=f1, clearance_m=metres)
    return out


def place(link, i):
    return {"clearance_at_m": 1000 * float(link.path.d[i]), "clearance_lon_deg": float(link.lon[i]), "clearance_lat_deg": float(link.lat[i])}


def clearance_at(link, i):
    """The columns of the clearance at point i, the least or not."""
    metres, d1 = -link.over_ray(i, EARTH_KM * 4 / 3), float(link.path.d[i])
    radius = math.sqrt(1000 * link.lam * d1 * (link.path.D - d1) / link.path.D)
    return {**place(link, i), "clearance_f1": metres / radius, "clearance_m": metres}
