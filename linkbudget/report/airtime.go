package report

import (
	"bufio"
	"errors"
	"fmt"
	"io"

	"github.com/polereach/polereach/linkbudget"
	"github.com/polereach/polereach/linkbudget/band"
	"github.com/polereach/polereach/linkbudget/lora"
	"github.com/polereach/polereach/terrain/fault"
)

// AirtimeSheet is one packet at every spreading factor of one bandwidth.
type AirtimeSheet struct {
	Packet        linkbudget.Packet
	Family        lora.Family
	BWHz          float64
	NoiseFigureDB linkbudget.DB
	Chosen        AirtimeRow
	// All holds every spreading factor that the chip family and header allow.
	All []AirtimeRow
	// Rules compares the chosen row with a band's table, nil without one.
	Rules *band.Report
}

// AirtimeRow is the packet at one spreading factor.
type AirtimeRow struct {
	Modem   linkbudget.Modem
	Airtime lora.Airtime
}

// NewAirtimeSheet computes the sheet; the error is that of the chosen modem or of a
// noise figure beyond 0 to 30 dB.
func NewAirtimeSheet(m linkbudget.Modem, p linkbudget.Packet, f lora.Family, noiseFigure linkbudget.DB) (*AirtimeSheet, error) {
	air, err := lora.TimeOnAir(m, p, f)
	if err := errors.Join(err, fault.Range("noise_figure_db", float64(noiseFigure), 0, 30, "dB")); err != nil {
		return nil, err
	}
	s := &AirtimeSheet{Packet: p, Family: f, BWHz: m.BWHz, NoiseFigureDB: noiseFigure, Chosen: AirtimeRow{m, air}}
	for sf := 5; sf <= 12; sf++ {
		other := m
		other.SF = sf
		if air, err := lora.TimeOnAir(other, p, f); err == nil {
			s.All = append(s.All, AirtimeRow{other, air})
		}
	}
	return s, nil
}

type airtimeJSON struct {
	Schema   int              `json:"schema"`
	Command  string           `json:"command"`
	Settings airtimeSetting   `json:"settings"`
	Chosen   airtimeRowJSON   `json:"chosen"`
	All      []airtimeRowJSON `json:"all"`
	Rules    *rulesJSON       `json:"rules,omitempty"`
}

type airtimeSetting struct {
	PayloadB        int     `json:"payload_b"`
	PreambleSymbols int     `json:"preamble_symbols"`
	ImplicitHeader  bool    `json:"implicit_header"`
	CRC             bool    `json:"crc"`
	BWKHz           float64 `json:"bw_khz"`
	CR              int     `json:"cr"`
	NoiseFigureDB   float64 `json:"noise_figure_db"`
	Chip            string  `json:"chip"`
}

type airtimeRowJSON struct {
	SF             int     `json:"sf"`
	LDRO           bool    `json:"ldro"`
	SymbolMs       float64 `json:"symbol_ms"`
	PreambleMs     float64 `json:"preamble_ms"`
	PayloadSymbols int     `json:"payload_symbols"`
	AirtimeMs      float64 `json:"airtime_ms"`
	RateBps        float64 `json:"rate_bps"`
	RequiredSNRDB  float64 `json:"required_snr_db"`
	NoiseDBm       float64 `json:"noise_dbm"`
	SensitivityDBm float64 `json:"sensitivity_dbm"`
}

func airtimeRow(r AirtimeRow, noiseFigure linkbudget.DB) airtimeRowJSON {
	return airtimeRowJSON{
		SF: r.Modem.SF, LDRO: r.Modem.LDROOn(),
		SymbolMs:       fixed(r.Modem.SymbolS()*1e3, 6),
		PreambleMs:     fixed(r.Airtime.PreambleS*1e3, 3),
		PayloadSymbols: r.Airtime.PayloadSymbols,
		AirtimeMs:      fixed(r.Airtime.TotalS*1e3, 3),
		RateBps:        fixed(r.Modem.BitRate(), 2),
		RequiredSNRDB:  db(r.Modem.RequiredSNR()),
		NoiseDBm:       dbm(lora.ThermalNoise(r.Modem.BWHz).Add(noiseFigure)),
		SensitivityDBm: dbm(r.Modem.Sensitivity(noiseFigure)),
	}
}

// AirtimeJSON writes the object of the command "airtime".
func AirtimeJSON(w io.Writer, s *AirtimeSheet) (err error) {
	defer fault.Recovered(&err)
	j := airtimeJSON{
		Schema: 1, Command: "airtime",
		Settings: airtimeSetting{
			PayloadB: s.Packet.PayloadB, PreambleSymbols: s.Packet.PreambleSymbols,
			ImplicitHeader: s.Packet.ImplicitHeader, CRC: !s.Packet.NoCRC,
			BWKHz: fixed(s.BWHz/1e3, 3), CR: s.Chosen.Modem.CR + 4,
			NoiseFigureDB: db(s.NoiseFigureDB), Chip: s.Family.String(),
		},
		Chosen: airtimeRow(s.Chosen, s.NoiseFigureDB),
	}
	for _, r := range s.All {
		j.All = append(j.All, airtimeRow(r, s.NoiseFigureDB))
	}
	if s.Rules != nil {
		j.Rules = ptr(newRulesJSON("", s.Rules))
	}
	return writeJSON(w, j)
}

// AirtimeText writes the packet's figures, then the other spreading factors.
func AirtimeText(w io.Writer, s *AirtimeSheet) (err error) {
	defer fault.Recovered(&err)
	out := bufio.NewWriter(w)
	c := airtimeRow(s.Chosen, s.NoiseFigureDB)
	fmt.Fprintf(out, "%.3f ms on air: %d bytes, SF%d, %.4g kHz, 4/%d\n", c.AirtimeMs, s.Packet.PayloadB, c.SF, s.BWHz/1e3, s.Chosen.Modem.CR+4)
	writeWrapped(out, "  ", fmt.Sprintf("symbol %.3f ms, preamble %.3f ms, %d payload symbols, low data rate optimisation %s",
		c.SymbolMs, c.PreambleMs, c.PayloadSymbols, onOff(c.LDRO)))
	writeWrapped(out, "  ", fmt.Sprintf("%.0f bit/s; sensitivity %.1f dBm (noise figure %g dB, needs %+.1f dB over %.1f dBm noise)",
		c.RateBps, c.SensitivityDBm, float64(s.NoiseFigureDB), c.RequiredSNRDB, c.NoiseDBm))
	fmt.Fprintln(out)
	fmt.Fprintf(out, "    SF    symbol ms      on air ms     bit/s  needed dBm\n")
	for _, row := range s.All {
		r := airtimeRow(row, s.NoiseFigureDB)
		mark := " "
		if r.SF == c.SF {
			mark = ">"
		}
		ldro := " "
		if r.LDRO {
			ldro = "o"
		}
		fmt.Fprintf(out, "  %s %2d %s %10.3f %14.3f %9.0f %11.1f\n", mark, r.SF, ldro, r.SymbolMs, r.AirtimeMs, r.RateBps, r.SensitivityDBm)
	}
	fmt.Fprintln(out, "  o: low data rate optimisation on; both ends must agree on it")
	if s.Rules != nil {
		fmt.Fprintln(out)
		writeRules(out, "Rules", s.Rules)
	}
	return out.Flush()
}

func onOff(v bool) string {
	if v {
		return "on"
	}
	return "off"
}
