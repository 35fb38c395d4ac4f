package main

import (
	"context"
	"errors"
	"fmt"
	"io"
	"net/http"
	"net/url"
	"strings"
	"time"
	"unicode"
)

// Bounds on what is fetched.
const (
	mostFetched   = 16 << 20
	mostRedirects = 4
	mostComplaint = 300 // bytes shown of what a service says is wrong
)

// fetch gets what stands at an address, all of it or an error. It follows the
// service to no other host, to nothing but http and https, and from https to
// nothing but https.
func fetch(ctx context.Context, address *url.URL, timeout time.Duration) ([]byte, error) {
	ctx, cancel := context.WithTimeout(ctx, timeout)
	defer cancel()
	client := &http.Client{CheckRedirect: func(to *http.Request, via []*http.Request) error {
		switch {
		case len(via) > mostRedirects:
			return fmt.Errorf("more than %d redirects", mostRedirects)
		case to.URL.Host != address.Host:
			return fmt.Errorf("it leads to another host, %q", to.URL.Host)
		case to.URL.Scheme != "https" && (to.URL.Scheme != "http" || address.Scheme != "http"):
			return fmt.Errorf("it leads to %q", to.URL.Scheme+":")
		}
		return nil
	}}
	ask, err := http.NewRequestWithContext(ctx, http.MethodGet, address.String(), nil)
	if err != nil {
		return nil, fmt.Errorf("%s: %w", address.Host, err)
	}
	ask.Header.Set("User-Agent", "polereach")
	answer, err := client.Do(ask)
	if err != nil {
		return nil, fetchError(address, timeout, err)
	}
	defer answer.Body.Close()
	data, err := io.ReadAll(io.LimitReader(answer.Body, mostFetched+1))
	switch {
	case err != nil:
		return nil, fetchError(address, timeout, err)
	case answer.StatusCode != http.StatusOK:
		return nil, fmt.Errorf("%s answers %s: %s", address.Host, answer.Status, printable(data))
	case len(data) > mostFetched:
		return nil, fmt.Errorf("%s sends more than %d MiB", address.Host, mostFetched>>20)
	}
	return data, nil
}

// fetchError says what went wrong; Ctrl-C stays what it is.
func fetchError(address *url.URL, timeout time.Duration, err error) error {
	switch {
	case errors.Is(err, context.Canceled):
		return err
	case errors.Is(err, context.DeadlineExceeded):
		return fmt.Errorf("%s: no answer in %v", address.Host, timeout)
	}
	var wrapped *url.Error
	if errors.As(err, &wrapped) {
		err = wrapped.Err // without the whole address
	}
	return fmt.Errorf("%s: %w", address.Host, err)
}

// printable is the beginning of what a service says, without what could play
// tricks on a terminal.
func printable(data []byte) string {
	text := strings.ToValidUTF8(string(data[:min(len(data), mostComplaint)]), "")
	return strings.Map(func(r rune) rune {
		if !unicode.IsPrint(r) {
			return ' '
		}
		return r
	}, text)
}
