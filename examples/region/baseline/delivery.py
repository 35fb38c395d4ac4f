"""The share of LoRa packets that arrive over the signal-to-noise ratio, without fading."""
import math

import numpy as np


def symbol_error(sf, snr_db):
    """Of 2^SF orthogonal signals, the largest of as many magnitudes taken (Proakis), for an array of ratios."""
    m = 2**sf
    s = np.sqrt(m * 10 ** (snr_db / 10))[:, None]
    r = np.linspace(0, 1, 800) * (s + 6)
    bell = 2 * r * np.exp(-((r - s) ** 2)) * np.i0(2 * r * s) * np.exp(-2 * r * s)
    with np.errstate(divide="ignore"):
        wrong = -np.expm1((m - 1) * np.log1p(-np.exp(-r * r)))
    return np.trapz(bell * wrong, r, axis=1)


def packet_error(sf, cr, payload_b, p):
    """Eight symbols coded 4/8, which repair one, then blocks of CR + 4; 4/5 and 4/6 repair none."""
    blocks = math.ceil(max(8 * payload_b + 16 - 4 * sf + 28, 0) / (4 * sf))
    first, n = (1 - p) ** 8 + 8 * p * (1 - p) ** 7, cr + 4
    block = (1 - p) ** n + (n * p * (1 - p) ** (n - 1) if cr > 2 else 0)
    return 1 - first * block**blocks


class Delivery:
    """Looks up SF7 to SF10 at 125 kHz, shifted so that 64 bytes at 4/5 lose 1 % at the required ratio."""

    def __init__(self, sf=9, cr=1, payload_b=24):
        self.required = -2.5 * (sf - 4)
        grid = self.required + np.arange(-16, 8, 0.02)
        p = symbol_error(sf, grid)
        lost = packet_error(sf, 1, 64, p)
        one_percent = float(np.interp(-0.01, -lost, grid))
        self.snr, self.arrives = grid + self.required - one_percent, 1 - packet_error(sf, cr, payload_b, p)

    def __call__(self, snr):
        return float(np.interp(snr, self.snr, self.arrives))
