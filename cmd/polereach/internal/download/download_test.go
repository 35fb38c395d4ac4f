package download

import (
	"bytes"
	"context"
	"errors"
	"fmt"
	"net/http"
	"net/http/httptest"
	"net/url"
	"strings"
	"sync/atomic"
	"testing"
	"time"
)

var content = bytes.Repeat([]byte("ground "), 50000)

// shaky answers every request by the next of its handlers, the last of them for ever.
func shaky(t *testing.T, answers ...http.HandlerFunc) (*url.URL, *atomic.Int32) {
	t.Helper()
	var asked atomic.Int32
	s := httptest.NewServer(http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) {
		answers[min(int(asked.Add(1)), len(answers))-1](w, r)
	}))
	t.Cleanup(s.Close)
	u, err := url.Parse(s.URL + "/tile")
	if err != nil {
		t.Fatal(err)
	}
	return u, &asked
}

func whole(w http.ResponseWriter, r *http.Request) {
	w.Header().Set("ETag", `"a"`)
	http.ServeContent(w, r, "", time.Time{}, bytes.NewReader(content))
}

// cut sends the whole's head and some of its bytes.
func cut(mark string, n int) http.HandlerFunc {
	return func(w http.ResponseWriter, _ *http.Request) {
		w.Header().Set("Content-Length", fmt.Sprint(len(content)))
		if mark != "" {
			w.Header().Set("ETag", mark)
		}
		_, _ = w.Write(content[:n])
	}
}

func status(code int, header ...string) http.HandlerFunc {
	return func(w http.ResponseWriter, _ *http.Request) {
		if header != nil {
			w.Header().Set(header[0], header[1])
		}
		w.WriteHeader(code)
		fmt.Fprint(w, "because\x1b[31m")
	}
}

func silent(_ http.ResponseWriter, r *http.Request) {
	select {
	case <-r.Context().Done():
	case <-time.After(20 * time.Second):
	}
}

var quick = Options{MostB: 1 << 20, Tries: 4, Wait: time.Millisecond, Stall: 300 * time.Millisecond}

// What may mend itself is tried again, what came is not fetched twice where the server
// can go on, and what comes is all of it.
func TestGetInTheEnd(t *testing.T) {
	for name, c := range map[string]struct {
		answers []http.HandlerFunc
		asked   int32
		bytes   int64 // that crossed the wire
	}{
		"at once":                {[]http.HandlerFunc{whole}, 1, int64(len(content))},
		"after a cut":            {[]http.HandlerFunc{cut(`"a"`, 100000), whole}, 2, int64(len(content))},
		"after two cuts":         {[]http.HandlerFunc{cut(`"a"`, 100000), status(503), whole}, 3, int64(len(content))},
		"changed meanwhile":      {[]http.HandlerFunc{cut(`"b"`, 100000), whole}, 2, int64(len(content)) + 100000},
		"no mark of its version": {[]http.HandlerFunc{cut("", 100000), whole}, 2, int64(len(content)) + 100000},
		"a weak mark":            {[]http.HandlerFunc{cut(`W/"a"`, 100000), whole}, 2, int64(len(content)) + 100000},
		"busy":                   {[]http.HandlerFunc{status(503, "Retry-After", "0"), status(429), whole}, 3, int64(len(content))},
		"silent":                 {[]http.HandlerFunc{silent, whole}, 2, int64(len(content))},
		"no such part": {[]http.HandlerFunc{cut(`"a"`, 100000), status(416), whole}, 3,
			int64(len(content)) + 100000},
	} {
		address, asked := shaky(t, c.answers...)
		var came, crossed int64
		o := quick
		o.Arrived = func(change int64) {
			came += change
			crossed += max(0, change)
		}
		data, err := Get(context.Background(), address, o)
		if err != nil || !bytes.Equal(data, content) || asked.Load() != c.asked || came != int64(len(content)) {
			t.Errorf("%s: %d bytes after %d requests, told of %d; %v", name, len(data), asked.Load(), came, err)
		}
		if crossed != c.bytes {
			t.Errorf("%s: %d bytes crossed, want %d", name, crossed, c.bytes)
		}
	}
}

// What does not mend itself is an error after as many requests as make sense.
func TestGetRefuses(t *testing.T) {
	long := func(w http.ResponseWriter, _ *http.Request) {
		for range 1000 {
			if _, err := w.Write(content); err != nil {
				return
			}
		}
	}
	for name, c := range map[string]struct {
		answer http.HandlerFunc
		asked  int32
		want   string
	}{
		"absent":       {status(404), 1, "nothing there"},
		"forbidden":    {status(403), 1, "403 Forbidden: because [31m"},
		"always busy":  {status(503), 4, "4 tries: it answers 503"},
		"always cut":   {cut("", 1000), 4, "4 tries: cut after 1000 bytes"},
		"too long":     {long, 1, "more than 1 MiB"},
		"never a word": {silent, 4, "nothing came for"},
		"part of nothing": {func(w http.ResponseWriter, _ *http.Request) {
			w.Header().Set("Content-Range", "bytes 5-9/10")
			w.WriteHeader(http.StatusPartialContent)
		}, 1, "206"},
	} {
		address, asked := shaky(t, c.answer)
		data, err := Get(context.Background(), address, quick)
		if err == nil || !strings.Contains(err.Error(), c.want) || data != nil || asked.Load() != c.asked {
			t.Errorf("%s: %d bytes, %d requests, %v", name, len(data), asked.Load(), err)
		}
		if errors.Is(err, ErrAbsent) != (name == "absent") {
			t.Errorf("%s: %v", name, err)
		}
	}
}

// A size is asked without the bytes; a server that does not tell is no fault.
func TestSizeB(t *testing.T) {
	for name, c := range map[string]struct {
		answer http.HandlerFunc
		size   int64
		err    string
	}{
		"told":     {whole, int64(len(content)), ""},
		"not told": {status(405), -1, ""},
		"absent":   {status(404), -1, "nothing there"},
		"busy":     {status(503), -1, "503"},
	} {
		address, _ := shaky(t, c.answer)
		size, err := SizeB(context.Background(), address, quick)
		if size != c.size || (err == nil) != (c.err == "") || err != nil && !strings.Contains(err.Error(), c.err) {
			t.Errorf("%s: %d, %v", name, size, err)
		}
	}
}

// Ctrl-C is not waited out.
func TestGetEndsWithItsContext(t *testing.T) {
	for _, answer := range []http.HandlerFunc{silent, status(503, "Retry-After", "3600")} {
		address, _ := shaky(t, answer)
		ctx, stop := context.WithCancel(context.Background())
		time.AfterFunc(100*time.Millisecond, stop)
		o := quick
		o.Stall = time.Hour
		if _, err := Get(ctx, address, o); !errors.Is(err, context.Canceled) {
			t.Error(err)
		}
	}
}
