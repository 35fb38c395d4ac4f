// Command polereach tells whether a small LoRa node on a pole reaches its
// neighbours. See the README, or run it with --help.
package main

import (
	"context"
	"os"
	"os/signal"
	"syscall"
)

func main() {
	collectLate()
	ctx, stop := signal.NotifyContext(context.Background(), os.Interrupt, syscall.SIGTERM)
	context.AfterFunc(ctx, stop) // a second signal ends the program at once
	code := run(ctx, os.Args, os.Stdout, os.Stderr)
	stop()
	os.Exit(code)
}
