package calibrate

import (
	"math"
	"strconv"
	"testing"

	"github.com/polereach/polereach/linkbudget"
	"github.com/polereach/polereach/linkbudget/internal/official"
)

func TestMeasuredTowns(t *testing.T) {
	for _, town := range []string{"Brno", "Ostrava"} {
		s := newSet(town+", free over the roofs", 2.5)
		places := map[string]int{}
		for _, row := range official.Measured(t, ',', "brno_ostrava_868", "LoRaWAN_"+town+".csv")[1:] {
			distM := 1000 * official.Number(t, row[4])
			if distM < 250 {
				continue
			}
			key := row[0] + row[1] + row[4]
			if places[key] == 0 {
				places[key] = len(places) + 1
			}
			r := Row{RSSIDBm: official.Number(t, row[2]), SNRDB: official.Number(t, row[3]), LevelDBm: math.NaN()}
			level, _, err := RSSIVendor.level(&r, -123, math.NaN())
			if err != nil {
				t.Fatal(err)
			}
			s.add("node", "gateway", places[key], level, func() Prediction {
				env := linkbudget.Environment{FreqHz: 868e6, Modem: linkbudget.Modem{SF: 12, BWHz: 125e3, CR: 1}, TownPercent: 50}
				return flatPath(t, distM, 3+int(distM/100), linkbudget.DefaultStation("low", 1.5),
					linkbudget.DefaultStation("high", 30),
					env, func(x float64) float64 {
						if x > 0 && x < 1 {
							return -5000
						}
						return 0
					})
			})
		}
		s.check(t, missed{spread: meanOnly})
	}
}

func TestMeasuredVineyard(t *testing.T) {
	env := linkbudget.Environment{FreqHz: 868e6, Modem: linkbudget.Modem{SF: 7, BWHz: 125e3, CR: 1}}
	env.Terrain.SigmaM = 1
	predict := func(distM float64) func() Prediction {
		return func() Prediction {
			return flatPath(t, distM, 2+int(distM/10), linkbudget.DefaultStation("b", 1), linkbudget.DefaultStation("a", 4), env,
				func(float64) float64 { return 40 })
		}
	}
	vineyard, street := newSet("vineyard", 2.5), newSet("street in sight", 2.5)
	rows := official.Measured(t, ';', "vineyard_868", "combined_hourly_data.csv")
	for i, distM := range []float64{40, 160, 330, 240, 90, 65, 160, 340} {
		for _, row := range rows[1:] {
			if text := row[5+i]; text != "" {
				vineyard.add("node "+strconv.Itoa(i+1), "gateway", 0, official.Number(t, text), predict(distM))
			}
		}
	}
	for i, row := range official.Measured(t, '\t', "vineyard_868", "outdoor_LOS_avg_rssi_dist.txt") {
		for k, column := range []int{1, 5, 10} {
			street.add("node", "gateway", 1+3*i+k, official.Number(t, row[column]), predict(official.Number(t, row[0])))
		}
	}
	vineyard.check(t, missed{spread: meanOnly})
	street.check(t, missed{spread: meanOnly})
}
