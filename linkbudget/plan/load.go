package plan

import (
	"fmt"

	"github.com/polereach/polereach/linkbudget"
)

// load fills in the traffic on the air at every pole.
//
// Direct: U = lambda T (1 + sum of p), each pole heard with the probability p of
// its link and itself always. Flood: each pole repeats every message of its part
// once, so it sends lambda times as many messages as the part has poles; within
// one part this is lambda_net T (1 + forwarders), linkbudget.ChannelUtilisation.
func (m *Mesh) load(opt CheckOptions) error {
	if opt.PacketsPerHour == 0 {
		return nil
	}
	env := opt.Settings.Environment
	packet := env.Packet
	if packet == (linkbudget.Packet{}) {
		packet = linkbudget.DefaultPacket
	}
	air, err := linkbudget.TimeOnAir(env.Modem, packet, env.Family)
	if err != nil {
		return err
	}
	m.AirtimeS = air.TotalS
	m.loadWarnings(opt)
	own := func(v int) (directS, floodS float64) { // on the air per hour
		directS = opt.PacketsPerHour * m.AirtimeS
		return directS, directS * float64(len(m.Components[m.Stations[v].Component]))
	}
	for v := range m.Stations {
		l := &Load{}
		l.DirectS, l.FloodS = own(v)
		l.DirectDuty, l.FloodDuty = l.DirectS/3600, l.FloodS/3600
		if rules := m.Stations[v].Rules; rules != nil {
			if row, ok := rules.Best(); ok {
				l.DutyLimit = row.Rule.Duty
			}
		}
		m.Stations[v].Load = l
	}
	for i := range m.Pairs {
		p := &m.Pairs[i]
		for _, way := range [2][2]int32{{p.A, p.B}, {p.B, p.A}} {
			l := m.Stations[way[1]].Load
			directS, floodS := own(int(way[0]))
			l.Heard += p.Probability
			l.DirectS += p.Probability * directS
			l.FloodS += p.Probability * floodS
		}
	}
	for v := range m.Stations {
		l := m.Stations[v].Load
		l.DirectUtilisation, l.FloodUtilisation = l.DirectS/3600, l.FloodS/3600
		var errs [2]error
		l.DirectCollision, errs[0] = linkbudget.CollisionProbability(l.DirectUtilisation, 1)
		l.FloodCollision, errs[1] = linkbudget.CollisionProbability(l.FloodUtilisation, 1)
		for _, err := range errs {
			if err != nil {
				return fmt.Errorf("load at %q: %w", m.Stations[v].Station.Name, err)
			}
		}
	}
	return nil
}

// loadWarnings says where the load is not the whole of it.
func (m *Mesh) loadWarnings(opt CheckOptions) {
	if len(m.Plan.Links) > 0 && !opt.AllPairs {
		m.Warnings = append(m.Warnings, "channel load: only the wanted links were examined, so poles heard beside them are not counted; examine all pairs for that")
	}
	for i := range m.Plan.Links {
		if l := &m.Plan.Links[i]; l.SF != nil || l.BWKHz != nil || l.CR != nil || l.FreqMHz != nil {
			m.Warnings = append(m.Warnings, "channel load: links with a channel or modem of their own are counted with the airtime and the channel of the settings")
			return
		}
	}
}
