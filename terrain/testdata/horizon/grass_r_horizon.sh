#!/bin/sh
# Horizon angles of 20 posts of the Cumberland window by GRASS GIS r.horizon.
# usage: grass_r_horizon.sh cumberland_ll_int16.tif > r_horizon.csv
# needs: Debian grass-core 8.2.1-1. The outcome is kept beside this file.
#
# r.horizon walks from post to post without interpolating: a post counts for a
# direction if the direction passes through its cell. So it is given the same
# ground in finer posts, interpolated bilinearly by r.resamp.interp: within 1 km
# of the eye 45 to one, beyond it 9 to one (odd, so that every post of the window
# stays a post), and the higher of the two angles counts; the part that belongs
# to the other run is sunk by 2000 m. It knows no height of the eye, so the post
# of the eye alone is raised by 10 m. It counts the curvature of the earth and no
# refraction. It runs in raster mode over the five by five posts round the eye:
# given a coordinate instead, version 8.2.1 carries its place in the coarse grid
# over from one direction to the next and stops at once in some; with a buffer,
# its outermost row and column are those of a neighbour.
set -e
tif=$(realpath "$1")
tmp=$(mktemp -d)
trap 'rm -rf "$tmp"' EXIT
grass -c "$tif" -e "$tmp/loc" >/dev/null 2>&1
cat > "$tmp/job.sh" <<'JOB'
set -e
# hz_000, hz_003 ... run counter-clockwise from east.
maps=$(seq -s, -f 'hz_%03g' 0 3 357)
# Metres per post of the window east and north, at 36.6 N.
east=74.5; north=92.5

# look FACTOR CONDITION: the angles with posts FACTOR to one, of ground at a
# distance in metres that meets CONDITION.
look() {
  half=15 # posts of the window to each side
  eval "$(awk -v n="$n" -v w="$w" -v r=$row -v c=$col -v f=$1 -v h=$half 'BEGIN {
    s = 1 / 1200; y = n - (r + 0.5) * s; x = w + (c + 0.5) * s; a = (h + 0.5) * s; b = 2.5 * s / f
    printf "lat=%.10f lon=%.10f big=\"n=%.12f s=%.12f w=%.12f e=%.12f\" ", y, x, y + a, y - a, x - a, x + a
    printf "small=\"n=%.12f s=%.12f w=%.12f e=%.12f\"", y + b, y - b, x - b, x + b }')"
  if [ $1 = 9 ]; then
    g.region raster=fine
    mrow=$((row * 9 + 5)); mcol=$((col * 9 + 5)); ground=fine; buffer=0.4
  else
    g.region $big rows=$(($1 * 31)) cols=$(($1 * 31))
    r.resamp.interp input=dem output=ground method=bilinear --overwrite --q
    mrow=$((($1 * 31 + 1) / 2)); mcol=$mrow; ground=ground; buffer=0.0125001
  fi
  r.mapcalc "eye = $ground + if(row() == $mrow && col() == $mcol, 10, if(((row() - $mrow) * $north / $1.)^2 + ((col() - $mcol) * $east / $1.)^2 $2 1000000, 0, -2000))" --overwrite --q
  g.region $small rows=5 cols=5
  r.horizon -d elevation=eye step=3 start=0 end=360 bufferzone=$buffer output=hz --overwrite --q
  r.what map=$maps coordinates=$lon,$lat --q
}

r.in.gdal input="$1" output=dem --q
g.region raster=dem
eval "$(g.region -gp raster=dem | grep -E '^(n|w)=')"
g.region rows=3096 cols=3627
r.resamp.interp input=dem output=fine method=bilinear --q
k=0
for row in 40 128 216 304; do
  for col in 40 120 200 280 360; do
    { look 45 '<='; look 9 '>'; } > "$2"
    awk -F'|' -v k=$k -v lon=$lon -v lat=$lat '
      NR == 1 { for (i = 0; i < 120; i++) near[i] = $(i + 4) }
      NR == 2 { for (i = 0; i < 120; i++) printf "%d,%s,%s,%d,%.4f\n", k, lon, lat, (450 - 3 * i) % 360, ($(i + 4) > near[i] ? $(i + 4) : near[i]) }' "$2" | sort -t, -k4n
    k=$((k + 1))
  done
done
JOB
echo "# GRASS GIS 8.2.1 r.horizon over cumberland_ll_int16.tif, made by grass_r_horizon.sh; 10 m above the ground, no refraction."
echo "point,lon_deg,lat_deg,azimuth_deg,elevation_deg"
grass "$tmp/loc/PERMANENT" --exec sh "$tmp/job.sh" "$tif" "$tmp/out.txt" 2>"$tmp/log" || { cat "$tmp/log" >&2; exit 1; }
