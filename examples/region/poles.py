#!/usr/bin/env python3
"""Writes a plan of N poles at random places of a rectangle: poles.py SEED N WEST SOUTH EAST NORTH > plan.geojson"""
import json
import random
import sys


def main(seed, n, west, south, east, north):
    r = random.Random(int(seed))
    features = []
    for i in range(int(n)):
        lon, lat = r.uniform(float(west), float(east)), r.uniform(float(south), float(north))
        features.append({
            "type": "Feature",
            "properties": {"name": f"Pole {i}", "height_m": r.choice([4, 6, 8, 10]), "status": "proposed" if i % 10 == 9 else "standing"},
            "geometry": {"type": "Point", "coordinates": [round(lon, 6), round(lat, 6)]},
        })
    print('{"type":"FeatureCollection","features":[')
    print(",\n".join(json.dumps(f) for f in features))
    print("]}")


if len(sys.argv) != 7:
    sys.exit(__doc__)
main(*sys.argv[1:])
