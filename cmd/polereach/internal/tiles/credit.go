package tiles

import (
	"crypto/sha256"
	"fmt"
	"net/url"
	"os"
	"path/filepath"
	"strings"
	"time"
)

// creditFile is where a folder says whose terrain it holds.
const creditFile = "ATTRIBUTION.txt"

// credit notes a tile in the attribution file: what it is, under which terms, whence, when.
// One that is fetched again replaces its line.
func (j Job) credit(t Tile, data []byte, from *url.URL) error {
	path := filepath.Join(j.Folder, creditFile)
	before, err := os.ReadFile(path)
	if err != nil && !os.IsNotExist(err) {
		return err
	}
	text := string(before)
	head := fmt.Sprintf("%s\nlicence: %s\ncredit: %s\n", j.From.Title, j.From.Licence, j.From.Credit)
	begin := strings.Index(text, head)
	if begin < 0 {
		if text != "" {
			text += "\n"
		}
		begin = len(text)
		text += head
	}
	begin += len(head)
	name := j.From.file(t)
	line := fmt.Sprintf("  %s: %d bytes, SHA-256 %x, fetched %s from %s\n", name, len(data), sha256.Sum256(data),
		time.Now().UTC().Format(time.DateOnly), from)
	if at := strings.Index(text[begin:], "  "+name+": "); at >= 0 {
		at += begin
		text = text[:at] + text[at+strings.IndexByte(text[at:], '\n')+1:]
	}
	text = text[:begin] + line + text[begin:]
	beside := path + ".polereach-part"
	if err := os.WriteFile(beside, []byte(text), 0o666); err != nil {
		return err
	}
	return os.Rename(beside, path)
}
