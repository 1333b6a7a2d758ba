// Command loopwright finds roads for practising manoeuvres and plans lesson
// circuits.
package main

import (
	"context"
	"os"
	"os/signal"
	"syscall"

	"loopwright/internal/cli"
)

func main() {
	ctx, stop := signal.NotifyContext(context.Background(), os.Interrupt, syscall.SIGTERM)
	status := cli.Run(ctx, os.Args[1:], os.Stdin, os.Stdout, os.Stderr)
	stop()
	os.Exit(status)
}
