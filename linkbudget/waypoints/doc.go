// Package waypoints reads places with names, as a phone, a receiver of satellites or a
// spreadsheet writes them: GPX 1.0 and 1.1 (topografix.com), KML 2.2 and 2.3 (OGC 12-007r2),
// and CSV with a head. It keeps positions and names; altitudes are left out, since they
// are of the device and not of an antenna.
package waypoints
