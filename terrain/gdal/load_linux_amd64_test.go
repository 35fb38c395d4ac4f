//go:build gdal && !asan

package gdal

import (
	"debug/elf"
	"os"
	"strings"
	"testing"
)

// A program that links this package, as this one does, starts without GDAL: the linker notes
// no library of it, and asks for no function of it.
func TestLibraryIsNotLoadedAtTheStart(t *testing.T) {
	path, err := os.Executable()
	if err != nil {
		t.Fatal(err)
	}
	f, err := elf.Open(path)
	if err != nil {
		t.Fatal(err)
	}
	defer f.Close()
	libraries, err := f.ImportedLibraries()
	if err != nil || len(libraries) == 0 {
		t.Fatalf("%v, %v", libraries, err)
	}
	for _, name := range libraries {
		if strings.Contains(name, "gdal") {
			t.Errorf("%s is loaded at the start", name)
		}
	}
	symbols, err := f.ImportedSymbols()
	if err != nil || len(symbols) == 0 {
		t.Fatalf("%d symbols, %v", len(symbols), err)
	}
	for _, s := range symbols {
		if strings.HasPrefix(s.Name, "GDAL") || strings.HasPrefix(s.Name, "OSR") || strings.HasPrefix(s.Name, "CPL") {
			t.Errorf("%s has no stub in load_linux_amd64.S", s.Name)
		}
	}
}
