package instrument

import (
	"bytes"
	"context"
	"crypto/subtle"
	"crypto/tls"
	"fmt"
	"io"
	"log/slog"
	"strings"
	"sync"
	"time"

	paho "github.com/eclipse/paho.mqtt.golang"
	mqtt "github.com/mochi-mqtt/server/v2"
	"github.com/mochi-mqtt/server/v2/listeners"
	"github.com/mochi-mqtt/server/v2/packets"
)

// ErrSignIn means that a broker of our own has no sign-in, or a weak one.
var ErrSignIn = fmt.Errorf("a broker needs a user and a password of at least %d letters", leastPassword)

const leastPassword = 8

// broker runs a broker of our own, on which the instrument signs in and publishes. Others
// can neither publish nor read. A message is acknowledged once it is safe.
func (f *Follower) broker(ctx context.Context, t Taker) error {
	if f.Source.User == "" || len(f.Source.Password) < leastPassword {
		return ErrSignIn
	}
	quiet := slog.New(slog.NewTextHandler(io.Discard, nil))
	s := mqtt.New(&mqtt.Options{Logger: quiet, InlineClient: false})
	h := &hook{f: f, t: t, ended: make(chan error, 1)}
	if err := s.AddHook(h, nil); err != nil {
		return err
	}
	l := listeners.NewTCP(listeners.Config{ID: "instruments", Address: f.Source.Address})
	if err := s.AddListener(l); err != nil {
		return err
	}
	if err := s.Serve(); err != nil {
		return err
	}
	if f.Heard != nil {
		f.Heard(l.Address())
	}
	var err error
	select {
	case <-ctx.Done():
		err = ctx.Err()
	case err = <-h.ended:
	}
	_ = s.Close()
	h.mu.Lock() // what is being taken is taken
	defer h.mu.Unlock()
	h.over = true
	return err
}

// A hook is what the broker asks about who may do what, and what it tells.
type hook struct {
	mqtt.HookBase
	f     *Follower
	t     Taker
	mu    sync.Mutex
	up    int // instruments that are signed in
	over  bool
	ended chan error
}

func (h *hook) ID() string { return "combline" }

func (h *hook) Provides(b byte) bool {
	return bytes.IndexByte([]byte{mqtt.OnConnectAuthenticate, mqtt.OnACLCheck, mqtt.OnPublish, mqtt.OnSessionEstablished, mqtt.OnDisconnect}, b) >= 0
}

func (h *hook) OnConnectAuthenticate(_ *mqtt.Client, pk packets.Packet) bool {
	user := subtle.ConstantTimeCompare(pk.Connect.Username, []byte(h.f.Source.User))
	password := subtle.ConstantTimeCompare(pk.Connect.Password, []byte(h.f.Source.Password))
	return user&password == 1
}

// OnACLCheck lets instruments publish to their topic and read nothing.
func (h *hook) OnACLCheck(_ *mqtt.Client, topic string, write bool) bool {
	return write && fits(h.f.Source.Topic, topic)
}

func (h *hook) OnSessionEstablished(*mqtt.Client, packets.Packet) {
	h.mu.Lock()
	defer h.mu.Unlock()
	if h.up++; h.up == 1 && !h.over {
		h.t.Link(true, h.f.Now())
	}
}

func (h *hook) OnDisconnect(*mqtt.Client, error, bool) {
	h.mu.Lock()
	defer h.mu.Unlock()
	if h.up--; h.up == 0 && !h.over {
		h.t.Link(false, h.f.Now())
	}
}

// OnPublish takes a message. One that could not be made safe is not acknowledged: its
// sender keeps it.
func (h *hook) OnPublish(_ *mqtt.Client, pk packets.Packet) (packets.Packet, error) {
	h.mu.Lock()
	defer h.mu.Unlock()
	if h.over {
		return pk, packets.ErrServerShuttingDown
	}
	if err := h.f.message(h.t, pk.Payload); err != nil {
		h.over = true
		h.ended <- err
		return pk, packets.ErrRejectPacket
	}
	return pk, nil
}

// message gives the lines of one message, and sees to it that they are safe.
func (f *Follower) message(t Taker, payload []byte) error {
	at := f.Now()
	var s splitter
	line := func(b []byte) error { return t.Line(b, at) }
	err := s.feed(payload, line, func(x Fault) { t.Broken(x, at) })
	if err == nil {
		err = s.end(line)
	}
	if err == nil {
		err = t.Settle()
	}
	return err
}

// fits reports whether a topic is one of a filter: + stands for one level, # at the end
// for all below.
func fits(filter, topic string) bool {
	want, have := strings.Split(filter, "/"), strings.Split(topic, "/")
	for i, w := range want {
		switch {
		case w == "#":
			return i == len(want)-1
		case i >= len(have):
			return false
		case w != "+" && w != have[i]:
			return false
		}
	}
	return len(want) == len(have)
}

// client takes lines from an outside broker. It keeps its session there under its own
// name, so that the broker keeps what came while the line was cut; each message is
// acknowledged once it is safe.
func (f *Follower) client(ctx context.Context, t Taker) error {
	var mu sync.Mutex
	over := false
	ended := make(chan error, 1)
	end := func(err error) { // under mu
		if !over {
			over = true
			ended <- err
		}
	}
	take := func(_ paho.Client, m paho.Message) {
		mu.Lock()
		defer mu.Unlock()
		if over {
			return
		}
		if err := f.message(t, m.Payload()); err != nil {
			end(err)
			return
		}
		m.Ack()
	}
	link := func(up bool) {
		mu.Lock()
		defer mu.Unlock()
		if !over {
			t.Link(up, f.Now())
		}
	}
	name := f.Source.Client
	if name == "" {
		name = "combline-filler"
	}
	o := paho.NewClientOptions().AddBroker("tcp://" + f.Source.Address).SetClientID(name).SetCleanSession(false).
		SetUsername(f.Source.User).SetPassword(f.Source.Password).SetOrderMatters(true).SetAutoAckDisabled(true).
		SetKeepAlive(15 * time.Second).SetAutoReconnect(true).SetMaxReconnectInterval(longWait).SetConnectRetry(true).
		SetConnectRetryInterval(time.Second).SetTLSConfig(&tls.Config{MinVersion: tls.VersionTLS12}).
		SetConnectionLostHandler(func(paho.Client, error) { link(false) }).
		SetOnConnectHandler(func(c paho.Client) {
			link(true)
			done := c.Subscribe(f.Source.Topic, 1, take)
			go func() {
				if done.Wait(); done.Error() != nil && c.IsConnectionOpen() {
					mu.Lock()
					defer mu.Unlock()
					end(fmt.Errorf("topic %s: %w", f.Source.Topic, done.Error()))
				}
			}()
		}).SetDefaultPublishHandler(take)
	c := paho.NewClient(o)
	token := c.Connect()
	go func() {
		if token.Wait(); token.Error() != nil {
			mu.Lock()
			defer mu.Unlock()
			end(token.Error())
		}
	}()
	var err error
	select {
	case <-ctx.Done():
		err = ctx.Err()
	case err = <-ended:
	}
	mu.Lock()
	over = true
	mu.Unlock()
	c.Disconnect(250)
	return err
}
