"""The printed formulas for single numbers, shared by both ways. Distances in km, heights in m, f in GHz."""
import cmath
import math

EPS, SIGMA = 22.0, 0.003  # land, ITU-R P.1812-6 section 4.3.3
NO_EDGE = (0.0, -math.inf, 0.0, True)


def free_space(slant_m, lam):
    return 20 * math.log10(4 * math.pi * slant_m / lam)


def knife_edge(nu):
    return 6.9 + 20 * math.log10(math.hypot(nu - 0.1, 1) + nu - 0.1) if nu > -0.78 else 0.0


def edge(D, nu, at, in_sight):
    """Loss of the Bullington construction (21), with what it was computed from."""
    luc = knife_edge(nu)
    return luc + (1 - math.exp(-luc / 6)) * (10 + 0.02 * D), nu, at, in_sight


def meeting_point(path, stim, srim, hts, hrs):
    """(18) to (20): nu and place of the edge where both horizon rays meet."""
    D = path.D
    db = (hrs - hts + srim * D) / (stim + srim)
    return (hts + stim * db - (hts * (D - db) + hrs * db) / D) * math.sqrt(0.002 * D / (path.lam * db * (D - db))), db


def first_term(D, hte, hre, a, f):
    """(29) to (36), vertical polarisation."""
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


def nearest_to_sphere(D, h1, h2, ae):
    """(24): distances of the point where the ray passes a smooth earth most closely, that of the reflection too."""
    c, m = (h1 - h2) / (h1 + h2), 250 * D * D / (ae * (h1 + h2))
    b = 2 * math.sqrt((m + 1) / (3 * m)) * math.cos(math.pi / 3 + math.acos(1.5 * c * math.sqrt(3 * m / (m + 1) ** 3)) / 3)
    return D / 2 * (1 + b), D / 2 * (1 - b)


def spherical_earth(D, hte, hre, lam, f, ae):
    """(22) to (27)."""
    if D >= math.sqrt(2 * ae) * (math.sqrt(0.001 * hte) + math.sqrt(0.001 * hre)):
        return max(0.0, first_term(D, hte, hre, ae, f))
    d1, d2 = nearest_to_sphere(D, hte, hre, ae)
    hse = ((hte - 500 * d1 * d1 / ae) * d2 + (hre - 500 * d2 * d2 / ae) * d1) / D
    hreq = 17.456 * math.sqrt(d1 * d2 * lam / D)
    if hse > hreq:
        return 0.0
    aem = 500 * (D / (math.sqrt(hte) + math.sqrt(hre))) ** 2
    return max(0.0, first_term(D, hte, hre, aem, f)) * (1 - hse / hreq)


def troposcatter(D, theta_mrad, f):
    """(44) and (45) at half of the time, N0 = 325."""
    return 190.1 + 25 * math.log10(f) - 2.5 * math.log10(f / 2) ** 2 + 20 * math.log10(D) + 0.573 * theta_mrad - 0.15 * 325


def combined(diffracted, scattered):
    """(63)."""
    return -5 * math.log10(10 ** (-0.2 * diffracted) + 10 ** (-0.2 * scattered))


def dipole(elevation_deg):
    """Loss of a half-wave dipole off its main lobe, at most 20 dB."""
    theta = math.radians(elevation_deg)
    return min(20.0, -20 * math.log10(abs(math.cos(math.pi / 2 * math.sin(theta)) / math.cos(theta))))


def reflection_zone(D, h1, h2, lam):
    """Where the way over the ground is less than lambda/2 longer than over the mirror point, in km from A."""
    d = 1000 * D
    a = lam + (h1 + h2) ** 2 / d
    b, c = a * d + h1 * h1 - h2 * h2, h1 * h1 * d
    root = math.sqrt(max(0.0, b * b - 4 * a * c))
    return max(0.0, (b - root) / (2 * a)) / 1000, min(d, (b + root) / (2 * a)) / 1000


def reflected(D, h1, h2, lam, ae, rough_m):
    """Strength of the ray off medium dry ground, its place in km, whether the ground is smooth; None where rays fail."""
    d1, d2 = nearest_to_sphere(D, h1, h2, ae)
    over1, over2 = h1 - 500 * d1 * d1 / ae, h2 - 500 * d2 * d2 / ae  # over the plane that touches there
    if not (over1 > 0 and over2 > 0):
        return None
    d = 1000 * D
    psi = math.atan2(over1 + over2, d)
    mirrored, direct = math.hypot(d, over1 + over2), math.hypot(d, over1 - over2)
    divergence = 1 / math.sqrt(1 + 2 * d1 * d2 / (ae * D * math.tan(psi)))
    if 1 - divergence > 2 * math.pi * (mirrored - direct) / lam:
        return None
    eta = complex(15, -60 * 0.03 * lam)
    root = cmath.sqrt(eta - math.cos(psi) ** 2)
    gamma = abs((eta * math.sin(psi) - root) / (eta * math.sin(psi) + root))
    phase = 4 * math.pi * rough_m * math.sin(psi) / lam
    rho = gamma * divergence * math.exp(-phase * phase / 2) * math.hypot(d, h1 - h2) / (math.hypot(d, h1 - h2) + mirrored - direct)
    return min(rho, 1.0), d1, phase < math.pi / 2


def ripple(rho):
    """Standard deviation of two rays of unknown phase, (20/ln 10) sqrt(Li2(rho^2)/2)."""
    x = rho * rho
    if x >= 1:
        li2 = math.pi**2 / 6
    else:
        li2, power, n = 0.0, x, 1
        while power > 1e-6 * n * n and n < 2000:
            li2, power, n = li2 + power / (n * n), power * x, n + 1
    return 20 / math.log(10) * math.sqrt(li2 / 2)


def model_doubt(diffraction, low):
    """3 dB clear, 6 to 8 dB behind an obstacle, 8 to 10 dB in deep shadow, straight between; at most 4.5 dB low over flat ground."""
    if diffraction < 6:
        sigma = 3 + diffraction / 2
    elif diffraction < 30:
        sigma = 6 + (diffraction - 6) / 12
    else:
        sigma = min(10.0, 8 + (diffraction - 30) / 10)
    return min(sigma, 4.5) if low else sigma


def shift_between(weights, D, sigma_m, correlation_km):
    """Standard deviation in m of the weighted sum of ground errors at places {km: weight}, each against the line
    between the errors at both ends, for a correlation exp(-distance/correlation)."""
    over = dict(weights)
    for x, w in weights.items():
        over[0.0] = over.get(0.0, 0.0) - w * (1 - x / D)
        over[D] = over.get(D, 0.0) - w * x / D
    variance = sum(w * v * math.exp(-abs(x - y) / correlation_km) for x, w in over.items() for y, v in over.items())
    return sigma_m * math.sqrt(max(0.0, variance))


def normal_below(x):
    return math.erfc(-x / math.sqrt(2)) / 2
