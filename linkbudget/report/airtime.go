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
func NewAirtimeSheet(m linkbudget.Modem, p linkbudget.Packet, f lora.Family,
	noiseFigure linkbudget.DB) (*AirtimeSheet, error) {
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

// members writes a row.
func (r *AirtimeRow) members(o *object, noiseFigure linkbudget.DB) {
	o.count("sf", r.Modem.SF)
	o.truth("ldro", r.Modem.LDROOn())
	o.number("symbol_ms", r.Modem.SymbolS()*1e3, 6)
	o.number("preamble_ms", r.Airtime.PreambleS*1e3, 3)
	o.count("payload_symbols", r.Airtime.PayloadSymbols)
	o.number("airtime_ms", r.Airtime.TotalS*1e3, 3)
	o.number("rate_bps", r.Modem.BitRate(), 2)
	o.number("required_snr_db", float64(r.Modem.RequiredSNR()), 3)
	o.number("noise_dbm", float64(r.noise(noiseFigure)), 3)
	o.number("sensitivity_dbm", float64(r.Modem.Sensitivity(noiseFigure)), 3)
}

func (r *AirtimeRow) noise(figure linkbudget.DB) linkbudget.DBm {
	return lora.ThermalNoise(r.Modem.BWHz).Add(figure)
}

// AirtimeJSON writes the object of the command "airtime".
func AirtimeJSON(w io.Writer, s *AirtimeSheet) (err error) {
	defer fault.Recovered(&err)
	return writeCommand(w, "airtime", func(o *object) {
		o.object("settings", func(o *object) {
			o.count("payload_b", s.Packet.PayloadB)
			o.count("preamble_symbols", s.Packet.PreambleSymbols)
			o.truth("implicit_header", s.Packet.ImplicitHeader)
			o.truth("crc", !s.Packet.NoCRC)
			o.number("bw_khz", s.BWHz/1e3, 3)
			o.count("cr", s.Chosen.Modem.CR+4)
			o.number("noise_figure_db", float64(s.NoiseFigureDB), 3)
			o.text("chip", s.Family.String())
		})
		o.object("chosen", func(o *object) { s.Chosen.members(o, s.NoiseFigureDB) })
		o.list("all", len(s.All), func(i int) { s.All[i].members(o, s.NoiseFigureDB) })
		o.rules("", s.Rules)
	})
}

// AirtimeText writes the packet's figures, then the other spreading factors.
func AirtimeText(w io.Writer, s *AirtimeSheet) (err error) {
	defer fault.Recovered(&err)
	out := bufio.NewWriter(w)
	m, air := s.Chosen.Modem, s.Chosen.Airtime
	fmt.Fprintf(out, "%.3f ms on air: %d bytes, SF%d, %.4g kHz, 4/%d\n",
		air.TotalS*1e3, s.Packet.PayloadB, m.SF, s.BWHz/1e3, m.CR+4)
	writeWrapped(out, "  ", fmt.Sprintf("symbol %.3f ms, preamble %.3f ms, %d payload symbols, low data rate "+
		"optimisation %s", m.SymbolS()*1e3, air.PreambleS*1e3, air.PayloadSymbols, onOff(m.LDROOn())))
	writeWrapped(out, "  ", fmt.Sprintf("%.0f bit/s; sensitivity %.1f dBm (noise figure %g dB, needs %+.1f dB over "+
		"%.1f dBm noise)",
		m.BitRate(), m.Sensitivity(s.NoiseFigureDB), float64(s.NoiseFigureDB), m.RequiredSNR(),
		s.Chosen.noise(s.NoiseFigureDB)))
	fmt.Fprintln(out)
	fmt.Fprintf(out, "    SF    symbol ms      on air ms     bit/s  needed dBm\n")
	for _, r := range s.All {
		mark := " "
		if r.Modem.SF == m.SF {
			mark = ">"
		}
		ldro := " "
		if r.Modem.LDROOn() {
			ldro = "o"
		}
		fmt.Fprintf(out, "  %s %2d %s %10.3f %14.3f %9.0f %11.1f\n", mark, r.Modem.SF, ldro,
			r.Modem.SymbolS()*1e3, r.Airtime.TotalS*1e3, r.Modem.BitRate(), r.Modem.Sensitivity(s.NoiseFigureDB))
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
