package instrument

import (
	"context"
	"errors"
	"fmt"
	"io"
	"net"
	"net/url"
	"os"
	"strconv"
	"strings"
	"time"

	"go.bug.st/serial"
)

// A Taker takes what a source brings, one call after the other. A source waits until a
// call returns before it reads on: that is the back-pressure. Its error ends the source.
type Taker interface {
	Line(line []byte, at time.Time) error // the line must not be kept
	Broken(f Fault, at time.Time)
	Link(up bool, at time.Time)
	// Settle is called when what was read so far has been given: what is to be safe
	// before the sender is told so must be safe when it returns.
	Settle() error
}

// A Source is where an instrument's lines come from.
type Source struct {
	Kind     SourceKind
	Address  string // path, host:port, or port of the line
	Topic    string // of MQTT
	User     string // of MQTT
	Password string
	Client   string // name towards an outside broker, so that it keeps what came meanwhile
	Serial   serial.Mode
}

// A SourceKind is the way that lines come.
type SourceKind uint8

const (
	Stdin      SourceKind = iota + 1
	File                  // a file that is read to its end
	Dial                  // a socket that the instrument listens on
	Listen                // a socket that the instrument dials
	SerialLine            // a serial line
	Broker                // MQTT: the instrument publishes here, to a broker of our own
	Client                // MQTT: an outside broker
)

// ErrSource says how a source is written.
var ErrSource = errors.New("a source is -, a file's name, tcp://HOST:PORT, listen://[HOST]:PORT, serial://PORT?baud=9600&data=8&parity=none&stop=1, " +
	"broker://USER@[HOST]:PORT/TOPIC or mqtt://USER@HOST:PORT/TOPIC")

// ParseSource reads a source. A password never stands in it.
func ParseSource(text string) (Source, error) {
	if text == "-" {
		return Source{Kind: Stdin}, nil
	}
	scheme, rest, ok := strings.Cut(text, "://")
	if !ok || len(scheme) < 2 { // "c:\..." is a file
		if text == "" {
			return Source{}, ErrSource
		}
		return Source{Kind: File, Address: text}, nil
	}
	switch strings.ToLower(scheme) {
	case "file":
		if rest == "" {
			return Source{}, ErrSource
		}
		return Source{Kind: File, Address: rest}, nil
	case "serial":
		return serialSource(rest)
	case "tcp":
		return socket(Dial, rest)
	case "listen":
		return socket(Listen, rest)
	case "mqtt", "broker":
		return mqttSource(text)
	}
	return Source{}, fmt.Errorf("%q: %w", text, ErrSource)
}

func socket(kind SourceKind, address string) (Source, error) {
	host, port, err := net.SplitHostPort(address)
	n, bad := strconv.ParseUint(port, 10, 16)
	if err != nil || bad != nil || kind == Dial && (host == "" || n == 0) {
		return Source{}, fmt.Errorf("%q: %w", address, ErrSource)
	}
	if host == "" {
		host = "127.0.0.1" // others in the network only when it is said
	}
	return Source{Kind: kind, Address: net.JoinHostPort(host, port)}, nil
}

func mqttSource(text string) (Source, error) {
	u, err := url.Parse(text)
	if err != nil || u.Port() == "" || strings.Trim(u.Path, "/") == "" {
		return Source{}, fmt.Errorf("%q: %w", text, ErrSource)
	}
	if _, said := u.User.Password(); said {
		return Source{}, fmt.Errorf("a password does not stand in a source, where others can read it: %w", ErrSource)
	}
	kind := Client
	if u.Scheme == "broker" {
		kind = Broker
	}
	s, err := socket(map[SourceKind]SourceKind{Client: Dial, Broker: Listen}[kind], net.JoinHostPort(u.Hostname(), u.Port()))
	s.Kind, s.Topic, s.User, s.Client = kind, strings.TrimPrefix(u.Path, "/"), u.User.Username(), u.Query().Get("client")
	return s, err
}

func serialSource(rest string) (Source, error) {
	port, query, _ := strings.Cut(rest, "?")
	s := Source{Kind: SerialLine, Address: port, Serial: serial.Mode{BaudRate: 9600, DataBits: 8}}
	q, err := url.ParseQuery(query)
	if err != nil || port == "" {
		return s, fmt.Errorf("%q: %w", rest, ErrSource)
	}
	for name, values := range q {
		if err := s.option(name, values[len(values)-1]); err != nil {
			return s, err
		}
	}
	return s, nil
}

var parities = map[string]serial.Parity{"none": serial.NoParity, "odd": serial.OddParity, "even": serial.EvenParity, "mark": serial.MarkParity, "space": serial.SpaceParity}
var stops = map[string]serial.StopBits{"1": serial.OneStopBit, "1.5": serial.OnePointFiveStopBits, "2": serial.TwoStopBits}

func (s *Source) option(name, value string) error {
	n, _ := strconv.Atoi(value)
	ok := true
	switch name {
	case "baud":
		s.Serial.BaudRate, ok = n, n >= 50 && n <= 4_000_000
	case "data":
		s.Serial.DataBits, ok = n, n >= 5 && n <= 8
	case "parity":
		s.Serial.Parity, ok = parities[value]
	case "stop":
		s.Serial.StopBits, ok = stops[value]
	default:
		ok = false
	}
	if !ok {
		return fmt.Errorf("%s=%q: %w", name, value, ErrSource)
	}
	return nil
}

