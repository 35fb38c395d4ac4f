package mesh

import (
	"fmt"

	"github.com/polereach/polereach/linkbudget"
	"github.com/polereach/polereach/linkbudget/lora"
)

// Load is the traffic on the air at one pole. A message of Mesh.AirtimeS leaves
// every pole PacketsPerHour times an hour; a pole is heard with the probability of
// its direction, be it answered or not. Direct is without repeats, RepeatAll with
// every pole of a part repeating every message of that part once. How many messages
// are lost then depends on how long each waits before it repeats: not told.
type Load struct {
	// Heard is the expected number of other poles audible here.
	Heard float64
	// DirectS and RepeatAllS are the airtime at the place per hour, s, its own
	// included; the same as a share of the time: above 1 more is offered than there
	// is time.
	DirectS, RepeatAllS                     float64
	DirectUtilisation, RepeatAllUtilisation float64
	// DirectCollision is the share of packets lost to others there, all sent at
	// random times without listening first.
	DirectCollision float64
	// DirectDuty and RepeatAllDuty are the pole's own share of time on the air;
	// DutyLimit that of the band's table, 0 where it states none.
	DirectDuty, RepeatAllDuty, DutyLimit float64
	// Far is the same while the air carries far, for each of FarPercents of the time, on all
	// paths at once, as layers of air lie over whole regions.
	Far [2]FarLoad
}

// FarLoad is what of a Load changes with what is heard.
type FarLoad struct{ Heard, DirectUtilisation, RepeatAllUtilisation, DirectCollision float64 }

// FarPercents are the shares of time of Load.Far.
var FarPercents = [2]float64{10, 1}

// rise keeps by how much the levels of a pair just surveyed rise, where it tells: not where the
// pair is heard anyway, nor where it is not with all that can be gained, free space and the 4.4 dB
// that focusing adds for 1 % of the time (ITU-R P.1812-6 eq (9)).
func (x *examiner) rise(p *Pair) {
	const sure, focusingDB = 4, 4.5
	least, most := min(p.Forward.MarginDB, p.Backward.MarginDB), max(p.Forward.MarginDB, p.Backward.MarginDB)
	if p.Verdict == linkbudget.Unknown || least > sure*p.SigmaDB ||
		most+p.LossDB-p.ClutterDB-p.FreeSpaceDB+focusingDB < -sure*p.SigmaDB {
		return
	}
	var rises [len(FarPercents)]linkbudget.DB
	x.Rises(&x.brief, FarPercents[:], rises[:])
	if p.PairNotes == nil {
		p.PairNotes = &PairNotes{}
	}
	p.PairNotes.Rise = &PairRise{rises[0], rises[1]}
}

// far are the probabilities of Pair.Probabilities for a share of FarPercents.
func (p *Pair) far(i int) (forward, backward float64) {
	if p.PairNotes == nil || p.Rise == nil {
		return p.Probabilities()
	}
	rise := [...]linkbudget.DB{p.Rise.TenthDB, p.Rise.HundredthDB}[i]
	return p.Chance(p.Forward.MarginDB + rise), p.Chance(p.Backward.MarginDB + rise)
}

// load fills in the traffic on the air at every pole: T lambda (1 + sum of p),
// where lambda is what a pole sends: its own messages, or with repeats those of as
// many poles as its part has.
func (m *Mesh) load(opt Options) error {
	if opt.PacketsPerHour == 0 {
		return nil
	}
	env := opt.Settings.Environment
	packet := env.Packet
	if packet == (linkbudget.Packet{}) {
		packet = linkbudget.DefaultPacket
	}
	air, err := lora.TimeOnAir(env.Modem, packet, env.Family)
	if err != nil {
		return err
	}
	m.AirtimeS = air.TotalS
	m.loadWarnings()
	directS := opt.PacketsPerHour * m.AirtimeS // on the air per hour
	loads := make([]Load, len(m.Stations))
	repeatAllS := make([]float64, len(m.Stations))
	for v := range loads {
		repeatAllS[v] = directS * float64(len(m.Components[m.Stations[v].Component]))
		l := &loads[v]
		l.DirectS, l.RepeatAllS = directS, repeatAllS[v]
		l.DirectDuty, l.RepeatAllDuty = l.DirectS/3600, l.RepeatAllS/3600
		if rules := m.Stations[v].Rules; rules != nil {
			if row, ok := rules.Best(); ok {
				l.DutyLimit = row.Rule.Duty
			}
		}
		for i := range l.Far {
			l.Far[i].DirectUtilisation, l.Far[i].RepeatAllUtilisation = l.DirectDuty, l.RepeatAllDuty
		}
		m.Stations[v].Load = l
	}
	for i := range m.Pairs {
		p := &m.Pairs[i]
		forward, backward := p.Probabilities()
		loads[p.B].hear(forward, directS, repeatAllS[p.A])
		loads[p.A].hear(backward, directS, repeatAllS[p.B])
		for i := range FarPercents {
			forward, backward := p.far(i)
			loads[p.B].Far[i].hear(forward, directS, repeatAllS[p.A])
			loads[p.A].Far[i].hear(backward, directS, repeatAllS[p.B])
		}
	}
	for v := range loads {
		l := &loads[v]
		l.DirectUtilisation, l.RepeatAllUtilisation = l.DirectS/3600, l.RepeatAllS/3600
		if l.DirectCollision, err = lora.CollisionProbability(l.DirectUtilisation, 1); err != nil {
			return fmt.Errorf("load at %q: %w", m.Stations[v].Station.Name, err)
		}
		for i := range l.Far {
			f := &l.Far[i]
			if f.DirectCollision, err = lora.CollisionProbability(f.DirectUtilisation, 1); err != nil {
				return fmt.Errorf("load at %q: %w", m.Stations[v].Station.Name, err)
			}
		}
	}
	return nil
}

// hear adds a pole that is heard with some probability.
func (l *Load) hear(probability, directS, repeatAllS float64) {
	l.Heard += probability
	l.DirectS += probability * directS
	l.RepeatAllS += probability * repeatAllS
}

func (l *FarLoad) hear(probability, directS, repeatAllS float64) {
	l.Heard += probability
	l.DirectUtilisation += probability * directS / 3600
	l.RepeatAllUtilisation += probability * repeatAllS / 3600
}

// loadWarnings says where the load is not the whole of it.
func (m *Mesh) loadWarnings() {
	for i := range m.Plan.Links {
		if l := &m.Plan.Links[i]; l.SF != nil || l.BWKHz != nil || l.CR != nil || l.FreqMHz != nil {
			m.Warnings = append(m.Warnings, "channel load: links with a channel or modem of their own "+
				"are counted with the airtime and the channel of the settings")
			return
		}
	}
}
