module github.com/polereach/polereach

go 1.26.0

require (
	github.com/google/go-cmp v0.7.0
	github.com/lukeroth/gdal v0.0.0-20251112192847-aa5e8dc032a2
	github.com/paulmach/orb v0.14.0
	github.com/tidwall/geodesic v0.3.5
	github.com/urfave/cli/v2 v2.27.7
	golang.org/x/sync v0.25.0
	gonum.org/v1/gonum v0.17.0
	pgregory.net/rapid v1.3.0
)

require (
	github.com/cpuguy83/go-md2man/v2 v2.0.7 // indirect
	github.com/russross/blackfriday/v2 v2.1.0 // indirect
	github.com/soniakeys/meeus/v3 v3.0.1 // indirect
	github.com/soniakeys/unit v1.0.0 // indirect
	github.com/stretchr/testify v1.9.0 // indirect
	github.com/xrash/smetrics v0.0.0-20240521201337-686a1a2994c1 // indirect
)
