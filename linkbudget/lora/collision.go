package lora

import (
	"errors"
	"fmt"
	"math"
)

// CollisionProbability returns the share of packets lost to others,
// 1 - exp(-2 U h), pure ALOHA: utilisation U, the share of the time that the place is
// filled by what it hears, and h the share of contenders that carrier sense does not
// hear, 1 without carrier sense.
func CollisionProbability(utilisation, hidden float64) (float64, error) {
	if err := errors.Join(notNegative("utilisation", utilisation), share("hidden share", hidden)); err != nil {
		return 0, fmt.Errorf("collision probability: %w", err)
	}
	return -math.Expm1(-min(2*utilisation, math.MaxFloat64) * hidden), nil
}
