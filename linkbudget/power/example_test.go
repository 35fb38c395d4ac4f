package power_test

import (
	"context"
	"encoding/json"
	"fmt"

	"github.com/paulmach/orb"

	"github.com/polereach/polereach/linkbudget/lora"
	"github.com/polereach/polereach/linkbudget/power"
	"github.com/polereach/polereach/terrain"
)

// darkDecember is a month in which 1.3 hours of full sun reach any panel.
func darkDecember() power.Exposure {
	sun := make([]power.DaySun, 31)
	var e power.Exposure
	for i := range sun {
		air := power.Air{Month: 12, PeakWm2: 500}
		for h := range air.HourC {
			air.HourC[h] = 6
		}
		e.Air = append(e.Air, air)
		for h := 10; h < 14; h++ {
			sun[i][h] = 1.3 / 4
		}
	}
	e.Sun = func(power.Plane) ([]power.DaySun, error) { return sun, nil }
	return e
}

func node() power.System {
	return power.System{
		Panels: []power.Panel{power.NewPanel(3, power.Plane{TiltDeg: 60, AzimuthDeg: 180})},
		Bank:   power.Bank{Cells: 2, CapacityAh: 3},
		Load:   power.Load{MeasuredA: 0.025},
	}
}

func ExampleSurvey() {
	r, err := power.Survey(node(), darkDecember())
	if err != nil {
		fmt.Println(err)
		return
	}
	fmt.Println(r.Verdict, power.MonthName(r.Month))
	fmt.Println(r.Findings[0].Text)
	// Output:
	// dies December
	// 2.00 Wh a day come in (1.40 to 2.60), 2.22 go out; without power in 93 of 744 hours (12.5 %)
}

func ExampleAdvise() {
	s, e := node(), darkDecember()
	r, _ := power.Survey(s, e)
	c, err := power.Advise(s, e, r, power.AdviceOptions{EquatorAzimuthDeg: 180})
	if err != nil {
		fmt.Println(err)
		return
	}
	for _, a := range c.Advice {
		fmt.Println(a.Text())
	}
	// Output:
	// a load of 12.5 mA on average instead of 25 (sleep between packets, less relaying, screen and positioning off)
	// a panel of 6 W instead of 3
}

func ExampleSettings() {
	var properties map[string]json.RawMessage
	text := `{"name": "Tanager Knob", "panel_w": 3, "panel_tilt_deg": 95, "cell_mah": 3000, "cells": 0}`
	if err := json.Unmarshal([]byte(text), &properties); err != nil {
		fmt.Println(err)
		return
	}
	_, _, err := power.Settings(power.FromMap(properties), power.SettingDefaults{LatDeg: 36.5})
	fmt.Println(err)
	// Output:
	// panel_tilt_deg: found 95, allowed 0 to 90 deg
	// cells: found 0, allowed a whole number 1 to 100
}

func ExampleLoad_DayWh() {
	share, _ := power.Traffic{OwnPerHour: 6, RelayedPerHour: 60, AirtimeS: 0.4}.TxShare()
	wh, err := power.Load{Duty: lora.RadioDuty{
		TxShare: share, RxShare: 1 - share, TxCurrentA: 0.118, RxCurrentA: 0.0053, HostCurrentA: 0.005,
	}}.DayWh(3.7)
	fmt.Printf("%.2f Wh a day %v\n", wh, err)
	// Output: 0.99 Wh a day <nil>
}

func ExampleSimulate() {
	r, _ := power.Simulate(power.RunInput{
		StartWh: 1, FullWh: 1, GainWh: []float64{0.2, 0.2, 0.9, 0.2, 0.1}, LoadWh: []float64{0.6, 0.6, 0.6, 0.6, 0.6},
	})
	fmt.Printf("%.1f, empty in %d step\n", r.StateWh, len(r.EmptyOn))
	// Output: [0.6 0.2 0.5 0.1 0.0], empty in 1 step
}

func ExampleBox_RiseK() {
	box := power.Box{HeightM: 0.20, WidthM: 0.15, DepthM: 0.10, Absorptance: 0.95}
	sun := power.HeatInput{AirC: 35, IrradianceWm2: 1000, InsideW: 0.1}
	fmt.Printf("black %.0f K", box.RiseK(sun))
	box.Shade = power.ShadeRoofSides
	fmt.Printf(", shaded %.0f K\n", box.RiseK(sun))
	// Output: black 29 K, shaded 16 K
}

// plain is level ground at 200 m.
type plain struct{}

func (plain) Extent() terrain.Extent {
	return terrain.Extent{Bound: orb.Bound{Min: orb.Point{9, 49}, Max: orb.Point{11, 51}}, StepLonDeg: 0.01,
		StepLatDeg: 0.01}
}

func (plain) Heights(at []orb.Point, heightM []float64, flag []terrain.Flag) error {
	for i := range at {
		heightM[i], flag[i] = 200, terrain.Ground
	}
	return nil
}

// A node under the default climate of its latitude: what might be, as nobody knows the
// weather there.
func ExampleSurveyPole() {
	at := orb.Point{10, 50}
	s, err := power.SurveyPole(context.Background(), at, 4, plain{}, power.PoleOptions{
		System:  node(),
		Stated:  power.Stated{Panel: true, Cell: true},
		Weather: func(groundM float64) power.Weather { return power.WeatherUnknown(at.Lat(), groundM) },
		Horizon: terrain.HorizonOptions{StepDeg: 5, MaxM: 20e3},
	})
	if err != nil {
		fmt.Println(err)
		return
	}
	fmt.Println(s.Result.Verdict)
	fmt.Println("dullest:", s.Ends[0].Verdict, "brightest:", s.Ends[1].Verdict)
	// Output:
	// unknown
	// dullest: dies brightest: lives
}
