package main

import (
	"errors"
	"io"

	"github.com/urfave/cli/v2"

	"github.com/polereach/polereach/linkbudget"
	"github.com/polereach/polereach/linkbudget/band"
	"github.com/polereach/polereach/linkbudget/lora"
	"github.com/polereach/polereach/linkbudget/mesh"
	"github.com/polereach/polereach/linkbudget/radio"
	"github.com/polereach/polereach/linkbudget/report"
)

func airtimeCommand() *cli.Command {
	flags := append(append(packetFlags(), []cli.Flag{
		&cli.BoolFlag{Name: "implicit-header", Usage: "no header in the packet"},
		&cli.BoolFlag{Name: "no-crc", Usage: "no payload checksum"},
		&cli.StringFlag{Name: "ldro", Value: "auto", Usage: "low data rate optimisation, `WORD` auto, on or off"},
		&cli.StringFlag{Name: "chip", Value: "sx126x", Usage: "form of the formula, `FAMILY` sx126x or sx127x; they " +
			"differ at SF5 and SF6"},
		&cli.Float64Flag{Name: "freq-mhz", Value: defaultFreqMHz, DefaultText: freqDefault,
			Usage: "carrier frequency for --band, `MHZ`"},
	}...), withDefaults(radiatedFlags, ", for --band")...)
	flags = append(append(append(flags, strictRulesFlag()), modemFlags()...), bandFlags()...)
	return &cli.Command{
		Name:      "airtime",
		Usage:     "time on air, rate and sensitivity of a packet",
		UsageText: "polereach airtime [--payload-b BYTES] [flags]",
		Description: `Example:
   polereach airtime --sf 10 --payload-b 24`,
		Flags: append(append(flags, &cli.StringFlag{Name: "radio", Usage: "settings `FILE` (JSON)"}),
			outputFlags(textOrJSON)...),
		Action: runAirtime,
	}
}

func runAirtime(c *cli.Context) error {
	if c.NArg() != 0 {
		return usagef("airtime: takes no arguments, found %q", c.Args().First())
	}
	radioErr := applyRadioFile(c, "")
	m, modemErr := modem(c)
	ldro, ldroErr := oneOf(c, "ldro", "auto, on or off",
		map[string]lora.LDROMode{"auto": lora.LDROAuto, "on": lora.LDROOn, "off": lora.LDROOff})
	family, familyErr := oneOf(c, "chip", "sx126x or sx127x",
		map[string]lora.Family{"sx126x": lora.FamilySX126x, "sx127x": lora.FamilySX127x})
	m.LDRO = ldro
	packet := linkbudget.Packet{PayloadB: c.Int("payload-b"), PreambleSymbols: c.Int("preamble"),
		ImplicitHeader: c.Bool("implicit-header"), NoCRC: c.Bool("no-crc")}
	freqHz, bandErr := carrierHz(c, m.BWHz)
	var radiated linkbudget.Station
	var radiatedErr error
	for _, f := range radiatedFlags {
		*f.Model(&radiated) = c.Float64(f.of(""))
		radiatedErr = errors.Join(radiatedErr, f.Limits.Check(f.of(""), c.Float64(f.of(""))))
	}
	if err := errors.Join(radioErr, modemErr, ldroErr, familyErr, above0(c, "noise-figure-db", 30, "dB"),
		packet.Validate(), bandErr,
		inRange(c, "freq-mhz", radio.MinFreqHz/1e6, radio.MaxFreqHz/1e6, "MHz"), radiatedErr); err != nil {
		return usage(err)
	}
	sheet, err := report.NewAirtimeSheet(m, packet, family, linkbudget.DB(c.Float64("noise-figure-db")))
	if err != nil {
		return usage(err)
	}
	if chosen, _ := chooseBand(c); chosen != "" { // its faults are told
		env := linkbudget.Environment{FreqHz: freqHz, Modem: m, Packet: packet, Family: family}
		use, err := mesh.BandUse(radiated, env, c.Float64("packets-per-hour"))
		if err != nil {
			return usage(err)
		}
		rules, err := band.Check(chosen, use)
		if err != nil {
			return usage(err)
		}
		sheet.Rules = &rules
	}
	err = emit(c, func(w io.Writer) error { return asked(c, report.AirtimeText, report.AirtimeJSON)(w, sheet) })
	if err == nil && c.Bool("strict-rules") && sheet.Rules != nil && sheet.Rules.Exceeds() {
		return &exitError{code: exitNotHeld}
	}
	return err
}
