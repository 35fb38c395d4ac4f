package band

import (
	"strings"
	"testing"
)

func TestParse(t *testing.T) {
	for _, name := range []string{"eu868", "eu433", "eu169", "uk868", "us915", "ca915", "br915", "au915", "nz915",
		"in865", "in433", "jp920", "kr920", "as923-1", "as923-2", "as923-3", "as923-4", "cn470", "ru864"} {
		for _, form := range []string{name, strings.ToUpper(name), " " + name + " "} {
			if b, err := Parse(form); err != nil || string(b) != name {
				t.Errorf("Parse(%q) = %q, %v", form, b, err)
			}
		}
	}
	for _, name := range []string{"", "as923", "868", "eu-868", "eu868x"} {
		b, err := Parse(name)
		if err == nil || b != "" {
			t.Errorf("Parse(%q) = %q, no error", name, b)
			continue
		}
		for _, known := range Names() {
			if !strings.Contains(err.Error(), string(known)) {
				t.Errorf("Parse(%q): %v does not list %s", name, err, known)
			}
		}
	}
	if len(Names()) != 19 || Rules("mars915") != nil {
		t.Errorf("%d bands, want 19; rules of an unknown one: %v", len(Names()), Rules("mars915"))
	}
	Names()[0] = "spoilt"
	if Names()[0] != EU868 {
		t.Error("Names hands out its own list")
	}
}
