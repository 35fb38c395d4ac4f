//go:build ignore

// Serves the tile of the demo on the loopback, under any name that holds it, and says where.
package main

import (
	"fmt"
	"net"
	"net/http"
	"strings"
)

func main() {
	l, err := net.Listen("tcp", "127.0.0.1:0")
	if err != nil {
		panic(err)
	}
	fmt.Printf("http://%s/{tile}.hgt.zip\n", l.Addr())
	panic(http.Serve(l, http.HandlerFunc(func(w http.ResponseWriter, r *http.Request) {
		if !strings.HasPrefix(r.URL.Path, "/N36W085.") {
			http.NotFound(w, r)
			return
		}
		http.ServeFile(w, r, "testdata/cumberland/N36W085.hgt.zip")
	})))
}
