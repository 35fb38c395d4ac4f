package main

import (
	"errors"
	"fmt"
	"io"

	"github.com/urfave/cli/v2"

	"github.com/polereach/polereach/linkbudget"
	"github.com/polereach/polereach/linkbudget/band"
	"github.com/polereach/polereach/linkbudget/lora"
	"github.com/polereach/polereach/linkbudget/radio"
	"github.com/polereach/polereach/linkbudget/report"
)

func airtimeCommand() *cli.Command {
	flags := append(append(packetFlags(), []cli.Flag{
		&cli.BoolFlag{Name: "implicit-header", Usage: "no header in the packet"},
		&cli.BoolFlag{Name: "no-crc", Usage: "no payload checksum"},
		&cli.StringFlag{Name: "ldro", Value: "auto", Usage: "low data rate optimisation, `WORD` auto, on or off"},
		&cli.StringFlag{Name: "chip", Value: "sx126x", Usage: "form of the formula, `FAMILY` sx126x or sx127x; they differ at SF5 and SF6"},
		&cli.Float64Flag{Name: "freq-mhz", Value: defaultFreqMHz, DefaultText: "the band's channel",
			Usage: "carrier frequency for --band, `MHZ`"},
		&cli.Float64Flag{Name: "tx-dbm", Value: 14, Usage: "transmitter output for --band, `DBM`"},
		&cli.Float64Flag{Name: "gain-dbi", Value: 2.15, Usage: "antenna gain for --band, `DBI`"},
		&cli.Float64Flag{Name: "feed-loss-db", Value: 0, Usage: "cable and connectors for --band, `DB`"},
		strictRulesFlag(),
	}...), append(modemFlags(), bandFlags()...)...)
	return &cli.Command{
		Name:      "airtime",
		Usage:     "time on air, rate and sensitivity of a packet",
		UsageText: "polereach airtime [--payload-b BYTES] [flags]",
		Description: `Example:
   polereach airtime --sf 10 --payload-b 24`,
		Flags:  append(append(flags, &cli.StringFlag{Name: "radio", Usage: "settings `FILE` (JSON)"}), outputFlags()...),
		Action: runAirtime,
	}
}

func runAirtime(c *cli.Context) error {
	kind, err := format(c)
	if err != nil {
		return err
	}
	if c.NArg() != 0 {
		return usagef("airtime: takes no arguments, found %q", c.Args().First())
	}
	radioErr := applyRadioFile(c, "")
	m, modemErr := modem(c)
	ldro, ldroErr := chooseLDRO(c.String("ldro"))
	family, familyErr := chooseFamily(c.String("chip"))
	m.LDRO = ldro
	noise := linkbudget.DB(c.Float64("noise-figure-db"))
	var noiseErr error
	if !(noise > 0 && noise <= 30) {
		noiseErr = fmt.Errorf("noise-figure-db: found %g, allowed above 0 to 30 dB", float64(noise))
	}
	packet := linkbudget.Packet{PayloadB: c.Int("payload-b"), PreambleSymbols: c.Int("preamble"),
		ImplicitHeader: c.Bool("implicit-header"), NoCRC: c.Bool("no-crc")}
	freqHz, bandErr := carrierHz(c, m.BWHz)
	if err := errors.Join(radioErr, modemErr, ldroErr, familyErr, noiseErr, packet.Validate(), bandErr,
		inRange(c, "freq-mhz", radio.MinFreqHz/1e6, radio.MaxFreqHz/1e6, " MHz"), inRange(c, "tx-dbm", -30, 40, " dBm"),
		inRange(c, "gain-dbi", -20, 30, " dBi"), inRange(c, "feed-loss-db", 0, 40, " dB")); err != nil {
		return usage(err)
	}
	sheet, err := report.NewAirtimeSheet(m, packet, family, noise)
	if err != nil {
		return usage(err)
	}
	if err := airtimeRules(c, sheet, freqHz); err != nil {
		return usage(err)
	}
	err = emit(c, func(w io.Writer) error {
		if kind == "json" {
			return report.AirtimeJSON(w, sheet)
		}
		return report.AirtimeText(w, sheet)
	})
	if err == nil && c.Bool("strict-rules") && sheet.Rules != nil && sheet.Rules.Exceeds() {
		return &exitError{code: exitNotHeld}
	}
	return err
}

// airtimeRules compares the packet with the table of the chosen band, if any.
func airtimeRules(c *cli.Context, sheet *report.AirtimeSheet, freqHz float64) error {
	chosen, _ := chooseBand(c) // its faults are told
	if chosen == "" {
		return nil
	}
	rules, err := band.Check(chosen, band.Use{
		FreqHz: freqHz, BWHz: sheet.BWHz,
		TxDBm: linkbudget.DBm(c.Float64("tx-dbm")), GainDBi: linkbudget.DB(c.Float64("gain-dbi")), FeedLossDB: linkbudget.DB(c.Float64("feed-loss-db")),
		AirtimeS: sheet.Chosen.Airtime.TotalS, PacketsPerHour: c.Float64("packets-per-hour"),
	})
	sheet.Rules = &rules
	return err
}

func chooseLDRO(word string) (lora.LDROMode, error) {
	switch word {
	case "auto":
		return lora.LDROAuto, nil
	case "on":
		return lora.LDROOn, nil
	case "off":
		return lora.LDROOff, nil
	}
	return lora.LDROAuto, fmt.Errorf("ldro: found %q, allowed auto, on or off", word)
}

func chooseFamily(word string) (lora.Family, error) {
	switch word {
	case "sx126x":
		return lora.FamilySX126x, nil
	case "sx127x":
		return lora.FamilySX127x, nil
	}
	return lora.FamilySX126x, fmt.Errorf("chip: found %q, allowed sx126x or sx127x", word)
}
