// Command wasm computes one link in a browser's engine: no file, no network, no cgo.
package main

import (
	"fmt"
	"os"

	"github.com/polereach/polereach/linkbudget"
	"github.com/polereach/polereach/terrain"
)

func main() {
	ridge := terrain.Profile{
		DistM:   []float64{0, 2500, 5000, 7500, 10000},
		HeightM: []float64{100, 100, 160, 100, 100},
	}
	env := linkbudget.Environment{FreqHz: 868.1e6, Modem: linkbudget.Modem{SF: 9, BWHz: 125e3, CR: 1}}
	r, err := linkbudget.Evaluate(ridge, linkbudget.DefaultStation("barn", 12), linkbudget.DefaultStation("tower", 12),
		env)
	if err != nil {
		fmt.Println(err)
		os.Exit(1)
	}
	fmt.Printf("loss %.1f dB, margin %.1f ± %.1f dB: %s\n", r.LossDB, r.MarginDB, r.Doubt.SigmaDB, r.Verdict)
}
