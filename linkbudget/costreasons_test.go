package linkbudget_test

import (
	"strings"
	"testing"

	"github.com/polereach/polereach/linkbudget"
	"github.com/polereach/polereach/linkbudget/antenna"
	"github.com/polereach/polereach/linkbudget/clutter"
	"github.com/polereach/polereach/linkbudget/lora"
	"github.com/polereach/polereach/linkbudget/radio"
)

// Whatever costs half the power beside distance and ground is told; the figures
// are those of the budget, so only the words are looked for, and that nothing
// is said of a plain pair.
func TestCostsOfTheInstallationAreTold(t *testing.T) {
	away := 180.0
	for name, c := range map[string]struct {
		change func(a, b *linkbudget.Station, env *linkbudget.Environment)
		want   string // "" for silence
	}{
		"plain": {func(_, _ *linkbudget.Station, _ *linkbudget.Environment) {}, ""},
		"crossed": {func(a, _ *linkbudget.Station, _ *linkbudget.Environment) { a.Polarisation = radio.Horizontal },
			"one vertical and one horizontal"},
		"wood": {func(a, _ *linkbudget.Station, _ *linkbudget.Environment) { a.Surroundings.WoodM = 100 }, "wood at a costs"},
		"clutter": {func(_, b *linkbudget.Station, _ *linkbudget.Environment) {
			b.HeightM, b.Surroundings.Inside = 5, clutter.Suburban
		}, "suburban at b costs"},
		"town": {func(a, _ *linkbudget.Station, e *linkbudget.Environment) { a.HeightM, e.TownPercent = 5, 50 },
			"town at a costs"},
		"country": {func(a, _ *linkbudget.Station, _ *linkbudget.Environment) {
			a.HeightM, a.Surroundings.Inside = 3, clutter.Open
		}, "open country at a costs"},
		"assumed, and it reaches": {func(a, b *linkbudget.Station, _ *linkbudget.Environment) {
			a.HeightM, b.HeightM = 8,
				60
		}, ""},
		"assumed, and it is short": {func(a, _ *linkbudget.Station, _ *linkbudget.Environment) {
			a.HeightM, a.TxDBm = 3,
				-30
		},
			"open country, assumed, costs 11.3 dB at a"},
		"free": {func(a, b *linkbudget.Station, _ *linkbudget.Environment) {
			a.Surroundings.Inside, b.Surroundings.Inside = clutter.Free, clutter.Free
		}, ""},
		"sector": {func(a, _ *linkbudget.Station, _ *linkbudget.Environment) {
			a.Antenna.Beam, a.Antenna.AzimuthDeg = antenna.BeamSector, &away
		}, "the antenna of a does not look at b and gives 20.0 dB less than its peak"},
		"cable": {func(_, b *linkbudget.Station, _ *linkbudget.Environment) { b.FeedLossDB = 4 },
			"feed loss at b costs 4.0 dB"},
		"noise": {func(a, _ *linkbudget.Station, _ *linkbudget.Environment) { a.NoiseRiseDB = 9 },
			"stated noise rise lifts the noise floor of a by 9.0 dB"},
		"neighbour": {func(_, b *linkbudget.Station, _ *linkbudget.Environment) {
			b.Nearby = &lora.NearbyTransmitter{PowerDBm: 27, OffsetHz: 2e6, IsolationDB: 30}
		}, "nearby transmitter lifts the noise floor of b by"},
	} {
		t.Run(name, func(t *testing.T) {
			a, b, env := linkbudget.DefaultStation("a", 20), linkbudget.DefaultStation("b", 20), environment()
			c.change(&a, &b, &env)
			r, err := linkbudget.Evaluate(profile(3e3, 31, func(float64) float64 { return 100 }), a, b, env)
			if err != nil {
				t.Fatal(err)
			}
			text := strings.Join(r.Reasons(), "; ")
			if c.want != "" && !strings.Contains(text, c.want) {
				t.Errorf("reasons do not say %q: %s", c.want, text)
			}
			if told := strings.Contains(text, "cost") || strings.Contains(text, "lifts") ||
				strings.Contains(text, "peak"); c.want == "" && told {
				t.Errorf("nothing to tell: %s", text)
			}
		})
	}
}

// What is left must be seen to be less than what is needed, also where both are
// a few metres: 0.6 of F1 = sqrt(0.34538*200*200/400) m is 3.5 m in the middle
// of 400 m at 868 MHz (computed), and antennas 3.4 m up leave 3.4 m.
func TestGrazingTellsWhatIsLeftFromWhatIsNeeded(t *testing.T) {
	s := linkbudget.DefaultStation("s", 3.4)
	env := environment()
	env.FreqHz = 868e6
	r, err := linkbudget.Evaluate(profile(400, 41, func(float64) float64 { return 100 }), s, s, env)
	if err != nil {
		t.Fatal(err)
	}
	const want = "leaves 3.4 m where 0.6 of the first Fresnel zone needs 3.5 m"
	if text := strings.Join(r.Reasons(), "; "); !strings.Contains(text, want) {
		t.Errorf("reasons do not say %q: %s", want, text)
	}
}
