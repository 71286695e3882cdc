package cli

import (
	"context"
	"errors"
	"net"
	"net/http"
	"path/filepath"
	"strconv"
	"strings"
	"syscall"
	"time"

	"combline/internal/answer"
)

// serving is how pages are served.
type serving struct {
	Listen    string `default:"127.0.0.1:8377" placeholder:"ADDRESS" help:"Where to serve the pages; the next free port if this one is taken. With another address than this computer's own, others in the network can see them."`
	LAN       bool   `name:"lan" help:"Let in tablets and computers of the same network. Each is paired once, with a code that this computer shows."`
	NoBrowser bool   `help:"Do not open the browser."`
}

// address is where to listen: with --lan everywhere, on the port that was said.
func (s serving) address() string {
	host, port, err := net.SplitHostPort(s.Listen)
	if err != nil || !s.LAN {
		return s.Listen
	}
	if ip := net.ParseIP(host); host != "" && host != "localhost" && (ip == nil || !ip.IsLoopback()) {
		return s.Listen
	}
	return net.JoinHostPort("0.0.0.0", port)
}

// serve serves the pages of a house until ctx ends.
func (a *app) serve(ctx context.Context, h *opened, s serving) error {
	abs, err := filepath.Abs(h.dir)
	if err != nil {
		return err
	}
	l, err := listen(s.address())
	if err != nil {
		return err
	}
	at := l.Addr().(*net.TCPAddr)
	pages, err := newPages(h, abs, at)
	if err != nil {
		return errors.Join(err, l.Close())
	}
	address := hereAddress(at)
	x := answer.Answer{Question: "open"}
	x.Say("cli.serving", answer.Args{"address": address, "dir": abs})
	if !at.IP.IsLoopback() {
		x.Warn("cli.serving-others", answer.Args{"addresses": strings.Join(lanAddresses(at), " ")})
	}
	keepAddress(abs, address)
	if err := a.print(x); err != nil {
		return errors.Join(err, l.Close())
	}
	if !s.NoBrowser {
		browse(address)
	}
	return run(ctx, pages, l)
}

// farewell is how long pages that are being read may take when the program ends.
const farewell = 5 * time.Second

// run serves until ctx ends, then lets what is being answered finish.
func run(ctx context.Context, s *http.Server, l net.Listener) error {
	served := make(chan error, 1)
	go func() { served <- s.Serve(l) }()
	select {
	case err := <-served:
		return err
	case <-ctx.Done():
	}
	late, stop := context.WithTimeout(context.Background(), farewell)
	defer stop()
	err := s.Shutdown(late)
	if errors.Is(err, context.DeadlineExceeded) {
		err = s.Close()
	}
	<-served
	return err
}

// ports is how many ports are tried, one after the other.
const ports = 20

// listen takes the address, or the next port that is free.
func listen(address string) (net.Listener, error) {
	host, port, err := net.SplitHostPort(address)
	if err != nil {
		return nil, usage("address", "typed", address)
	}
	first, err := strconv.ParseUint(port, 10, 16)
	if err != nil {
		return nil, usage("port", "typed", port)
	}
	if host == "" {
		host = "127.0.0.1"
	}
	for n := first; ; n++ {
		l, err := net.Listen("tcp", net.JoinHostPort(host, strconv.FormatUint(n, 10)))
		if err == nil || !errors.Is(err, syscall.EADDRINUSE) || n-first == ports || n == 65535 {
			return l, err
		}
	}
}
