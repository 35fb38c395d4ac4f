package linkbudget_test

import (
	"strings"
	"testing"

	"github.com/polereach/polereach/linkbudget"
)

func TestEvaluatorRefusesItsEnvironment(t *testing.T) {
	env := environment()
	env.K, env.FreqHz = 20, 1
	_, err := linkbudget.NewEvaluator(env)
	if err == nil || !strings.Contains(err.Error(), "k:") || !strings.Contains(err.Error(), "freq_mhz:") {
		t.Errorf("error %v, must tell both faults", err)
	}
}
