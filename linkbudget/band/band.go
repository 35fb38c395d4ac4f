package band

import (
	"slices"
	"strconv"
	"strings"

	"github.com/polereach/polereach/terrain/fault"
)

// Band names a table of rules: the channel-plan name of the LoRaWAN regional
// parameters in lower case where one exists, else region and megahertz.
type Band string

// The bands.
const (
	EU868  Band = "eu868" // with the neighbouring segments at 874 and 917 MHz
	EU433  Band = "eu433"
	EU169  Band = "eu169"
	UK868  Band = "uk868" // with 870 to 874.4 MHz
	US915  Band = "us915"
	CA915  Band = "ca915"
	BR915  Band = "br915"
	AU915  Band = "au915"
	NZ915  Band = "nz915" // with 864 to 868 MHz
	IN865  Band = "in865"
	IN433  Band = "in433"
	JP920  Band = "jp920"
	KR920  Band = "kr920"
	AS9231 Band = "as923-1"
	AS9232 Band = "as923-2"
	AS9233 Band = "as923-3"
	AS9234 Band = "as923-4"
	CN470  Band = "cn470"
	RU864  Band = "ru864"
)

// bands lists them in the order of help texts.
var bands = []Band{EU868, EU433, EU169, UK868, US915, CA915, BR915, AU915, NZ915, IN865, IN433,
	JP920, KR920, AS9231, AS9232, AS9233, AS9234, CN470, RU864}

// Names returns all bands in the order of help texts.
func Names() []Band { return slices.Clone(bands) }

// Parse returns the band of a name, in any case of letters. The error for an
// unknown name lists all.
func Parse(name string) (Band, error) {
	b := Band(strings.ToLower(strings.TrimSpace(name)))
	if slices.Contains(bands, b) {
		return b, nil
	}
	return "", unknown(name)
}

func unknown(name string) error {
	all := make([]string, len(bands))
	for i, b := range bands {
		all[i] = string(b)
	}
	return fault.Found("band", strconv.Quote(string(name)), strings.Join(all, " "))
}

// Rules returns the rows of a band in table order, or nil for an unknown band.
func Rules(b Band) []Rule {
	switch b {
	case EU868:
		return eu868Rules()
	case EU433:
		return eu433Rules()
	case EU169:
		return eu169Rules()
	case UK868:
		return uk868Rules()
	case RU864:
		return ru864Rules()
	case US915:
		return us915Rules()
	case CA915:
		return ca915Rules()
	case BR915:
		return br915Rules()
	case AU915:
		return au915Rules()
	case NZ915:
		return nz915Rules()
	case IN865:
		return in865Rules()
	case IN433:
		return in433Rules()
	case JP920:
		return jp920Rules()
	case KR920:
		return kr920Rules()
	case AS9231, AS9232, AS9233, AS9234:
		return as923Rules(b)
	case CN470:
		return cn470Rules()
	}
	return nil
}

// gap is a stretch between rows that other services use.
type gap struct{ fromHz, toHz float64 }

// gaps returns the stretches refused by default: alarm and narrow-band segments.
func gaps(b Band) []gap {
	if b != EU868 && b != UK868 {
		return nil
	}
	return []gap{{868.6e6, 868.7e6}, {869.2e6, 869.4e6}, {869.65e6, 869.7e6}}
}
