module github.com/polereach/polereach

go 1.26.0

require (
	github.com/google/go-cmp v0.7.0
	github.com/lukeroth/gdal v0.0.0-20251112192847-aa5e8dc032a2
	github.com/paulmach/orb v0.14.0
	github.com/schollz/progressbar/v3 v3.19.1
	github.com/soniakeys/meeus/v3 v3.0.1
	github.com/tidwall/geodesic v0.3.5
	github.com/twpayne/go-kml/v3 v3.2.1
	github.com/urfave/cli/v2 v2.27.7
	golang.org/x/image v0.30.0
	golang.org/x/sync v0.25.0
	golang.org/x/sys v0.46.0
	golang.org/x/term v0.44.0
	golang.org/x/text v0.28.0
	gonum.org/v1/gonum v0.17.0
	gonum.org/v1/plot v0.17.0
	pgregory.net/rapid v1.3.0
)

require (
	codeberg.org/go-fonts/liberation v0.5.0 // indirect
	codeberg.org/go-latex/latex v0.2.0 // indirect
	codeberg.org/go-pdf/fpdf v0.11.1 // indirect
	git.sr.ht/~sbinet/gg v0.7.0 // indirect
	github.com/ajstarks/svgo v0.0.0-20211024235047-1546f124cd8b // indirect
	github.com/cpuguy83/go-md2man/v2 v2.0.7 // indirect
	github.com/golang/freetype v0.0.0-20170609003504-e2365dfdc4a0 // indirect
	github.com/mitchellh/colorstring v0.0.0-20190213212951-d06e56a500db // indirect
	github.com/rivo/uniseg v0.4.7 // indirect
	github.com/russross/blackfriday/v2 v2.1.0 // indirect
	github.com/soniakeys/unit v1.0.0 // indirect
	github.com/xrash/smetrics v0.0.0-20240521201337-686a1a2994c1 // indirect
)
