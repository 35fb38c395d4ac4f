package radio

// Frequency limits of the models as used here, Hz.
const (
	MinFreqHz = 100e6
	MaxFreqHz = 3000e6
)
