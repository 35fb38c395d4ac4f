// Package download fetches what stands at one address, whole or not at all. It follows a
// server to no other host and to nothing but http and https, tries again after a while
// what may mend itself, and takes up a connection that was cut where it broke.
package download

import (
	"context"
	"errors"
	"fmt"
	"io"
	"net"
	"net/http"
	"net/url"
	"strconv"
	"strings"
	"time"
	"unicode"
)

// Bounds of every download.
const (
	mostRedirects = 4
	mostWait      = time.Minute // between two tries, whatever a server asks for
	mostComplaint = 300         // bytes shown of what a server says is wrong
)

// ErrAbsent is that of an address at which the server has nothing: 404 or 410.
var ErrAbsent = errors.New("nothing there")

// Options of a download.
type Options struct {
	MostB   int64              // refuse more bytes than these
	Tries   int                // in all; 0 is 1
	Wait    time.Duration      // before the second try, doubled before each further one
	Stall   time.Duration      // give a try up after so long without a byte; 0: never
	Arrived func(change int64) // told of bytes as they come, and with a minus of those that go; may be nil
}

// Get fetches all that stands at an address. Errors name its host; that of ctx comes as it is.
func Get(ctx context.Context, address *url.URL, o Options) ([]byte, error) {
	t := transfer{Options: o, address: address, total: -1}
	err := t.again(ctx, t.onward)
	if err != nil {
		return nil, err
	}
	return t.data, nil
}

// SizeB asks how many bytes stand at an address, -1 if the server does not tell.
func SizeB(ctx context.Context, address *url.URL, o Options) (size int64, err error) {
	t := transfer{Options: o, address: address}
	size = -1
	err = t.again(ctx, func(ctx context.Context) error {
		answer, err := t.ask(ctx, http.MethodHead)
		if err != nil {
			return err
		}
		defer answer.Body.Close()
		switch answer.StatusCode {
		case http.StatusOK:
			size = answer.ContentLength
			return nil
		case http.StatusMethodNotAllowed, http.StatusNotImplemented:
			return nil
		}
		return refusal(answer)
	})
	return size, err
}

// permanent is an error that another try will not mend.
type permanent struct{ error }

// later is an answer that asks to come again, after a while or when we like.
type later struct {
	error
	wait time.Duration
}

// client keeps to the host and away from anything but http and https.
var client = &http.Client{CheckRedirect: func(to *http.Request, via []*http.Request) error {
	from := via[0].URL
	switch {
	case len(via) > mostRedirects:
		return permanent{fmt.Errorf("more than %d redirects", mostRedirects)}
	case to.URL.Host != from.Host:
		return permanent{fmt.Errorf("it leads to another host, %q", to.URL.Host)}
	case to.URL.Scheme != "https" && (to.URL.Scheme != "http" || from.Scheme != "http"):
		return permanent{fmt.Errorf("it leads to %q", to.URL.Scheme+":")}
	}
	return nil
}}

// transfer is one download on its way.
type transfer struct {
	Options
	address *url.URL
	data    []byte
	total   int64  // of the whole, -1 if not told
	mark    string // of the version at the server: ETag or date
}

// again tries until it is done, the error is permanent or the tries are used up.
func (t *transfer) again(ctx context.Context, try func(context.Context) error) error {
	wait := t.Wait
	for n := 1; ; n++ {
		err := try(ctx)
		var last permanent
		var asked later
		var op *net.OpError
		dialled := !errors.As(err, &op) || op.Op != "dial"
		switch {
		case ctx.Err() != nil:
			return ctx.Err()
		case err == nil:
			return nil
		case errors.As(err, &last):
			return t.named(last.error)
		case n >= 2 && !dialled: // no network or no server: waiting seldom helps
			return t.named(err)
		case n >= t.Tries && n > 1:
			return t.named(fmt.Errorf("%d tries: %w", n, err))
		case n >= t.Tries:
			return t.named(err)
		case errors.As(err, &asked):
			wait = max(wait, asked.wait)
		}
		wait = min(wait, mostWait)
		select {
		case <-ctx.Done():
			return ctx.Err()
		case <-time.After(wait):
		}
		wait *= 2
	}
}

func (t *transfer) named(err error) error {
	var wrapped *url.Error
	if errors.As(err, &wrapped) {
		err = wrapped.Err // without the whole address
	}
	return fmt.Errorf("%s: %w", t.address.Host, err)
}

