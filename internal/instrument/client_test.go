package instrument

import (
	"errors"
	"io"
	"log/slog"
	"slices"
	"testing"
	"time"

	mqtt "github.com/mochi-mqtt/server/v2"
	"github.com/mochi-mqtt/server/v2/listeners"
	"github.com/mochi-mqtt/server/v2/packets"
)

// open lets in anybody.
type open struct{ mqtt.HookBase }

func (*open) Provides(b byte) bool                                    { return b == mqtt.OnConnectAuthenticate || b == mqtt.OnACLCheck }
func (*open) OnConnectAuthenticate(*mqtt.Client, packets.Packet) bool { return true }
func (*open) OnACLCheck(*mqtt.Client, string, bool) bool              { return true }

// outside starts a broker that is not ours.
func outside(t *testing.T) (*mqtt.Server, string) {
	s := mqtt.New(&mqtt.Options{InlineClient: true, Logger: slog.New(slog.NewTextHandler(io.Discard, nil))})
	if err := s.AddHook(new(open), nil); err != nil {
		t.Fatal(err)
	}
	l := listeners.NewTCP(listeners.Config{ID: "t", Address: "127.0.0.1:0"})
	if err := s.AddListener(l); err != nil {
		t.Fatal(err)
	}
	if err := s.Serve(); err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() { s.Close() })
	return s, l.Address()
}

// As client of an outside broker: what the broker has while we are away comes when we are
// back, and what we could not keep is sent again.
func TestClient(t *testing.T) {
	broker, address := outside(t)
	source := Source{Kind: Client, Address: address, Topic: "filler/g", User: "us", Client: "house"}
	publish := func(text string) {
		if err := broker.Publish("filler/g", []byte(text), false, 1); err != nil {
			t.Fatal(err)
		}
	}
	c := newCollector()
	stop, _ := follow(t, source, c)
	subscribed := func() bool { return len(broker.Topics.Subscribers("filler/g").Subscriptions) > 0 }
	for end := time.Now().Add(10 * time.Second); !subscribed(); {
		if time.Now().After(end) {
			t.Fatal("no subscription came")
		}
		time.Sleep(time.Millisecond)
	}
	publish("1 340")
	c.wait(t, 1)
	if err := stop(); err == nil {
		t.Error("it ended by itself")
	}
	publish("2 341") // while nobody is there
	c.fail = errors.New("the disk is full")
	stop, _ = follow(t, source, c)
	c.wait(t, 1)
	if err := stop(); err != c.fail {
		t.Errorf("ended with %v", err)
	}
	c.fail = nil
	stop, _ = follow(t, source, c) // what was not kept was not acknowledged
	c.wait(t, 1)
	_ = stop()
	if !slices.Equal(c.lines, []string{"1 340", "2 341", "2 341"}) || !c.links[0] {
		t.Errorf("lines %q, links %v", c.lines, c.links)
	}
}
