package lora

import (
	"math"
	"testing"

	"pgregory.net/rapid"
)

// anyPacket draws from the packets Validate accepts.
func anyPacket() *rapid.Generator[Packet] {
	return rapid.Custom(func(t *rapid.T) Packet {
		return Packet{
			PayloadB:        rapid.IntRange(1, 255).Draw(t, "payload"),
			PreambleSymbols: rapid.IntRange(1, 65535).Draw(t, "preamble"),
			ImplicitHeader:  rapid.Bool().Draw(t, "implicit"),
			NoCRC:           rapid.Bool().Draw(t, "noCRC"),
		}
	})
}

func mustTimeOnAir(t *rapid.T, m Modem, p Packet, f Family) Airtime {
	a, err := TimeOnAir(m, p, f)
	if err != nil {
		t.Fatalf("%+v %+v %v: %v", m, p, f, err)
	}
	return a
}

// A byte more never shortens a packet, nor does a header, a checksum, more
// redundancy or a preamble symbol; the last lengthens it by one symbol.
func TestAirtimeNeverShrinks(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		m, p := anyModem(5).Draw(t, "modem"), anyPacket().Draw(t, "packet")
		now := mustTimeOnAir(t, m, p, FamilySX126x)
		atLeast := func(what string, m Modem, p Packet) Airtime {
			more := mustTimeOnAir(t, m, p, FamilySX126x)
			if !(more.TotalS >= now.TotalS) {
				t.Fatalf("%s: %v s, without %v s", what, more.TotalS, now.TotalS)
			}
			return more
		}
		if q := p; q.PayloadB < 255 {
			q.PayloadB++
			atLeast("a byte more", m, q)
		}
		q := p
		q.ImplicitHeader = false
		atLeast("a header", m, q)
		q = p
		q.NoCRC = false
		atLeast("a checksum", m, q)
		if n := m; n.CR < 4 {
			n.CR++
			atLeast("redundancy", n, p)
		}
		if n := m; m.SF >= 7 {
			n.LDRO = LDROOn
			atLeast("LDRO", n, p)
		}
		if q = p; q.PreambleSymbols < 65535 {
			q.PreambleSymbols++
			more := atLeast("a preamble symbol", m, q)
			if !(math.Abs(more.TotalS-now.TotalS-m.SymbolS()) <= 1e-9) {
				t.Fatalf("a preamble symbol lasts %v s, want %v", more.TotalS-now.TotalS, m.SymbolS())
			}
		}
	})
}

// From SF7 up the two datasheets state the same formula in different words.
// Each is written out here as its datasheet prints it, in floating point with
// a ceiling that forgives rounding, and all three must agree.
func TestAirtimeFormsAgree(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		m, p := anyModem(7).Draw(t, "modem"), anyPacket().Draw(t, "packet")
		old := mustTimeOnAir(t, m, p, FamilySX127x)
		if recent := mustTimeOnAir(t, m, p, FamilySX126x); recent != old {
			t.Fatalf("%+v %+v: SX126x %+v, SX127x %+v", m, p, recent, old)
		}
		flag := func(b bool) float64 {
			if b {
				return 1
			}
			return 0
		}
		pl, sf, cr, pre := float64(p.PayloadB), float64(m.SF), float64(m.CR), float64(p.PreambleSymbols)
		crc, ih, de := flag(!p.NoCRC), flag(p.ImplicitHeader), flag(m.LDROOn())
		ceil := func(x float64) float64 { return math.Ceil(x - 1e-9) }
		symbol := math.Pow(2, sf) / m.BWHz

		sx127x := (pre+4.25)*symbol + symbol*(8+math.Max(ceil((8*pl-4*sf+28+16*crc-20*ih)/(4*(sf-2*de)))*(cr+4), 0))
		sx126x := symbol * (pre + 4.25 + 8 + ceil(math.Max(8*pl+16*crc-4*sf+8+20*(1-ih), 0)/(4*(sf-2*de)))*(cr+4))
		for _, want := range []float64{sx127x, sx126x} {
			if !(math.Abs(old.TotalS-want) <= 1e-9*want) {
				t.Fatalf("%+v %+v: %v s, want %v", m, p, old.TotalS, want)
			}
		}
	})
}

// Every airtime is a whole number of microseconds.
func TestAirtimeIsWholeMicroseconds(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		a := mustTimeOnAir(t, anyModem(5).Draw(t, "modem"), anyPacket().Draw(t, "packet"), FamilySX126x)
		for _, s := range []float64{a.SymbolS, a.PreambleS, a.PayloadS, a.TotalS} {
			if us := s * 1e6; !(math.Abs(us-math.Round(us)) <= 1e-12*us) {
				t.Fatalf("%v us", us)
			}
		}
	})
}

func BenchmarkTimeOnAir(b *testing.B) {
	m, p := Modem{SF: 11, BWHz: 125e3, CR: 1}, Packet{PayloadB: 51, PreambleSymbols: 8}
	b.ReportAllocs()
	for b.Loop() {
		if _, err := TimeOnAir(m, p, FamilySX126x); err != nil {
			b.Fatal(err)
		}
	}
}