func (t *transfer) ask(ctx context.Context, method string) (*http.Response, error) {
	r, err := http.NewRequestWithContext(ctx, method, t.address.String(), nil)
	if err != nil {
		return nil, permanent{err}
	}
	r.Header.Set("User-Agent", "polereach")
	r.Header.Set("Accept-Encoding", "identity") // the bytes as they lie there
	if len(t.data) > 0 {
		r.Header.Set("Range", fmt.Sprintf("bytes=%d-", len(t.data)))
		r.Header.Set("If-Range", t.mark)
	}
	return client.Do(r)
}

// onward fetches what is missing.
func (t *transfer) onward(ctx context.Context) error {
	ctx, stop := context.WithCancelCause(ctx)
	defer stop(nil)
	moved := func() {}
	if t.Stall > 0 {
		idle := time.AfterFunc(t.Stall, func() { stop(fmt.Errorf("nothing came for %v", t.Stall)) })
		defer idle.Stop()
		moved = func() { idle.Reset(t.Stall) }
	}
	answer, err := t.ask(ctx, http.MethodGet)
	if err != nil {
		return cause(ctx, err)
	}
	defer answer.Body.Close()
	switch {
	case answer.StatusCode == http.StatusPartialContent && t.follows(answer):
	case answer.StatusCode == http.StatusOK:
		t.forget()
		t.total, t.mark = answer.ContentLength, answer.Header.Get("ETag")
		if t.mark == "" || strings.HasPrefix(t.mark, "W/") { // RFC 9110 section 13.1.5: strong ones only
			t.mark = answer.Header.Get("Last-Modified")
		}
	case len(t.data) > 0 && (answer.StatusCode == http.StatusPartialContent ||
		answer.StatusCode == http.StatusRequestedRangeNotSatisfiable):
		t.forget()
		return errors.New("it goes on at another place than asked for")
	default:
		return refusal(answer)
	}
	piece := make([]byte, 64<<10)
	for {
		n, err := answer.Body.Read(piece)
		moved()
		t.data = append(t.data, piece[:n]...)
		t.arrived(int64(n))
		switch {
		case int64(len(t.data)) > t.MostB:
			return permanent{fmt.Errorf("it sends more than %d MiB", t.MostB>>20)}
		case err == io.EOF && t.total >= 0 && int64(len(t.data)) != t.total:
			err = fmt.Errorf("%d bytes of %d came", len(t.data), t.total)
			t.forget()
			return err
		case err == io.EOF:
			return nil
		case err != nil:
			err = fmt.Errorf("cut after %d bytes: %w", len(t.data), cause(ctx, err))
			if t.mark == "" { // nothing to know the same version by
				t.forget()
			}
			return err
		}
	}
}

func (t *transfer) arrived(change int64) {
	if t.Arrived != nil && change != 0 {
		t.Arrived(change)
	}
}

// forget begins anew.
func (t *transfer) forget() {
	t.arrived(-int64(len(t.data)))
	t.data = t.data[:0]
}

// follows: the part begins where ours ends, and is of a whole of the same size.
func (t *transfer) follows(answer *http.Response) bool {
	place, total, ok := strings.Cut(strings.TrimPrefix(answer.Header.Get("Content-Range"), "bytes "), "/")
	first, _, _ := strings.Cut(place, "-")
	return ok && len(t.data) > 0 && first == strconv.Itoa(len(t.data)) &&
		(total == "*" || total == strconv.FormatInt(t.total, 10))
}

// cause is why ctx ended, or else err.
func cause(ctx context.Context, err error) error {
	if why := context.Cause(ctx); why != nil {
		return why
	}
	return err
}

// refusal is the error of an answer that is none.
func refusal(answer *http.Response) error {
	code := answer.StatusCode
	if code == http.StatusNotFound || code == http.StatusGone {
		return permanent{ErrAbsent}
	}
	said, _ := io.ReadAll(io.LimitReader(answer.Body, mostComplaint))
	err := fmt.Errorf("it answers %s", answer.Status)
	if len(said) > 0 {
		err = fmt.Errorf("%w: %s", err, printable(said))
	}
	if code == http.StatusTooManyRequests || code == http.StatusRequestTimeout || code >= 500 {
		s, _ := strconv.Atoi(answer.Header.Get("Retry-After"))
		return later{err, time.Duration(min(max(0, s), 3600)) * time.Second}
	}
	return permanent{err}
}

// printable is what a server says without what could play tricks on a terminal.
func printable(data []byte) string {
	return strings.Map(func(r rune) rune {
		if !unicode.IsPrint(r) {
			return ' '
		}
		return r
	}, strings.ToValidUTF8(string(data), ""))
}
