package cli

import (
	"context"
	"fmt"
	"net"
	"os"
	"os/exec"
	"runtime"
	"time"

	"github.com/spf13/cobra"
	"golang.org/x/term"

	"loopwright/internal/desk"
	"loopwright/internal/web"
)

type serveOptions struct {
	opening desk.Opening
	address string
	open    bool
}

func newServeCommand(s streams) *cobra.Command {
	var o serveOptions
	c := &cobra.Command{
		Use:   "serve [EXTRACT or INDEX]",
		Short: "Serve the page: plan, look and ask in the browser",
		Long: `Serves the page on this machine: plan lessons on a map, look where an exercise can
be taught, and ask why. It indexes the extract first where that is needed. With
nothing given the page offers the invented town and the map files at hand.

Nothing leaves the machine. Stop it with Ctrl-C.`,
		Args: cobra.MaximumNArgs(1),
		RunE: func(c *cobra.Command, args []string) error {
			if len(args) > 0 {
				o.opening.Path = args[0]
			}
			return runServe(c.Context(), s, o)
		},
	}
	f := c.Flags()
	f.StringVar(&o.opening.Country, "country", "", "`CODE`: gb, ie, de or us; left or right elsewhere (default: by position)")
	f.StringVar(&o.opening.Heights, "heights", "", "`FOLDER` of height files (.hgt, or GeoTIFF in EPSG:4326)")
	f.StringVar(&o.address, "address", "127.0.0.1:0", "`HOST:PORT` to listen on; other machines reach it only if this is not a loopback address")
	f.BoolVar(&o.open, "open", false, "open it in the browser")
	return c
}

func runServe(ctx context.Context, s streams, o serveOptions) error {
	page, err := web.Built()
	if err != nil {
		return &desk.Fault{Kind: desk.BadInput, Err: err}
	}
	dir, err := desk.DataFolder()
	if err != nil {
		return err
	}
	l, err := net.Listen("tcp", o.address)
	if err != nil {
		return &desk.Fault{Kind: desk.WrongUse, Err: err, Hint: "Say another HOST:PORT with --address, or leave it out."}
	}
	config := web.Config{Kept: desk.KeepIn(dir), Page: page, Now: time.Now}
	if o.opening.Path != "" {
		config.Open = func(ctx context.Context, onPage desk.Progress) (*desk.Desk, error) {
			return openOnTerminal(ctx, s, o.opening, onPage)
		}
	}
	at := "http://" + l.Addr().String() + "/"
	fmt.Fprintln(s.out, at)
	if o.open {
		if err := openBrowser(ctx, at); err != nil {
			fmt.Fprintf(s.err, "No browser could be started (%v): open the address yourself.\n", err)
		}
	}
	return web.Serve(ctx, l, web.New(ctx, config))
}

// openOnTerminal shows progress on the terminal as on the page, and a failure too.
func openOnTerminal(ctx context.Context, s streams, o desk.Opening, onPage desk.Progress) (*desk.Desk, error) {
	onTerminal, stop := progressOn(s.err)
	o.Progress = func(stage string, done, total int64) {
		onPage(stage, done, total)
		if onTerminal != nil {
			onTerminal(stage, done, total)
		}
	}
	d, err := desk.OpenMap(ctx, o)
	stop()
	if err != nil && ctx.Err() == nil {
		report(s.err, err)
	}
	return d, err
}

// openBrowser opens an address as the system's user has it set up.
func openBrowser(ctx context.Context, at string) error {
	var c *exec.Cmd
	switch runtime.GOOS {
	case "windows":
		c = exec.CommandContext(ctx, "rundll32", "url.dll,FileProtocolHandler", at)
	case "darwin":
		c = exec.CommandContext(ctx, "open", at)
	default:
		c = exec.CommandContext(ctx, "xdg-open", at)
	}
	return c.Start()
}

// doubleClicked says whether the program was started from a desktop, with no
// terminal to read from or print to.
func doubleClicked(s streams) bool {
	in, ok := s.in.(*os.File)
	return ok && startedByDesktop(in, os.Stdout, os.Stderr)
}

func isTerminal(f *os.File) bool { return term.IsTerminal(int(f.Fd())) }
