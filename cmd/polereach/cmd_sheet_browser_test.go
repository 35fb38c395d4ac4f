package main

import (
	"bytes"
	"context"
	"fmt"
	"net/http"
	"net/http/httptest"
	"os"
	"os/exec"
	"path/filepath"
	"regexp"
	"strconv"
	"strings"
	"sync"
	"testing"
	"time"
)

// browser is a headless Chromium that reaches nothing but this machine.
type browser struct{ path, home string }

func newBrowser(t *testing.T) browser {
	t.Helper()
	for _, name := range []string{"chromium", "chromium-browser", "google-chrome"} {
		if path, err := exec.LookPath(name); err == nil {
			return browser{path, t.TempDir()}
		}
	}
	t.Skip("no Chromium: install chromium to have the sheet opened by a browser")
	return browser{}
}

// run is what the browser prints and, line by line, what pages say on the console.
func (b browser) run(t *testing.T, args ...string) (out string, console []string) {
	t.Helper()
	ctx, cancel := context.WithTimeout(context.Background(), 3*time.Minute)
	defer cancel()
	cmd := exec.CommandContext(ctx, b.path, append([]string{"--headless", "--no-sandbox", "--disable-gpu",
		"--disable-dev-shm-usage", "--enable-logging=stderr", "--user-data-dir=" + b.home, "--hide-scrollbars",
		"--host-resolver-rules=MAP * ~NOTFOUND, EXCLUDE 127.0.0.1", "--proxy-server=direct://"}, args...)...)
	var stdout, stderr bytes.Buffer
	cmd.Stdout, cmd.Stderr = &stdout, &stderr
	if err := cmd.Run(); err != nil {
		t.Fatalf("%v: %v\n%s", args, err, stderr.String())
	}
	for line := range strings.Lines(stderr.String()) {
		if strings.Contains(line, "CONSOLE") {
			console = append(console, strings.TrimSpace(line))
		}
	}
	return stdout.String(), console
}

// The page around a sheet, as wide as a phone or a desk's screen, writes down what the sheet
// measures there: the widest element that is not within a box that scrolls, and pictures that
// did not load.
const measuring = `<!DOCTYPE html><title>measuring</title><body style="margin:0">
<iframe id="f" src="/sheet.html" style="border:0;width:%dpx;height:800px"></iframe><pre id="out"></pre><script>
f.onload = async () => {
  const d = f.contentDocument, all = [...d.images];
  await Promise.all(all.map(i => i.decode().catch(() => 0)));
  out.textContent = "width=" + d.documentElement.scrollWidth + " client=" + d.documentElement.clientWidth +
    " pictures=" + all.length + " broken=" + all.filter(i => !i.naturalWidth).length +
    " title=" + d.title + " h1=" + d.querySelector("h1").textContent + ";";
};
</script>`

var measured = regexp.MustCompile(`width=(\d+) client=(\d+) pictures=(\d+) broken=(\d+) title=(.*) h1=(.*);`)

// measure opens a page so many pixels wide: what was measured, as often as anything was asked
// for, and the console.
func (b browser) measure(t *testing.T, page string, width int) (found []string, asked map[string]int,
	console []string) {
	t.Helper()
	var lock sync.Mutex
	asked = map[string]int{}
	server := httptest.NewServer(http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) {
		lock.Lock()
		defer lock.Unlock()
		asked[r.URL.Path]++
		w.Header().Set("Content-Type", "text/html; charset=utf-8")
		switch r.URL.Path {
		case "/":
			fmt.Fprintf(w, measuring, width)
		case "/sheet.html":
			fmt.Fprint(w, page)
		default:
			http.NotFound(w, r)
		}
	}))
	defer server.Close()
	out, console := b.run(t, "--window-size=1400,900", "--virtual-time-budget=20000", "--dump-dom", server.URL+"/")
	if found = measured.FindStringSubmatch(out); found == nil {
		t.Fatalf("%d px: the page was not measured: %s", width, out)
	}
	lock.Lock()
	defer lock.Unlock()
	delete(asked, "/favicon.ico") // the browser's own
	return found, asked, console
}