// Live reports whether lines come as jars are weighed.
func (s Source) Live() bool { return s.Kind != File && s.Kind != Stdin }

// A Follower follows a source until its end, or until ctx ends. Lost links are taken up
// again.
type Follower struct {
	Source Source
	In     io.Reader                            // standard input
	Now    func() time.Time                     // the house's clock
	Heard  func(address string)                 // told where a listener listens
	wait   func(context.Context, time.Duration) // between tries
}

// Follow brings lines to t.
func (f *Follower) Follow(ctx context.Context, t Taker) error {
	switch f.Source.Kind {
	case Stdin:
		return f.read(ctx, io.NopCloser(f.In), t, true)
	case File:
		file, err := os.Open(f.Source.Address)
		if err != nil {
			return err
		}
		return f.read(ctx, file, t, true)
	case Dial:
		return f.again(ctx, t, func() (io.ReadCloser, error) {
			d := net.Dialer{Timeout: dialTime, KeepAliveConfig: alive}
			return d.DialContext(ctx, "tcp", f.Source.Address)
		})
	case SerialLine:
		return f.again(ctx, t, func() (io.ReadCloser, error) { return serial.Open(f.Source.Address, &f.Source.Serial) })
	case Listen:
		return f.listen(ctx, t)
	case Broker:
		return f.broker(ctx, t)
	case Client:
		return f.client(ctx, t)
	}
	return ErrSource
}

const (
	dialTime   = 5 * time.Second
	shortWait  = 200 * time.Millisecond
	longWait   = 5 * time.Second
	chunkBytes = 64 << 10
)

// alive finds a pulled cable within half a minute, where nobody says goodbye.
var alive = net.KeepAliveConfig{Enable: true, Idle: 10 * time.Second, Interval: 5 * time.Second, Count: 3}

// again opens, reads to the end, and opens again.
func (f *Follower) again(ctx context.Context, t Taker, open func() (io.ReadCloser, error)) error {
	for pause := shortWait; ; {
		c, err := open()
		if ctx.Err() != nil {
			if err == nil {
				_ = c.Close()
			}
			return ctx.Err()
		}
		if err == nil {
			pause = shortWait
			if err := f.read(ctx, c, t, false); err != nil {
				return err
			}
		}
		f.sleep(ctx, pause)
		pause = min(2*pause, longWait)
	}
}

func (f *Follower) sleep(ctx context.Context, d time.Duration) {
	if f.wait != nil {
		f.wait(ctx, d)
		return
	}
	select {
	case <-ctx.Done():
	case <-time.After(d):
	}
}

// listen takes one instrument at a time: one that dials again takes the place of the one
// before, whose line may be dead without a word.
func (f *Follower) listen(ctx context.Context, t Taker) error {
	lc := net.ListenConfig{KeepAliveConfig: alive}
	l, err := lc.Listen(ctx, "tcp", f.Source.Address)
	if err != nil {
		return err
	}
	if f.Heard != nil {
		f.Heard(l.Addr().String())
	}
	stop := context.AfterFunc(ctx, func() { _ = l.Close() })
	defer stop()
	conns, gone := make(chan net.Conn), make(chan error, 1)
	go func() {
		for {
			c, err := l.Accept()
			if err != nil {
				gone <- err
				close(conns)
				return
			}
			conns <- c
		}
	}()
	defer func() {
		_ = l.Close()
		for c := range conns {
			_ = c.Close()
		}
	}()
	c, ok := <-conns
	for ok {
		done := make(chan error, 1)
		now := c
		go func() { done <- f.read(ctx, now, t, false) }()
		var next net.Conn
		var err error
		select {
		case next, ok = <-conns:
			_ = now.Close()
			err = <-done
		case err = <-done:
			if err == nil {
				next, ok = <-conns
			}
		}
		if err != nil {
			if next != nil {
				_ = next.Close()
			}
			return err
		}
		c = next
	}
	if ctx.Err() != nil {
		return ctx.Err()
	}
	return <-gone
}

// read gives all lines of one connection. A connection that breaks is no error; a file
// that can't be read is.
func (f *Follower) read(ctx context.Context, c io.ReadCloser, t Taker, file bool) error {
	defer c.Close()
	stop := context.AfterFunc(ctx, func() { _ = c.Close() })
	defer stop()
	var s splitter
	buf := make([]byte, chunkBytes)
	if !file {
		t.Link(true, f.Now())
	}
	for {
		n, err := c.Read(buf)
		at := f.Now()
		line := func(b []byte) error { return t.Line(b, at) }
		broken := func(x Fault) { t.Broken(x, at) }
		if n > 0 {
			if e := s.feed(buf[:n], line, broken); e != nil {
				return e
			}
			if e := t.Settle(); e != nil {
				return e
			}
		}
		switch {
		case ctx.Err() != nil:
			return ctx.Err()
		case err == nil:
			continue
		case file && err == io.EOF:
			if e := s.end(line); e != nil {
				return e
			}
			return t.Settle()
		case file:
			return err
		}
		s.cut(broken)
		t.Link(false, at)
		return nil
	}
}
