"""Compares rows of the script with rows of the table, column by column."""
import row

# By the ending of a name, the first that fits. Words have none and must be the same.
TOLERANCE = {
    "_db": 0.1, "_dbm": 0.1, "_f1": 0.02, "probability": 0.01, "delivery": 0.01,
    "_lon_deg": 1e-5, "_lat_deg": 1e-5, "_deg": 0.01, "_m": 0.1,
}
# What the table says of the plan, of the mesh, of missing terrain.
NOT_OF_THE_PATH = {
    "from", "to", "wanted", "required", "role", "joined_pairs", "redundant_pairs", "route_loss", "beyond_rules",
    "gap", "gap_from_m", "gap_to_m", "gap_lon_deg", "gap_lat_deg", "gaps", "filled_points", "reasons",
}
LOSS = {"free_space_db", "diffraction_db"}


def tolerance(column):
    return next((t for end, t in TOLERANCE.items() if column.endswith(end)), None)


def with_tie(answer, link, theirs):
    """Where another point is as near to the ray, the one that the table names, and whether it was another."""
    at = float(theirs["clearance_at_m"] or "nan")
    if "clearance_at_m" not in answer or not abs(answer["clearance_at_m"] - at) > TOLERANCE["_m"]:
        return answer, False
    i = link.path.index(at / 1000 - TOLERANCE["_m"] / 1000)
    if not 0 < i < link.path.n - 1:
        return answer, False
    there = row.clearance_at(link, i)
    if not abs(there["clearance_f1"] - answer["clearance_f1"]) <= TOLERANCE["_f1"]:
        return answer, False
    return {**answer, **there}, True


def columns(what, answers, links, sample):
    """The largest difference by column (for words, how many differ), a line for each that is too large, and how
    many rows name another point of the same clearance."""
    worst, faults, ties = {}, [], 0
    for answer, link, theirs in zip(answers, links, sample):
        if what == "row":
            answer, tied = with_tie(answer, link, theirs)
            ties += tied
        for column in theirs.keys() - NOT_OF_THE_PATH if what == "row" else LOSS:
            ours, allowed = answer.get(column, ""), tolerance(column)
            if allowed is None or ours == "" or theirs[column] == "":
                off, allowed = int(ours != theirs[column]), 0
            else:
                off = abs(ours - float(theirs[column]))
            worst[column] = max(worst.get(column, 0), off)
            if not off <= allowed:
                faults.append(f"{theirs['from']} to {theirs['to']}, {column}: {ours} here, {theirs[column]} in the table")
    return {column: round(worst[column], 5) for column in sample[0] if column in worst}, sorted(faults), ties