// The demo's sheets fit a phone of 390 pixels and a screen of 1280 without scrolling sideways,
// every picture shows, nothing is said on the console, and nothing but the page is asked for.
func TestSheetInABrowser(t *testing.T) {
	long(t)
	b := newBrowser(t)
	hostile := filepath.Join(t.TempDir(), "hostile.geojson")
	name := strings.Repeat("W", 60) + `<script>console.log("run")</script>`
	plan := fmt.Sprintf(`{"type":"FeatureCollection","features":[
	 {"type":"Feature","properties":{"name":%q},"geometry":{"type":"Point","coordinates":[-84.2405,36.5565]}},
	 {"type":"Feature","properties":{"name":"Elder"},"geometry":{"type":"Point","coordinates":[-84.2308,36.485]}}]}`, name)
	if err := os.WriteFile(hostile, []byte(plan), 0o644); err != nil {
		t.Fatal(err)
	}
	for _, c := range []struct {
		h1       string
		pictures int
		args     []string
	}{
		{"Sorrel Ridge", 12, []string{"--pole", "Sorrel Ridge", demoPlan}},
		{"Sheets to take along", 42, []string{demoPlan}},
		{name, 2, []string{"--pole", name, "--height-m", "6", "--dem", demo + "dem", hostile}},
	} {
		page := polereach(t, append([]string{"sheet"}, c.args...)...)
		for _, width := range []int{390, 1280} {
			m, asked, console := b.measure(t, page.out, width)
			if m[2] != strconv.Itoa(width) || m[1] != m[2] {
				t.Errorf("%s, %d px: %s px of contents in %s", c.h1, width, m[1], m[2])
			}
			if m[3] != strconv.Itoa(c.pictures) || m[4] != "0" {
				t.Errorf("%s: %s pictures, %s broken, want %d", c.h1, m[3], m[4], c.pictures)
			}
			if got := strings.NewReplacer("&lt;", "<", "&gt;", ">", "&amp;", "&").Replace(m[6]); got != c.h1 {
				t.Errorf("the page is of %q, want %q", got, c.h1)
			}
			if len(console) > 0 {
				t.Errorf("%s, %d px: the console says %q", c.h1, width, console)
			}
			if len(asked) != 2 {
				t.Errorf("%s: the browser asked for %v", c.h1, asked)
			}
		}
	}
}

// What the test above relies on: a page that is too wide, asks for something, runs something
// or is refused it by its policy is found out.
func TestBrowserFindsFault(t *testing.T) {
	long(t)
	b := newBrowser(t)
	const wide = `<!DOCTYPE html><title>w</title><h1 style="width:600px">w</h1><img src="/x.png">` +
		`<script>console.log("x")</script>`
	m, asked, console := b.measure(t, wide, 390)
	if m[1] != "608" || m[4] != "1" || asked["/x.png"] == 0 || len(console) == 0 {
		t.Errorf("found %v, asked for %v, heard %q", m, asked, console)
	}
	page := polereach(t, "sheet", "--pole", "Sorrel Ridge", demoPlan).out
	const more = `<img src="/x.png"/><script>console.log("x")</script></main>`
	_, asked, console = b.measure(t, strings.Replace(page, "</main>", more, 1), 390)
	if len(asked) != 2 || len(console) != 2 || !strings.Contains(strings.Join(console, ""), "Content Security Policy") {
		t.Errorf("the policy let through %v, heard %q", asked, console)
	}
}

// Printed from a file, with no network, on A4 and on Letter, it is a document of that paper.
func TestSheetOnPaper(t *testing.T) {
	long(t)
	b := newBrowser(t)
	dir := t.TempDir()
	page := polereach(t, "sheet", "--pole", "Sorrel Ridge", demoPlan)
	for paper, want := range map[string]string{"A4": "595 842", "letter": "612 792"} {
		file, pdf := filepath.Join(dir, paper+".html"), filepath.Join(dir, paper+".pdf")
		sized := strings.Replace(page.out, "@page {", "@page { size: "+paper+";", 1)
		if err := os.WriteFile(file, []byte(sized), 0o644); err != nil {
			t.Fatal(err)
		}
		if _, console := b.run(t, "--no-pdf-header-footer", "--print-to-pdf="+pdf, "file://"+file); len(console) > 0 {
			t.Errorf("%s: the console says %q", paper, console)
		}
		data, err := os.ReadFile(pdf)
		if err != nil {
			t.Fatal(err)
		}
		box := regexp.MustCompile(`/MediaBox \[0 0 ([\d.]+) ([\d.]+)\]`).FindAllSubmatch(data, -1)
		if len(box) < 4 || len(box) > 20 {
			t.Fatalf("%s: %d pages", paper, len(box))
		}
		var got []string
		for _, side := range box[0][1:] {
			v, err := strconv.ParseFloat(string(side), 64)
			if err != nil {
				t.Fatal(err)
			}
			got = append(got, strconv.Itoa(int(v+0.5)))
		}
		if strings.Join(got, " ") != want {
			t.Errorf("%s: the paper is %v points, want %s", paper, got, want)
		}
		t.Run("pictures on "+paper, func(t *testing.T) { wholePictures(t, pdf, 11) })
	}
}

// wholePictures looks on each page for what stands at the top, in the middle and at the foot of
// the picture of a path: as often the one as the other.
func wholePictures(t *testing.T, pdf string, want int) {
	if _, err := exec.LookPath("pdftotext"); err != nil {
		t.Skip("no pdftotext: install poppler-utils to have the pictures looked for on each page")
	}
	text, err := exec.Command("pdftotext", pdf, "-").Output()
	if err != nil {
		t.Fatal(err)
	}
	seen := 0
	for i, page := range strings.Split(string(text), "\f") {
		page = strings.Join(strings.Fields(page), " ")
		top := len(regexp.MustCompile(`km, path \w+, margin`).FindAllString(page, -1))
		middle, foot := strings.Count(page, "distance from A"), strings.Count(page, "times as steep as they are")
		if top != middle || top != foot {
			t.Errorf("page %d has %d tops, %d middles and %d feet of pictures", i+1, top, middle, foot)
		}
		seen += top
	}
	if seen != want {
		t.Errorf("%d pictures, want %d", seen, want)
	}
}
