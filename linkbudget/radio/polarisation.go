package radio

// Polarisation of a linearly polarised antenna.
type Polarisation uint8

// Vertical is the zero value: nearly every pole antenna is vertical.
const (
	Vertical Polarisation = iota
	Horizontal
)

// String returns "vertical" or "horizontal", the words of the plan file.
func (p Polarisation) String() string {
	if p == Horizontal {
		return "horizontal"
	}
	return "vertical"
}
